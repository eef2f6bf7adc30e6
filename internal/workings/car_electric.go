package workings

import (
	"fmt"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// insulation gives the workings of insulation, bonding and proving dead.
func (c *Car) insulation() []Working {
	tests := map[string][]InsulationReading{}
	list := c.insulationTests(tests)
	if w, ok := c.joinedSides(tests); ok {
		list = append(list, w)
	}
	for _, circuit := range []string{"load side", "joined"} {
		if len(tests[circuit]) > 1 {
			list = append(list, Trend(circuit, tests[circuit], false))
		}
	}
	if len(list) == 0 {
		s := begin(Insulation, "insulation", "Insulation")
		s.missing("an insulation test of pack side and load side, or of both joined")
		list = append(list, s.done())
	}
	list = append(list, c.bonding()...)
	for _, r := range c.readings("proved-dead") {
		list = append(list, ProvedDead(short(r.ID), c.deadReading(r)))
	}
	return append(list, c.sections(), c.waiting())
}

// insulationTests works out test by test, and sorts them by circuit.
func (c *Car) insulationTests(tests map[string][]InsulationReading) []Working {
	var list []Working
	for _, r := range c.readings("insulation") {
		if r.Body.Insulation != nil && r.Body.Insulation.Resistor != "" {
			list = append(list, ByVoltmeter(short(r.ID), c.voltmeter(r)))
			continue
		}
		test := c.insulationReading(r)
		tests[test.Circuit] = append(tests[test.Circuit], test)
		list = append(list, Isolation(short(r.ID), test))
	}
	return list
}

func (c *Car) insulationReading(r reading) InsulationReading {
	test := InsulationReading{Name: r.Name(), On: string(r.Body.On)}
	accuracy, top, tool := c.instrument(r.Body.Instrument)
	test.RatedForLive = tool.RatedForLive
	for i, v := range r.Body.Values {
		in := Measured(Recorded(r.Record, canon.ElementPointer("/values", i)+"/value", v.Value), accuracy, top)
		switch v.Poles {
		case "+":
			test.Plus = in
		case "-":
			test.Minus = in
		case "bridged":
			test.Bridged = in
		}
	}
	if b := r.Body.Insulation; b != nil {
		test.Circuit, test.State, test.Protection, test.BMS = b.Circuit, b.State, b.Protection, b.BMS
		test.TestVoltage = measure(r.Record, "/insulation/test-voltage", b.TestVoltage)
		test.Working = measure(r.Record, "/insulation/working-voltage", b.WorkingVoltage)
	}
	if a := r.Body.Surroundings; a != nil {
		test.Temperature = measure(r.Record, "/surroundings/temperature", a.Temperature)
		test.Humidity = measure(r.Record, "/surroundings/humidity", a.Humidity)
	}
	return test
}

func (c *Car) voltmeter(r reading) VoltmeterReading {
	_, _, tool := c.instrument(r.Body.Instrument)
	v := VoltmeterReading{Name: r.Name(), RatedForLive: tool.RatedForLive, Pack: taken(r, "pack voltage", "+ to -"),
		WithResistor: taken(r, "with resistor"), Resistor: measure(r.Record, "/insulation/resistor", r.Body.Insulation.Resistor),
		Working: measure(r.Record, "/insulation/working-voltage", r.Body.Insulation.WorkingVoltage), Protection: r.Body.Insulation.Protection}
	if in, ok := ledger.Get[record.Instrument](c.s, r.Body.Instrument); ok {
		v.MeterResistance = measure(in.Record, "/resistance", in.Body.Resistance)
	}
	plus, minus := toChassis(r, "+"), toChassis(r, "-")
	v.Higher, v.Lower = plus, minus
	if less(plus.Value, minus.Value) {
		v.Higher, v.Lower = minus, plus
	}
	return v
}

// joinedSides combines the last day's pack-side tests with the last load-side
// test, as far as they are complete and evidence. Boxes of one pack are in
// series, so each has its own path to chassis.
func (c *Car) joinedSides(tests map[string][]InsulationReading) (Working, bool) {
	packs, loads := usable(tests["pack side"]), usable(tests["load side"])
	if len(packs) == 0 || len(loads) == 0 {
		return Working{}, false
	}
	var sides []Side
	day := packs[len(packs)-1].On
	for _, p := range packs {
		if p.On == day {
			sides = append(sides, Side{p.Name + " (" + p.On + ")", p.asBridged()})
		}
	}
	load := loads[len(loads)-1]
	sides = append(sides, Side{load.Name + " (" + load.On + ")", load.asBridged()})
	working := load.Working
	if working.Text == "" {
		working = c.carRating("voltage", "charged")
	}
	return Joined("pack and load", sides, working, load.Protection), true
}

// usable lists the tests that are complete and evidence.
func usable(tests []InsulationReading) []InsulationReading {
	var list []InsulationReading
	for _, r := range tests {
		if r.complete() && r.noEvidence() == "" {
			list = append(list, r)
		}
	}
	return list
}

func (c *Car) bonding() []Working {
	var list []Working
	for _, r := range c.readings("bonding") {
		accuracy, top, _ := c.instrument(r.Body.Instrument)
		for i, v := range r.Body.Values {
			b := BondingReading{Name: v.Of, Value: Measured(Recorded(r.Record, canon.ElementPointer("/values", i)+"/value", v.Value), accuracy, top)}
			if d := r.Body.Bonding; d != nil {
				b.Current = measure(r.Record, "/bonding/current", d.Current)
				b.Resolution = measure(r.Record, "/bonding/resolution", d.Resolution)
			}
			list = append(list, Bonding(short(r.ID)+" "+v.Of, b))
		}
	}
	return list
}

func (c *Car) deadReading(r reading) DeadReading {
	accuracy, top, tool := c.instrument(r.Body.Instrument)
	with := func(in Input) Input { return Measured(in, accuracy, top) }
	return DeadReading{Name: r.Name(), BetweenPoles: with(betweenPoles(r)), PlusToChassis: with(toChassis(r, "+")), MinusToChassis: with(toChassis(r, "-")),
		Before: takenLike(r, "proving unit, before"), After: takenLike(r, "proving unit, after"), RatedForLive: tool.RatedForLive}
}

// toChassis finds the voltage of a pole to chassis, by any of its usual words.
func toChassis(r reading, pole string) Input {
	return taken(r, pole+" to chassis", pole+" to frame", pole+" to body", pole+" to earth")
}

// betweenPoles finds the voltage between the poles.
func betweenPoles(r reading) Input {
	if in := takenLike(r, "+ to -"); in.Text != "" {
		return in
	}
	return taken(r, "between the poles", "between poles", "pole to pole")
}

// charged is the highest voltage of a battery part: from its cells, or rated.
func charged(p ledger.Entry[record.Part]) Input {
	if k := p.Body.Pack; k != nil && k.Series > 0 && k.CellCharged != "" {
		s := begin(Pack, "", "")
		s.takeCount("N_s", "groups in series", k.Series, Input{})
		s.take("U_x", "cell, charged", measure(p.Record, "/pack/cell-charged", k.CellCharged), quantity.Voltage)
		if s.calc("U", "V", "N_s*U_x", "All cells charged.") {
			return From(s.get("U"), Source{fmt.Sprintf("%d cells in series at %s", k.Series, k.CellCharged), Physics})
		}
	}
	return ratingOf(p.Record, p.Body.Ratings, "voltage", "charged")
}

func (c *Car) sections() Working {
	var list []Section
	for _, p := range c.onCar() {
		if battery(p.Body) {
			list = append(list, Section{p.Name(), charged(p)})
		}
	}
	return Sections("pack", list, c.carRating("voltage", "charged"))
}

// traction is the traction circuit with its record.
func (c *Car) traction() (ledger.Entry[record.System], bool) {
	for _, s := range ledger.All[record.System](c.s) {
		if s.Body.Circuit != nil && s.Body.Circuit.Sort == "traction" {
			return s, true
		}
	}
	return ledger.Entry[record.System]{}, false
}

func (c *Car) waiting() Working {
	capacitance := Input{}
	if t, ok := c.traction(); ok && t.Body.Circuit.PreCharge != nil {
		capacitance = measure(t.Record, "/circuit/pre-charge/capacitance", t.Body.Circuit.PreCharge.Capacitance)
	}
	discharge := Input{}
	for _, p := range c.onCar() {
		for i, r := range p.Body.Ratings {
			if r.Of == "other" && strings.Contains(strings.ToLower(r.Note), "discharge resistor") {
				discharge = Recorded(p.Record, canon.ElementPointer("/ratings", i)+"/value", r.Value)
			}
		}
	}
	return WaitingTime("capacitors", c.carRating("voltage", "charged"), capacitance, discharge)
}
