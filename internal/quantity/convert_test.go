package quantity

import (
	"errors"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestConversionsShowOnlyTheDigitsTheyHave(t *testing.T) {
	for _, c := range []struct{ from, unit, want string }{
		{"35 lbf.ft", "N.m", "47.5 N.m"},
		{"35.0 lbf.ft", "N.m", "47.45 N.m"},
		{"90 lbf.in", "N.m", "10.17 N.m"},
		{"47 N.m", "lbf.ft", "34.7 lbf.ft"},
		{"12 mm", "cm", "1.2 cm"},
		{"17 cwt 2 qr 14 lb (UK)", "kg", "895.4 kg"},
		{"1.2 MΩ", "mΩ", "1200000000 mΩ"},
		{">550 MΩ", "kΩ", ">550000 kΩ"},
		{">1000 lb", "kg", ">453.5 kg"},
		{"<1000 lb", "kg", "<453.6 kg"},
		{"412.5 ±1 kg", "lb", "909.4 ±2.3 lb"},
		{"47 N.m ±4 %", "lbf.ft", "34.7 ±1.4 lbf.ft"},
		{"412.5 ±1 kg (k=1)", "g", "412500 ±1000 g (k=1)"},
		{"3/8 in", "mm", "9.5 mm"},
		{"18′", "°", "0.300°"},
		{"0 mm", "in", "0.000 in"},
	} {
		if got := mustConvert(t, MustParse(c.from), c.unit); got.Canonical() != c.want || got.Text() != c.want {
			t.Errorf("%s = %s, want %s", c.from, got, c.want)
		}
	}
	same := MustParse("19.990 mm")
	if got := mustConvert(t, same, "mm"); got.Text() != "19.990 mm" {
		t.Errorf("converted into its own unit %s becomes %s", same, got)
	}
}

func TestRoundNeverClaimsMore(t *testing.T) {
	for _, c := range []struct {
		from     string
		decimals int
		want     string
	}{
		{"47.45 N.m", 1, "47.5 N.m"}, {"-47.45 N.m", 1, "-47.5 N.m"}, {"47.44 N.m", 1, "47.4 N.m"}, {"1974 lb", -2, "2000 lb"},
		{">549.9 MΩ", 0, ">549 MΩ"}, {"≥-0.5 mm", 0, "≥-1 mm"}, {"<0.11 Ω", 1, "<0.2 Ω"}, {"≤-0.5 mm", 0, "≤0 mm"},
		{"412.51 ±1.01 kg", 1, "412.5 ±1.1 kg"}, {"-0.04 mm", 1, "0.0 mm"}, {"47 N.m", 2, "47.00 N.m"}, {"47 N.m", 99, "47.000000000000000 N.m"}, {"47 N.m", -99, "0 N.m"},
	} {
		if got := MustParse(c.from).Round(c.decimals).Canonical(); got != c.want {
			t.Errorf("%s with %d decimals is %s, want %s", c.from, c.decimals, got, c.want)
		}
	}
	if got := MustParse("over-range").Round(1).Canonical(); got != "over-range" {
		t.Errorf("over-range rounds to %s", got)
	}
}

func TestComputedValuesAreShownShort(t *testing.T) {
	for _, c := range []struct {
		value *big.Rat
		want  string
	}{
		{big.NewRat(1, 3), "0.333333 kg"}, {big.NewRat(1000, 3), "333.333 kg"}, {big.NewRat(5, 4), "1.25 kg"}, {big.NewRat(7, 1), "7 kg"},
		{big.NewRat(10000000, 3), "3333333 kg"}, {big.NewRat(1, 3000), "0.000333333 kg"}, {new(big.Rat), "0 kg"},
	} {
		q, err := New(c.value, "kg")
		if err != nil || q.Canonical() != c.want {
			t.Errorf("%s kg is shown as %s, want %s (%v)", c.value, q, c.want, err)
		}
	}
	if _, err := New(nil, "kg"); err == nil {
		t.Error("a quantity without a value is made")
	}
	if _, err := New(big.NewRat(1, 1), "kgs"); err == nil || !strings.Contains(err.Error(), `"kg"`) {
		t.Errorf("New in kgs: %v", err)
	}
}

func TestConversionRefusesOtherDimensions(t *testing.T) {
	for _, c := range []struct{ from, unit string }{{"47 N.m", "J"}, {"1 kg", "kgf"}, {"20 °C", "K"}, {"1 Ω", "Ω/V"}, {"4", "%"}} {
		_, err := MustParse(c.from).In(c.unit)
		var m *Mismatch
		if !errors.As(err, &m) {
			t.Errorf("%s in %s: %v, want a mismatch", c.from, c.unit, err)
		}
	}
	if _, err := MustParse("1 kg").In("pound"); err == nil || !strings.Contains(err.Error(), `"lb"`) {
		t.Errorf("1 kg in pound: %v", err)
	}
}

func TestUncertaintyOfAQuantity(t *testing.T) {
	u, k, ok := MustParse("47 N.m ±4 %").Uncertainty()
	if !ok || u.Canonical() != "1.88 N.m" || k.RatString() != "2" {
		t.Errorf("±4 %% of 47 N.m is %s, k=%s", u, k)
	}
	if _, k, _ := MustParse("412.5 ±1 kg (k=1.96)").Uncertainty(); k.RatString() != "49/25" {
		t.Errorf("k = %s", k)
	}
	if _, _, ok := MustParse("47 N.m").Uncertainty(); ok {
		t.Error("an uncertainty is there that nobody recorded")
	}
	kg := MustParse("412.5 kg")
	with, err := kg.WithUncertainty(MustParse("500 g"), big.NewRat(3, 1))
	if err != nil || with.Canonical() != "412.50 ±0.50 kg (k=3)" || !kg.Equal(MustParse("412.5 kg")) {
		t.Errorf("with ±500 g: %s, %v", with, err)
	}
	if third, err := kg.WithUncertainty(MustParse("1 kg"), big.NewRat(4, 3)); err != nil || !strings.HasSuffix(third.Canonical(), "(k=1.3333)") {
		t.Errorf("k of four thirds is shown as %s, %v", third, err)
	}
	for _, bad := range []string{"-1 kg", ">1 kg", "over-range", "1 mm"} {
		if q, err := kg.WithUncertainty(MustParse(bad), defaultCoverage); err == nil {
			t.Errorf("an uncertainty of %s gives %s", bad, q)
		}
	}
	if _, err := kg.WithUncertainty(MustParse("1 kg"), new(big.Rat)); err == nil {
		t.Error("a coverage factor of 0 is taken")
	}
	if _, err := MustParse(">1 kg").WithUncertainty(MustParse("1 kg"), defaultCoverage); err == nil {
		t.Error("a bound takes an uncertainty")
	}
}

func TestRoundingBecomesARectangularUncertainty(t *testing.T) {
	u, _, ok := MustParse("480 kg").WithRounding().Uncertainty()
	// step 1 kg: U = 2 · 0.5/√3 = 0.5774 kg (JCGM 100:2008, F.2.2.1)
	if f, err := u.Float("kg"); !ok || err != nil || f < 0.57735 || f > 0.57736 {
		t.Errorf("U of the last digit is %s (%v)", u, err)
	}
	if q := MustParse("480 ±10 kg"); q.WithRounding().Text() != "480 ±10 kg" {
		t.Error("a recorded uncertainty is replaced")
	}
}

func TestEqualMeansTheSameStatement(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"1000 g", "1 kg", true}, {"1 kg", "1.000 kg", true}, {"1 kg", "1.001 kg", false}, {"1 kg", ">1 kg", false},
		{"1 kg", "1 ±1 kg", false}, {"100 ±4 kg", "100 kg ±4 %", true}, {"1 ±1 kg", "1 ±1 kg (k=1)", false},
		{"over-range", "over-range", true}, {"over-range", "under-range", false}, {"0 °C", "32 °F", true}, {"1 N.m", "1 J", false},
	} {
		if got := MustParse(c.a).Equal(MustParse(c.b)); got != c.want {
			t.Errorf("%s equals %s: %v", c.a, c.b, got)
		}
	}
}

func TestConversionRoundTripsExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := MustParse(drawText(t))
		units := q.Dimension().Units()
		there, err := q.In(units[rapid.IntRange(0, len(units)-1).Draw(t, "to")].Symbol)
		if err != nil {
			t.Fatal(err)
		}
		back, err := there.In(q.Unit())
		if err != nil || !back.Equal(q) || !there.Equal(q) || back.step.Cmp(q.step) != 0 {
			t.Fatalf("%s becomes %s and then %s, %v", q, there, back, err)
		}
	})
}

func TestWhatIsShownCanBeParsedAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := MustParse(drawText(t))
		units := q.Dimension().Units()
		there, err := q.In(units[rapid.IntRange(0, len(units)-1).Draw(t, "to")].Symbol)
		if err != nil {
			t.Fatal(err)
		}
		decimals := rapid.IntRange(-3, 9).Draw(t, "decimals")
		for _, shown := range []Quantity{q, there.Round(decimals), q.Round(decimals)} {
			if q.Dimension() == Temperature && shown.reference().Sign() < 0 {
				continue // rounded below absolute zero
			}
			again, err := Parse(shown.Canonical())
			if err != nil || !again.Equal(shown) || again.Canonical() != shown.Canonical() {
				t.Fatalf("%s is shown as %s and read as %s, %v", q, shown, again, err)
			}
		}
	})
}

func TestRoundedBoundsAreWeaker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := MustParse(drawText(t))
		r := q.Round(rapid.IntRange(-2, 3).Draw(t, "decimals"))
		if !r.asWritten().covers(q.asWritten()) && !q.IsPoint() {
			t.Fatalf("%s rounds to the stronger %s", q, r)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		MustParse("412.5 ±1 kg")
	}
}

func BenchmarkReadTradeSpelling(b *testing.B) {
	for b.Loop() {
		if _, err := Read("35 ft-lb", Hints{Dimension: Torque}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkIn(b *testing.B) {
	q := MustParse("35 lbf.ft")
	for b.Loop() {
		if _, err := q.In("N.m"); err != nil {
			b.Fatal(err)
		}
	}
}
