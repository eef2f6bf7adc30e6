package dossier

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/identity"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/requirement"
)

// blank line for a pen: nothing is filled in that the records do not carry.
const penLine = "____________________"

// Paperwork is what an authority is handed: a cover sheet with the items in its order, components with receipts, test sheets, the
// mass sheet, alterations and existing holes, every number of the car, declarations with blanks for whoever must sign, the
// photos by item, and an index of annexes. The authority's own form is named and not imitated.
func Paperwork(in Input, a *requirement.Assessment) *doc.Document {
	p := &paperwork{book: open(in), a: inAuthoritysOrder(a)}
	p.annex()
	sections := []*doc.Section{p.cover(), p.components(), p.measured(), p.changes(), p.numbers(), p.declarations(), p.enclosed()}
	return &doc.Document{Title: p.runningTitle(), Subtitle: "Papers for: " + a.Set.Title(), Language: "en", Provenance: p.provenance(), Sections: oneLined(sections...)}
}

// inAuthoritysOrder puts the set's own items first, in its order, and behind them those of the sets it builds on.
func inAuthoritysOrder(a *requirement.Assessment) *requirement.Assessment {
	ordered := &requirement.Assessment{Set: a.Set}
	for _, own := range []bool{true, false} {
		for _, r := range a.Results {
			if (r.Item.Set == a.Set.Name) == own {
				ordered.Results = append(ordered.Results, r)
			}
		}
	}
	return ordered
}

// runningTitle stands at the head of every page: the car, the set with its edition, and whether that set is another than the
// program ships or is not in force.
func (p *paperwork) runningTitle() string {
	title := fmt.Sprintf("%s: %s, edition %s", p.title(), p.a.Set.Name, p.a.Set.Body.Edition)
	if len(p.a.Set.Head) > 0 {
		title += ", not as shipped or not in force: see the cover"
	}
	return title
}

// paperwork is a bundle in the making. Annexes are numbered in the order in which the items need them.
type paperwork struct {
	*book
	a       *requirement.Assessment
	annexes []record.Ref
}

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

func (p *paperwork) cover() *doc.Section {
	s := doc.NewSection("cover", "Cover sheet")
	form := p.a.Set.Body.Form
	if form == "" {
		form = "none named by the set"
	}
	s.Add(doc.FactsOf(doc.Is("For", "{}", p.a.Set.Body.Authority), doc.Is("Set, edition", "{}, {}", p.a.Set.Title(), p.a.Set.Body.Edition),
		doc.Is("Your own form", "{}; it is not part of these papers", form), doc.Is("Car", "{}", p.title())))
	s.Add(requirementHead(p.a)[1:]...)
	t := doc.NewTable("Items in your order", doc.Col("Item", 5), doc.Col("By the records", 3), doc.Col("Annexes", 3))
	for i := range p.a.Results {
		if r := &p.a.Results[i]; r.Outcome != requirement.DoesNotApply {
			t.Row(doc.Say("{}", r.Item.Title), doc.Cell{Text: outcomeText(r.Outcome)}, p.marks(p.papersOf(r)))
		}
	}
	s.Add(t)
	return s
}

// components lists the parts on the car that were not found on it, with number and receipt.
func (p *paperwork) components() *doc.Section {
	s := doc.NewSection("components", "Components with receipts")
	t := doc.NewTable("Components of the conversion", doc.Col("Part", 5), doc.Col("Maker", 3), doc.Col("Serial number", 3), doc.Col("Receipt", 3))
	for _, part := range p.parts() {
		if part.at.location != onCar || part.Body.Found != "no" || part.Body.Class == "expendable" {
			continue
		}
		var serials []string
		for _, n := range part.Body.Numbers {
			if n.What == "serial" {
				serials = append(serials, n.Raw)
			}
		}
		t.Row(doc.Say("{}", part.Name()), stated(part.Body.Maker), stated(strings.Join(serials, ", ")), p.receipt(part.Record, serials))
	}
	if t.Rows() == 0 {
		s.Add(doc.Para("{}", doc.Missing("no component on record")))
		return s
	}
	s.Add(t)
	return s
}

// receipt finds the invoice that shows a part or carries its serial number.
func (p *paperwork) receipt(part *record.Record, serials []string) doc.Text {
	for _, e := range ledger.All[record.Paper](p.s) {
		if e.Body.Class != "invoice" {
			continue
		}
		carries := slices.Contains(e.Body.Shows, part.ID)
		for _, n := range e.Body.Numbers {
			carries = carries || slices.Contains(serials, n.Raw)
		}
		if carries {
			return doc.Say("{}", titleOf(e.Record))
		}
	}
	return doc.Text{doc.Missing("none on record")}
}

// measured are the readings that the items rest on: a sheet of tests and one of masses.
func (p *paperwork) measured() *doc.Section {
	s := doc.NewSection("tests", "Test sheets and mass sheet")
	s.Add(p.readingSheet("Tests", func(r *record.Reading) bool { return r.What != "weighing" }),
		p.readingSheet("Masses", func(r *record.Reading) bool { return r.What == "weighing" }))
	return s
}

func (p *paperwork) readingSheet(title string, wanted func(*record.Reading) bool) doc.Block {
	t := doc.NewTable(title, doc.Col("Test", 4), doc.Col("Day, by whom", 3), doc.Col("Figures as read", 7))
	var done []record.Ref
	for i := range p.a.Results {
		for _, ref := range p.a.Results[i].Records {
			r, ok := ledger.Get[record.Reading](p.s, ref)
			if !ok || slices.Contains(done, r.ID) || !wanted(r.Body) {
				continue
			}
			done = append(done, r.ID)
			t.Row(doc.Say("{}", r.Name()), doc.Say("{}, {}", stated(string(r.Body.On)), p.called(r.Body.By)), p.testCell(r))
		}
	}
	if t.Rows() == 0 {
		return doc.Para("{}: {}", title, doc.Missing("the items rest on no such reading"))
	}
	return t
}

// testCell is the figures of a reading, and its checks with what was found.
func (p *paperwork) testCell(r ledger.Entry[record.Reading]) doc.Text {
	cell := p.valuesCell(r)
	for _, c := range r.Body.Checks {
		cell = cell.And("; {}: {}", c.Check, c.Found)
	}
	return cell
}

func (p *paperwork) changes() *doc.Section {
	s := doc.NewSection("changes", "Alterations and existing holes")
	p.addAlterations(s)
	t := doc.NewTable("Features seen before the work", doc.Col("What", 3), doc.Col("Zone, where", 6), doc.Col("Seen on", 3))
	for _, e := range ledger.All[record.Existing](p.s) {
		t.Row(doc.Say("{}", e.Name()), doc.Say("{}, {}", stated(e.Body.Zone), stated(e.Body.Where)), stated(string(e.Body.SeenOn)))
	}
	if t.Rows() > 0 {
		s.Add(t)
	}
	return s
}

// numbers is every number of the car as it was read, source by source, and whether they agree. Serial numbers of components
// stand with the components.
func (p *paperwork) numbers() *doc.Section {
	s := doc.NewSection("identity-sheet", "Identity sheet")
	t := doc.NewTable("Each number as it was read", doc.Col("Number", 2), doc.Col("Characters", 4), doc.Col("Read where", 5), doc.Col("By whom, when", 4))
	for _, n := range p.numbersRead() {
		if n.number.What != "serial" {
			t.Row(n.number.What, charactersCell(n), p.readWhere(n), p.readBy(n))
		}
	}
	if t.Rows() == 0 {
		s.Add(doc.Para("{}", doc.Missing("no number of the car on record")))
		return s
	}
	if text, ok := p.verdict(p.carRecord); ok {
		s.Add(&doc.Paragraph{Text: text})
	}
	if claims := p.comparedNumbers(); len(claims) > 0 {
		s.Add(numberMatrix(identity.Matrix(claims)))
	}
	s.Add(t)
	return s
}

// comparedNumbers are the numbers that identify the car or a unit of it.
func (p *paperwork) comparedNumbers() []identity.Claim {
	var claims []identity.Claim
	for _, n := range p.numbersRead() {
		if slices.Contains(compared, n.Kind) {
			claims = append(claims, n.Claim)
		}
	}
	return claims
}

// declarations leaves a line for each who judges items of the set: what they stand for, and blanks for a pen.
func (p *paperwork) declarations() *doc.Section {
	s := doc.NewSection("declarations", "Declarations")
	items := map[string][]string{}
	for i := range p.a.Results {
		if r := &p.a.Results[i]; r.Outcome != requirement.DoesNotApply {
			items[r.Item.Judge] = append(items[r.Item.Judge], r.Item.Title)
		}
	}
	for _, judge := range []string{"builder", "competent person", "kit holder", "inspector"} {
		if len(items[judge]) > 0 {
			s.Add(doc.Para("{}, for: {}. Name {} Authority and number {} Day {} Signature {}", capital(judge), strings.Join(items[judge], "; "), penLine, penLine, penLine, penLine))
		}
	}
	s.Add(doc.Para("The lines are empty because nobody has declared anything yet. This program declares nothing."))
	return s
}

// enclosed lists the photos by item, and the annexes with what each is.
func (p *paperwork) enclosed() *doc.Section {
	return doc.NewSection("annexes", "Photos by item, and annexes", p.photos(), p.index())
}

func (p *paperwork) photos() doc.Block {
	t := doc.NewTable("Photos by item", doc.Col("Item", 4), doc.Col("Photos", 7))
	for i := range p.a.Results {
		r := &p.a.Results[i]
		var words []string
		for _, ref := range p.papersOf(r) {
			if e, ok := ledger.Get[record.Paper](p.s, ref); ok && e.Body.Class == "photo" {
				words = append(words, p.mark(ref)+" "+titleOf(e.Record))
			}
		}
		if len(words) > 0 {
			t.Row(doc.Say("{}", r.Item.Title), doc.Say("{}", strings.Join(words, "; ")))
		}
	}
	if t.Rows() == 0 {
		return doc.Para("{}", doc.Missing("no photo on record shows what the items rest on"))
	}
	return t
}

func (p *paperwork) index() doc.Block {
	t := doc.NewTable("Annexes to put behind these papers", doc.Col("Annex", 1), doc.Col("Paper", 6), doc.Col("Kind", 2), doc.Col("Held", 4))
	for _, ref := range p.annexes {
		if e, ok := ledger.Get[record.Paper](p.s, ref); ok {
			t.Row(p.mark(ref), doc.Say("{}", titleOf(e.Record)), stated(e.Body.Class), stated(e.Body.Holder))
		}
	}
	if t.Rows() == 0 {
		return doc.Para("{}", doc.Missing("no paper on record"))
	}
	return t
}
