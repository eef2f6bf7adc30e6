package dossier

import (
	"slices"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// alterations lists what was done to the material, what was there before, and
// which surveys looked.
func (b *book) alterations() *doc.Section {
	s := doc.NewSection("alterations", "Alterations, existing features and surveys")
	b.addAlterations(s)
	b.addExisting(s)
	b.addSurveys(s)
	return s
}

// alteration is a line that did something to the material.
type alteration struct {
	session *session
	index   int
	line    *record.Line
}

// alterationLines lists them, those made for safety first.
func (b *book) alterationLines() []alteration {
	var safety, other []alteration
	for _, one := range b.log.sessions {
		for i := range one.body.Lines {
			l := &one.body.Lines[i]
			switch {
			case l.Act != "alteration" && l.Act != "restoration" && (l.Act != "repair" || l.Alteration == nil):
			case l.Alteration != nil && l.Alteration.Safety == "yes":
				safety = append(safety, alteration{one, i, l})
			default:
				other = append(other, alteration{one, i, l})
			}
		}
	}
	return append(safety, other...)
}

func (b *book) addAlterations(s *doc.Section) {
	lines := b.alterationLines()
	if len(lines) == 0 {
		s.Add(doc.Para("No alteration is on record. That does not say that nothing was altered; see the surveys below for who looked, where and when."))
		return
	}
	s.Add(doc.Para("What is recorded as made for a load path or another safety reason stands first: safety outranks originality."))
	t := doc.NewTable("Alterations on record", doc.Col("What", 6), doc.Col("Where and how big", 5), doc.Col("Required by", 4), doc.Col("Undoing it", 5))
	t.ID = "altered"
	for _, a := range lines {
		h := a.line.Alteration
		if h == nil {
			h = &record.Hole{}
		}
		t.Row(b.alterationCell(a), holeCell(h), requiredCell(h), doc.Say("{}; would leave: {}", stated(h.Undo), stated(h.Leaves)))
	}
	s.Add(t)
}

func (b *book) alterationCell(a alteration) doc.Text {
	t := doc.Say("{}: {}", doc.Strong(capital(a.line.Act)), b.callThem(a.line.Parts))
	if h := a.line.Alteration; h != nil && h.Safety == "yes" {
		t = t.And("; {}", doc.Strong("safety decision"))
	}
	if a.line.Note != "" {
		t = t.And("; note: {}", quoted(a.line.Note))
	}
	t = t.And("; purpose: {}; {}, {}", stated(a.line.Purpose), dayOr(lineDay(a.session)), b.called(a.session.body.By))
	return t.From(b.source(a.session.Record, canon.ElementPointer("/lines", a.index)))
}

func holeCell(h *record.Hole) doc.Text {
	t := doc.Say("zone {}; {}; size {}", stated(h.Zone), stated(h.Where), asRead(h.Size))
	if h.Count > 0 {
		t = t.And("; count {}", h.Count)
	}
	return t.And("; material removed: {}", stated(h.MaterialRemoved))
}

func requiredCell(h *record.Hole) doc.Text {
	t := doc.Say("{}", stated(h.RequiredBy))
	if h.RequiredBy != "" {
		t = t.And(", {}", clauseOr(h.Clause))
	}
	return t
}

func clauseOr(clause string) doc.Span {
	if clause == "" {
		return doc.Missing("clause not stated")
	}
	return doc.Plain(clause)
}

func (b *book) addExisting(s *doc.Section) {
	list := ledger.All[record.Existing](b.s)
	if len(list) == 0 {
		s.Add(doc.Para("No existing hole, dent, weld or repair is on record: {}.", doc.Missing("what was there before the work is not stated")))
		return
	}
	if b.brief() {
		b.addExistingByZone(s, list)
		return
	}
	t := doc.NewTable("Holes and other features recorded as there before the work", doc.Col("Feature", 5), doc.Col("Where", 6), doc.Col("Seen", 5), doc.Col("Used by", 5))
	t.ID = "existing"
	for _, e := range list {
		where := doc.Say("zone {}; {}; size {}", stated(e.Body.Zone), stated(e.Body.Where), asRead(e.Body.Size))
		if e.Body.Count > 0 {
			where = where.And("; count {}", e.Body.Count)
		}
		feature := doc.Say("{}, {}", titleOf(e.Record), stated(e.Body.What)).From(b.source(e.Record, ""))
		seen := doc.Say("{}, {}", dayOr(e.Body.SeenOn), b.called(e.Body.SeenBy))
		if len(e.Body.Papers) > 0 {
			seen = seen.And("; see {}", b.callThem(e.Body.Papers))
		}
		t.Row(feature, where, seen, b.usedBy(e.ID))
	}
	s.Add(t)
}

// addExistingByZone names them zone by zone, for a reader who wants to know that somebody looked, and when.
func (b *book) addExistingByZone(s *doc.Section, list []ledger.Entry[record.Existing]) {
	var zones []string
	in := map[string][]doc.Text{}
	for _, e := range list {
		if in[e.Body.Zone] == nil {
			zones = append(zones, e.Body.Zone)
		}
		in[e.Body.Zone] = append(in[e.Body.Zone], doc.Say("{}, {}, seen {}", titleOf(e.Record), stated(e.Body.What), dayOr(e.Body.SeenOn)).From(b.source(e.Record, "")))
	}
	slices.Sort(zones)
	bullets := doc.Bullets()
	for _, z := range zones {
		zone := doc.Strong(capital(z))
		if blank(z) {
			zone = doc.Missing("zone not stated")
		}
		bullets.Items = append(bullets.Items, doc.Point("{}: {}", zone, joinTexts(in[z], "; ")))
	}
	s.Add(doc.Para("Holes and other features recorded as there before the work, by zone:"), bullets)
}

// usedBy lists the joints that pick up an existing feature.
func (b *book) usedBy(id record.Ref) doc.Text {
	var users []record.Ref
	for _, j := range ledger.All[record.Joint](b.s) {
		for _, used := range j.Body.Uses {
			if used == id {
				users = append(users, j.ID)
			}
		}
	}
	if len(users) == 0 {
		return doc.Text{doc.Missing("no joint names it")}
	}
	return b.callThem(users)
}

// addSurveys lists the hole surveys: which zone, when, by whom, what was seen.
func (b *book) addSurveys(s *doc.Section) {
	work := b.conversionWork()
	columns := []doc.Column{doc.Col("Zone", 4), doc.Col("Day, by whom", 5), doc.Col("To the conversion", 4), doc.Col("Seen", 6)}
	if b.brief() {
		columns = columns[:3]
	}
	t := doc.NewTable("Hole surveys", columns...)
	t.ID = "surveys"
	for _, r := range ledger.All[record.Reading](b.s) {
		if r.Body.What != "hole-survey" {
			continue
		}
		seen := b.valuesCell(r)
		if len(r.Body.Holes) > 0 {
			seen = doc.Say("{}; {}", b.callThem(r.Body.Holes), seen)
		}
		cells := []any{stated(r.Body.Zone), b.takenCell(r), lies(readingPeriod(r.Body, b.s.Place(r.Record)), work), seen}
		t.Row(cells[:len(columns)]...)
	}
	if t.Rows() == 0 {
		s.Add(doc.Para("No hole survey is on record: {}.", doc.Missing("whether a zone has new holes cannot be said")))
		return
	}
	s.Add(t)
}
