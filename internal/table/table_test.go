package table

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"
)

// known are the headers of these tests.
func known(words string) bool {
	return slices.Contains([]string{"tag", "part", "mass", "torque", "date", "note"}, strings.ToLower(words))
}

func read(t *testing.T, text string) *Table {
	t.Helper()
	got, err := Read([]byte(text), known)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// inShort writes a table on one line.
func inShort(t *Table) string {
	var words []string
	for _, c := range t.Header {
		words = append(words, c.Name+"["+c.Unit+"]")
	}
	for _, r := range t.Rows {
		words = append(words, fmt.Sprintf("%d:%s", r.Line, strings.Join(r.Cells, "|")))
	}
	return strings.Join(words, " ")
}

func TestC69_ATableIsReadHoweverItIsWritten(t *testing.T) {
	const want = "Tag[] Part[] Mass[kg] 2:0147|Fuel tank|8.3 3:0148|Horn|0.4"
	utf16le := []byte{0xff, 0xfe}
	for _, u := range utf16.Encode([]rune("Tag\tPart\tMass (kg)\r\n0147\tFuel tank\t8.3\r\n0148\tHorn\t0.4\r\n")) {
		utf16le = append(utf16le, byte(u), byte(u>>8))
	}
	for _, tc := range []struct{ name, text, dialect string }{
		{"commas", "Tag,Part,Mass (kg)\n0147,Fuel tank,8.3\n0148,Horn,0.4\n", "UTF-8, cells parted by commas, decimal points"},
		{"semicolons, as where the comma is in numbers", "Tag;Part;Mass [kg]\n0147;Fuel tank;8.3\n0148;Horn;0.4", "UTF-8, cells parted by semicolons, decimal points"},
		{"tabs", "Tag\tPart\tMass in kg\n0147\tFuel tank\t8.3\n0148\tHorn\t0.4\n", "UTF-8, cells parted by tabs, decimal points"},
		{"bars", "Tag|Part|Mass / kg\n0147|Fuel tank|8.3\n0148|Horn|0.4\n", "UTF-8, cells parted by bars, decimal points"},
		{"a byte-order mark", "\xef\xbb\xbfTag,Part,Mass (kg)\n0147,Fuel tank,8.3\n0148,Horn,0.4\n", "UTF-8 with a byte-order mark, cells parted by commas, decimal points"},
		{"UTF-16 as spreadsheets save it", string(utf16le), "UTF-16 with a byte-order mark, cells parted by tabs, decimal points"},
		{"old line ends", "Tag,Part,Mass (kg)\r0147,Fuel tank,8.3\r0148,Horn,0.4\r", "UTF-8, cells parted by commas, decimal points"},
		{"quotation marks", "\"Tag\",\"Part\",\"Mass (kg)\"\n\"0147\",\"Fuel tank\",\"8.3\"\n\"0148\",\"Horn\",\"0.4\"\n", "UTF-8, cells parted by commas, decimal points"},
		{"columns that say nothing", "Tag,Part,Mass (kg),,\n0147,Fuel tank,8.3,,\n0148,Horn,0.4,,\n", "UTF-8, cells parted by commas, decimal points"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := read(t, tc.text)
			if inShort(got) != want || got.Dialect.String() != tc.dialect {
				t.Errorf("%s\n%s", got.Dialect, inShort(got))
			}
		})
	}
}

func TestC69_PreambleUnitsAndARepeatedHeaderAreLeftOutAndSaid(t *testing.T) {
	got := read(t, "sep=;\nStrip-down of the Tern;;\n\nTag;Part;Mass\n;;kg\n0147;Fuel tank;8,3\n\nTag;Part;Mass\n0148;Horn;0,4;on the left\n")
	if want := "Tag[] Part[] Mass[kg] 6:0147|Fuel tank|8,3 9:0148|Horn|0,4|on the left"; inShort(got) != want {
		t.Errorf("got %s\nwant %s", inShort(got), want)
	}
	if want := "[{2 it stands before the header} {5 it is a row of units} {8 it is the header again}]"; fmt.Sprint(got.Skipped) != want {
		t.Errorf("got %v", got.Skipped)
	}
	if !got.Dialect.DecimalComma || got.Dialect.DecimalPoint {
		t.Errorf("%s", got.Dialect)
	}
}

func TestC69_ANumberThatReadsTwoWaysIsDoubtfulUntilOthersSettleIt(t *testing.T) {
	for _, tc := range []struct {
		others, cell string
		doubtful     bool
	}{
		{"", "1,234", true}, {"", "1.234", true}, {"8,3", "1,234", false}, {"8,3", "1.234", true}, {"8.3", "1.234", false}, {"8.3", "1,234", true},
		{"8.3|8,3", "1,234", true}, {"", "12,5", false}, {"", "1234", false}, {"", "1,234 kg", true}, {"", "1,2345", false}, {"2,125", "1,234", true},
	} {
		var rows []Row
		for cell := range strings.SplitSeq(tc.others, "|") {
			rows = append(rows, Row{1, []string{cell}})
		}
		var d Dialect
		d.decimals(rows)
		if got := d.Doubtful(tc.cell); got != tc.doubtful {
			t.Errorf("beside %q, %q is doubtful: %v", tc.others, tc.cell, got)
		}
	}
}

func TestOldTextIsReadAsWindows1252AndSaid(t *testing.T) {
	got := read(t, "Tag,Part,Mass (kg)\n0147,K\xfchler,8.3\n")
	if got.Dialect.Encoding != "Windows-1252" || got.Rows[0].Cells[1] != "Kühler" {
		t.Errorf("%s %q", got.Dialect, got.Rows[0].Cells)
	}
}

func TestFilesThatAreNoTableAreRefusedWithTheWayOut(t *testing.T) {
	for _, tc := range []struct{ name, text, message, hint string }{
		{"a workbook", "PK\x03\x04 and so on", "workbook", "save the sheet as CSV"},
		{"bytes that are no text", "Tag,Part\n\x00\x01,2\n", "no text", "CSV (UTF-8)"},
		{"nothing", "", "no row of this file names its columns", "first row"},
		{"no header", "1,2,3\n4,5,6\n", "no row of this file names its columns", "tag, part, mass"},
		{"an open quotation mark", "Tag,Part\n0147,\"Fuel tank\n0148,Horn\n", "line 2: a quotation mark is open", `"like ""this"""`},
		{"two columns of one name", "Tag,Part,part\n1,2,3\n", `two columns are called "part"`, "name them apart"},
		{"UTF-8 that is none", "\xef\xbb\xbfTag,Part\n\xff,2\n", "says that it is UTF-8", "once more"},
		{"half of a UTF-16 character", "\xff\xfeT", "says that it is UTF-16", "UTF-8"},
		{"an odd separator", "sep=x\nTagxPart\n", "cells cannot be parted by 'x'", "semicolons"},
		{"a cell without end", "Tag,Part\n0147," + strings.Repeat("a", 5000), "more than 4000 bytes", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := Read([]byte(tc.text), known)
			var fault *Fault
			if !errors.As(err, &fault) || !strings.Contains(fault.Error(), tc.message) || !strings.Contains(fault.Hint, tc.hint) {
				t.Errorf("got %v", err)
			}
		})
	}
}

func TestBracketsThatHoldNoUnitBelongToTheName(t *testing.T) {
	for cell, want := range map[string]string{"Mass (kg)": "Mass|kg", "Torque [N·m]": "Torque|N·m", "Part (as found)": "Part (as found)|", "Insulation / MΩ": "Insulation|MΩ", "Where in car": "Where in car|",
		"crate/shelf": "crate/shelf|", "Reading in mΩ": "Reading|mΩ", "  Tag \u00a0no ": "Tag no|"} {
		name, unit := nameAndUnit(cell)
		if got := name + "|" + unit; got != want {
			t.Errorf("%q is %q, want %q", cell, got, want)
		}
	}
}

func TestFormulasAreTextAndNumbersWithSignsAreNone(t *testing.T) {
	for cell, want := range map[string]bool{"=A1+1": true, "@SUM(A1)": true, "+A1": true, "-cmd": true, "-1.5": false, "+3": false, "-,5": false, "-": false, "a=b": false, "": false} {
		if Formula(cell) != want {
			t.Errorf("%q is a formula: %v", cell, !want)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, text := range []string{"Tag,Part\n0147,Fuel tank\n", "sep=;\nTag;Mass\n;kg\n1;2,5\n", "\xef\xbb\xbfTag\tPart\n", "\xff\xfeT\x00", "Tag,\"Pa\nrt\"\n\"", "Tag|Part\n=1|2\n\nTag|Part\n"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		got, err := Read(text, known)
		if err != nil {
			return
		}
		for _, r := range got.Rows {
			if len(r.Cells) < len(got.Header) {
				t.Errorf("line %d has fewer cells than the header", r.Line)
			}
			for _, c := range r.Cells {
				got.Dialect.Doubtful(c)
			}
		}
	})
}
