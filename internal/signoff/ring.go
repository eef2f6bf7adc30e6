package signoff

import (
	"maps"
	"slices"
	"time"

	"boltback/internal/attest"
	"boltback/internal/record"
)

// Ring is the keys that count at one point of a history. It is immutable; the
// zero value lets nobody in.
type Ring struct {
	known   map[record.Ref]KeyEntry // every entry as it was first committed
	trusted map[record.Ref]bool
	endings map[record.Ref]Ending        // by the revocation's own name
	present map[record.Ref]record.Digest // keys and revocations as they lie there now
	first   map[record.Ref]Ending        // the earliest of each key
	list    attest.AllowedSigners
	policy  Policy
}

// Policy is what the ledger asked for at that point.
func (r *Ring) Policy() Policy { return r.policy }

// Entry gives a key entry as it was first committed, and whether it counts.
func (r *Ring) Entry(ref record.Ref) (e KeyEntry, counts bool) {
	e, ok := r.known[ref]
	return e, ok && r.trusted[ref] && e.Fault == ""
}

// Entries lists the entries that count, by name.
func (r *Ring) Entries() []KeyEntry {
	var list []KeyEntry
	for _, ref := range slices.Sorted(maps.Keys(r.known)) {
		if e, counts := r.Entry(ref); counts {
			list = append(list, e)
		}
	}
	return list
}

// seal works out the list of signers; the ring does not change after that.
func (r *Ring) seal() *Ring {
	r.first = endingsOf(slices.Collect(maps.Values(r.endings)))
	r.list = signers(r.Entries(), r.first, true)
	return r
}

// Looked is the answer of a ring about one key.
type Looked struct {
	Standing attest.Standing
	// Entry is the one that let the key in, or came nearest to it. NotTrusted says
	// that it is on record and was added by a commit that did not count.
	Entry      KeyEntry
	NotTrusted bool
	// Ending is the revocation that ended it, if that is why.
	Ending Ending
}

// look asks whether a key may sign at an instant.
func (r *Ring) look(key attest.PublicKey, ns attest.Namespace, at time.Time) Looked {
	standing, line := r.list.Look(key, "", ns, at)
	if standing == attest.UnknownKey {
		return r.stranger(key)
	}
	l := Looked{Standing: standing, Entry: r.known[record.Ref(line.Comment)]}
	if end, ended := r.first[l.Entry.Ref]; ended && standing == attest.OutsideValidity && !at.Before(end.From) {
		l.Standing, l.Ending = attest.Revoked, end
	}
	return l
}

// stranger says whether an unknown key is on record all the same.
func (r *Ring) stranger(key attest.PublicKey) Looked {
	for _, ref := range slices.Sorted(maps.Keys(r.known)) {
		if e := r.known[ref]; e.Key == key {
			return Looked{Standing: attest.UnknownKey, Entry: e, NotTrusted: !r.trusted[ref]}
		}
	}
	return Looked{Standing: attest.UnknownKey}
}

// grow gives the ring after a commit that leaves these entries, and what there
// is to note about it. Good says whether the commit counted.
func (r *Ring) grow(set KeySet, policy Policy, counts func(KeyEntry) bool, good bool) (*Ring, []Note) {
	next := &Ring{known: maps.Clone(r.known), trusted: maps.Clone(r.trusted), endings: maps.Clone(r.endings), present: set.present(), policy: policy}
	if next.known == nil {
		next.known, next.trusted, next.endings = map[record.Ref]KeyEntry{}, map[record.Ref]bool{}, map[record.Ref]Ending{}
	}
	notes := next.takeKeys(set.Keys, counts, r.present)
	notes = append(notes, next.takeEndings(set.Endings, good, r.present)...)
	for _, w := range policy.weakened(r.policy) {
		notes = append(notes, Note{Kind: PolicyWeakened, Weakening: w})
	}
	for _, pair := range set.Shared() {
		if _, old := r.known[pair[0]]; !old || r.known[pair[1]].Ref == "" {
			notes = append(notes, Note{Kind: KeyShared, Ref: pair[0], Other: pair[1]})
		}
	}
	return next.seal(), notes
}

// takeKeys adds entries that are new; what was there before stays as it was.
func (r *Ring) takeKeys(keys []KeyEntry, counts func(KeyEntry) bool, before map[record.Ref]record.Digest) []Note {
	var notes []Note
	for _, e := range keys {
		known, old := r.known[e.Ref]
		switch {
		case !old:
			r.known[e.Ref] = e
			r.trusted[e.Ref] = counts(e)
			notes = append(notes, noteOfNew(e, r.trusted[e.Ref]))
		case known.Digest != e.Digest && before[e.Ref] != e.Digest:
			notes = append(notes, Note{Kind: KeyAltered, Ref: e.Ref})
		}
	}
	for _, ref := range slices.Sorted(maps.Keys(r.known)) {
		if r.present[ref] == "" && before[ref] != "" {
			notes = append(notes, Note{Kind: KeyGone, Ref: ref})
		}
	}
	return notes
}

func noteOfNew(e KeyEntry, trusted bool) Note {
	switch {
	case e.Fault != "":
		return Note{Kind: KeyUnusable, Ref: e.Ref, Detail: e.Fault}
	case trusted:
		return Note{Kind: KeyAdded, Ref: e.Ref}
	}
	return Note{Kind: KeyNotTrusted, Ref: e.Ref}
}

// takeEndings adds revocations; none is ever taken back.
func (r *Ring) takeEndings(list []Ending, good bool, before map[record.Ref]record.Digest) []Note {
	var notes []Note
	for _, e := range list {
		if _, old := r.endings[e.Ref]; old {
			continue
		}
		e.Trusted = good
		r.endings[e.Ref] = e
		kind := KeyEnded
		if !good {
			kind = EndingNotSigned
		}
		notes = append(notes, Note{Kind: kind, Ref: e.Ref, Other: e.Of})
	}
	for _, ref := range slices.Sorted(maps.Keys(r.endings)) {
		if now := r.present[ref]; now != r.endings[ref].Digest && before[ref] != now {
			notes = append(notes, Note{Kind: EndingGone, Ref: ref})
		}
	}
	return notes
}
