package quantity

import (
	"errors"
	"strings"
	"testing"
)

// The practice cases: what workshops really meet. Each name begins with the
// number of its case.

func mustRead(t *testing.T, text string, h Hints) Reading {
	t.Helper()
	r, err := Read(text, h)
	if err != nil {
		t.Fatalf("Read(%q) = %v", text, err)
	}
	return r
}

func mustConvert(t *testing.T, q Quantity, unit string) Quantity {
	t.Helper()
	r, err := q.In(unit)
	if err != nil {
		t.Fatalf("%s in %s: %v", q, unit, err)
	}
	return r
}

func mustAmbiguous(t *testing.T, text string, h Hints) *Ambiguous {
	t.Helper()
	_, err := Read(text, h)
	var a *Ambiguous
	if !errors.As(err, &a) {
		t.Fatalf("Read(%q) error = %v, want an Ambiguous", text, err)
	}
	return a
}

func TestC18_HandbookHundredweightIsBritishOrAmerican(t *testing.T) {
	const handbook = "17 cwt 2 qr 14 lb"
	a := mustAmbiguous(t, handbook, Hints{Dimension: Mass})
	if len(a.Candidates) != 2 {
		t.Fatalf("candidates = %v, want British and American", a.Candidates)
	}
	for i, want := range []struct{ canonical, pounds, kilograms, words string }{
		{"17 cwt 2 qr 14 lb (UK)", "1974", "895", "British hundredweight of 112 lb"},
		{"17 cwt 2 qr 14 lb (US)", "1764", "800", "American hundredweight of 100 lb"},
	} {
		c := a.Candidates[i]
		if got := c.Quantity.Canonical(); got != want.canonical {
			t.Errorf("candidate %d is %q, want %q", i, got, want.canonical)
		}
		if got := mustConvert(t, c.Quantity, "lb").Round(0).Canonical(); got != want.pounds+" lb" {
			t.Errorf("%s in pounds = %s, want %s", want.canonical, got, want.pounds)
		}
		if got := mustConvert(t, c.Quantity, "kg").Round(0).Canonical(); got != want.kilograms+" kg" {
			t.Errorf("%s = %s, want %s kg", want.canonical, got, want.kilograms)
		}
		if !strings.Contains(c.Words, want.words) || !strings.Contains(c.Words, want.kilograms) {
			t.Errorf("words %q do not say %q and %s kg", c.Words, want.words, want.kilograms)
		}
		if c.Quantity.Text() != handbook {
			t.Errorf("text is %q, want it as written", c.Quantity.Text())
		}
	}
	british := mustRead(t, handbook, Hints{Dimension: Mass, Country: "GB"})
	if got := british.Quantity.Canonical(); got != "17 cwt 2 qr 14 lb (UK)" || len(british.Notes) == 0 {
		t.Errorf("with a British origin: %q with notes %v", got, british.Notes)
	}
	mustAmbiguous(t, handbook, Hints{Dimension: Mass, Country: "DE"})
}

func TestC24_SpecInPoundInchesWrenchInNewtonMetres(t *testing.T) {
	spec := mustRead(t, "90 in-lb", Hints{Dimension: Torque}).Quantity
	set := mustRead(t, "10.2 N·m", Hints{Dimension: Torque}).Quantity
	if got := mustConvert(t, spec, "N.m").Round(2).Canonical(); got != "10.17 N.m" {
		t.Errorf("90 in-lb = %s, want 10.17 N.m", got)
	}
	within, err := Within(spec, MustParse("4 %"))
	if err != nil {
		t.Fatal(err)
	}
	if d := Decide(set, within, SimpleAcceptance); d.Outcome != Met {
		t.Errorf("10.2 N.m against 90 in-lb ±4 %%: %s (%s)", d.Outcome, d.Reason)
	}
	if reason, suspected := SuspectFactor(set, spec); suspected {
		t.Errorf("a good line is suspected: %s", reason)
	}
	wrong := mustRead(t, "90 ft-lb", Hints{Dimension: Torque}).Quantity
	if got := mustConvert(t, wrong, "N.m").Round(0).Canonical(); got != "122 N.m" {
		t.Errorf("90 ft-lb = %s, want 122 N.m", got)
	}
	if reason, suspected := SuspectFactor(wrong, spec); !suspected || !strings.Contains(reason, "12 times") {
		t.Errorf("90 ft-lb for 90 in-lb is not suspected: %q", reason)
	}
	if reason, suspected := SuspectFactor(spec, wrong); !suspected || !strings.Contains(reason, "twelfth") {
		t.Errorf("90 in-lb for 90 ft-lb is not suspected: %q", reason)
	}
}

func TestC25_OldManualInMetreKilograms(t *testing.T) {
	spec := mustRead(t, "6 m·kg", Hints{Dimension: Torque})
	recorded := mustRead(t, "60 Nm", Hints{Dimension: Torque})
	if got := mustConvert(t, spec.Quantity, "N.m").Round(1).Canonical(); got != "58.8 N.m" {
		t.Errorf("6 m·kg = %s, want 58.8 N.m", got)
	}
	within, err := Within(spec.Quantity, MustParse("4 %"))
	if err != nil {
		t.Fatal(err)
	}
	if d := Decide(recorded.Quantity, within, SimpleAcceptance); d.Outcome != Met {
		t.Errorf("60 Nm against 6 m·kg ±4 %%: %s (%s)", d.Outcome, d.Reason)
	}
	for _, old := range []string{"6 mkg", "6 kpm", "6 kgm", "6 m.kg", "6 kg m", "6 mkp"} {
		r := mustRead(t, old, Hints{Dimension: Torque})
		if r.Quantity.Canonical() != "6 kgf.m" || r.Quantity.Text() != old {
			t.Errorf("%q is read as %q", old, r.Quantity.Canonical())
		}
		if len(r.Notes) == 0 || r.Notes[0].Kind != NoteOldUnit {
			t.Errorf("%q has no warning of an old unit name: %v", old, r.Notes)
		}
	}
}

func TestC29_LowerBoundIsNeverAPoint(t *testing.T) {
	q := MustParse(">550 MΩ")
	if q.IsPoint() || q.Bound() != Above {
		t.Fatalf("%s is taken for a point", q)
	}
	if _, err := q.Float("MΩ"); err == nil {
		t.Error("a bound can be plotted")
	}
	for _, c := range []struct {
		limit string
		want  Outcome
	}{{"36 kΩ", Met}, {"549 MΩ", Met}, {"550 MΩ", Met}, {"551 MΩ", Undecidable}} {
		for _, rule := range Rules() {
			if d := Decide(q, AtLeast(MustParse(c.limit)), rule); d.Outcome != c.want {
				t.Errorf("%s at least %s under %s: %s (%s)", q, c.limit, rule, d.Outcome, d.Reason)
			}
		}
	}
	if d := Decide(q, AtMost(MustParse("100 MΩ")), SimpleAcceptance); d.Outcome != NotMet {
		t.Errorf("%s at most 100 MΩ: %s", q, d.Outcome)
	}
	if d := Decide(q, AtMost(MustParse("600 MΩ")), SimpleAcceptance); d.Outcome != Undecidable {
		t.Errorf("%s at most 600 MΩ: %s", q, d.Outcome)
	}
}

func TestC31_MilliohmOnAnInsulationSheetIsAQuestion(t *testing.T) {
	a := mustAmbiguous(t, "1.2 mΩ", Hints{Dimension: Resistance, Usual: "MΩ"})
	if len(a.Candidates) != 2 || a.Candidates[0].Quantity.Canonical() != "1.2 mΩ" || a.Candidates[1].Quantity.Canonical() != "1.2 MΩ" {
		t.Fatalf("candidates = %v", a.Candidates)
	}
	if !strings.Contains(a.Error(), "10^9") {
		t.Errorf("%q does not say that the readings differ by 10^9", a.Error())
	}
	ratio, err := Div(a.Candidates[1].Quantity, a.Candidates[0].Quantity)
	if err != nil || mustConvert(t, ratio, ":1").Canonical() != "1000000000:1" {
		t.Errorf("the candidates differ by %s (%v)", ratio, err)
	}
	if got := mustRead(t, "1.2 mΩ", Hints{Dimension: Resistance, Usual: "mΩ"}).Quantity.Canonical(); got != "1.2 mΩ" {
		t.Errorf("on a bonding sheet 1.2 mΩ is read as %s", got)
	}
	mustAmbiguous(t, "1.2 MΩ", Hints{Dimension: Resistance, Usual: "mΩ"})
	mustAmbiguous(t, "1.2 m", Hints{Dimension: Resistance})
}

func TestC32_OhmSignsAreNormalisedAndNoted(t *testing.T) {
	for _, text := range []string{"2.1 M\u2126", "2.1 M\u00ce\u00a9", "2.1 M\u00e2\u201e\u00a6", "2.1 Mohm"} {
		r := mustRead(t, text, Hints{Dimension: Resistance, Usual: "MΩ"})
		if r.Quantity.Canonical() != "2.1 M\u03a9" || r.Quantity.Text() != text {
			t.Errorf("%q is read as %q and kept as %q", text, r.Quantity.Canonical(), r.Quantity.Text())
		}
		if len(r.Notes) == 0 {
			t.Errorf("%q is repaired silently", text)
		}
	}
	if r := mustRead(t, "2.1 M\u03a9", Hints{Dimension: Resistance}); len(r.Notes) != 0 {
		t.Errorf("the canonical sign is noted: %v", r.Notes)
	}
	if _, err := Parse("2.1 M\u2126"); err == nil || !strings.Contains(err.Error(), "is written") {
		t.Errorf("Parse of the other sign: %v", err)
	}
}
