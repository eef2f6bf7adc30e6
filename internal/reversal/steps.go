package reversal

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// Step is one step of the work order. Line is what a recheck replays; the rest is for the person at the bench.
type Step struct {
	Number int         `json:"number"`
	Kind   StepKind    `json:"kind"`
	Text   string      `json:"text"`
	Line   record.Line `json:"line"`
	Parts  []StepPart  `json:"parts,omitempty"`
	Joints []StepJoint `json:"joints,omitempty"`
	// Cautions stand beside the step; Law says what the law may forbid.
	Cautions []string `json:"cautions,omitempty"`
	Law      []string `json:"law,omitempty"`
	// Minutes is a share of the time the session took that did it the other way; 0 where that is not recorded.
	Minutes int        `json:"minutes,omitempty"`
	From    record.Ref `json:"time-from,omitempty"`
	// GravityBefore and GravityAfter are the car's centre of gravity around a heavy lift, as far as the records allow it.
	GravityBefore string `json:"gravity-before,omitempty"`
	GravityAfter  string `json:"gravity-after,omitempty"`
}

// StepPart is a part in a step.
type StepPart struct {
	Ref   record.Ref     `json:"ref"`
	Name  string         `json:"name"`
	Tag   string         `json:"tag,omitempty"`
	Where string         `json:"where"`
	Mass  record.Measure `json:"mass,omitempty"`
}

// StepJoint is a joint in a step with all that is needed to undo it or do it up.
type StepJoint struct {
	Ref           record.Ref            `json:"ref"`
	Name          string                `json:"name"`
	Fasteners     []record.Fastener     `json:"fasteners,omitempty"`
	Bag           string                `json:"bag,omitempty"`
	Counted       int64                 `json:"counted,omitempty"`
	Specification *record.Specification `json:"specification,omitempty"`
	// Tightening says how tight and by whose word, or that it is not recorded.
	Tightening string `json:"tightening"`
}

// heavyKilograms is the mass from which a lift is treated as heavy where its part does not say so itself.
const heavyKilograms = 25

// steps writes the work order: each planned line with all that is recorded of its parts and joints, and the car's centre of
// gravity around each heavy lift.
func (m *maker) steps(plan []planned) []Step {
	var list []Step
	centre := m.balanceOf()
	off := map[record.Ref]int{} // by part, the step that takes it off
	for i, p := range plan {
		s := Step{Number: i + 1, Kind: p.kind, Line: p.line}
		if p.moves() {
			for _, ref := range p.line.Parts {
				s.Parts = append(s.Parts, m.stepPart(p, ref, off[ref]))
				if p.kind == TakeOff {
					off[ref] = s.Number
				}
			}
		}
		for _, ref := range p.line.Joints {
			s.Joints = append(s.Joints, m.stepJoint(ref))
		}
		s.Text = m.stepText(p)
		m.warn(&s)
		s.Minutes, s.From = m.timeOf(p)
		if m.heavy(p) {
			s.GravityBefore = centre.text()
		}
		centre.step(m, p)
		if m.heavy(p) {
			s.GravityAfter = centre.text()
		}
		list = append(list, s)
	}
	return list
}

// moves says that a step takes its parts in hand, so that their tags and whereabouts are wanted. Others work on joints, ends
// and fluids of parts that stay where an earlier step put them.
func (p planned) moves() bool {
	switch p.kind {
	case TightenStep, ConnectStep, DrainStep, FillStep:
		return false
	}
	return true
}

// stepPart is a part as whoever does the step finds it: where it is on the day of the statement, taken off by an earlier step,
// or still to be got.
func (m *maker) stepPart(p planned, ref record.Ref, offIn int) StepPart {
	info, _ := m.w.Part(ref)
	s, _ := m.now.Part(ref)
	where := whereText(m.w, s.Where)
	switch {
	case p.kind == PutBack && isExpendable(info):
		where = "a new one, to be got"
	case offIn > 0:
		where = fmt.Sprintf("taken off in step %d", offIn)
	}
	return StepPart{Ref: info.Ref, Name: m.called(ref), Tag: info.Body.Tag, Where: where, Mass: info.Body.Mass}
}

func (m *maker) stepJoint(ref record.Ref) StepJoint {
	j, _ := m.w.Joint(ref)
	s, _ := m.now.Joint(ref)
	return StepJoint{Ref: j.Ref, Name: m.called(ref), Fasteners: j.Body.Fasteners, Bag: bagOf(j.Body, s), Counted: s.Fasteners,
		Specification: j.Body.Specification, Tightening: tightening(j.Body.Specification)}
}

func bagOf(j *record.Joint, s replay.JointState) string {
	if s.Bag != "" {
		return s.Bag
	}
	for _, f := range j.Fasteners {
		if f.Bag != "" {
			return f.Bag
		}
	}
	return ""
}

// tightening says how tight a joint is to be, and by whose word.
func tightening(s *record.Specification) string {
	if s == nil || s.Torque == "" {
		return "tightening not recorded: look it up in the maker's manual"
	}
	text := string(s.Torque)
	if s.Angle != "" {
		text += ", then " + string(s.Angle) + " further"
	}
	if s.Surface != "" {
		text += ", threads " + s.Surface
	}
	if s.Source == "" {
		return text + "; whose figure this is, is not recorded"
	}
	return text + ", by " + s.Source
}

// stepText is the step in a sentence, lower case, no full stop.
func (m *maker) stepText(p planned) string {
	what := m.names(p.line.Parts)
	switch p.kind {
	case DrainStep:
		return "drain " + m.called(p.line.System) + " and collect it" + inBrackets(m.fluid(p.line.System))
	case FillStep:
		return "fill " + m.called(p.line.System) + inBrackets(m.fluid(p.line.System))
	case UndoStep:
		a := p.line.Alteration
		text := "undo on " + what + ": " + a.Undo
		if a.Leaves != "" {
			text += "; it leaves " + a.Leaves
		}
		return text
	case ConnectStep:
		var ends []string
		for _, e := range p.line.Ends {
			ends = append(ends, e.End)
		}
		return "connect the ends of " + what + ": " + strings.Join(ends, ", ")
	case TightenStep:
		return "tighten " + m.names(p.line.Joints)
	case PutBack:
		if renewed := m.renewedOf(p.line.Parts); renewed {
			return "fit new: " + what
		}
		return "put back " + what + inBrackets(p.line.Position)
	case MoveStep:
		return "set " + what + " where it was" + inBrackets(p.line.Position)
	case BenchStep:
		return "put together on the bench: " + what + ", by " + m.names(p.line.Joints)
	}
	return string(p.kind) + " " + what
}

// names lists what people call a few things.
func (m *maker) names(refs []record.Ref) string {
	names := make([]string, len(refs))
	for i, ref := range refs {
		names[i] = m.called(ref)
	}
	return strings.Join(names, "; ")
}

// fluid says what a system holds when it is full, as far as that is recorded.
func (m *maker) fluid(ref record.Ref) string {
	fill := m.system(ref).Fill
	switch {
	case fill == nil:
		return ""
	case fill.Quantity == "":
		return fill.Of
	case fill.Of == "":
		return string(fill.Quantity)
	}
	return string(fill.Quantity) + " of " + fill.Of
}

func inBrackets(text string) string {
	if text == "" {
		return ""
	}
	return " (" + text + ")"
}

// renewedOf says that all parts of a step are renewed each time.
func (m *maker) renewedOf(parts []record.Ref) bool {
	for _, ref := range parts {
		if info, _ := m.w.Part(ref); !isExpendable(info) {
			return false
		}
	}
	return len(parts) > 0
}

// heavy says that a step lifts something heavy on or off the car.
func (m *maker) heavy(p planned) bool {
	if p.kind != TakeOff && p.kind != PutBack {
		return false
	}
	return slices.ContainsFunc(p.line.Parts, m.isHeavy)
}

func (m *maker) isHeavy(ref record.Ref) bool {
	info, _ := m.w.Part(ref)
	if slices.Contains(info.Body.Hazards, "heavy") {
		return true
	}
	kg, ok := kilograms(info.Body.Mass)
	return ok && kg >= heavyKilograms
}

// timeOf shares out the time of the session that did the reverse of a step: its minutes divided by its lines.
func (m *maker) timeOf(p planned) (int, record.Ref) {
	if p.kind != TakeOff && p.kind != PutBack || len(p.line.Parts) == 0 {
		return 0, ""
	}
	reverse := m.takenBy
	if p.kind == TakeOff {
		reverse = m.fittedBy
	}
	e, known := reverse[m.w.Name(p.line.Parts[0])]
	if !known {
		return 0, ""
	}
	minutes, ok := replay.Minutes(e.line.Work)
	if !ok {
		return 0, ""
	}
	return max(1, minutes/len(e.line.Work.Lines)), e.line.Ref()
}

// sumTime counts the steps of which no record tells the time. A tightening belongs to the time of the work it ends.
func (s *Statement) sumTime() {
	for _, step := range s.Steps {
		if step.Minutes == 0 && step.Kind != TightenStep {
			s.Untimed++
		}
		s.Minutes += step.Minutes
	}
}
