package workings

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// sealedWords stand where a value is recorded as a digest alone.
const sealedWords = "sealed"

// values adds up what the stored found parts are worth, and what each store
// holds of this car on the day.
func (c *Car) values() []Working {
	var found []Money
	for _, st := range c.stored() {
		if m, counts := c.worth(st); counts {
			found = append(found, m)
		}
	}
	list := []Working{Value("stored parts", "Value of the found parts that are stored", found)}
	for _, ref := range c.Stores() {
		list = append(list, Value("store "+orUnnamed(ref), "Value of what "+c.StoreName(ref)+" holds of this car", c.HeldIn(ref)))
	}
	return list
}

// Stores lists the stores in which parts of the car lie on the day; an empty one
// stands for parts in a store that is not named.
func (c *Car) Stores() []record.Ref {
	var list []record.Ref
	for _, st := range c.state.Parts() {
		if _, counts := c.worth(st); counts && st.Where.Place == replay.InStore && !slices.Contains(list, st.Where.Store) {
			list = append(list, st.Where.Store)
		}
	}
	slices.Sort(list)
	return list
}

// StoreName is what people call a store.
func (c *Car) StoreName(ref record.Ref) string {
	if ref == "" {
		return "a store that is not named"
	}
	return c.name(ref)
}

// HeldIn lists what a store holds of this car on the day, found on it or not,
// with what each is worth.
func (c *Car) HeldIn(store record.Ref) []Money {
	var list []Money
	for _, st := range c.state.Parts() {
		if m, counts := c.worth(st); counts && st.Where.Place == replay.InStore && st.Where.Store == store {
			list = append(list, m)
		}
	}
	return list
}

// worth is what a part is worth by its record. Clips, gaskets and the like count
// only where somebody valued them.
func (c *Car) worth(st replay.PartState) (m Money, counts bool) {
	p, ok := ledger.Get[record.Part](c.s, st.Ref)
	if !ok || p.Body.Class == "expendable" && p.Body.Value == "" {
		return m, false
	}
	m = Money{What: p.Name(), In: st.Where.Shelf}
	if line, missed := c.state.Line(st.Missed); missed {
		m.Missed = dateOf(line.Work.Started).Calendar()
	}
	if p.Body.Value == "" {
		return m, true
	}
	m.Amount, m.Sealed = c.opened(p.Body.Value)
	m.From = Recorded(p.Record, "/value", "")
	if m.From.Text = m.Amount; m.Sealed {
		m.From.Text = sealedWords
	}
	if holder, ok := ledger.Get[record.Part](c.s, st.Inside); ok && holder.Body.Value != "" {
		m.With = holder.Name()
	}
	return m, true
}

// opened gives a private value where it was disclosed to whoever asks.
func (c *Car) opened(digest record.Sealed) (text string, sealed bool) {
	if c.disclosed != nil {
		if text, here := c.disclosed(digest); here {
			return text, false
		}
	}
	return "", true
}

// orUnnamed is the last element of a store's name.
func orUnnamed(ref record.Ref) string {
	if ref == "" {
		return "not named"
	}
	return short(ref)
}
