package replay

import (
	"cmp"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// act is what a line does, as a number.
type act uint8

const (
	otherAct act = iota
	removal
	fitting
	tightening
	alteration
	repair
	restoration
	drain
	fill
	move
	sighting
	out
	in
	preserve
	rectify
)

var acts = map[string]act{"removal": removal, "fitting": fitting, "tightening": tightening, "alteration": alteration, "repair": repair,
	"restoration": restoration, "drain": drain, "fill": fill, "move": move, "sighting": sighting, "out": out, "in": in,
	"preserve": preserve, "rectify": rectify}

// step is one line with its names turned into numbers.
type step struct {
	session int32
	index   int32
	act     act
	system  int32
	became  int32
	undoes  int32 // number of the session whose alteration a restoration undoes
	parts   []int32
	joints  []int32
	body    *record.Line
}

// declareSessions lists the sessions that count in the order of their earliest beginnings, ties by path, and compiles
// their lines. A session without lines is left out.
func (b *book) declareSessions() {
	entries := standing[record.Session](b.snapshot)
	places := make([]*record.Record, len(entries))
	for i, e := range entries {
		places[i] = b.snapshot.Place(e.Record)
	}
	c := clock{offsetOf(places)}
	for i, e := range entries {
		if len(e.Body.Lines) > 0 {
			b.sessions = append(b.sessions, session{place: places[i], current: e.Record, body: e.Body, span: c.spanOf(places[i])})
		}
	}
	slices.SortFunc(b.sessions, func(x, y session) int {
		return cmp.Or(cmp.Compare(x.span.from, y.span.from), cmp.Compare(x.place.ID, y.place.ID))
	})
	byName := make(map[record.Ref]int32, len(b.sessions))
	for i := range b.sessions {
		byName[b.sessions[i].place.ID] = int32(i)
	}
	for i := range b.sessions {
		s := &b.sessions[i]
		for _, a := range s.body.After {
			if n, ok := byName[b.place(a)]; ok && n != int32(i) && !slices.Contains(s.after, n) {
				s.after = append(s.after, n)
			}
		}
		s.lines = b.compile(int32(i), s.body.Lines, byName)
	}
}

// compile turns lines into steps.
func (b *book) compile(session int32, lines []record.Line, byName map[record.Ref]int32) []step {
	steps := make([]step, len(lines))
	for i := range lines {
		l := &lines[i]
		t := step{session: session, index: int32(i), act: acts[l.Act], system: none, became: none, undoes: none, body: l}
		for _, p := range l.Parts {
			if n := b.partAt(p); !slices.Contains(t.parts, n) {
				t.parts = append(t.parts, n)
			}
		}
		for _, j := range l.Joints {
			if n := b.jointAt(j); !slices.Contains(t.joints, n) {
				t.joints = append(t.joints, n)
			}
		}
		if l.System != "" {
			t.system = b.systemAt(l.System)
		}
		if l.Became != "" {
			t.became = b.partAt(l.Became)
		}
		if n, ok := byName[b.place(l.Undoes)]; ok && l.Undoes != "" {
			t.undoes = n
		}
		steps[i] = t
	}
	return steps
}

// Line is one line of work in its session, as replay took it.
type Line struct {
	// Session is the record whose lines count; Place the one in whose place it stands: they differ after a correction.
	Session, Place *record.Record
	// Work is the body of Session.
	Work *record.Session
	// Index counts the lines of the session from 0.
	Index int
	// Body is the line itself.
	Body *record.Line
}

// Pointer is the JSON pointer of the line in its session.
func (l Line) Pointer() string { return "/lines/" + itoa(l.Index) }

// Ref is the name of the session; of a planned line, which stands in no record, it is "".
func (l Line) Ref() record.Ref {
	if l.Session == nil {
		return ""
	}
	return l.Session.ID
}

// Planned says that the line stands in no record: it is work that was only thought of.
func (l Line) Planned() bool { return l.Session == nil }

// StandingSessions lists the sessions of a ledger that count, by the name of their place.
func StandingSessions(s *ledger.Snapshot) []ledger.Entry[record.Session] {
	return standing[record.Session](s)
}
