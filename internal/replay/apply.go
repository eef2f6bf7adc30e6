package replay

import (
	"fmt"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// away works out where a line puts parts that are off the car; false where it does not say.
func (e *engine) away(t *step) (Where, bool) {
	l := t.body
	switch {
	case l.Gone != "":
		return Where{Place: Gone, How: l.Gone}, true
	case t.act == out:
		return Where{Place: WithSomeone, With: l.With, Due: l.Due}, true
	case l.Store != "" || l.Place != "":
		return Where{Place: InStore, Store: l.Store, Shelf: l.Place}, true
	case t.act == in:
		return Where{Place: OffCar}, true
	}
	return Where{}, false
}

// remove takes the named parts off the car, or off what they are bolted to on the bench, with all that their assemblies
// hold. Joints inside the set stay done up.
func (e *engine) remove(t *step) {
	e.clear()
	wasOn := map[int32]bool{}
	for _, p := range t.parts {
		e.add(p)
		wasOn[p] = e.state.parts[p].Where.Place == OnCar || e.state.parts[p].inside != none
		if p == e.book.root {
			e.doubt("root-removed", e.book.parts[p].ref, e.book.called(e.book.parts[p].ref)+" is the car itself and cannot be taken off it",
				"name what was taken off, or correct the root in car.json")
		}
	}
	e.close(false)
	undone := e.open(t.joints)
	if t.body.Fasteners > 0 || t.body.Bag != "" {
		e.bag(t, undone)
	}
	where, stated := e.away(t)
	for _, p := range e.set {
		switch was := e.state.parts[p].Where.Place; {
		case stated:
			e.put(p, where)
		case was == OnCar || was == NotLocated || was == NotKnown:
			e.put(p, Where{Place: OffCar})
		}
	}
	for _, p := range t.parts {
		if p != e.book.root && !wasOn[p] && undone == 0 {
			e.doubt("not-on-the-car", e.book.parts[p].ref, e.book.called(e.book.parts[p].ref)+" was taken off, but by the records it was not on the car",
				"record its fitting, or withdraw one of the removals")
		}
		e.leave(p)
	}
}

// leave takes a part that a line names out of its assembly, unless that is in the set as well.
func (e *engine) leave(p int32) {
	if holder := e.state.parts[p].inside; holder != none && !e.has(holder) {
		e.state.setInside(p, none)
	}
}

// bag notes the fasteners counted at the joint they belong to, where the line undid exactly one.
func (e *engine) bag(t *step, undone int) {
	if undone != 1 {
		return
	}
	s := &e.state.joints[e.changed[len(e.changed)-1]]
	s.Bag, s.Fasteners, s.Counted = t.body.Bag, t.body.Fasteners, t.body.Fasteners > 0
}

// fit puts the named parts on the car, with what their assemblies hold and what is bolted to them; or together on the
// bench, where all they are fitted to is off the car.
func (e *engine) fit(t *step) {
	e.clear()
	for _, p := range t.parts {
		e.add(p)
	}
	e.close(true)
	e.fitDoubts(t)
	where, bench := e.bench(t)
	for _, p := range e.set {
		if bench {
			e.put(p, where)
		} else {
			e.put(p, Where{Place: OnCar, Position: e.book.parts[p].spot()})
		}
	}
	for _, p := range t.parts {
		if p == e.book.root {
			continue
		}
		if !bench && t.body.Position != "" {
			e.state.parts[p].Where.Position = t.body.Position
		}
		if t.body.Station != "" {
			e.state.parts[p].Station = t.body.Station
		}
		e.enter(p)
	}
	e.join(t, where, bench)
	if !bench {
		e.crowded(t)
	}
}

// fitDoubts notes parts that a line fits although they cannot come from where the records leave them.
func (e *engine) fitDoubts(t *step) {
	for _, p := range t.parts {
		name := e.book.called(e.book.parts[p].ref)
		switch was := e.state.parts[p].Where; was.Place {
		case OnCar:
			if p != e.book.root {
				e.doubt("already-on-the-car", e.book.parts[p].ref, name+" was fitted, but by the records it was on the car already", "record its removal, or withdraw one of the fittings")
			}
		case Gone:
			e.doubt("fitted-though-gone", e.book.parts[p].ref, fmt.Sprintf("%s was fitted, but by the records it is gone (%s)", name, was.How), "a like part is a part of its own: record it as one")
		case BecameAnother:
			e.doubt("fitted-though-gone", e.book.parts[p].ref, fmt.Sprintf("%s was fitted, but by the records it became %s", name, e.book.called(was.Became)), "name the part that it became")
		}
	}
}

// enter puts a fitted part into the first assembly by name that declares it and is in the same place; it leaves one that is
// left behind.
func (e *engine) enter(p int32) {
	for _, h := range e.book.parts[p].holders {
		a, b := e.state.parts[h].Where, e.state.parts[p].Where
		if a.Place == b.Place && (a.Place == OnCar || a.samePlace(b)) {
			e.state.setInside(p, h)
			return
		}
	}
	if holder := e.state.parts[p].inside; holder != none && !e.has(holder) {
		e.state.setInside(p, none)
	}
}

// bench says whether parts are put together off the car: every part that the named joints clamp besides, or without joints
// and position every assembly that declares them, is off it; and where they are then.
func (e *engine) bench(t *step) (Where, bool) {
	var partners []int32
	for _, j := range t.joints {
		if e.book.joints[j].hosted {
			return Where{}, false
		}
		for _, p := range e.book.joints[j].clamps {
			if !e.has(p) {
				partners = append(partners, p)
			}
		}
	}
	if len(t.joints) == 0 && t.body.Position == "" {
		for _, p := range t.parts {
			for _, h := range e.book.parts[p].holders {
				if !e.has(h) {
					partners = append(partners, h)
				}
			}
		}
	}
	first := none
	for _, p := range partners {
		if place := e.state.parts[p].Where.Place; place == OnCar || place == NotLocated || place == Gone || p == e.book.root {
			return Where{}, false
		}
		if first == none || e.book.byName(p, first) < 0 {
			first = p
		}
	}
	if first == none {
		return Where{}, false
	}
	return e.state.parts[first].Where, true
}

// join does up the joints a fitting names, or else every joint of the fitted parts whose parts are now together.
func (e *engine) join(t *step, where Where, bench bool) {
	if len(t.joints) > 0 {
		for _, j := range t.joints {
			e.makeUp(j)
		}
		return
	}
	var candidates []int32
	for _, p := range e.set {
		candidates = append(candidates, e.book.parts[p].joints...)
	}
	for _, j := range e.book.sorted(candidates) {
		if e.state.joints[j].Done == Undone && !e.state.occupied(j) && e.together(j, where, bench) {
			e.makeUp(j)
		}
	}
}

// together says that all parts of a joint are on the car, or on the same bench.
func (e *engine) together(j int32, where Where, bench bool) bool {
	if bench && e.book.joints[j].hosted {
		return false
	}
	for _, p := range e.book.joints[j].clamps {
		at := e.state.parts[p].Where
		if p == e.book.root {
			at = Where{Place: OnCar}
		}
		if bench && !at.samePlace(where) || !bench && at.Place != OnCar {
			return false
		}
	}
	return true
}

// crowded notes a spot declared for one part that now holds two.
func (e *engine) crowded(t *step) {
	for _, p := range t.parts {
		spot := e.state.parts[p].Where.Position
		if spot == "" || p == e.book.root {
			continue
		}
		rivals := e.book.singles[spot]
		if slices.Contains(rivals, p) {
			rivals = e.book.spots[spot]
		}
		for _, q := range rivals {
			if q != p && e.state.parts[q].Where.Place == OnCar && e.state.parts[q].Where.Position == spot {
				e.doubt("spot-taken", e.book.parts[p].ref, fmt.Sprintf("%s was fitted at %q, where by the records %s still is", e.book.called(e.book.parts[p].ref), spot, e.book.called(e.book.parts[q].ref)),
					"record the removal of the other part, or say that the spot is shared")
			}
		}
	}
}

// tighten makes joints tight. Without a joint named it is the one joint done up that clamps the part; of several, nobody
// knows which, and none counts as tightened.
func (e *engine) tighten(t *step) {
	joints := t.joints
	if len(joints) == 0 {
		var candidates []int32
		for _, p := range t.parts {
			for _, j := range e.book.parts[p].joints {
				if e.state.joints[j].Done != Undone {
					candidates = append(candidates, j)
				}
			}
		}
		joints = e.book.sorted(candidates)
		if len(joints) != 1 {
			which := "a tightening names no joint, and none that is done up holds its part"
			if len(joints) > 1 {
				which = fmt.Sprintf("a tightening does not say which of %d joints it was", len(joints))
			}
			e.doubt("joint-not-stated", e.partNamed(t), which+": none counts as tightened", "name the joint")
			return
		}
	}
	for _, j := range joints {
		s := &e.state.joints[j]
		if s.Done == Undone {
			s.Since = e.now
		}
		s.Done, s.Tightened = Tight, e.now
		e.changed = append(e.changed, j)
	}
}

func (e *engine) partNamed(t *step) record.Ref {
	if len(t.parts) == 0 {
		return ""
	}
	return e.book.parts[t.parts[0]].ref
}

// StandingOf is shorthand for whether a record counts in replay, corrections and disputes considered.
func StandingOf(s *ledger.Snapshot, r *record.Record) bool { return counts(s, r) }
