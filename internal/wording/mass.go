package wording

import (
	"fmt"

	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/workings"
)

// splitWithin is how far the share of the front axle may lie from the one found for the split to be called as found, in
// points of the total. It is this program's, and stands in the sentence.
const splitWithin = "1 %"

// massPhrases says what the scales support: no heavier than found, the split between the axles, and the masses themselves.
// Inside the doubt of the scales a sentence is withheld.
func (m *maker) massPhrases() {
	c := workings.Of(m.w, m.now.Day, nil)
	pairs := c.WeighedPairs()
	m.say(m.comparing(pairs, Phrase{Code: "no-heavier-than-found", Text: "No heavier than it was found."}, func(p workings.WeighedPair) (Phrase, []record.Ref) {
		return noHeavier(p), p.Whole
	}))
	m.say(m.comparing(pairs, Phrase{Code: "axle-split-as-found", Text: "The split between the axles is as found."}, func(p workings.WeighedPair) (Phrase, []record.Ref) {
		return splitKept(p), p.Split
	}))
	m.weighed(c)
}

// comparing judges each pair of weighings that describes the car as found and as it is, and takes the worst.
func (m *maker) comparing(pairs []workings.WeighedPair, open Phrase, judge func(workings.WeighedPair) (Phrase, []record.Ref)) Phrase {
	open.Standing, open.Settle = Withheld, "weigh it again in the condition in which it was weighed as found, on a scale with its division recorded"
	open.Why = "no two weighings in one and the same stated condition are on record"
	var worst *Phrase
	for _, pair := range pairs {
		p, stale := judge(pair)
		p.Code = open.Code
		switch {
		case len(pair.Unlike) > 0:
			open.Why = "before the first of two weighings in one condition parts had come off, on or elsewhere: " + few(pair.Unlike)
			open.Settle = "nothing made later can settle it; an earlier ticket in the same condition may"
			open.Against = append(open.Against, pair.Before)
		case len(stale) > 0:
			open.Why = "work since the weighing of " + pair.AfterOn + " moved mass"
			open.Against = append(open.Against, stale...)
		case worst == nil || graver(p.Standing, worst.Standing):
			worst = &p
		}
	}
	if worst != nil {
		return *worst
	}
	return open
}

// graver says that one standing says more against a sentence than another.
func graver(a, b Standing) bool {
	rank := map[Standing]int{Supported: 0, Withheld: 1, Contradicted: 2}
	return rank[a] > rank[b]
}

// noHeavier takes the verdict of the working, which keeps the doubt of the scales.
func noHeavier(pair workings.WeighedPair) Phrase {
	p := Phrase{Text: fmt.Sprintf("By the weighings of %s and %s (%s, both times), it is no heavier than it was found.", pair.BeforeOn, pair.AfterOn, pair.Conditions)}
	for _, v := range pair.Change.Verdicts {
		if v.Of == workings.WordingNoHeavier {
			return decided(p, pair, v.Outcome, sayChange(pair, "D", "the total changed by %s"), "the change lies within the doubt of the two weighings, or that doubt is not recorded")
		}
	}
	return decided(p, pair, workings.EvidenceMissing, "", "the two weighings cannot be compared: "+pair.Change.Answer)
}

// splitKept holds the change of the front axle's share against the point that the sentence names.
func splitKept(pair workings.WeighedPair) Phrase {
	p := Phrase{Text: fmt.Sprintf("By the weighings of %s and %s (%s, both times), the front axle carries the share of the car that it carried as found, to within one point in a hundred.",
		pair.BeforeOn, pair.AfterOn, pair.Conditions)}
	change, ok := pair.Change.Result("D_p")
	if !ok {
		return decided(p, pair, workings.EvidenceMissing, "", "the loads of both axles are not on record from both weighings")
	}
	limit := quantity.Between(workings.Given("-"+splitWithin).Value, workings.Given(splitWithin).Value)
	outcome := workings.Outcome(quantity.Decide(change, limit, quantity.GuardBand).Outcome)
	return decided(p, pair, outcome, sayChange(pair, "D_p", "the share of the front axle changed by %s of the total"),
		"the change lies too near to one point to be told on these scales, or their doubt is not recorded")
}

func sayChange(pair workings.WeighedPair, symbol, words string) string {
	q, ok := pair.Change.Result(symbol)
	if !ok {
		return ""
	}
	return fmt.Sprintf(words, workings.Show(q))
}

// decided gives a sentence its standing, with the weighings for it or against it.
func decided(p Phrase, pair workings.WeighedPair, outcome workings.Outcome, said, open string) Phrase {
	both := []record.Ref{pair.Before, pair.After}
	switch outcome {
	case workings.Met:
		p.Standing, p.Why, p.For = Supported, said+", and the doubt of the scales is less than what is left", both
	case workings.NotMet:
		p.Standing, p.Why, p.Against = Contradicted, said+", which is more than the scales can be wrong", both
	default:
		p.Standing, p.Why, p.Against = Withheld, open, both
		if said != "" {
			p.Why = said + ": " + open
		}
		p.Settle = "weigh it on a finer scale, in the same condition"
	}
	return p
}

// weighed states the last weighing with its figures.
func (m *maker) weighed(c *workings.Car) {
	id, w, sum, whole, split, ok := c.LastWeighed()
	if !ok {
		return
	}
	p := Phrase{Code: "weighed", Standing: Supported, For: []record.Ref{id}, Why: "the weighing is on record, and no recorded work since moved mass",
		Text: fmt.Sprintf("By the weighing on record, it weighed %s on %s (%s).", w.Total.Text, w.On, w.Stood())}
	if w.Front.Text != "" && w.Rear.Text != "" {
		p.Text = fmt.Sprintf("By the weighing on record, it weighed %s on %s, front axle %s, rear axle %s (%s).", w.Total.Text, w.On, w.Front.Text, w.Rear.Text, w.Stood())
		whole = split
	}
	switch {
	case sum.Worst() == workings.Contradiction:
		p.Standing, p.Why, p.Against = Withheld, sum.Verdicts[0].Reason, []record.Ref{id}
		p.Settle = "find the original ticket, or weigh it again"
	case len(whole) > 0:
		p.Standing, p.Why, p.Against = Withheld, "work since then moved mass", append([]record.Ref{id}, whole...)
		p.Settle = "weigh it again"
	}
	m.say(p)
}
