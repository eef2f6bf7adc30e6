package signoff

import (
	"fmt"
	"io/fs"

	"boltback/internal/attest"
)

// Files are the files of one commit. Content names the bytes of a file, or all
// that is in a folder, by the id that Git gives them; "" where nothing lies. It
// is asked instead of reading, so that a commit that left the people alone costs
// nothing.
type Files interface {
	fs.FS
	Content(path string) (id string, err error)
}

// Step is the verdict on one commit.
type Step struct {
	ID, Tree          string
	Parents           []string
	Author, Committer Person
	Subject           string
	// Signature is what the signature says of itself, Looked what the ring of the
	// first parent says of its key. Standing of Looked is the verdict; Detail says
	// what is wrong with a bad signature.
	Signature attest.Signature
	Looked
	Fault  attest.Fault
	Detail string
	Notes  []Note
}

// Good says whether the commit counted.
func (s *Step) Good() bool { return s.Standing == attest.Good }

// Trust is the outcome of a walk.
type Trust struct {
	Steps  []Step // parents before children
	Origin Origin
	main   int // the step at which the line of first parents from the last begins
	rings  []*state
	at     map[string]int
	// entered is the step at which a file in signoffs/ first read as it does.
	entered map[version]int
}

// state is what a commit leaves for its children.
type state struct {
	ring                              *Ring
	people, ledger, signers, signoffs string            // ids of what was read
	files                             map[string]string // in signoffs/: name to id, as first committed
	present                           map[string]string // the same, as they lie there now
}

// Walk goes through a history, parents before children, and judges each commit by
// the keys and the policy of its first parent. Files gives the files of a commit.
// An error means that the history could not be read; what is wrong with it is in
// the steps. Signatures are verified on all processors at once, while the walk
// reads what the commits changed.
func Walk(commits []Commit, files func(id string) (Files, error), pins Pins) (*Trust, error) {
	t := &Trust{at: map[string]int{}, entered: map[version]int{}, Steps: readHeads(commits), rings: make([]*state, len(commits))}
	t.main = mainRoot(t.Steps)
	verdicts := verifyAll(t.Steps, commits)
	defer verdicts.stop()
	for i := range t.Steps {
		step := &t.Steps[i]
		if _, twice := t.at[step.ID]; twice {
			return nil, fmt.Errorf("commit %s is given twice", step.ID)
		}
		f, err := files(step.ID)
		if err != nil {
			return nil, fmt.Errorf("the files of commit %s: %w", step.ID, err)
		}
		verdicts.settle(i)
		if err := t.step(i, f, pins); err != nil {
			return nil, fmt.Errorf("commit %s: %w", step.ID, err)
		}
		t.at[step.ID] = i
	}
	return t, nil
}

// step judges one commit and works out what it leaves.
func (t *Trust) step(i int, f Files, pins Pins) error {
	s := &t.Steps[i]
	before, err := t.before(i)
	if err != nil {
		return err
	}
	now := &state{ring: before.ring}
	for _, one := range []struct {
		path string
		into *string
	}{{"people", &now.people}, {"ledger.json", &now.ledger}, {"allowed_signers", &now.signers}, {"signoffs", &now.signoffs}} {
		if *one.into, err = f.Content(one.path); err != nil {
			return err
		}
	}
	if len(s.Parents) == 0 {
		if err := t.root(i, f, now, pins); err != nil {
			return err
		}
	} else {
		t.judge(s, before.ring)
		if err := t.grow(s, f, before, now); err != nil {
			return err
		}
	}
	t.rings[i] = now
	return t.watchSignOffs(i, f, before, now)
}

// before gives what the first parent left. A parent that is not here is noted:
// then nothing is known, and nobody is let in.
func (t *Trust) before(i int) (*state, error) {
	s := &t.Steps[i]
	first := &state{ring: new(Ring)}
	for n, id := range s.Parents {
		at, here := t.at[id]
		if !here {
			s.Notes = append(s.Notes, Note{Kind: CutOff, Commit: id})
			continue
		}
		if n == 0 {
			first = t.rings[at]
		}
		if t.Steps[at].Committer.When.After(s.Committer.When) {
			s.Notes = append(s.Notes, Note{Kind: DatesBackwards, Commit: id})
		}
	}
	return first, nil
}

// judge asks the ring about a signature that fits.
func (t *Trust) judge(s *Step, ring *Ring) {
	if s.Standing == attest.UnknownKey {
		s.Looked = ring.look(s.Signature.Key, attest.Commits, s.Committer.When)
	}
	if s.Standing != attest.Good && ring.policy.AllCommits {
		s.Notes = append(s.Notes, Note{Kind: PolicyBroken})
	}
	t.compareAuthor(s)
}

// compareAuthor notes a commit in the name of somebody else than whose key signed it.
func (t *Trust) compareAuthor(s *Step) {
	if s.Good() && s.Author.Email != Principal(s.Entry.Person) {
		s.Notes = append(s.Notes, Note{Kind: OtherAuthor, Ref: s.Entry.Person, Detail: s.Author.Email})
	}
}

// grow reads what a commit changed of keys and policy.
func (t *Trust) grow(s *Step, f Files, before, now *state) error {
	if now.people == before.people && now.ledger == before.ledger && now.signers == before.signers {
		return nil
	}
	set, err := ReadKeys(f)
	if err != nil {
		return err
	}
	ring, notes := before.ring.grow(set, readPolicy(f), func(KeyEntry) bool { return s.Good() }, s.Good())
	now.ring = ring
	s.Notes = append(s.Notes, notes...)
	s.Notes = append(s.Notes, compareSigners(f, set)...)
	return nil
}

// compareSigners notes a list for stock tools that lets in others than the
// entries do: whoever checks with those would be told something else.
func compareSigners(f Files, set KeySet) []Note {
	file, err := fs.ReadFile(f, "allowed_signers")
	if err != nil && len(set.Keys) == 0 {
		return nil
	}
	if string(file) != string(set.SignersFile()) {
		return []Note{{Kind: SignersDiffer}}
	}
	return nil
}

// First is the id of the first commit, which names the ledger; "" if there is none.
func (t *Trust) First() string {
	if len(t.Steps) == 0 {
		return ""
	}
	return t.Steps[t.main].ID
}

// Step gives the verdict on a commit.
func (t *Trust) Step(id string) (*Step, bool) {
	i, ok := t.at[id]
	if !ok {
		return nil, false
	}
	return &t.Steps[i], true
}

// RingAt gives the keys that count after a commit; an empty ring for one that
// is not in the history.
func (t *Trust) RingAt(id string) *Ring {
	if i, ok := t.at[id]; ok {
		return t.rings[i].ring
	}
	return new(Ring)
}

// Entered gives the commit with which a file in signoffs/ first had the content
// that Files names by id.
func (t *Trust) Entered(path, id string) (*Step, bool) {
	i, ok := t.entered[version{path, id}]
	if !ok {
		return nil, false
	}
	return &t.Steps[i], true
}

// Count tells how many commits have each standing.
func (t *Trust) Count() map[attest.Standing]int {
	count := map[attest.Standing]int{}
	for i := range t.Steps {
		count[t.Steps[i].Standing]++
	}
	return count
}
