package quantity

import (
	"errors"
	"strings"
	"testing"
)

func TestParseTakesCanonicalText(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		dimension  Dimension
		value      string
		bound      Bound
	}{
		{"47 N.m", "N.m", Torque, "47", Point},
		{"19.990 mm", "mm", Length, "1999/100", Point},
		{"-3.5 mm", "mm", Length, "-7/2", Point},
		{"03118 km", "km", Length, "3118", Point},
		{"412.5 ±1 kg", "kg", Mass, "825/2", Point},
		{"47 N.m ±4 %", "N.m", Torque, "47", Point},
		{"412.5 ±1 kg (k=1)", "kg", Mass, "825/2", Point},
		{"80 ±2 %", "%", Ratio, "80", Point},
		{">550 MΩ", "MΩ", Resistance, "550", Above},
		{"≥550 MΩ", "MΩ", Resistance, "550", AtOrAbove},
		{"<0.1 Ω", "Ω", Resistance, "1/10", Below},
		{"≤0.1 Ω", "Ω", Resistance, "1/10", AtOrBelow},
		{"17 cwt 2 qr 14 lb (UK)", "lb", Mass, "1974", Point},
		{"17 cwt 2 qr 14 lb (US)", "lb", Mass, "1764", Point},
		{"1 ton 2 cwt (UK)", "cwt (UK)", Mass, "22", Point},
		{"11 st 3 lb", "lb", Mass, "157", Point},
		{"5 ft 3 in", "in", Length, "63", Point},
		{"5 ft 3 1/2 in", "in", Length, "127/2", Point},
		{"3/8 in", "in", Length, "3/8", Point},
		{"1 3/4 in", "in", Length, "7/4", Point},
		{"-1 3/4 in", "in", Length, "-7/4", Point},
		{"0°18′", "′", Angle, "18", Point},
		{"1°2′30″", "″", Angle, "3750", Point},
		{"0.30°", "°", Angle, "3/10", Point},
		{"1 h 30 min", "min", Duration, "90", Point},
		{"4.11:1", ":1", Ratio, "411/100", Point},
		{"14.2 kWh/100 km", "kWh/100 km", EnergyPerDistance, "71/5", Point},
		{"2 fl oz (UK)", "fl oz (UK)", Volume, "2", Point},
		{"23 °C", "°C", Temperature, "23", Point},
		{"80", "", Count, "80", Point},
		{"14 ±1 lb", "lb", Mass, "14", Point},
	} {
		q, err := Parse(c.text)
		if err != nil {
			t.Errorf("Parse(%q) = %v", c.text, err)
			continue
		}
		v, ok := q.Rat()
		if !ok || v.RatString() != c.value || q.Unit() != c.unit || q.Dimension() != c.dimension || q.Bound() != c.bound {
			t.Errorf("%q is %s %q, %s, bound %q", c.text, v.RatString(), q.Unit(), q.Dimension(), q.Bound())
		}
		if q.Text() != c.text || q.Canonical() != c.text || q.String() != c.text {
			t.Errorf("%q is kept as %q and %q", c.text, q.Text(), q.Canonical())
		}
	}
}

func TestParseOfOverAndUnderRange(t *testing.T) {
	for text, bound := range map[string]Bound{"over-range": OverRange, "under-range": UnderRange} {
		q := MustParse(text)
		if q.Bound() != bound || q.IsPoint() || q.IsZero() || q.Dimension() != Unknown || q.Canonical() != text || q.Unit() != "" {
			t.Errorf("%s: %+v", text, q)
		}
		if _, ok := q.Rat(); ok {
			t.Errorf("%s has a number", text)
		}
		if r, err := q.In("kΩ"); err != nil || r.Bound() != bound {
			t.Errorf("%s in kΩ is %s, %v", text, r, err)
		}
	}
}

func TestParseErrorsSayWhatWouldBeRight(t *testing.T) {
	for text, want := range map[string]string{
		"":                       "nothing is written",
		"47":                     "", // a count
		"47Nm":                   "one space",
		"47 Nm":                  `written "N.m"`,
		"47  N.m":                "one space, not more",
		"47 N.m ":                `written "N.m"`,
		" 47 N.m":                "a number is wanted",
		"x":                      "a number is wanted",
		"47. N.m":                "digits are wanted",
		".5 mm":                  "a number is wanted",
		"+5 mm":                  "a number is wanted",
		"0,5 mm":                 "one space",
		"1,234 kg":               "one space",
		"1e3 kg":                 "one space",
		"4/3 in":                 "not a part of one",
		"3/0 in":                 "not a part of one",
		"1 00001/00002 in":       "too long",
		"2 ton":                  `written "t", "ton (UK)" or "ton (US)"`,
		"17 cwt 2 qr 14 lb":      `written "cwt (UK)" or "cwt (US)"`,
		"5 st 3 lb (UK)":         "says nothing here",
		"5 ft 14 in":             "not a part of one ft",
		"5.5 ft 3 in":            "only the last",
		"3 in 5 ft":              "not a whole multiple",
		"5 in 3 in":              "not a whole multiple",
		"1 m 3 in":               "not a whole multiple",
		"3 kg 5 mm":              "do not add up",
		"20 °C 3 °F":             "do not add up",
		"-5 ft 3 in":             "cannot be negative",
		"5 ±1 ft 3 in":           "expected after the uncertainty",
		"0° 18′":                 "a number is wanted",
		">550 ±5 MΩ":             "a bound carries no",
		">550 MΩ ±5 %":           "a bound carries no",
		"47 ±1 N.m ±4 %":         "two uncertainties",
		"47 ±-1 N.m":             "not negative",
		"47 N.m ±-4 %":           "not negative",
		"80 % ±2 %":              "two ways",
		"20 °C ±2 %":             "two ways",
		"47 N.m ±1 N.m":          "before the unit",
		"47 N.m (k=2)":           "without an uncertainty",
		"47 ±1 N.m (k=0)":        "coverage factor",
		"47 ±1 N.m (k=two)":      "coverage factor",
		"47 ±1 N.m (k=2) x":      "coverage factor",
		"-300 °C":                "absolute zero",
		"47 N.m\xff":             "UTF-8",
		"2.1 M\u2126":            "written \"MΩ\"",
		"47 foo":                 "no unit",
		strings.Repeat("9", 30):  "more than a reading can have",
		strings.Repeat("9", 200): "longer",
	} {
		q, err := Parse(text)
		if want == "" {
			if err != nil {
				t.Errorf("Parse(%q) = %v", text, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), want) || !q.IsZero() {
			t.Errorf("Parse(%q) = %q, %v; want an error with %q", clip(text), q, err, want)
		}
	}
}

func TestCheckSaysWhatTheFieldNeeds(t *testing.T) {
	for _, c := range []struct {
		text      string
		dimension Dimension
		want      string
	}{
		{"47 N.m", Torque, ""},
		{"over-range", Resistance, ""},
		{"47 N.m", Unknown, ""},
		{"47 Nm", Torque, `torque needs N.m, lbf.ft, lbf.in or kgf.m; "47 Nm" is written "47 N.m"`},
		{"47 J", Torque, `torque needs N.m, lbf.ft, lbf.in or kgf.m; "47 J" is an energy`},
		{"6 kg.m", Torque, `torque needs N.m, lbf.ft, lbf.in or kgf.m; "6 kg.m" is written "6 kgf.m"`},
		{"47", Torque, `torque needs N.m, lbf.ft, lbf.in or kgf.m; "47" is a count`},
		{"2 tons", Mass, "can be read in 3 ways"},
		{"four", Count, "count needs a plain number"},
		{"nonsense", Unknown, "not a quantity"},
	} {
		err := Check(c.text, c.dimension)
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("Check(%q, %s) = %v, want %q", c.text, c.dimension, err, c.want)
		}
	}
}

func TestZeroQuantityIsNothingRecorded(t *testing.T) {
	var none Quantity
	if !none.IsZero() || none.IsPoint() || none.Text() != "" || none.Unit() != "" || none.Dimension() != Unknown {
		t.Error("nothing is something")
	}
	kg := MustParse("1 kg")
	var notAPoint *NotAPoint
	for name, err := range map[string]error{
		"In":      second(none.In("kg")),
		"Float":   second(none.Float("kg")),
		"Add":     second(Add(kg, none)),
		"Sub":     second(Sub(none, kg)),
		"Mul":     second(Mul(none, kg)),
		"Div":     second(Div(kg, none)),
		"Compare": second(Compare(kg, none)),
		"Same":    second(SameWithinRounding(none, kg)),
		"With":    second(none.WithUncertainty(kg, defaultCoverage)),
		"Within":  second(Within(none, MustParse("4 %"))),
	} {
		if !errors.As(err, &notAPoint) {
			t.Errorf("%s of nothing: %v", name, err)
		}
	}
	if !none.Round(2).IsZero() || !none.WithRounding().IsZero() || !none.Equal(Quantity{}) || none.Equal(kg) {
		t.Error("nothing does not stay nothing")
	}
	if _, _, ok := none.Uncertainty(); ok {
		t.Error("nothing has an uncertainty")
	}
	if o, err := none.Interval(true).Overlaps(kg.Interval(true)); !o || err != nil {
		t.Errorf("the interval of nothing is limited: %v", err)
	}
}

func second[T any](_ T, err error) error { return err }

func TestMustParsePanicsOnNonsense(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	MustParse("47 Nm")
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"47 N.m", "412.5 ±1 kg (k=3)", ">550 MΩ", "17 cwt 2 qr 14 lb (UK)", "over-range", "0°18′", "1 3/4 in", "47 N.m ±4 %", "4.11:1", "1 00/3 in", "20 °C", "-0", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := Parse(text)
		if err != nil {
			if !q.IsZero() {
				t.Fatalf("%q gives both a quantity and %v", text, err)
			}
			return
		}
		if q.Text() != text || q.Canonical() != text {
			t.Fatalf("%q is kept as %q and %q", text, q.Text(), q.Canonical())
		}
		if r := q.Round(3); !r.IsZero() {
			if _, err := Parse(r.Canonical()); err != nil {
				t.Fatalf("%q rounds to %q: %v", text, r.Canonical(), err)
			}
		}
	})
}
