package dossier

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/requirement"
)

// annex collects the papers that the items rest on, and those that show what they rest on.
func (p *paperwork) annex() {
	for i := range p.a.Results {
		for _, ref := range p.papersOf(&p.a.Results[i]) {
			if !slices.Contains(p.annexes, ref) {
				p.annexes = append(p.annexes, ref)
			}
		}
	}
}

// papersOf lists the papers of one item: those it rests on, those that its records name, and those that show its records.
func (p *paperwork) papersOf(r *requirement.Result) []record.Ref {
	var list []record.Ref
	add := func(ref record.Ref) {
		if e, ok := ledger.Get[record.Paper](p.s, ref); ok && !slices.Contains(list, e.ID) {
			list = append(list, e.ID)
		}
	}
	for _, ref := range r.Records {
		add(ref)
		current := p.s.Current(ref)
		if current == nil || current.Kind == record.KindCar {
			continue // a rating rests on the car's record, and the papers of its numbers say nothing of ratings
		}
		for _, leaf := range current.Leaves() {
			if leaf.Role == record.Reference {
				add(record.Ref(leaf.Text))
			}
		}
		for _, use := range p.s.Uses(current.ID) {
			add(use.From.ID)
		}
	}
	return list
}

// mark is the number of an annex: A1, A2 ...
func (p *paperwork) mark(ref record.Ref) string {
	return fmt.Sprintf("A%d", slices.Index(p.annexes, ref)+1)
}

func (p *paperwork) marks(refs []record.Ref) string {
	var words []string
	for _, ref := range refs {
		words = append(words, p.mark(ref))
	}
	if len(words) == 0 {
		return "none on record"
	}
	return strings.Join(words, ", ")
}

// enclosed lists the photos by item, and the annexes with what each is.
func (p *paperwork) enclosed() *doc.Section {
	return doc.NewSection("annexes", "Photos by item, and annexes", p.photos(), p.index())
}

// photos lists the photos by item; what each shows stands with the annexes below.
func (p *paperwork) photos() doc.Block {
	t := doc.NewTable("Photos by item", doc.Col("No.", 1), doc.Col("Item", 9), doc.Col("Photos, by annex", 6))
	for i := range p.a.Results {
		r := &p.a.Results[i]
		var marks []string
		for _, ref := range p.papersOf(r) {
			if e, ok := ledger.Get[record.Paper](p.s, ref); ok && e.Body.Class == "photo" {
				marks = append(marks, p.mark(ref))
			}
		}
		if len(marks) > 0 {
			t.Row(fmt.Sprint(i+1), doc.Say("{}", r.Item.Title), strings.Join(marks, ", "))
		}
	}
	if t.Rows() == 0 {
		return doc.Para("{}", doc.Missing("no photo on record shows what the items rest on"))
	}
	return t
}

// index lists the annexes with the numbers of the items that each is for.
func (p *paperwork) index() doc.Block {
	t := doc.NewTable("Annexes to put behind these papers", doc.Col("Annex", 2), doc.Col("Paper", 9), doc.Col("Kind", 4), doc.Col("For items", 5), doc.Col("Held", 5))
	for _, ref := range p.annexes {
		if e, ok := ledger.Get[record.Paper](p.s, ref); ok {
			t.Row(p.mark(ref), doc.Say("{}", titleOf(e.Record)), stated(e.Body.Class), numberRuns(p.itemsOf(ref)), stated(e.Body.Holder))
		}
	}
	if t.Rows() == 0 {
		return doc.Para("{}", doc.Missing("no paper on record"))
	}
	return t
}

func (p *paperwork) itemsOf(annex record.Ref) []int {
	var list []int
	for i := range p.a.Results {
		if slices.Contains(p.papersOf(&p.a.Results[i]), annex) {
			list = append(list, i+1)
		}
	}
	return list
}
