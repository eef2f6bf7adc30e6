package signoff

import (
	"runtime"
	"sync"
	"sync/atomic"

	"boltback/internal/attest"
)

// readHeads reads what stands above the messages, which needs no ring. A commit
// without one reading is bad whatever its signature says.
func readHeads(commits []Commit) []Step {
	steps := make([]Step, len(commits))
	for i, c := range commits {
		h, err := parseHead(c.Payload)
		s := &steps[i]
		s.ID, s.Tree, s.Parents, s.Author, s.Committer, s.Subject = c.ID, h.tree, h.parents, h.author, h.committer, h.subject
		if err != nil {
			s.Standing, s.Detail, h.odd = attest.Bad, err.Error(), err.Error()
		}
		if h.odd != "" {
			s.Notes = append(s.Notes, Note{Kind: OddObject, Detail: h.odd})
		}
	}
	return steps
}

// verifying is a run over the signatures of a history, oldest first, on all
// processors. Nobody may look at the verdict of a step before settle returned
// for it.
type verifying struct {
	steps    []Step
	verdicts []attest.Verdict
	settled  []chan struct{}
	next     atomic.Int64
	workers  sync.WaitGroup
}

// verifyAll begins the run, and stop ends it early.
func verifyAll(steps []Step, commits []Commit) *verifying {
	v := &verifying{steps: steps, verdicts: make([]attest.Verdict, len(commits)), settled: make([]chan struct{}, len(commits))}
	for i := range v.settled {
		v.settled[i] = make(chan struct{})
	}
	for range min(runtime.GOMAXPROCS(0), len(commits)) {
		v.workers.Go(func() {
			for i := int(v.next.Add(1)) - 1; i < len(commits); i = int(v.next.Add(1)) - 1 {
				v.verdicts[i] = attest.AllowedSigners{}.Judge(commits[i].Payload, commits[i].Signature, attest.Commits, "", steps[i].Committer.When, attest.KeyList{})
				close(v.settled[i])
			}
		})
	}
	return v
}

// settle waits for the signature of a commit and puts its verdict into the step.
// One that fits stays at UnknownKey: the ring has the last word.
func (v *verifying) settle(i int) {
	<-v.settled[i]
	s, verdict := &v.steps[i], v.verdicts[i]
	if s.Standing == attest.Bad { // its head has no reading
		return
	}
	s.Standing, s.Signature, s.Fault, s.Detail = verdict.Standing, verdict.Signature, verdict.Fault, verdict.Detail
}

// stop lets no further signature begin, and waits for those under way.
func (v *verifying) stop() {
	v.next.Store(int64(len(v.steps)))
	v.workers.Wait()
}
