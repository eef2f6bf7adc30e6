package dossier

import (
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// location is where the lines leave a part.
type location int

const (
	neverMoved location = iota // no line moves it
	onCar
	stored // a store or a place is stated
	withSomebody
	unplaced // off the car, and no line says where it was put
	becameOther
	leftForGood
)

// whereabouts is where a part is by the latest line, in recorded order, that
// moved it. It is the simple answer: one line decides, and where the order of
// two lines is not stated that is said.
type whereabouts struct {
	location location
	last     *movement   // the line that decides; nil where there is none
	seen     *movement   // the latest line of any act that names the part
	removal  *movement   // the latest removal, for its bag and purpose
	within   record.Ref  // the assembly that was moved with the part in it
	missed   *movement   // a later stock-take of its place that does not name it
	doubts   []*movement // lines of other sessions whose order to the last is not stated, with another outcome
}

// movement is one line of a session that counts.
type movement struct {
	session *session
	index   int
	line    *record.Line
	order   int // over the whole ledger
}

// movements holds the lines of all sessions, by part.
type movements struct {
	s          *ledger.Snapshot
	sessions   []*session
	byID       map[record.Ref]*session
	byPart     map[record.Ref][]*movement
	containers map[record.Ref][]record.Ref
	stockTakes []*movement // lines that looked for everything in a place
}

func readMovements(s *ledger.Snapshot) *movements {
	m := &movements{s: s, sessions: sessionsInOrder(s), byID: map[record.Ref]*session{},
		byPart: map[record.Ref][]*movement{}, containers: map[record.Ref][]record.Ref{}}
	order := 0
	for _, one := range m.sessions {
		m.byID[one.ID] = one
		for i := range one.body.Lines {
			order++
			line := &one.body.Lines[i]
			if line.Act == "sighting" && line.Counted == "everything there" {
				m.stockTakes = append(m.stockTakes, &movement{one, i, line, order})
			}
			for _, part := range line.Parts {
				key := m.key(part)
				m.byPart[key] = append(m.byPart[key], &movement{one, i, line, order})
			}
		}
	}
	_, car := s.Car()
	root := m.key(car.Root)
	for _, assembly := range ledger.All[record.Part](s) {
		if key := m.key(assembly.ID); key != root {
			for _, part := range assembly.Body.Contains {
				m.containers[m.key(part)] = append(m.containers[m.key(part)], key)
			}
		}
	}
	return m
}

// key is the one name of a part, whichever of its records is referred to: the
// first of a chain of corrections, and of records joined by same-as.
func (m *movements) key(id record.Ref) record.Ref {
	for range 32 { // a ring of same-as ends here
		r := m.s.Current(id)
		if r == nil {
			return id
		}
		id = m.s.Place(r).ID
		part, ok := r.Body.(*record.Part)
		if !ok || part.SameAs == "" || m.s.Current(part.SameAs) == nil {
			return id
		}
		id = part.SameAs
	}
	return id
}

// of gives the whereabouts of a part.
func (m *movements) of(id record.Ref) whereabouts {
	w := m.find(m.key(id), 0)
	w.missed = m.missedBy(w)
	return w
}

// missedBy finds the first stock-take that came for certain after the part was
// put into a place, looked for everything there, and whose session does not name
// the part. What moves with its assembly is seen with it.
func (m *movements) missedBy(w whereabouts) *movement {
	if w.location != stored || w.within != "" {
		return nil
	}
	for _, take := range m.stockTakes {
		there := take.line.Store == w.last.line.Store && (take.line.Place == "" || take.line.Place == w.last.line.Place)
		if there && m.before(w.last.session, take.session) && w.seen.session != take.session && w.seen.order < take.order {
			return take
		}
	}
	return nil
}

func (m *movements) find(key record.Ref, depth int) whereabouts {
	w := m.own(key)
	if depth > 16 { // an assembly that contains itself ends here
		return w
	}
	for _, container := range m.containers[key] {
		around := m.find(container, depth+1)
		switch {
		case around.last == nil || w.last != nil && around.last.order <= w.last.order:
		case w.last == nil || w.location == onCar:
			around.within, around.removal = container, w.removal
			if w.seen != nil && (around.seen == nil || w.seen.order > around.seen.order) {
				around.seen = w.seen
			}
			w = around
		default:
			w.doubts = append(w.doubts, around.last)
		}
	}
	return w
}

// own follows the lines that name the part itself.
func (m *movements) own(key record.Ref) whereabouts {
	var w whereabouts
	for _, one := range m.byPart[key] {
		w.seen = one
		if one.line.Act == "removal" {
			w.removal = one
		}
		if to := outcome(one.line); to != neverMoved {
			w.location, w.last = to, one
		}
	}
	for _, other := range m.byPart[key] {
		if w.last == nil || other.session == w.last.session || outcome(other.line) == neverMoved || sameOutcome(other.line, w.last.line) {
			continue
		}
		if !m.before(other.session, w.last.session) {
			w.doubts = append(w.doubts, other)
		}
	}
	return w
}

// outcome is where a line leaves its parts; neverMoved where it moves nothing.
func outcome(l *record.Line) location {
	switch {
	case l.Became != "":
		return becameOther
	case l.Gone != "":
		return leftForGood
	}
	put := l.Store != "" || l.Place != ""
	switch l.Act {
	case "fitting":
		return onCar
	case "removal", "move", "in":
		if put {
			return stored
		}
		return unplaced
	case "out":
		return withSomebody
	case "sighting":
		if put {
			return stored
		}
	}
	return neverMoved
}

func sameOutcome(a, b *record.Line) bool {
	return outcome(a) == outcome(b) && a.Store == b.Store && a.Place == b.Place && a.With == b.With && a.Position == b.Position && a.Gone == b.Gone
}
