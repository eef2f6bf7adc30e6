package workings

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"boltback/internal/quantity"
)

// liftCaution stands beside everything that moves the centre of gravity of a car
// that stands on a lift.
const liftCaution = "A car on a two-post lift can tip when a heavy part comes out. The figures say where its weight was when it was weighed, and not where the arms stand: set the arms by the lift maker's instructions, support the far end, and let a person who is trained on the lift decide."

// CentreAlong is the centre of gravity behind the front axle: x = L · m_R / m.
func CentreAlong(id string, w Weighing, wheelbase Input) Working {
	s := begin(Mass, "centre "+id, "Centre of gravity along the car: "+w.Name)
	s.w.Sources = []Source{moments}
	s.take("m_F", "front axle", w.reading(w.Front, 2), quantity.Mass)
	s.take("m_R", "rear axle", w.reading(w.Rear, 2), quantity.Mass)
	s.take("L", "wheelbase", wheelbase, quantity.Length)
	s.calc("x", "mm", "L*m_R/(m_F+m_R)", "The rear axle carries what the centre's distance from the front axle takes of the wheelbase.")
	s.answer("x", "{} behind the front axle, the car standing as weighed ("+w.conditions()+")")
	return s.done()
}

// CentreAcross is the centre of gravity right of the centre line, from the four
// wheel loads and the two tracks.
func CentreAcross(id string, w Weighing, trackFront, trackRear Input) Working {
	s := begin(Mass, "centre across "+id, "Centre of gravity across the car: "+w.Name)
	s.source("equilibrium of moments about the centre line", Physics)
	for i, wheel := range []struct{ symbol, name string }{{"a", "front left"}, {"b", "front right"}, {"c", "rear left"}, {"d", "rear right"}} {
		s.take(wheel.symbol, wheel.name, w.reading(w.Corners[i], 1), quantity.Mass)
	}
	s.take("t_F", "front track", trackFront, quantity.Length)
	s.take("t_R", "rear track", trackRear, quantity.Length)
	s.calc("y", "mm", "((b-a)*t_F/2+(d-c)*t_R/2)/(a+b+c+d)", "What the right wheels carry more than the left, at half the track.")
	s.answer("y", "{} right of the centre line (negative: left)")
	s.calc("k", "%", "(a+d)/(a+b+c+d)", "Share of the diagonal front left and rear right (cross-weight).")
	return s.done()
}

// MoveMass says what moving a mass along the car does before it is moved: the
// total stays, the rear axle gains m · (x₂ - x₁) / L and the front axle loses it.
func MoveMass(id, what string, mass, distance, wheelbase Input) Working {
	s := beginMove(id, what, mass)
	s.take("e", "moved rearward by", distance, quantity.Length)
	return s.shift("m*e/L", wheelbase)
}

// MoveBetween is MoveMass for a mass that goes from one place to another, both
// behind the front axle.
func MoveBetween(id, what string, mass, from, to, wheelbase Input) Working {
	s := beginMove(id, what, mass)
	s.take("x_1", "its centre behind the front axle, as it sits", from, quantity.Length)
	s.take("x_2", "the same where it would go", to, quantity.Length)
	return s.shift("m*(x_2-x_1)/L", wheelbase)
}

func beginMove(id, what string, mass Input) *sheet {
	s := begin(Mass, "move "+id, "What moving "+what+" does")
	s.w.Sources = []Source{moments}
	s.take("m", "mass moved", mass, quantity.Mass)
	return s
}

// shift is what goes from the front axle to the rear.
func (s *sheet) shift(formula string, wheelbase Input) Working {
	s.take("L", "wheelbase", wheelbase, quantity.Length)
	s.calc("D", "kg", formula, "The moment about the front axle that the move adds is taken up by the rear axle over the wheelbase.")
	if s.has("D") {
		s.answer("D", "{} leave the front axle for the rear; the total does not change")
		if v, ok := s.get("D").Rat(); ok && v.Sign() < 0 {
			s.w.Answer = strings.TrimPrefix(s.show("D"), "-") + " leave the rear axle for the front; the total does not change"
		}
		s.note("A weighing from before the move is stale for the axle split and still good for the total: weigh the axles again before anybody signs.")
	}
	return s.done()
}

// LiftStep is a heavy part that comes out while the car is on the lift.
type LiftStep struct {
	What          string
	Mass, Station Input
}

// CentreOnLift follows the centre of gravity as heavy parts come out, one after
// the other: x' = (M · x - Σ m · x_m) / (M - Σ m).
func CentreOnLift(id string, mass, centre Input, out []LiftStep) Working {
	s := begin(Mass, "lift "+id, "Centre of gravity on the lift as heavy parts come out")
	s.w.Sources = []Source{moments}
	s.w.Caution = liftCaution
	s.take("M", "mass of the car", mass, quantity.Mass)
	s.take("x", "its centre behind the front axle", centre, quantity.Length)
	total, moment, last := "M", "M*x", "x"
	for i, one := range out {
		m, at := fmt.Sprintf("m_%d", i+1), fmt.Sprintf("x_%d", i+1)
		s.take(m, one.What, one.Mass, quantity.Mass)
		s.take(at, one.What+", centre behind the front axle", one.Station, quantity.Length)
		total += "-" + m
		moment += "-" + m + "*" + at
		now := "x" + strings.Repeat("′", 1) + fmt.Sprint(i+1)
		if !s.calc(now, "mm", "("+moment+")/("+total+")", "After "+one.What+" is out.") {
			return s.done()
		}
		s.calc(fmt.Sprintf("D_%d", i+1), "mm", now+"-"+last, "It moves rearward by that much (negative: forward).")
		last = now
	}
	if len(out) == 0 {
		s.missing("the parts that come out, with mass and place")
		return s.done()
	}
	s.calc("D", "mm", last+"-x", "In all.")
	if s.has("D") {
		s.w.Value = s.get("D")
		v, _ := s.w.Value.Rat()
		way := "rearward"
		if v.Sign() < 0 {
			way = "forward"
		}
		s.conclude("the centre of gravity moves %s %s", strings.TrimPrefix(s.show("D"), "-"), way)
	}
	return s.done()
}

// Fitted is a part that came on (Sign +1) or off (-1) between two weighings.
type Fitted struct {
	What          string
	Sign          int
	Mass, Station Input
}

// PredictedLoads works the axle loads out from a weighing and what came off and
// on since, to be held against the next weighing.
//
// next is that weighing, or nil where the car was not weighed since.
func PredictedLoads(id string, w Weighing, wheelbase Input, changes []Fitted, next *Weighing) Working {
	s := begin(Mass, "predicted "+id, "Axle loads predicted from "+w.Name+" and the parts since")
	s.w.Sources = []Source{addition, moments, gumSum}
	s.take("m_F", "front axle, "+w.Name, w.reading(w.Front, 2), quantity.Mass)
	s.take("m_R", "rear axle, "+w.Name, w.reading(w.Rear, 2), quantity.Mass)
	s.take("L", "wheelbase", wheelbase.rounded(), quantity.Length)
	var mass, moment strings.Builder
	for i, c := range changes {
		m, x, sign := fmt.Sprintf("m_%d", i+1), fmt.Sprintf("x_%d", i+1), "+"
		word := " on"
		if c.Sign < 0 {
			sign, word = "-", " off"
		}
		s.take(m, c.What+word, c.Mass, quantity.Mass)
		s.take(x, c.What+", behind the front axle", s.placed(c.Station), quantity.Length)
		mass.WriteString(sign + m)
		moment.WriteString(sign + m + "*" + x)
	}
	if len(changes) == 0 {
		s.conclude("nothing with a mass came off or on since")
		return s.done()
	}
	short := func(text string) string {
		if len(changes) > 5 {
			return text
		}
		return ""
	}
	s.calcAs("D", "kg", strings.TrimPrefix(mass.String(), "+"), short(fmt.Sprintf("Σ ±m_i, i = 1 to %d", len(changes))), "What came on less what came off.")
	s.calcAs("Q", "kg.m", strings.TrimPrefix(moment.String(), "+"), short(fmt.Sprintf("Σ ±m_i · x_i, i = 1 to %d", len(changes))), "Its moment about the front axle.")
	s.calc("l_R", "kg", "m_R+Q/L", "Rear axle.")
	s.calc("l_F", "kg", "m_F+D-Q/L", "Front axle.")
	if s.calc("l", "kg", "l_F+l_R", "Both together.") {
		s.w.Value = s.get("l")
		s.conclude("front %s, rear %s, together %s", s.show("l_F"), s.show("l_R"), s.show("l"))
		if next != nil {
			s.against(*next)
		}
	}
	return s.done()
}

// placed gives the place of a part's centre ±20 mm where no uncertainty is
// recorded for it, and says so once.
func (s *sheet) placed(in Input) Input {
	const taken = "places of parts are good to ±20 mm where no uncertainty is recorded: a centre of mass is judged by eye"
	if _, _, stated := in.Value.Uncertainty(); stated || !in.Value.IsPoint() || in.Value.Dimension() != quantity.Length {
		return in
	}
	q, err := in.Value.WithUncertainty(quantity.MustParse("20 mm"), big.NewRat(2, 1))
	if err != nil {
		return in
	}
	if !slices.Contains(s.w.Assumptions, taken) {
		s.assume(taken)
	}
	return in.with(q)
}

// against holds the prediction against the scales.
func (s *sheet) against(next Weighing) {
	for _, one := range []struct {
		symbol, predicted, what string
		in                      Input
		pads                    int64
	}{{"w_F", "l_F", "front axle", next.Front, 2}, {"w_R", "l_R", "rear axle", next.Rear, 2}, {"w", "l", "total", next.Total, 4}} {
		if !s.take(one.symbol, one.what+", "+next.Name, next.reading(one.in, one.pads), quantity.Mass) {
			continue
		}
		gap := "g_" + one.symbol
		s.calc(gap, "kg", one.symbol+"-"+one.predicted, "Measured less predicted, "+one.what+".")
		s.gapVerdict(one.what, gap)
	}
}

// gapVerdict says whether a gap between two figures is explained by their
// uncertainty.
func (s *sheet) gapVerdict(what, gap string) {
	v := Verdict{Of: what + ", measured against predicted", Against: "a gap within its uncertainty", Outcome: EvidenceMissing, Source: gumSum,
		Reason: "the uncertainty of a part's mass, or of a weighing, is not recorded"}
	if u, _, ok := s.get(gap).Uncertainty(); ok {
		g, _ := amountOf(s.get(gap))
		most, _ := amountOf(u)
		doubt := doubtOf(s.get(gap), u)
		v.Outcome, v.Reason = Met, "the scales agree with the parts within "+doubt
		if g.v.Abs(g.v).Cmp(most.v) > 0 {
			v.Outcome = Contradiction
			v.Reason = "the scales differ from the parts by more than " + doubt + ": a mass or a place is wrong, or something came off or on that is not recorded"
		}
	}
	s.verdict(v)
}

// doubtOf writes an uncertainty as it stands beside its value.
func doubtOf(q, u quantity.Quantity) string {
	if _, text, found := strings.Cut(Show(q), " ±"); found {
		return "±" + text
	}
	return Show(u)
}
