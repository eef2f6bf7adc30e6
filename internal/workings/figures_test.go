package workings

import (
	"math"
	"strings"
	"testing"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
)

// about fails unless a quantity is a number of a unit to within a tolerance.
func about(t *testing.T, q quantity.Quantity, want float64, unit string, within float64) {
	t.Helper()
	got, err := q.Float(unit)
	if err != nil {
		t.Fatalf("%s is no number of %s: %v", q, unit, err)
	}
	if math.Abs(got-want) > within {
		t.Errorf("%g %s, want %g ±%g", got, unit, want, within)
	}
}

// line finds the value of a symbol in the steps.
func lineOf(t *testing.T, w Working, symbol string) quantity.Quantity {
	t.Helper()
	for _, s := range w.Steps {
		if rest, ok := strings.CutPrefix(s.Result(), symbol+" "); ok {
			q, err := quantity.Parse(strings.TrimPrefix(rest, "= "))
			if err != nil {
				t.Fatalf("%s: %v", s.Result(), err)
			}
			return q
		}
	}
	t.Fatalf("no line gives %s in %+v", symbol, w.Steps)
	return quantity.Quantity{}
}

// verdictOf finds a verdict by what it is of.
func verdictOf(t *testing.T, w Working, of string) Verdict {
	t.Helper()
	for _, v := range w.Verdicts {
		if v.Of == of {
			return v
		}
	}
	t.Fatalf("no verdict of %q among %+v", of, w.Verdicts)
	return Verdict{}
}

func outcome(t *testing.T, w Working, of string, want Outcome) Verdict {
	t.Helper()
	v := verdictOf(t, w, of)
	if v.Outcome != want {
		t.Errorf("%s: %s (%s), want %s", of, v.Outcome, v.Reason, want)
	}
	return v
}

func says(t *testing.T, text string, all ...string) {
	t.Helper()
	for _, want := range all {
		if !strings.Contains(text, want) {
			t.Errorf("%q does not say %q", text, want)
		}
	}
}

// textOf is everything that a working says, for searching.
func textOf(w Working) string {
	var b strings.Builder
	add := func(list ...string) {
		for _, s := range list {
			b.WriteString(s + "\n")
		}
	}
	add(w.Title, w.Answer, w.Caution)
	for _, s := range w.Steps {
		add(s.Sentence, s.Formula(), s.Numbers(), s.Result())
	}
	add(w.Assumptions...)
	add(w.Missing...)
	add(w.Notes...)
	for _, v := range w.Verdicts {
		add(v.Of, v.Against, string(v.Outcome), v.Reason, v.Why)
	}
	return b.String()
}

func on(text string) edtf.Date { return edtf.MustParse(text) }

func TestNinetySixInSeriesTwoSideBySideOfFiftyAmpereHoursAre35KilowattHours(t *testing.T) {
	w := PackOf("x", PackCells{Name: "pack", Series: 96, Parallel: 2, Cells: 192,
		Nominal: Given("3.65 V"), Charged: Given("4.2 V"), Empty: Given("3.0 V"), Capacity: Given("50 Ah"), Mass: Given("245 kg")})
	about(t, w.Value, 35.04, "kWh", 0.001)
	about(t, lineOf(t, w, "U_max"), 403.2, "V", 0.01)
	about(t, lineOf(t, w, "U_nom"), 350.4, "V", 0.01)
	about(t, lineOf(t, w, "U_min"), 288, "V", 0.01)
	about(t, lineOf(t, w, "k"), 245/35.04, "kg/kWh", 0.01)
	outcome(t, w, "cells counted", Met)
	says(t, textOf(w), "E = N_p · Q_c · U_nom", "2 · 50 Ah · 350.4 V")
}

func TestPackSideAndLoadSideOf300KilohmsAt400VoltsAre375OhmsPerVoltJoined(t *testing.T) {
	w := JoinedSides("x", Given("300 kΩ"), Given("300 kΩ"), Given("400 V"), "")
	about(t, w.Value, 375, "Ω/V", 1e-9)
	outcome(t, w, "insulation", NotMet)
	outcome(t, w, "for comparison, direct current alone", Met)
	alone := Isolation("y", InsulationReading{Name: "pack side", Bridged: Given("300 kΩ"), Circuit: "pack side", State: "dead",
		TestVoltage: Given("500 V"), Working: Given("400 V")})
	about(t, alone.Value, 750, "Ω/V", 1e-9)
	outcome(t, alone, "insulation", Met)
	protected := JoinedSides("z", Given("300 kΩ"), Given("300 kΩ"), Given("400 V"), "two layers on every cable")
	says(t, outcome(t, protected, "insulation", Met).Why, "two layers on every cable")
}

func TestHalfAMegohmAndFiveMegohmsBridgedAre4545TenThousandthsOfAMegohm(t *testing.T) {
	w := Bridged("x", Given("0.5 MΩ"), Given("5 MΩ"))
	about(t, w.Value, 0.4545, "MΩ", 0.0001)
	says(t, w.Answer, "0.4545 MΩ")
}

func TestFourM8BoltsThroughOneMillimetreOfSheetFailInBearingThoughTheBoltsHold(t *testing.T) {
	m := Mount{Name: "battery box", Mass: Given("200 kg"), Bolts: 4, Size: "M8 x 1.25 x 25", Class: "8.8",
		Thickness: Given("1.0 mm"), Strength: Given("270 MPa"), Condition: "sound"}
	w := RestraintIn("x", m, DirectionsUN()[0])
	about(t, lineOf(t, w, "F"), 39.23, "kN", 0.01)
	about(t, lineOf(t, w, "F_1"), 9.807, "kN", 0.001)
	about(t, lineOf(t, w, "L"), 2.16, "kN", 0.001)
	outcome(t, w, "fastener in shear", Met)
	outcome(t, w, "host sheet in bearing", NotMet)
	says(t, outcome(t, w, "the mount, forward or rearward", NotMet).Reason, "host sheet in bearing fails first")
	says(t, w.Caution, "screening sum for an engineer")
}

func TestAnEngineOutOfACarOnTheLiftMovesItsCentreBy227Millimetres(t *testing.T) {
	w := CentreOnLift("x", Given("900 kg"), Given("1.15 m"), []LiftStep{{"engine", Given("160 kg"), Given("0.10 m")}})
	about(t, w.Value, 227, "mm", 0.1)
	about(t, lineOf(t, w, "x′1"), 1377.03, "mm", 0.6)
	says(t, w.Caution, "can tip")
}

func TestFiftyOneKilogramsMovedRearwardTakeAbout42FromTheFrontAxle(t *testing.T) {
	w := MoveMass("x", "modules", Given("51 kg"), Given("1.90 m"), Given("2.31 m"))
	about(t, w.Value, 41.95, "kg", 0.01)
	says(t, textOf(w), "51 kg · 1.90 m / 2.31 m", "stale for the axle split and still good for the total")
}

func TestSeventeenHundredweightTwoQuartersFourteenPoundsBritishAre895Kilograms(t *testing.T) {
	w := HandbookMass("x", "17 cwt 2 qr 14 lb", "GB", Input{})
	about(t, w.Value, 895.4, "kg", 0.05)
	says(t, w.Answer, "895 kg")
	says(t, textOf(w), "17 · 112 lb + 2 · 28 lb + 14 · 1 lb = 1974 lb")
	open := HandbookMass("y", "17 cwt 2 qr 14 lb", "", Input{})
	says(t, open.Answer, "not computed: needs the country of the handbook")
	says(t, textOf(open), "895.4 kg", "800.1 kg")
	about(t, HandbookMass("z", "17 cwt 2 qr 14 lb", "US", Input{}).Value, 800.1, "kg", 0.05)
}

func TestPreChargeExampleOf350VoltsThousandMicrofarads50Ohms(t *testing.T) {
	w := PreChargeCurve("x", PreCharge{Voltage: Given("350 V"), Resistance: Given("50 Ω"), Capacitance: Given("1000 µF"), Time: Given("150 ms"),
		ContactorVoltage: Given("20 V"), ResistorEnergy: Given("200 J"), Retries: 3})
	about(t, lineOf(t, w, "τ"), 50, "ms", 1e-9)
	about(t, lineOf(t, w, "I_0"), 7, "A", 1e-9)
	about(t, lineOf(t, w, "W"), 61.25, "J", 0.01)
	about(t, lineOf(t, w, "p"), 95.02, "%", 0.01)
	about(t, w.Value, 17.43, "V", 0.01)
	outcome(t, w, "voltage at closing", Met)
	about(t, lineOf(t, w, "W_s"), 367.5, "J", 0.1)
	outcome(t, w, "resistor, shorted circuit", NotMet)
	outcome(t, w, "resistor, all attempts into a short", NotMet)
}

func TestCopperOf16SquareMillimetresDropsByTheTextbook(t *testing.T) {
	// 2 · 5 m · 50 A · 0.017241 / 16 = 0.53878 V at 20 °C.
	c := Circuit{Name: "supply", Length: Given("5 m"), Conductor: Given("16 mm²"), Load: Given("50 A"), Voltage: Given("14.2 V"), Temperature: Given("20 °C")}
	about(t, VoltageDrop("x", c).Value, 0.53878125, "V", 1e-9)
	c.Temperature = Given("70 °C")
	about(t, VoltageDrop("x", c).Value, 0.53878125*(1+50*0.00393), "V", 1e-9)
}

func TestAFuseIsHeldAgainstTheLargestAndTheSmallestFaultCurrent(t *testing.T) {
	c := Circuit{Name: "traction", Load: Given("165 A"), Fuse: Given("200 A"), Carries: Given("220 A"), FuseVoltage: Given("500 V"),
		Charged: Given("403.2 V"), Empty: Given("288 V"), PackNew: Given("0.08 Ω"), PackWorst: Given("0.30 Ω"), Wiring: Given("0.02 Ω"),
		FuseBreaks: Given("20 kA"), FuseFrom: Given("1000 A")}
	w := FuseCheck("x", c)
	about(t, lineOf(t, w, "I_max"), 4032, "A", 0.5)
	about(t, lineOf(t, w, "I_min"), 900, "A", 0.5)
	outcome(t, w, "largest fault current", Met)
	outcome(t, w, "smallest fault current", NotMet)
	c.FuseFrom = Given("800 A")
	outcome(t, FuseCheck("x", c), "smallest fault current", Met)
}

func TestTenMicrofaradsAt403VoltsHold081JoulesAndAreWaitedFor(t *testing.T) {
	w := WaitingTime("x", Given("403.2 V"), Given("10 µF"), Given("100 kΩ"))
	about(t, lineOf(t, w, "E"), 0.5*10e-6*403.2*403.2, "J", 0.001)
	about(t, w.Value, math.Log(403.2/60), "s", 0.001)
	outcome(t, w, "energy held", NoVerdict)
	outcome(t, WaitingTime("y", Given("400 V"), Given("2 µF"), Given("100 kΩ")), "energy held", Met)
}
