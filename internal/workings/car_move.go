package workings

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// moveCaution stands beside a move that somebody only thinks of.
const moveCaution = "This is what the axles would carry, and not whether the new place holds the mass or how it is lifted there. The fastening is for an engineer; a traction part is moved only when it was proved dead, by those trained and licensed for it and by local rules."

// Move is a mass that somebody thinks of moving along the car.
type Move struct {
	// Part is the part that is meant; "" where only a mass is given.
	Part record.Ref
	// Mass is what is moved; empty takes the mass that the part has on record.
	Mass Input
	// By is how far rearward (negative: forward); To, instead, is where the part
	// would sit behind the front axle.
	By, To Input
}

// Moved works out what a move does before it is made: what leaves one axle for
// the other, the axle loads then, and what they leave of the ratings. The loads
// start from the last weighing, with the parts since worked in.
func (c *Car) Moved(m Move) []Working {
	list := []Working{c.shifted(m)}
	w, words, ok := c.loadsToday()
	if !ok {
		s := begin(Mass, "moved loads", "Axle loads after the move")
		s.missing("a weighing of both axles")
		return append(list, s.done())
	}
	after := AfterMove("loads", w, words, From(list[0].Value, Source{"working: " + list[0].Title, Physics}))
	list = append(list, after)
	if !after.Computed() {
		return list
	}
	source := Source{"working: " + after.Title, Physics}
	w.Name, w.After = w.Name+", after the move", "after the move"
	w.Front, w.Rear, w.Total = From(resultOf(after, "l_F"), source), From(resultOf(after, "l_R"), source), From(resultOf(after, "l"), source)
	w.Division, w.Limit = Input{}, Input{} // their share is in the uncertainty already
	laden := LadenAxles("after the move", w, c.wheelbase(), c.rows(), OccupantsOf(c.car.Market))
	return append(append(list, laden), c.reserves(w, laden)[1:]...) // the whole stays what it was
}

// shifted is the move itself.
func (c *Car) shifted(m Move) Working {
	what, mass, from := "a mass", m.Mass, Input{}
	if p, ok := ledger.Get[record.Part](c.s, m.Part); ok {
		what, from = p.Name(), placeIn(c.state, p)
		if mass.Text == "" {
			mass = measure(p.Record, "/mass", p.Body.Mass)
		}
	}
	var w Working
	if m.To.Text != "" {
		w = MoveBetween("asked", what, mass, from, m.To, c.wheelbase())
	} else {
		w = MoveMass("asked", what, mass, m.By, c.wheelbase())
	}
	w.Caution = moveCaution
	w.Assumptions = append(w.Assumptions, "nothing was moved: this is worked out before the work")
	return w
}

// loadsToday is the last weighing whose figures were read from a scale, with the
// parts that came, went and moved since worked in.
func (c *Car) loadsToday() (w Weighing, words string, ok bool) {
	for _, last := range slices.Backward(c.weighings()) {
		w = last.w
		if w.hearsay() || w.Front.Text == "" || w.Rear.Text == "" {
			continue
		}
		words = "the car as weighed on " + orNot(w.On) + " (" + w.conditions() + ")"
		w.Front, w.Rear = w.reading(w.Front, 2), w.reading(w.Rear, 2)
		if changes := c.since(last); len(changes) > 0 {
			p := PredictedLoads("", last.w, c.wheelbase(), changes, nil)
			source := Source{"working: " + p.Title, Physics}
			words += ", " + partsWorkedIn
			w.Front, w.Rear = From(resultOf(p, "l_F"), source), From(resultOf(p, "l_R"), source)
		}
		return w, words, true
	}
	return Weighing{}, "", false
}

// AfterMove is what the axles carry once a mass has moved along the car, and
// what share of the whole that is. Front and Rear of the weighing are the loads
// before, words say how the car stood.
func AfterMove(id string, w Weighing, words string, shift Input) Working {
	s := begin(Mass, "moved "+id, "Axle loads after the move")
	s.w.Sources = []Source{addition, gumSum}
	s.assume(words)
	s.take("m_F", "front axle before", w.Front, quantity.Mass)
	s.take("m_R", "rear axle before", w.Rear, quantity.Mass)
	s.take("D", "what leaves the front axle for the rear", shift, quantity.Mass)
	s.calc("l_F", "kg", "m_F-D", "Front axle after.")
	s.calc("l_R", "kg", "m_R+D", "Rear axle after.")
	s.calc("l", "kg", "l_F+l_R", "Both together: as before.")
	s.calc("p_b", "%", "m_F/(m_F+m_R)", "Share of the front axle before.")
	s.calc("p_a", "%", "l_F/l", "Share of the front axle after.")
	if s.has("p_a") {
		s.w.Value = s.get("l")
		s.conclude("front %s, rear %s; the front axle goes from %s to %s of the whole", s.show("l_F"), s.show("l_R"), s.show("p_b"), s.show("p_a"))
		for _, axle := range []struct{ symbol, name string }{{"l_F", "front axle"}, {"l_R", "rear axle"}} {
			if v, ok := s.get(axle.symbol).Rat(); ok && v.Sign() < 0 {
				s.verdict(Verdict{Of: axle.name, Against: "a load that is not below zero", Outcome: Contradiction, Source: moments, Reason: "the axle would lift: the mass or the distance asked about cannot be right"})
			}
		}
	}
	return s.done()
}
