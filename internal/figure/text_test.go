package figure

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/image/font/sfnt"
	"pgregory.net/rapid"
)

func wellFormed(t interface{ Fatalf(string, ...any) }, svg string) {
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatalf("%v in\n%.300s", err, svg)
		}
	}
}

func TestWidthsAreThoseOfTheTypeface(t *testing.T) {
	// From the hmtx tables of the files.
	for _, c := range []struct {
		face  Face
		text  string
		units float64
	}{{Regular, "n", 1168}, {Bold, "n", 1312}, {Mono, "n", 1233}, {Mono, "0Ωi ", 4 * 1233}, {Regular, "nn", 2 * 1168}} {
		if got := Width(c.face, UnitsPerEm, c.text); got < c.units-0.5 || got > c.units+0.5 {
			t.Errorf("face %d: %q is %v wide, want %v", c.face, c.text, got, c.units)
		}
	}
}

func TestAWidthIsTheSumOfItsCharacters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.StringMatching(`[ -~äßΩ≥]{0,20}`).Draw(t, "a"), rapid.StringMatching(`[ -~äßΩ≥]{0,20}`).Draw(t, "b")
		if got, want := Width(Regular, 3, a+b), Width(Regular, 3, a)+Width(Regular, 3, b); got < want-1e-6 || got > want+1e-6 {
			t.Fatalf("%v, want %v", got, want)
		}
	})
}

func TestWhatAFaceLacksIsShownByItsCodePoint(t *testing.T) {
	for text, want := range map[string]string{
		"wrench \U0001f527": "wrench [U+1F527]",
		"a\x01b":            "a[U+0001]b",
		"tab\there":         "tab[U+0009]here",
		"47\u00a0N·m":       "47 N·m",
		"5 \u2126":          "5 Ω",
		"plain":             "plain",
	} {
		if got := Spell(Regular, text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
	if l := Lacking(Regular, "\U0001f527 Ω \U0001f527\x01"); string(l) != "\U0001f527\x01" {
		t.Errorf("%q", l)
	}
}

func TestNoCharacterIsEverDropped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		shown := Spell(Regular, text)
		if utf8.RuneCountInString(shown) < utf8.RuneCountInString(text) {
			t.Fatalf("%q became %q", text, shown)
		}
		if l := Lacking(Regular, shown); len(l) > 0 {
			t.Fatalf("%q still lacks %q", shown, l)
		}
	})
}

func TestLinesFitAndLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-z]{1,25}[ \-/]?){0,25}`).Draw(t, "text")
		width := rapid.Float64Range(8, 90).Draw(t, "width")
		lines := Lines(Regular, 3, width, text)
		for _, l := range lines {
			if Width(Regular, 3, strings.TrimRight(l, " ")) > width+1e-6 {
				t.Fatalf("%q is wider than %v", l, width)
			}
		}
		without := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if got := without(strings.Join(lines, "")); got != without(text) {
			t.Fatalf("%q became %q", text, got)
		}
	})
}

func TestLinesBreakWhereAReaderWould(t *testing.T) {
	width := Width(Regular, 3, "the rear mount ")
	for text, want := range map[string]string{
		"the rear mount of the gearbox": "the rear mount |of the gearbox",
		"one\ntwo":                      "one|two",
		"":                              "",
		"two\n\nlines":                  "two||lines",
	} {
		if got := strings.Join(Lines(Regular, 3, width, text), "|"); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
	if got := Lines(Regular, 3, 0.5, "ab"); len(got) != 2 {
		t.Errorf("a column narrower than a letter gives %q", got)
	}
}

func TestAShortenedTextFitsAndSaysSo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-z ]{0,60}`).Draw(t, "text")
		width := rapid.Float64Range(5, 60).Draw(t, "width")
		got := Fit(Regular, 3, width, text)
		if Width(Regular, 3, got) > width {
			t.Fatalf("%q is wider than %v", got, width)
		}
		if got != text && !strings.HasSuffix(got, "…") {
			t.Fatalf("%q became %q without a sign", text, got)
		}
		if kept := len([]rune(got)) - 1; got != text && kept < len(text) && Width(Regular, 3, text[:kept+1]+"…") <= width && text[kept] != ' ' {
			t.Fatalf("%q became %q, and one more letter would fit", text, got)
		}
	})
}

func TestPointsAreSeventyTwoToTheInch(t *testing.T) {
	if Points(72) != 25.4 {
		t.Error(Points(72))
	}
}

func BenchmarkLines(b *testing.B) {
	text := strings.Repeat("the rear mount of the gearbox was taken out whole ", 40)
	for b.Loop() {
		Lines(Regular, 3, 120, text)
	}
}

func BenchmarkFitAndLinesOfAWordOf10000Letters(b *testing.B) {
	word := strings.Repeat("W", 10_000)
	for b.Loop() {
		Fit(Regular, 3, 60, word)
		Lines(Regular, 3, 60, word)
	}
}

func TestTheLicenceLiesBesideTheFaces(t *testing.T) {
	text, err := os.ReadFile("font/LICENSE")
	if err != nil {
		t.Fatal(err)
	}
	words := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	for _, face := range Faces() {
		var b sfnt.Buffer
		licence, err := face.load().font.Name(&b, sfnt.NameIDLicense)
		if err != nil || licence == "" {
			t.Fatalf("face %d names no licence, %v", face, err)
		}
		if !strings.Contains(words(string(text)), words(licence)) {
			t.Errorf("the licence that face %d names is not in font/LICENSE", face)
		}
	}
}

func TestAFractionStaysOnOneLine(t *testing.T) {
	for _, l := range Lines(Regular, 3, 14, "2 × 5/16 UNF left/right") {
		if strings.HasSuffix(l, "5/") || strings.HasPrefix(l, "16") {
			t.Errorf("%q", l)
		}
	}
	if got := pieces("left/right 3/8"); len(got) != 3 {
		t.Errorf("%q", got)
	}
}
