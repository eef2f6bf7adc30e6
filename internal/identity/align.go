package identity

import (
	"fmt"
	"strings"
)

// fits tells whether two places can be the same character.
func fits(a, b Place) bool {
	return a.Char == b.Char || a.Char == Unknown || b.Char == Unknown
}

func known(a, b Place) bool { return a.Char != Unknown && b.Char != Unknown }

// compareInStep compares two numbers of one length, place by place.
func (g *Agreement) compareInStep(a, b []Place) {
	same := 0
	for i := range a {
		switch {
		case !known(a[i], b[i]):
			g.Unknown = append(g.Unknown, i+1)
		case a[i].Char == b[i].Char:
			same++
		default:
			g.Differences = append(g.Differences, Difference{Slip: Substituted, PlaceA: i + 1, PlaceB: i + 1,
				A: a[i].Char, B: b[i].Char, Explanation: explain(a[i], b[i])})
		}
	}
	switch {
	case len(g.Differences) == 0 && len(g.Unknown) == 0:
		g.Verdict = Agree
	case len(g.Differences) == 0:
		g.Verdict = Compatible
	default:
		g.judgeDifferences(same)
	}
}

// judgeDifferences tells a slip from another number. A slip leaves more of the
// number standing than it changes, at least two places; characters that look
// exactly the same on paper are a slip however many there are.
func (g *Agreement) judgeDifferences(same int) {
	g.mergeExchange()
	slip := same >= 2 && same > len(g.Differences)
	explained, invisible := true, true
	for _, d := range g.Differences {
		explained = explained && d.Explanation != ""
		invisible = invisible && d.Slip == Substituted && sameLook(d.A, d.B)
	}
	g.Verdict = Conflict
	if slip && (len(g.Differences) == 1 || explained) || invisible {
		g.Verdict = NearMiss
	}
}

// mergeExchange turns two substitutions that are one exchange of neighbours, or
// of characters with one between them, into that.
func (g *Agreement) mergeExchange() {
	if len(g.Differences) != 2 {
		return
	}
	x, y := g.Differences[0], g.Differences[1]
	if y.PlaceA-x.PlaceA > 2 || x.A != y.B || x.B != y.A {
		return
	}
	g.Differences = []Difference{{Slip: Exchanged, PlaceA: x.PlaceA, PlaceB: x.PlaceB, A: x.A + y.A, B: x.B + y.B,
		Explanation: "two characters in exchanged order are a common slip in copying"}}
}

// compareLonger compares a longer number with a shorter one: the shorter is a
// part of it, lacks one character, or is another number.
func (g *Agreement) compareLonger(long, short []Place) {
	if at := offsets(long, short); len(at) > 0 {
		g.Verdict, g.Longer = Incomplete, -1
		g.Before, g.After = text(long[:at[0]]), text(long[at[0]+len(short):])
		g.remarkOnPart(long, short, at)
		return
	}
	if len(long) == len(short)+1 && g.oneMissing(long, short) {
		g.Verdict = NearMiss
		return
	}
	g.Verdict = Conflict
}

// offsets lists where a shorter number fits into a longer one, leading first.
func offsets(long, short []Place) []int {
	var at []int
	for o := 0; o+len(short) <= len(long); o++ {
		fit := true
		for i := range short {
			fit = fit && fits(long[o+i], short[i])
		}
		if fit {
			at = append(at, o)
		}
	}
	return at
}

// remarkOnPart warns where a part is too small, or too common, to mean much.
func (g *Agreement) remarkOnPart(long, short []Place, at []int) {
	if made := bothKnown(long[at[0]:], short); made < 4 || made*2 < len(long) {
		g.Remarks = append(g.Remarks, fmt.Sprintf("%s in common of %d fit many numbers", count(made, "place"), len(long)))
	}
	if len(at) > 1 {
		g.Remarks = append(g.Remarks, fmt.Sprintf("the shorter fits into the longer at %d places", len(at)))
	}
	if (Form{Places: short}).Pattern() || (Form{Places: long}).Pattern() {
		g.Remarks = append(g.Remarks, "places that were not made out are not filled in")
	}
}

// bothKnown counts the places of the shorter that were made out in both.
func bothKnown(long, short []Place) int {
	n := 0
	for i := range short {
		if known(long[i], short[i]) {
			n++
		}
	}
	return n
}

// oneMissing tells whether leaving out one character of the longer number makes
// it fit the shorter one, and records which. In a run of the same character the
// first is named.
func (g *Agreement) oneMissing(long, short []Place) bool {
	head := 0
	for head < len(short) && fits(long[head], short[head]) {
		head++
	}
	tail := 0
	for tail < len(short) && fits(long[len(long)-1-tail], short[len(short)-1-tail]) {
		tail++
	}
	if head+tail < len(short) {
		return false
	}
	at := len(short) - tail // the first place whose removal makes the rest fit
	if bothKnown(long, short[:at])+bothKnown(long[at+1:], short[at:]) < 3 {
		return false
	}
	d := Difference{Slip: Missing, PlaceA: at + 1, PlaceB: at + 1, A: long[at].Char}
	if at+1 < len(long) && long[at].Char == long[at+1].Char {
		d.Explanation = "a doubled character is easily written once"
	}
	g.Differences = append(g.Differences, d)
	return true
}

func text(places []Place) string {
	var b strings.Builder
	for _, p := range places {
		b.WriteString(p.Char)
	}
	return b.String()
}
