package workings

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/edtf"
)

func TestCurrenciesAreNeverMixed(t *testing.T) {
	w := Value("x", "stored parts", []Money{{What: "engine", Amount: "1200.00 GBP"}, {What: "radiator", Amount: "150.50 GBP"}, {What: "coil", Amount: "40 EUR"},
		{What: "head", Sealed: true}, {What: "tank"}, {What: "bad", Amount: "lots"}, {What: "odd", Amount: "1/2 GBP"}})
	says(t, w.Answer, "at least 40.00 EUR and 1350.50 GBP: 3 of 7 parts with a value")
	says(t, textOf(w), "no rate of exchange", "private values of 1 of 7", "a value for 3 of 7", "“lots” is no amount", "“1/2 GBP” is no amount")
	if w := Value("x", "x", []Money{{What: "engine", Sealed: true}}); w.Computed() {
		t.Error(w.Answer)
	}
}

// The order of a list does not change its value.
func TestMoneyAddsUpInAnyOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var list, turned []Money
		for range rapid.IntRange(1, 10).Draw(rt, "parts") {
			m := Money{What: "p", Amount: fmt.Sprintf("%d.%02d %s", rapid.IntRange(0, 9999).Draw(rt, "whole"), rapid.IntRange(0, 99).Draw(rt, "cents"), rapid.SampledFrom([]string{"GBP", "EUR"}).Draw(rt, "currency"))}
			list, turned = append(list, m), append([]Money{m}, turned...)
		}
		if a, b := Value("x", "x", list).Answer, Value("x", "x", turned).Answer; a != b {
			rt.Fatalf("%s and %s", a, b)
		}
	})
}

func TestAStoreIsValuedOverAllCarsAndSaysWhoseIsWhose(t *testing.T) {
	day := edtf.NewDay(2026, 7, 1)
	w := StoreValue("loft", "Loft", day, []Held{
		{"tern", []Money{{What: "Engine", Amount: "1200.00 GBP", In: "crate 1"}, {What: "Dynamo"}}},
		{"sesta", []Money{{What: "Dash", Amount: "300.50 EUR"}, {What: "Horn", Amount: "40 GBP"}}},
	})
	says(t, w.Title, "what Loft holds on 2026-07-01")
	says(t, w.Answer, "at least 300.50 EUR and 1240.00 GBP: 3 of 4 parts with a value")
	says(t, textOf(w), "tern: Engine, crate 1.", "All of tern.\n\n\n1200.00 GBP", "All of sesta.\n\n\n300.50 EUR and 40.00 GBP", "a value for 1 of 4 parts (tern: Dynamo)", "no rate of exchange")
	whole := StoreValue("loft", "Loft", day, []Held{{"tern", []Money{{What: "Engine", Amount: "1200.00 GBP"}}}})
	says(t, whole.Answer, "1200.00 GBP for 1 part")
	says(t, StoreValue("loft", "Loft", day, nil).Answer, "nothing lies there by the records of these cars")
}

func TestASealedValueIsCountedAndNeverShown(t *testing.T) {
	w := StoreValue("loft", "Loft", edtf.NewDay(2026, 7, 1), []Held{{"tern", []Money{{What: "Engine", Sealed: true, From: Input{Text: "sealed", Path: "tern/parts/engine.json"}}}}})
	says(t, w.Answer, "not computed: needs the private values of 1 of 1 part, which are sealed and not shown (tern: Engine)")
	if len(w.Inputs) != 1 || w.Inputs[0].Text != "sealed" {
		t.Errorf("%+v", w.Inputs)
	}
}

func TestAPartThatAStockTakeMissedIsCountedInTheValueAndSaid(t *testing.T) {
	w := Value("x", "x", []Money{{What: "coil", Amount: "40 GBP", Missed: on("2026-05-26")}, {What: "engine", Amount: "1200 GBP"}})
	says(t, w.Answer, "1240.00 GBP for 2 parts")
	says(t, strings.Join(w.Notes, " "), "coil: not found at the stock-take of 2026-05-26, and counted all the same", "Of this, 40.00 GBP is of parts that a stock-take did not find")
}

func TestAnAssemblyAndAPartOfItThatAreBothValuedAreAQuestion(t *testing.T) {
	w := Value("x", "x", []Money{{What: "engine", Amount: "1200 GBP"}, {What: "head", Amount: "300 GBP", With: "engine"}})
	says(t, strings.Join(w.Notes, " "), "head goes with engine, and both have a value of their own")
}

func TestFewOfALongListAreNamedAndTheRestCounted(t *testing.T) {
	says(t, fewOf(strings.Fields("a b c d e f g h")), "a; b; c; d; e; f and 2 more")
	says(t, fewOf(strings.Fields("a b")), "a; b")
}
