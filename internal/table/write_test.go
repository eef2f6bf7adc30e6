package table

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNoCellOpensAFormulaHoweverASpreadsheetPartsIt(t *testing.T) {
	for _, hostile := range []string{
		"=1+1", "+1+cmd|' /C calc'!A0", "-2+3+cmd|' /C calc'!A0", "@SUM(A1:A9)", "\t=1+1", "\r=1+1", " =1+1", "\ufeff=1+1", "\u200b=1+1", "\u00a0@A1",
		"＝1+1", "＋1", "－1+A1", "＠A1", "−1+A1", "horn;=1+1", "horn\n=1+1", "horn\r\n@A1", "horn\t+A1", "horn|=A1", "'=1+1", "''=1+1", "=HYPERLINK(\"http://x.invalid\",\"tag\")",
	} {
		cell := Neutral(hostile)
		if cell == hostile {
			t.Errorf("%q goes out as it stands", hostile)
		}
		for _, part := range strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(";\t\r\n|", r) }) {
			if Formula(strings.Trim(part, " \u00a0\ufeff\u200b")) {
				t.Errorf("%q became %q, in which %q is a formula", hostile, cell, part)
			}
		}
		if back, marks := Marked(cell); back != hostile || !marks {
			t.Errorf("%q became %q and came back as %q", hostile, cell, back)
		}
	}
}

func TestAMeasureKeepsItsSignAndATextStaysAsItIs(t *testing.T) {
	for _, harmless := range []string{"-5 mm", "-0.3 kg", "-12.5", "-", "+", "8.3 ±0.1 kg", "M8-1.25", "a = b", "0147", "don't", "'quoted'", ""} {
		if cell := Neutral(harmless); cell != harmless {
			t.Errorf("%q became %q", harmless, cell)
		}
		if cell, marks := Marked(harmless); marks || cell != harmless {
			t.Errorf("%q was read as %q", harmless, cell)
		}
	}
}

func TestWhatIsWrittenIsReadBackToTheCharacter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringOf(rapid.SampledFrom([]rune("'=+-@;|\t\n ,\"a1.＝−\u200b\ufeff"))).Draw(t, "cell")
		var file bytes.Buffer
		changed, err := Write(&file, []string{"note", "last"}, [][]string{{cell, "x"}})
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&file).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		back, _ := Marked(rows[1][0])
		if back != cell {
			t.Fatalf("%q came back as %q", cell, back)
		}
		if said := slices.Contains(changed, Spot{1, "note"}); said != (rows[1][0] != cell) {
			t.Fatalf("%q was written as %q, and said so: %v", cell, rows[1][0], said)
		}
	})
}

func TestNoCellSteersATerminal(t *testing.T) {
	var file bytes.Buffer
	changed, err := Write(&file, []string{"name"}, [][]string{{"horn\x1b[2J\u009b1m"}, {"abc\u202edef"}, {"two\nlines"}})
	if err != nil || len(changed) != 2 {
		t.Fatalf("changed %v, %v", changed, err)
	}
	if strings.ContainsAny(file.String(), "\x1b\u009b\u202e") || !strings.Contains(file.String(), "two\r\nlines") {
		t.Errorf("%q", file.String())
	}
}

func TestAnApostropheThatMarksTextIsTakenOffAndSaid(t *testing.T) {
	tab, err := Read([]byte("part,note\r\nHorn,'=A1\r\n"), func(w string) bool { return w == "part" || w == "note" })
	if err != nil {
		t.Fatal(err)
	}
	if tab.Rows[0].Cells[1] != "=A1" || len(tab.Notes) != 1 || !strings.Contains(tab.Notes[0], "line 2") {
		t.Errorf("%q, %q", tab.Rows[0].Cells, tab.Notes)
	}
}
