package identity

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Severity is how much a statement weighs for the identity of the car.
type Severity int

// The severities, from the least. None of them is a pass or a failure.
const (
	Note    Severity = iota // worth knowing
	Caution                 // settle it before anyone relies on it
	High                    // the identity of the car is at risk
)

// String is the severity in a word: note, caution, high.
func (s Severity) String() string {
	switch s {
	case Note:
		return "note"
	case Caution:
		return "caution"
	}
	return "high"
}

// Statement is one thing that follows from the numbers on record.
type Statement struct {
	Code     string // names the sort of statement, stable
	Severity Severity
	Sentence string
	Asks     []string // what would settle it, each a noun phrase
	Records  []string // paths of the records it rests on, sorted
}

// Statements draws everything that follows from the claims alone: fields that
// are no evidence, suspicions, odd characters, splits that do not add up,
// numbers not made by the factory's method, titled numbers that are off the
// car. Heaviest first, then by code and records.
func Statements(claims []Claim) []Statement {
	var out []Statement
	for _, c := range sorted(claims) {
		out = append(out, fieldStatements(c)...)
		out = append(out, methodStatements(c)...)
	}
	return arrange(append(out, Titled(claims)...))
}

// arrange sorts statements for showing.
func arrange(out []Statement) []Statement {
	slices.SortStableFunc(out, func(a, b Statement) int {
		return cmp.Or(cmp.Compare(b.Severity, a.Severity), strings.Compare(a.Code, b.Code), slices.Compare(a.Records, b.Records))
	})
	return out
}

// paths collects record paths: sorted, each once, none empty.
func paths(in ...string) []string {
	out := slices.DeleteFunc(slices.Clone(in), func(p string) bool { return p == "" })
	slices.Sort(out)
	return slices.Compact(out)
}

// fieldStatements says what one field itself gives away.
func fieldStatements(c Claim) []Statement {
	var out []Statement
	say := func(code string, severity Severity, sentence string, asks ...string) {
		out = append(out, Statement{Code: code, Severity: severity, Records: paths(c.Record), Asks: asks,
			Sentence: c.Kind.Label() + ", " + c.place() + ": " + sentence})
	}
	const original = "the original, or a photo of it"
	for _, d := range Damage(c.Number.Raw) {
		if d.Certain {
			say("field-damaged", Caution, d.Sentence, original)
		} else {
			say("field-suspect", Note, d.Sentence, original)
		}
	}
	if suspicion := TableSuspicion(c.Number.Raw); c.FromTable && suspicion != "" {
		say("field-suspect", Note, suspicion, original)
	}
	if c.usable() {
		for _, o := range Key(c.Number.Raw).Oddities {
			say("odd-character", Note, fmt.Sprintf("place %d: %s", o.Place, o.Sentence), original)
		}
	}
	if fault := c.Number.SplitFault(); fault != "" {
		say("split-wrong", Caution, fault)
	}
	if c.Legibility == Legible && Key(c.Number.Raw).Pattern() {
		say("legibility-unlike", Note, fmt.Sprintf("%q is called legible and has places that were not made out", c.Number.Raw))
	}
	return out
}

// methodStatements weighs a number that the factory's method did not put there.
func methodStatements(c Claim) []Statement {
	if c.Factory != No || !c.usable() {
		return nil
	}
	return []Statement{{
		Code: "not-factory-method", Severity: Caution, Records: paths(c.Record),
		Sentence: fmt.Sprintf("%s %s: the number is present and was not put there by the method the factory used; "+
			"it supports what agrees with it and does not prove it", c.Kind.Label(), quote(c.Number.Raw)),
		Asks: []string{"the casting number and the casting date", "a photo of the characters and of the surface about them",
			"where the factory's own plate or stamping was, and what became of it"},
	}}
}
