package reversal

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// Options say what is asked.
type Options struct {
	// To is the name of the baseline to restore; "" is the root baseline.
	To string
	// On is the day asked about; no day asks about all that is recorded, and then no age is judged.
	On replay.Day
	// Suppose lists what is assumed beyond the records.
	Suppose []Supposition
	// Commit is the revision of the ledger, printed and not checked.
	Commit string
	// Law is what the authorities asked about are said to say of the way back: sentences, printed and not judged.
	Law []string
}

// Supposition is something assumed for the sake of the question: that a part is gone.
type Supposition struct {
	Part record.Ref `json:"part"`
	Gone string     `json:"gone"` // how: "lost" where nothing else is said
}

// maker holds what is worked out on the way to a statement.
type maker struct {
	w       *replay.Work
	opts    Options
	floors  Floors
	root    record.Ref
	base    *replay.State // the car at the baseline
	baseDay replay.Day    // no day for the root baseline
	name    string        // of the baseline
	now     *replay.State
	effects []effect
	// the last line that put a part on the car, and that took it off
	fittedBy, takenBy map[record.Ref]*effect
	counts            []bool
	target            *target
	zones             *replay.Zones
	marked            []mark       // see allMarks
	held              []Attachment // see attachments
	unfastened        []record.Ref // see Statement.Unfastened
	reasons           []Reason
	support           []Support
	notes             []Note
}

// newMaker replays the work and sets the question up. It fails for a baseline or a part that the records do not have.
func newMaker(w *replay.Work, opts Options) (*maker, error) {
	opts.Suppose = slices.Clone(opts.Suppose)
	m := &maker{w: w, opts: opts, root: w.Root(), floors: ProgramFloors().tightened(w.Snapshot().Head().Limits)}
	if err := m.findBaseline(); err != nil {
		return nil, err
	}
	m.now = w.On(opts.On)
	var supposed []record.Line
	for i, s := range opts.Suppose {
		if _, ok := w.Part(s.Part); !ok {
			return nil, fmt.Errorf("nothing is recorded of %s, so nothing can be supposed of it", s.Part)
		}
		if s.Gone == "" {
			opts.Suppose[i].Gone = "lost"
		}
		supposed = append(supposed, record.Line{Act: "removal", Parts: []record.Ref{s.Part}, Gone: opts.Suppose[i].Gone})
	}
	if len(supposed) > 0 {
		m.now = m.now.Run(supposed)
	}
	m.opts = opts
	m.effects = effects(w)
	if !opts.On.IsZero() {
		m.effects = m.until(opts.On)
	}
	m.index()
	m.counts = m.counting()
	m.target = m.aim()
	m.zones = replay.ZonesOf(w)
	return m, nil
}

// index notes the last line that fitted each part, and that took it off.
func (m *maker) index() {
	m.fittedBy, m.takenBy = map[record.Ref]*effect{}, map[record.Ref]*effect{}
	for i := range m.effects {
		for _, p := range m.effects[i].parts {
			switch {
			case p.on && !p.wasOn:
				m.fittedBy[p.ref] = &m.effects[i]
			case p.wasOn && !p.on:
				m.takenBy[p.ref] = &m.effects[i]
			}
		}
	}
}

// until drops the effects of work that began after a day. The order of the rest stays.
func (m *maker) until(day replay.Day) []effect {
	kept := slices.Clone(m.effects)
	for i := range kept {
		if m.w.NotBefore(replay.Step(i)).Compare(day) > 0 {
			kept[i] = effect{number: i, line: kept[i].line}
			kept[i].line.Body = &record.Line{Purpose: "service"} // work of later days is not looked at
		}
	}
	return kept
}

// findBaseline finds the baseline asked for and the state of the car on its day.
func (m *maker) findBaseline() error {
	_, car := m.w.Car()
	m.base, m.name = m.w.Start(), "the root baseline"
	var names []string
	if car.Baseline != nil && car.Baseline.Name != "" {
		m.name = car.Baseline.Name
		names = append(names, m.name)
	}
	if m.opts.To == "" || m.opts.To == m.name {
		return nil
	}
	for _, b := range car.Baselines {
		names = append(names, b.Name)
		if b.Name != m.opts.To {
			continue
		}
		day, ok := replay.LastDay(b.On)
		if !ok {
			return fmt.Errorf("the baseline %q has no day, so the car on that day is not known", b.Name)
		}
		m.base, m.baseDay, m.name = m.w.On(day), day, b.Name
		m.holdAgainst(b)
		return nil
	}
	return fmt.Errorf("there is no baseline called %q; there is: %s", m.opts.To, strings.Join(names, ", "))
}

// holdAgainst compares what a named baseline asserts with what replay gives for its day.
func (m *maker) holdAgainst(b record.Baseline) {
	for _, asserted := range b.Parts {
		p, ok := m.base.Part(asserted.Part)
		if ok && p.Where.Place == replay.OnCar && (asserted.Position == "" || p.Where.Position == asserted.Position) {
			continue
		}
		where := "nowhere on record"
		if ok {
			where = whereText(m.w, p.Where)
		}
		m.against(Reason{Code: "baseline-not-reproduced", Topic: FoundParts, Outcome: CannotSay, Thing: asserted.Part,
			Text:    fmt.Sprintf("the baseline %q has %s on the car at %q, but by the records of its day it was %s", b.Name, m.called(asserted.Part), asserted.Position, where),
			Settle:  "correct the baseline, or record the work that is missing",
			Records: []record.Ref{"car"}}, asserted.Part)
	}
}

func (m *maker) called(ref record.Ref) string { return m.w.Called(ref) }

// against notes a reason with the records of the things named, which are records against too.
func (m *maker) against(r Reason, things ...record.Ref) {
	for _, t := range things {
		r.Records = append(r.Records, m.recordsOf(t)...)
	}
	slices.Sort(r.Records)
	r.Records = slices.Compact(r.Records)
	m.reasons = append(m.reasons, r)
}

// recordsOf lists the records in which a part or joint, or another thing, is declared.
func (m *maker) recordsOf(ref record.Ref) []record.Ref {
	var list []record.Ref
	if r := m.w.Snapshot().Current(ref); r != nil {
		list = append(list, r.ID)
	}
	if p, ok := m.w.Part(ref); ok && p.Listed != nil {
		if car, _ := m.w.Car(); car != nil {
			list = append(list, car.ID)
		}
	}
	return list
}

// sessions names the records of lines, each once.
func sessions(lines ...replay.Line) []record.Ref {
	var list []record.Ref
	for _, l := range lines {
		if ref := l.Ref(); ref != "" && !slices.Contains(list, ref) {
			list = append(list, ref)
		}
	}
	return list
}

// whereText says where a part is.
func whereText(w *replay.Work, at replay.Where) string {
	switch at.Place {
	case replay.OnCar:
		return joinWords("on the car", at.Position)
	case replay.InStore:
		return joinWords("in store", strings.TrimSpace(w.Called(at.Store)+" "+at.Shelf))
	case replay.WithSomeone:
		return joinWords("out", at.With)
	case replay.Gone:
		return joinWords("gone", at.How)
	case replay.BecameAnother:
		return "turned into " + w.Called(at.Became)
	}
	return at.Place.String()
}

func joinWords(what, detail string) string {
	if detail == "" {
		return what
	}
	return what + ", " + detail
}
