package reversal

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"boltback/internal/finding"
	"boltback/internal/replay"
)

// maxStatement bounds the bytes of a stored statement.
const maxStatement = 32 << 20

// Encode writes a statement as it is kept: JSON, two spaces, a final newline.
func (s *Statement) Encode(w io.Writer) error {
	if err := finding.WriteJSON(w, s); err != nil {
		return fmt.Errorf("write the statement: %w", err)
	}
	return nil
}

// Decode reads a kept statement. A member that this edition does not know is an error, as is anything behind it.
func Decode(r io.Reader) (*Statement, error) {
	d := json.NewDecoder(io.LimitReader(r, maxStatement))
	d.DisallowUnknownFields()
	var s Statement
	if err := d.Decode(&s); err != nil {
		return nil, fmt.Errorf("this is not a reversal statement of edition %s: %w", Edition, err)
	}
	if s.Edition != Edition {
		return nil, fmt.Errorf("the statement is of edition %q, and this program reads edition %q", s.Edition, Edition)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("something stands behind the end of the statement")
	}
	return &s, nil
}

// Change is one thing in which a kept statement and the records of today differ.
type Change struct {
	// What is: outcome, line, difference, reason, step.
	What string `json:"what"`
	Text string `json:"text"`
}

// Recheck replays the steps that stand in a kept statement on the records of today, for the day and with what is supposed in
// it, and names what differs from what it says. It does not plan: a car that has been worked on since shows as steps that no
// longer fit. The work must hold the ledger at the revision that is to be compared.
func Recheck(w *replay.Work, kept *Statement) ([]Change, error) {
	opts := Options{To: kept.Baseline, Suppose: slices.Clone(kept.Suppose), Commit: kept.Commit}
	if opts.To == "the root baseline" {
		opts.To = ""
	}
	if kept.On != "" {
		day, ok := replay.ParseDay(kept.On)
		if !ok {
			return nil, fmt.Errorf("the statement is for the day %q, which is no day", kept.On)
		}
		opts.On = day
	}
	m, err := newMaker(w, opts)
	if err != nil {
		return nil, err
	}
	plan := make([]planned, len(kept.Steps))
	for i, s := range kept.Steps {
		plan[i] = planned{s.Kind, s.Line}
	}
	var changes []Change
	for i, p := range plan {
		if text := m.unfit(p); text != "" {
			changes = append(changes, Change{"step", fmt.Sprintf("step %d no longer fits: %s", i+1, text)})
		}
	}
	different := m.compare(m.now.Run(linesOf(plan)))
	changes = append(changes, diffDifferences(kept.Different, different)...)
	m.judgeFound()
	m.judgeStructure()
	m.judgeConsumables(plan)
	m.judgeFloors(plan)
	m.judgeRest(different)
	return append(changes, diffLines(kept.Lines, m.lines())...), nil
}

// unfit says why a kept step cannot be done on the car as the records have it today.
func (m *maker) unfit(p planned) string {
	for _, ref := range p.line.Parts {
		s, ok := m.now.Part(ref)
		switch {
		case !ok:
			return "nothing is recorded of " + string(ref)
		case p.kind == TakeOff && s.Where.Place != replay.OnCar:
			return m.called(ref) + " is not on the car: it is " + whereText(m.w, s.Where)
		case p.kind == PutBack && s.Where.Place == replay.Gone:
			if info, _ := m.w.Part(ref); !isExpendable(info) {
				return m.called(ref) + " is " + whereText(m.w, s.Where)
			}
		}
	}
	for _, ref := range p.line.Joints {
		if _, ok := m.w.Joint(ref); !ok {
			return "nothing is recorded of " + string(ref)
		}
	}
	return ""
}

func diffDifferences(kept, now []Difference) []Change {
	var list []Change
	for _, d := range now {
		if !slices.ContainsFunc(kept, func(k Difference) bool { return k.Thing == d.Thing && k.What == d.What && k.Detail == d.Detail }) {
			list = append(list, Change{"difference", "run through replay, its steps now leave this too: " + d.Text})
		}
	}
	for _, k := range kept {
		if !slices.ContainsFunc(now, func(d Difference) bool { return k.Thing == d.Thing && k.What == d.What && k.Detail == d.Detail }) {
			list = append(list, Change{"difference", "run through replay, its steps no longer leave this: " + k.Text})
		}
	}
	return list
}

// diffLines compares the outcomes of the three lines and their reasons.
func diffLines(kept, now []Line) []Change {
	var list []Change
	for _, n := range now {
		i := slices.IndexFunc(kept, func(k Line) bool { return k.Topic == n.Topic })
		if i < 0 {
			list = append(list, Change{"line", "the statement has no line on " + string(n.Topic)})
			continue
		}
		k := kept[i]
		if k.Outcome != n.Outcome {
			list = append(list, Change{"outcome", fmt.Sprintf("%s: it says %q, and today's records say %q", n.Topic, k.Outcome, n.Outcome)})
		}
		same := func(a, b Reason) bool { return a.Code == b.Code && a.Thing == b.Thing && a.Text == b.Text }
		for _, r := range n.Reasons {
			if !slices.ContainsFunc(k.Reasons, func(o Reason) bool { return same(o, r) }) {
				list = append(list, Change{"reason", "today's records add: " + r.Text})
			}
		}
		for _, o := range k.Reasons {
			if !slices.ContainsFunc(n.Reasons, func(r Reason) bool { return same(o, r) }) {
				list = append(list, Change{"reason", "today's records no longer show: " + o.Text})
			}
		}
	}
	return list
}
