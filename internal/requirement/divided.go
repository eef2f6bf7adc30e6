package requirement

import (
	"slices"
	"strings"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Divided is one reading that decided items both ways: met under one set, and not met under the other.
type Divided struct {
	Reading     record.Ref
	Met, NotMet []*Result
}

// Divide lists the readings whose figures one assessment holds to be within a limit and the other not, whatever the items are
// called and whatever was worked out of the figure, in the order in which the first meets them.
func Divide(before, after *Assessment) []Divided {
	var list []Divided
	first, second := before.byReading(), after.byReading()
	for _, r := range before.decisive() {
		a, b := first[r], second[r]
		if len(a.Met) > 0 && len(b.NotMet) > 0 || len(a.NotMet) > 0 && len(b.Met) > 0 {
			list = append(list, Divided{r, joined(a.Met, b.Met), joined(a.NotMet, b.NotMet)})
		}
	}
	return list
}

// joined puts two lists of results together, those of an item that both ask once.
func joined(a, b []*Result) []*Result {
	list := slices.Clone(a)
	for _, r := range b {
		if !slices.ContainsFunc(a, func(have *Result) bool { return have.Item.ID() == r.Item.ID() }) {
			list = append(list, r)
		}
	}
	return list
}

// decisive lists the readings that decided an item, in the order in which they are met.
func (a *Assessment) decisive() []record.Ref {
	var list []record.Ref
	for i := range a.Results {
		for _, ref := range a.Results[i].readings() {
			if !slices.Contains(list, ref) {
				list = append(list, ref)
			}
		}
	}
	return list
}

func (a *Assessment) byReading() map[record.Ref]Divided {
	by := map[record.Ref]Divided{}
	for i := range a.Results {
		r := &a.Results[i]
		for _, ref := range r.readings() {
			d := by[ref]
			if r.Outcome == Met {
				d.Met = append(d.Met, r)
			} else {
				d.NotMet = append(d.NotMet, r)
			}
			by[ref] = d
		}
	}
	return by
}

// readings lists the readings whose figures decided an outcome, met or not met; none where something else did.
func (r *Result) readings() []record.Ref {
	decided := map[Outcome]quantity.Outcome{Met: quantity.Met, NotMet: quantity.NotMet}[r.Outcome]
	var list []record.Ref
	for _, c := range r.Comparisons {
		for _, ref := range c.Records {
			if decided != "" && c.Decision.Outcome == decided && strings.HasPrefix(string(ref), "readings/") && !slices.Contains(list, ref) {
				list = append(list, ref)
			}
		}
	}
	return list
}
