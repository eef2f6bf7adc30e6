package replay

import (
	"cmp"
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/record"
)

// StockTake is what one line found when it looked for everything in a store, or in one place of it, or found its seal.
type StockTake struct {
	Step  Step
	Store record.Ref
	Place string
	// Seen are the parts that should lie there and were found; Missed those that should and were not.
	Seen, Missed []record.Ref
	// Strange are parts that were found there and should not be, by the records.
	Strange []Stray
	// Sealed says that the place was not opened: its seal was found unbroken, and what it holds was seen through the seal.
	Sealed bool
}

// Nothing says that the place was opened and nothing was there.
func (t *StockTake) Nothing() bool { return !t.Sealed && len(t.Seen)+len(t.Strange) == 0 }

// Stray is a part that lay where it should not, and where the records had it.
type Stray struct {
	Part record.Ref
	Was  Where
}

// Shelf is a store, or a place in one, with what should lie there.
type Shelf struct {
	Store record.Ref
	Place string
	Holds []record.Ref
	// Sealed is the line that put a seal on that nobody broke since, or NoStep.
	Sealed Step
	// Last is the last stock-take that looked at it, or nil.
	Last *StockTake
}

// StockTakes lists the lines that took stock until a day, in the order of replay; no day is all of them.
func StockTakes(w *Work, day edtf.Day) []StockTake {
	var list []StockTake
	e := newEngine(w.kept[0].clone(), w.seq)
	for i := range w.seq.steps {
		t := &w.seq.steps[i]
		if !day.IsZero() && w.book.sessions[t.session].span.from >= dayStart(day)+daySeconds {
			continue
		}
		if !takesStock(t) {
			e.step(int32(i))
			continue
		}
		was := make([]Where, len(e.state.parts))
		for p := range e.state.parts {
			was[p] = e.state.parts[p].Where
		}
		e.step(int32(i))
		list = append(list, e.stockTake(t, was))
	}
	return list
}

// takesStock says that a line looked for everything in a place, or at its seal.
func takesStock(t *step) bool {
	l := t.body
	return t.act == sighting && (l.Store != "" || l.Place != "") && (l.Counted == "everything there" || l.Seal == "unbroken")
}

func (e *engine) stockTake(t *step, was []Where) StockTake {
	at := seal{t.body.Store, t.body.Place, e.now}
	take := StockTake{Step: e.now, Store: t.body.Store, Place: t.body.Place, Sealed: t.body.Seal == "unbroken"}
	for p := range was {
		s := &e.state.parts[p]
		switch should, named := at.holds(was[p]), slices.Contains(t.parts, int32(p)); {
		case s.Missed == e.now:
			take.Missed = append(take.Missed, s.Ref)
		case named && !should && was[p].Place != NotLocated:
			take.Strange = append(take.Strange, Stray{s.Ref, was[p]})
		case named || should && (s.Seen == e.now || e.goesWith(int32(p), t.parts)):
			take.Seen = append(take.Seen, s.Ref)
		}
	}
	slices.SortFunc(take.Seen, compareRef)
	slices.SortFunc(take.Missed, compareRef)
	slices.SortFunc(take.Strange, func(a, b Stray) int { return compareRef(a.Part, b.Part) })
	return take
}

// Shelves lists the stores and places that should hold something on a day, or of which a stock-take was made, by store and
// place, each with the last stock-take that covers it.
func Shelves(w *Work, day edtf.Day) []Shelf {
	state := w.On(day)
	var list []Shelf
	at := func(store record.Ref, place string) *Shelf {
		for i := range list {
			if list[i].Store == store && list[i].Place == place {
				return &list[i]
			}
		}
		list = append(list, Shelf{Store: store, Place: place, Sealed: NoStep})
		return &list[len(list)-1]
	}
	for _, p := range state.Parts() {
		if p.Where.Place == InStore {
			s := at(p.Where.Store, p.Where.Shelf)
			s.Holds = append(s.Holds, p.Ref)
		}
	}
	takes := StockTakes(w, day)
	for _, t := range takes {
		at(t.Store, t.Place)
	}
	for i := range list {
		s := &list[i]
		for n := range takes {
			if t := &takes[n]; t.Store == s.Store && (t.Place == "" || t.Place == s.Place) {
				s.Last = t
			}
		}
		for _, put := range state.seals {
			if put.store == s.Store && put.shelf == s.Place {
				s.Sealed = put.since
			}
		}
	}
	slices.SortFunc(list, func(a, b Shelf) int {
		return cmp.Or(compareRef(a.Store, b.Store), cmp.Compare(a.Place, b.Place))
	})
	return list
}
