package identity

import (
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// number draws raw numbers of the sort that stand on cars, sometimes worn,
// sometimes with foreign letters, sometimes split.
func number() *rapid.Generator[Number] {
	raw := rapid.StringOfN(rapid.SampledFrom([]rune("0123ABOl8?* -/.АＡ#E+,")), 0, 10, -1)
	return rapid.Custom(func(t *rapid.T) Number {
		if rapid.IntRange(0, 3).Draw(t, "split") > 0 {
			return Plain(raw.Draw(t, "raw"))
		}
		base, addition := raw.Draw(t, "base"), raw.Draw(t, "addition")
		return Number{Raw: base + addition, Base: base, Addition: addition}
	})
}

// plainNumber draws a number of plain characters that no spreadsheet damaged.
func plainNumber(least int) *rapid.Generator[string] {
	return rapid.StringMatching("[A-Z][0-9A-Z]{" + string(rune('0'+least-1)) + ",14}")
}

func TestCompareIsSymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := number().Draw(t, "a"), number().Draw(t, "b")
		there, back := Compare(a, b), Compare(b, a).flipped()
		if !reflect.DeepEqual(there, back) {
			t.Fatalf("%+v\n%+v", there, back)
		}
	})
}

func TestEqualKeysAgreeHoweverTheyAreWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw := plainNumber(1).Draw(t, "number")
		var b strings.Builder
		for _, r := range raw {
			b.WriteString(rapid.SampledFrom([]string{"", " ", "*", "-", "/", ".", "\u200b"}).Draw(t, "decoration"))
			b.WriteRune(r)
		}
		written := b.String()
		if rapid.Bool().Draw(t, "small") {
			written = strings.ToLower(written)
		}
		if g := Compare(Plain(raw), Plain(written)); g.Verdict != Agree {
			t.Fatalf("%s", g.Sentence())
		}
	})
}

func TestAPatternIsCompatibleWithEverythingItCanStandFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw := plainNumber(2).Draw(t, "number")
		pattern := []byte(raw)
		pattern[rapid.IntRange(1, len(raw)-1).Draw(t, "first")] = '?'
		for i := 1; i < len(raw); i++ { // the first place stays, so that something was made out
			if rapid.Bool().Draw(t, "worn") {
				pattern[i] = '?'
			}
		}
		if g := Compare(Plain(string(pattern)), Plain(raw)); g.Verdict != Compatible {
			t.Fatalf("%s", g.Sentence())
		}
		if got := Candidates(Plain(string(pattern)), []Claim{{Number: Plain(raw)}}); len(got) != 1 {
			t.Fatalf("%q is no candidate for %q", raw, pattern)
		}
	})
}

func TestAChangedCharacterNeverAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw := plainNumber(1).Draw(t, "number")
		at := rapid.IntRange(0, len(raw)-1).Draw(t, "at")
		other := rapid.SampledFrom([]rune("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ?#АＡ１")).Draw(t, "other")
		if string(other) == raw[at:at+1] {
			t.Skip("the same character")
		}
		changed := raw[:at] + string(other) + raw[at+1:]
		g := Compare(Plain(raw), Plain(changed))
		if g.Verdict == Agree || other != '?' && g.Verdict == Compatible {
			t.Fatalf("%s", g.Sentence())
		}
		if len(raw) > 3 && other != '?' && g.Verdict != NearMiss {
			t.Fatalf("one substitution is a near miss, got %s: %s", g.Verdict, g.Sentence())
		}
	})
}

func TestAgreementIsAnEquivalence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := number().Draw(t, "a"), number().Draw(t, "b"), number().Draw(t, "c")
		if Compare(a, b).Verdict == Agree && Compare(b, c).Verdict == Agree && Compare(a, c).Verdict != Agree {
			t.Fatalf("%q, %q, %q", a, b, c)
		}
	})
}

func TestATakenOutCharacterIsNeverAConflict(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw := plainNumber(4).Draw(t, "number")
		at := rapid.IntRange(0, len(raw)-1).Draw(t, "at")
		g := Compare(Plain(raw), Plain(raw[:at]+raw[at+1:]))
		if g.Verdict != Incomplete && g.Verdict != NearMiss && g.Verdict != NotCompared {
			t.Fatalf("%s", g.Sentence())
		}
	})
}

func TestAnySingleChangeOfAWeighedPlaceIsCaughtUnlessTheValueIsTheSame(t *testing.T) {
	const good = "1G4AH59H45G118341"
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.IntRange(0, 16).Draw(t, "at")
		other := rapid.SampledFrom([]rune("0123456789ABCDEFGHJKLMNPRSTUVWXYZ")).Draw(t, "other")
		changed := good[:at] + string(other) + good[at+1:]
		c := VIN(changed, VINScope{Rule: USRule})
		was, _ := vinValue(good[at : at+1])
		is, _ := vinValue(string(other))
		same := at != 8 && was == is || changed == good
		if (c.Outcome == VINMatches) != same {
			t.Fatalf("%q: %s", changed, c.Sentence())
		}
	})
}
