package workings

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Judged gives those workings of a subject on which a requirement may rest, each as [Car.About] gives it and in the same order.
// What is made for a reader alone is left out: centres of gravity, predictions, clamping forces, voltage drops. Of the tickets
// it is the last that says whether axles and total agree; changes of mass are asked of [Car.WeighedPairs].
func (c *Car) Judged(subject Subject) []Working {
	switch subject {
	case Mass:
		return c.massJudged()
	case Insulation:
		return append(c.insulationTests(map[string][]InsulationReading{}), c.bonding()...)
	case Joints:
		return c.tightened(c.lastTightenings())
	case Pack:
		return c.packJudged()
	}
	return c.About(subject)
}

func (c *Car) massJudged() []Working {
	var list []Working
	all := c.weighings()
	for _, w := range slices.Backward(all) {
		ticket := TicketSum(short(w.ID), w.w)
		if o := ticket.Worst(); o == Met || o == NotMet || o == Contradiction {
			list = append(list, ticket)
			break
		}
	}
	if len(all) == 0 {
		return list
	}
	last := all[len(all)-1]
	gross, split := staleness(c.today(last))
	return append(list, c.loaded(last, c.laden(last, split), gross, split)...)
}

func (c *Car) packJudged() []Working {
	list := c.preCharge()
	for _, s := range ledger.All[record.System](c.s) {
		if b := s.Body.Circuit; b != nil && b.Sort == "traction" {
			list = append(list, c.fuse(s))
		}
	}
	return list
}
