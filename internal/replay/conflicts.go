package replay

import "fmt"

// thingKind says what sort of thing lines touch.
type thingKind uint8

const (
	whereabouts thingKind = iota // of a part
	jointThing
	endThing // of a loom or hose
	markThing
	fillThing
)

// carry is a thing whose state must be replaced by the worse outcome after a step.
type carry struct {
	kind  thingKind
	index int32
	end   string
	doubt int  // in the list of doubts of the sequence
	first bool // no earlier step brings up the same doubt
}

// touch is the last line that settled a thing, and how.
type touch struct {
	step int32
	how  string
}

// conflicts goes through the lines in order and compares, thing by thing, each line with the one that settled it before.
type conflicts struct {
	s      *sorter
	q      *sequence
	parts  []touch
	joints []touch
	marks  []touch
	fills  []touch
	ends   map[endOf]touch
	seen   map[string]int
}

type endOf struct {
	part int32
	end  string
}

func findConflicts(s *sorter, q *sequence) {
	c := &conflicts{s: s, q: q, parts: untouched(len(s.b.parts)), joints: untouched(len(s.b.joints)), marks: untouched(len(s.b.parts)),
		fills: untouched(len(s.b.systems)), ends: map[endOf]touch{}, seen: map[string]int{}}
	for i := range q.steps {
		c.line(int32(i))
	}
}

func untouched(n int) []touch {
	list := make([]touch, n)
	for i := range list {
		list[i].step = none
	}
	return list
}

// always marks a touch that conflicts with every other of its thing, even one of its own kind: two moves may lead to two
// places.
const always = ""

func (c *conflicts) line(i int32) {
	t := &c.q.steps[i]
	for _, p := range t.parts {
		if how, ok := t.placing(); ok {
			c.compare(&c.parts[p], i, how, carry{kind: whereabouts, index: p})
		}
		if t.act == alteration || t.act == restoration {
			c.compare(&c.marks[p], i, t.body.Act, carry{kind: markThing, index: p})
		}
		for _, e := range t.body.Ends {
			key := endOf{p, e.End}
			was, seen := c.ends[key]
			if !seen {
				was.step = none
			}
			c.compare(&was, i, e.State, carry{kind: endThing, index: p, end: e.End})
			c.ends[key] = was
		}
	}
	if t.act == tightening {
		for _, j := range t.joints {
			c.compare(&c.joints[j], i, "tight", carry{kind: jointThing, index: j})
		}
	}
	for _, j := range c.s.b.jointsOf(*t) {
		c.compare(&c.joints[j], i, t.body.Act, carry{kind: jointThing, index: j})
	}
	if t.system != none && (t.act == drain || t.act == fill) {
		c.compare(&c.fills[t.system], i, t.body.Act, carry{kind: fillThing, index: t.system})
	}
}

// placing says whether a line settles where its parts are.
func (t *step) placing() (how string, ok bool) {
	switch {
	case t.act == removal, t.act == fitting, t.act == move, t.act == out, t.act == in, t.body.Gone != "", t.became != none:
		return always, true
	case (t.act == preserve || t.act == rectify) && (t.body.Store != "" || t.body.Place != ""):
		return always, true
	case t.act == sighting && (t.body.Store != "" || t.body.Place != "" || t.body.Position != ""):
		return "sighting", true
	}
	return "", false
}

// compare holds a touch against the one before it and keeps it.
func (c *conflicts) compare(was *touch, i int32, how string, thing carry) {
	before := *was
	*was = touch{i, how}
	if before.step == none || before.how == how && how != always {
		return
	}
	a, b := &c.q.steps[before.step], &c.q.steps[i]
	if a.session == b.session || c.s.path(node{a.session, a.index}, node{b.session, b.index}) {
		return
	}
	key := fmt.Sprint(thing.kind, thing.index, thing.end, a.session, b.session)
	n, known := c.seen[key]
	if !known {
		n = len(c.q.doubts)
		c.seen[key] = n
		c.q.doubts = append(c.q.doubts, c.s.b.unordered(thing, before.step, i, c.q.steps))
	}
	thing.doubt, thing.first = n, !known
	c.q.carries[i] = append(c.q.carries[i], thing)
}
