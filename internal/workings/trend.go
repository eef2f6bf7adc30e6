package workings

import (
	"slices"

	"boltback/internal/quantity"
)

var likeAir = Source{"comparison under like conditions; no correction for packs, cables or humidity", Habit}

// Trend compares insulation readings of one circuit over time. Temperature is
// corrected for motor windings alone (halving for each 10 °C); a circuit with
// cables and a pack is compared under like conditions or not at all. What is no
// figure of the whole circuit is left out, and said.
func Trend(id string, readings []InsulationReading, winding bool) Working {
	s := begin(Insulation, "trend "+id, "Insulation over time")
	s.w.Sources = []Source{likeAir}
	if winding {
		s.w.Sources = []Source{windings}
	}
	list := s.ofTheWhole(readings)
	for _, r := range list {
		s.say(orNot(r.On)+", "+orNot(r.Temperature.Text)+", humidity "+orNot(r.Humidity.Text), worstText(r))
	}
	if len(list) < 2 {
		s.missing("two readings of the same circuit, each of both poles")
		return s.done()
	}
	first, last := list[0], list[len(list)-1]
	bounds := slices.ContainsFunc(list, func(r InsulationReading) bool { return !value(r).IsPoint() })
	if bounds {
		s.note("A bound such as >550 MΩ is shown as a bound; it is neither averaged nor drawn as a point.")
	}
	if winding && !bounds {
		return s.corrected(first, last)
	}
	s.verdict(likeConditions(first, last))
	s.conclude("from %s to %s", worstText(first), worstText(last))
	return s.done()
}

// ofTheWhole keeps the readings that say something of the whole circuit. Where
// some were made with the poles bridged, the others are taken to that, so that
// like is compared with like.
func (s *sheet) ofTheWhole(readings []InsulationReading) []InsulationReading {
	var list []InsulationReading
	bridged, apart := false, false
	for _, r := range readings {
		switch {
		case r.milliohms() != "":
			s.note("%s of %s is no figure of insulation and is left out: look at the sheet and at the tester.", r.milliohms(), orNot(r.On))
			continue
		case r.complete() && value(r).Dimension() != quantity.Resistance:
			s.note("%s of %s is no resistance and is left out.", orNot(worstText(r)), orNot(r.On))
			continue
		case !r.complete():
			s.note("The reading of %s has one pole alone and is left out.", orNot(r.On))
			continue
		}
		bridged, apart = bridged || r.Bridged.Text != "", apart || r.Bridged.Text == ""
		list = append(list, r)
	}
	if bridged && apart {
		s.note("Poles that were measured one by one are taken together as paths side by side, to be held against readings with both bridged.")
		for i := range list {
			list[i].Bridged = list[i].asBridged()
		}
	}
	return list
}

func value(r InsulationReading) quantity.Quantity { return worst(r).Value }

func worstText(r InsulationReading) string { return orNot(worst(r).Text) }

// worst is the bridged reading, else the worse pole.
func worst(r InsulationReading) Input {
	if r.Bridged.Text != "" {
		return r.Bridged
	}
	if order, err := quantity.Compare(r.Minus.Value, r.Plus.Value); err == nil && order == quantity.Less {
		return r.Minus
	}
	if r.Plus.Text == "" {
		return r.Minus
	}
	return r.Plus
}

// likeConditions says whether two tests were made in like air: within 10 K and
// 15 points of humidity, both recorded.
func likeConditions(a, b InsulationReading) Verdict {
	v := Verdict{Of: "the two readings", Against: "like conditions (within 10 K and 15 points of humidity)", Outcome: NotComparable, Source: likeAir}
	dT, err1 := quantity.Sub(b.Temperature.Value, a.Temperature.Value)
	dH, err2 := quantity.Sub(b.Humidity.Value, a.Humidity.Value)
	switch {
	case err1 != nil || err2 != nil:
		v.Reason = "temperature or humidity of one of them is not recorded; repeat under like conditions"
	case beyond(dT, "10 K") || beyond(dH, "15 %"):
		v.Reason = "the air was different; a pack with cables is not corrected for temperature or humidity: repeat under like conditions"
	default:
		v.Outcome, v.Reason = Met, "the air was alike"
	}
	return v
}

func beyond(q quantity.Quantity, most string) bool {
	limit := quantity.MustParse(most)
	d := quantity.Decide(q, quantity.AtMost(limit), quantity.SimpleAcceptance)
	negative, _ := quantity.Sub(zeroOf(limit), limit)
	e := quantity.Decide(q, quantity.AtLeast(negative), quantity.SimpleAcceptance)
	return d.Outcome != quantity.Met || e.Outcome != quantity.Met
}

// corrected takes the later reading to the temperature of the first.
func (s *sheet) corrected(first, last InsulationReading) Working {
	s.take("R_1", "first reading", worst(first), quantity.Resistance)
	s.take("R_2", "later reading", worst(last), quantity.Resistance)
	s.take("T_1", "temperature at the first", first.Temperature, quantity.Temperature)
	s.take("T_2", "temperature at the later", last.Temperature, quantity.Temperature)
	s.take("T_h", "temperature step of the rule", constant("10 K", "rule for windings"), quantity.TemperatureDifference)
	s.calc("R_c", last.unitOf(), "R_2*exp(ln(2)*(T_2-T_1)/T_h)", "A winding halves its insulation for each 10 °C: the later reading at the first temperature.")
	s.answer("R_c", "{} at the temperature of the first reading, a rule of thumb for windings")
	s.note("Humidity is noted and never corrected.")
	return s.done()
}

func (r InsulationReading) unitOf() string { return worst(r).Value.Unit() }
