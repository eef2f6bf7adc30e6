package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/workings"
)

// What several answers rest on: parts by their role, papers by their class, readings by their kind, sums by their subject.

// inRole lists the parts that have one of the roles.
func (b *book) inRole(roles ...string) []placed {
	var list []placed
	for _, p := range b.parts() {
		if slices.Contains(roles, p.Body.Role) {
			list = append(list, p)
		}
	}
	return list
}

// shownIn lists the photos that show a record, and those that the record names.
func (b *book) shownIn(id record.Ref) []record.Ref {
	var list []record.Ref
	for _, p := range ledger.All[record.Paper](b.s) {
		if p.Body.Class == "photo" && slices.Contains(p.Body.Shows, id) {
			list = append(list, p.ID)
		}
	}
	if part, ok := ledger.Get[record.Part](b.s, id); ok {
		for _, paper := range part.Body.Papers {
			if !slices.Contains(list, paper) {
				list = append(list, paper)
			}
		}
	}
	return list
}

// paperTable lists papers of some classes.
func (b *book) paperTable(title string, classes ...string) (t *doc.Table, n int) {
	t = doc.NewTable(title, doc.Col("Paper", 6), doc.Col("Dates", 5), doc.Col("Shows", 5), doc.Col("Original", 5))
	for _, p := range ledger.All[record.Paper](b.s) {
		if slices.Contains(classes, p.Body.Class) {
			t.Row(b.paperCell(p), b.paperDates(p.Body), b.showsCell(p.Body), b.original(p.Body))
		}
	}
	return t, t.Rows()
}

// readingTables lists the readings of some kinds, each kind with its cautions, and counts them.
func (b *book) readingTables(kinds ...string) (blocks []doc.Block, n int) {
	byKind := b.readingsByKind()
	for _, k := range kindsOfReading {
		if list := byKind[k.what]; len(list) > 0 && slices.Contains(kinds, k.what) {
			n += len(list)
			blocks = append(blocks, b.readingTable(k.title, k.what, list))
			for _, h := range hazards {
				if slices.Contains(k.warns, h.word) {
					blocks = append(blocks, h.beside())
				}
			}
		}
	}
	return blocks, n
}

// sums lists the workings of some subjects by their answers.
func (b *book) sums(subjects ...workings.Subject) []doc.Block {
	t := doc.NewTable("Workings", doc.Col("What", 5), doc.Col("Answer", 6), doc.Col("Outcome", 2))
	var list []workings.Working
	var met []doc.Text // by title alone, for a reader who wants the whole picture sooner than every sum
	for i := range b.in.Workings {
		w := &b.in.Workings[i]
		if slices.Contains(subjects, w.Subject) {
			list = append(list, *w)
			if b.brief() && w.Worst() == workings.Met {
				met = append(met, doc.Say("{}", doc.Plain(w.Title)).From(atMost(answerText(w).Sources(), 1)...))
				continue
			}
			t.Row(doc.Say("{}", doc.Plain(w.Title)), answerText(w), string(w.Worst()))
		}
	}
	var blocks []doc.Block
	if t.Rows() > 0 {
		blocks = append(blocks, t)
	}
	if len(met) > 0 {
		blocks = append(blocks, doc.Para("{}, their figures in the keeper's dossier: {}.", doc.Strong("Met by these sums"), joinTexts(met, "; ")))
	}
	return append(blocks, workingCautions(list)...)
}

// partTable lists parts with where they are and where they come from.
func (b *book) partTable(title string, list []placed) *doc.Table {
	t := doc.NewTable(title, doc.Col("Part", 4), doc.Col("Where", 4), doc.Col("Origin", 4), doc.Col("Rated", 7), doc.Col("State", 4))
	for _, p := range list {
		var ratings []doc.Text
		for i, r := range p.Body.Ratings {
			ratings = append(ratings, doc.Say("{}: {}", figureOf(r.Of), b.rating(p.Record, i, r, nil)))
		}
		rated := doc.Text{doc.Missing("")}
		if len(ratings) > 0 {
			rated = joinTexts(ratings, "; ")
		}
		t.Row(b.partCell(p), b.whereCell(p.at, p.Body.Position), b.originCell(p), rated, b.stateCell(p))
	}
	return t
}

// measured answers by readings of some kinds and the sums over them.
func (b *book) measured(wants string, subjects []workings.Subject, kinds ...string) answer {
	a := answer{wants: wants}
	blocks, n := b.readingTables(kinds...)
	if n > 0 {
		a.short = doc.Say("{} on record, the last of {}.", count(n, "reading"), b.lastDay(kinds...))
	}
	a.blocks = append(blocks, b.sums(subjects...)...)
	return a
}

// lastDay is the day of the last reading of some kinds, as far as their order is known.
func (b *book) lastDay(kinds ...string) doc.Span {
	var last *ledger.Entry[record.Reading]
	byKind := b.readingsByKind()
	for _, k := range kinds {
		for i := range byKind[k] {
			if r := &byKind[k][i]; b.counts(r.Record) && (last == nil || b.byPlace(last.Record, r.Record) < 0) {
				last = r
			}
		}
	}
	if last == nil {
		return doc.Missing("")
	}
	return dayOr(last.Body.On)
}
