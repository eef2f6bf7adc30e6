package workings

import (
	"fmt"
	"math/big"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
)

// Tightening is the tightening of a joint that still counts, with what is asked
// of the joint.
type Tightening struct {
	Joint                  string
	Torque, Angle          Input // specified
	Tolerance              Input // of the torque
	Surface                string
	Method                 string // click, indicating, angle, by feel
	Set, Indicated, Turned Input
	Tool                   Tool
	On                     edtf.Date
	By, SecondCheckBy      string
	SecondCheck            string // required, not required, ""
	Fasteners              []Fastener
	// Disturbed says what undid or touched the joint since; empty if nothing is recorded.
	Disturbed string
	// Retighten is the distance after which it is due again.
	Retighten Input
	// Odometer are the readings of the odometer by day, and Earlier the days of
	// the tightenings before this one since the joint was last undone.
	Odometer []OdometerReading
	Earlier  []edtf.Date
}

// Fastener is a kind of fastener in a joint.
type Fastener struct {
	What, Size, Class string
	Count             int64
	SingleUse         string // yes, no, unknown
	Origin            string // new, factory to this car ...
}

var (
	torqueHabit = Source{"a torque counts if the tool was in class, in date and within its range", Habit}
)

// JointTightened judges one tightening. The method decides: a click wrench must
// have been set to the specification, an indicating one must have shown a value
// inside it by its own uncertainty, torque plus angle needs both, and by feel is
// recorded and not evidenced.
func JointTightened(id string, t Tightening) Working {
	s := begin(Joints, "tightened "+id, "Tightening: "+t.Joint)
	s.w.Sources = []Source{torqueHabit, iso6789Deviation}
	s.take("T", "torque specified", t.Torque, quantity.Torque)
	tolerance := t.Tolerance
	if tolerance.Value.IsZero() && tolerance.Err == "" && s.has("T") {
		tolerance = published("4 %", Source{"no tolerance is specified; the class of the tool is taken", Habit})
		s.assume("no tolerance is specified; ±4 %, the class of the tool, is taken")
	}
	s.take("p", "tolerance", tolerance, quantity.Ratio)
	s.oldUnit()
	s.method(t)
	s.toolVerdict(t)
	s.angle(t)
	s.around(t)
	s.conclude("%s", jointAnswer(&s.w))
	return s.done()
}

func jointAnswer(w *Working) string {
	switch worst := w.Worst(); worst {
	case Met:
		return "tightened as specified, and evidenced"
	case NoVerdict:
		return "recorded"
	default:
		for _, v := range w.Verdicts {
			if v.Outcome == worst {
				return string(worst) + ": " + v.Of + ", " + v.Reason
			}
		}
		return string(worst)
	}
}

// method judges the torque by how it was made.
func (s *sheet) method(t Tightening) {
	v := Verdict{Of: "torque", Against: "the specification", Source: torqueHabit, Why: "method " + orNot(t.Method)}
	switch t.Method {
	case "by feel":
		v.Outcome, v.Reason = NotEvidenced, "tightened by feel: no figure was made"
	case "click", "torque plus angle":
		v = s.clicked(t, v)
	case "indicating":
		v = s.indicated(t, v)
	default:
		v.Outcome, v.Reason = EvidenceMissing, "how it was tightened is not recorded"
	}
	s.verdict(v)
}

func (s *sheet) clicked(t Tightening, v Verdict) Verdict {
	set := s.take("T_s", "wrench set to", t.Set, quantity.Torque)
	if !set || !s.has("T") {
		v.Outcome, v.Reason = EvidenceMissing, "the specification or what the wrench was set to is not recorded"
		return v
	}
	s.suspect("T_s")
	s.inUnitOf("T_s", "T")
	s.calc("g", "%", "T_s/T-1", "What was set, relative to the specification.")
	limit, err := quantity.Within(s.get("T"), s.get("p"))
	if err != nil {
		v.Outcome, v.Reason = EvidenceMissing, err.Error()
		return v
	}
	plain := decide("torque", withoutUncertainty(s.get("T_s")), limit, quantity.SimpleAcceptance)
	switch {
	case plain.Outcome == Met && setTo(s.get("T_s"), s.get("T")):
		v.Outcome, v.Reason = Met, fmt.Sprintf("set to %s, as specified", s.show("T_s"))
		if s.get("T_s").Unit() != s.get("T").Unit() {
			v.Reason += fmt.Sprintf(": that is %s in the digits of what was set", s.show("T"))
		}
	case t.Tolerance.Value.IsZero():
		d := plain
		d.Why, d.Source = v.Why, v.Source
		s.note("The ±4 %% taken is the class of the tool itself, so the wrench's own deviation is not counted a second time. With a tolerance in the specification it would be.")
		v = d
	default:
		v = s.withTool("T_s", t, limit, v)
	}
	return v
}

// setTo reports whether a wrench was set to what is specified: to that figure, or
// in another unit to that figure rounded. How roughly the specification is
// written widens nothing: 6 kgf.m is not met by 62 N.m.
func setTo(set, specified quantity.Quantity) bool {
	if !set.IsPoint() || !specified.IsPoint() {
		return false
	}
	rounded := set.Unit() != specified.Unit()
	same, err := withoutUncertainty(set).Interval(rounded).Overlaps(withoutUncertainty(specified).Interval(false))
	return err == nil && same
}

func (s *sheet) indicated(t Tightening, v Verdict) Verdict {
	if !s.take("T_i", "torque indicated", t.Indicated, quantity.Torque) || !s.has("T") {
		v.Outcome, v.Reason = EvidenceMissing, "the specification or what the wrench indicated is not recorded"
		return v
	}
	s.suspect("T_i")
	s.inUnitOf("T_i", "T")
	limit, err := quantity.Within(s.get("T"), s.get("p"))
	if err != nil {
		v.Outcome, v.Reason = EvidenceMissing, err.Error()
		return v
	}
	return s.withTool("T_i", t, limit, v)
}

// withTool gives the reading the tool's permitted deviation as its uncertainty
// and keeps a guard band.
func (s *sheet) withTool(symbol string, t Tightening, limit quantity.Limit, v Verdict) Verdict {
	accuracy, how := t.Tool.permitted(s.get(symbol))
	in := Measured(Input{Value: s.get(symbol)}, accuracy, t.Tool.To.Value)
	d := decide("torque", in.Value, limit, ruleFor(in.Value))
	d.Why, d.Source = v.Why, guard
	s.say("Uncertainty of the wrench, "+how+", as a rectangular half-width.", Show(in.Value))
	return d
}

// inUnitOf says a value in the unit of another, where the two are written in
// different ones: old manuals and new wrenches seldom speak one language.
func (s *sheet) inUnitOf(symbol, other string) {
	unit := s.get(other).Unit()
	if s.get(symbol).Unit() == unit {
		return
	}
	if q, err := withoutUncertainty(s.get(symbol)).In(unit); err == nil {
		s.say("The same in the unit of the specification.", s.numeral(symbol)+" = "+Show(q))
	}
}

// oldUnit notes a specification in a unit that is no longer used, and that is
// easily taken for another.
func (s *sheet) oldUnit() {
	if !s.has("T") {
		return
	}
	switch unit := s.get("T").Unit(); unit {
	case "kgf.m", "kgf.cm":
		s.note("%s is an old unit of torque, written mkg, kgm, kpm or mkp in old manuals: look at the manual for what stands there.", unit)
	}
}

// suspect notes a factor of 12 between what was set and what is specified.
func (s *sheet) suspect(symbol string) {
	if reason, suspected := quantity.SuspectFactor(s.get(symbol), s.get("T")); suspected {
		s.note("%s? Nothing was changed: look at the sheet and at the joint.", reason)
	}
}

// toolVerdict holds date and range of the tool against the day and the torque.
func (s *sheet) toolVerdict(t Tightening) {
	if t.Method == "by feel" {
		return
	}
	v := Verdict{Of: "tool", Against: "in date and in tolerance on the day", Source: iso6789Interval}
	if t.Tool.Name == "" {
		v.Outcome, v.Reason = EvidenceMissing, string(ToolNotStated)
		s.verdict(v)
		return
	}
	standing, why := t.Tool.StandingOn(t.On)
	v.Of, v.Reason, v.Outcome = t.Tool.Name, why, NotEvidenced
	if standing == InDate || standing == Cleared {
		v.Outcome = Met
	}
	s.verdict(v)
	used := t.Set
	if used.Value.IsZero() {
		used = t.Indicated
	}
	if used.Value.IsZero() || t.Tool.From.Value.IsZero() || t.Tool.To.Value.IsZero() {
		s.missing("the range of the tool, and what was set on it")
		return
	}
	if same, err := used.Value.In(t.Tool.From.Value.Unit()); err == nil && used.Value.Unit() != same.Unit() {
		used.Value = same.Round(2)
	}
	r := decide("range of the tool", used.Value, quantity.Between(t.Tool.From.Value, t.Tool.To.Value), quantity.SimpleAcceptance)
	r.Source = iso6789Range
	if r.Outcome == NotMet {
		r.Outcome = NotEvidenced
	}
	s.verdict(r)
}

// angle asks for the angle step of a torque-plus-angle specification.
func (s *sheet) angle(t Tightening) {
	if t.Angle.Value.IsZero() {
		return
	}
	s.take("a", "angle specified", t.Angle, quantity.Angle)
	v := Verdict{Of: "angle", Against: t.Angle.Text + " after the torque", Source: torqueHabit, Outcome: EvidenceMissing,
		Reason: "the specification is torque plus angle and no angle is recorded: incomplete, and the torque alone does not meet it"}
	if s.take("a_t", "angle turned", t.Turned, quantity.Angle) {
		v.Outcome, v.Reason = Met, "turned "+t.Turned.Text
		if same, err := quantity.SameWithinRounding(t.Turned.Value, t.Angle.Value); err != nil || !same {
			v.Outcome, v.Reason = NotMet, "turned "+t.Turned.Text+", which is another angle; no tolerance is given for it"
		}
	}
	s.verdict(v)
}

// around judges what stands around the torque: second check, fasteners that are
// used once, what came later, and when it is due again.
func (s *sheet) around(t Tightening) {
	if t.SecondCheck == "required" {
		v := Verdict{Of: "second check", Against: "required", Outcome: Met, Reason: "by " + t.SecondCheckBy, Source: Source{"the joint's specification", Habit}}
		switch t.SecondCheckBy {
		case "":
			v.Outcome, v.Reason = EvidenceMissing, "required, and none is recorded"
		case t.By:
			v.Outcome, v.Reason = EvidenceMissing, "by the same person who tightened it"
		}
		s.verdict(v)
	}
	for _, f := range t.Fasteners {
		if f.SingleUse != "yes" {
			continue
		}
		v := Verdict{Of: f.What, Against: "renewed each time", Outcome: EvidenceMissing, Reason: "it may be used once, and whether it was renewed is not recorded"}
		switch f.Origin {
		case "new", "reproduction":
			v.Outcome, v.Reason = Met, "recorded as new"
		case "factory to this car", "same type", "period":
			v.Outcome, v.Reason = NotMet, "it may be used once, and it is recorded as an old one ("+f.Origin+")"
		}
		s.verdict(v)
	}
	if t.Disturbed != "" {
		s.verdict(Verdict{Of: "the joint", Against: "not disturbed since", Outcome: NotEvidenced, Reason: "disturbed since: " + t.Disturbed})
	}
	s.again(t)
}

// Preload gives the clamping force of a torque as the range that the nut factor
// leaves, F = T / (K · d), and warns where even the edge of the band does not
// explain the torque. It is never a figure to rely on.
func Preload(id string, torque Input, f Fastener) Working {
	s := begin(Joints, "preload "+id, "Clamping force that the torque may give: "+f.Size+" "+f.Class)
	s.w.Sources = []Source{torqueLaw, nutFactors, iso898, j429}
	s.take("T", "torque", torque, quantity.Torque)
	thread, ok := ThreadOf(f.Size, f.Class)
	if !ok {
		s.missing(noTable(f.Size, f.Class))
		return s.done()
	}
	s.take("d", "thread", thread.Diameter, quantity.Length)
	s.take("F_p", "proof load", thread.Proof, quantity.Force)
	s.take("K_a", "smallest nut factor", published("0.10", nutFactors).exactly(), quantity.Count)
	s.take("K_b", "largest nut factor", published("0.30", nutFactors).exactly(), quantity.Count)
	s.calc("F_b", "kN", "T/(K_a*d)", "The most that it may be: slippery.")
	s.calc("F_a", "kN", "T/(K_b*d)", "The least: dry and rough.")
	if !s.calc("K", "", "T/(d*F_p*3/4)", "Nut factor at which the torque gives three quarters of the proof load.") {
		return s.done()
	}
	s.w.Low, s.w.High = s.get("F_a"), s.get("F_b")
	s.conclude("somewhere from %s to %s for each fastener, on %s of proof load: a range, and not evidence of clamping", s.show("F_a"), s.show("F_b"), s.show("F_p"))
	k, _ := s.get("K").Rat()
	if k.Cmp(big.NewRat(10, 100)) < 0 || k.Cmp(big.NewRat(30, 100)) > 0 {
		s.note("Three quarters of the proof load would need a nut factor of %s, outside 0.10 to 0.30: the torque is %s for this fastener, or the fastener is another one.", s.show("K"), map[bool]string{true: "low", false: "high"}[k.Cmp(big.NewRat(10, 100)) < 0])
	}
	return s.done()
}
