package workings

import (
	"strings"
	"testing"

	"boltback/internal/quantity"
)

// The practice cases: what workshops really meet. Each name begins with the
// number by which the trade notes list it.

func ticket(front, rear, total, division string) Weighing {
	return Weighing{Name: "ticket", Front: Given(front), Rear: Given(rear), Total: Given(total), Division: Given(division),
		Condition: "kerb", Fuel: "full tank", Driver: "not aboard", FigureBy: "operator"}
}

func TestC15_AxlesAndTotalDifferWithinRoundingAndServiceError(t *testing.T) {
	w := TicketSum("x", ticket("480 kg", "520 kg", "1020 kg", "20 kg"))
	about(t, w.Value, 1000, "kg", 0)
	about(t, lineOf(t, w, "g"), -20, "kg", 0)
	about(t, lineOf(t, w, "t"), 90, "kg", 0) // 3 · (20 + 10)
	v := outcome(t, w, "axles against total", Met)
	says(t, v.Reason, "no figure is changed to fit")
	before := ticket("480 kg", "520 kg", "1000 kg", "20 kg")
	after := ticket("480 kg", "500 kg", "980 kg", "20 kg")
	says(t, outcome(t, MassChange("x", before, after), "the wording “no heavier than found”", TooClose).Reason, "withheld")
	outcome(t, TicketSum("y", ticket("480 kg", "520 kg", "1100 kg", "20 kg")), "axles against total", Contradiction)
}

func TestC17_TankAndDriverDifferSoTheWeighingsAreNotComparable(t *testing.T) {
	before, after := ticket("480 kg", "520 kg", "1000 kg", "1 kg"), ticket("500 kg", "590 kg", "1090 kg", "1 kg")
	before.Fuel, before.Driver = "half a tank", "not aboard"
	after.Fuel, after.Driver = "none aboard", "aboard"
	w := MassChange("x", before, after)
	says(t, outcome(t, w, "the two weighings", NotComparable).Reason, "half a tank, then none aboard", "not aboard, then aboard")
	says(t, w.Answer, "not computed: needs the mass of everything that was aboard")
	if len(w.Inputs) != 2 {
		t.Errorf("the raw figures are shown: %+v", w.Inputs)
	}
	before.Aboard = []Load{{"fuel, 20 L", Given("15 ±1 kg"), Input{}}}
	after.Aboard = []Load{{"driver", Given("78 ±1 kg"), Input{}}}
	w = MassChange("x", before, after)
	about(t, w.Value, 1090-78-(1000-15), "kg", 1e-9)
	says(t, w.Answer, "estimate, not a measurement")
	outcome(t, w, "the wording “no heavier than found”", EvidenceMissing)
}

func TestC20_ARuleOfPercentagesUsesOnlyTheKindOfMassItNames(t *testing.T) {
	rule := Source{"a rule of 20 % on mass in running order", Recalled}
	w := PercentageChange("x", "running order", Given("980 kg"), Given("1100 kg"), "dry", "running order", Given("20 %"), rule)
	outcome(t, w, "change in mass", NotComparable)
	says(t, w.Answer, "not computed: needs the running order mass before; the figure there is of another kind (dry)")
	w = PercentageChange("x", "running order", Given("980 kg"), Given("1100 kg"), "running order", "running order", Given("20 %"), rule)
	about(t, w.Value, 12.2449, "%", 0.001)
	outcome(t, w, "change in mass", Met)
}

func TestC21_AResplitAfterTheTicketIsStaleForTheAxlesAndGoodForTheTotal(t *testing.T) {
	w := TicketToday("x", ticket("480 kg", "520 kg", "1000 kg", "1 kg"),
		[]MassEvent{{What: "two modules", On: "2026-04-02", Mass: Given("51 kg"), From: Given("0.40 m"), To: Given("2.30 m")}}, Given("2.31 m"), nil)
	about(t, lineOf(t, w, "D_1"), 42, "kg", 0.1)
	outcome(t, w, "total of this weighing", Met)
	outcome(t, w, "axle split of this weighing", Stale)
	says(t, w.Answer, "stale for the axle split, still good for the total", "weigh the axles again before sign-off")
}

func TestC22_BallastOnAndOffAgainMakesBothStaleAndNamesWhoCitesTheTicket(t *testing.T) {
	events := []MassEvent{{What: "ballast", On: "2026-05-01", Sign: 1, Mass: Given("60 kg")}, {What: "ballast", On: "2026-06-01", Sign: -1, Mass: Given("60 kg")}}
	w := TicketToday("x", ticket("480 kg", "520 kg", "1000 kg", "1 kg"), events, Given("2.31 m"), []string{"papers/weigh-ticket", "signoffs/2026-05-03-mass"})
	outcome(t, w, "total of this weighing", Stale)
	says(t, outcome(t, w, "axle split of this weighing", Stale).Reason, "papers/weigh-ticket", "signoffs/2026-05-03-mass")
}

func TestC23_AFigureThatTheDriverStatedIsHearsayAndEntersNoSum(t *testing.T) {
	told := ticket("480 kg", "520 kg", "1000 kg", "20 kg")
	told.FigureBy = "driver"
	w := TicketSum("x", told)
	says(t, w.Answer, "not computed: needs a figure weighed by the operator")
	says(t, outcome(t, w, "the figures of this ticket", EvidenceMissing).Reason, "hearsay")
	if len(w.Inputs) != 3 || len(w.Steps) != 0 {
		t.Errorf("the stated figures are kept and not used: %+v", w)
	}
	says(t, MassChange("x", told, ticket("1 kg", "1 kg", "2 kg", "1 kg")).Answer, "only stated")
}

func TestABoundOnATicketAgreesWithNothing(t *testing.T) {
	says(t, outcome(t, TicketSum("x", ticket(">480 kg", "520 kg", "1000 kg", "1 kg")), "axles against total", EvidenceMissing).Reason, "bound")
}

func wrench(cal ...Calibration) Tool {
	return Tool{Name: "wrench", Accuracy: ReadAccuracy("±4 % of reading"), From: Given("5 N.m"), To: Given("25 N.m"), Calibrations: cal}
}

var goodYear = Calibration{On: on("2025-03-10"), Due: on("2026-03-09"), AsFound: "in tolerance", AsLeft: "in tolerance"}

func tightened(torque, set string) Tightening {
	return Tightening{Joint: "joint", Torque: Given(torque), Tolerance: Given("10 %"), Method: "click", Set: Given(set), Tool: wrench(goodYear), On: on("2025-06-01")}
}

func TestC24_PoundInchesSetInNewtonMetresPassAndAFactorOf12IsASuspicion(t *testing.T) {
	w := JointTightened("x", tightened("90 lbf.in", "10.2 N.m"))
	outcome(t, w, "torque", Met)
	says(t, w.Answer, "tightened as specified, and evidenced")
	w = JointTightened("x", tightened("90 lbf.ft", "10.2 N.m"))
	outcome(t, w, "torque", NotMet)
	says(t, strings.Join(w.Notes, " "), "a twelfth", "Nothing was changed")
}

func TestC25_MetreKilogramsOfAnOldManualAreSetInNewtonMetres(t *testing.T) {
	joint := Tightening{Joint: "caliper", Torque: Given("6 kgf.m"), Method: "click", Set: Given("60 N.m")}
	w := JointTightened("x", joint)
	says(t, outcome(t, w, "torque", Met).Reason, "60 N.m")
	says(t, strings.Join(w.Notes, " "), "old unit", "not counted a second time")
	says(t, textOf(w), "6 kgf.m", "60 N.m", "= 6.12 kgf.m")
	joint.Set = Given("62 N.m")
	outcome(t, JointTightened("x", joint), "torque", NotMet)
	joint.Set, joint.Tolerance = Given("60 N.m"), Given("4 %")
	outcome(t, JointTightened("x", joint), "torque", TooClose)
}

func TestC26_TorquePlusAngleRecordedAsTorqueAloneIsIncomplete(t *testing.T) {
	one := tightened("5 N.m", "5 N.m")
	one.Angle, one.Method = Given("60°"), "torque plus angle"
	w := JointTightened("x", one)
	says(t, outcome(t, w, "angle", EvidenceMissing).Reason, "incomplete")
	if w.Worst() == Met || !strings.HasPrefix(w.Answer, "evidence missing") {
		t.Errorf("answer %q", w.Answer)
	}
	one.Turned = Given("60°")
	outcome(t, JointTightened("x", one), "angle", Met)
}

func TestC27_WorkAfterTheCalibrationRanOutStandsAndIsNotEvidencedUntilCleared(t *testing.T) {
	day := on("2026-03-14")
	uses := []Use{{"mount", on("2026-03-01")}, {"cradle", day}, {"box", on("2026-03-20")}}
	w := Fallout("x", wrench(goodYear), uses)
	outcome(t, w, "cradle, 2026-03-14", NotEvidenced)
	outcome(t, w, "box, 2026-03-20", NotEvidenced)
	if len(w.Verdicts) != 2 {
		t.Errorf("the joint before the end is good: %+v", w.Verdicts)
	}
	one := tightened("20 N.m", "20 N.m")
	one.On = day
	if got := JointTightened("x", one); got.Worst() != NotEvidenced {
		t.Errorf("%s: %s", got.Worst(), got.Answer)
	}
	later := Calibration{On: on("2026-04-02"), Due: on("2027-04-01"), AsFound: "in tolerance", AsLeft: "in tolerance"}
	outcome(t, Fallout("x", wrench(goodYear, later), uses), "cradle, 2026-03-14", Met)
	one.Tool = wrench(goodYear, later)
	if got := JointTightened("x", one); got.Worst() != Met {
		t.Errorf("%s: %s", got.Worst(), got.Answer)
	}
}

func TestC28_AWrenchFoundNinePerCentLowPutsTheWorkSinceTheLastGoodOneInDoubt(t *testing.T) {
	drifted := Calibration{On: on("2025-09-01"), Due: on("2026-08-31"), AsFound: "out of tolerance", AsLeft: "in tolerance", Deviation: Given("-9 %")}
	uses := []Use{{"before", on("2025-06-01")}, {"after", on("2025-10-01")}}
	w := Fallout("x", wrench(goodYear, drifted), uses)
	says(t, outcome(t, w, "before, 2025-06-01", NotEvidenced).Reason, "-9 %", "2025-03-10")
	if len(w.Verdicts) != 1 {
		t.Errorf("work after the repair is good: %+v", w.Verdicts)
	}
	unstated := drifted
	unstated.AsFound = "not stated"
	outcome(t, Fallout("x", wrench(goodYear, unstated), uses), "before, 2025-06-01", NotEvidenced)
}

func dead(plus, minus, bridged string) InsulationReading {
	return InsulationReading{Name: "test", Plus: Given(plus), Minus: Given(minus), Bridged: Given(bridged), Circuit: "joined", State: "dead",
		TestVoltage: Given("500 V"), Working: Given("360 V"), RatedForLive: "yes"}
}

func TestC29_ALowerBoundStaysOneThroughTheSum(t *testing.T) {
	w := Isolation("x", dead(">550 MΩ", ">550 MΩ", ""))
	if w.Value.Bound() != quantity.Above || !strings.HasPrefix(w.Answer, ">") {
		t.Errorf("%s", w.Answer)
	}
	outcome(t, w, "insulation", Met)
}

func TestC33_OnePoleAloneIsIncompleteAndABridgedReadingIsComplete(t *testing.T) {
	w := Isolation("x", dead("2.1 MΩ", "", ""))
	says(t, w.Answer, "not computed: needs the negative pole to chassis, or a reading with both poles bridged")
	outcome(t, w, "the circuit as a whole", EvidenceMissing)
	w = Isolation("x", dead("", "", "2.1 MΩ"))
	outcome(t, w, "insulation", Met)
	says(t, textOf(w), "Both poles bridged, to chassis")
}

func TestC34_TheVerdictNamesTheRuleItWasMadeUnder(t *testing.T) {
	w := Isolation("x", dead("120 kΩ", "95 kΩ", ""))
	about(t, w.Value, 263.9, "Ω/V", 0.1)
	v := outcome(t, w, "insulation", NotMet)
	says(t, v.Against, "500 Ω/V")
	says(t, v.Why, "inverter joins direct and alternating current")
	outcome(t, w, "for comparison, direct current alone", Met)
	outcome(t, w, "leakage", Met)
	about(t, lineOf(t, w, "I"), 3.789, "mA", 0.001)
}

func TestC35_TemperatureIsCorrectedForWindingsAlone(t *testing.T) {
	cold, hot := dead("", "", "200 MΩ"), dead("", "", "40 MΩ")
	cold.On, cold.Temperature, cold.Humidity = "2026-03-01", Given("20 °C"), Given("50 %")
	hot.On, hot.Temperature, hot.Humidity = "2026-07-01", Given("45 °C"), Given("70 %")
	w := Trend("x", []InsulationReading{cold, hot}, false)
	says(t, outcome(t, w, "the two readings", NotComparable).Reason, "repeat under like conditions")
	w = Trend("x", []InsulationReading{cold, hot}, true)
	about(t, w.Value, 40*5.656854, "MΩ", 0.01) // 2^2.5
	says(t, strings.Join(w.Notes, " "), "Humidity is noted and never corrected")
	cold.Bridged = Given(">550 MΩ")
	if w := Trend("x", []InsulationReading{cold, hot}, true); !w.Value.IsZero() {
		t.Errorf("a bound is not corrected: %s", w.Answer)
	}
}

func TestC36_ALowerReadingIsAtLeastOneTurnOfTheOdometer(t *testing.T) {
	w := OdometerSeries("x", []OdometerReading{
		{"2001", Given("98742 mi"), "mi", 5}, {"2009", Given("3118 mi"), "mi", 5}})
	says(t, w.Answer, "at least 103118 mi")
	if w.Value.Bound() != quantity.AtOrAbove {
		t.Errorf("%s is no lower bound", w.Value)
	}
	says(t, textOf(w), "exceeds mechanical limits", "more cannot be excluded")
}

func TestC38_AConverterFittedUnloggedLeavesASegmentAsARange(t *testing.T) {
	w := OdometerSeries("x", []OdometerReading{
		{"1990", Given("40000 mi"), "mi", 6}, {"2000", Given("50000 mi"), "km", 6}, {"2005", Given("60000 mi"), "km", 6}})
	low, _ := w.Low.Float("km")
	high, _ := w.High.Float("km")
	if low < 40000*1.609344+20000-1 || low > 40000*1.609344+20000+1 || high < 40000*1.609344+16093.44+10000-1 || high > 40000*1.609344+16093.44+10000+1 {
		t.Errorf("from %g to %g km", low, high)
	}
	says(t, textOf(w), "the segment stays a range")
}

func TestC39_AStuckOdometerIsUnknownAndNotZero(t *testing.T) {
	w := OdometerSeries("x", []OdometerReading{{"2020", Given("0 km"), "stuck", 5}})
	says(t, w.Answer, "not computed: needs")
	says(t, textOf(w), "distance unknown, not zero")
	w = OdometerSeries("x", []OdometerReading{{"2020", Given("0 km"), "stuck", 5}, {"2022", Given("1200 km"), "km", 5}})
	says(t, w.Answer, "at least 1200 km")
}

func TestC40_ADateThatReadsTwoWaysKeepsBothCandidates(t *testing.T) {
	w := PaperDate("x", "03/04/2019", "")
	says(t, w.Answer, "[2019-03-04,2019-04-03]")
	if len(w.Steps) != 2 || len(w.Missing) != 1 {
		t.Errorf("%+v", w)
	}
	says(t, PaperDate("x", "03/04/2019", "GB").Answer, "2019-04-03")
	says(t, PaperDate("x", "04/03/2019", "US").Answer, "2019-04-03")
}

func TestC42_ASignatureTwoDaysAfterTheLicenceIsOutsideAuthority(t *testing.T) {
	g := Signature{What: "brake certificate", By: "inspector", On: on("2026-05-02"), Covers: []string{"brakes"}, Depends: []string{"signoffs/final"},
		Licences: []Licence{{"licence 7", []string{"brakes"}, on("2025-05-01"), on("2026-04-30")}}}
	w := Authority("x", g)
	says(t, outcome(t, w, "term: brakes", NotMet).Reason, "signature outside authority")
	outcome(t, w, "scope: brakes", Met)
	says(t, textOf(w), "the document is kept", "signoffs/final")
	g.On = on("2026-04-30")
	if w := Authority("x", g); w.Worst() != Met {
		t.Errorf("the last day counts: %s", w.Answer)
	}
}

func TestC43_ACertifierInDateForAnotherSubjectIsAFlagOfScope(t *testing.T) {
	g := Signature{What: "electrical certificate", On: on("2026-04-02"), Covers: []string{"electrical"}, Recheck: true,
		Licences: []Licence{{"licence 7", []string{"brakes"}, on("2025-05-01"), on("2026-04-30")}}}
	w := Authority("x", g)
	outcome(t, w, "term: electrical", Met)
	outcome(t, w, "scope: electrical", NotMet)
	says(t, textOf(w), "answers for the whole car")
}

func TestC61_GrossAndNetPowerGiveDifferentAnswers(t *testing.T) {
	w := PowerRatio("x", PowerFigure{"motor", "30-minute", Given("46 kW")},
		[]PowerFigure{{"American brochure", "gross", Given("102 hp")}, {"German brochure", "net", Given("90 PS")}}, Given("65 %"), Given("100 %"), Source{"a rule of 65 to 100 %", Read})
	about(t, lineOf(t, w, "K_1"), 76.1, "kW", 0.05)
	about(t, lineOf(t, w, "K_2"), 66.2, "kW", 0.05)
	outcome(t, w, "power against American brochure, gross", NotMet)
	outcome(t, w, "power against German brochure, net", Met)
	says(t, textOf(w), "settled by the basis the rule names")
}

func brakeSheet() BrakeTest {
	return BrakeTest{Name: "lane", Wheels: [4]Wheel{{"front left", Given("186 kgf"), ""}, {"front right", Given("215 kgf"), ""}, {"rear left", Given("86 kgf"), ""}, {"rear right", Given("72 kgf"), "yes"}},
		MassUsed: Given("950 kg"), Efficiency: Given("59 %"), ImbalanceFront: Given("19 %"), ImbalanceRear: Given("29 %")}
}

func TestC63_PrintedBrakeFiguresStayOfficialBesideWhatRecomputes(t *testing.T) {
	b := brakeSheet()
	b.Weighed = Given("706 kg")
	w := Brake("x", b)
	about(t, w.Value, 58.84, "%", 0.01)
	about(t, lineOf(t, w, "i_F"), 13.49, "%", 0.01)
	about(t, lineOf(t, w, "i_R"), 16.28, "%", 0.01)
	outcome(t, w, "efficiency, printed 59 %", Met)
	says(t, outcome(t, w, "front imbalance, printed 19 %", NoVerdict).Reason, "official", "another basis")
	outcome(t, w, "rear imbalance, printed 29 %", NoVerdict)
	says(t, textOf(w), "The tester used 950 kg and the car weighs 706 kg", "Locked: rear right")
}

func TestC64_EfficiencyOnTheTableMassIsOverstatedByAboutAQuarter(t *testing.T) {
	b := brakeSheet()
	b.Weighed, b.WeighedBy = Given("1180 kg"), "weighing after"
	w := Brake("x", b)
	about(t, lineOf(t, w, "z_w"), 47.37, "%", 0.01)
	about(t, lineOf(t, w, "q"), 24.21, "%", 0.01)
	says(t, textOf(w), "overstated by 24.21 %", "retest at the present mass", "indication")
}

func TestC65_ToeWithoutAUnitIsAQuestionAndMinutesAreSixtieths(t *testing.T) {
	w := Toe("x", Given("2.5"), Input{})
	says(t, w.Answer, "not computed: needs the unit", "degrees, minutes, millimetres and inches", "diameter")
	about(t, Toe("x", Given("0°18′"), Input{}).Value, 0.30, "°", 1e-9)
	says(t, Toe("x", Given("1.6 mm"), Input{}).Answer, "needs diameter at which it was measured")
	about(t, Toe("x", Given("1.6 mm"), Given("356 mm")).Value, 0.2575, "°", 0.0001)
}

func TestC66_EnergiesWithOppositeSignsAreNeverMixed(t *testing.T) {
	w := EnergyTotals("x", []EnergyLog{
		{"battery monitor", "positive is discharge", []Input{Given("12 kWh"), Given("3 kWh")}},
		{"shunt", "positive is charge", []Input{Given("14 kWh")}}})
	about(t, lineOf(t, w, "E_1"), 15, "kWh", 0)
	outcome(t, w, "a total over all sources", NotComparable)
	if !w.Value.IsZero() {
		t.Errorf("a total was given: %s", w.Value)
	}
}

func TestC68_CellsReadOneAfterAnotherUnderLoadShowNoImbalance(t *testing.T) {
	s := Survey{Name: "cells", State: "under load", Taken: "one after another",
		Readings: []CellReading{{"cell 1", Given("3.61 V")}, {"cell 2", Given("3.52 V")}, {"cell 3", Given("0 V")}, {"cell 4", Given("65.535 V")}}}
	w := CellSurvey("x", s)
	about(t, w.Value, 90, "mV", 1e-9)
	says(t, outcome(t, w, "balance", NotComparable).Reason, "unsynchronised")
	says(t, textOf(w), "cell 3: 0 V is not taken for a cell", "cell 4: 65.535 V is not taken for a cell")
	s.State = "at rest"
	outcome(t, CellSurvey("x", s), "balance", Met)
}

func TestC71_ASerialWithFiguresChangedOverStaysOpenUntilAPhoto(t *testing.T) {
	w := Serials("x", "modules", []string{"SM-4470", "SM-4471"}, []string{"SM-4470", "SM-4417"})
	says(t, outcome(t, w, "modules SM-4417, fitted", TooClose).Reason, "near miss of SM-4471", "unresolved until a photo")
	outcome(t, w, "count of modules", Met)
	outcome(t, Serials("x", "modules", []string{"SM-4470"}, []string{"SM-4470", "SM-9999"}), "count of modules", Contradiction)
}

func TestC72_ChargingLossIsPlausibleAndMoreInThePackThanFromTheWallIsNot(t *testing.T) {
	c := Charge{Name: "night", Wall: Given("31.4 kWh"), Pack: Given("27.6 kWh"), When: on("2026-05-13T22:10:00/2026-05-14T04:00:00")}
	w := ChargingLoss("x", c)
	about(t, w.Value, 12.1, "%", 0.01)
	outcome(t, w, "this charge", Met)
	says(t, textOf(w), "from 2026-05-13 to 2026-05-14", "counted once, on the day it began")
	c.Pack = Given("32 kWh")
	says(t, outcome(t, ChargingLoss("x", c), "this charge", Contradiction).Reason, "impossible")
}
