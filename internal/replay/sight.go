package replay

import (
	"fmt"
	"slices"

	"boltback/internal/record"
)

// handled lists the acts in which somebody had the part before them.
var handled = map[act]bool{removal: true, fitting: true, tightening: true, alteration: true, repair: true, restoration: true, move: true,
	sighting: true, out: true, in: true, preserve: true, rectify: true}

// hearsay lists the bases on which a line shows nothing by itself: somebody said so.
var hearsay = map[string]bool{"told": true, "from memory": true, "from paper": true}

// see notes that the named parts were seen, if the session rests on somebody having seen them.
func (e *engine) see(t *step) {
	if !handled[t.act] || t.session == none || hearsay[e.book.sessions[t.session].body.Basis] {
		return
	}
	for _, p := range t.parts {
		s := &e.state.parts[p]
		s.Seen, s.Sealed, s.Missed = e.now, false, NoStep
		e.saw = append(e.saw, p)
	}
}

// sight applies a sighting: a part seen somewhere is there; a seal seen unbroken is a sighting of what it holds; a
// stock-take misses what should be there and is not named.
func (e *engine) sight(t *step) {
	l := t.body
	if l.Store != "" || l.Place != "" {
		e.seenElsewhere(t)
		e.shift(t, false)
		e.miss(t)
		return
	}
	if l.Position == "" {
		return
	}
	for _, p := range t.parts {
		if p == e.book.root {
			continue
		}
		if e.state.parts[p].Where.Place != OnCar {
			e.doubt("fitting-not-recorded", e.book.parts[p].ref, e.book.called(e.book.parts[p].ref)+" was seen on the car, but by the records it was not on it: when and how it was fitted is not recorded",
				"record its fitting, as late as it may be known")
		}
		e.put(p, Where{Place: OnCar, Position: l.Position})
	}
}

// seenElsewhere notes parts that are seen in another place than the records put them.
func (e *engine) seenElsewhere(t *step) {
	for _, p := range t.parts {
		was := e.state.parts[p].Where
		if was.Place == InStore && (t.body.Place != "" || was.Store != t.body.Store) && !was.samePlace(Where{Place: InStore, Store: t.body.Store, Shelf: t.body.Place}) {
			e.doubt("seen-elsewhere", e.book.parts[p].ref, fmt.Sprintf("%s was seen at %s, but by the records it lay at %s", e.book.called(e.book.parts[p].ref), spotOf(t.body.Store, t.body.Place), spotOf(was.Store, was.Shelf)),
				"record the move")
		}
	}
}

func spotOf(store record.Ref, shelf string) string {
	switch {
	case store == "":
		return shelf
	case shelf == "":
		return string(store)
	}
	return string(store) + ", " + shelf
}

// holds says that a line about a store, or about one shelf in it, covers a whereabouts.
func (l seal) holds(w Where) bool {
	return w.Place == InStore && w.Store == l.store && (l.shelf == "" || w.Shelf == l.shelf)
}

// sealed applies what a line says of the seal of a crate or shelf.
func (e *engine) sealed(t *step) {
	l := t.body
	if l.Seal == "" || l.Store == "" && l.Place == "" {
		return
	}
	at := seal{l.Store, l.Place, e.now}
	switch l.Seal {
	case "sealed":
		e.breakSeals(Where{Place: InStore, Store: l.Store, Shelf: l.Place})
		e.state.seals = append(e.state.seals[:len(e.state.seals):len(e.state.seals)], at)
	case "broken":
		e.breakSeals(Where{Place: InStore, Store: l.Store, Shelf: l.Place})
	case "unbroken":
		if !hearsay[e.basis(t)] {
			e.seeThroughSeal(t, at)
		}
	}
}

// miss notes, after a stock-take, what should lie there and was not named.
func (e *engine) miss(t *step) {
	at := seal{t.body.Store, t.body.Place, e.now}
	if t.body.Counted != "everything there" || t.body.Seal == "unbroken" || hearsay[e.basis(t)] {
		return
	}
	for p := range e.state.parts {
		s := &e.state.parts[p]
		if at.holds(s.Where) && !slices.Contains(t.parts, int32(p)) && !e.goesWith(int32(p), t.parts) {
			s.Missed = e.now
		}
	}
}

func (e *engine) basis(t *step) string {
	if t.session == none {
		return ""
	}
	return e.book.sessions[t.session].body.Basis
}

// goesWith says that a part is inside an assembly that the line names.
func (e *engine) goesWith(p int32, named []int32) bool {
	for range len(e.state.parts) {
		p = e.state.parts[p].inside
		if p == none {
			return false
		}
		if slices.Contains(named, p) {
			return true
		}
	}
	return false
}

// seeThroughSeal counts an unbroken seal as a sighting of what lay there when it was put on and has not been moved since.
// What the line names was seen through the seal as well: nobody opened the crate.
func (e *engine) seeThroughSeal(t *step, at seal) {
	for _, p := range t.parts {
		if s := &e.state.parts[p]; s.Seen == e.now {
			s.Sealed = true
		}
	}
	for _, put := range e.state.seals {
		if put.store != at.store || put.shelf != at.shelf {
			continue
		}
		for p := range e.state.parts {
			if s := &e.state.parts[p]; put.holds(s.Where) && s.Since <= put.since {
				s.Seen, s.Sealed, s.Missed = e.now, true, NoStep
				e.saw = append(e.saw, int32(p))
			}
		}
		return
	}
	e.doubt("seal-not-recorded", at.store, fmt.Sprintf("a seal was seen unbroken at %s, but by the records none was put on, or it was opened since", spotOf(at.store, at.shelf)),
		"record when it was sealed")
}

// breakSeals drops the seals of a place that something was put into: of the crate, and of the store it stands in.
func (e *engine) breakSeals(w Where) {
	if w.Place != InStore {
		return
	}
	e.state.seals = slices.DeleteFunc(slices.Clone(e.state.seals), func(s seal) bool { return s.holds(w) })
}
