package requirement

import (
	"slices"
	"strings"

	"boltback/internal/record"
)

// Flip is an item that comes out differently in two assessments of a car: on another day, under another edition, or under
// another set that holds the same figure against another limit.
type Flip struct {
	// Before and After are the two results; one is nil where only the other assessment asks the item.
	Before, After *Result
	// Fact is the figure that both hold against a limit, where the items differ.
	Fact string
}

// Compare lists what flipped from one assessment to another, in the order of the second, then what only the first asks. Items of
// one name are compared with each other; beyond them, items that judge one figure: where those agree, nothing flipped.
func Compare(before, after *Assessment) []Flip {
	var flips []Flip
	for i := range after.Results {
		a := &after.Results[i]
		switch b := before.result(a.Item.ID()); {
		case b != nil && b.Outcome != a.Outcome:
			flips = append(flips, Flip{Before: b, After: a})
		case b == nil:
			shared, judged := before.sharing(a)
			flips = append(flips, shared...)
			if !judged {
				flips = append(flips, Flip{After: a})
			}
		}
	}
	for i := range before.Results {
		b := &before.Results[i]
		if after.result(b.Item.ID()) != nil {
			continue
		}
		shared, judged := after.sharing(b)
		for _, f := range shared {
			if turned := (Flip{b, f.Before, f.Fact}); !slices.Contains(flips, turned) {
				flips = append(flips, turned)
			}
		}
		if !judged {
			flips = append(flips, Flip{Before: b})
		}
	}
	return flips
}

func (a *Assessment) result(id string) *Result {
	for i := range a.Results {
		if a.Results[i].Item.ID() == id {
			return &a.Results[i]
		}
	}
	return nil
}

// sharing finds the results that held a figure of another against a limit of their own, and gives those that came out
// differently. It is false where no result holds such a figure.
func (a *Assessment) sharing(other *Result) (flips []Flip, judged bool) {
	for i := range a.Results {
		r := &a.Results[i]
		fact := sharedFact(r, other)
		if fact == "" {
			continue
		}
		if judged = true; r.Outcome != other.Outcome {
			flips = append(flips, Flip{r, other, fact})
		}
	}
	return flips, judged
}

func sharedFact(a, b *Result) string {
	for _, x := range a.facts() {
		if slices.Contains(b.facts(), x) {
			return x
		}
	}
	return ""
}

// facts lists the figures that a result held against a limit, those too close to call included.
func (r *Result) facts() []string {
	var facts []string
	for _, c := range r.Comparisons {
		facts = append(facts, c.Fact)
	}
	for _, g := range r.Gaps {
		if g.Kind == Close {
			facts = append(facts, g.Fact)
		}
	}
	return facts
}

// Why says what made an item flip, as a clause without full stop: that one side alone asks it, a limit of another set, a test that
// was changed, evidence that is there on one side alone, or nothing but the day.
func (f Flip) Why() string {
	switch {
	case f.Before == nil || f.After == nil:
		return "only one of the two asks it"
	case f.Fact != "":
		return "both hold " + f.Fact + " against a limit of their own"
	case f.Before.Item.Test != f.After.Item.Test, f.Before.Item.Applies != f.After.Item.Applies, f.Before.Item.Rule != f.After.Item.Rule, f.Before.Item.Waived != f.After.Item.Waived:
		return "the same records, asked otherwise"
	}
	if more := without(f.After.Records, f.Before.Records); len(more) > 0 {
		return "the later outcome rests on " + strings.Join(more, ", ")
	}
	if more := without(f.Before.Records, f.After.Records); len(more) > 0 {
		return "the earlier outcome rested on " + strings.Join(more, ", ")
	}
	return "the same records on another day"
}

func without(list, others []record.Ref) []string {
	var rest []string
	for _, r := range list {
		if !slices.Contains(others, r) {
			rest = append(rest, string(r))
		}
	}
	return rest
}
