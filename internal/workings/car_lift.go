package workings

import (
	"fmt"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// lift follows the centre of gravity as the heavy parts of the conversion come
// out, the heaviest first.
func (c *Car) lift(last weighed) []Working {
	var heavy []ledger.Entry[record.Part]
	for _, p := range c.onCar() {
		if p.Body.Found == "no" && slices.Contains(p.Body.Hazards, "heavy") {
			heavy = append(heavy, p)
		}
	}
	if len(heavy) == 0 {
		return nil
	}
	var refs []record.Ref
	slices.SortStableFunc(heavy, func(a, b ledger.Entry[record.Part]) int {
		x, errX := amountOf(measure(a.Record, "", a.Body.Mass).Value)
		y, errY := amountOf(measure(b.Record, "", b.Body.Mass).Value)
		if errX != nil || errY != nil {
			return 0
		}
		return y.v.Cmp(x.v)
	})
	for _, p := range heavy {
		refs = append(refs, p.ID)
	}
	w := c.lifting("heavy parts out", last, refs)
	w.Assumptions = append(w.Assumptions, "heaviest part first")
	return []Working{w}
}

// CentreAsPartsComeOut follows the centre of gravity of the car, as it was last
// weighed, while parts come out in that order: for the steps of a work order.
// The caution of the working must stand beside it.
func (c *Car) CentreAsPartsComeOut(parts []record.Ref) Working {
	all := c.weighings()
	if len(all) == 0 {
		s := begin(Mass, "lift", "Centre of gravity on the lift as heavy parts come out")
		s.w.Caution = liftCaution
		s.missing("a weighing")
		return s.done()
	}
	return c.lifting("order", all[len(all)-1], parts)
}

func (c *Car) lifting(id string, last weighed, parts []record.Ref) Working {
	var steps []LiftStep
	for _, ref := range parts {
		if p, ok := ledger.Get[record.Part](c.s, ref); ok {
			steps = append(steps, LiftStep{p.Name(), measure(p.Record, "/mass", p.Body.Mass), placeIn(c.state, p)})
		}
	}
	mass, centre, words := c.massNow(last)
	w := CentreOnLift(id, mass, centre, steps)
	w.Assumptions = append(w.Assumptions, words)
	return w
}

// massNow is the mass of the car and where its centre lies today: as it was last
// weighed, or worked out from that and the parts since.
func (c *Car) massNow(last weighed) (mass, centre Input, words string) {
	words = fmt.Sprintf("the car as weighed on %s (%s)", orNot(last.w.On), last.w.conditions())
	changes := c.since(last)
	if len(changes) == 0 {
		along := CentreAlong("", last.w, c.wheelbase())
		return last.w.reading(last.w.Total, 4), From(along.Value, Source{"working: " + along.Title, Physics}), words
	}
	p := PredictedLoads("", last.w, c.wheelbase(), changes, nil)
	source := Source{"working: " + p.Title, Physics}
	s := begin(Mass, "", "")
	s.take("L", "", c.wheelbase(), quantity.Length)
	s.take("l_R", "", From(resultOf(p, "l_R"), source), quantity.Mass)
	s.take("l", "", From(resultOf(p, "l"), source), quantity.Mass)
	s.calc("x", "mm", "L*l_R/l", "")
	return From(resultOf(p, "l"), source), From(s.get("x"), source), words + ", " + partsWorkedIn
}

// partsWorkedIn says of a weighing that it was brought up to the day.
const partsWorkedIn = "with the parts that came, went and moved since worked in"

// since lists the parts that came, went or moved after a weighing.
func (c *Car) since(last weighed) []Fitted {
	day, ok := dateOf(last.Body.On).Last()
	if !ok {
		return nil
	}
	return c.between(c.work.On(day), c.state)
}
