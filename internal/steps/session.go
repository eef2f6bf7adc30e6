package steps

import (
	"slices"
	"strings"

	"boltback/internal/entry"
	"boltback/internal/record"
)

// Bench is what is known before the first step.
type Bench struct {
	// Context reads measures, dates and names; its snapshot is the car.
	Context entry.Context
	// Stores, People and Instruments are those of the workshop's address book, beside those of the car.
	Stores, People, Instruments []record.Ref
	// Lies gives what lies in a store, or in one place of it, by the records; nil knows of none.
	Lies func(store record.Ref, place string) []record.Ref
	// Workshop is the handle under which a store that is named for the first time is kept; "" lets none be.
	Workshop string
	// By is who tells it; the day is the context's today.
	By record.Ref
}

// Session is work that is being told.
type Session struct {
	bench   Bench
	context entry.Context
	work    record.Session
	// store, place and purpose hold for the steps that follow.
	store          record.Ref
	place, purpose string
	before         before
	named          *named
	told           []Told
}

// Told is one step as it was understood.
type Told struct {
	// Line is what was typed, written out in full, or "" for a row of a table.
	Line string
	// Says is how it was understood, in a sentence without a full stop.
	Says string
	// Notes are assumptions and what was respelled.
	Notes []string
	// Open says what has to be settled before this step is part of the work; "" where nothing has. An open step goes to the
	// inbox by itself.
	Open string
	// Hazards are the words of the parts' records for ways to be hurt by the step; looking at a part hurts nobody.
	Hazards []string
	// Line of work, without one for settings.
	step *record.Line
}

// New begins a session.
func New(b Bench) *Session {
	car := ofCar(b.Context.Snapshot)
	for _, ref := range b.Stores {
		if car.body(ref) == nil {
			car.addStore(ref, "")
		}
	}
	return begin(b, over(car))
}

// begin begins a session over what is named already.
func begin(b Bench, n *named) *Session {
	s := &Session{bench: b, context: b.Context, named: n}
	s.work.Kind, s.work.By = record.KindSession, b.By
	if !b.Context.Today.IsZero() {
		s.work.Started = record.Date(b.Context.Today.String())
	}
	return s
}

// Beside begins another session, of another day or person, that knows what this one named; Result of either lists what both
// named for the first time.
func (s *Session) Beside() *Session {
	return begin(s.bench, s.named)
}

// Tell takes one line. The error is an *entry.Fault and leaves the session as it was.
func (s *Session) Tell(line string) (Told, error) {
	line = strings.Join(strings.Fields(line), " ")
	if told, ok, err := s.set(line); ok || err != nil {
		return told, err
	}
	line, err := s.full(line)
	if err != nil {
		return Told{}, err
	}
	step, err := s.parse(line)
	if err != nil {
		return Told{}, err
	}
	return s.take(line, step)
}

// Take takes one step that stands on no line, such as a row of a table.
func (s *Session) Take(step Step) (Told, error) { return s.take("", step) }

// Try says how a step would be taken, and leaves the session as it is.
func (s *Session) Try(step Step) (Told, error) {
	trial := *s
	trial.named, trial.told = over(s.named), nil
	return trial.take("", step)
}

// Part gives the part that words or a tag mean, "" where there is none or several.
func (s *Session) Part(words string) record.Ref {
	if ref := s.known(words); ref != "" {
		return ref
	}
	if bears := s.bearing(words); len(bears) == 1 {
		return bears[0]
	}
	return ""
}

// Person finds somebody by a name or the end of it.
func (s *Session) Person(name string) (record.Ref, error) {
	return s.find(name, s.bench.People, "person")
}

// Instrument finds an instrument by a name or the end of it.
func (s *Session) Instrument(name string) (record.Ref, error) {
	return s.find(name, s.bench.Instruments, "instrument")
}

// Lines are the lines told so far, each written out in full.
func (s *Session) Lines() []string {
	var lines []string
	for _, t := range s.told {
		lines = append(lines, t.Line)
	}
	return lines
}

// Told lists what was told so far.
func (s *Session) Told() []Told { return slices.Clone(s.told) }

// Again begins the same session anew and tells it lines: what undo and a return after a crash need. Lines that cannot be
// taken are given back.
func (s *Session) Again(lines []string) (again *Session, refused []string) {
	again = begin(s.bench, over(s.named.car()))
	for _, line := range lines {
		if _, err := again.Tell(line); err != nil {
			refused = append(refused, line)
		}
	}
	return again, refused
}

// Result is what a session leaves behind.
type Result struct {
	// Work is the session of work, nil where no step is complete.
	Work *record.Session
	// New are the records of what was named for the first time, by name.
	New []NewRecord
	// Open are the steps that something is open of.
	Open []Told
}

// NewRecord is a record with its name.
type NewRecord struct {
	ID   record.Ref
	Body record.Body
}

// Result gives the records.
func (s *Session) Result() Result {
	r := Result{Work: s.Work()}
	for _, t := range s.told {
		if t.Open != "" {
			r.Open = append(r.Open, t)
		}
	}
	for _, id := range s.named.order {
		r.New = append(r.New, NewRecord{id, s.named.bodies[id]})
	}
	return r
}

// Work gives the session of work alone, nil where no step is complete.
func (s *Session) Work() *record.Session {
	work := s.work
	for _, t := range s.told {
		if t.Open == "" && t.step != nil {
			work.Lines = append(work.Lines, *t.step)
		}
	}
	if len(work.Lines) == 0 {
		return nil
	}
	return &work
}

// Day is the day the work was done on, as far as it is told.
func (s *Session) Day() record.Date { return s.work.Started }
