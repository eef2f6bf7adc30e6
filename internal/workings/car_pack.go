package workings

import (
	"strings"

	"boltback/internal/canon"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// pack gives the workings of the pack, the circuits and the power.
func (c *Car) pack() []Working {
	var list []Working
	list = append(list, c.cellsOf()...)
	for _, r := range c.readings("cell-survey") {
		list = append(list, CellSurvey(short(r.ID), c.survey(r)))
	}
	list = append(list, c.preCharge()...)
	for _, s := range ledger.All[record.System](c.s) {
		if s.Body.Circuit != nil {
			list = append(list, c.circuit(s)...)
		}
	}
	list = append(list, c.power()...)
	if w, ok := c.serials(); ok {
		list = append(list, w)
	}
	return list
}

// cellsOf works out every battery part on the car, from its cells where they are
// recorded and from its ratings otherwise, and the car as a whole.
func (c *Car) cellsOf() []Working {
	var list []Working
	var masses []Side
	for _, p := range c.onCar() {
		if !battery(p.Body) {
			continue
		}
		mass := measure(p.Record, "/mass", p.Body.Mass)
		masses = append(masses, Side{p.Name(), mass})
		energy := ratingOf(p.Record, p.Body.Ratings, "energy", "nominal")
		if k := p.Body.Pack; k != nil {
			at := func(name string, m record.Measure) Input { return measure(p.Record, "/pack/"+name, m) }
			list = append(list, PackOf(short(p.ID), PackCells{Name: p.Name(), Series: k.Series, Parallel: k.Parallel, Cells: k.Cells, Nominal: at("cell-nominal", k.CellNominal),
				Charged: at("cell-charged", k.CellCharged), Empty: at("cell-empty", k.CellEmpty), Capacity: at("cell-capacity", k.CellCapacity), Mass: mass, RatedEnergy: energy}))
			continue
		}
		list = append(list, RatedEnergy(short(p.ID), p.Name(), ratingOf(p.Record, p.Body.Ratings, "voltage", "nominal"), ratingOf(p.Record, p.Body.Ratings, "capacity"), energy, []Side{{p.Name(), mass}}))
	}
	if len(masses) > 1 && c.rec != nil {
		list = append(list, RatedEnergy("whole pack", "whole pack", c.carRating("voltage", "nominal"), c.carRating("capacity"), c.carRating("energy", "nominal"), masses))
	}
	if len(list) == 0 {
		s := begin(Pack, "pack", "Cells, voltages and energy")
		s.missing("a traction battery on the car")
		list = append(list, s.done())
	}
	return list
}

func (c *Car) survey(r reading) Survey {
	v := Survey{Name: r.Name()}
	for i, one := range r.Body.Values {
		v.Readings = append(v.Readings, CellReading{one.Of, Recorded(r.Record, canon.ElementPointer("/values", i)+"/value", one.Value)})
	}
	if r.Body.Cells != nil {
		v.State, v.Taken, v.Cells = r.Body.Cells.State, r.Body.Cells.Taken, r.Body.Cells.Count
	} else if strings.Contains(strings.ToLower(r.Body.Method), "at rest") {
		v.State, v.Words = "at rest", r.Body.Method
	}
	return v
}

// preCharge follows the curve of the traction circuit, and what was measured.
func (c *Car) preCharge() []Working {
	var list []Working
	most := Input{}
	if t, ok := c.traction(); ok {
		var p record.PreCharge
		if t.Body.Circuit.PreCharge != nil {
			p = *t.Body.Circuit.PreCharge
		}
		at := func(name string, m record.Measure) Input { return measure(t.Record, "/circuit/pre-charge/"+name, m) }
		most = at("contactor-voltage", p.ContactorVoltage)
		list = append(list, PreChargeCurve(short(t.ID), PreCharge{Voltage: c.carRating("voltage", "charged"), Resistance: at("resistance", p.Resistance), Capacitance: at("capacitance", p.Capacitance),
			Time: at("time", p.Time), ContactorVoltage: most, ResistorEnergy: at("resistor-energy", p.ResistorEnergy), Retries: p.Retries}))
	}
	for _, r := range c.readings("function-test") {
		if left := takenLike(r, "voltage left across the main contactor"); left.Text != "" {
			accuracy, top, _ := c.instrument(r.Body.Instrument)
			list = append(list, Residual(short(r.ID), Measured(left, accuracy, top), Measured(taken(r, "pack voltage"), accuracy, top), most))
		}
	}
	return list
}

// circuit gives fuse and voltage drop of a circuit, and the budget of what a
// converter feeds.
func (c *Car) circuit(s ledger.Entry[record.System]) []Working {
	b, k := s.Body.Circuit, circuitOf(s)
	var list []Working
	if b.Sort == "traction" {
		list = append(list, c.fuse(s))
	}
	if b.Conductor != "" || b.Length != "" {
		list = append(list, VoltageDrop(short(s.ID), k))
	}
	if b.Sort == "low-voltage" {
		fed := len(k.Consumers) > 0
		for _, ref := range s.Body.Parts {
			if p, ok := ledger.Get[record.Part](c.s, ref); ok {
				fed = fed || p.Body.Found == "no"
				if r := ratingOf(p.Record, p.Body.Ratings, "current"); r.Text != "" {
					k.Source = r
				}
			}
		}
		if fed { // a circuit of the car as it was has no converter
			list = append(list, DCDCBudget(short(s.ID), k))
		}
	}
	return list
}

// fuse holds the fuse of a traction circuit against load, conductor and fault.
func (c *Car) fuse(s ledger.Entry[record.System]) Working {
	k := circuitOf(s)
	k.Charged, k.Empty = c.carRating("voltage", "charged"), c.carRating("voltage", "empty")
	k.PackNew, k.PackWorst = c.packResistance()
	return FuseCheck(short(s.ID), k)
}

// circuitOf takes a circuit from its record.
func circuitOf(s ledger.Entry[record.System]) Circuit {
	b := s.Body.Circuit
	at := func(name string, m record.Measure) Input { return measure(s.Record, "/circuit/"+name, m) }
	k := Circuit{Name: s.Name(), Voltage: at("voltage", b.Voltage), Load: at("load", b.Load), Fuse: at("fuse", b.Fuse), Carries: at("carries", b.Carries),
		FuseVoltage: at("fuse-voltage", b.FuseVoltage), FuseBreaks: at("fuse-breaks", b.FuseBreaks), FuseFrom: at("fuse-breaks-from", b.FuseBreaksFrom),
		Wiring: at("resistance", b.Resistance), Conductor: at("conductor", b.Conductor), Length: at("length", b.Length), Temperature: at("temperature", b.Temperature)}
	for i, one := range b.Consumers {
		k.Consumers = append(k.Consumers, Consumer{one.What, measure(s.Record, canon.ElementPointer("/circuit/consumers", i)+"/current", one.Current), one.Steady != "no"})
	}
	return k
}

// packResistance is the sum over the boxes of the pack, each in series.
func (c *Car) packResistance() (fresh, worstCase Input) {
	s := begin(Pack, "", "")
	a, b := "", ""
	for _, p := range c.onCar() {
		if !battery(p.Body) {
			continue
		}
		n := strings.NewReplacer("-", "_").Replace(short(p.ID))
		var k record.Pack
		if p.Body.Pack != nil {
			k = *p.Body.Pack
		}
		s.take("a_"+n, "", measure(p.Record, "/pack/resistance", k.Resistance), quantity.Resistance)
		s.take("b_"+n, "", measure(p.Record, "/pack/resistance-worst", k.ResistanceWorst), quantity.Resistance)
		a, b = a+"+a_"+n, b+"+b_"+n
	}
	if a == "" {
		return Input{}, Input{}
	}
	from := Source{"boxes of the pack in series", Physics}
	if s.calc("A", "Ω", a[1:], "") {
		fresh = From(s.get("A"), from)
	}
	if s.calc("B", "Ω", b[1:], "") {
		worstCase = From(s.get("B"), from)
	}
	return fresh, worstCase
}

// power compares each rating of the motor with the engine's, and its torque with
// what the gearbox may take.
func (c *Car) power() []Working {
	var list []Working
	var engines []PowerFigure
	engineTorque, gearbox := c.carRating("torque"), Input{}
	for i, r := range c.car.Ratings {
		if r.Of == "power" {
			engines = append(engines, PowerFigure{"engine, " + orNot(r.Source), r.Basis, Recorded(c.rec, canon.ElementPointer("/ratings", i)+"/value", r.Value)})
		}
	}
	for _, p := range ledger.All[record.Part](c.s) {
		if in := ratingOf(p.Record, p.Body.Ratings, "input torque"); in.Text != "" {
			gearbox = in
		}
	}
	for _, p := range c.onCar() {
		if p.Body.Found != "no" {
			continue
		}
		for i, r := range p.Body.Ratings {
			in := Recorded(p.Record, canon.ElementPointer("/ratings", i)+"/value", r.Value)
			switch {
			case r.Of == "power" && in.Value.Dimension() == quantity.Power && (r.Basis == "30-minute" || r.Basis == "peak" || r.Basis == "net"):
				list = append(list, PowerRatio(short(p.ID)+" "+r.Basis, PowerFigure{p.Name(), r.Basis, in}, engines, Input{}, Input{}, Source{}))
			case r.Of == "torque":
				list = append(list, InputTorque(short(p.ID), in, gearbox, engineTorque))
			}
		}
	}
	return list
}

// serials compares serial numbers on invoices with those read from parts on the
// car, where an invoice holds any.
func (c *Car) serials() (Working, bool) {
	var bought, fitted []string
	for _, p := range ledger.All[record.Paper](c.s) {
		for _, n := range p.Body.Numbers {
			if p.Body.Class == "invoice" && n.What == "serial" {
				bought = append(bought, n.Raw)
			}
		}
	}
	for _, p := range c.onCar() {
		for _, n := range p.Body.Numbers {
			if n.What == "serial" && n.OnCar != "no" && p.Body.Found == "no" {
				fitted = append(fitted, n.Raw)
			}
		}
	}
	if len(bought) == 0 {
		return Working{}, false
	}
	return Serials("bought and fitted", "part", bought, fitted), true
}
