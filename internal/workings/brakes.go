package workings

import (
	"fmt"
	"math/big"
	"strings"

	"boltback/internal/quantity"
)

// Wheel is the braking force of one wheel.
type Wheel struct {
	Name   string
	Force  Input
	Locked string // yes, no, ""
}

// BrakeTest is a roller brake test with what the tester printed.
type BrakeTest struct {
	Name string
	// FrontLeft and the others; a wheel that was not measured is empty.
	Wheels [4]Wheel
	// MassUsed is the mass on which the tester's efficiency stands; Weighed the
	// car's mass as it was weighed, in the state of the test, if known.
	MassUsed, Weighed Input
	WeighedBy         string
	// Printed figures: efficiency, imbalance front and rear; any may be empty.
	Efficiency, ImbalanceFront, ImbalanceRear Input
}

var brakeSource = Source{"efficiency: sum of the forces over the weight; imbalance: difference over the larger of an axle", Habit}

// Brake recomputes efficiency and imbalance beside what was printed. The printed
// figure stays the official one; where it stands on another basis that is said.
func Brake(id string, b BrakeTest) Working {
	s := begin(Brakes, "brakes "+id, "Brake test: "+b.Name)
	s.w.Sources = []Source{brakeSource}
	symbols := []string{"F_1", "F_2", "F_3", "F_4"}
	for i, wheel := range b.Wheels {
		s.take(symbols[i], "braking force, "+wheel.Name, wheel.Force, quantity.Force)
	}
	s.take("m", "mass used by the tester", b.MassUsed.exactly(), quantity.Mass)
	s.take("g", "standard acceleration of free fall", constant("1 gn", "9.80665 m/s²"), quantity.Acceleration)
	s.calc("F", forceUnit(b), "F_1+F_2+F_3+F_4", "All four wheels.")
	if s.calc("z", "%", "F/(m*g)", "Efficiency on the mass that the tester used.") {
		s.answer("z", "{} on the mass used by the tester")
	}
	s.calc("i_F", "%", "abs(F_1-F_2)/max(F_1, F_2)", "Imbalance of the front, over the larger force.")
	s.calc("i_R", "%", "abs(F_3-F_4)/max(F_3, F_4)", "Imbalance of the rear.")
	s.printed("efficiency", "z_p", b.Efficiency, "z")
	s.printed("front imbalance", "p_F", b.ImbalanceFront, "i_F")
	s.printed("rear imbalance", "p_R", b.ImbalanceRear, "i_R")
	s.locked(b)
	s.onWeighed(b)
	return s.done()
}

func forceUnit(b BrakeTest) string {
	if u := b.Wheels[0].Force.Value.Unit(); u != "" && b.Wheels[0].Force.Value.Dimension() == quantity.Force {
		return u
	}
	return "N"
}

// printed compares a printed figure with the sum, to the digits printed.
func (s *sheet) printed(what, symbol string, in Input, computed string) {
	if in.Text == "" || !s.take(symbol, what+", printed", in, quantity.Ratio) || !s.has(computed) {
		return
	}
	v := Verdict{Of: what + ", printed " + in.Text, Against: "recomputed " + s.show(computed), Outcome: NoVerdict, Source: brakeSource,
		Reason: "the printed figure is the official one and stands on another basis than these forces; both are shown"}
	gap := new(big.Rat)
	a, _ := amountOf(in.Value)
	b, _ := amountOf(s.get(computed))
	half := new(big.Rat).Quo(lastPlace(in.Value), big.NewRat(200, 1))
	if gap.Sub(a.v, b.v).Abs(gap).Cmp(half) <= 0 {
		v.Outcome, v.Reason = Met, "recomputes to within the digits printed"
	}
	s.verdict(v)
}

func (s *sheet) locked(b BrakeTest) {
	list := ""
	for _, wheel := range b.Wheels {
		if wheel.Locked == "yes" {
			list = appendList(list, wheel.Name)
		}
	}
	if list != "" {
		s.note("Locked: %s. The force of a locked wheel is that of its grip and the load on it, and does not carry over to another mass.", list)
	}
}

// onWeighed recomputes on the mass that was weighed, as an indication.
func (s *sheet) onWeighed(b BrakeTest) {
	if !s.take("m_w", "mass as weighed, "+orNot(b.WeighedBy), b.Weighed, quantity.Mass) || !s.has("m") {
		return
	}
	s.calc("q", "%", "m_w/m-1", "Weighed mass over the mass used.")
	s.calc("z_w", "%", "F/(m_w*g)", "Efficiency on the weighed mass, an indication.")
	same, err := quantity.SameWithinRounding(b.Weighed.Value, b.MassUsed.Value)
	ratio, _ := amountOf(s.get("q"))
	if err != nil || same || ratio.v.Cmp(big.NewRat(1, 100)) <= 0 && ratio.v.Cmp(big.NewRat(-1, 100)) >= 0 {
		return
	}
	words := "overstated"
	if ratio.v.Sign() < 0 {
		words = "understated"
	}
	s.note("The tester used %s and the car weighs %s: its efficiency is %s by %s. Brake forces do not carry over to another mass, least of all when wheels locked: ask for a test at the present mass.",
		s.show("m"), s.show("m_w"), words, strings.TrimPrefix(s.show("q"), "-"))
	s.verdict(Verdict{Of: "efficiency on the weighed mass", Against: "a test at that mass", Outcome: EvidenceMissing,
		Reason: "recomputed to " + s.show("z_w") + " as an indication alone; retest at the present mass", Source: brakeSource})
}

// Toe reads a toe figure. A bare number may be degrees, minutes, millimetres or
// inches, and a length needs the diameter at which it was taken.
func Toe(id string, in Input, diameter Input) Working {
	s := begin(Brakes, "toe "+id, "Toe")
	s.source("small angles: toe over the diameter at which it was measured", Physics)
	switch in.Value.Dimension() {
	case quantity.Angle:
		s.take("a", "toe", in, quantity.Angle)
		if s.calc("α", "°", "a", "In decimal degrees: a minute is a sixtieth.") {
			s.answer("α", "{}")
		}
	case quantity.Length:
		s.take("e", "toe", in, quantity.Length)
		s.take("D", "diameter at which it was measured", diameter, quantity.Length)
		s.take("k", "degrees in one radian", published("57.2958°", Source{"180/π", Physics}).exactly(), quantity.Angle)
		if s.calc("α", "°", "k*e/D", "As an angle.") {
			s.answer("α", "{}")
		}
	default:
		in.Name = "toe as read"
		s.w.Inputs = append(s.w.Inputs, in)
		s.missing(fmt.Sprintf("the unit of “%s” (degrees, minutes, millimetres and inches are all plausible) and, for a length, the diameter at which it was measured", in.Text))
	}
	return s.done()
}
