package workings

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/quantity"
)

// bench is a pack with a resistance from each pole to chassis, read by a meter
// that takes current: the independent route to the voltmeter method.
type bench struct{ pack, plus, minus, meter float64 }

func parallelOf(a, b float64) float64 { return a * b / (a + b) }

// reads gives what the meter shows at a pole, with a resistor beside it (0: none).
func (b bench) reads(own, other, resistor float64) float64 {
	r := parallelOf(own, b.meter)
	if resistor > 0 {
		r = parallelOf(r, resistor)
	}
	return b.pack * r / (r + other)
}

func (b bench) reading(resistor float64) VoltmeterReading {
	high, low := b.plus, b.minus
	if low > high {
		high, low = low, high
	}
	volts := func(v float64) Input { return Given(fmt.Sprintf("%.9f V", v)) }
	return VoltmeterReading{Name: "bench", Pack: volts(b.pack), Higher: volts(b.reads(high, low, 0)), Lower: volts(b.reads(low, high, 0)),
		WithResistor: volts(b.reads(high, low, resistor)), Resistor: Given(fmt.Sprintf("%.3f Ω", resistor)), MeterResistance: Given("10 MΩ"),
		Working: volts(b.pack), RatedForLive: "yes"}
}

func TestTheVoltmeterMethodFindsTheWorsePoleAndNeverOverstatesIt(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := bench{pack: float64(rapid.IntRange(100, 450).Draw(rt, "pack")), plus: float64(rapid.IntRange(20, 3000).Draw(rt, "plus")) * 1000,
			minus: float64(rapid.IntRange(20, 3000).Draw(rt, "minus")) * 1000, meter: 10e6}
		w := ByVoltmeter("x", b.reading(200e3))
		low, ok := w.Result("R_low")
		if !ok {
			rt.Skip(w.Answer) // equal poles leave no fall to read
		}
		worse := b.plus
		if b.minus < worse {
			worse = b.minus
		}
		exact, _ := w.Result("R_i")
		a, _ := exact.Float("Ω")
		c, _ := low.Float("Ω")
		if a < worse*0.999 || a > worse*1.001 {
			rt.Fatalf("R_i %g, want %g", a, worse)
		}
		if c > worse*1.001 {
			rt.Fatalf("the lower bound %g lies above %g", c, worse)
		}
	})
}

func TestAVoltmeterThatIsNotRatedForALivePoleIsNoEvidence(t *testing.T) {
	r := bench{400, 300e3, 200e3, 10e6}.reading(200e3)
	r.RatedForLive = "no"
	says(t, ByVoltmeter("x", r).Answer, "not computed: needs a voltmeter that is recorded as rated")
	r.RatedForLive, r.MeterResistance = "yes", Given("1 MΩ")
	outcome(t, ByVoltmeter("x", r), "meter", NotMet)
	r.Higher, r.Lower = r.Lower, r.Higher
	says(t, ByVoltmeter("x", r).Answer, "the resistor beside the pole with the higher voltage")
	r.Higher, r.Lower = r.Lower, r.Higher
	r.WithResistor = r.Higher
	says(t, ByVoltmeter("x", r).Answer, "beyond what this test can show")
}

func TestMoreSidesNeverInsulateBetter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var sides []Side
		smallest := 1 << 30
		for i := range rapid.IntRange(2, 6).Draw(rt, "sides") {
			v := rapid.IntRange(1, 5000).Draw(rt, "kΩ")
			smallest = min(smallest, v)
			sides = append(sides, Side{fmt.Sprint("side ", i), Given(fmt.Sprintf("%d kΩ", v))})
		}
		w := Joined("x", sides, Given("400 V"), "")
		r, _ := w.Result("R")
		got, err := r.Float("kΩ")
		if err != nil || got > float64(smallest) || got < float64(smallest)/float64(len(sides))-1e-9 {
			rt.Fatalf("%g kΩ of %v", got, sides)
		}
	})
}

func TestTheLimitThatAppliesIsChosenAndItsReasonIsGiven(t *testing.T) {
	for _, c := range []struct{ circuit, protection, limit, why string }{
		{"joined", "", "500 Ω/V", "an inverter joins"},
		{"load side", "", "500 Ω/V", "an inverter joins"},
		{"", "", "500 Ω/V", "an inverter joins"},
		{"joined", "bonded housings", "100 Ω/V", "bonded housings"},
		{"pack side", "", "100 Ω/V", "direct-current circuit by itself"},
		{"charge inlet", "", "500 Ω/V", "with the plug out"},
		{"charge inlet", "bonded housings", "500 Ω/V", "with the plug out"},
	} {
		got := LimitFor(c.circuit, c.protection)
		if got.PerVolt.Text != c.limit || !strings.Contains(got.Why, c.why) || got.Source.Basis != Read {
			t.Errorf("%s %s: %s, %s", c.circuit, c.protection, got.PerVolt.Text, got.Why)
		}
	}
}

func TestBondingNeedsCurrentAndResolutionToBeEvidence(t *testing.T) {
	good := BondingReading{Name: "motor case", Value: Given("0.012 ±0.001 Ω"), Current: Given("10 A"), Resolution: Given("0.0001 Ω")}
	outcome(t, Bonding("x", good), "bonding of motor case", Met)
	about(t, lineOf(t, Bonding("x", good), "U"), 120, "mV", 1e-6)
	weak := good
	weak.Current = Given("0.1 A")
	outcome(t, Bonding("x", weak), "test current", NotMet)
	outcome(t, Bonding("x", weak), "bonding of motor case", EvidenceMissing)
	coarse := good
	coarse.Resolution = Given("0.1 Ω")
	outcome(t, Bonding("x", coarse), "bonding of motor case", EvidenceMissing)
	none := good
	none.Resolution = Input{}
	outcome(t, Bonding("x", none), "bonding of motor case", EvidenceMissing)
	bad := good
	bad.Value = Given("0.15 ±0.01 Ω")
	outcome(t, Bonding("x", bad), "bonding of motor case", NotMet)
	bad.BetweenCases = true
	outcome(t, Bonding("x", bad), "bonding of motor case", Met)
	strong := good
	strong.Current = Given("25 A")
	outcome(t, Bonding("x", strong), "test current by the stronger practice", Met)
	if v := outcome(t, Bonding("x", good), "test current by the stronger practice", NoVerdict); v.Source.Basis != Recalled {
		t.Errorf("the stronger practice is from memory: %s", v.Source)
	}
}

func TestProvedDeadAsksForThreeReadingsAndATestedTester(t *testing.T) {
	full := DeadReading{Name: "x", BetweenPoles: Given("0.2 V"), PlusToChassis: Given("0.1 V"), MinusToChassis: Given("0.1 V"), Before: Given("239 V"), After: Given("240 V"), RatedForLive: "yes"}
	outcome(t, ProvedDead("x", full), "the circuit", Met)
	live := full
	live.BetweenPoles = Given("352 V")
	outcome(t, ProvedDead("x", live), "the circuit", NotMet)
	untried := full
	untried.After = Input{}
	says(t, outcome(t, ProvedDead("x", untried), "the circuit", EvidenceMissing).Reason, "dead tester")
	unrated := full
	unrated.RatedForLive = "no"
	says(t, outcome(t, ProvedDead("x", unrated), "the circuit", EvidenceMissing).Reason, "no evidence")
	half := full
	half.MinusToChassis = Input{}
	w := ProvedDead("x", half)
	if w.Computed() {
		t.Errorf("computed without a reading: %s", w.Answer)
	}
	for _, v := range w.Verdicts {
		if v.Of == "the circuit" {
			t.Errorf("a verdict without all readings: %+v", v)
		}
	}
}

func TestSectionsStayLiveAtTheirOwnVoltage(t *testing.T) {
	w := Sections("x", []Section{{"front", Given("201.6 V")}, {"rear", Given("201.6 V")}, {"small", Given("50.4 V")}}, Given("453.6 V"))
	about(t, w.Value, 453.6, "V", 1e-9)
	says(t, outcome(t, w, "front", NoVerdict).Reason, "stays live at 201.6 V")
	outcome(t, w, "small", Met)
	says(t, w.Caution, "A disconnect parts the pack; it does not discharge it")
	if w := Sections("x", []Section{{"one", Given("400 V")}}, Given("400 V")); w.Computed() {
		t.Error(w.Answer)
	}
}

func TestATrendHoldsTheWholeCircuitAgainstTheWholeCircuit(t *testing.T) {
	at := func(on string, r InsulationReading) InsulationReading { r.On = on; return r }
	bridged, poles := at("2026-03-01", dead("", "", "4 MΩ")), at("2026-04-01", dead("6 MΩ", "3 MΩ", ""))
	w := Trend("x", []InsulationReading{bridged, poles}, false)
	says(t, w.Answer, "from 4 MΩ to 2 MΩ")
	says(t, strings.Join(w.Notes, " "), "taken together as paths side by side")
	says(t, Trend("x", []InsulationReading{poles, poles}, false).Answer, "from 3 MΩ to 3 MΩ")
	w = Trend("x", []InsulationReading{at("2026-02-01", dead("1.2 mΩ", "4 MΩ", "")), bridged, at("2026-05-01", dead("9 MΩ", "", ""))}, false)
	says(t, w.Answer, "not computed: needs two readings of the same circuit, each of both poles")
	says(t, strings.Join(w.Notes, " "), "1.2 mΩ of 2026-02-01 is no figure of insulation and is left out", "The reading of 2026-05-01 has one pole alone and is left out")
}

func TestLikeConditionsAreWithin10KelvinAnd15Points(t *testing.T) {
	at := func(temperature, humidity string) InsulationReading {
		r := dead("", "", "40 MΩ")
		r.Temperature, r.Humidity = Given(temperature), Given(humidity)
		return r
	}
	for _, c := range []struct {
		name string
		b    InsulationReading
		want Outcome
	}{
		{"alike", at("18 °C", "55 %"), Met},
		{"on the edge", at("25 °C", "65 %"), Met},
		{"warmer", at("26 °C", "55 %"), NotComparable},
		{"colder", at("4 °C", "55 %"), NotComparable},
		{"wetter", at("18 °C", "66 %"), NotComparable},
		{"not recorded", dead("", "", "40 MΩ"), NotComparable},
	} {
		w := Trend("x", []InsulationReading{at("15 °C", "50 %"), c.b}, false)
		outcome(t, w, "the two readings", c.want)
	}
}

func TestAMakersStatementGivesTheErrorOfAReading(t *testing.T) {
	for _, c := range []struct {
		text, reading, top, want string
	}{
		{"±1 % of reading", "0.012 Ω", "", "0.00012 Ω"},
		{"±3 % of reading ±2 digits", "38.4 MΩ", "", "1.352 MΩ"},
		{"±2 % of full scale", "1.62 kN", "8 kN", "0.16 kN"},
		{"±0.5 kg each pad", "216.5 kg", "", "0.5 kg"},
		{"±1 kg", "432 kg", "", "1 kg"},
		{"±5 psi", "160 psi", "", "5 psi"},
		{"±0.5 % of reading ±2 digits", "9.6 V", "", "0.248 V"},
	} {
		top := Given(c.top).Value
		got, ok := ReadAccuracy(c.text).On(quantity.MustParse(c.reading), top)
		if !ok || !got.Equal(quantity.MustParse(c.want)) {
			t.Errorf("%s of %s: %s, want %s", c.text, c.reading, got, c.want)
		}
	}
	for _, text := range []string{"", "not stated", "division 20 kg", "±0.1 kg to 50 kg, ±0.5 kg above", "±3 % of the lower explosive limit"} {
		if a := ReadAccuracy(text); a.Understood() && text != "±3 % of the lower explosive limit" {
			t.Errorf("%q was taken for a statement: %+v", text, a)
		}
	}
	if _, ok := ReadAccuracy("±2 % of full scale").On(quantity.MustParse("1 kN"), quantity.Quantity{}); ok {
		t.Error("full scale is not known")
	}
	if !ReadAccuracy("±0.5 kg each pad").EachPad {
		t.Error("each pad")
	}
}

func FuzzReadAccuracy(f *testing.F) {
	for _, seed := range []string{"±1 % of reading", "±3 % of reading ±2 digits", "±0.5 kg each pad", "±", "±1", "±9e9 %", "±0.1 kg to 50 kg"} {
		f.Add(seed)
	}
	reading := quantity.MustParse("38.4 MΩ")
	f.Fuzz(func(t *testing.T, text string) {
		a := ReadAccuracy(text)
		if limit, ok := a.On(reading, reading); ok {
			if v, known := limit.Rat(); !known || v.Sign() < 0 {
				t.Fatalf("%q gives %s", text, limit)
			}
		}
	})
}
