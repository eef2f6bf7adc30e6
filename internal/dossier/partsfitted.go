package dossier

import (
	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/record"
)

// partsFitted lists what the records place on the car: what came new, and what
// was found on it and is back or never left.
func (b *book) partsFitted() *doc.Section {
	s := doc.NewSection("parts-fitted", "Parts on the car")
	var fitted, remained []placed
	for _, p := range b.parts() {
		switch {
		case b.missing(p):
		case p.at.location == onCar:
			fitted = append(fitted, p)
		case p.at.location == neverMoved && b.found(p):
			remained = append(remained, p)
		}
	}
	if len(fitted)+len(remained) == 0 {
		s.Add(doc.Para("No record places a part on the car."))
		return s
	}
	if len(fitted) > 0 {
		b.addFitted(s, fitted)
	}
	switch {
	case len(remained) > 0 && b.brief():
		s.Add(doc.Para("{} found on the car that no line moves. That no line moves a part does not say that nobody moved it.", count(len(remained), "part")))
	case len(remained) > 0:
		b.addRemained(s, remained)
	}
	return s
}

func (b *book) addFitted(s *doc.Section, list []placed) {
	columns := []doc.Column{doc.Col("Part", 5), doc.Col("Where", 4), doc.Col("Origin", 4), doc.Col("Numbers", 4), doc.Col("Last line", 4)}
	if b.brief() {
		columns = columns[:4]
	}
	t := doc.NewTable("Parts that a line fitted", columns...)
	t.ID = "fitted"
	for _, group := range b.byOriginal(list) {
		t.Group(group.title)
		for _, p := range group.parts {
			cells := []any{b.partCell(p), b.whereCell(p.at, p.Body.Position), b.originCell(p), b.numbersCell(p), b.seenCell(p.at)}
			t.Row(cells[:len(columns)]...)
		}
	}
	s.Add(t)
	s.Add(b.besideParts(idsOf(list))...)
}

func (b *book) originCell(p placed) doc.Text {
	t := doc.Say("{}", stated(p.Body.Origin))
	if p.Body.Maker != "" {
		t = t.And(", made by {}", p.Body.Maker)
	}
	if p.Body.Source != "" {
		t = t.And(", from {}", p.Body.Source)
	}
	return t
}

func (b *book) numbersCell(p placed) doc.Text {
	var list []doc.Text
	for _, n := range p.Body.Numbers {
		list = append(list, doc.Say("{} {}", n.What, asRead(n.Raw)))
	}
	if len(list) == 0 {
		return doc.Text{doc.Missing("none read")}
	}
	return joinTexts(list, "; ").From(b.source(p.Record, "/numbers"))
}

// addRemained lists found parts that no line moves. That none does is no
// statement that they are untouched.
func (b *book) addRemained(s *doc.Section, list []placed) {
	t := doc.NewTable("Parts found on the car that no line moves", doc.Col("Part", 5), doc.Col("Position", 4), doc.Col("How known", 3), doc.Col("State", 5))
	t.ID = "remained"
	for _, p := range list {
		t.Row(b.partCell(p), stated(p.Body.Position), b.evidence(p), b.stateCell(p))
	}
	s.Add(t, doc.Para("That no line moves a part does not say that nobody moved it."))
	s.Add(b.besideParts(idsOf(list))...)
}

// evidence is how it is known that a part was on the car.
func (b *book) evidence(p placed) doc.Text {
	if b.car.Baseline != nil {
		for i, listed := range b.car.Baseline.Parts {
			if b.log.key(listed.Part) == b.s.Place(p.Record).ID {
				return doc.Say("{}", stated(listed.Evidence)).From(b.source(b.carRecord, canon.ElementPointer("/baseline/parts", i)))
			}
		}
	}
	return doc.Say("found: {}", stated(p.Body.Found)).From(b.source(p.Record, "/found"))
}

func idsOf(list []placed) []record.Ref {
	ids := make([]record.Ref, len(list))
	for i, p := range list {
		ids[i] = p.ID
	}
	return ids
}
