package identity

import "testing"

func TestDamageKnowsTheShapesOfSpreadsheets(t *testing.T) {
	for _, c := range []struct {
		name, raw, kind string
		certain         bool
	}{
		{"plus sign in the exponent", "1E+10432", "scientific form", true},
		{"point and plus sign", "1.0E+10433", "scientific form", true},
		{"comma for point", "2,2E+02", "scientific form", true},
		{"small letter", "2.2e+02", "scientific form", true},
		{"point and no sign", "1.5E10", "scientific form", true},
		{"negative exponent with point", "5.00E-03", "scientific form", true},
		{"spaces about it", " 1E+10 ", "scientific form", true},
		{"series, dash, serial could be meant", "1E-10432", "scientific form", false},
		{"commas between thousands", "10,432", "thousands separators", true},
		{"commas twice", "1,043,200", "thousands separators", true},
		{"commas in the Indian manner", "1,04,32,000", "thousands separators", true},
		{"apostrophes between thousands", "1'043'200", "thousands separators", true},
		{"dots twice could be groups", "1.043.200", "thousands separators", false},
		{"trailing point zero", "10432.0", "decimal places", true},
		{"trailing comma zero zero", "10432,00", "decimal places", true},
		{"sixteen digits and a zero", "1130431201234500", "digits cut off", false},
		{"date with time", "1964-03-12 00:00:00", "turned into a date", true},
		{"month by name", "12-Mar", "turned into a date", false},
		{"month and year", "Mar-64", "turned into a date", false},
		{"hash marks", "#####", "error value", true},
		{"an error", "#N/A", "error value", true},
		{"lost characters", "12\ufffd34", "characters lost", true},
		{"bytes that are no text", "12\xff34", "characters lost", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Damage(c.raw)
			if len(got) != 1 || got[0].Kind != c.kind || got[0].Certain != c.certain {
				t.Errorf("Damage(%q) = %+v", c.raw, got)
			}
			if _, refused := Refused(c.raw); refused != c.certain {
				t.Errorf("refused is %v", refused)
			}
		})
	}
}

func TestNumbersAsStampedAreNotDamaged(t *testing.T) {
	for _, raw := range []string{"*1E 10432 BW*", "1E10432", "22E1", "0034567", "113.043", "113043-12-012345", "113.043-12-012345",
		"AN5L/17482", "AN?6L/1?482", "KLB 471F", "1G4AH59H45G118341", "12 345 678", "MAR 10432", "100", "#12", ""} {
		if got := Damage(raw); got != nil {
			t.Errorf("%q: %+v", raw, got)
		}
	}
}

func TestFragileNumbersWouldSufferInASpreadsheet(t *testing.T) {
	for raw, want := range map[string]bool{"1E10432": true, "22e1": true, "0034567": true, "1234567890123456": true,
		"34567": false, "1E": false, "E10": false, "1E1E1": false, "1E 10": false, "0": false, "A012": false, "": false} {
		if got := Fragile(raw); got != want {
			t.Errorf("Fragile(%q) = %v", raw, got)
		}
	}
}

func TestSpreadsheetExplanations(t *testing.T) {
	for _, c := range []struct {
		name, got, from string
		explained       bool
	}{
		{"22E1 becomes 220", "220", "22E1", true},
		{"an exponent of nought leaves the digits", "22", "22E0", true},
		{"leading zeros go", "34567", "0034567", true},
		{"trailing zeros do not", "345", "34500", false},
		{"leading zeros never come", "0034567", "34567", false},
		{"nought stays nought", "0", "000", true},
		{"the same number needs no explanation", "345", "345", false},
		{"another value", "221", "22E1", false},
		{"letters are no value", "22E1", "220", false},
		{"an exponent of thousands has no digits", "1", "1E10432", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := spreadsheetMadeOf(c.got, c.from); (got != "") != c.explained {
				t.Errorf("got %q", got)
			}
		})
	}
}

func TestOnlyDigitsComeUnderSuspicionInATable(t *testing.T) {
	for raw, want := range map[string]bool{"220": true, " 34567 ": true, "1E10432": false, "": false, "12-34": false} {
		if got := TableSuspicion(raw) != ""; got != want {
			t.Errorf("%q: %v", raw, got)
		}
	}
}
