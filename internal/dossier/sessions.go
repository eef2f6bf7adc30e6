package dossier

import (
	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// sessions tells the work in recorded order, each session with its evidence.
func (b *book) sessions() *doc.Section {
	s := doc.NewSection("work", "Work, session by session")
	if len(b.log.sessions) == 0 && len(b.overruledOf(record.KindSession)) == 0 {
		s.Add(doc.Para("No session is on record. That does not say that no work was done."))
		return s
	}
	s.Add(doc.Para("In recorded order: by the earliest day a session can have begun on, and behind what it states to come after. " +
		"What stands struck through was corrected or withdrawn and does not count."))
	struck := map[record.Ref][]*record.Record{}
	for _, r := range b.overruledOf(record.KindSession) {
		at := b.s.Place(r).ID
		struck[at] = append(struck[at], r)
	}
	for _, one := range b.log.sessions {
		for _, r := range struck[one.place.ID] {
			s.Add(b.session(r, r.Body.(*record.Session)))
		}
		delete(struck, one.place.ID)
		s.Add(b.session(one.Record, one.body))
	}
	for _, r := range b.overruledOf(record.KindSession) { // withdrawn with nothing in their place
		if len(struck[b.s.Place(r).ID]) > 0 {
			s.Add(b.session(r, r.Body.(*record.Session)))
		}
	}
	return s
}

// overruledOf lists the records of a kind that were corrected, withdrawn or not applied, by name.
func (b *book) overruledOf(kind record.Kind) []*record.Record {
	var list []*record.Record
	for _, r := range b.s.OfKind(kind) {
		if standing, _ := b.s.StandingOf(r); standing == ledger.Corrected || standing == ledger.Withdrawn || standing == ledger.NotApplied {
			list = append(list, r)
		}
	}
	return list
}

func (b *book) session(r *record.Record, body *record.Session) *doc.Section {
	counts := b.counts(r)
	title := titleOf(r)
	if !blank(body.Name) {
		title = pathDay(b.s.Place(r)) + ": " + body.Name
	}
	if !counts {
		standing, _ := b.s.StandingOf(r)
		title += " (" + standing.String() + ")"
	}
	s := doc.NewSection(doc.Anchor(string(r.ID)), title)
	if t, ok := b.verdict(r); ok {
		s.Add(&doc.Paragraph{Text: t})
	}
	if body.Corrects != "" {
		s.Add(doc.Para("Stands in the place of {}; reason: {}", b.plainID(body.Corrects), quoted(body.Reason)))
	}
	facts := b.sessionFacts(r, body)
	for i := range facts.Items[1:] { // the path stays readable
		facts.Items[i+1].Value = struckUnless(counts, facts.Items[i+1].Value)
	}
	s.Add(facts)
	s.Add(b.sessionLines(r, body, counts))
	return s
}

// plainID names a record by its path alone.
func (b *book) plainID(id record.Ref) doc.Span { return doc.Literal(string(id)) }

func (b *book) sessionFacts(r *record.Record, body *record.Session) *doc.Facts {
	f := doc.FactsOf(
		doc.Is("Record", "{}", doc.FromRecord(r.Path, 0)),
		doc.Is("Done by", "{}", b.called(body.By)),
	)
	if len(body.Helpers) > 0 {
		f.Add("Helped by", "{}", b.callThem(body.Helpers))
	}
	if body.Witness != "" {
		f.Add("Watched by", "{}", b.called(body.Witness))
	}
	f.Add("When", "{}", when(body.Started, body.Ended))
	f.Add("How it is known", "{}", stated(body.Basis))
	f.Add("Written down", "{}", b.entry(body.Entered, body.EnteredBy, workPeriod(body, b.s.Place(r))))
	if body.Zone != "" {
		f.Add("Zone", "{}", stated(body.Zone))
	}
	if len(body.After) > 0 {
		f.Add("After", "{}", b.names(body.After))
	}
	if len(body.Papers) > 0 {
		f.Add("Photos and papers", "{}", b.names(body.Papers))
	} else {
		f.Add("Photos and papers", "{}", doc.Missing("none named for the session as a whole"))
	}
	if body.Note != "" {
		f.Add("Note", "{}", quoted(body.Note))
	}
	return f
}

// when is from when to when, as written.
func when(started, ended record.Date) doc.Text {
	switch {
	case started == "" && ended == "":
		return doc.Text{doc.Missing("")}
	case ended == "" || ended == started:
		return doc.Text{stated(started)}
	default:
		return doc.Say("{} to {}", stated(started), stated(ended))
	}
}

// entry says when and by whom something was written down, and how long after it happened.
func (b *book) entry(entered record.Date, by record.Ref, happened period) doc.Text {
	if entered == "" {
		return doc.Say("day {}; by {}", doc.Missing(""), b.called(by))
	}
	return doc.Say("{} by {}; {}", string(entered), b.called(by), delayWords(happened, entered))
}

// sessionLines lists the lines in the order done. A caution stands beside the
// first line of the session that gives cause for it.
func (b *book) sessionLines(r *record.Record, body *record.Session, counts bool) doc.Block {
	if len(body.Lines) == 0 {
		return doc.Para("{}", doc.Missing("No line is on record: what was done is not stated."))
	}
	list := doc.Steps()
	warned := map[string]bool{}
	for i := range body.Lines {
		l := &body.Lines[i]
		here := b.source(r, canon.ElementPointer("/lines", i))
		here.Target = "" // this is the place it would lead to
		text := b.line(l).From(here)
		item := doc.Item{Text: struckUnless(counts, text)}
		for _, h := range b.hazardsOfLine(l) {
			if counts && !warned[h.word] {
				item = item.With(h.beside())
			}
			warned[h.word] = true
		}
		list.Items = append(list.Items, item)
	}
	return list
}
