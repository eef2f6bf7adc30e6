package workings

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
)

// Forces in kgf, kN or lbf give one efficiency and one imbalance.
func TestBrakeFiguresDoNotDependOnTheUnit(t *testing.T) {
	test := func(scale float64, unit string) Working {
		b := BrakeTest{Name: "x", MassUsed: Given("950 kg")}
		for i, kgf := range []float64{186, 215, 86, 72} {
			b.Wheels[i] = Wheel{Name: fmt.Sprint("wheel ", i), Force: Given(fmt.Sprintf("%.9f %s", kgf*scale, unit))}
		}
		return Brake("x", b)
	}
	one := test(1, "kgf")
	for _, other := range []Working{test(0.00980665, "kN"), test(1/0.45359237, "lbf"), test(9.80665, "N")} {
		for _, symbol := range []string{"z", "i_F", "i_R"} {
			a, _ := one.Result(symbol)
			b, ok := other.Result(symbol)
			x, _ := a.Float("%")
			y, _ := b.Float("%")
			if !ok || math.Abs(x-y) > 1e-6 {
				t.Errorf("%s: %g %% and %g %%", symbol, x, y)
			}
		}
	}
	about(t, one.Value, 100*559.0/950, "%", 0.001)
}

func TestABrakeTestOnTheWeighedMassNeedsNoNote(t *testing.T) {
	b := brakeSheet()
	b.Weighed = Given("950 kg")
	w := Brake("x", b)
	if strings.Contains(textOf(w), "retest") {
		t.Error("the masses agree")
	}
	half := brakeSheet()
	half.Wheels[3].Force = Input{}
	if w := Brake("x", half); w.Computed() {
		t.Errorf("three wheels are no test: %s", w.Answer)
	}
}

func TestToeInTheOldUnits(t *testing.T) {
	about(t, Toe("x", Given("0.0625 in"), Given("14 in")).Value, 0.2558, "°", 0.0001)
	about(t, Toe("x", Given("18′"), Input{}).Value, 0.3, "°", 1e-9)
}

// Readings that only rise give the difference of the last and the first.
func TestASeriesThatOnlyRisesIsItsDifference(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var list []OdometerReading
		at := rapid.IntRange(0, 90000).Draw(rt, "first")
		first := at
		for i := range rapid.IntRange(2, 6).Draw(rt, "readings") {
			list = append(list, OdometerReading{On: fmt.Sprint(2000 + i), Value: Given(fmt.Sprintf("%d km", at)), Counts: "km", Digits: 6})
			at += rapid.IntRange(0, 5000).Draw(rt, "step")
		}
		last, _ := list[len(list)-1].Value.Value.Float("km")
		w := OdometerSeries("x", list)
		got, err := w.Value.Float("km")
		if err != nil || got != last {
			rt.Fatalf("%g, want %g", got, last)
		}
		says(t, w.Answer, fmt.Sprintf("%d km between", int(last)-first))
	})
}

func TestALowerReadingNeedsTheNumberOfFigures(t *testing.T) {
	w := OdometerSeries("x", []OdometerReading{{"2001", Given("98742 mi"), "mi", 5}, {"2009", Given("3118 mi"), "mi", 0}})
	says(t, strings.Join(w.Missing, " "), "how many figures the odometer has")
}

func TestTheRangeComesFromRunsThatStateTheirConditions(t *testing.T) {
	run := func(name, energy, weather string) Run {
		return Run{Name: name, Distance: Given("100 km"), Energy: Given(energy), Weather: weather, Conditions: "driver alone"}
	}
	w := Consumption("x", []Run{run("summer", "13 kWh", "dry"), run("winter", "17 kWh", "snow"), {Name: "unknown", Distance: Given("100 km"), Energy: Given("10 kWh")}}, Given("20 kWh"))
	about(t, w.Low, 20/0.17, "km", 0.001)
	about(t, w.High, 20/0.13, "km", 0.001)
	says(t, textOf(w), "unknown does not state its conditions", "colder, faster or wetter is less")
	one := Consumption("x", []Run{run("summer", "13 kWh", "dry")}, Given("20 kWh"))
	says(t, textOf(one), "not because the range is certain")
	display := run("summer", "13.2 kWh", "dry")
	display.ChargeBefore, display.ChargeAfter = Given("100 %"), Given("36 %")
	w = Consumption("x", []Run{display}, Input{})
	about(t, w.Low, 100/0.64, "km", 0.001)
	says(t, w.Answer, "by the display's word", "the usable energy is not recorded")
	unsigned := run("log", "13 kWh", "dry")
	unsigned.Sign = "not recorded"
	says(t, textOf(Consumption("x", []Run{unsigned}, Input{})), "which way its log counts as positive is not recorded")
}

func TestLogsThatCountAlikeStayApartBySource(t *testing.T) {
	w := EnergyTotals("x", []EnergyLog{{"a", "positive is charge", []Input{Given("1 kWh")}}, {"b", "positive is charge", []Input{Given("2 kWh")}}})
	says(t, w.Answer, "all count alike")
	w = EnergyTotals("x", []EnergyLog{{"a", "not recorded", []Input{Given("1 kWh")}}})
	outcome(t, w, "a total over all sources", NotComparable)
}

func TestAnUnusualChargingLossIsPointedAt(t *testing.T) {
	says(t, outcome(t, ChargingLoss("x", Charge{Wall: Given("10 kWh"), Pack: Given("9.99 kWh")}), "this charge", NoVerdict).Reason, "look at the meters")
	says(t, outcome(t, ChargingLoss("x", Charge{Wall: Given("10 kWh"), Pack: Given("6 kWh")}), "this charge", NoVerdict).Reason, "unusual loss")
}

func TestPartsThatNobodySawAreNotCalledLost(t *testing.T) {
	today := edtf.NewDay(2026, 6, 12)
	w := Unseen("x", []Seen{{What: "radiator", On: on("2026-05-26"), How: "sighting"}, {What: "engine", On: on("2025-09-24"), How: "removal"},
		{What: "head"}, {What: "coil", On: on("2026-03"), How: "sighting", Missed: on("2026-05-26")}}, today, 200)
	says(t, w.Answer, "the longest is engine, 261 days")
	says(t, outcome(t, w, "engine", EvidenceMissing).Reason, "last seen 261 days ago")
	outcome(t, w, "head", EvidenceMissing)
	says(t, outcome(t, w, "coil", EvidenceMissing).Reason, "not lost until it was searched for")
	says(t, textOf(w), "73 to 103 days")
	gone := Unseen("x", []Seen{{What: "valve", Missed: on("2026-05-26")}}, today, 0)
	says(t, outcome(t, gone, "valve", EvidenceMissing).Reason, "not lost until it was searched for")
	for _, v := range w.Verdicts {
		if v.Of == "radiator" {
			t.Errorf("%+v", v)
		}
	}
	says(t, Unseen("x", nil, today, 0).Answer, "no part is in a store")
}

func TestHoursAreCountedByPurposeWithHandsAndNeverSplit(t *testing.T) {
	session := func(from, to string, people int, purposes ...string) Worked {
		return Worked{What: "s", Started: on(from), Ended: on(to), People: people, Purposes: purposes}
	}
	w := Hours("x", []Worked{
		session("2026-01-15T08:00:00+00:00", "2026-01-15T12:30:00+00:00", 2, "conversion"),
		session("2026-01-16T22:00:00+00:00", "2026-01-17T01:00:00+00:00", 1, "service", "conversion"),
		session("2026-01-18", "2026-01-18", 1, "service"),
		session("2026-01-19T10:00:00+00:00", "2026-01-19T09:00:00+00:00", 1, "service"),
		session("2026-01-20T10:00:00+01:00", "2026-01-20T10:00:00+00:00", 1),
	})
	says(t, w.Answer, "13.0 h recorded in 3 of 5 sessions")
	says(t, textOf(w), "Purpose: conversion.", "9.0 h", "mixed (service, conversion)", "3.0 h", "not stated", "1.0 h", "for 2 of 5 sessions")
}

func TestAQuantityIsShownWithTheDigitsItCarries(t *testing.T) {
	for _, c := range []struct{ formula, unit, want string }{
		{"1000/3", "", "333.3"}, {"2/3", "", "0.6667"}, {"1/3000", "", "0.0003333"}, {"375", "", "375"}, {"611.5+806", "", "1417.5"}, {"1417.53*2", "", "2835"}, {"123456/7", "", "17637"}, {"0", "", "0"}, {"-5/3", "", "-1.667"},
	} {
		q, _ := compute(t, c.unit, c.formula, nil)
		if got := Show(q); got != c.want {
			t.Errorf("%s is shown as %s, want %s", c.formula, got, c.want)
		}
	}
	for _, written := range []string{"866.0 kg", ">550 MΩ", "412.5 ±1 kg", "over-range"} {
		if got := Show(quantity.MustParse(written)); got != written {
			t.Errorf("%s is shown as %s", written, got)
		}
	}
	if got := Show(quantity.Quantity{}); got != "not recorded" {
		t.Error(got)
	}
}

func TestEncodedWorkingsHoldAllThatAPageShowsAndTheExactNumbers(t *testing.T) {
	list := []Working{JoinedSides("x", Given("300 kΩ"), Given(">500 kΩ"), Given("400 V"), ""), MoveMass("y", "m", Given("51 ±1 kg"), Input{}, Given("2.31 m"))}
	var out bytes.Buffer
	if err := Encode(&out, Heading{Car: "a car", Day: "2026-06-12"}, list); err != nil {
		t.Fatal(err)
	}
	var back struct {
		Format   string
		Of       Heading
		Workings []struct {
			Subject, ID, Answer, Outcome string
			Computed                     bool
			Value                        *struct{ Shown, Exact, Unit, Bound string }
			Steps                        []struct {
				Symbol, Formula, Numbers, Result string
				Value                            *struct{ Exact string }
			}
			Inputs   []struct{ Symbol, Text string }
			Missing  []string
			Verdicts []struct {
				Outcome string
				Rule    string `json:"decision-rule"`
				Why     string `json:"why-this-limit"`
			}
			Sources []struct{ Text, Basis string }
		}
	}
	if err := json.Unmarshal(out.Bytes(), &back); err != nil {
		t.Fatal(err)
	}
	if back.Format != "boltback workings 1" || back.Of.Car != "a car" || len(back.Workings) != 2 {
		t.Errorf("%+v", back)
	}
	one, two := back.Workings[0], back.Workings[1]
	if one.Value == nil || one.Value.Bound != ">" || one.Value.Unit != "Ω/V" || one.Value.Exact == "" || len(one.Steps) != 3 || one.Steps[0].Value == nil || one.Verdicts[0].Why == "" || one.Verdicts[0].Rule == "" || one.Sources[0].Basis == "" {
		t.Errorf("%+v", one)
	}
	if two.Computed || two.Value != nil || len(two.Missing) != 1 || !strings.HasPrefix(two.Answer, "not computed: needs") {
		t.Errorf("%+v", two)
	}
	var again bytes.Buffer
	if err := Encode(&again, Heading{Car: "a car", Day: "2026-06-12"}, list); err != nil || again.String() != out.String() {
		t.Error("the same workings give other bytes")
	}
}
