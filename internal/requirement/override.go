package requirement

import (
	"fmt"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// overrides applies the changes of a set to the items it builds on, as long as they hold. One that names no item, changes
// nothing or has run out is reported.
func (b *builder) overrides(r *record.Record, body *record.RequirementSet) {
	for i := range body.Overrides {
		o := &body.Overrides[i]
		at := canon.ElementPointer("/overrides", i)
		it := b.find(o.Item)
		switch {
		case it == nil:
			b.unused(r, at+"/item", "there is no item "+o.Item+" to override", nearest(o.Item, b.ids()))
		case b.over(o):
			b.unused(r, at+"/until", fmt.Sprintf("this override ran out on %s and no longer holds", o.Until), "remove it, or state a later day")
		default:
			b.apply(r, at, it, o)
		}
	}
}

// over reports whether an override no longer holds on the day asked for. An end that nobody can read holds no more.
func (b *builder) over(o *record.RequirementOverride) bool {
	last, ok := dateOf(o.Until).Last()
	return !ok || !b.library.day.IsZero() && last.Compare(b.library.day) < 0
}

func (b *builder) ids() []string {
	var ids []string
	for i := range b.set.Items {
		ids = append(ids, b.set.Items[i].ID())
	}
	return ids
}

func (b *builder) unused(r *record.Record, pointer, message, hint string) {
	b.report(r, pointer, "override-unused", message, hint)
	b.set.Findings[len(b.set.Findings)-1].Severity = finding.Warning
}

func (b *builder) apply(r *record.Record, at string, it *Item, o *record.RequirementOverride) {
	before := it.RequirementItem
	waived, rule := it.Waived, it.Rule
	it.Waived = o.Waived == "yes"
	it.Asks, it.Judge = first(o.Asks, it.Asks), first(o.Judge, it.Judge)
	it.Applies, it.Test = first(o.Applies, it.Applies), first(o.Test, it.Test)
	it.Rule = quantity.Rule(first(o.Rule, string(it.Rule)))
	if it.Waived == waived && it.Rule == rule && it.Asks == before.Asks && it.Judge == before.Judge && it.Applies == before.Applies && it.Test == before.Test {
		b.unused(r, at, "this override changes nothing of "+o.Item, "remove it")
		return
	}
	it.Changed = o
	if it.Applies != before.Applies || it.Test != before.Test {
		b.compile(r, at, it)
	}
}

// heads says what a reader must know at the head of every page: a pinned set unlike the shipped one, a set out of force.
func (b *builder) heads(name string, r *record.Record, body *record.RequirementSet) {
	l := b.library
	if shipped, err := l.shippedRecord(name); err == nil && shipped.Digest != r.Digest {
		s := shipped.Body.(*record.RequirementSet)
		edition := "edition " + body.Edition + ", and the program ships edition " + s.Edition
		if body.Edition == s.Edition {
			edition = "edition " + body.Edition + " with other words than the program ships under that edition"
		}
		b.set.Head = append(b.set.Head, "This car pins its own copy of the set "+name+": "+edition+".")
	}
	today := edtf.Of(l.day)
	if from := dateOf(body.From); !from.IsZero() && edtf.Compare(today, from) == edtf.Before {
		b.set.Head = append(b.set.Head, fmt.Sprintf("The set %s is in force from %s on, which is after the day of this page.", name, from))
	}
	if until := dateOf(body.Until); !until.IsZero() && edtf.Compare(today, until) == edtf.After {
		b.set.Head = append(b.set.Head, fmt.Sprintf("The set %s was in force until %s, which is before the day of this page.", name, until))
	}
}
