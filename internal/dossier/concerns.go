package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// weights and states of concerns in the order shown: what is open and grave first.
var (
	concernStates  = []string{"open", "", "accepted", "rectified"}
	concernWeights = []string{"dangerous", "major", "minor", "advisory", ""}
)

// concerns lists what was not right, and how it was put right.
func (b *book) concerns() *doc.Section {
	s := doc.NewSection("concerns", "Concerns and rectifications")
	var list []ledger.Entry[record.Concern]
	for _, r := range b.s.OfKind(record.KindConcern) {
		body, ok := r.Body.(*record.Concern)
		if standing, _ := b.s.StandingOf(r); ok && standing != ledger.Withdraws {
			list = append(list, ledger.Entry[record.Concern]{Record: r, Body: body})
		}
	}
	if len(list) == 0 {
		s.Add(doc.Para("No concern is on record. That does not say that there was none."))
		return s
	}
	slices.SortStableFunc(list, func(x, y ledger.Entry[record.Concern]) int {
		if d := slices.Index(concernStates, x.Body.State) - slices.Index(concernStates, y.Body.State); d != 0 {
			return d
		}
		return slices.Index(concernWeights, x.Body.Weight) - slices.Index(concernWeights, y.Body.Weight)
	})
	t := doc.NewTable("Concerns, what is open first", doc.Col("State", 3), doc.Col("Concern", 6), doc.Col("Cause", 4), doc.Col("Rectified", 5), doc.Col("Rechecked", 4))
	t.ID = "concern-list"
	for _, c := range list {
		b.addConcern(t, c)
	}
	s.Add(t)
	return s
}

func (b *book) addConcern(t *doc.Table, c ledger.Entry[record.Concern]) {
	counts := b.counts(c.Record)
	state := doc.Say("{}, {}", stated(c.Body.State), weightOr(c.Body.Weight))
	what := doc.Say("{}; raised {}, {}", quoted(c.Body.Concern), dayOr(c.Body.RaisedOn), b.called(c.Body.RaisedBy))
	if c.Body.Name != "" {
		what = doc.Say("{}: {}", doc.Strong(c.Body.Name), what)
	}
	if c.Body.Note != "" {
		what = what.And("; note: {}", quoted(c.Body.Note))
	}
	what = what.From(b.source(c.Record, ""))
	by := doc.Text{doc.Missing("no session named")}
	if len(c.Body.RectifiedBy) > 0 {
		by = b.names(c.Body.RectifiedBy)
	}
	rechecked := doc.Say("{}, {}", dayOr(c.Body.RecheckedOn), b.called(c.Body.RecheckedBy))
	if c.Body.RecheckedOn == "" && c.Body.RecheckedBy == "" {
		rechecked = doc.Text{doc.Missing("")}
	}
	t.Row(struckUnless(counts, state), struckUnless(counts, what), struckUnless(counts, doc.Text{quoted(c.Body.Cause)}), struckUnless(counts, by), struckUnless(counts, rechecked))
	if verdict, ok := b.verdict(c.Record); ok {
		t.Row(doc.Cell{Text: verdict, Span: len(t.Columns)})
	}
}

func weightOr(weight string) doc.Span {
	if weight == "" {
		return doc.Missing("weight not stated")
	}
	return doc.Plain(weight)
}
