package quantity

import (
	"testing"

	"pgregory.net/rapid"
)

func TestCompareOrdersWhatIsWritten(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want Ordering
	}{
		{"1 kg", "1000 g", Same}, {"1 kg", "1001 g", Less}, {"90 lbf.in", "10.2 N.m", Less}, {"1 ±5 kg", "2 ±5 kg", Less},
		{">550 MΩ", "500 MΩ", More}, {">550 MΩ", "550 MΩ", More}, {"≥550 MΩ", "550 MΩ", Unsettled}, {">550 MΩ", "600 MΩ", Unsettled},
		{"<0.1 Ω", "0.1 Ω", Less}, {"<0.1 Ω", ">0.1 Ω", Less}, {">550 MΩ", ">500 MΩ", Unsettled}, {"over-range", "1 Ω", Unsettled},
	} {
		got, err := Compare(MustParse(c.a), MustParse(c.b))
		if err != nil || got != c.want {
			t.Errorf("%s compared with %s is %s, %v; want %s", c.a, c.b, got, err, c.want)
		}
	}
	if o, err := Compare(MustParse("1 N.m"), MustParse("1 J")); err == nil || o != Unsettled {
		t.Errorf("a torque and an energy compare as %s", o)
	}
}

func TestSameWithinRounding(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"35 lbf.ft", "47.5 N.m", true}, {"35 lbf.ft", "47 N.m", true}, {"35.0 lbf.ft", "47 N.m", true}, {"35.00 lbf.ft", "47.0 N.m", false},
		{"35 lbf.ft", "49 N.m", false}, {"480 kg", "480.4 kg", true}, {"480 kg", "480.6 kg", false}, {"480 kg", "480.6 ±5 kg", false},
		{">550 MΩ", "600 MΩ", true}, {">550 MΩ", "500 MΩ", false}, {"3/8 in", "9.5 mm", true},
	} {
		got, err := SameWithinRounding(MustParse(c.a), MustParse(c.b))
		if err != nil || got != c.want {
			t.Errorf("%s and %s within rounding: %v, %v", c.a, c.b, got, err)
		}
	}
	if _, err := SameWithinRounding(MustParse("1 kg"), MustParse("1 m")); err == nil {
		t.Error("a mass and a length are held together")
	}
}

func TestIntervalsOfPossibleValues(t *testing.T) {
	for _, c := range []struct {
		text            string
		implied         bool
		low, high       string
		lowOpen, upOpen bool
	}{
		{"47 N.m", false, "47 N.m", "47 N.m", false, false},
		{"47 N.m", true, "46.5 N.m", "47.5 N.m", false, false},
		{"47.0 N.m", true, "46.95 N.m", "47.05 N.m", false, false},
		{"47 ±2 N.m", true, "45 N.m", "49 N.m", false, false},
		{"50 N.m ±4 %", false, "48 N.m", "52 N.m", false, false},
		{">550 MΩ", true, "550 MΩ", "", true, false},
		{"≤0.1 Ω", true, "", "0.1 Ω", false, false},
		{"20 ±1 °C", false, "19 °C", "21 °C", false, false},
		{"over-range", true, "", "", false, false},
	} {
		i := MustParse(c.text).Interval(c.implied)
		low, lowOpen, okLow := i.Low()
		high, upOpen, okHigh := i.High()
		if low.Canonical() != c.low || high.Canonical() != c.high || lowOpen != c.lowOpen || upOpen != c.upOpen || okLow != (c.low != "") || okHigh != (c.high != "") {
			t.Errorf("%s reaches from %q (open %v) to %q (open %v)", c.text, low, lowOpen, high, upOpen)
		}
	}
	if _, err := MustParse("1 kg").Interval(false).Overlaps(MustParse("1 m").Interval(false)); err == nil {
		t.Error("intervals of a mass and a length overlap")
	}
}

func TestCompareIsAntisymmetricAndTransitive(t *testing.T) {
	turned := map[Ordering]Ordering{Less: More, More: Less, Same: Same, Unsettled: Unsettled}
	draw := func(t *rapid.T) Quantity {
		sign := rapid.SampledFrom([]string{"", "", ">", "≥", "<", "≤"}).Draw(t, "sign")
		unit := rapid.SampledFrom([]string{" kg", " g", " lb"}).Draw(t, "unit")
		return MustParse(sign + rapid.StringMatching(`[0-9]{1,2}(\.5)?`).Draw(t, "n") + unit)
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := draw(t), draw(t), draw(t)
		ab, _ := Compare(a, b)
		ba, _ := Compare(b, a)
		bc, _ := Compare(b, c)
		ac, _ := Compare(a, c)
		if ba != turned[ab] {
			t.Fatalf("%s and %s: %s one way, %s the other", a, b, ab, ba)
		}
		if ab == Less && bc == Less && ac != Less {
			t.Fatalf("%s less than %s less than %s, but %s", a, b, c, ac)
		}
	})
}
