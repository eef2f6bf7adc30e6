package workings

import (
	"slices"

	"boltback/internal/record"
)

// WeighedPair is a weighing of the car as it was found and the last one in the
// same stated condition, for what may be said of its mass.
type WeighedPair struct {
	Before, After     record.Ref
	BeforeOn, AfterOn string
	Conditions        string
	// Change compares the two; its verdict on WordingNoHeavier holds the doubt of
	// the scales against it, and D_p is the change of the front axle's share.
	Change Working
	// Whole and Split are the work since the later weighing that makes its total,
	// or its split between the axles, say nothing of the car of today.
	Whole, Split []record.Ref
	// Unlike says which parts had come, gone or moved before the first weighing,
	// which then is none of the car as found.
	Unlike []string
}

// WeighedPairs gives a pair for each condition in which the car was weighed more
// than once, by figures that were read from a scale.
func (c *Car) WeighedPairs() []WeighedPair {
	groups := map[string][]weighed{}
	var order []string
	for _, w := range c.weighings() {
		key := w.w.conditions()
		if w.w.hearsay() || w.w.Total.Text == "" {
			continue
		}
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], w)
	}
	var list []WeighedPair
	for _, key := range order {
		if g := groups[key]; len(g) > 1 {
			list = append(list, c.pair(key, g[0], g[len(g)-1]))
		}
	}
	return list
}

func (c *Car) pair(conditions string, first, last weighed) WeighedPair {
	p := WeighedPair{Before: first.ID, After: last.ID, BeforeOn: string(first.Body.On), AfterOn: string(last.Body.On), Conditions: conditions,
		Change: MassChange(short(first.ID)+" to "+short(last.ID), first.w, last.w)}
	p.Whole, p.Split = c.staleBy(last)
	day, ok := dateOf(first.Body.On).Last()
	if !ok {
		p.Unlike = append(p.Unlike, "the day of the first weighing is not known")
		return p
	}
	for _, one := range c.between(c.work.Start(), c.work.On(day)) {
		p.Unlike = append(p.Unlike, one.What)
	}
	return p
}

// staleBy lists the work that makes the total, or the split, of a weighing stale.
func (c *Car) staleBy(w weighed) (whole, split []record.Ref) {
	for _, e := range c.eventsSince(w) {
		if e.Sign != 0 {
			whole = append(whole, e.Work)
		}
		split = append(split, e.Work)
	}
	slices.Sort(whole)
	slices.Sort(split)
	return slices.Compact(whole), slices.Compact(split)
}

// LastWeighed is the last weighing with a total read from a scale, its axles
// held against that, and the work since that makes total or split stale; ok is
// false where there is none.
func (c *Car) LastWeighed() (id record.Ref, w Weighing, sum Working, whole, split []record.Ref, ok bool) {
	for _, last := range slices.Backward(c.weighings()) {
		if last.w.hearsay() || last.w.Total.Value.IsZero() {
			continue
		}
		whole, split = c.staleBy(last)
		return last.ID, last.w, TicketSum(short(last.ID), last.w), whole, split, true
	}
	return "", Weighing{}, Working{}, nil, nil, false
}

// Stood says in words how the car stood.
func (w *Weighing) Stood() string { return w.conditions() }
