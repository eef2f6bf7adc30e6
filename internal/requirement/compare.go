package requirement

import (
	"fmt"

	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// sense is the direction of a comparison.
type sense int

const (
	atLeast sense = iota
	moreThan
	atMost
	lessThan
)

// turned is the comparison read from its other side.
func (s sense) turned() sense { return [...]sense{atMost, lessThan, atLeast, moreThan}[s] }

func (s sense) limit(q quantity.Quantity) quantity.Limit {
	return [...]func(quantity.Quantity) quantity.Limit{quantity.AtLeast, quantity.MoreThan, quantity.AtMost, quantity.LessThan}[s](q)
}

// holds compares two quantities under the decision rule of the evaluation. One side is the limit: what is written in the
// expression, or the figure without an uncertainty. Where both have one, their difference is held against zero.
func holds(a measured, s sense, b measured) ref.Val {
	if a.limit && !b.limit {
		return holds(b, s.turned(), a)
	}
	t := a.trail
	if t == nil {
		return types.NewErr("two limits are compared; one side must be a fact")
	}
	var decided []reached
	for _, x := range a.list {
		for _, y := range b.list {
			d, fault := decide(x.q, s, y.q, t.rule)
			if fault != "" {
				return t.fault(a.words + ": " + fault)
			}
			decided = append(decided, reached{d, append(append([]record.Ref(nil), x.records...), y.records...)})
		}
	}
	return t.settle(a.words, decided)
}

// reached is a decision with what it rests on.
type reached struct {
	quantity.Decision
	records []record.Ref
}

// decide holds one figure against another. The text is the fault of an expression that compares unlike things.
func decide(x quantity.Quantity, s sense, y quantity.Quantity, rule quantity.Rule) (quantity.Decision, string) {
	if xd, yd := x.Dimension(), y.Dimension(); xd != yd && xd != quantity.Unknown && yd != quantity.Unknown {
		return quantity.Decision{}, fmt.Sprintf("%s is no %s, so %s and %s cannot be compared", x, yd, x, y)
	}
	if _, _, uncertain := y.Uncertainty(); !uncertain && y.IsPoint() {
		return quantity.Decide(x, s.limit(y), rule), ""
	}
	gap, err := quantity.Sub(x, y)
	if err != nil {
		return quantity.Decision{Outcome: quantity.Undecidable, Rule: rule, Reason: err.Error()}, ""
	}
	zero, err := quantity.Parse("0 " + gap.Unit())
	if err != nil {
		return quantity.Decision{Outcome: quantity.Undecidable, Rule: rule, Reason: err.Error()}, ""
	}
	return quantity.Decide(gap, s.limit(zero), rule), ""
}

// settle takes several decisions on one question together. Readings that contradict each other settle nothing; one that
// decides is enough, and one more that agrees changes nothing.
func (t *trail) settle(words string, list []reached) ref.Val {
	by := map[quantity.Outcome][]reached{}
	for _, d := range list {
		by[d.Outcome] = append(by[d.Outcome], d)
	}
	met, not := by[quantity.Met], by[quantity.NotMet]
	switch {
	case len(met) > 0 && len(not) > 0:
		return t.unknown(Gap{Kind: Contradicts, Fact: words, Why: met[0].Reason + "; but " + not[0].Reason, Want: "a repeat of the reading, and the mistaken one corrected or withdrawn",
			Records: append(append([]record.Ref(nil), met[0].records...), not[0].records...)})
	case len(met) > 0:
		t.compared(words, best(met))
		return types.True
	case len(not) > 0:
		t.compared(words, not[0])
		return types.False
	case len(by[quantity.TooClose]) > 0:
		d := by[quantity.TooClose][0]
		return t.unknown(Gap{Kind: Close, Fact: words, Why: d.Reason, Want: "a reading with a smaller uncertainty", Records: d.records})
	}
	d := by[quantity.Undecidable][0]
	return t.unknown(Gap{Kind: Absent, Fact: words, Why: d.Reason, Want: "a figure with its uncertainty, or an instrument with its accuracy, that decides it", Records: d.records})
}

func (t *trail) compared(words string, by reached) {
	t.comparisons = append(t.comparisons, Comparison{Fact: words, Decision: by.Decision, Records: by.records})
}

// best is the decision with the smallest chance of a wrong accept; what is not known counts as the largest.
func best(list []reached) reached {
	least := list[0]
	for _, d := range list[1:] {
		if d.WrongAcceptKnown && (!least.WrongAcceptKnown || d.WrongAccept < least.WrongAccept) {
			least = d
		}
	}
	return least
}

// before compares two days; orSame lets the same day pass. Days that overlap leave it open.
func before(a, b moment, orSame bool) ref.Val {
	t := a.trail
	if t == nil {
		t = b.trail
	}
	if t == nil {
		return types.NewErr("two written days are compared; one side must be a fact")
	}
	switch edtf.Compare(a.date.Calendar(), b.date.Calendar()) {
	case edtf.Before:
		return types.True
	case edtf.After:
		return types.False
	case edtf.Equal:
		return types.Bool(orSame)
	}
	return t.unknown(Gap{Kind: Doubtful, Fact: a.words + " and " + b.words, Why: fmt.Sprintf("whether %s lies before %s is not certain", a.date, b.date), Want: "the exact day"})
}

// passed reports whether a number of full years lies between two days.
func passed(from, to moment, years int64) ref.Val {
	t := from.trail
	if t == nil {
		t = to.trail
	}
	if t == nil || years < 0 || years > 1000 {
		return types.NewErr("years_passed takes a day of the records, another day, and 0 to 1000 years")
	}
	first, ok1 := from.date.First()
	last, ok2 := from.date.Last()
	early, ok3 := to.date.First()
	late, ok4 := to.date.Last()
	months := int(years) * 12
	if ok1 && ok2 && ok3 && ok4 {
		if last.AddMonths(months).Compare(early) <= 0 {
			return types.True
		}
		if first.AddMonths(months).Compare(late) > 0 {
			return types.False
		}
	}
	return t.unknown(Gap{Kind: Doubtful, Fact: from.words + " to " + to.words, Why: fmt.Sprintf("whether %d years lie between %s and %s is not certain", years, from.date, to.date), Want: "the exact day"})
}

// ratio is one quantity over another.
func ratio(a, b measured) ref.Val {
	return combine(a, b, "over", quantity.Div)
}

// difference is one quantity less another.
func difference(a, b measured) ref.Val {
	return combine(a, b, "less", quantity.Sub)
}

func combine(a, b measured, word string, op func(x, y quantity.Quantity) (quantity.Quantity, error)) ref.Val {
	t := a.trail
	if t == nil {
		t = b.trail
	}
	if t == nil {
		return types.NewErr("two limits are combined; one side must be a fact")
	}
	out := measured{words: a.words + " " + word + " " + b.words, trail: t}
	for _, x := range a.list {
		for _, y := range b.list {
			q, err := op(x.q, y.q)
			if err != nil && (!x.q.IsPoint() || !y.q.IsPoint()) {
				return t.unknown(Gap{Kind: Absent, Fact: out.words, Why: err.Error(), Want: "readings that are figures and not bounds", Records: append(append([]record.Ref(nil), x.records...), y.records...)})
			}
			if err != nil {
				return t.fault(out.words + ": " + err.Error())
			}
			out.list = append(out.list, figure{q: q, records: append(append([]record.Ref(nil), x.records...), y.records...)})
		}
	}
	return out
}
