package ledger

import (
	"boltback/internal/record"
)

// Standing says whether a record counts.
type Standing int

// The standings of a record.
const (
	Stands     Standing = iota // it counts
	Corrected                  // another record of its kind stands in its place
	Withdrawn                  // it was withdrawn and counts no more
	Disputed                   // several records claim to correct or withdraw it: neither applies, it counts with that doubt
	Withdraws                  // it only withdraws another record and says nothing of the car
	NotApplied                 // it claims to correct a record that another one claims too, so it counts no more than that
)

// String gives the word a reader sees.
func (s Standing) String() string {
	return [...]string{"stands", "corrected", "withdrawn", "disputed", "withdraws", "not applied"}[s]
}

// StandingOf says whether a record counts, and which record took its place or withdrew it.
func (s *Snapshot) StandingOf(r *record.Record) (Standing, *record.Record) {
	s.all()
	if r.Body.Heading().Withdraws != "" {
		return Withdraws, s.records[r.Body.Heading().Withdraws]
	}
	if below := r.Body.Heading().Corrects; below != "" && len(s.over[below]) > 1 {
		return NotApplied, s.records[below]
	}
	over := s.over[r.ID]
	switch {
	case len(over) == 0:
		return Stands, nil
	case len(over) > 1:
		return Disputed, nil
	case over[0].Kind != r.Kind || over[0].ID == r.ID:
		return Stands, nil
	case over[0].Body.Heading().Withdraws == r.ID:
		return Withdrawn, over[0]
	default:
		return Corrected, over[0]
	}
}

// Over lists the records that correct or withdraw the one of that name.
func (s *Snapshot) Over(id record.Ref) []*record.Record {
	s.all()
	return s.over[id]
}

// Current follows corrections from a name to the record that stands in its place today; nil where there is none, or where
// it was withdrawn.
func (s *Snapshot) Current(id record.Ref) *record.Record {
	s.all()
	r := s.records[id]
	for range len(s.records) { // a ring of corrections ends here instead of never
		if r == nil {
			return nil
		}
		standing, by := s.StandingOf(r)
		switch standing {
		case Stands, Disputed:
			return r
		case Corrected:
			r = by
		default:
			return nil
		}
	}
	return nil
}

// Place gives the record whose place a correction stands in: the first of a chain of corrections, itself where it
// corrects nothing. Its path and date are the ones that count for order.
func (s *Snapshot) Place(r *record.Record) *record.Record {
	s.all()
	for range len(s.records) {
		below := s.records[r.Body.Heading().Corrects]
		if below == nil || below.Kind != r.Kind {
			return r
		}
		r = below
	}
	return r
}

// Entry is a record with its typed body.
type Entry[T any] struct {
	*record.Record
	Body *T
}

// All lists the records of one Go type that count, by name.
//
//	for _, p := range ledger.All[record.Part](snapshot) { ... p.Body.Tag ... }
func All[T any](s *Snapshot) []Entry[T] {
	s.all()
	var entries []Entry[T]
	for _, r := range s.kinds[kindFor[T]()] {
		body, ok := r.Body.(any).(*T)
		if !ok {
			continue
		}
		if standing, _ := s.StandingOf(r); standing == Stands || standing == Disputed {
			entries = append(entries, Entry[T]{r, body})
		}
	}
	return entries
}

// Get gives the record that stands today under a name, if it is of that Go type.
func Get[T any](s *Snapshot, id record.Ref) (Entry[T], bool) {
	r := s.Current(id)
	if r == nil {
		return Entry[T]{}, false
	}
	body, ok := r.Body.(any).(*T)
	return Entry[T]{r, body}, ok
}

// kindFor finds the kind whose body is a *T.
func kindFor[T any]() record.Kind {
	for _, k := range record.Kinds() {
		if _, ok := record.New(k).(any).(*T); ok {
			return k
		}
	}
	return ""
}
