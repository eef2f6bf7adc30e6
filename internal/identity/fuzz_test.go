package identity

import (
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

var seeds = []string{"*1E 10432 BW*", "1E10432BW", "113043-12-012345", "AN?6L/1?482", "1.0E+10433", "0034567", "22E1", "220",
	"1G4AH59H45G118341", "KLB 417F", "АB１２", "A\u0308", "*\u0308", "\xff", "?", "ᄀ*ᅡ", "ŉ", "ı", ""}

func FuzzKey(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, raw string) {
		form := Key(raw)
		if form.TooLong && form.Places != nil || form.Known() > len(form.Places) {
			t.Fatalf("%q: %+v", raw, form)
		}
		for _, p := range form.Places {
			if p.Char == "" || decoration(p.Char) != "" {
				t.Fatalf("%q: place %+v", raw, p)
			}
		}
		for _, d := range form.Dropped {
			if d.Before < 1 || d.Before > len(form.Places)+1 || d.Text == "" {
				t.Fatalf("%q: dropped %+v", raw, d)
			}
		}
		if ascii(raw) && Key(form.String()).String() != form.String() {
			t.Fatalf("%q: the key of the key %q is another", raw, form)
		}
		Damage(raw)
		Fragile(raw)
	})
}

func ascii(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r >= utf8.RuneSelf }) < 0
}

func FuzzCompare(f *testing.F) {
	for i, s := range seeds {
		f.Add(s, seeds[(i+1)%len(seeds)], "", "")
	}
	f.Add("12345 US", "12345", "12345", "US")
	f.Fuzz(func(t *testing.T, a, b, base, addition string) {
		x, y := Number{Raw: a, Base: base, Addition: addition}, Plain(b)
		g := Compare(x, y)
		if g.Sentence() == "" || g.Verdict.rank() < 0 {
			t.Fatalf("%+v", g)
		}
		if back := Compare(y, x); back.Verdict != g.Verdict || len(back.Differences) != len(g.Differences) {
			t.Fatalf("%+v\n%+v", g, back)
		}
		if equal := reflect.DeepEqual(chars(Key(a)), chars(Key(b))); g.Verdict == Agree && !equal {
			t.Fatalf("%q and %q agree", a, b)
		}
		Statements([]Claim{{Kind: Title, Number: x}, {Kind: Engine, Number: y}})
		Matrix([]Claim{{Number: x}, {Number: y}})
	})
}

func chars(f Form) []string {
	out := []string{}
	for _, p := range f.Places {
		out = append(out, p.Char)
	}
	return out
}

func FuzzVIN(f *testing.F) {
	for _, s := range seeds {
		f.Add(s, true, 1985)
	}
	f.Fuzz(func(t *testing.T, raw string, usMarket bool, year int) {
		c := VIN(raw, VINScope{USMarket: usMarket, ModelYear: year})
		if c.Sentence() == "" || (c.Outcome == VINMatches || c.Outcome == VINDiffers) && (len(c.Steps) != vinLength || c.Sum%11 != c.Remainder) {
			t.Fatalf("%+v", c)
		}
		if (!usMarket || year < 1981) && c.Outcome != VINNotApplicable && c.Outcome != VINRefused {
			t.Fatalf("%q is judged outside the rule: %s", raw, c.Sentence())
		}
		VINYear(raw)
	})
}

func BenchmarkCompare(b *testing.B) {
	x, y := Plain("*1E 10432 BW*"), Plain("1E10423BW")
	b.ReportAllocs()
	for b.Loop() {
		Compare(x, y)
	}
}

func BenchmarkKey(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Key("*1E 10432 BW*")
	}
}
