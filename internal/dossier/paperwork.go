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
	return &doc.Document{Title: p.runningTitle(), Subtitle: "Papers for: " + a.Set.Title(), Language: "en", Notice: setNotice(a), Sheets: mostPages, Provenance: p.provenance(), Sections: oneLined(sections...)}
}

// mostPages is as many as an inspector reads: a car with more on record is set smaller.
const mostPages = 8

// inAuthoritysOrder puts the set's own items first, in its order, and behind them those of the sets it builds on. What is asked of
// other cars is left out, so that an item's place is its number throughout the papers.
func inAuthoritysOrder(a *requirement.Assessment) *requirement.Assessment {
	ordered := &requirement.Assessment{Set: a.Set}
	for _, own := range []bool{true, false} {
		for _, r := range a.Results {
			if (r.Item.Set == a.Set.Name) == own && r.Outcome != requirement.DoesNotApply {
				ordered.Results = append(ordered.Results, r)
			}
		}
	}
	return ordered
}

// runningTitle stands at the head of every page: the car, and the set with its edition.
func (p *paperwork) runningTitle() string {
	return fmt.Sprintf("%s: %s, edition %s", p.title(), p.a.Set.Name, p.a.Set.Body.Edition)
}

// paperwork is a bundle in the making. Annexes are numbered in the order in which the items need them.
type paperwork struct {
	*book
	a       *requirement.Assessment
	annexes []record.Ref
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
	t := doc.NewTable("Items in your order", doc.Col("No.", 1), doc.Col("Item", 7), doc.Col("By the records", 4), doc.Col("Annexes", 4))
	for i := range p.a.Results {
		r := &p.a.Results[i]
		t.Row(fmt.Sprint(i+1), doc.Say("{}", r.Item.Title), doc.Cell{Text: outcomeText(r.Outcome)}, p.marks(p.papersOf(r)))
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
	s.Add(p.readingSheet("Tests", func(r *record.Reading) bool { return r.What != "weighing" && r.What != holeSurvey }),
		p.readingSheet("Masses", func(r *record.Reading) bool { return r.What == "weighing" }))
	return s
}

func (p *paperwork) readingSheet(title string, wanted func(*record.Reading) bool) doc.Block {
	t := doc.NewTable(title, doc.Col("Test", 4), doc.Col("Day, by whom", 3), doc.Col("Figures as read", 7))
	for _, r := range p.restedOn(wanted) {
		t.Row(doc.Say("{}", r.Name()), p.dayAndBy(r), p.testCell(r))
	}
	if t.Rows() == 0 {
		return doc.Para("{}: {}", title, doc.Missing("the items rest on no such reading"))
	}
	return t
}

// restedOn lists the readings of a kind that the items rest on, each once.
func (p *paperwork) restedOn(wanted func(*record.Reading) bool) []ledger.Entry[record.Reading] {
	var list []ledger.Entry[record.Reading]
	var done []record.Ref
	for i := range p.a.Results {
		for _, ref := range p.a.Results[i].Records {
			if r, ok := ledger.Get[record.Reading](p.s, ref); ok && wanted(r.Body) && !slices.Contains(done, r.ID) {
				done = append(done, r.ID)
				list = append(list, r)
			}
		}
	}
	return list
}

func (p *paperwork) dayAndBy(r ledger.Entry[record.Reading]) doc.Text {
	return doc.Say("{}, {}", stated(string(r.Body.On)), p.called(r.Body.By))
}

// testCell is the figures of a reading, and its checks with what was found.
func (p *paperwork) testCell(r ledger.Entry[record.Reading]) doc.Text {
	cell := p.valuesCell(r)
	for _, c := range r.Body.Checks {
		cell = cell.And("; {}: {}", c.Check, c.Found)
	}
	return cell
}

// holeSurvey is the kind of reading in which a zone is looked over hole by hole.
const holeSurvey = "hole-survey"

// changes is the register of alterations, of the surveys before and after, and of what was there before. Surveys stand here and
// not among the tests, for the holes themselves are the features below.
func (p *paperwork) changes() *doc.Section {
	s := doc.NewSection("changes", "Alterations and existing holes")
	p.addAlterations(s)
	surveys := doc.NewTable("Hole surveys", doc.Col("Survey", 6), doc.Col("Day, by whom", 4), doc.Col("Features found", 3))
	for _, r := range ledger.All[record.Reading](p.s) {
		if r.Body.What == holeSurvey {
			surveys.Row(doc.Say("{}", r.Name()), p.dayAndBy(r), fmt.Sprint(len(r.Body.Holes)))
		}
	}
	if surveys.Rows() > 0 {
		s.Add(surveys)
	}
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
	read := p.numbersRead()
	for _, n := range read {
		if n.number.What != "serial" && !readAlready(n, read) {
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

// readAlready says that a number of a paper is the same entry once more: somebody read it from that very paper, in the same
// characters, and that reading has a row of its own.
func readAlready(n numberRead, all []numberRead) bool {
	return n.Record.Kind == record.KindPaper && slices.ContainsFunc(all, func(o numberRead) bool {
		return o.number.Paper == n.Record.ID && o.number.What == n.number.What && o.number.Raw == n.number.Raw
	})
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
