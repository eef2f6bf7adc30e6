package replay

import (
	"boltback/internal/record"
)

// engine changes one state line by line. Its other fields are scratch that is used again for every line.
type engine struct {
	state *State
	book  *book
	seq   *sequence
	epoch int32
	mark  []int32 // by part: epoch in which it was put into the set
	set   []int32
	now   Step
	line  *record.Line
	step1 *step

	moved   []int32 // parts whose place the line changed
	changed []int32 // joints it did up, undid or tightened
	saw     []int32 // parts that were seen in it, themselves or through a seal
}

func newEngine(s *State, q *sequence) *engine {
	return &engine{state: s, book: s.book, seq: q, mark: make([]int32, len(s.parts))}
}

// step applies the line of one step and then carries what its order leaves open.
func (e *engine) step(n int32) {
	t := &e.state.steps[n]
	e.now, e.line, e.step1 = Step(n), t.body, t
	e.moved, e.changed, e.saw = e.moved[:0], e.changed[:0], e.saw[:0]
	if t.index == 0 {
		for _, ring := range e.seq.rings[t.session] {
			e.state.doubts = append(e.state.doubts, e.seq.doubts[ring])
		}
	}
	for _, p := range t.parts {
		e.state.parts[p].Touched = e.now
		e.setEnds(p)
	}
	e.act(t)
	e.see(t)
	e.sealed(t)
	if t.became != none {
		e.become(t)
	}
	for _, c := range e.seq.carries[n] {
		e.carry(c)
	}
	e.state.done = int(n) + 1
}

func (e *engine) act(t *step) {
	switch t.act {
	case removal:
		e.remove(t)
	case fitting:
		e.fit(t)
	case tightening:
		e.tighten(t)
	case move, out, in:
		e.shift(t, true)
	case sighting:
		e.sight(t)
	case alteration, repair:
		for _, p := range t.parts {
			e.addMark(p, Mark{Step: e.now, Repair: t.act == repair, Undone: NoStep})
		}
	case restoration:
		e.restore(t)
	case drain, fill:
		if t.system != none {
			e.state.fills[t.system] = FillState{Ref: e.state.fills[t.system].Ref, State: t.body.Act, Since: e.now}
		}
	case preserve, rectify:
		if t.body.Store != "" || t.body.Place != "" {
			e.shift(t, true)
		}
	}
	if t.body.Gone != "" && t.act != removal && t.act != move && t.act != out && t.act != in {
		e.shift(t, true)
	}
}

// clear begins a new set of parts; add and has work on it. The root is the car and never in a set.
func (e *engine) clear() {
	e.epoch++
	e.set = e.set[:0]
}

func (e *engine) has(p int32) bool { return e.mark[p] == e.epoch }

func (e *engine) add(p int32) {
	if e.mark[p] != e.epoch && p != e.book.root {
		e.mark[p] = e.epoch
		e.set = append(e.set, p)
	}
}

// close adds what the assemblies of the set hold and, if joined, what is bolted to its parts that are off the car.
func (e *engine) close(joined bool) {
	for i := 0; i < len(e.set); i++ {
		p := e.set[i]
		for _, c := range e.book.parts[p].contains {
			if e.state.parts[c].inside == p {
				e.add(c)
			}
		}
		if !joined || e.state.parts[p].Where.Place == OnCar {
			continue
		}
		for _, j := range e.book.parts[p].joints {
			if e.state.joints[j].Done == Undone {
				continue
			}
			for _, q := range e.book.joints[j].clamps {
				if e.state.parts[q].Where.Place != OnCar {
					e.add(q)
				}
			}
		}
	}
}

// put changes where a part is; what lies there already has not been moved.
func (e *engine) put(p int32, w Where) {
	if e.state.parts[p].Where == w {
		return
	}
	e.moved = append(e.moved, p)
	e.state.parts[p].Where, e.state.parts[p].Since = w, e.now
	e.breakSeals(w)
}

// undo takes a joint apart; the fasteners that a line counts belong to it if it is the only one.
func (e *engine) undo(j int32) {
	if e.state.joints[j].Done == Undone {
		return
	}
	s := &e.state.joints[j]
	e.changed = append(e.changed, j)
	s.Done, s.Since, s.Tightened = Undone, e.now, NoStep
	s.Bag, s.Fasteners, s.Counted = e.line.Bag, 0, false
}

func (e *engine) makeUp(j int32) {
	s := &e.state.joints[j]
	e.changed = append(e.changed, j)
	s.Done, s.Since, s.Tightened = DoneUp, e.now, NoStep
}

// open undoes the joints a line names and those that cross the border of the set. It says how many it undid.
func (e *engine) open(named []int32) (undone int) {
	before := func(j int32) {
		if e.state.joints[j].Done != Undone {
			undone++
		}
		e.undo(j)
	}
	for _, j := range named {
		before(j)
	}
	for _, p := range e.set {
		for _, j := range e.book.parts[p].joints {
			if e.state.joints[j].Done != Undone && e.crosses(j) {
				before(j)
			}
		}
	}
	return undone
}

// crosses says that a joint, one of whose parts is in the set, also holds something outside it.
func (e *engine) crosses(j int32) bool {
	if e.book.joints[j].hosted {
		return true
	}
	for _, p := range e.book.joints[j].clamps {
		if !e.has(p) {
			return true
		}
	}
	return false
}

func (e *engine) setEnds(p int32) {
	for _, change := range e.line.Ends {
		ends := append([]EndState(nil), e.state.parts[p].Ends...)
		known := false
		for i := range ends {
			if ends[i].End == change.End {
				ends[i].State, ends[i].Since, known = change.State, e.now, true
			}
		}
		if !known {
			ends = append(ends, EndState{End: change.End, State: change.State, Since: e.now})
		}
		e.state.parts[p].Ends = ends
	}
}

func (e *engine) addMark(p int32, m Mark) {
	marks := e.state.parts[p].Marks
	e.state.parts[p].Marks = append(marks[:len(marks):len(marks)], m)
}

// doubt notes a contradiction that the line itself makes.
func (e *engine) doubt(code string, thing record.Ref, text, hint string) {
	d := Doubt{Code: code, Thing: thing, Lines: []Line{e.book.lineOf(e.step1)}, Text: text, Hint: hint}
	e.state.doubts = append(e.state.doubts, d)
}

// carry replaces what a line settled by the worse outcome, because another line on the same thing may have come later.
func (e *engine) carry(c carry) {
	s := e.state
	switch c.kind {
	case whereabouts:
		if c.index == e.book.root {
			s.Car, s.CarAt = Where{Place: NotKnown}, e.now
		} else {
			s.parts[c.index].Where, s.parts[c.index].Since = Where{Place: NotKnown}, e.now
		}
	case jointThing:
		if s.joints[c.index].Done == Tight {
			s.joints[c.index].Done, s.joints[c.index].Tightened = DoneUp, NoStep
		}
	case endThing:
		ends := append([]EndState(nil), s.parts[c.index].Ends...)
		for i := range ends {
			if ends[i].End == c.end {
				ends[i].State = "unknown"
			}
		}
		s.parts[c.index].Ends = ends
	case markThing:
		marks := append([]Mark(nil), s.parts[c.index].Marks...)
		for i := range marks {
			marks[i].Undone = NoStep
		}
		s.parts[c.index].Marks = marks
	case fillThing:
		s.fills[c.index].State = "unknown"
	}
	if c.first {
		s.doubts = append(s.doubts, e.seq.doubts[c.doubt])
	}
}
