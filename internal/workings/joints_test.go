package workings

import (
	"math"
	"strings"
	"testing"
)

func TestTheMethodDecidesWhatATighteningShows(t *testing.T) {
	indicating := tightened("20 N.m", "20 N.m")
	indicating.Method, indicating.Indicated = "indicating", Given("20.3 N.m")
	edge := indicating
	edge.Indicated = Given("21.5 N.m")
	outside := indicating
	outside.Indicated = Given("24 N.m")
	feel := tightened("20 N.m", "")
	feel.Method = "by feel"
	unknown := tightened("20 N.m", "20 N.m")
	unknown.Method = "not recorded"
	off := tightened("20 N.m", "25 N.m")
	near := tightened("20 N.m", "20.5 N.m")
	for _, c := range []struct {
		name string
		one  Tightening
		want Outcome
	}{
		{"a click wrench set to the specification", tightened("20 N.m", "20 N.m"), Met},
		{"a click wrench set in other units", tightened("15 lbf.ft", "20.3 N.m"), Met},
		{"a click wrench set elsewhere within the tolerance", near, Met},
		{"a click wrench set wrong", off, NotMet},
		{"an indicating wrench inside by its own doubt", indicating, Met},
		{"an indicating wrench inside by less than its doubt", edge, TooClose},
		{"an indicating wrench outside", outside, NotMet},
		{"by feel", feel, NotEvidenced},
		{"no method", unknown, EvidenceMissing},
		{"nothing set", tightened("20 N.m", ""), EvidenceMissing},
		{"nothing specified", tightened("", "20 N.m"), EvidenceMissing},
	} {
		t.Run(c.name, func(t *testing.T) { outcome(t, JointTightened("x", c.one), "torque", c.want) })
	}
}

func TestAToolOutsideItsRangeIsNoEvidence(t *testing.T) {
	w := JointTightened("x", tightened("30 N.m", "30 N.m"))
	outcome(t, w, "range of the tool", NotEvidenced)
	outcome(t, JointTightened("x", tightened("3 N.m", "3 N.m")), "range of the tool", NotEvidenced)
	none := tightened("20 N.m", "20 N.m")
	none.Tool = Tool{}
	outcome(t, JointTightened("x", none), "tool", EvidenceMissing)
}

func TestASecondCheckIsBySomebodyElse(t *testing.T) {
	one := tightened("20 N.m", "20 N.m")
	one.SecondCheck, one.By = "required", "Ina"
	outcome(t, JointTightened("x", one), "second check", EvidenceMissing)
	one.SecondCheckBy = "Ina"
	says(t, outcome(t, JointTightened("x", one), "second check", EvidenceMissing).Reason, "same person")
	one.SecondCheckBy = "Maud"
	outcome(t, JointTightened("x", one), "second check", Met)
}

func TestAFastenerThatIsUsedOnceIsRecordedAsNewOrItIsAsked(t *testing.T) {
	for origin, want := range map[string]Outcome{"new": Met, "factory to this car": NotMet, "unknown": EvidenceMissing, "": EvidenceMissing} {
		one := tightened("20 N.m", "20 N.m")
		one.Fasteners = []Fastener{{What: "lock nut", SingleUse: "yes", Origin: origin}, {What: "bolt", SingleUse: "no", Origin: "factory to this car"}}
		outcome(t, JointTightened("x", one), "lock nut", want)
	}
}

func TestAJointDisturbedSinceIsNotTightenedByTheOldTightening(t *testing.T) {
	one := tightened("20 N.m", "20 N.m")
	one.Disturbed = "radiator out, 2026-04-01"
	w := JointTightened("x", one)
	if w.Worst() != NotEvidenced {
		t.Errorf("%s", w.Worst())
	}
	says(t, w.Answer, "disturbed since: radiator out, 2026-04-01")
}

// odometerOf is an odometer's series: day, figure, day, figure.
func odometerOf(dayAndFigure ...string) []OdometerReading {
	var list []OdometerReading
	for i := 0; i+1 < len(dayAndFigure); i += 2 {
		in := Given(dayAndFigure[i+1])
		list = append(list, OdometerReading{On: dayAndFigure[i], Value: in, Counts: in.Value.Unit(), Digits: 5})
	}
	return list
}

func TestTighteningAgainFallsDueByTheOdometer(t *testing.T) {
	stuck := odometerOf("2025-06-01", "1000 km", "2025-07-01", "1000 km", "2025-08-01", "1100 km")
	stuck[1].Counts = "stuck"
	for _, c := range []struct {
		name     string
		readings []OdometerReading
		earlier  string
		want     Outcome
		says     string
	}{
		{"nothing was read", nil, "", EvidenceMissing, "no reading of the odometer is on record after 2025-06-01"},
		{"nothing was read since", odometerOf("2025-05-01", "900 km", "2025-06-01", "1000 km"), "", EvidenceMissing, "no reading"},
		{"read at the tightening, and short of it", odometerOf("2025-06-01", "1000 mi", "2025-07-01", "1123 mi"), "", Met, "at most 197.9 km since"},
		{"read at the tightening, and past it", odometerOf("2025-06-01", "1000 mi", "2025-07-01", "1400 mi"), "", NotMet, "at least 643.7 km since, by the reading of 2025-07-01"},
		{"exactly there", odometerOf("2025-06-01", "1000 km", "2025-07-01", "1500 km"), "", NotMet, "at least 500 km"},
		{"read before and after, short of it either way", odometerOf("2025-05-01", "1000 km", "2025-06-10", "1200 km", "2025-07-01", "1400 km"), "", Met, "at most 400 km"},
		{"read before and after, and it may be either", odometerOf("2025-05-01", "1000 km", "2025-06-10", "1300 km", "2025-07-01", "1600 km"), "", EvidenceMissing, "from 300 km to 600 km since"},
		{"read only after", odometerOf("2025-06-10", "1300 km", "2025-07-01", "1600 km"), "", EvidenceMissing, "nothing on record says how much at most"},
		{"read only after, and past it", odometerOf("2025-06-10", "1000 km", "2025-07-01", "1600 km"), "", NotMet, "at least 600 km"},
		{"the odometer turned", odometerOf("2025-06-01", "99900 km", "2025-07-01", "00100 km"), "", EvidenceMissing, "at least 200 km"},
		{"the odometer stood still", stuck, "", EvidenceMissing, "at least 0 km"},
		{"tightened again after that distance", odometerOf("2025-04-01", "100 km", "2025-05-30", "700 km", "2025-07-01", "2000 km"), "2025-03-31", Met, "tightened again on 2025-06-01"},
		{"tightened again too early", odometerOf("2025-04-01", "100 km", "2025-06-01", "400 km", "2025-07-01", "2000 km"), "2025-03-31", NotMet, "at least 1600 km"},
	} {
		t.Run(c.name, func(t *testing.T) {
			one := tightened("20 N.m", "20 N.m")
			one.Retighten, one.Odometer = Given("500 km"), c.readings
			if c.earlier != "" {
				one.Earlier = append(one.Earlier, on(c.earlier))
			}
			says(t, outcome(t, JointTightened("x", one), TightenAgain, c.want).Reason, c.says)
		})
	}
}

func TestWithoutAToleranceTheClassOfTheToolIsTakenAndSaid(t *testing.T) {
	one := tightened("20 N.m", "20 N.m")
	one.Tolerance = Input{}
	says(t, strings.Join(JointTightened("x", one).Assumptions, " "), "no tolerance is specified")
}

func TestAToleranceThatCannotBeReadIsNotReplaced(t *testing.T) {
	one := tightened("20 N.m", "20.5 N.m")
	one.Tolerance = Given("a few %")
	w := JointTightened("x", one)
	outcome(t, w, "torque", EvidenceMissing)
	if len(w.Assumptions) != 0 {
		t.Error(w.Assumptions)
	}
}

func TestAToolsCalibrationsAreReadBothWays(t *testing.T) {
	repaired := Calibration{On: on("2026-01-10"), AsFound: "out of tolerance", AsLeft: "in tolerance"}
	scrapped := Calibration{On: on("2024-06-01"), AsFound: "out of tolerance", AsLeft: "out of tolerance"}
	for _, c := range []struct {
		name string
		cal  []Calibration
		day  string
		want ToolStanding
	}{
		{"within its year", []Calibration{goodYear}, "2025-06-01", InDate},
		{"on its last day", []Calibration{goodYear}, "2026-03-09", InDate},
		{"on the day of the calibration", []Calibration{goodYear}, "2025-03-10", InDate},
		{"before any", []Calibration{goodYear}, "2025-01-01", NeverSeen},
		{"with none", nil, "2025-01-01", NeverSeen},
		{"twelve months where no end is recorded", []Calibration{{On: on("2025-03-10")}}, "2026-03-11", Expired},
		{"before a repair", []Calibration{goodYear, repaired}, "2025-06-01", InDoubt},
		{"after a repair", []Calibration{goodYear, repaired}, "2026-02-01", InDate},
		{"left out of tolerance", []Calibration{scrapped}, "2025-06-01", NeverSeen},
		{"a month that may lie on either side", []Calibration{goodYear}, "2025-03", DayNotKnown},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got, why := wrench(c.cal...).StandingOn(on(c.day)); got != c.want {
				t.Errorf("%s (%s), want %s", got, why, c.want)
			}
		})
	}
}

func TestTheDeviationOfATorqueToolFollowsItsMakerOrItsClass(t *testing.T) {
	plain := Tool{}
	if a, how := plain.permitted(Given("8 N.m").Value); a.Text != "±6 % of reading" || !strings.Contains(how, "ISO 6789") {
		t.Errorf("%s, %s", a.Text, how)
	}
	if a, _ := plain.permitted(Given("20 N.m").Value); a.Text != "±4 % of reading" {
		t.Errorf("%s", a.Text)
	}
	if a, how := wrench().permitted(Given("8 N.m").Value); a.Text != "±4 % of reading" || !strings.Contains(how, "maker states") {
		t.Errorf("%s, %s", a.Text, how)
	}
}

// M8 8.8 at K 0.20 and three quarters of proof load is 25.4 N.m in the table.
func TestPreloadIsARangeOverTheNutFactorBand(t *testing.T) {
	w := Preload("x", Given("25.4 N.m"), Fastener{Size: "M8 x 1.25 x 20", Class: "8.8"})
	about(t, lineOf(t, w, "K"), 0.20, "", 0.001)
	about(t, w.Low, 25.4/(0.30*8), "kN", 0.01)
	about(t, w.High, 25.4/(0.10*8), "kN", 0.01)
	if !w.Value.IsZero() || len(w.Notes) != 0 {
		t.Errorf("a range is no figure: %s %v", w.Value, w.Notes)
	}
	says(t, w.Answer, "a range, and not evidence of clamping")
	high := Preload("x", Given("90 N.m"), Fastener{Size: "M8 x 1.25 x 20", Class: "8.8"})
	says(t, strings.Join(high.Notes, " "), "outside 0.10 to 0.30", "high for this fastener")
	low := Preload("x", Given("9 N.m"), Fastener{Size: "M8 x 1.25 x 20", Class: "8.8"})
	says(t, strings.Join(low.Notes, " "), "low for this fastener")
}

func TestThreadsHaveTheLoadsOfTheirTables(t *testing.T) {
	for _, c := range []struct {
		size, class     string
		proof, ultimate float64 // kN
	}{
		{"M6", "8.8", 11.6, 16.1}, {"M10 x 1.5 x 30", "10.9", 48.1, 60.3}, {"M16", "8.8", 91, 125},
		{"3/8 UNF x 1", "5", 7450 * 4.4482216e-3, 0.0878 * 120e3 * 4.4482216e-3},
		{"1/2 UNC", "grade 8", 17000 * 4.4482216e-3, 0.1419 * 150e3 * 4.4482216e-3},
	} {
		th, ok := ThreadOf(c.size, c.class)
		if !ok {
			t.Errorf("%s %s has no table", c.size, c.class)
			continue
		}
		about(t, th.Proof.Value, c.proof, "kN", 0.01)
		about(t, th.Ultimate.Value, c.ultimate, "kN", 0.01)
	}
	for _, c := range [][2]string{{"M8 x 1 x 20", "8.8"}, {"M8", "A2-70"}, {"3/8 UNF x 1", "S"}, {"5/16 BSF", "R"}, {"no. 10 UNF x 1/2", "R"}, {"", ""}, {"M7", "8.8"}} {
		if _, ok := ThreadOf(c[0], c[1]); ok {
			t.Errorf("%s %s has no table and got one", c[0], c[1])
		}
	}
}

// The stress area of a unified thread is 0.7854 (D - 0.9743/n)².
func TestStressAreasFollowFromTheThread(t *testing.T) {
	for size, n := range map[string]float64{"1/4": 28, "5/16": 24, "3/8": 24, "7/16": 20, "1/2": 20, "9/16": 18, "5/8": 18} {
		th, ok := ThreadOf(size+" UNF", "5")
		if !ok {
			t.Fatal(size)
		}
		d, _ := th.Diameter.Value.Float("in")
		about(t, th.Stress.Value, 0.7854*math.Pow(d-0.9743/n, 2), "in²", 0.0007)
	}
}

func TestWhatWasSetIsAlsoSaidInTheUnitOfTheSpecification(t *testing.T) {
	says(t, textOf(JointTightened("x", tightened("18 lbf.ft", "24.4 N.m"))), "The same in the unit of the specification.\n\n\n24.4 N.m = 18.00 lbf.ft", "24.4 N.m is between 5 N.m and 25 N.m")
	one := tightened("15 lbf.ft", "15 lbf.ft")
	says(t, verdictOf(t, JointTightened("x", one), "range of the tool").Reason, "20.34 N.m is between 5 N.m and 25 N.m")
}
