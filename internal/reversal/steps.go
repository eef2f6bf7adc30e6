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
	for i, p := range plan {
		s := Step{Number: i + 1, Kind: p.kind, Line: p.line}
		for _, ref := range p.line.Parts {
			s.Parts = append(s.Parts, m.stepPart(ref))
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

func (m *maker) stepPart(ref record.Ref) StepPart {
	info, _ := m.w.Part(ref)
	s, _ := m.now.Part(ref)
	return StepPart{Ref: info.Ref, Name: m.called(ref), Tag: info.Body.Tag, Where: whereText(m.w, s.Where), Mass: info.Body.Mass}
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
		return "drain " + m.called(p.line.System) + " and collect it"
	case FillStep:
		return "fill " + m.called(p.line.System)
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

func (s *Statement) sumTime() {
	for _, step := range s.Steps {
		if step.Minutes == 0 && (step.Kind == TakeOff || step.Kind == PutBack) {
			s.Untimed++
		}
		s.Minutes += step.Minutes
	}
}

// cautions are the usual ones for each hazard that a part is recorded with. They do not replace training, a licence or local
// rules, and say so.
var cautions = map[string]string{
	"high voltage": "high voltage: only by a person with the licence and training that apply, the circuit isolated, locked off and proved dead first",
	"lithium":      "lithium battery: no damage, no crushing, no metal tools across terminals; away from heat; a damaged or hot pack goes outdoors and the fire service is called",
	"fuel":         "fuel vapour: no spark or flame, in the open air; gas-free reading before any work on the tank",
	"asbestos":     "may hold asbestos: no brushing, no air line; kept wet, masked and sealed; local rules decide who may handle it",
	"refrigerant":  "refrigerant: only by a certified person, recovered and not vented",
	"heavy":        "heavy: lifting gear of known rating, nobody beneath, the car secured on its stands as its balance changes",
	"pressure":     "under pressure: release it first, eyes protected",
	"acid":         "acid: eyes and hands protected",
	"spring":       "stored spring force: compressor of the right kind, out of the line of travel",
}

// warn adds the cautions and what the law may forbid.
func (m *maker) warn(s *Step) {
	for _, ref := range s.Line.Parts {
		info, _ := m.w.Part(ref)
		hazards := slices.Clone(info.Body.Hazards)
		if m.isHeavy(ref) && !slices.Contains(hazards, "heavy") {
			hazards = append(hazards, "heavy")
		}
		if slices.Contains(info.Body.Facets, "traction circuit") && !slices.Contains(hazards, "high voltage") {
			hazards = append(hazards, "high voltage")
		}
		for _, h := range hazards {
			if c := cautions[h]; c != "" && !slices.Contains(s.Cautions, c) {
				s.Cautions = append(s.Cautions, c)
			}
		}
		if s.Kind != PutBack {
			continue
		}
		switch {
		case info.Body.MayGoBack == "unknown", info.Body.MayGoBack == "" && slices.Contains(hazards, "asbestos"), info.Body.MayGoBack == "" && slices.Contains(hazards, "refrigerant"):
			s.Law = append(s.Law, "whether "+m.called(ref)+" may be fitted again is not known: ask before fitting it")
		case barred(info.Body.MayGoBack):
			s.Law = append(s.Law, fmt.Sprintf("%s: the one taken off may not go back (%s): fit a new one", m.called(ref), info.Body.MayGoBack))
		}
	}
}
