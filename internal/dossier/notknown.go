package dossier

import (
	"fmt"
	"slices"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// gaps collects what records lack: how many there are and where, and how many places of one gap are named.
type gaps struct {
	table *doc.Table
	shown int
	group string
}

func (g *gaps) add(what string, places []doc.Span) {
	if len(places) == 0 {
		return
	}
	if g.group != "" {
		g.table.Group(g.group)
		g.group = ""
	}
	where := doc.Text(places[:min(len(places), g.shown)])
	if more := len(places) - g.shown; more > 0 {
		where = where.And(" and {} more", more)
	}
	g.table.Row(what, fmt.Sprint(len(places)), where)
}

// notKnown lists what the records do not state: a result of its own, that
// supports neither a yes nor a no.
func (b *book) notKnown() *doc.Section {
	s := doc.NewSection("not-known", "What the records do not know")
	g := &gaps{shown: 8, table: doc.NewTable("Missing evidence", doc.Col("What is not on record", 7), doc.Num("How many", 2), doc.Col("Where", 8))}
	g.table.ID = "missing-evidence"
	if b.brief() {
		g.shown = 2
	}
	g.group = "Records"
	b.unreadGaps(g)
	g.group = "Parts"
	b.partGaps(g)
	g.group = "Work"
	b.workGaps(g)
	g.group = "Good practice at the bench"
	b.benchGaps(g)
	g.group = "Readings, joints and papers"
	b.readingGaps(g)
	b.paperGaps(g)
	g.group = "Handing over"
	b.handoverGaps(g)
	s.Add(doc.Para("Missing evidence speaks neither for the car nor against it. {}", doc.NotExamined))
	if g.table.Rows() == 0 {
		s.Add(doc.Para("None of the gaps that this page looks for was found. Work and parts that nobody wrote down leave no gap to find."))
		return s
	}
	s.Add(g.table)
	return s
}

func (b *book) unreadGaps(g *gaps) {
	var unread []doc.Span
	for _, u := range b.s.AllUnread() {
		unread = append(unread, doc.FromRecord(u.Path, u.Fault.Line))
	}
	g.add("what a file says that could not be read", unread)
	if b.carRecord == nil {
		g.add("the car: no record describes it", []doc.Span{doc.FromRecord("car.json", 0)})
	} else if b.car.Baseline == nil {
		g.add("which parts were on the car at the start: no root baseline", []doc.Span{b.source(b.carRecord, "")})
	}
	if len(ledger.All[record.Part](b.s)) > 0 && len(b.log.sessions) == 0 {
		g.add("any work: no session", []doc.Span{doc.FromRecord("ledger.json", 0)})
	}
}

// partGap is a question that a part's record may leave open.
type partGap struct {
	what string
	open func(placed) bool
}

func (b *book) partGaps(g *gaps) {
	kept := func(p placed) bool { return off(p) && p.Body.Class != "expendable" }
	questions := []partGap{
		{"where a part is", b.missing},
		{"whether a part was found on the car", func(p placed) bool { return p.Body.Found == "" && !b.found(p) }},
		{"where a part comes from", func(p placed) bool { return p.Body.Origin == "" || p.Body.Origin == "unknown" }},
		{"whether a part off the car may go back", func(p placed) bool { return kept(p) && (p.Body.MayGoBack == "" || p.Body.MayGoBack == "unknown") }},
		{"the condition of a part off the car", func(p placed) bool { return kept(p) && len(p.Body.Condition) == 0 }},
		{"the tag of a part off the car", func(p placed) bool { return kept(p) && p.at.within == "" && tagOf(p) == "" }},
		{"the fasteners of a part taken off", func(p placed) bool { return kept(p) && p.at.removal != nil && !b.bagged(p.at.removal.line) }},
	}
	parts := b.parts()
	for _, q := range questions {
		var places []doc.Span
		for _, p := range parts {
			if q.open(p) {
				places = append(places, b.source(p.Record, ""))
			}
		}
		g.add(q.what, places)
	}
}

func (b *book) workGaps(g *gaps) {
	var by, day, basis, entered, lines, purpose, joint []doc.Span
	for _, one := range b.log.sessions {
		at := b.source(one.Record, "")
		by = gap(by, one.body.By == "", at)
		day = gap(day, !one.when.known, at)
		basis = gap(basis, one.body.Basis == "", at)
		entered = gap(entered, one.body.Entered == "", at)
		lines = gap(lines, len(one.body.Lines) == 0, at)
		for i, l := range one.body.Lines {
			at := b.source(one.Record, canon.ElementPointer("/lines", i))
			wants := l.Act == "removal" || l.Act == "fitting" || l.Act == "alteration"
			purpose = gap(purpose, wants && (l.Purpose == "" || l.Purpose == "not stated"), at)
			joint = gap(joint, l.Act == "removal" && len(l.Joints) == 0, at)
		}
	}
	g.add("who did the work", by)
	g.add("when the work was done", day)
	g.add("how the work is known", basis)
	g.add("when the work was written down", entered)
	g.add("what was done in a session", lines)
	g.add("the purpose of a removal, fitting or alteration", purpose)
	g.add("which joints a removal undid", joint)
}

func gap(list []doc.Span, open bool, at doc.Span) []doc.Span {
	if open {
		return append(list, at)
	}
	return list
}

func (b *book) readingGaps(g *gaps) {
	var instrument, method, uncertainty []doc.Span
	for _, r := range ledger.All[record.Reading](b.s) {
		instrument = gap(instrument, r.Body.Instrument == "", b.source(r.Record, ""))
		method = gap(method, r.Body.Method == "", b.source(r.Record, ""))
		bare := slices.ContainsFunc(r.Body.Values, func(v record.Value) bool { return isBare(v.Value) })
		uncertainty = gap(uncertainty, bare, b.source(r.Record, "/values"))
	}
	g.add("the instrument of a reading", instrument)
	g.add("the method of a reading", method)
	g.add("the uncertainty of a figure of a reading", uncertainty)
	var joints []doc.Span
	for _, r := range b.untightened() {
		joints = append(joints, b.source(r, ""))
	}
	g.add("the tightening of a joint that was made and has a specification", joints)
	g.add("a hole survey of a zone that was altered", b.unsurveyed())
}

// unsurveyed lists the alterations in zones of which no hole survey is on record.
func (b *book) unsurveyed() []doc.Span {
	surveyed := map[string]bool{}
	for _, r := range ledger.All[record.Reading](b.s) {
		if r.Body.What == "hole-survey" {
			surveyed[r.Body.Zone] = true
		}
	}
	var places []doc.Span
	for _, a := range b.alterationLines() {
		if h := a.line.Alteration; h == nil || h.Zone == "" || !surveyed[h.Zone] {
			places = append(places, b.source(a.session.Record, canon.ElementPointer("/lines", a.index)))
		}
	}
	return places
}

func (b *book) paperGaps(g *gaps) {
	var original, absent, dates []doc.Span
	for _, p := range ledger.All[record.Paper](b.s) {
		at := b.source(p.Record, "")
		has := p.Body.Original != nil && p.Body.Original.Digest != ""
		original = gap(original, !has, at)
		absent = gap(absent, has && b.in.Originals != nil && !b.in.Originals(p.Body.Original.Digest), at)
		dates = gap(dates, p.Body.Embedded == "" && p.Body.Claimed == "", at)
	}
	g.add("the original of a photo or paper", original)
	g.add("the original of a photo or paper, recorded and not here", absent)
	g.add("the day of a photo or paper", dates)
}
