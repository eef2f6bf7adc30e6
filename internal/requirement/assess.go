package requirement

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/record"
)

// Outcome is what became of one item.
type Outcome string

// The outcomes, the worst first. EvidenceMissing is never a pass and never a fail. ForInspector is an item without a test.
const (
	RuleError       Outcome = "the rule itself is faulty"
	NotMet          Outcome = "not met"
	TooClose        Outcome = "too close to call"
	EvidenceMissing Outcome = "evidence missing"
	ForInspector    Outcome = "for the inspector"
	Met             Outcome = "met"
	Waived          Outcome = "waived"
	DoesNotApply    Outcome = "does not apply"
)

// Outcomes lists the outcomes, the worst first.
func Outcomes() []Outcome {
	return []Outcome{RuleError, NotMet, TooClose, EvidenceMissing, ForInspector, Met, Waived, DoesNotApply}
}

// Result is an item with its outcome and what that rests on.
type Result struct {
	Item    *Item
	Outcome Outcome
	// Reason is a sentence without full stop.
	Reason string
	// Gaps are what the outcome hangs on, each with what would settle it.
	Gaps []Gap
	// Records and Workings are what was looked at; Comparisons the figures that were held against limits.
	Records     []record.Ref
	Workings    []string
	Comparisons []Comparison
}

// WrongAccept is the largest chance, over the comparisons of an item that is met, that it was accepted wrongly; false where
// nothing was measured or an uncertainty is not known.
func (r *Result) WrongAccept() (float64, bool) {
	worst := 0.0
	for _, c := range r.Comparisons {
		if !c.Decision.WrongAcceptKnown {
			return 0, false
		}
		worst = max(worst, c.Decision.WrongAccept)
	}
	return worst, len(r.Comparisons) > 0
}

// Assessment is one car held against one set on a day.
type Assessment struct {
	Set     *Set
	Day     edtf.Day
	Results []Result
}

// Count counts the results of an outcome.
func (a *Assessment) Count(o Outcome) int {
	n := 0
	for i := range a.Results {
		if a.Results[i].Outcome == o {
			n++
		}
	}
	return n
}

// Worst is the worst outcome of all items.
func (a *Assessment) Worst() Outcome {
	for _, o := range Outcomes() {
		if a.Count(o) > 0 {
			return o
		}
	}
	return DoesNotApply
}

// Assess holds the facts of a car against a set. Items stand by themselves: what is wrong with one stops no other.
func Assess(set *Set, facts *Facts) *Assessment {
	a := &Assessment{Set: set, Day: facts.Day()}
	for i := range set.Items {
		a.Results = append(a.Results, assess(&set.Items[i], facts))
	}
	return a
}

func assess(it *Item, facts *Facts) Result {
	r := Result{Item: it}
	if it.Waived {
		r.Outcome, r.Reason = Waived, "waived until "+string(it.Changed.Until)+": "+it.Changed.Reason
		return r
	}
	if it.fault != "" {
		r.Outcome, r.Reason = RuleError, it.fault
		return r
	}
	if it.applies != nil {
		a := it.applies.ask(facts, it.Rule)
		r.take(a)
		switch {
		case a.Fault != "":
			r.Outcome, r.Reason = RuleError, a.Fault
			return r
		case a.No:
			r.Outcome, r.Reason = DoesNotApply, first(it.To, "it is asked of other cars")
			return r
		case !a.Yes:
			r.open(a.Gaps, "whether it applies is not known")
			return r
		}
	}
	if it.test == nil {
		r.Outcome, r.Reason = ForInspector, "the records hold no test for this; whoever judges it looks"
		return r
	}
	r.judge(it.test.ask(facts, it.Rule))
	return r
}

// take notes what an answer rested on.
func (r *Result) take(a Answer) {
	for _, ref := range a.trail.records {
		if !slices.Contains(r.Records, ref) {
			r.Records = append(r.Records, ref)
		}
	}
	for _, w := range a.trail.workings {
		if !slices.Contains(r.Workings, w) {
			r.Workings = append(r.Workings, w)
		}
	}
	r.Comparisons = append(r.Comparisons, a.trail.comparisons...)
}

// judge turns the answer of a test into an outcome.
func (r *Result) judge(a Answer) {
	r.take(a)
	switch {
	case a.Fault != "":
		r.Outcome, r.Reason = RuleError, a.Fault
	case a.Yes:
		r.Outcome = Met
		r.Reason = r.because("the records show it")
	case a.No:
		r.Outcome = NotMet
		r.Reason = r.because(denial(a.trail.denied))
	default:
		r.open(a.Gaps, "")
	}
}

// denial says which facts are not so, the first few by name.
func denial(facts []string) string {
	const few = 3
	switch {
	case len(facts) == 0:
		return "the records show that it is not so"
	case len(facts) > few:
		return fmt.Sprintf("no, by the records, to %s; and %d more", strings.Join(facts[:few], "; "), len(facts)-few)
	}
	return "no, by the records, to " + strings.Join(facts, "; ")
}

// because gives the reason of the comparison that decided, or other words where none was made.
func (r *Result) because(otherwise string) string {
	want := string(Met)
	if r.Outcome == NotMet {
		want = string(NotMet)
	}
	reason := ""
	for _, c := range r.Comparisons {
		if string(c.Decision.Outcome) == want {
			reason = c.Fact + ": " + c.Decision.Reason
			if want == string(NotMet) {
				return reason
			}
		}
	}
	return first(reason, otherwise)
}

// open is the outcome of what gaps leave open. Only where nothing but closeness to a limit stands in the way is it too close
// to call.
func (r *Result) open(gaps []Gap, words string) {
	r.Gaps = gaps
	r.Outcome = TooClose
	for _, g := range gaps {
		if g.Kind != Close {
			r.Outcome = EvidenceMissing
		}
		for _, ref := range g.Records {
			if !slices.Contains(r.Records, ref) {
				r.Records = append(r.Records, ref)
			}
		}
	}
	r.Reason = words
	if len(gaps) > 0 {
		r.Reason = strings.TrimPrefix(words+": "+gaps[0].Sentence(), ": ")
	}
}

// Sentence says what is open and why, without full stop.
func (g Gap) Sentence() string {
	switch {
	case g.Kind == Absent && g.Why == "":
		return g.Fact + " is not recorded"
	case g.Kind == Absent:
		return g.Fact + " is not known: " + g.Why
	case g.Kind == Stale:
		return g.Fact + " is stale: " + g.Why
	}
	return g.Fact + ": " + g.Why
}

// Open says that an outcome is not settled in favour of the car: not met, too close, evidence missing, or a faulty rule.
func (o Outcome) Open() bool {
	return o == RuleError || o == NotMet || o == TooClose || o == EvidenceMissing
}
