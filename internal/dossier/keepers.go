package dossier

import (
	"slices"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// keepers is the chain of keepers, with gaps shown as gaps, and what became of the parts in store each time.
func (b *book) keepers() *doc.Section {
	s := doc.NewSection("keepers", "Keepers, and what was handed over")
	list := b.transfersInOrder()
	if len(list) == 0 {
		s.Add(doc.Para("No change of keeper is on record. Who had the car, and who has the parts that are off it by right, the records do not say."))
		return s
	}
	s.Add(doc.Para("{} Between two transfers that do not join, the records know of no keeper.", b.keepersNamed()))
	t := doc.NewTable("Transfers, oldest first", doc.Col("Day", 3), doc.Col("From", 4), doc.Col("To", 4), doc.Col("How", 3), doc.Col("Distance", 3), doc.Col("Handed over", 6))
	t.ID = "transfer-list"
	for i, one := range list {
		if i > 0 {
			if gap, ok := b.gapBetween(list[i-1], one); ok {
				t.Row(doc.Cell{Text: gap, Span: len(t.Columns)})
			}
		}
		day := doc.Say("{}", dayOr(one.Body.On)).From(b.source(one.Record, ""))
		t.Row(day, b.keeper(one.Body.From), b.keeper(one.Body.To), doc.Say("{}; known: {}", stated(one.Body.How), stated(one.Body.Basis)), b.name(one.Body.Distance), b.handedOver(one))
	}
	s.Add(t)
	s.Add(b.custody(list)...)
	return s
}

// keepersNamed says what this document shows of names, addresses and prices.
func (b *book) keepersNamed() string {
	if b.in.Disclosed != nil {
		return "Names, addresses and prices stand here where their disclosures were beside the records, and are withheld elsewhere."
	}
	return "Names, addresses and prices are withheld: whoever holds them can hold them against the digests in the records."
}

// transfersInOrder lists the transfers that count by their days; what has no day stands last.
func (b *book) transfersInOrder() []ledger.Entry[record.Transfer] {
	list := ledger.All[record.Transfer](b.s)
	slices.SortStableFunc(list, func(x, y ledger.Entry[record.Transfer]) int {
		dx, errX := edtf.Parse(string(x.Body.On))
		dy, errY := edtf.Parse(string(y.Body.On))
		switch {
		case errX != nil && errY != nil:
			return 0
		case errX != nil:
			return 1
		case errY != nil:
			return -1
		}
		return edtf.ByTime(dx, dy)
	})
	return list
}

// gapBetween says where one transfer does not join the next: whoever gives the car away is not recorded as having got it.
func (b *book) gapBetween(before, after ledger.Entry[record.Transfer]) (doc.Text, bool) {
	got, gave := before.Body.To, after.Body.From
	if got == nil || gave == nil || got.Sort == "" || gave.Sort == "" {
		return doc.Say("Whether the keeper of {} is the one of {} is {}.", dayOr(before.Body.On), dayOr(after.Body.On), doc.Missing("")), true
	}
	if got.Joins(gave) {
		return nil, false
	}
	return doc.Say("Gap: {} got the car on {}, and {} gave it away on {}; how it came from one to the other is {}.",
		b.keeper(got), dayOr(before.Body.On), b.keeper(gave), dayOr(after.Body.On), doc.Missing("")), true
}

// keeper says what sort of keeper somebody is; his name and address only where they are disclosed.
func (b *book) keeper(k *record.Keeper) doc.Text {
	if k == nil {
		return doc.Text{doc.Missing("")}
	}
	t := doc.Say("{}", stated(k.Sort))
	switch {
	case k.Person != "":
		t = t.And(", {}", b.called(k.Person))
	case k.Name != "":
		t = t.And(", name {}", b.sealed(k.Name))
	}
	if k.Address != "" && b.in.Disclosed != nil {
		t = t.And(", address {}", b.sealed(k.Address))
	}
	if k.Country != "" {
		t = t.And(", {}", k.Country)
	}
	return t
}

func (b *book) handedOver(one ledger.Entry[record.Transfer]) doc.Text {
	var list []doc.Text
	for _, given := range []struct {
		what string
		refs []record.Ref
	}{{"papers", one.Body.HandedOver}, {"keys and codes", one.Body.Codes}, {"settings", one.Body.Settings}} {
		if len(given.refs) > 0 {
			list = append(list, doc.Say("{}: {}", given.what, b.callThem(given.refs)))
		}
	}
	if one.Body.Receipt != "" {
		list = append(list, doc.Say("receipt: {}", b.called(one.Body.Receipt)))
	}
	if one.Body.Price != "" {
		list = append(list, doc.Say("price {}", b.sealed(one.Body.Price)))
	}
	if one.Body.Note != "" {
		list = append(list, doc.Say("{}", quoted(one.Body.Note)))
	}
	if len(list) == 0 {
		return doc.Text{doc.Missing("nothing on record")}
	}
	return joinTexts(list, "; ")
}

// custody lists what each transfer says of parts off the car, and the parts in store that the last one does not name.
func (b *book) custody(list []ledger.Entry[record.Transfer]) []doc.Block {
	t := doc.NewTable("Parts off the car at a transfer", doc.Col("Day", 3), doc.Col("Parts", 7), doc.Col("What becomes of them", 4), doc.Col("Kept at", 5), doc.Col("Looked at that day", 3))
	t.ID = "custody-list"
	for _, one := range list {
		for i, c := range one.Body.Custody {
			day := doc.Say("{}", dayOr(one.Body.On)).From(b.source(one.Record, canon.ElementPointer("/custody", i)))
			kept := doc.Say("{}, {}; until {}", b.called(c.Store), stated(c.Place), dayOr(c.Until))
			if c.Store == "" && c.Place == "" {
				kept = doc.Text{doc.Missing("")}
			}
			if c.Note != "" {
				kept = kept.And("; {}", quoted(c.Note))
			}
			t.Row(day, b.callThem(c.Parts), stated(c.Goes), kept, stated(c.Seen))
		}
	}
	var blocks []doc.Block
	if t.Rows() > 0 {
		blocks = append(blocks, t)
	}
	last := list[len(list)-1]
	if open := b.unnamed(last); len(open) > 0 {
		blocks = append(blocks, doc.Para("The last transfer, of {}, does not name {} that the records have off the car by then: {}. Whose they are and whether they travel with the car is {}.",
			dayOr(last.Body.On), count(len(open), "found part"), b.callThem(open), doc.Missing("")))
	}
	return blocks
}

// unnamed lists the found parts off the car that a transfer does not name, neither themselves nor the assembly they are
// in. What came off after it for certain is none of its business.
func (b *book) unnamed(one ledger.Entry[record.Transfer]) []record.Ref {
	named := map[record.Ref]bool{}
	for _, c := range one.Body.Custody {
		for _, p := range c.Parts {
			named[b.log.key(p)] = true
		}
	}
	var open []record.Ref
	for _, p := range b.parts() {
		if p.at.removal != nil && edtf.Compare(date(one.Body.On), date(p.at.removal.session.body.Started)) == edtf.Before {
			continue
		}
		off := p.at.location == stored || p.at.location == unplaced || p.at.location == withSomebody
		if off && b.found(p) && p.Body.Class != "expendable" && !named[b.log.key(p.ID)] && !named[p.at.within] {
			open = append(open, p.ID)
		}
	}
	return open
}
