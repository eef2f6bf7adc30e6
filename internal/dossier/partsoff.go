package dossier

import (
	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// placed is a part that counts, with where the records leave it.
type placed struct {
	ledger.Entry[record.Part]
	at whereabouts
}

// parts lists the parts that count, by name; further records of one part, joined
// by same-as, are left to the first.
func (b *book) parts() []placed {
	var list []placed
	for _, p := range ledger.All[record.Part](b.s) {
		if b.log.key(p.ID) == b.s.Place(p.Record).ID {
			list = append(list, placed{p, b.log.of(p.ID)})
		}
	}
	return list
}

// found tells whether a part was on the car at the root baseline, by its own
// record or by the baseline's list.
func (b *book) found(p placed) bool {
	if p.Body.Found == "yes" || p.Body.Found == "inferred" {
		return true
	}
	if b.car.Baseline == nil {
		return false
	}
	for _, listed := range b.car.Baseline.Parts {
		if b.log.key(listed.Part) == b.s.Place(p.Record).ID {
			return true
		}
	}
	return false
}

// missing tells whether the records leave open where a part is.
func (b *book) missing(p placed) bool {
	if p.Body.Class == "expendable" {
		return false
	}
	switch p.at.location {
	case unplaced:
		return true
	case neverMoved:
		return !b.found(p)
	}
	return len(p.at.doubts) > 0 || p.at.missed != nil
}

// partsOff lists what is off the car and where it is, what is nowhere first.
func (b *book) partsOff() *doc.Section {
	s := doc.NewSection("parts-off", "Parts off the car, and where they are")
	var lost, off, out, gone []placed
	for _, p := range b.parts() {
		switch {
		case b.missing(p):
			lost = append(lost, p)
		case p.at.location == stored || p.at.location == unplaced:
			off = append(off, p)
		case p.at.location == withSomebody:
			out = append(out, p)
		case p.at.location == becameOther || p.at.location == leftForGood:
			gone = append(gone, p)
		}
	}
	s.Add(doc.Para("Where a part is follows from the latest line, in recorded order, that moved it. " +
		"Whether the part in a photo is the part in the crate, and whether it still works, the records can't know."))
	if len(lost) == 0 && len(off)+len(out) > 0 {
		s.Add(doc.Para("Every part that the records take off the car has a stated place, or is said to have left for good. Parts that nobody wrote down are not counted."))
	}
	b.addParts(s, "whereabouts-unknown", "Parts whose whereabouts the records do not know", lost)
	b.addParts(s, "in-store", "Parts off the car with a stated place", off)
	b.addParts(s, "out", "Parts out with somebody", out)
	b.addParts(s, "became", "Parts that left for good, or became another part", gone)
	if len(lost)+len(off)+len(out)+len(gone) == 0 {
		s.Add(doc.Para("No record takes a part off the car. That does not say that none was taken off."))
	}
	return s
}

func (b *book) addParts(s *doc.Section, id, title string, list []placed) {
	if len(list) == 0 {
		return
	}
	t := doc.NewTable(title, doc.Col("Part", 5), doc.Col("Where", 5), doc.Col("Last line", 4), doc.Col("Fasteners", 3), doc.Col("State", 5))
	if b.brief() {
		t = doc.NewTable(title, doc.Col("Where", 4), doc.Col("Parts", 9), doc.Col("Last line", 4))
	}
	t.ID = id
	for _, group := range b.byOriginal(list) {
		t.Group(group.title)
		if b.brief() {
			b.shelves(t, group.parts)
			continue
		}
		for _, p := range group.parts {
			t.Row(b.partCell(p), b.whereCell(p.at, p.Body.Position), b.seenCell(p.at), b.fastenersCell(p.at), b.stateCell(p))
		}
	}
	s.Add(t)
	s.Add(b.besideParts(idsOf(list))...)
}

// shelves sets parts that one line saw in one place into one row, for a reader who asks what is where and not for each part's story.
func (b *book) shelves(t *doc.Table, list []placed) {
	type shelf struct {
		where, seen doc.Text
		parts       []doc.Text
	}
	var shelves []*shelf
	byPlace := map[string]*shelf{}
	for _, p := range list {
		where, seen := b.whereCell(p.at, p.Body.Position), b.seenCell(p.at)
		key := where.String() + "\x00" + seen.String()
		if byPlace[key] == nil {
			byPlace[key] = &shelf{where: where, seen: seen}
			shelves = append(shelves, byPlace[key])
		}
		byPlace[key].parts = append(byPlace[key].parts, b.partCell(p))
	}
	for _, one := range shelves {
		t.Row(one.where, joinTexts(one.parts, "; "), one.seen)
	}
}

type partGroup struct {
	title string
	parts []placed
}

// byOriginal sets parts found on the car before the others.
func (b *book) byOriginal(list []placed) []partGroup {
	var found, other partGroup
	found.title, other.title = "Found on the car", "Not found on the car, or not stated"
	for _, p := range list {
		if b.found(p) {
			found.parts = append(found.parts, p)
		} else {
			other.parts = append(other.parts, p)
		}
	}
	var groups []partGroup
	for _, g := range []partGroup{found, other} {
		if len(g.parts) > 0 {
			groups = append(groups, g)
		}
	}
	return groups
}

// off tells whether the records have a part off the car.
func off(p placed) bool {
	return p.at.location == stored || p.at.location == unplaced || p.at.location == withSomebody
}

// tagOf is the tag by the part's own record, or by the line that took it off.
func tagOf(p placed) string {
	if p.Body.Tag == "" && p.at.removal != nil {
		return p.at.removal.line.Tag
	}
	return p.Body.Tag
}

func (b *book) partCell(p placed) doc.Text {
	t := doc.Say("{}", doc.Strong(titleOf(p.Record)))
	if tag := tagOf(p); tag != "" || off(p) && p.Body.Class != "expendable" {
		t = t.And("; tag {}", stated(tag))
	}
	if p.Body.Count > 0 {
		t = t.And("; count {}", p.Body.Count)
	}
	if t2, ok := b.verdict(p.Record); ok {
		t = t.And("; {}", t2)
	}
	return t.From(b.source(p.Record, ""))
}

// whereCell says where a part is, with every doubt about it.
func (b *book) whereCell(w whereabouts, position string) doc.Text {
	t := b.place(w)
	if w.location == onCar && w.last.line.Position == "" && position != "" {
		t = t.And(", {}", position)
	}
	if w.within != "" {
		t = t.And("; moved as part of {}", b.called(w.within))
	}
	if w.missed != nil {
		t = t.And("; {}: a later stock-take of that place does not name it", doc.Missing("not seen")).From(b.lineSource(w.missed))
	}
	for _, d := range w.doubts {
		t = t.And("; {}: another line has it otherwise", doc.Missing("order not stated")).From(b.lineSource(d))
	}
	return t
}

func (b *book) place(w whereabouts) doc.Text {
	if w.last == nil {
		return doc.Text{doc.Missing("no line moves it")}
	}
	l := w.last.line
	switch w.location {
	case onCar:
		if l.Position != "" {
			return doc.Say("on the car, {}", l.Position)
		}
		return doc.Say("on the car")
	case stored:
		store := doc.Say("store {}", doc.Missing(""))
		if l.Store != "" {
			store = b.called(l.Store)
		}
		return store.And(", {}", placeOr(l.Place))
	case withSomebody:
		t := doc.Say("out with {}", stated(l.With))
		if l.Due != "" {
			t = t.And(", due back {}", string(l.Due))
		}
		return t
	case becameOther:
		return doc.Say("became {}", b.name(l.Became))
	case leftForGood:
		return doc.Say("left for good: {}", stated(l.Gone))
	}
	return doc.Say("off the car; where it was put is {}", doc.Missing(""))
}

func placeOr(place string) doc.Span {
	if place == "" {
		return doc.Missing("place in it not stated")
	}
	return doc.Plain(place)
}

// lineSource is the quiet reference to one line of a session.
func (b *book) lineSource(m *movement) doc.Span {
	return b.source(m.session.Record, canon.ElementPointer("/lines", m.index))
}

// fastenersCell says which bag holds a part's fasteners, and how many: by the
// line that took it off, or else by the joints that the line undid.
func (b *book) fastenersCell(w whereabouts) doc.Text {
	if w.removal == nil {
		if w.within != "" {
			return doc.Say("came off with {}", b.called(w.within))
		}
		return doc.Text{doc.Missing("no removal on record")}
	}
	c := &clauses{}
	b.bagClauses(c, w.removal.line)
	if len(c.text) == 0 {
		b.jointBags(c, w.removal.line)
	}
	if len(c.text) == 0 {
		return doc.Text{doc.Missing("")}
	}
	return c.text[1:]
}

// bagged tells whether a removal says, itself or by its joints, where the
// fasteners went; what was undone without any has none to lose.
func (b *book) bagged(l *record.Line) bool {
	c := &clauses{}
	b.bagClauses(c, l)
	b.jointBags(c, l)
	return len(c.text) > 0
}

func (b *book) jointBags(c *clauses, l *record.Line) {
	for _, id := range l.Joints {
		joint, ok := ledger.Get[record.Joint](b.s, id)
		if !ok {
			continue
		}
		for i, f := range joint.Body.Fasteners {
			if f.Bag != "" {
				c.add("bag {} with {} of {}", f.Bag, f.Count, b.called(id).From(b.source(joint.Record, canon.ElementPointer("/fasteners", i))))
			}
		}
	}
}

// seenCell is the latest line of any act that names the part.
func (b *book) seenCell(w whereabouts) doc.Text {
	m := w.seen
	if m == nil {
		m = w.last
	}
	if m == nil {
		return doc.Text{doc.Missing("no line names it")}
	}
	t := doc.Say("{} {}, {}", m.line.Act, dayOr(lineDay(m.session)), b.called(m.session.body.By))
	if basis := m.session.body.Basis; basis != "seen" {
		t = t.And("; basis {}", stated(basis))
	}
	if m.line.Seal == "unbroken" {
		t = t.And("; the seal of its place was seen unbroken, the part itself need not have been seen")
	}
	return t.From(b.lineSource(m))
}
