package workings

import (
	"strings"
	"testing"

	"boltback/internal/quantity"
)

func TestAMissingInputIsNamedAndNothingIsTakenAsZero(t *testing.T) {
	none := Input{}
	for _, c := range []struct {
		name string
		w    Working
		says string
	}{
		{"no wheelbase", MoveMass("x", "m", Given("51 kg"), Given("1.9 m"), none), "not computed: needs wheelbase"},
		{"no rear axle", CentreAlong("x", ticket("480 kg", "", "1000 kg", "1 kg"), Given("2.3 m")), "not computed: needs rear axle"},
		{"no seats", LadenAxles("x", ticket("480 kg", "520 kg", "1000 kg", "1 kg"), Given("2.3 m"), nil, OccupantsOf("GB")), "each row of seats"},
		{"no division", TicketSum("x", ticket("480 kg", "520 kg", "1000 kg", "")), "the division or the stated error of the scale"},
		{"no cells", PackOf("x", PackCells{}), "needs groups of cells in series; cells side by side; nominal voltage of a cell; capacity of a cell"},
		{"no resistor", PreChargeCurve("x", PreCharge{Voltage: Given("400 V")}), "pre-charge resistor"},
		{"no discharge resistor", WaitingTime("x", Given("400 V"), Given("500 µF"), none), "not computed: needs discharge resistor"},
		{"one side only", Joined("x", []Side{{"load side", Given("38 MΩ")}}, Given("400 V"), ""), "pack side and load side, each measured by itself"},
		{"no fastener", RestraintIn("x", Mount{Name: "m", Mass: Given("100 kg")}, DirectionsUN()[0]), "what holds the bolt"},
		{"no energy", ChargingLoss("x", Charge{Wall: Given("10 kWh")}), "not computed: needs energy into the pack"},
		{"no run", Consumption("x", nil, none), "a road run with distance, energy and stated conditions"},
		{"no odometer", OdometerSeries("x", nil), "a reading of an odometer that counts"},
		{"no licence", Authority("x", Signature{By: "somebody", On: on("2026-01-01")}), "a licence of somebody"},
		{"no scope", Authority("x", Signature{On: on("2026-01-01"), Licences: []Licence{{Name: "l"}}}), "what the signature covers"},
		{"nothing bolts", CentreOnLift("x", Given("900 kg"), Given("1.1 m"), nil), "the parts that come out"},
		{"no table", Preload("x", Given("20 N.m"), Fastener{Size: "3/8 BSF", Class: "S"}), "old British strength letters are not taken for SAE grades"},
		{"no log", EnergyTotals("x", nil), "a log of energy"},
		{"one reading", Trend("x", []InsulationReading{dead("", "", "1 MΩ")}, false), "two readings of the same circuit"},
		{"no consumers", DCDCBudget("x", Circuit{}), "what the converter feeds"},
		{"no entry", Lateness("x", nil), "when records were written down"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.w.Computed() {
				t.Fatalf("computed: %s", c.w.Answer)
			}
			if !c.w.Value.IsZero() {
				t.Errorf("a value stands beside it: %s", c.w.Value)
			}
			says(t, c.w.Answer+" "+strings.Join(c.w.Missing, " "), c.says)
		})
	}
}

func TestAValueOfAnotherKindSaysWhatItIs(t *testing.T) {
	w := MoveMass("x", "m", Given("51 kg"), Given("20 V"), Given("2.3 m"))
	says(t, w.Answer, `moved rearward by as length: "20 V" is voltage`)
}

func TestTextThatIsNoQuantityIsKeptAndExplained(t *testing.T) {
	w := MoveMass("x", "m", Given("about 50"), Given("1 m"), Given("2.3 m"))
	says(t, w.Answer, "mass moved (")
	if w.Inputs[0].Text != "about 50" {
		t.Errorf("kept as %q", w.Inputs[0].Text)
	}
	w = Reserve("x", "front axle", Given("400 kg"), Given("none published"))
	says(t, textOf(w), "neither a limit that is kept nor one that is broken")
	outcome(t, w, "front axle", EvidenceMissing)
}

func TestOverRangeWithoutTheEndOfTheRangeIsNoNumber(t *testing.T) {
	w := Isolation("x", dead("", "", "over-range"))
	says(t, w.Answer, "the end of the range at which both poles bridged to chassis read over-range")
}

func TestFiguresThatContradictEachOtherSaySo(t *testing.T) {
	impossible := Isolation("x", dead("41.6 MΩ", "4.12 MΩ", "38.4 MΩ"))
	says(t, strings.Join(impossible.Notes, " "), "38.4 MΩ bridged is more than 4.12 MΩ of a single pole", "one of the figures is wrong")
	cells := PackOf("x", PackCells{Series: 96, Parallel: 2, Cells: 190, Nominal: Given("3.65 V"), Capacity: Given("50 Ah")})
	says(t, outcome(t, cells, "cells counted", Contradiction).Reason, "190 counted")
	rated := PackOf("x", PackCells{Series: 96, Parallel: 1, Nominal: Given("3.65 V"), Capacity: Given("60 Ah"), RatedEnergy: Given("24 kWh")})
	says(t, strings.Join(rated.Notes, " "), "another basis, or one of the figures is wrong")
	sections := Sections("x", []Section{{"front", Given("201.6 V")}, {"rear", Given("100.8 V")}}, Given("403.2 V"))
	says(t, strings.Join(sections.Notes, " "), "A section is missing, or one of the figures is wrong")
	late := Lateness("x", []Entry{{"work", on("2026-03-05"), on("2026-03-01T10:00:00+00:00")}})
	outcome(t, late, "work", Contradiction)
}

func TestWhatIsNoEvidenceGivesNoVerdictOnTheCircuit(t *testing.T) {
	low := dead("", "", "5 MΩ")
	low.TestVoltage = Given("250 V")
	w := Isolation("x", low)
	outcome(t, w, "test voltage", NotMet)
	says(t, outcome(t, w, "the circuit as a whole", EvidenceMissing).Reason, "not known to reach the highest working voltage")
	none := dead("", "", "5 MΩ")
	none.TestVoltage = Input{}
	says(t, outcome(t, Isolation("x", none), "the circuit as a whole", EvidenceMissing).Reason, "no test voltage is recorded")
	live := dead("", "", "5 MΩ")
	live.State, live.RatedForLive = "live", "no"
	says(t, outcome(t, Isolation("x", live), "the circuit as a whole", EvidenceMissing).Reason, "no evidence")
	unknown := dead("", "", "5 MΩ")
	unknown.State = ""
	outcome(t, Isolation("x", unknown), "the circuit as a whole", EvidenceMissing)
	for _, w := range []Working{w, Isolation("x", live), Isolation("x", none)} {
		for _, v := range w.Verdicts {
			if v.Of == "insulation" {
				t.Errorf("a verdict was given: %+v", v)
			}
		}
	}
}

func TestAReadingThatNeedsAnUncertaintyAndHasNoneIsNotDecided(t *testing.T) {
	v := decide("x", quantity.MustParse("5 MΩ"), quantity.AtLeast(quantity.MustParse("1 MΩ")), quantity.GuardBand)
	if v.Outcome != EvidenceMissing {
		t.Errorf("%s: %s", v.Outcome, v.Reason)
	}
	says(t, v.Reason, "uncertainty")
}

func TestAReadingTooCloseToItsLimitIsSaidToBe(t *testing.T) {
	near := dead("", "", "180.5 ±2 kΩ") // 360 V · 500 Ω/V = 180 kΩ
	outcome(t, Isolation("x", near), "insulation", TooClose)
}
