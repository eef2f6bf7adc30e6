package identity

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// quote shows a text as written, with invisible characters made visible.
func quote(s string) string { return strconv.Quote(s) }

// count puts a number before a noun: "1 place", "2 places".
func count(n int, noun string) string {
	if n != 1 {
		noun = plural(noun)
	}
	return strconv.Itoa(n) + " " + noun
}

func plural(noun string) string {
	if strings.HasSuffix(noun, "sh") {
		return noun + "es"
	}
	return noun + "s"
}

// list joins words as a sentence does: "a, b and c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// Sentence says in plain words how far the two numbers agree.
func (g Agreement) Sentence() string {
	s := g.statement()
	if g.OnBase {
		s = g.baseClause() + s
	}
	for _, r := range g.Remarks {
		if g.Verdict != NotCompared {
			s += "; " + r
		}
	}
	return s
}

func (g Agreement) statement() string {
	a, b := quote(g.shown(g.A)), quote(g.shown(g.B))
	switch g.Verdict {
	case Agree:
		return g.agreeSentence()
	case Compatible:
		return fmt.Sprintf("%s is compatible with %s: nothing that was made out differs, %s not known and not filled in",
			a, b, places(g.Unknown))
	case Incomplete:
		return g.incompleteSentence(a, b)
	case NearMiss:
		return fmt.Sprintf("%s and %s nearly agree and are not taken for the same: %s", a, b, g.differenceClauses())
	case NotCompared:
		return "not compared: " + strings.Join(g.Remarks, "; ")
	}
	if n := len(g.Differences); n == 0 || n > 3 {
		return fmt.Sprintf("%s and %s are different numbers%s", a, b, differing(n))
	}
	return fmt.Sprintf("%s and %s are different numbers: %s", a, b, g.differenceClauses())
}

// shown is the writing that was compared.
func (g Agreement) shown(n Number) string {
	if g.OnBase {
		return n.Lookup()
	}
	return n.Raw
}

func (g Agreement) baseClause() string {
	var parts []string
	for _, n := range []Number{g.A, g.B} {
		if n = n.sound(); n.Split() {
			parts = append(parts, fmt.Sprintf("%s of %s", quote(n.Added()), quote(n.Raw)))
		}
	}
	return fmt.Sprintf("without the addition %s, recorded apart: ", list(slices.Compact(parts)))
}

func (g Agreement) agreeSentence() string {
	if g.A.Raw == g.B.Raw {
		return fmt.Sprintf("same number, same writing: %s", quote(g.A.Raw))
	}
	return fmt.Sprintf("same number, different writing: %s and %s differ in %s alone",
		quote(g.A.Raw), quote(g.B.Raw), writingDifference(Key(g.A.Raw), Key(g.B.Raw)))
}

// writingDifference names the sorts of decoration in which two writings differ.
func writingDifference(a, b Form) string {
	var what []string
	for _, kind := range []string{"space", "star", "dash", "dot", "slash", "quotation mark", "invisible character"} {
		if !slices.Equal(ofKind(a.Dropped, kind), ofKind(b.Dropped, kind)) {
			what = append(what, plural(kind))
		}
	}
	if !slices.EqualFunc(a.Places, b.Places, func(x, y Place) bool { return x.Written == y.Written }) {
		what = append(what, "small letters")
	}
	if len(what) == 0 {
		return "the way characters are stored"
	}
	return list(what)
}

func ofKind(dropped []Dropped, kind string) []Dropped {
	var out []Dropped
	for _, d := range dropped {
		if d.What == kind {
			out = append(out, d)
		}
	}
	return out
}

func (g Agreement) incompleteSentence(a, b string) string {
	if g.Longer == 0 {
		return fmt.Sprintf("the base is the same number, %s and %s as a whole are not", quote(g.A.Raw), quote(g.B.Raw))
	}
	long, short := a, b
	if g.Longer > 0 {
		long, short = b, a
	}
	var extra []string
	if g.Before != "" {
		extra = append(extra, quote(g.Before)+" before it")
	}
	if g.After != "" {
		extra = append(extra, quote(g.After)+" after it")
	}
	return fmt.Sprintf("%s is a part of %s, which has %s; left out in one or added in the other, the numbers alone do not say",
		short, long, list(extra))
}

func (g Agreement) differenceClauses() string {
	var out []string
	for _, d := range g.Differences {
		out = append(out, d.Sentence())
	}
	return strings.Join(out, "; ")
}

// differing tells in how many places two numbers differ, where that was counted.
func differing(n int) string {
	if n == 0 {
		return ""
	}
	return ": " + count(n, "place") + " differ"
}

// Sentence names what differs and where. Places count without decoration.
func (d Difference) Sentence() string {
	var s string
	switch d.Slip {
	case Exchanged:
		s = fmt.Sprintf("from place %d on %s against %s, two characters exchanged", d.PlaceA, quote(d.A), quote(d.B))
	case Missing:
		s = fmt.Sprintf("%s at place %d stands in one only", quote(d.A+d.B), d.PlaceA)
	default:
		s = fmt.Sprintf("at place %d %s against %s", d.PlaceA, quote(d.A), quote(d.B))
	}
	if d.Explanation != "" {
		s += " (" + d.Explanation + ")"
	}
	return s
}

func places(at []int) string {
	words := make([]string, len(at))
	for i, n := range at {
		words[i] = strconv.Itoa(n)
	}
	if len(at) == 1 {
		return "place " + words[0] + " is"
	}
	return "places " + list(words) + " are"
}
