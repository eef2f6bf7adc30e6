package replay

import (
	"maps"
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Work is all recorded work of one car in the order of replay. It is immutable and may be shared between goroutines.
type Work struct {
	book *book
	seq  *sequence
	kept []*State // checkpoints: states after some numbers of steps, from none on
}

// Of orders and replays all work of a ledger.
func Of(s *ledger.Snapshot) *Work {
	b := newBook(s, nil)
	w := &Work{book: b, seq: arrange(b)}
	w.keep(begin(w))
	return w
}

// With orders and replays another snapshot of the same car, taking over what was replayed before the first line that
// changed: after a back-dated session only the work from its day on is replayed again. The result equals that of Of.
func (w *Work) With(s *ledger.Snapshot) *Work {
	b := newBook(s, w.book)
	if b.silent() {
		return Of(s) // something is no longer spoken of
	}
	n := &Work{book: b, seq: arrange(b)}
	first := begin(n)
	if !sameThings(w.book, b) || !sameBeginning(w.kept[0], first) {
		n.keep(first)
		return n
	}
	same := 0
	for same < len(w.seq.steps) && same < len(n.seq.steps) && w.sameStep(n, same) {
		same++
	}
	for _, k := range w.kept {
		if k.done <= same {
			n.kept = append(n.kept, n.adopt(k, first))
		}
	}
	n.keep(n.kept[len(n.kept)-1])
	return n
}

// sameThings says that whatever the earlier book declares, the later declares alike; the later may know more things.
func sameThings(a, b *book) bool {
	if a.root != b.root || len(a.systems) > len(b.systems) {
		return false
	}
	for i := range a.parts {
		x, y := &a.parts[i], &b.parts[i]
		if x.ref != y.ref || (x.body == nil) != (y.body == nil) || len(x.joints) != len(y.joints) || len(x.holders) != len(y.holders) || len(x.contains) != len(y.contains) {
			return false
		}
		if !sameRecords(a, b, x.ref) || (x.listed == nil) != (y.listed == nil) || x.listed != nil && *x.listed != *y.listed {
			return false
		}
	}
	for i := range a.joints {
		if a.joints[i].ref != b.joints[i].ref || len(a.joints[i].picked) != len(b.joints[i].picked) || !sameRecords(a, b, a.joints[i].ref) {
			return false
		}
	}
	return true
}

// sameRecords says that what stands under a name has not changed.
func sameRecords(a, b *book, ref record.Ref) bool {
	x, y := a.snapshot.Current(ref), b.snapshot.Current(ref)
	if x == nil || y == nil {
		return x == nil && y == nil
	}
	return x.ID == y.ID && x.Digest == y.Digest
}

// sameStep says that two works have the same line, with the same doubts about its order, at a place.
func (w *Work) sameStep(n *Work, i int) bool {
	a, b := &w.seq.steps[i], &n.seq.steps[i]
	x, y := &w.book.sessions[a.session], &n.book.sessions[b.session]
	if a.index != b.index || x.place.ID != y.place.ID || x.current.ID != y.current.ID || x.current.Digest != y.current.Digest || x.span != y.span {
		return false
	}
	p, q := w.seq.carries[int32(i)], n.seq.carries[int32(i)]
	if len(p) != len(q) {
		return false
	}
	for k := range p {
		if w.seq.doubts[p[k].doubt].Text != n.seq.doubts[q[k].doubt].Text || p[k].kind != q[k].kind || p[k].index != q[k].index || p[k].end != q[k].end || p[k].first != q[k].first {
			return false
		}
	}
	r, o := w.seq.rings[a.session], n.seq.rings[b.session]
	if len(r) != len(o) {
		return false
	}
	for k := range r {
		if w.seq.doubts[r[k]].Text != n.seq.doubts[o[k]].Text {
			return false
		}
	}
	return (a.undoes == none) == (b.undoes == none)
}

// adopt takes a state of an earlier work over, with the things that are new since as they are at the beginning.
func (w *Work) adopt(k, first *State) *State {
	c := k.clone()
	c.book, c.steps = w.book, w.seq.steps
	c.parts = append(c.parts, first.parts[len(c.parts):]...)
	c.joints = append(c.joints, first.joints[len(c.joints):]...)
	c.fills = append(c.fills, first.fills[len(c.fills):]...)
	return c
}

// sameBeginning says that a car began as another did, as far as both know its things: a part found by inference from a new
// line, or no longer, is a change from the root baseline on.
func sameBeginning(a, b *State) bool {
	for i := range a.parts {
		x, y := &a.parts[i], &b.parts[i]
		if x.Found != y.Found || x.Where != y.Where || x.inside != y.inside {
			return false
		}
	}
	for i := range a.joints {
		if a.joints[i] != b.joints[i] {
			return false
		}
	}
	return true
}

// fixedInterval replaces the number of steps between kept states where it is not 0: tests of small ledgers set it.
var fixedInterval = 0

func (w *Work) interval() int {
	if fixedInterval > 0 {
		return fixedInterval
	}
	return max(256, len(w.book.parts)+len(w.book.joints))
}

// keep replays all steps after a state and keeps a state each time as many steps were done as a state has things, so that
// keeping them costs no more than replaying.
func (w *Work) keep(from *State) {
	if len(w.kept) == 0 || w.kept[len(w.kept)-1] != from {
		w.kept = append(w.kept, from)
	}
	interval := w.interval()
	e := newEngine(from.clone(), w.seq)
	for i := from.done; i < len(w.seq.steps); i++ {
		e.step(int32(i))
		if (i+1)%interval == 0 || i+1 == len(w.seq.steps) {
			w.kept = append(w.kept, e.state.clone())
		}
	}
}

// Now is the state after all that is recorded.
func (w *Work) Now() *State { return w.kept[len(w.kept)-1] }

// Start is the state of the root baseline: before any recorded work.
func (w *Work) Start() *State { return w.kept[0] }

// Len is the number of lines in the order of replay.
func (w *Work) Len() int { return len(w.seq.steps) }

// Line gives a line by its place in the order.
func (w *Work) Line(n Step) Line { return w.book.lineOf(&w.seq.steps[n]) }

// Snapshot is the ledger it was made of.
func (w *Work) Snapshot() *ledger.Snapshot { return w.book.snapshot }

// On gives the state at the end of a day: after all sessions that may have begun by then. No day gives Now.
func (w *Work) On(day edtf.Day) *State {
	if day.IsZero() {
		return w.Now()
	}
	end := dayStart(day) + daySeconds
	first := 0 // the first step that lies after the day
	for first < len(w.seq.steps) && w.seq.begins[w.seq.steps[first].session] < end {
		first++
	}
	from := w.kept[0]
	for _, k := range w.kept {
		if k.done <= first {
			from = k
		}
	}
	e := newEngine(from.clone(), w.seq)
	e.state.Day = day
	for i := from.done; i < len(w.seq.steps); i++ {
		if w.seq.begins[w.seq.steps[i].session] < end {
			e.step(int32(i))
		}
	}
	return e.state
}

// Changed lists what one line changed: the parts whose place, and the joints whose being done up or tight it changed, and
// the parts that were seen in it, themselves or through a seal; one may stand there twice.
type Changed struct{ Parts, Joints, Seen []record.Ref }

// Each calls visit after every line with the state it left and what it changed. Both are only valid during the call.
func (w *Work) Each(visit func(Step, Line, *State, Changed)) {
	e := newEngine(w.kept[0].clone(), w.seq)
	for i := range w.seq.steps {
		e.step(int32(i))
		var c Changed
		for _, p := range e.moved {
			c.Parts = append(c.Parts, w.book.parts[p].ref)
		}
		for _, j := range e.changed {
			c.Joints = append(c.Joints, w.book.joints[j].ref)
		}
		for _, p := range e.saw {
			c.Seen = append(c.Seen, w.book.parts[p].ref)
		}
		visit(Step(i), w.Line(Step(i)), e.state, c)
	}
}

// Run replays lines that were only thought of, one after the other, from a state. They stand in no record.
func (s *State) Run(lines []record.Line) *State {
	c := s.clone()
	b := *s.book
	for i, n := range b.names {
		b.names[i] = names{maps.Clone(n.numbers), map[record.Ref]bool{}}
	}
	b.parts, b.joints, b.systems = slices.Clip(b.parts), slices.Clip(b.joints), slices.Clip(b.systems)
	steps := b.compile(none, lines, nil)
	c.book = &b
	c.steps = append(c.steps[:len(c.steps):len(c.steps)], steps...)
	c.grow()
	e := newEngine(c, &sequence{})
	for i := range steps {
		e.step(int32(len(s.steps) + i))
	}
	return e.state
}
