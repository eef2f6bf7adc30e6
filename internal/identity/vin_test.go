package identity

import (
	"strings"
	"testing"
)

const sample = "1G4AH59H_5G118341" // the regulation's own example, position 9 left open

func us(year int) VINScope { return VINScope{USMarket: true, ModelYear: year} }

func TestRegulationSampleSumsTo411AndLeaves4(t *testing.T) {
	c := VIN(strings.Replace(sample, "_", "4", 1), us(1985))
	if c.Outcome != VINMatches || c.Sum != 411 || c.Remainder != 4 || c.Computed != "4" || len(c.Steps) != 17 {
		t.Errorf("got %s, sum %d, remainder %d, digit %q, %d steps", c.Outcome, c.Sum, c.Remainder, c.Computed, len(c.Steps))
	}
	for _, part := range []string{"transcription check", "one wrong number in eleven", "proves nothing about identity"} {
		if !strings.Contains(c.Sentence(), part) {
			t.Errorf("sentence %q lacks %q", c.Sentence(), part)
		}
	}
	sum := 0
	for _, s := range c.Steps {
		if s.Product != s.Value*s.Weight {
			t.Errorf("position %d: %d times %d is not %d", s.Position, s.Value, s.Weight, s.Product)
		}
		sum += s.Product
	}
	if sum != c.Sum {
		t.Errorf("the steps sum to %d, the check says %d", sum, c.Sum)
	}
}

func TestCheckDigitOutcomes(t *testing.T) {
	with := func(digit string) string { return strings.Replace(sample, "_", digit, 1) }
	for _, c := range []struct {
		name, raw string
		scope     VINScope
		want      VINOutcome
		says      string
	}{
		{"a wrong digit differs", with("5"), us(1985), VINDiffers, "asks for 4"},
		{"a digit that was not made out is computed and not filled in", with("?"), us(1985), VINIncomplete, "not filled in"},
		{"another place that was not made out stops the sum", "1G?AH59H45G118341", us(1985), VINIncomplete, "position 3"},
		{"an underline is no unknown place", sample, us(1985), VINMalformed, "position 9"},
		{"a letter at position 9 has to be X", with("A"), us(1985), VINMalformed, "a digit or X"},
		{"O is never used and looks like 0", "1O4AH59H45G118341", us(1985), VINMalformed, "O and 0 are look-alikes"},
		{"I is never used and looks like 1", "IG4AH59H45G118341", us(1985), VINMalformed, "I and 1 are look-alikes"},
		{"Q is never used", "1Q4AH59H45G118341", us(1985), VINMalformed, "never used"},
		{"a Cyrillic letter is named", "1G4АH59H45G118341", us(1985), VINMalformed, "Cyrillic"},
		{"sixteen characters are too few", "1G4AH59H4G118341", us(1985), VINMalformed, "16 were read"},
		{"spaces and small letters are writing", " 1g4ah59h4 5g118341 ", us(1985), VINMatches, "remainder 4"},
		{"a car of 1980 has no check digit", with("5"), us(1980), VINNotApplicable, "before model year 1981"},
		{"a US car without a year is not judged", with("5"), us(0), VINNotApplicable, "model year is not recorded"},
		{"a European number is not failed", with("5"), VINScope{Rule: ISORule, ModelYear: 1999}, VINNotApplicable, "ISO 3779"},
		{"seventeen characters alone bring nothing under the rule", with("5"), VINScope{}, VINNotApplicable, "that alone does not"},
		{"the record can state the rule", with("5"), VINScope{Rule: USRule}, VINDiffers, "asks for 4"},
		{"the record can rule it out", with("5"), VINScope{Rule: MakersRule, USMarket: true, ModelYear: 1990}, VINNotApplicable, "free text"},
		{"an unheard-of rule is not ours", with("5"), VINScope{Rule: "some other"}, VINNotApplicable, "free text"},
		{"an old number is free text", "1E10432BW", us(1967), VINNotApplicable, "free text"},
		{"a damaged field is refused", "1.0E+16", us(1985), VINRefused, "scientific"},
		{"nothing is refused", "", us(1985), VINRefused, "no character"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := VIN(c.raw, c.scope)
			if got.Outcome != c.want || !strings.Contains(got.Sentence(), c.says) {
				t.Errorf("got %q, %q; want %q with %q", got.Outcome, got.Sentence(), c.want, c.says)
			}
			if got.Outcome != VINMatches && got.Outcome != VINDiffers && got.Outcome != VINIncomplete && got.Steps != nil {
				t.Errorf("steps without a sum: %v", got.Steps)
			}
		})
	}
}

func TestRemainderOfTenIsWrittenX(t *testing.T) {
	// Seventeen ones weigh 89; a leading 9 adds 8 times 8: 153 leaves 10.
	if c := VIN("91111111X11111111", us(1990)); c.Outcome != VINMatches || c.Sum != 153 || c.Computed != "X" {
		t.Errorf("got %s, sum %d, digit %s", c.Outcome, c.Sum, c.Computed)
	}
	if c := VIN("11111111111111111", us(1990)); c.Outcome != VINMatches || c.Sum != 89 {
		t.Errorf("seventeen ones: got %s, sum %d", c.Outcome, c.Sum)
	}
}

func TestLetterValuesFollowTheTable(t *testing.T) {
	want := map[string]int{"A": 1, "B": 2, "C": 3, "D": 4, "E": 5, "F": 6, "G": 7, "H": 8, "J": 1, "K": 2, "L": 3, "M": 4,
		"N": 5, "P": 7, "R": 9, "S": 2, "T": 3, "U": 4, "V": 5, "W": 6, "X": 7, "Y": 8, "Z": 9}
	for r := 'A'; r <= 'Z'; r++ {
		value, ok := vinValue(string(r))
		expect, listed := want[string(r)]
		if ok != listed || value != expect {
			t.Errorf("%c: got %d, %v; want %d, %v", r, value, ok, expect, listed)
		}
	}
}

func TestYearLetterSplitsAtPositionSeven(t *testing.T) {
	for _, c := range []struct {
		name, raw string
		year      int
		ok        bool
	}{
		{"digit at 7, digit at 10", "1G4AH59H45G118341", 2005, true},
		{"digit at 7, first letter", "1G4AH59H4AG118341", 1980, true},
		{"letter at 7, first letter", "1G4AH5AH4AG118341", 2010, true},
		{"letter at 7, last digit", "1G4AH5AH49G118341", 2039, true},
		{"digit at 7, Y is the last letter", "1G4AH59H4YG118341", 2000, true},
		{"U is no year", "1G4AH59H4UG118341", 0, false},
		{"Z is no year", "1G4AH59H4ZG118341", 0, false},
		{"0 is no year", "1G4AH59H40G118341", 0, false},
		{"unknown at 7 leaves it open", "1G4AH5?H4AG118341", 0, false},
		{"unknown at 10 leaves it open", "1G4AH59H4?G118341", 0, false},
		{"too short", "1G4AH5", 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if year, ok := VINYear(c.raw); year != c.year || ok != c.ok {
				t.Errorf("got %d, %v; want %d, %v", year, ok, c.year, c.ok)
			}
		})
	}
}
