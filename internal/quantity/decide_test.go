package quantity

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func mustWithin(t *testing.T, spec, tolerance string) Limit {
	t.Helper()
	l, err := Within(MustParse(spec), MustParse(tolerance))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestDecide(t *testing.T) {
	kOhm := func(s string) Limit { return AtLeast(MustParse(s)) }
	for _, c := range []struct {
		name     string
		measured string
		limit    Limit
		rule     Rule
		want     Outcome
		reason   string
	}{
		{"simple acceptance takes the limit itself", "100 kΩ", kOhm("100 kΩ"), SimpleAcceptance, Met, "is not known"},
		{"simple acceptance does not ask for an uncertainty", "99 kΩ", kOhm("100 kΩ"), SimpleAcceptance, NotMet, "is not at least 100 kΩ"},
		{"simple acceptance says the chance where it can", "100 ±5 kΩ", kOhm("100 kΩ"), SimpleAcceptance, Met, "50 %"},
		{"another unit of the same dimension", "0.1 MΩ", kOhm("100 kΩ"), SimpleAcceptance, Met, ""},
		{"a limit that is not allowed itself", "100 kΩ", MoreThan(MustParse("100 kΩ")), SimpleAcceptance, NotMet, "more than"},
		{"an upper limit", "0.1 Ω", AtMost(MustParse("0.1 Ω")), SimpleAcceptance, Met, ""},
		{"an upper limit that is not allowed itself", "0.1 Ω", LessThan(MustParse("0.1 Ω")), SimpleAcceptance, NotMet, "less than"},
		{"a guard band is kept exactly", "105 ±5 kΩ", kOhm("100 kΩ"), GuardBand, Met, "guard band of 5 kΩ"},
		{"a reading within the guard band", "104.9 ±5 kΩ", kOhm("100 kΩ"), GuardBand, TooClose, "neither can be said"},
		{"a reading within it on the wrong side", "95 ±5 kΩ", kOhm("100 kΩ"), GuardBand, TooClose, ""},
		{"a reading beyond it on the wrong side", "94.9 ±5 kΩ", kOhm("100 kΩ"), GuardBand, NotMet, "misses"},
		{"the narrower band", "104.15 ±5 kΩ", kOhm("100 kΩ"), GuardBand083, Met, ""},
		{"the wider band", "107 ±5 kΩ", kOhm("100 kΩ"), GuardBand150, TooClose, ""},
		{"no uncertainty under a guard band", "200 kΩ", kOhm("100 kΩ"), GuardBand, Undecidable, "uncertainty of 200 kΩ is not recorded"},
		{"a bound on the wrong side", "<200 kΩ", kOhm("100 kΩ"), SimpleAcceptance, Undecidable, "either side"},
		{"a bound below the limit", "<100 kΩ", kOhm("100 kΩ"), SimpleAcceptance, NotMet, "no value"},
		{"a bound that touches the limit", "≤100 kΩ", kOhm("100 kΩ"), SimpleAcceptance, Undecidable, ""},
		{"a bound that passes under every rule", "<0.1 Ω", AtMost(MustParse("0.1 Ω")), GuardBand150, Met, "every value"},
		{"a bound above an upper limit", ">0.1 Ω", AtMost(MustParse("0.1 Ω")), GuardBand, NotMet, ""},
		{"over-range against an upper limit", "over-range", AtMost(MustParse("0.1 Ω")), SimpleAcceptance, Undecidable, "range is not recorded"},
		{"over-range against a lower limit", "over-range", kOhm("100 kΩ"), SimpleAcceptance, Undecidable, "range is not recorded"},
		{"within a tolerance", "46 N.m", mustWithin(t, "47 N.m", "4 %"), SimpleAcceptance, Met, "between"},
		{"at its end", "52 N.m", mustWithin(t, "50 N.m", "4 %"), SimpleAcceptance, Met, ""},
		{"outside of it", "52.1 N.m", mustWithin(t, "50 N.m", "4 %"), SimpleAcceptance, NotMet, ""},
		{"close to its end", "51.5 ±1 N.m", mustWithin(t, "50 N.m", "4 %"), GuardBand, TooClose, ""},
		{"an uncertainty wider than the tolerance can never be met", "50 ±3 N.m", mustWithin(t, "50 N.m", "4 %"), GuardBand, TooClose, ""},
		{"a bound beyond the tolerance", ">60 N.m", mustWithin(t, "50 N.m", "4 %"), SimpleAcceptance, NotMet, ""},
		{"a bound into the tolerance", ">40 N.m", mustWithin(t, "50 N.m", "4 %"), SimpleAcceptance, Undecidable, ""},
		{"a negative specification", "-0.51 mm", mustWithin(t, "-0.50 mm", "10 %"), SimpleAcceptance, Met, ""},
		{"a temperature with a guard band", "68 ±1 °F", AtMost(MustParse("25 °C")), GuardBand, Met, "guard band of 1 Δ°F"},
		{"another dimension", "47 N.m", AtMost(MustParse("50 J")), SimpleAcceptance, Undecidable, "can't be held against"},
		{"a limit that is a bound", "47 N.m", AtMost(MustParse(">50 N.m")), SimpleAcceptance, Undecidable, "is not a number"},
		{"limits that contradict", "47 N.m", Between(MustParse("50 N.m"), MustParse("40 N.m")), SimpleAcceptance, Undecidable, "contradict"},
		{"no limit", "47 N.m", Limit{}, SimpleAcceptance, Undecidable, "no limit"},
		{"an unknown rule", "47 N.m", AtMost(MustParse("50 N.m")), "as it pleases", Undecidable, "no decision rule"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := Decide(MustParse(c.measured), c.limit, c.rule)
			if d.Outcome != c.want || d.Rule != c.rule || d.Reason == "" || !strings.Contains(d.Reason, c.reason) {
				t.Errorf("%s against %s under %s: %s, %q; want %s with %q", c.measured, c.limit, c.rule, d.Outcome, d.Reason, c.want, c.reason)
			}
		})
	}
	if d := Decide(Quantity{}, AtMost(MustParse("50 J")), GuardBand); d.Outcome != Undecidable || !strings.Contains(d.Reason, "no reading") {
		t.Errorf("nothing against a limit: %+v", d)
	}
}

// The chances at the edge of acceptance that ILAC-G8:09/2019 prints in table 1.
func TestChanceOfAWrongAcceptAtTheEdge(t *testing.T) {
	for _, c := range []struct {
		rule           Rule
		measured       string
		below, atLeast float64
	}{
		{SimpleAcceptance, "100 ±10 Ω", 0.5001, 0.4999},
		{GuardBand083, "108.3 ±10 Ω", 0.05, 0.045},
		{GuardBand, "110 ±10 Ω", 0.025, 0.0227},
		{GuardBand150, "115 ±10 Ω", 0.0016, 0.0013},
	} {
		d := Decide(MustParse(c.measured), AtLeast(MustParse("100 Ω")), c.rule)
		if d.Outcome != Met || !d.WrongAcceptKnown || d.WrongAccept >= c.below || d.WrongAccept < c.atLeast {
			t.Errorf("%s under %s: %s with a chance of %v", c.measured, c.rule, d.Outcome, d.WrongAccept)
		}
	}
	both := Decide(MustParse("50 ±4 N.m"), mustWithin(t, "50 N.m", "4 %"), SimpleAcceptance)
	if math.Abs(both.WrongAccept-0.3173) > 1e-4 { // one standard deviation on each side
		t.Errorf("the chance outside both limits is %v", both.WrongAccept)
	}
	wide := Decide(MustParse("112 ±10 Ω (k=1)"), AtLeast(MustParse("100 Ω")), GuardBand)
	if math.Abs(wide.WrongAccept-0.1151) > 1e-4 { // 1.2 standard deviations
		t.Errorf("with k=1 the chance is %v", wide.WrongAccept)
	}
	if d := Decide(MustParse("1000 ±1 Ω"), AtLeast(MustParse("100 Ω")), GuardBand); !strings.Contains(d.Reason, "below 0.01 %") {
		t.Errorf("a tiny chance is told as %q", d.Reason)
	}
	if d := Decide(MustParse("1000 ±0 Ω"), AtLeast(MustParse("100 Ω")), GuardBand); d.WrongAccept != 0 || !d.WrongAcceptKnown {
		t.Errorf("an exact reading has the chance %v", d.WrongAccept)
	}
}

func TestWithinRefusesWhatIsNoTolerance(t *testing.T) {
	for _, c := range [][2]string{{">47 N.m", "4 %"}, {"47 N.m", "4 N.m"}, {"47 N.m", "-4 %"}, {"47 N.m", "<4 %"}, {"20 °C", "4 %"}} {
		if l, err := Within(MustParse(c[0]), MustParse(c[1])); err == nil {
			t.Errorf("%s within %s is %s", c[0], c[1], l)
		}
	}
}

func TestRulesAreFoundByName(t *testing.T) {
	for _, r := range Rules() {
		if got, ok := RuleNamed(string(r)); !ok || got != r {
			t.Errorf("%s is not found", r)
		}
	}
	if _, ok := RuleNamed("guard band 2 U"); ok {
		t.Error("a rule that is none is found")
	}
	if (Limit{}).String() != "no limit" {
		t.Error("no limit has another name")
	}
}

// drawCase draws a reading with an uncertainty and a limit near it.
func drawCase(t *rapid.T) (value, u int64, limit Limit, rule Rule) {
	value = rapid.Int64Range(0, 400).Draw(t, "value")
	u = rapid.Int64Range(0, 60).Draw(t, "U")
	low := MustParse("100 Ω")
	high := MustParse("300 Ω")
	limit = rapid.SampledFrom([]Limit{AtLeast(low), AtMost(high), MoreThan(low), LessThan(high), Between(low, high)}).Draw(t, "limit")
	rule = rapid.SampledFrom(Rules()).Draw(t, "rule")
	return value, u, limit, rule
}

func reading(t *rapid.T, value, u int64) Quantity {
	q, err := New(big.NewRat(value, 1), "Ω")
	if err != nil {
		t.Fatal(err)
	}
	expanded, err := New(big.NewRat(u, 1), "Ω")
	if err != nil {
		t.Fatal(err)
	}
	if q, err = q.WithUncertainty(expanded, defaultCoverage); err != nil {
		t.Fatal(err)
	}
	return q
}

func TestMoreUncertaintyNeverDecidesMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value, u, limit, rule := drawCase(t)
		wider := u + rapid.Int64Range(0, 60).Draw(t, "wider")
		before, after := Decide(reading(t, value, u), limit, rule), Decide(reading(t, value, wider), limit, rule)
		if before.Outcome == TooClose && after.Outcome != TooClose {
			t.Fatalf("%d ±%d is %s, but %d ±%d is %s", value, u, before.Outcome, value, wider, after.Outcome)
		}
		if before.Outcome == Met && after.Outcome == NotMet || before.Outcome == NotMet && after.Outcome == Met {
			t.Fatalf("more uncertainty turns %s into %s", before.Outcome, after.Outcome)
		}
	})
}

func TestAStricterRuleNeverAcceptsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value, u, limit, _ := drawCase(t)
		q := reading(t, value, u)
		accepted := true
		for _, rule := range Rules() {
			met := Decide(q, limit, rule).Outcome == Met
			if met && !accepted {
				t.Fatalf("%s is met under %s but not under a more lenient rule", q, rule)
			}
			accepted = met
		}
	})
}

func TestSuspectFactorIsSilentElsewhere(t *testing.T) {
	for _, c := range [][2]string{{"47 N.m", "47 N.m"}, {"47 N.m", "4.7 N.m"}, {"12 kg", "1 kg"}, {">564 N.m", "47 N.m"}, {"0 N.m", "47 N.m"}, {"47 N.m", "0 N.m"}, {"-12 N.m", "-1 N.m"}, {"over-range", "1 N.m"}, {"620.5 N.m", "47 N.m"}} {
		if reason, suspected := SuspectFactor(MustParse(c[0]), MustParse(c[1])); suspected {
			t.Errorf("%s for %s is suspected: %s", c[0], c[1], reason)
		}
	}
	for _, c := range [][2]string{{"564 N.m", "47 N.m"}, {"600 N.m", "47 N.m"}, {"3.9 N.m", "47 N.m"}, {"35 lbf.in", "47.5 N.m"}} {
		if _, suspected := SuspectFactor(MustParse(c[0]), MustParse(c[1])); !suspected {
			t.Errorf("%s for %s is not suspected", c[0], c[1])
		}
	}
}
