package steps

import (
	"fmt"
	"testing"
)

func TestFastenersAreReadInTheOrderPeopleCountThem(t *testing.T) {
	for words, want := range map[string]string{
		"4x M8":                "4 M8 ",
		"4m8":                  "4 M8 ",
		"4 off M8":             "4 M8 ",
		"4-off M6 bolts":       "4 M6 bolt",
		"4No M6":               "4 M6 ",
		"6 screws":             "6  screw",
		"4 bolts M6":           "4 M6 bolt",
		"4 bolts 5/16 UNF":     "4 5/16 UNF bolt",
		"four bolts":           "4  bolt",
		"a pair of split pins": "2  split pin",
		"2 jubilee clips":      "2  jubilee clip",
		"12 poppers":           "12  popper",
		"3 circlips":           "3  circlip",
		"M5 screws x6":         "6 M5 screw",
		`3/8" bolts x2`:        `2 3/8" bolt`,
		"2x M10 x 1.25 x 35":   "2 M10 x 1.25 x 35 ",
		"2x 3/8 x 1 1/4 UNF":   "2 3/8 x 1 1/4 UNF ",
		"8x rusty M10 x 40":    "8 rusty M10 x 40 ",
		"M6 x 40":              "",
		"a sheared stud":       "",
		"bolts rusted":         "",
		"4 bolts rusted solid": "",
		"8.3 kg":               "",
		"0x M8":                "",
		"loft crate 3":         "",
		"one seat":             "",
		"2 seats":              "",
	} {
		f, ok := Fasteners(words)
		if got := fmt.Sprintf("%d %s %s", f.Count, f.Size, f.What); ok && got != want || !ok && want != "" {
			t.Errorf("%s: got %q, %v, want %q", words, got, ok, want)
		}
	}
}

func TestATorqueBehindAFastenerIsNoPartOfItsSize(t *testing.T) {
	for line, want := range map[string]string{
		"on lamp, 8x m10 35 ft-lb":          "fitting of parts/lamp (new); 8 × M10; joint joints/lamp (new); set 35 lbf.ft",
		"on lamp, 2x M10 x 1.25 x 35 47 Nm": "fitting of parts/lamp (new); 2 × M10 x 1.25 x 35; joint joints/lamp (new); set 47 N.m",
		"on lamp, 2x M10 x 35":              "fitting of parts/lamp (new); 2 × M10 x 35; joint joints/lamp (new)",
	} {
		if told, err := New(bench(t)).Tell(line); err != nil || told.Says != want {
			t.Errorf("%s: %v\ngot  %s\nwant %s", line, err, told.Says, want)
		}
	}
}
