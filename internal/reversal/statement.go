package reversal

import (
	"cmp"
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// Edition is the edition of the stored form of a statement.
const Edition = "1"

// Statement is what the records say it would take to put a car back. It is complete in itself: its JSON can be kept, and
// rechecked with the steps that stand in it.
type Statement struct {
	Edition string `json:"edition"`
	// Header is principle and origin, printed on every form of it: sentences.
	Header   []string      `json:"header"`
	Car      string        `json:"car"`
	Workshop string        `json:"workshop"`
	Commit   string        `json:"commit,omitempty"`
	On       string        `json:"on,omitempty"`
	Baseline string        `json:"baseline"`
	Suppose  []Supposition `json:"suppose,omitempty"`
	// Law is what authorities are said to say of the way back: sentences. It decides nothing here.
	Law []string `json:"law,omitempty"`
	// Outcome is the worst of the three lines, which stand with the worst on top.
	Outcome     Outcome      `json:"outcome"`
	Lines       []Line       `json:"lines"`
	Floors      []Floor      `json:"floors"`
	Attachments []Attachment `json:"attachments,omitempty"`
	// Unfastened are the parts fitted of which no joint is on record, so that nothing is known of their holes.
	Unfastened []record.Ref `json:"unfastened,omitempty"`
	// Purposeful is work done for another purpose, with its traces, not to be undone.
	Purposeful []Note `json:"purposeful,omitempty"`
	Steps      []Step `json:"steps"`
	// Hours sums what is known of the time the same work took the other way; Untimed counts the steps without.
	Minutes int `json:"minutes,omitempty"`
	Untimed int `json:"untimed,omitempty"`
	// Different is what stays different from the baseline after the steps have been run through replay.
	Different []Difference `json:"different,omitempty"`
	// Against and For name the records once more, over all lines; a record against is never listed as for.
	Against []record.Ref `json:"against,omitempty"`
	For     []record.Ref `json:"for,omitempty"`
}

// Make works out the statement of a car. It fails only for a question that cannot be asked: an unknown baseline or part.
func Make(w *replay.Work, opts Options) (*Statement, error) {
	m, err := newMaker(w, opts)
	if err != nil {
		return nil, err
	}
	plan := m.plan()
	after := m.now.Run(linesOf(plan))
	different := m.compare(after)
	m.judgeFound()
	m.judgeStructure()
	m.judgeConsumables(plan)
	floors := m.judgeFloors(plan)
	m.judgeRest(different)
	s := &Statement{Edition: Edition, Workshop: w.Snapshot().Head().Workshop, Commit: opts.Commit, On: opts.On.String(), Baseline: m.name,
		Suppose: m.opts.Suppose, Law: slices.Clone(opts.Law), Floors: floors, Attachments: m.attachments(), Unfastened: m.unfastened, Different: different, Purposeful: m.notes}
	s.Car = carName(w)
	s.Header = header(s)
	s.Lines = m.lines()
	s.Outcome = s.Lines[0].Outcome
	s.Steps = m.steps(plan)
	s.sumTime()
	s.nameRecords()
	return s, nil
}

func linesOf(plan []planned) []record.Line {
	lines := make([]record.Line, len(plan))
	for i, p := range plan {
		lines[i] = p.line
	}
	return lines
}

func carName(w *replay.Work) string {
	car, body := w.Car()
	switch {
	case car == nil:
		return "a car without a record of itself"
	case body.Name != "":
		return body.Name
	case body.Make != "":
		return body.Make + " " + body.Model
	}
	return "a car without a name"
}

// judgeRest makes a reason of what the run of the work order leaves different and no reason explains: then the work order
// falls short, and nothing is said.
func (m *maker) judgeRest(different []Difference) {
	explained := map[record.Ref]bool{}
	for _, r := range m.reasons {
		explained[r.Thing] = true
	}
	for _, d := range different {
		if explained[d.Thing] {
			continue
		}
		topic := FoundParts
		if d.Thing == m.root {
			topic = Structure
		}
		m.against(Reason{Code: "stays-different", Topic: topic, Outcome: CannotSay, Thing: d.Thing,
			Text:   "run through replay, the work order leaves a difference that nothing on record accounts for: " + d.Text,
			Settle: "look at the records of this part or joint"}, d.Thing)
	}
}

// lines makes the three lines, the worst on top.
func (m *maker) lines() []Line {
	bad := map[record.Ref]bool{}
	for _, r := range m.reasons {
		for _, ref := range r.Records {
			bad[ref] = true
		}
	}
	var lines []Line
	for _, topic := range []Topic{FoundParts, Structure, Consumable} {
		l := Line{Topic: topic}
		for _, r := range m.reasons {
			if r.Topic == topic {
				l.Reasons = append(l.Reasons, r)
				l.Outcome = max(l.Outcome, r.Outcome)
			}
		}
		slices.SortStableFunc(l.Reasons, worstFirst)
		said := map[Support]bool{}
		for _, s := range m.support {
			if s.Topic == topic && !bad[s.Record] && !said[s] {
				said[s] = true
				l.For = append(l.For, s)
			}
		}
		l.Text = string(topic) + ": " + l.Outcome.String()
		lines = append(lines, l)
	}
	slices.SortStableFunc(lines, func(a, b Line) int { return cmp.Compare(b.Outcome, a.Outcome) })
	return lines
}

// worstFirst orders reasons: safety decisions before all, then the worst, then by what they are about.
func worstFirst(a, b Reason) int {
	if a.Safety != b.Safety {
		if a.Safety {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(b.Outcome, a.Outcome), cmp.Compare(a.Thing, b.Thing), cmp.Compare(a.Text, b.Text))
}

func (s *Statement) nameRecords() {
	for _, l := range s.Lines {
		for _, r := range l.Reasons {
			s.Against = append(s.Against, r.Records...)
		}
		for _, f := range l.For {
			s.For = append(s.For, f.Record)
		}
	}
	slices.Sort(s.Against)
	slices.Sort(s.For)
	s.Against, s.For = slices.Compact(s.Against), slices.Compact(s.For)
}

// header says what a statement is and is not. It stands on every form of it.
func header(s *Statement) []string {
	from := "Computed from the records of " + s.Car
	if s.Workshop != "" {
		from += " as the workshop " + s.Workshop + " keeps them"
	}
	if s.Commit != "" {
		from += ", commit " + s.Commit
	}
	if s.On != "" {
		from += ", for the day " + s.On
	}
	lines := []string{from + ". The car was not examined.",
		"It cannot know: work that nobody wrote down; whether the part in a photo is the part in the crate; whether a stored part still works; whether the law lets the car be put back.",
		"It describes the way back to the baseline \"" + s.Baseline + "\". Work with the purpose conversion counts, and so does work whose purpose is not stated or that a conversion part later uses; other work is listed and left as it is."}
	for _, p := range s.Suppose {
		lines = append(lines, "Supposed for the sake of the question, beyond the records: "+string(p.Part)+" is "+p.Gone+".")
	}
	return lines
}
