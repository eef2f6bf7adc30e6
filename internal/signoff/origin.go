package signoff

import (
	"slices"

	"boltback/internal/attest"
)

// Pins are what the reader knows by another way than the ledger: from a card,
// a dossier on paper, an earlier visit.
type Pins struct {
	// Keys are fingerprints, as attest.PublicKey writes them, of keys of the first
	// commit.
	Keys []string
	// First is the id of the first commit; "" where it is not known.
	First string
}

// Origin says whether the history begins where the reader was told it does.
type Origin int

// The origins.
const (
	NotEstablished Origin = iota // there is no pin: consistent in itself at best
	Established                  // the first commit is signed with a pinned key, or is the pinned one
	Contradicted                 // it is not what the pins say
)

// mainRoot follows first parents from the last step: of several beginnings, that
// is the one which the ledger as it stands today goes back to.
func mainRoot(steps []Step) int {
	at := make(map[string]int, len(steps))
	for i, s := range steps {
		at[s.ID] = i
	}
	i := len(steps) - 1
	for i > 0 && len(steps[i].Parents) > 0 {
		parent, here := at[steps[i].Parents[0]]
		if !here || parent >= i {
			break
		}
		i = parent
	}
	return max(i, 0)
}

// root judges a commit without parents by its own keys, as far as the pins let it.
func (t *Trust) root(i int, f Files, now *state, pins Pins) error {
	s := &t.Steps[i]
	set, err := ReadKeys(f)
	if err != nil {
		return err
	}
	if i != t.main { // a root beside the first vouches for nothing
		s.Notes = append(s.Notes, Note{Kind: SecondRoot})
		ring, notes := new(Ring).grow(set, readPolicy(f), func(KeyEntry) bool { return false }, false)
		now.ring = ring
		s.Looked = keepBad(s, ring)
		s.Notes = append(s.Notes, notes...)
		return nil
	}
	own, _ := new(Ring).grow(set, Policy{}, func(KeyEntry) bool { return true }, true)
	s.Looked = keepBad(s, own)
	t.Origin = originOf(s, pins)
	counts := func(e KeyEntry) bool {
		return t.Origin != Contradicted && (len(pins.Keys) == 0 || s.Good() && pinned(s, pins)) || slices.Contains(pins.Keys, e.Key.Fingerprint())
	}
	ring, notes := new(Ring).grow(set, readPolicy(f), counts, s.Good())
	now.ring = ring
	if s.Good() {
		s.Looked = ring.look(s.Signature.Key, attest.Commits, s.Committer.When)
	}
	t.compareAuthor(s)
	s.Notes = append(append(s.Notes, notes...), compareSigners(f, set)...)
	return nil
}

// keepBad asks a ring only about a signature that fits.
func keepBad(s *Step, ring *Ring) Looked {
	if s.Standing != attest.UnknownKey {
		return s.Looked
	}
	return ring.look(s.Signature.Key, attest.Commits, s.Committer.When)
}

func pinned(s *Step, pins Pins) bool {
	return slices.Contains(pins.Keys, s.Signature.Key.Fingerprint())
}

// originOf holds the first commit against the pins.
func originOf(s *Step, pins Pins) Origin {
	switch {
	case pins.First != "" && pins.First != s.ID:
		return Contradicted
	case len(pins.Keys) > 0 && !(s.Good() && pinned(s, pins)):
		return Contradicted
	case pins.First != "" || len(pins.Keys) > 0:
		return Established
	}
	return NotEstablished
}

// FirstOf is the id of the first commit of a history as Walk takes it, before
// anything is verified: it finds the pins that somebody keeps under that id.
func FirstOf(commits []Commit) string {
	steps := make([]Step, len(commits))
	for i, c := range commits {
		head, err := parseHead(c.Payload)
		if steps[i].ID = c.ID; err == nil {
			steps[i].Parents = head.parents
		}
	}
	if len(steps) == 0 {
		return ""
	}
	return steps[mainRoot(steps)].ID
}
