package workings

import (
	"fmt"
	"strings"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

// MassEvent is work after a weighing that moved mass: on, off, or along the car.
type MassEvent struct {
	What, On string
	Work     record.Ref // the session, where one is known
	// Sign is +1 for what came on, -1 for what came off, 0 for what was moved.
	Sign     int
	Mass     Input
	From, To Input // for what was moved: places behind the front axle
}

// TicketToday says what a weighing still describes after the work since: any
// mass that came on or off makes total and axle loads stale, even if it went
// again; mass that moved along the car makes the axle split stale alone. Papers
// that cite the weighing are named.
func TicketToday(id string, w Weighing, events []MassEvent, wheelbase Input, citing []string) Working {
	s := begin(Mass, "today "+id, "What “"+w.Name+"” still describes")
	s.w.Sources = []Source{moments, goodHabits}
	s.take("L", "wheelbase", wheelbase, quantity.Length)
	gross, split := false, false
	for i, e := range events {
		n := i + 1
		symbol := fmt.Sprintf("m_%d", n)
		s.take(symbol, e.What, e.Mass, quantity.Mass)
		word := map[int]string{1: "came on", -1: "came off", 0: "was moved"}[e.Sign]
		s.say(fmt.Sprintf("%s: %s %s.", orNot(e.On), e.What, word), s.showOr(symbol))
		split = true
		if e.Sign != 0 {
			gross = true
			continue
		}
		s.take(fmt.Sprintf("x_%da", n), e.What+", before", e.From, quantity.Length)
		s.take(fmt.Sprintf("x_%db", n), e.What+", after", e.To, quantity.Length)
		s.calc(fmt.Sprintf("D_%d", n), "kg", fmt.Sprintf("%s*(x_%db-x_%da)/L", symbol, n, n), "Taken from the front axle and given to the rear.")
	}
	s.standing("total", gross, citing)
	s.standing("axle split", split, citing)
	switch {
	case gross:
		s.conclude("stale for total and axle split: weigh again")
	case split:
		s.conclude("stale for the axle split, still good for the total: weigh the axles again before sign-off")
	default:
		s.conclude("still good for total and axle split, as far as work is recorded")
	}
	return s.done()
}

func (s *sheet) showOr(symbol string) string {
	if s.has(symbol) {
		return s.show(symbol)
	}
	return "mass not recorded"
}

func (s *sheet) standing(what string, stale bool, citing []string) {
	v := Verdict{Of: what + " of this weighing", Against: "no work since that moves mass", Outcome: Met, Reason: "no recorded work since touched it", Source: goodHabits}
	if stale {
		v.Outcome, v.Reason = Stale, "work since then changed it"
		if len(citing) > 0 {
			v.Reason += "; it is cited by " + strings.Join(citing, ", ")
		}
	}
	s.verdict(v)
}
