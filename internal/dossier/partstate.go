package dossier

import (
	"strings"

	"boltback/internal/canon"
	"boltback/internal/doc"
)

// stateCell says what state a part is in, whether it may go back, what can hurt.
func (b *book) stateCell(p placed) doc.Text {
	t := b.conditionOf(p)
	if kept := b.preservation(p); len(kept) > 0 {
		t = t.And("; {}", kept)
	}
	t = t.And("; may go back: {}", stated(p.Body.MayGoBack))
	if p.Body.MayGoBack != "" {
		t = t.From(b.source(p.Record, "/may-go-back"))
	}
	if list := b.hazardsOf(p.ID); len(list) > 0 {
		var kinds []string
		for _, h := range list {
			kinds = append(kinds, strings.ToLower(h.kind))
		}
		t = t.And("; hazards: {}, see {}", strings.Join(kinds, ", "), doc.See("cautions", "Cautions"))
	}
	return t
}

// conditionOf is the last condition that the part's record lists.
func (b *book) conditionOf(p placed) doc.Text {
	n := len(p.Body.Condition)
	if n == 0 {
		return doc.Say("condition {}", doc.Missing(""))
	}
	c := p.Body.Condition[n-1]
	t := doc.Say("{}, {}", stated(c.State), dayOr(c.On))
	if len(c.Renewed) > 0 {
		t = t.And(", renewed: {}", strings.Join(c.Renewed, ", "))
	}
	if c.Note != "" {
		t = t.And(", {}", quoted(c.Note))
	}
	return t.From(b.source(p.Record, canon.ElementPointer("/condition", n-1)))
}

// preservation is the latest line that preserved the part; empty where there is none.
func (b *book) preservation(p placed) doc.Text {
	var last *movement
	for _, m := range b.log.byPart[b.log.key(p.ID)] {
		if m.line.Act == "preserve" {
			last = m
		}
	}
	if last == nil {
		return nil
	}
	t := doc.Say("preserved with {}", stated(last.line.Product))
	if last.line.Due != "" {
		t = t.And(", due again {}", string(last.line.Due))
	}
	return t.From(b.lineSource(last))
}
