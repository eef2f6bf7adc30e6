package requirement

import (
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/workings"
)

const insulationTest = "an insulation test of that side, both poles or bridged, with test voltage, working voltage and whether it was dead, since the last work on it"

const inletTest = "an insulation test at the charge inlet with the plug out, with test voltage, working voltage and whether it was dead, since the last work on it"

var insulationSubject = Subject{Name: "insulation", Words: "insulation of the traction circuit from chassis", Facts: []Fact{
	{Name: "joined", Kind: Figure, Unit: "Ω/V", Words: "insulation of the joined circuit, for each volt of the working voltage", Want: insulationTest},
	{Name: "pack_side", Kind: Figure, Unit: "Ω/V", Words: "insulation of the pack side, for each volt of the working voltage", Want: insulationTest},
	{Name: "load_side", Kind: Figure, Unit: "Ω/V", Words: "insulation of the load side, for each volt of the working voltage", Want: insulationTest},
	{Name: "inlet", Kind: Figure, Unit: "Ω/V", Words: "insulation of what is joined to the charge inlet, for each volt of the working voltage", Want: inletTest},
	{Name: "inlet_resistance", Kind: Figure, Unit: "MΩ", Words: "insulation of what is joined to the charge inlet", Want: inletTest},
	{Name: "leakage", Kind: Figure, Unit: "mA", Words: "the leakage current of the joined circuit that its insulation allows", Want: insulationTest},
	{Name: "protection_recorded", Kind: YesNo, Words: "whether a protection of the alternating-current side besides basic insulation is recorded", Want: "an insulation test, which says so"},
	{Name: "by_voltmeter", Kind: YesNo, Words: "whether insulation was measured with voltmeter and known resistor", Want: "an insulation test"},
}}

// circuitFacts names the fact of each circuit that a test may be of, and what its working gives besides: a fact and its symbol.
var circuitFacts = map[string]struct{ perVolt, besides, symbol string }{
	"joined":       {"joined", "leakage", "I"},
	"pack side":    {perVolt: "pack_side"},
	"load side":    {perVolt: "load_side"},
	"charge inlet": {"inlet", "inlet_resistance", "R"},
}

func (f *Facts) gatherInsulation(t *thing) {
	good := map[string][]figure{}
	spoilt := map[string]Gap{}
	protected, voltmeter, any := false, false, false
	for _, r := range f.readings("insulation") {
		any = true
		circuit := "joined"
		if b := r.Body.Insulation; b != nil {
			protected = protected || b.Protection != ""
			voltmeter = voltmeter || b.Resistor != ""
			circuit = b.Circuit
		}
		of, ok := circuitFacts[circuit]
		if !ok {
			continue
		}
		if q, why := f.perVolt(r); why != "" {
			spoilt[of.perVolt] = Gap{Kind: Absent, Why: why, Records: []record.Ref{r.ID}}
		} else if words := f.staleness(r.ID); words != "" {
			spoilt[of.perVolt] = Gap{Kind: Stale, Why: words, Records: []record.Ref{r.ID}}
		} else {
			good[of.perVolt] = append(good[of.perVolt], q)
			if q, ok := f.ofTest(r, of.symbol); ok {
				good[of.besides] = append(good[of.besides], q)
			}
		}
	}
	for _, of := range circuitFacts {
		t.tested(of.perVolt, good[of.perVolt], spoilt[of.perVolt])
		if of.besides != "" {
			t.tested(of.besides, good[of.besides], spoilt[of.perVolt])
		}
	}
	if any {
		t.is("protection_recorded", protected)
		t.is("by_voltmeter", voltmeter)
	}
}

// tested sets a fact from the tests that are evidence, or says why those that there are are none.
func (t *thing) tested(name string, good []figure, spoilt Gap) {
	if t.figures(name, good...); len(good) == 0 && spoilt.Kind != "" {
		t.lacks(name, spoilt.Kind, spoilt.Why, spoilt.Records...)
	}
}

// perVolt takes the insulation for each volt from the working of a test; the text says why that is no evidence.
func (f *Facts) perVolt(r ledger.Entry[record.Reading]) (figure, string) {
	for _, w := range f.workings(workings.Insulation) {
		if w.ID != "isolation "+short(r.ID) && w.ID != "voltmeter "+short(r.ID) {
			continue
		}
		for _, v := range w.Verdicts {
			if v.Outcome == workings.EvidenceMissing {
				return figure{}, v.Reason
			}
		}
		if q, ok := w.Result("r"); ok {
			return figure{q, []record.Ref{r.ID}, workingName(&w)}, ""
		}
		return figure{}, "not computed: needs " + strings.Join(w.Missing, "; ")
	}
	return figure{}, "no working could be made of it"
}

// ofTest takes a figure from the working of a test: one that it computes, or one that went in.
func (f *Facts) ofTest(r ledger.Entry[record.Reading], symbol string) (figure, bool) {
	for _, w := range f.workings(workings.Insulation) {
		if w.ID != "isolation "+short(r.ID) {
			continue
		}
		if q, ok := w.Result(symbol); ok {
			return figure{q, []record.Ref{r.ID}, workingName(&w)}, true
		}
		for _, in := range w.Inputs {
			if in.Symbol == symbol && !in.Value.IsZero() {
				return figure{in.Value, []record.Ref{r.ID}, workingName(&w)}, true
			}
		}
	}
	return figure{}, false
}

const bondingTest = "a four-wire reading from that case to chassis, with test current and resolution"

var caseSubject = Subject{Name: "case", Entry: true, Words: "the case of a high-voltage part on the car", Facts: []Fact{
	{Name: "name", Kind: Text, Words: "its name", Want: "a name"},
	{Name: "bonding", Kind: Figure, Unit: "Ω", Words: "bonding to chassis", Want: bondingTest},
}}

var tractionSubject = Subject{Name: "traction", Words: "the traction circuit", Facts: []Fact{
	{Name: "voltage", Kind: Figure, Unit: "V", Words: "the highest working voltage", Want: "the voltage of the charged pack"},
	{Name: "colour", Kind: Text, Words: "the colour of the traction cables", Want: "the traction circuit with the colour of its cables"},
	{Name: "cases", Kind: Several, Of: "case", Words: "the cases of the high-voltage parts on the car", Want: "the high-voltage parts on the car, and a bonding reading of each case"},
	{Name: "fuse", Kind: Figure, Unit: "A", Words: "the rating of the main fuse", Want: "the traction circuit with its fuse"},
	{Name: "load", Kind: Figure, Unit: "A", Words: "the current that the drive draws", Want: "the traction circuit with its load"},
	{Name: "carries", Kind: Figure, Unit: "A", Words: "the current that the conductor may carry for good", Want: "what the conductor may carry, from the cable's data sheet"},
	{Name: "fuse_voltage", Kind: Figure, Unit: "V", Words: "the direct voltage that the main fuse may break", Want: "the voltage rating of the fuse for direct current, from its data sheet"},
	{Name: "fuse_breaks", Kind: Figure, Unit: "A", Words: "the largest current that the main fuse can break", Want: "the breaking capacity of the fuse, from its data sheet"},
	{Name: "largest_fault", Kind: Figure, Unit: "A", Words: "the largest current that a short can make", Want: "the resistance of the pack, new, and of cables and contacts"},
	{Name: "precharge_share", Kind: Figure, Unit: "%", Words: "the share of the pack voltage reached before the contactor closes", Want: "a measured pre-charge, or resistor, capacitance and time of the pre-charge"},
	{Name: "closes_onto", Kind: Figure, Unit: "V", Words: "the voltage left across the main contactor when it closes", Want: "a measured pre-charge, or resistor, capacitance and time of the pre-charge"},
	{Name: "contactor_voltage", Kind: Figure, Unit: "V", Words: "the most that the main contactor may close onto", Want: "the rating of the contactor, from its data sheet"},
}}

func (f *Facts) gatherTraction(t *thing) {
	rec, car := f.s.Car()
	t.rated("voltage", rec, car.Ratings, "voltage", "charged")
	for _, s := range ledger.All[record.System](f.s) {
		if c := s.Body.Circuit; c != nil && c.Sort == "traction" {
			if c.Colour != "" {
				t.is("colour", strings.ToLower(c.Colour), s.ID)
			}
			for name, m := range map[string]record.Measure{"fuse": c.Fuse, "load": c.Load, "carries": c.Carries, "fuse_voltage": c.FuseVoltage, "fuse_breaks": c.FuseBreaks} {
				t.measure(name, s.Record, m)
			}
			if p := c.PreCharge; p != nil {
				t.measure("contactor_voltage", s.Record, p.ContactorVoltage)
			}
		}
	}
	f.packWorkings(t)
	t.set("cases", known{value: f.cases()})
}

// measure sets a fact from a measure of a record.
func (t *thing) measure(name string, r *record.Record, m record.Measure) {
	if m == "" {
		return
	}
	if q, err := quantity.Parse(string(m)); err == nil {
		t.figures(name, figure{q: q, records: []record.Ref{r.ID}})
	} else {
		t.lacks(name, Absent, "recorded as “"+string(m)+"”", r.ID)
	}
}

// packWorkings takes computed figures of fuse and pre-charge. A measured pre-charge stands beside the computed one: both are
// evidence, and they may contradict each other.
func (f *Facts) packWorkings(t *thing) {
	found := map[string][]figure{}
	for _, w := range f.workings(workings.Pack) {
		take := func(fact, symbol string) {
			if q, ok := w.Result(symbol); ok {
				found[fact] = append(found[fact], figure{q, w.About, workingName(&w)})
			}
		}
		switch {
		case strings.HasPrefix(w.ID, "fuse "):
			take("largest_fault", "I_max")
		case strings.HasPrefix(w.ID, "pre-charge"), strings.HasPrefix(w.ID, "residual"):
			take("precharge_share", "p")
			take("closes_onto", "U_r")
		}
	}
	for _, name := range []string{"largest_fault", "precharge_share", "closes_onto"} {
		t.figures(name, found[name]...)
	}
}

// cases lists the high-voltage parts on the car whose case can be touched, with the bonding readings that name them.
func (f *Facts) cases() []*thing {
	var list []*thing
	for _, p := range f.onCar() {
		if !highVoltage(p.Body) {
			continue
		}
		c := &thing{subject: &caseSubject, name: p.Name(), facts: map[string]known{}}
		c.is("name", p.Name(), p.ID)
		f.bonding(c, p)
		list = append(list, c)
	}
	return list
}

// highVoltage says that a part has a case round high voltage: cables have none, and a disconnect sits in one.
func highVoltage(p *record.Part) bool {
	for _, h := range p.Hazards {
		if h == "high voltage" {
			return p.Class != "loom" && p.Class != "set" && p.Role != "traction cable" && p.Role != "service disconnect"
		}
	}
	return false
}

// bonding finds the readings of a case. A value belongs to a part where it names it: by the reading's only part, or by a
// word for it.
func (f *Facts) bonding(c *thing, p ledger.Entry[record.Part]) {
	var good []figure
	for _, r := range f.readings("bonding") {
		for _, v := range r.Body.Values {
			if !speaksOf(v.Of, r, p) {
				continue
			}
			q, why := f.bondingOf(r, v.Of)
			switch stale := f.staleness(r.ID); {
			case why != "":
				c.lacks("bonding", Absent, why, r.ID)
			case stale != "":
				c.lacks("bonding", Stale, stale, r.ID)
			default:
				good = append(good, q)
			}
		}
	}
	c.figures("bonding", good...)
}

func (f *Facts) bondingOf(r ledger.Entry[record.Reading], of string) (figure, string) {
	for _, w := range f.workings(workings.Insulation) {
		if w.ID != "bonding "+short(r.ID)+" "+of {
			continue
		}
		for _, v := range w.Verdicts {
			if v.Outcome == workings.EvidenceMissing {
				return figure{}, v.Reason
			}
		}
		if !w.Value.IsZero() {
			return figure{w.Value, []record.Ref{r.ID}, workingName(&w)}, ""
		}
	}
	return figure{}, "the figure cannot be read"
}

// speaksOf reports whether a value of a reading is of a part: it has the part's name, the word for its role or its slug, with
// "case" or "box" round it or not; or the reading is of that one part.
func speaksOf(of string, r ledger.Entry[record.Reading], p ledger.Entry[record.Part]) bool {
	if len(r.Body.Parts) == 1 && r.Body.Parts[0] == p.ID && len(r.Body.Values) == 1 {
		return true
	}
	plain := func(s string) string {
		words := strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return c == ' ' || c == '-' || c == ',' })
		var kept []string
		for _, w := range words {
			if w != "case" && w != "of" && w != "the" && w != "battery" {
				kept = append(kept, w)
			}
		}
		return strings.Join(kept, " ")
	}
	want := plain(of)
	if want == "" {
		return false
	}
	for _, name := range []string{p.Name(), short(p.ID), p.Body.Role} {
		have := plain(name)
		if have == want || turnedRound(have) == want {
			return true
		}
	}
	return false
}

// turnedRound puts the last word first: "box front" is "front box".
func turnedRound(s string) string {
	if i := strings.LastIndexByte(s, ' '); i >= 0 {
		return s[i+1:] + " " + s[:i]
	}
	return s
}
