package workings

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
)

// Run is a road run with what it used.
type Run struct {
	Name                       string
	Distance, Energy           Input
	ChargeBefore, ChargeAfter  Input // state of charge; may be empty
	Temperature                Input
	Weather, Conditions, Tyres string
	Sign                       string // of the log the energy comes from
}

// stated reports whether a run says under what conditions it was driven.
func (r Run) stated() bool {
	return (r.Weather != "" || r.Temperature.Text != "") && r.Conditions != ""
}

// Consumption gives the energy for each distance of every run, and a range from
// those that state their conditions. One run gives a figure for that day, and
// never a range to advertise.
func Consumption(id string, runs []Run, usable Input) Working {
	s := begin(Driving, "consumption "+id, "Energy for the distance, and range")
	s.source("energy over distance; usable energy over consumption", Physics)
	var best, worst string
	var whole []string
	for i, r := range runs {
		n := i + 1
		e, d, c := fmt.Sprintf("E_%d", n), fmt.Sprintf("s_%d", n), fmt.Sprintf("c_%d", n)
		s.take(e, "energy from the pack, "+r.Name, r.Energy, quantity.Energy)
		s.take(d, "distance, "+r.Name, r.Distance, quantity.Length)
		if r.Sign == "not recorded" {
			s.note("%s: which way its log counts as positive is not recorded; the energy is taken as drawn from the pack.", r.Name)
		}
		if !s.calc(c, "Wh/km", e+"/"+d, r.Name+".") {
			continue
		}
		s.implied(n, r)
		if !r.stated() {
			s.note("%s does not state its conditions and does not count for the range.", r.Name)
			continue
		}
		s.say("Its conditions.", conditionsOf(r))
		if w := fmt.Sprintf("R_%d", n); s.has(w) {
			whole = append(whole, w)
		}
		if best == "" || less(s.get(c), s.get(best)) {
			best = c
		}
		if worst == "" || less(s.get(worst), s.get(c)) {
			worst = c
		}
	}
	return s.rangeOf(best, worst, whole, usable)
}

func conditionsOf(r Run) string {
	parts := []string{}
	for _, p := range []string{r.Temperature.Text, r.Weather, r.Conditions, r.Tyres} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, "; ")
}

// implied gives the energy of a full pack that a run implies.
func (s *sheet) implied(n int, r Run) {
	if r.ChargeBefore.Text == "" || r.ChargeAfter.Text == "" {
		return
	}
	a, b := fmt.Sprintf("a_%d", n), fmt.Sprintf("b_%d", n)
	s.take(a, "charge before, "+r.Name, r.ChargeBefore, quantity.Ratio)
	s.take(b, "charge after, "+r.Name, r.ChargeAfter, quantity.Ratio)
	s.calc(fmt.Sprintf("Q_%d", n), "kWh", fmt.Sprintf("E_%d/(%s-%s)", n, a, b), "Energy of the whole charge that this run implies, on the display's word for the charge.")
	s.calc(fmt.Sprintf("R_%d", n), "km", fmt.Sprintf("s_%d/(%s-%s)", n, a, b), "Distance on a whole charge, on the same word.")
}

// rangeOf gives the range from the usable energy, or from the charge display
// where that is not recorded.
func (s *sheet) rangeOf(best, worst string, whole []string, usable Input) Working {
	if best == "" {
		s.missing("a road run with distance, energy and stated conditions")
		return s.done()
	}
	if !s.take("Q", "usable energy", usable, quantity.Energy) {
		return s.byDisplay(best, worst, whole)
	}
	s.calc("r_a", "km", "Q/"+worst, "Range at the most that was used.")
	s.calc("r_b", "km", "Q/"+best, "Range at the least.")
	s.w.Low, s.w.High = s.get("r_a"), s.get("r_b")
	s.conclude("from %s to %s, as driven on the runs listed and under their conditions; colder, faster or wetter is less", s.show("r_a"), s.show("r_b"))
	if best == worst {
		s.note("One run alone states its conditions: the two ends are the same because there is one run, and not because the range is certain.")
	}
	return s.done()
}

// byDisplay gives what the charge display implies, and says that it does.
func (s *sheet) byDisplay(best, worst string, whole []string) Working {
	used := s.show(best)
	if best != worst {
		used += " to " + s.show(worst)
	}
	if len(whole) == 0 {
		s.conclude("%s; range not computed: needs the usable energy", used)
		return s.done()
	}
	low, high := whole[0], whole[0]
	for _, w := range whole[1:] {
		if less(s.get(w), s.get(low)) {
			low = w
		}
		if less(s.get(high), s.get(w)) {
			high = w
		}
	}
	s.w.Low, s.w.High = s.get(low), s.get(high)
	span := s.show(low)
	if low != high {
		span = "from " + span + " to " + s.show(high)
	}
	if len(whole) == 1 {
		s.note("One run alone states the charge before and after it: its distance on a whole charge is a figure of that day, and no interval.")
	}
	s.conclude("%s; %s on a whole charge, by the display's word for the charge and under the conditions of the runs listed; the usable energy is not recorded", used, span)
	return s.done()
}

// EnergyLog is what one source logged.
type EnergyLog struct {
	Name, Sign string // positive is discharge, positive is charge, not recorded
	Energies   []Input
}

// EnergyTotals adds up energies source by source with the sign convention of
// each; totals of sources that count in opposite ways, or do not say how, are
// never added together.
func EnergyTotals(id string, logs []EnergyLog) Working {
	s := begin(Driving, "energy logs "+id, "Energy by source, with its sign")
	s.source("one sign convention to a source", Habit)
	signs, computed := map[string]bool{}, 0
	for i, log := range logs {
		sum := ""
		for j, e := range log.Energies {
			symbol := fmt.Sprintf("E_%d_%d", i+1, j+1)
			s.take(symbol, "energy, "+log.Name, e, quantity.Energy)
			sum += "+" + symbol
		}
		signs[orNot(log.Sign)] = true
		if sum != "" && s.calc(fmt.Sprintf("E_%d", i+1), "kWh", sum[1:], log.Name+", "+orNot(log.Sign)+".") {
			computed++
		}
	}
	switch {
	case computed == 0:
		s.missing("a log of energy")
	case len(signs) > 1 || signs["not recorded"]:
		s.conclude("given source by source: their signs differ or are not recorded, so they are not added up")
		s.verdict(Verdict{Of: "a total over all sources", Against: "one sign convention", Outcome: NotComparable, Reason: "one source counts discharge as positive and another charge, or one does not say"})
	default:
		s.conclude("given source by source; all count alike")
	}
	return s.done()
}

// Charge is one charging session.
type Charge struct {
	Name       string
	Wall, Pack Input
	When       edtf.Date
}

// ChargingLoss compares energy from the wall with energy into the pack. More in
// the pack than came from the wall cannot be.
func ChargingLoss(id string, c Charge) Working {
	s := begin(Driving, "charging "+id, "Charging: "+c.Name)
	s.source("what comes from the wall and does not reach the pack is lost", Physics)
	s.take("E_w", "energy from the wall", c.Wall, quantity.Energy)
	s.take("E_p", "energy into the pack", c.Pack, quantity.Energy)
	if s.calc("l", "%", "(E_w-E_p)/E_w", "Lost in charger, cables and heat, of what the wall gave.") {
		s.answer("l", "{} lost on the way")
		v := Verdict{Of: "this charge", Against: "no more in the pack than from the wall", Outcome: Met, Reason: "plausible; 5 to 20 % is usual", Source: Source{"conservation of energy; usual losses from practice", Habit}}
		switch {
		case less(s.get("E_w"), s.get("E_p")):
			v.Outcome, v.Reason = Contradiction, "impossible: the pack cannot take more than the wall gave; one of the meters is wrong, or they measured different sessions"
		case less(s.get("l"), quantity.MustParse("2 %")):
			v.Outcome, v.Reason = NoVerdict, "hardly any loss: look at the meters"
		case less(quantity.MustParse("30 %"), s.get("l")):
			v.Outcome, v.Reason = NoVerdict, "an unusual loss: look at charger, cables and meters"
		}
		s.verdict(v)
	}
	start, end, _, _ := c.When.Ends()
	if first, ok := start.First(); ok {
		if last, ok := end.Last(); ok && first != last {
			s.note("The session ran from %s to %s: it belongs to both days and is counted once, on the day it began.", first, last)
		}
	}
	return s.done()
}

// Serials compares the serial numbers bought with those read from what is
// fitted. A near miss stays open until a photo settles it; the counts are held
// against each other all the same.
func Serials(id, what string, bought, fitted []string) Working {
	s := begin(Pack, "serials "+id, "Serial numbers bought and fitted: "+what)
	s.source("numbers are compared as they were read", Habit)
	left := slices.Clone(bought)
	var open []string
	matched := 0
	for _, f := range fitted {
		if i := slices.Index(left, f); i >= 0 {
			left = slices.Delete(left, i, i+1)
			matched++
			continue
		}
		open = append(open, f)
	}
	for _, f := range open {
		near := slices.IndexFunc(left, func(b string) bool { return nearMiss(b, f) })
		v := Verdict{Of: what + " " + f + ", fitted", Against: "a number bought", Outcome: EvidenceMissing, Reason: "no such number was bought"}
		if near >= 0 {
			v.Outcome, v.Reason = TooClose, fmt.Sprintf("a near miss of %s, bought: figures changed over or misread; unresolved until a photo of the label is on record", left[near])
		}
		s.verdict(v)
	}
	count := Verdict{Of: "count of " + what, Against: fmt.Sprintf("%d bought", len(bought)), Outcome: Met, Reason: fmt.Sprintf("%d fitted", len(fitted))}
	if len(bought) != len(fitted) {
		count.Outcome, count.Reason = Contradiction, fmt.Sprintf("%d fitted and %d bought: the rest must be in a store or gone back", len(fitted), len(bought))
	}
	s.verdict(count)
	s.conclude("%d of %d agree letter by letter", matched, len(fitted))
	return s.done()
}

// nearMiss reports whether two numbers of one length differ in one place, or in
// two whose figures are changed over.
func nearMiss(a, b string) bool {
	x, y := []rune(a), []rune(b)
	if len(x) != len(y) {
		return false
	}
	var at []int
	for i := range x {
		if x[i] != y[i] {
			at = append(at, i)
		}
	}
	return len(at) == 1 || len(at) == 2 && x[at[0]] == y[at[1]] && x[at[1]] == y[at[0]]
}
