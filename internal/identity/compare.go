package identity

import (
	"slices"
	"strings"
)

// Verdict is how far two readings agree.
type Verdict string

// The verdicts, from the best to none at all.
const (
	Agree       Verdict = "agree"        // every place was made out and is the same; the writing may differ
	Compatible  Verdict = "compatible"   // nothing that was made out differs; unknown places are not filled in
	Incomplete  Verdict = "incomplete"   // one is a part of the other
	NearMiss    Verdict = "near miss"    // what a slip of eye, hand or keyboard would make of one number
	Conflict    Verdict = "conflict"     // two different numbers
	NotCompared Verdict = "not compared" // one of them is no evidence; the sentence says why
)

// Slip is the kind of difference between two numbers at one spot.
type Slip string

// The slips that can be told apart.
const (
	Substituted Slip = "substituted" // another character
	Exchanged   Slip = "exchanged"   // two characters have changed places
	Missing     Slip = "missing"     // one character is in one number only
)

// Difference is one spot where two numbers differ. Places count from 1 in the
// key, that is without spaces, stars, dashes, dots and slashes.
type Difference struct {
	Slip        Slip
	PlaceA      int    // place in the first number; for Missing where it stands or would stand
	PlaceB      int    // the same in the second number
	A, B        string // what stands there: one character, two for Exchanged, "" for the side that lacks it
	Explanation string // what makes the slip likely, or ""; never a correction
}

// Agreement is the outcome of comparing two numbers. Sentence puts it in words.
type Agreement struct {
	Verdict     Verdict
	A, B        Number
	OnBase      bool         // compared without an addition that was recorded apart
	Differences []Difference // for NearMiss and, where places can be paired, Conflict
	Unknown     []int        // places that one of the two did not make out
	Longer      int          // for Incomplete: -1 the first is the longer, 1 the second, 0 only additions differ
	Before      string       // for Incomplete: what the longer has before the common part
	After       string       // and after it
	Remarks     []string     // further things to know, each a clause in plain words
}

// Compare tells how far two numbers agree. It is symmetric: exchanging the
// arguments exchanges the sides of the result and changes nothing else. Agree
// is an equivalence: three readings that agree two by two agree all.
//
// Where an addition was recorded apart, the whole numbers are compared first;
// if they do not agree, the base is. Bases that are the same make the numbers
// Incomplete, since the whole of them is not.
func Compare(a, b Number) Agreement {
	result := Agreement{A: a, B: b}
	for _, n := range []Number{a, b} {
		if fault := n.SplitFault(); fault != "" {
			result.Remarks = append(result.Remarks, fault)
		}
	}
	a, b = a.sound(), b.sound()
	fa, fb := Key(a.Raw), Key(b.Raw)
	if reasons := reasonsAgainst(a.Raw, fa, b.Raw, fb); len(reasons) > 0 {
		result.take(Agreement{Verdict: NotCompared, Remarks: reasons})
		return result
	}
	outcome := compareWhole(a.Raw, fa, b.Raw, fb)
	if outcome.Verdict != Agree && (a.Split() || b.Split()) {
		outcome = better(outcome, compareBases(a, b))
	}
	result.take(outcome)
	return result
}

// compareWhole compares two usable numbers as they stand.
func compareWhole(rawA string, a Form, rawB string, b Form) Agreement {
	var g Agreement
	g.compareForms(a, b)
	g.remark(rawA, a, rawB, b)
	return g
}

// reasonsAgainst lists why two numbers cannot be compared.
func reasonsAgainst(rawA string, a Form, rawB string, b Form) []string {
	reasons := append(reasonAgainst(rawA, a), reasonAgainst(rawB, b)...)
	slices.Sort(reasons)
	return slices.Compact(reasons)
}

func reasonAgainst(raw string, f Form) []string {
	if f.TooLong {
		return []string{"a text of more than 64 characters is not a number"}
	}
	if d, refused := Refused(raw); refused {
		return []string{d.Sentence}
	}
	if f.Known() == 0 {
		return []string{quote(raw) + " holds no character that was made out"}
	}
	return nil
}

// compareForms sets the verdict for two forms that hold something each.
func (g *Agreement) compareForms(a, b Form) {
	switch {
	case len(a.Places) == len(b.Places):
		g.compareInStep(a.Places, b.Places)
	case len(a.Places) > len(b.Places):
		g.compareLonger(a.Places, b.Places)
	default:
		mirror := Agreement{}
		mirror.compareLonger(b.Places, a.Places)
		g.take(mirror.flipped())
	}
}

// take copies the outcome of a comparison, leaves the numbers alone and adds the
// remarks: sorted and each once, so that the order of the arguments does not show.
func (g *Agreement) take(o Agreement) {
	g.Verdict, g.Differences, g.Unknown = o.Verdict, o.Differences, o.Unknown
	g.OnBase, g.Longer, g.Before, g.After = o.OnBase, o.Longer, o.Before, o.After
	g.Remarks = append(g.Remarks, o.Remarks...)
	slices.Sort(g.Remarks)
	g.Remarks = slices.Compact(g.Remarks)
}

// flipped is the same outcome seen from the other number.
func (g Agreement) flipped() Agreement {
	g.A, g.B, g.Longer = g.B, g.A, -g.Longer
	g.Differences = slices.Clone(g.Differences)
	for i, d := range g.Differences {
		d.PlaceA, d.PlaceB, d.A, d.B = d.PlaceB, d.PlaceA, d.B, d.A
		g.Differences[i] = d
	}
	return g
}

// compareBases compares what was there before anything was added.
func compareBases(a, b Number) Agreement {
	rawA, rawB := a.Lookup(), b.Lookup()
	fa, fb := Key(rawA), Key(rawB)
	if reasons := reasonsAgainst(rawA, fa, rawB, fb); len(reasons) > 0 {
		return Agreement{Verdict: NotCompared, OnBase: true, Remarks: reasons}
	}
	base := compareWhole(rawA, fa, rawB, fb)
	base.OnBase = true
	if base.Verdict == Agree {
		base.Verdict = Incomplete
	}
	return base
}

// better chooses between the comparison of the whole numbers and that of their
// bases: the one with the better verdict, and of two equal ones the one that
// explains more, which is the base where the bases are the same.
func better(whole, base Agreement) Agreement {
	w, b := whole.Verdict.rank(), base.Verdict.rank()
	if b < w || b == w && base.Verdict == Incomplete && base.Longer == 0 {
		return base
	}
	return whole
}

// rank orders verdicts from the best to the worst; NotCompared comes last.
func (v Verdict) rank() int {
	return slices.Index([]Verdict{Agree, Compatible, Incomplete, NearMiss, Conflict, NotCompared}, v)
}

// remark adds what is worth knowing about the writing of two numbers and about
// how one could have become the other.
func (g *Agreement) remark(rawA string, a Form, rawB string, b Form) {
	if g.Verdict == Agree && dividedDifferently(a, b) {
		g.Remarks = append(g.Remarks, "the two writings divide the number at different places; look again whether a separator counts")
	}
	if g.Verdict == Compatible && len(g.Unknown) == len(a.Places) {
		g.Remarks = append(g.Remarks, "no place was made out in both")
	}
	if g.Verdict != Agree {
		textA, textB := strings.TrimSpace(rawA), strings.TrimSpace(rawB)
		for _, why := range []string{spreadsheetMadeOf(textA, textB), spreadsheetMadeOf(textB, textA)} {
			if why != "" {
				g.Remarks = append(g.Remarks, why)
			}
		}
	}
}

// dividedDifferently tells whether each writing has a division that the other lacks.
func dividedDifferently(a, b Form) bool {
	lacks := func(x, y []int) bool {
		return slices.ContainsFunc(x, func(at int) bool { return !slices.Contains(y, at) })
	}
	da, db := a.divisions(), b.divisions()
	return lacks(da, db) && lacks(db, da)
}
