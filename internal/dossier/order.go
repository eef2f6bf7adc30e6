package dossier

import (
	"cmp"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// session is a session that counts, with the days it can have taken place on.
type session struct {
	*record.Record
	body  *record.Session
	place *record.Record // whose path and date order it: the first of a chain of corrections
	when  period
}

// sessionsInOrder lists the sessions that count: by their earliest day, then by
// path, and never before one that they state to come after.
func sessionsInOrder(s *ledger.Snapshot) []*session {
	var list []*session
	for _, e := range ledger.All[record.Session](s) {
		place := s.Place(e.Record)
		list = append(list, &session{e.Record, e.Body, place, workPeriod(e.Body, place)})
	}
	slices.SortFunc(list, func(a, b *session) int {
		return cmp.Or(a.when.compare(b.when), strings.Compare(a.place.Path, b.place.Path), strings.Compare(a.Path, b.Path))
	})
	return afterStated(s, list)
}

// afterStated moves sessions behind those that they state to come after. A ring
// of such statements is left in the order of days; the check reports it.
func afterStated(s *ledger.Snapshot, list []*session) []*session {
	placed := map[record.Ref]bool{}
	waiting := map[record.Ref]bool{}
	for _, one := range list {
		waiting[one.ID] = true
	}
	free := func(one *session) bool {
		for _, before := range one.body.After {
			if r := s.Current(before); r != nil && r.ID != one.ID && waiting[r.ID] && !placed[r.ID] {
				return false
			}
		}
		return true
	}
	ordered := make([]*session, 0, len(list))
	for len(list) > 0 {
		i := max(slices.IndexFunc(list, free), 0)
		placed[list[i].ID] = true
		ordered = append(ordered, list[i])
		list = slices.Delete(list, i, i+1)
	}
	return ordered
}

// before tells whether one session came before another for certain: by their
// days, or because the other states it, directly or through others.
func (m *movements) before(a, b *session) bool {
	if a.when.before(b.when) {
		return true
	}
	return m.states(b, a.ID, map[record.Ref]bool{})
}

func (m *movements) states(later *session, earlier record.Ref, seen map[record.Ref]bool) bool {
	if seen[later.ID] {
		return false
	}
	seen[later.ID] = true
	for _, ref := range later.body.After {
		r := m.s.Current(ref)
		if r == nil {
			continue
		}
		if r.ID == earlier {
			return true
		}
		if next := m.byID[r.ID]; next != nil && m.states(next, earlier, seen) {
			return true
		}
	}
	return false
}
