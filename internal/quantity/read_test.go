package quantity

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

func TestReadTakesWhatPeopleWrite(t *testing.T) {
	for _, c := range []struct {
		text  string
		hints Hints
		want  string
	}{
		{"47 Nm", Hints{Dimension: Torque}, "47 N.m"},
		{"47Nm", Hints{}, "47 N.m"},
		{"47 N·m", Hints{}, "47 N.m"},
		{"35 ft-lb", Hints{}, "35 lbf.ft"},
		{"35 lb.ft", Hints{}, "35 lbf.ft"},
		{"35 lbf ft", Hints{}, "35 lbf.ft"},
		{"35 lbft", Hints{}, "35 lbf.ft"},
		{"35 FT LBS", Hints{}, "35 lbf.ft"},
		{"35 ft. lbs.", Hints{}, "35 lbf.ft"},
		{"35 lb/ft", Hints{}, "35 lbf.ft"},
		{"28 p.s.i.", Hints{}, "28 psi"},
		{"45 Amp-hours", Hints{}, "45 Ah"},
		{"5 ft. 3 in.", Hints{}, "5 ft 3 in"},
		{"90 in-lb", Hints{}, "90 lbf.in"},
		{"6 mkg", Hints{}, "6 kgf.m"},
		{"6 kg.m", Hints{Dimension: MassMoment}, "6 kg.m"},
		{"186 kg", Hints{Dimension: Force}, "186 kgf"},
		{"186 kg", Hints{Dimension: Mass}, "186 kg"},
		{"412 kgs", Hints{Dimension: Mass}, "412 kg"},
		{"35 lbs", Hints{Dimension: Mass}, "35 lb"},
		{"32 PSI", Hints{}, "32 psi"},
		{"2,2 bar", Hints{DecimalComma: true}, "2.2 bar"},
		{"8,3kgs", Hints{Dimension: Mass}, "8.3 kg"},
		{"0,5 mm", Hints{}, "0.5 mm"},
		{"0,500 mm", Hints{DecimalComma: true}, "0.500 mm"},
		{"1.234,5 kg", Hints{DecimalComma: true}, "1234.5 kg"},
		{"1,234.5 kg", Hints{}, "1234.5 kg"},
		{"1.234.567 km", Hints{DecimalComma: true}, "1234567 km"},
		{"1.234 kg", Hints{DecimalComma: true}, "1.234 kg"},
		{"1 020 kg", Hints{}, "1020 kg"},
		{"1\u202f020.5 kg", Hints{}, "1020.5 kg"},
		{"+3 mm", Hints{}, "3 mm"},
		{"3. mm", Hints{}, "3 mm"},
		{"\u22123 mm", Hints{}, "-3 mm"},
		{".5 mm", Hints{}, "0.5 mm"},
		{"½ in", Hints{}, "1/2 in"},
		{"1¾\"", Hints{Dimension: Length}, "1 3/4 in"},
		{"1-3/4 in", Hints{}, "1 3/4 in"},
		{"5' 3\"", Hints{Dimension: Length}, "5 ft 3 in"},
		{"0° 18'", Hints{Dimension: Angle}, "0°18′"},
		{"0.3 deg", Hints{}, "0.3°"},
		{"23°C", Hints{}, "23 °C"},
		{"5 °C", Hints{Dimension: TemperatureDifference}, "5 K"},
		{"> 550 Mohm", Hints{}, ">550 MΩ"},
		{">= 550 Meg", Hints{}, "≥550 MΩ"},
		{"over 550 MΩ", Hints{}, ">550 MΩ"},
		{"less than 0.1 ohm", Hints{}, "<0.1 Ω"},
		{"2.1 M", Hints{Dimension: Resistance}, "2.1 MΩ"},
		{"2.1 uohm", Hints{}, "2.1 µΩ"},
		{"500 ohm/V", Hints{}, "500 Ω/V"},
		{"OL", Hints{Dimension: Resistance}, "over-range"},
		{"∞", Hints{}, "over-range"},
		{"412.5 +/- 1 kg", Hints{}, "412.5 ±1 kg"},
		{"412.5 kg ± 1 kg", Hints{}, "412.5 ±1 kg"},
		{"412.5 kg ±1", Hints{}, "412.5 ±1 kg"},
		{"47 Nm +/- 4%", Hints{}, "47 N.m ±4 %"},
		{"47 ±4% Nm", Hints{}, "47 N.m ±4 %"},
		{"412.5 ±1 kg k=3", Hints{}, "412.5 ±1 kg (k=3)"},
		{"412.5 ±1 kg, k = 1.96", Hints{}, "412.5 ±1 kg (k=1.96)"},
		{"80 ± 2%", Hints{}, "80 ±2 %"},
		{"102 bhp", Hints{}, "102 hp"},
		{"90 ch", Hints{}, "90 PS"},
		{"5 gal", Hints{Country: "GB"}, "5 gal (UK)"},
		{"5 gal", Hints{Country: "US"}, "5 gal (US)"},
		{"5 US gallons", Hints{}, "5 gal (US)"},
		{"5 gallons (UK)", Hints{}, "5 gal (UK)"},
		{"2 pints (uk)", Hints{}, "2 pt (UK)"},
		{"2 ton", Hints{Country: "DE"}, "2 t"},
		{"2 ton", Hints{Country: "US"}, "2 ton (US)"},
		{"2 long tons", Hints{}, "2 ton (UK)"},
		{"17 CWT 2 QR 14 LB", Hints{Country: "GB"}, "17 cwt 2 qr 14 lb (UK)"},
		{"17 cwt 2 qr 14 lb UK", Hints{}, "17 cwt 2 qr 14 lb (UK)"},
		{"11 stone 3 lbs", Hints{Dimension: Mass}, "11 st 3 lb"},
		{"38 miles", Hints{}, "38 mi"},
		{"14.2 kWh/100km", Hints{}, "14.2 kWh/100 km"},
		{"25 mm2", Hints{}, "25 mm²"},
		{"3500 rpm", Hints{}, "3500 r/min"},
		{"4 pcs", Hints{Dimension: Count}, "4"},
		{"0.5 g", Hints{Dimension: Acceleration}, "0.5 gn"},
		{"0.5 g", Hints{Dimension: Mass}, "0.5 g"},
	} {
		r, err := Read(c.text, c.hints)
		if err != nil || r.Quantity.Canonical() != c.want || r.Quantity.Text() != c.text {
			t.Errorf("Read(%q) = %q kept as %q, %v; want %q", c.text, r.Quantity.Canonical(), r.Quantity.Text(), err, c.want)
		}
	}
}

func TestAmbiguousTextsAskInWords(t *testing.T) {
	for _, c := range []struct {
		text  string
		hints Hints
		want  []string // canonical readings
		words string
	}{
		{"1,234 kg", Hints{}, []string{"1.234 kg", "1234 kg"}, "decimal comma"},
		{"1,234 kg", Hints{DecimalComma: true}, []string{"1.234 kg", "1234 kg"}, "separates thousands"},
		{"1,234,567 km", Hints{}, []string{"1234567 km", "1234.567 km"}, "separate thousands"},
		{"-1,234 mm", Hints{}, []string{"-1.234 mm", "-1234 mm"}, "decimal comma"},
		{"10 ±1,234 kg", Hints{}, []string{"10 ±1.234 kg", "10 ±1234 kg"}, "decimal comma"},
		{"2 tons", Hints{}, []string{"2 t", "2 ton (UK)", "2 ton (US)"}, "2032 kg"},
		{"17 cwt", Hints{}, []string{"17 cwt (UK)", "17 cwt (US)"}, "British hundredweight of 112 lb"},
		{"5 gal", Hints{}, []string{"5 gal (UK)", "5 gal (US)"}, "4.54609"},
		{"30 mpg", Hints{}, []string{"30 mpg (UK)", "30 mpg (US)"}, "British"},
		{"1.2 m", Hints{Dimension: Resistance}, []string{"1.2 mΩ", "1.2 MΩ"}, "a million ohms"},
		{"1.2 mΩ", Hints{Usual: "MΩ"}, []string{"1.2 mΩ", "1.2 MΩ"}, "10^9"},
		{">1.2 mΩ", Hints{Usual: "MΩ"}, []string{">1.2 mΩ", ">1.2 MΩ"}, "10^9"},
		{"1.2 mohm", Hints{Usual: "MΩ"}, []string{"1.2 mΩ", "1.2 MΩ"}, "10^9"},
		{"5'", Hints{}, []string{"5′", "5 ft"}, "minute of angle"},
	} {
		a := mustAmbiguous(t, c.text, c.hints)
		var got []string
		for _, r := range a.Candidates {
			got = append(got, r.Quantity.Canonical())
			if r.Quantity.Text() != c.text {
				t.Errorf("%q is kept as %q", c.text, r.Quantity.Text())
			}
			if _, err := Parse(r.Quantity.Canonical()); err != nil {
				t.Errorf("the answer %q can't be recorded: %v", r.Quantity.Canonical(), err)
			}
		}
		if strings.Join(got, "|") != strings.Join(c.want, "|") || !strings.Contains(a.Error(), c.words) {
			t.Errorf("%q: %v, want %v with %q", c.text, a, c.want, c.words)
		}
	}
}

func TestReadErrorsSayWhatWouldBeRight(t *testing.T) {
	for _, c := range []struct {
		text  string
		hints Hints
		want  string
	}{
		{"", Hints{}, "nothing is written"},
		{"  ", Hints{}, "nothing is written"},
		{"1.234.567 km", Hints{}, `write "1234567"`},
		{"12,34,567 km", Hints{}, "three digits"},
		{"12, km", Hints{}, "ends with a comma"},
		{"., km", Hints{}, "a number is wanted"},
		{"10-12 mm", Hints{}, "a range is not one quantity"},
		{"12 ± km", Hints{}, "wanted after ±"},
		{"12 km ±", Hints{}, "wanted after ±"},
		{"12 km ± 5 % 3", Hints{}, "uncertainty is in"},
		{"1.234,5.6 km", Hints{DecimalComma: true}, "mixes"},
		{"2.5", Hints{Dimension: Angle}, "has no unit; angle needs"},
		{"47 foo", Hints{Dimension: Torque}, "usual are N.m, lbf.ft, lbf.in or kgf.m"},
		{"47 foo", Hints{}, "no unit is written"},
		{"1.2 mW", Hints{Dimension: Power}, "no unit of power"},
		{"2.1 M", Hints{}, "no unit is written"},
		{"about 47 Nm", Hints{}, "a number is wanted"},
		{"47 ±4 % ±3 % Nm", Hints{}, "can't be read"},
		{"47 Nm ±1 lb", Hints{}, "uncertainty is in"},
		{"47 ±1 Nm ±1", Hints{}, "two uncertainties"},
		{"5 ft 14 in", Hints{}, "not a part of one ft"},
		{"-300 °C", Hints{}, "absolute zero"},
		{"47 \xff", Hints{}, "UTF-8"},
		{strings.Repeat("4", 200), Hints{}, "longer"},
		{"1,234 tons ±1,234", Hints{}, "too many ways"},
		{strings.Repeat("1,234 kg ", 15), Hints{}, "too many ways"},
		{"17 cwt 2 qr (US)", Hints{Dimension: Torque}, "wanted"},
	} {
		r, err := Read(c.text, c.hints)
		if err == nil || !strings.Contains(err.Error(), c.want) || !r.Quantity.IsZero() {
			t.Errorf("Read(%q) = %q, %v; want an error with %q", clip(c.text), r.Quantity, err, c.want)
		}
	}
}

func TestReadOfAnotherDimensionIsAMismatch(t *testing.T) {
	for _, text := range []string{"47 J", "47 kg", "47 joule N", "12 V"} {
		_, err := Read(text, Hints{Dimension: Torque})
		var m *Mismatch
		if text == "47 joule N" {
			if err == nil {
				t.Errorf("%q is read as a torque", text)
			}
			continue
		}
		if !errors.As(err, &m) || m.Want != Torque {
			t.Errorf("Read(%q) as a torque: %v", text, err)
		}
	}
}

func TestNothingIsRepairedSilently(t *testing.T) {
	for _, c := range []struct {
		text  string
		hints Hints
		kind  NoteKind
	}{
		{"47 Nm", Hints{}, NoteSpelling},
		{"35 ft-lb", Hints{}, NoteSpelling},
		{"6 mkg", Hints{}, NoteOldUnit},
		{"2.1 M\u2126", Hints{}, NoteSign},
		{"2.1 \u03bcF", Hints{}, NoteSign},
		{"1 020 kg", Hints{}, NoteNumber},
		{"2,2 bar", Hints{DecimalComma: true}, NoteNumber},
		{"1.234 kg", Hints{DecimalComma: true}, NoteNumber},
		{".5 mm", Hints{}, NoteNumber},
		{"+3 mm", Hints{}, NoteNumber},
		{"over-range", Hints{}, NoteRange},
		{"OL", Hints{}, NoteSpelling},
		{"over 5 mm", Hints{}, NoteSpelling},
		{"5 gal", Hints{Country: "GB"}, NoteSpelling},
		{"17 cwt 2 qr 14 lb", Hints{Country: "GB"}, NoteSpelling},
		{"4 pcs", Hints{}, NoteSpelling},
	} {
		found := false
		r := mustRead(t, c.text, c.hints)
		for _, n := range r.Notes {
			found = found || n.Kind == c.kind && n.Text != ""
		}
		if !found {
			t.Errorf("%q became %q with the notes %v, none of them a %s", c.text, r.Quantity.Canonical(), r.Notes, c.kind)
		}
	}
	if r := mustRead(t, "1.2345 kg", Hints{DecimalComma: true}); len(r.Notes) != 0 {
		t.Errorf("a point that can't group is noted: %v", r.Notes)
	}
}

func TestReadOfCanonicalTextIsIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := drawText(t)
		want, err := Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range []Hints{{}, {Dimension: want.Dimension()}, {Usual: want.Unit()}} {
			r, err := Read(text, h)
			if err != nil || !r.Quantity.Equal(want) || r.Quantity.Canonical() != text || len(r.Notes) != 0 {
				t.Fatalf("Read(%q, %+v) = %q, %v, %v", text, h, r.Quantity.Canonical(), r.Notes, err)
			}
		}
	})
}

// drawText draws a canonical quantity.
func drawText(t *rapid.T) string {
	u := unitTable[rapid.IntRange(0, len(unitTable)-1).Draw(t, "unit")]
	number := rapid.StringMatching(`[0-9]{1,6}(\.[0-9]{1,4})?`).Draw(t, "number")
	sign := ""
	if u.Dimension != Temperature {
		sign = rapid.SampledFrom([]string{"", "", "-"}).Draw(t, "sign")
	}
	space := " "
	if u.Symbol == "" || isTight(u.Symbol) {
		space = ""
	}
	switch rapid.IntRange(0, 4).Draw(t, "form") {
	case 0:
		sign = rapid.SampledFrom([]string{">", "≥", "<", "≤"}).Draw(t, "bound") + sign
	case 1:
		return sign + number + " ±" + rapid.StringMatching(`[0-9]{1,3}(\.[0-9]{1,2})?`).Draw(t, "plusMinus") + space + u.Symbol
	case 2:
		if u.Dimension != Ratio && u.Dimension != Temperature {
			return sign + number + space + u.Symbol + " ±" + rapid.StringMatching(`[0-9]{1,2}`).Draw(t, "percent") + " %"
		}
	}
	return sign + number + space + u.Symbol
}

func TestNaughtyStringsNeitherPanicNorPass(t *testing.T) {
	root := os.Getenv("BOLTBACK_CONFORMANCE")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "facts", "conformance")
	}
	data, err := os.ReadFile(filepath.Join(root, "naughty-strings", "blns.json"))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("the naughty strings are required here: BOLTBACK_CONFORMANCE names the folder of the suites:", err)
		}
		t.Skip("the naughty strings are not here; this test passes without having looked at them")
	}
	var naughty []string
	if err := json.Unmarshal(data, &naughty); err != nil || len(naughty) < 400 {
		t.Fatalf("%d strings, %v", len(naughty), err)
	}
	for _, s := range naughty {
		if r, err := Read(s, Hints{Dimension: Torque}); err == nil && r.Quantity.Dimension() != Unknown {
			t.Errorf("%q is read as the torque %s", s, r.Quantity)
		}
		if q, err := Parse(s); err == nil && q.Canonical() != s {
			t.Errorf("%q is parsed as %s", s, q)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"47 Nm", "1,234 kg", "17 cwt 2 qr 14 lb", "> 550 MÎ©", "0° 18'", "5' 3\"", "1 020 kg", "½ in", "412.5 ±1 kg k=3", "47 ±4% Nm", "OL", "2 tons", "1.234,5 kg", "''", "±", "(k="} {
		f.Add(s, "torque", "MΩ", "GB", true)
		f.Add(s, "", "", "", false)
		f.Add(s, "mass", "kg", "US", false)
	}
	f.Fuzz(func(t *testing.T, text, dimension, usual, country string, comma bool) {
		d, _ := DimensionNamed(dimension)
		r, err := Read(text, Hints{Dimension: d, Usual: usual, Country: country, DecimalComma: comma})
		var a *Ambiguous
		switch {
		case errors.As(err, &a):
			for _, c := range a.Candidates {
				if q, err := Parse(c.Quantity.Canonical()); err != nil || !q.Equal(c.Quantity) {
					t.Fatalf("%q has the reading %q, which is %v, %v", text, c.Quantity.Canonical(), q, err)
				}
			}
		case err != nil:
			if !r.Quantity.IsZero() {
				t.Fatalf("%q gives both a quantity and %v", text, err)
			}
		default:
			q, err := Parse(r.Quantity.Canonical())
			if err != nil || !q.Equal(r.Quantity) || r.Quantity.Text() != text {
				t.Fatalf("%q is read as %q and kept as %q: %v", text, r.Quantity.Canonical(), r.Quantity.Text(), err)
			}
			if d != Unknown && q.Dimension() != Unknown && q.Dimension() != d {
				t.Fatalf("%q is read as %s, a %s, not a %s", text, q, q.Dimension(), d)
			}
			if text != q.Canonical() && len(r.Notes) == 0 && !onlySpaces(text, q.Canonical()) {
				t.Fatalf("%q became %q without a note", text, q.Canonical())
			}
		}
	})
}

// onlySpaces reports whether two texts hold the same signs but for spaces and
// punctuation between terms; an uncertainty may have moved and is passed over.
func onlySpaces(a, b string) bool {
	signs := func(s string) string {
		runes := []rune(strings.Map(func(r rune) rune {
			if unicode.IsSpace(r) || strings.ContainsRune(",;()=", r) {
				return -1
			}
			return r
		}, s))
		slices.Sort(runes)
		return string(runes)
	}
	return signs(a) == signs(b) || strings.Contains(b, "±")
}
