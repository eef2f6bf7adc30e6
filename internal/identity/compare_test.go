package identity

import (
	"strings"
	"testing"
)

func TestCompareTellsSlipsFromOtherNumbers(t *testing.T) {
	for _, c := range []struct {
		name, a, b string
		want       Verdict
		says       string
	}{
		{"the same writing", "AB 12345", "AB 12345", Agree, "same number, same writing"},
		{"small letters", "ab12345", "AB12345", Agree, "small letters alone"},
		{"stored in two ways", "Ä12", "A\u030812", Agree, "the way characters are stored"},
		{"divided at different places", "12/34", "1/234", Agree, "at different places"},
		{"divided in one only", "12/34", "1234", Agree, "differ in slashes alone"},
		{"an unknown place", "AB1?345", "AB12345", Compatible, "place 4 is not known and not filled in"},
		{"unknown places on both sides", "A?12", "AB?2", Compatible, "places 2 and 3 are not known"},
		{"nothing made out in both", "A?", "?B", Compatible, "no place was made out in both"},
		{"a prefix is missing", "10432BW", "1E10432BW", Incomplete, `which has "1E" before it;`},
		{"a suffix is missing", "1E10432", "1E10432BW", Incomplete, `which has "BW" after it`},
		{"both are missing", "10432", "1E10432BW", Incomplete, `which has "1E" before it and "BW" after it`},
		{"one character is missing at the end", "KLB471", "KLB471F", Incomplete, `"F" after it`},
		{"a small part fits many numbers", "43", "1E10432BW", Incomplete, "2 places in common of 9 fit many numbers"},
		{"a part fits at two places", "1212", "121212", Incomplete, "fits into the longer at 2 places"},
		{"a part with an unknown place", "1E1?432", "1E10432BW", Incomplete, "not filled in"},
		{"one substituted", "AB12345", "AB12845", NearMiss, `at place 5 "3" against "8"`},
		{"neighbours exchanged", "KLB 417F", "KLB 471F", NearMiss, `from place 5 on "17" against "71"`},
		{"exchanged across one", "AB12345", "AB32145", NearMiss, `from place 3 on "13" against "31"`},
		{"one missing inside", "AB1345", "AB12345", NearMiss, `"2" at place 4 stands in one only`},
		{"one missing with little left", "A?C", "AB1C", Conflict, "different numbers"},
		{"one of a double missing", "AB1234", "AB11234", NearMiss, "a doubled character is easily written once"},
		{"one substituted beside an unknown place", "AB?2845", "AB12345", NearMiss, `at place 5`},
		{"two look-alikes", "1OO32B", "10032B", NearMiss, "look-alikes"},
		{"a small l for a one", "l0432", "10432", NearMiss, "look-alikes"},
		{"a capital L for a one", "L0432", "10432", NearMiss, `at place 1 "L" against "1"` + ";"},
		{"a Cyrillic letter", "АB1234", "AB1234", NearMiss, "look the same and are different characters"},
		{"full-width all through", "ＡＢ１２", "AB12", NearMiss, "look the same"},
		{"two substituted", "AB12345", "AB19945", Conflict, "2"},
		{"many substituted", "AB12345", "XY98765", Conflict, "6 places differ"},
		{"exchanged far apart", "AB12345", "5B1234A", Conflict, "different numbers"},
		{"other lengths", "AB12345", "99", Conflict, "are different numbers"},
		{"so short that a slip means nothing", "12", "13", Conflict, "different numbers"},
		{"look-alikes and nothing else", "OI", "01", Conflict, "look-alikes"},
		{"nothing read", "", "AB12345", NotCompared, "no character that was made out"},
		{"no place made out", "???", "AB12345", NotCompared, "no character that was made out"},
		{"both empty", "", "", NotCompared, `not compared: "" holds no character that was made out`},
		{"damaged", "1E+10", "AB12345", NotCompared, "scientific form"},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := Compare(Plain(c.a), Plain(c.b))
			sentence := g.Sentence() + ";"
			if g.Verdict != c.want || !strings.Contains(sentence, c.says) {
				t.Errorf("%s, %q; want %s with %q", g.Verdict, sentence, c.want, c.says)
			}
		})
	}
}

func TestSplitNumbersAreComparedWholeThenByBase(t *testing.T) {
	split := func(base, addition string) Number {
		return Number{Raw: base + " " + addition, Base: base, Addition: addition}
	}
	for _, c := range []struct {
		name   string
		a, b   Number
		want   Verdict
		onBase bool
		says   string
	}{
		{"the same split twice", split("12345", "US"), split("12345", "US"), Agree, false, "same number"},
		{"one base, two additions", split("12345", "US"), split("12345", "UK"), Incomplete, true, "as a whole are not"},
		{"a slip in the base", split("12345", "US"), Plain("12354"), NearMiss, true, "exchanged"},
		{"an unknown place in the base", split("12345", "US"), Plain("12?45"), Compatible, true, "not filled in"},
		{"another base", split("12345", "US"), Plain("98760"), Conflict, false, "different numbers"},
		{"a part of the whole", split("12345", "US"), Plain("345US"), Incomplete, false, `"12" before it`},
		{"a base with nothing made out", Number{Raw: "??? US", Base: "???", Addition: "US"}, Plain("123US"), Compatible, false, "not filled in"},
		{"a split that does not add up", Number{Raw: "12345 US", Base: "12346", Addition: "US"}, Plain("12346"), Conflict, false, "left out of account"},
		{"a base that is the whole number", Number{Raw: "12345", Base: "12345"}, Plain("12345"), Agree, false, "same writing"},
		{"an addition that the number does not hold", Number{Raw: "12345", Base: "12345", Addition: "US"}, Plain("12345"), Agree, false, "leaves no addition"},
		{"an addition that names something else", Number{Raw: "12345US", Base: "12345", Addition: "UK"}, Plain("12345"), Incomplete, false, "does not name"},
		{"an addition in words", Number{Raw: "12345 US", Base: "12345", Addition: "US, by the importer"}, Plain("12345"), Incomplete, true, `the addition "US" of`},
		{"a base alone tells what was added", Number{Raw: "12345 US", Base: "12345"}, Plain("12345"), Incomplete, true, `the addition "US" of`},
		{"an addition without a base", Number{Raw: "12345", Addition: "45"}, Plain("12345"), Agree, false, "no base"},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := Compare(c.a, c.b)
			if g.Verdict != c.want || g.OnBase != c.onBase || !strings.Contains(g.Sentence(), c.says) {
				t.Errorf("%s, on base %v, %q; want %s, %v with %q", g.Verdict, g.OnBase, g.Sentence(), c.want, c.onBase, c.says)
			}
		})
	}
}

func TestAnAdditionMayStandBeforeTheBase(t *testing.T) {
	n := Number{Raw: "US-12345", Base: "12345", Addition: "US"}
	if fault := n.SplitFault(); fault != "" {
		t.Error(fault)
	}
}
