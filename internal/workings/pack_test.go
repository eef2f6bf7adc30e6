package workings

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// However the cells are joined, the energy is that of all of them.
func TestEnergyIsCellsTimesTheEnergyOfOne(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		series, side := rapid.IntRange(1, 200).Draw(rt, "series"), rapid.IntRange(1, 10).Draw(rt, "side by side")
		w := PackOf("x", PackCells{Series: int64(series), Parallel: int64(side), Nominal: Given("3.65 V"), Capacity: Given("50 Ah")})
		got, err := w.Value.Float("Wh")
		want := float64(series*side) * 3.65 * 50
		if err != nil || got < want*0.999999 || got > want*1.000001 {
			rt.Fatalf("%g Wh, want %g Wh", got, want)
		}
		mAh := PackOf("x", PackCells{Series: int64(series), Parallel: int64(side), Nominal: Given("3650 mV"), Capacity: Given("50000 mAh")})
		if !mAh.Value.Equal(w.Value) {
			rt.Fatalf("units change it: %s and %s", mAh.Value, w.Value)
		}
	})
}

func TestRatedEnergyIsHeldAgainstVoltageTimesCapacity(t *testing.T) {
	w := RatedEnergy("x", "box", Given("175.2 V"), Given("60 Ah"), Given("10.512 kWh"), []Side{{"box", Given("62.6 kg")}})
	about(t, w.Value, 10.512, "kWh", 1e-9)
	about(t, lineOf(t, w, "k"), 5.955, "kg/kWh", 0.001)
	if len(w.Notes) != 0 {
		t.Error(w.Notes)
	}
	says(t, strings.Join(RatedEnergy("x", "box", Given("175.2 V"), Given("60 Ah"), Given("12 kWh"), nil).Notes, " "), "another basis")
}

func TestCellsAreJudgedAtRestOrAtOneMoment(t *testing.T) {
	for _, c := range []struct {
		state, taken string
		want         Outcome
	}{
		{"at rest", "one after another", Met}, {"at rest", "", Met}, {"under load", "together", NoVerdict},
		{"under load", "one after another", NotComparable}, {"charging", "", NotComparable}, {"", "together", EvidenceMissing}, {"not recorded", "", EvidenceMissing},
	} {
		s := Survey{State: c.state, Taken: c.taken, Readings: []CellReading{{"a", Given("3.60 V")}, {"b", Given("3.61 V")}}}
		outcome(t, CellSurvey("x", s), "balance", c.want)
	}
	for _, sentinel := range []string{"0 V", "65.535 V", "5 V", "-1 V", "0.001 V", "over-range", ">4 V", "3600"} {
		w := CellSurvey("x", Survey{State: "at rest", Readings: []CellReading{{"a", Given("3.60 V")}, {"bad", Given(sentinel)}, {"b", Given("3.61 V")}}})
		about(t, w.Value, 10, "mV", 1e-9)
		says(t, strings.Join(w.Notes, " "), "bad: "+sentinel+" is not taken for a cell")
	}
	if w := CellSurvey("x", Survey{Readings: []CellReading{{"bad", Given("0 V")}}}); w.Computed() {
		t.Error(w.Answer)
	}
}

// After n time constants 1 - exp(-n) is reached, whatever R and C are.
func TestPreChargeDependsOnTimeConstantsAlone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		ohms, micro := rapid.IntRange(10, 500).Draw(rt, "ohms"), rapid.IntRange(100, 5000).Draw(rt, "microfarads")
		exact := PreChargeCurve("x", PreCharge{Voltage: Given("400 V"), Resistance: Given(fmt.Sprintf("%d Ω", ohms)), Capacitance: Given(fmt.Sprintf("%d µF", micro)),
			Time: Given(fmt.Sprintf("%d.%06d s", 3*ohms*micro/1_000_000, 3*ohms*micro%1_000_000))})
		p, ok := exact.Result("p")
		got, err := p.Float("%")
		if !ok || err != nil || got < 95.0212 || got > 95.0214 {
			rt.Fatalf("%g %% after three time constants", got)
		}
	})
}

func TestTheVoltageMeasuredAtClosingIsHeldAgainstTheContactor(t *testing.T) {
	w := Residual("x", Given("9.6 ±0.3 V"), Given("352.1 ±2 V"), Given("20 V"))
	about(t, w.Value, 97.27, "%", 0.01)
	outcome(t, w, "voltage at closing", Met)
	outcome(t, Residual("x", Given("40 ±0.3 V"), Given("352 V"), Given("20 V")), "voltage at closing", NotMet)
	outcome(t, Residual("x", Given("40 V"), Given("352 V"), Given("20 V")), "share reached", NotMet)
}

func TestAFuseProtectsTheConductorAndCarriesTheLoad(t *testing.T) {
	c := Circuit{Name: "c", Load: Given("210 A"), Fuse: Given("200 A"), Carries: Given("180 A"), FuseVoltage: Given("400 V"), Charged: Given("403.2 V")}
	w := FuseCheck("x", c)
	outcome(t, w, "load", NotMet)
	outcome(t, w, "fuse", NotMet)
	outcome(t, w, "highest voltage", NotMet)
	says(t, w.Answer, "fault currents not computed: needs")
}

func TestTheDropScalesWithLengthAndSection(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		length, area, load := rapid.IntRange(1, 20).Draw(rt, "m"), rapid.IntRange(1, 95).Draw(rt, "mm²"), rapid.IntRange(1, 300).Draw(rt, "A")
		drop := func(l, a int) float64 {
			w := VoltageDrop("x", Circuit{Length: Given(fmt.Sprintf("%d m", l)), Conductor: Given(fmt.Sprintf("%d mm²", a)), Load: Given(fmt.Sprintf("%d A", load)), Voltage: Given("400 V"), Temperature: Given("50 °C")})
			v, err := w.Value.Float("V")
			if err != nil {
				rt.Fatal(w.Answer)
			}
			return v
		}
		if one, two := drop(length, area), drop(2*length, 2*area); one < two*0.999999 || one > two*1.000001 {
			rt.Fatalf("%g and %g", one, two)
		}
	})
	says(t, strings.Join(VoltageDrop("x", Circuit{}).Assumptions, " "), "a warm conductor drops more")
}

func TestTheBudgetCountsWhatRunsSteadily(t *testing.T) {
	c := Circuit{Name: "12 V", Source: Given("40 A"), Consumers: []Consumer{{"headlamps", Given("9.2 A"), true}, {"wipers", Given("4 A"), true}, {"horn", Given("10 A"), false}, {"pumps", Given("12 A"), true}}}
	w := DCDCBudget("x", c)
	about(t, w.Value, 25.2, "A", 1e-9)
	outcome(t, w, "steady load", Met)
	says(t, strings.Join(w.Notes, " "), "For moments, and not counted: horn 10 A")
	c.Source = Given("20 A")
	outcome(t, DCDCBudget("x", c), "steady load", NotMet)
}

func TestAGearboxWithoutARatingIsEvidenceMissing(t *testing.T) {
	w := InputTorque("x", Given("110 N.m"), Given("none published"), Given("82 lbf.ft"))
	outcome(t, w, "motor torque", EvidenceMissing)
	says(t, w.Answer, "no rating on record (none published)", "98.94 %")
	outcome(t, InputTorque("x", Given("110 N.m"), Given("140 N.m"), Given("82 lbf.ft")), "motor torque", Met)
	outcome(t, InputTorque("x", Given("160 N.m"), Given("140 N.m"), Input{}), "motor torque", NotMet)
}

func TestAPowerWithoutABasisIsJudgedOnAnAssumptionThatIsSaid(t *testing.T) {
	w := PowerRatio("x", PowerFigure{"motor", "30-minute", Given("33 kW")}, []PowerFigure{{"handbook", "", Given("42.5 kW")}}, Given("65 %"), Given("100 %"), Source{"rule", Read})
	says(t, outcome(t, w, "power against handbook, not recorded", Met).Why, "none is recorded")
	if w := PowerRatio("x", PowerFigure{"motor", "peak", Given("58 kW")}, nil, Input{}, Input{}, Source{}); w.Computed() {
		t.Error(w.Answer)
	}
}

func TestTheWeakestLinkDecidesTheMount(t *testing.T) {
	m := Mount{Name: "box", Mass: Given("50 kg"), Bolts: 6, Size: "M10 x 1.5 x 30", Class: "8.8", Thickness: Given("3 mm"), Strength: Given("400 MPa"), Condition: "sound", Bracket: Given("60 kN"), Spread: Given("40 mm")}
	w := RestraintIn("x", m, DirectionsUN()[0])
	outcome(t, w, "the mount, forward or rearward", NoVerdict)
	says(t, w.Answer, "the weakest link is the bracket")
	says(t, verdictOf(t, w, "the mount, forward or rearward").Reason, "an engineer decides")
	noBracket := m
	noBracket.Bracket = Input{}
	says(t, outcome(t, RestraintIn("x", noBracket, DirectionsUN()[0]), "the mount, forward or rearward", EvidenceMissing).Reason, "bracket")
	thin := m
	thin.Thickness = Given("0.25 mm") // 1 kN bearing, 2.5 kN at most, 1.63 kN asked
	says(t, outcome(t, RestraintIn("x", thin, DirectionsUN()[0]), "the mount, forward or rearward", TooClose).Reason, "measure the edges")
	rusty := m
	rusty.Condition = "pitted"
	says(t, strings.Join(RestraintIn("x", rusty, DirectionsUN()[0]).Notes, " "), "overstates what it bears")
	unseen := m
	unseen.Condition = "not looked at"
	says(t, outcome(t, RestraintIn("x", unseen, DirectionsUN()[0]), "the mount, forward or rearward", EvidenceMissing).Reason, "evidence missing: what holds the bolt")
}

// What is not known as a figure is never counted in favour of a mount.
func TestAMountIsNotSaidToHoldOnWhatNobodyKnows(t *testing.T) {
	m := Mount{Name: "box", Mass: Given("50 kg"), Bolts: 6, Size: "M10 x 1.5 x 30", Class: "8.8", Thickness: Given("3 mm"), Strength: Given("400 MPa"), Condition: "sound", Bracket: Given("60 kN"), Spread: Given("40 mm")}
	noTable, bound := m, m
	noTable.Size = "3/8 BSF"
	bound.Bracket, bound.Thickness = Input{}, Given(">1.0 mm")
	for _, d := range append(DirectionsUN(), DirectionsCode()...) {
		says(t, outcome(t, RestraintIn("x", noTable, d), "the mount, "+d.Name, EvidenceMissing).Reason, "what the fasteners bear")
		if v := verdictOf(t, RestraintIn("x", bound, d), "the mount, "+d.Name); v.Outcome != EvidenceMissing {
			t.Errorf("%s on a bound: %s, %s", d.Name, v.Outcome, v.Reason)
		}
	}
}

func TestOneCellReadingIsNoSpread(t *testing.T) {
	w := CellSurvey("x", Survey{State: "at rest", Taken: "together", Readings: []CellReading{{"a", Given("3.60 V")}, {"bad", Given("0 V")}}})
	says(t, w.Answer, "not computed", "two readings or more")
}

func TestUpwardTheSheetIsPulledThroughAndTheBoltIsPried(t *testing.T) {
	m := Mount{Name: "box", Mass: Given("200 kg"), Bolts: 4, Size: "M8", Class: "8.8", Thickness: Given("1 mm"), Strength: Given("270 MPa"), Condition: "sound", Spread: Given("16 mm")}
	up := DirectionsCode()[3]
	w := RestraintIn("x", m, up)
	about(t, lineOf(t, w, "N"), 29.2/1.5, "kN", 0.01)
	about(t, lineOf(t, w, "P"), 0.6*3.14159*16*1*270/1000, "kN", 0.01)
	says(t, strings.Join(w.Assumptions, " "), "prying")
	m.Spread = Given("60 mm")
	better := RestraintIn("x", m, up)
	a, _ := w.Result("P")
	b, _ := better.Result("P")
	if !less(a, b) {
		t.Errorf("a spreader plate helps: %s, then %s", a, b)
	}
	m.Spread = Input{}
	outcome(t, RestraintIn("x", m, up), "the mount, upward", EvidenceMissing)
	for _, d := range append(DirectionsUN(), DirectionsCode()...) {
		if d.Source.Basis != Recalled {
			t.Errorf("%s is from memory and must say so", d.Name)
		}
	}
}
