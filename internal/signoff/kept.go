package signoff

import (
	"slices"

	"boltback/internal/attest"
	"boltback/internal/record"
)

// Holding says how a history holds a commit that somebody kept the id of.
type Holding int

// The holdings. Missing is what a rewritten or shortened history shows; without
// something kept by an outsider neither can be told.
const (
	Missing Holding = iota // the history does not contain it
	Beside                 // it came in by a merge
	OnLine                 // it lies on the line of first parents
)

// Holds says how the history that ends in head holds a commit.
func (t *Trust) Holds(head, id string) Holding {
	target, known := t.at[id]
	if !known {
		return Missing
	}
	for next := head; ; {
		i, here := t.at[next]
		if here && i == target {
			return OnLine
		}
		if !here || i < target || len(t.Steps[i].Parents) == 0 {
			break
		}
		next = t.Steps[i].Parents[0]
	}
	if t.reaches(head, target) {
		return Beside
	}
	return Missing
}

// reaches says whether a step is an ancestor of a commit, by whatever parents.
func (t *Trust) reaches(from string, target int) bool {
	seen := map[int]bool{}
	queue := []string{from}
	for len(queue) > 0 {
		i, here := t.at[queue[len(queue)-1]]
		queue = queue[:len(queue)-1]
		if !here || seen[i] || i < target { // parents stand before children
			continue
		}
		if seen[i] = true; i == target {
			return true
		}
		queue = append(queue, t.Steps[i].Parents...)
	}
	return false
}

// Split compares two copies of what should be one history.
type Split struct {
	SameFirst bool
	// Common is the last commit, in the order of ours, that both have; "" for none.
	Common string
	// Ours and Theirs are the commits that only one of them has.
	Ours, Theirs []string
}

// Against compares a history with another copy of it. A copy that is merely
// older has nothing of its own; where both have, one was rewritten.
func (t *Trust) Against(other *Trust) Split {
	s := Split{SameFirst: t.First() != "" && t.First() == other.First()}
	for i := range t.Steps {
		id := t.Steps[i].ID
		if _, both := other.at[id]; both {
			s.Common = id
		} else {
			s.Ours = append(s.Ours, id)
		}
	}
	for i := range other.Steps {
		if _, both := t.at[other.Steps[i].ID]; !both {
			s.Theirs = append(s.Theirs, other.Steps[i].ID)
		}
	}
	return s
}

// StampVerdict says whether a history still bears out a manifest.
type StampVerdict struct {
	Tag string
	// Commit is what it was made over, Tagger who made it by their own word, Digest
	// the SHA-256 of its message, and Before the link to the stamp before.
	Commit string
	Tagger Person
	Digest record.Digest
	Before Link
	// Files are the digests of all files of the commit, as the manifest has them, by path.
	Files []FileDigest
	// Holding is how the history holds the commit that it was made over.
	Holding Holding
	// OtherLedger and OtherTree say that the manifest names another first commit or
	// another tree than the history has.
	OtherLedger, OtherTree bool
	// Deviations are files of that commit that are not as the manifest has them.
	Deviations []Deviation
	// BrokenChain says that the stamp before is not the one that it names; Skipped
	// that it names one which is not here.
	BrokenChain, Skipped bool
	// Signature and Looked are of the tag's own signature: whose key, and whether it
	// counted at the commit. Detail says what is wrong with a bad one.
	Signature attest.Signature
	Looked
	Detail string
	// Stamped says that an authority's answer was verified: Token says what it
	// shows, and when it has to be stamped again. TokenFault says why an answer
	// that is there shows nothing.
	Stamped    bool
	Token      attest.Stamp
	TokenFault error
	// NobodyTrusted says that the reader trusts no authority, and that nothing else
	// than that is wrong with the token: Token holds what it claims.
	NobodyTrusted bool
}

// Holds says whether all of it is as it was. It does not speak of signature and
// token.
func (v StampVerdict) Holds() bool {
	return v.Holding != Missing && !v.OtherLedger && !v.OtherTree && len(v.Deviations) == 0 && !v.BrokenChain && !v.Skipped
}

// CheckStamps holds manifests, in the order in which they were made, against the
// history that ends in head: the commit, every file of it hashed anew, the chain
// from each to the one before, the tag's signature by the keys that counted at
// that commit, and the authority's answer by the roots that the reader trusts.
func (t *Trust) CheckStamps(head string, stamps []Stamped, files func(id string) (Files, error), roots attest.Roots) ([]StampVerdict, error) {
	var verdicts []StampVerdict
	for i, s := range stamps {
		v := StampVerdict{
			Tag: s.Tag, Commit: s.Manifest.Commit, Tagger: s.Tagger, Digest: s.Digest(), Before: s.Manifest.Before, Files: s.Manifest.Files,
			Holding: t.Holds(head, s.Manifest.Commit), OtherLedger: s.Manifest.Ledger != t.First(),
		}
		v.Skipped, v.BrokenChain = chain(stamps[:i], s.Manifest.Before)
		s.judge(t.RingAt(s.Manifest.Commit), roots, &v)
		if step, known := t.Step(s.Manifest.Commit); known {
			v.OtherTree = step.Tree != s.Manifest.Tree
			f, err := files(step.ID)
			if err != nil {
				return nil, err
			}
			now, err := NewManifest(f, s.Manifest.Ledger, s.Manifest.Commit, s.Manifest.Tree, s.Manifest.Before)
			if err != nil {
				return nil, err
			}
			v.Deviations = s.Manifest.Compare(now)
		}
		verdicts = append(verdicts, v)
	}
	return verdicts, nil
}

// chain holds the link of a stamp against those made before it.
func chain(before []Stamped, link Link) (skipped, broken bool) {
	if link == (Link{}) {
		return false, len(before) > 0
	}
	i := slices.IndexFunc(before, func(s Stamped) bool { return s.Tag == link.Tag })
	if i < 0 {
		return true, false
	}
	return false, i != len(before)-1 || before[i].Digest() != link.Digest
}

// Latest is the link to the last of some stamps, for the next one.
func Latest(stamps []Stamped) Link {
	if len(stamps) == 0 {
		return Link{}
	}
	return stamps[len(stamps)-1].Link()
}
