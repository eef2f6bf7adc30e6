package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// cautions is the chapter of the ways to be hurt. Five of them stand in every
// dossier, since a record that does not name a hazard does not exclude it.
func (b *book) cautions() *doc.Section {
	s := doc.NewSection("cautions", "Cautions",
		doc.Para("These are reminders, not instructions. {} That the records do not name a hazard does not say that it is absent.", local))
	parts := b.partsByHazard()
	for _, h := range hazards {
		if !h.always && len(parts[h.word]) == 0 {
			continue
		}
		named := doc.Say("On the records: {}.", doc.Missing("no part named"))
		if list := parts[h.word]; len(list) > 0 {
			named = doc.Say("On the records: {}.", b.callThem(list))
		}
		s.Add(&doc.Caution{Kind: h.kind, Text: doc.Say("{} {} {}", h.long, local, named)})
	}
	return s
}

func (b *book) partsByHazard() map[string][]record.Ref {
	parts := map[string][]record.Ref{}
	for _, p := range ledger.All[record.Part](b.s) {
		for _, h := range b.hazardsOf(p.ID) {
			parts[h.word] = append(parts[h.word], p.ID)
		}
	}
	return parts
}

// besideParts returns the short cautions for a list of parts, naming them.
func (b *book) besideParts(ids []record.Ref) []doc.Block {
	bearers := map[string][]record.Ref{}
	found := map[string]bool{}
	for _, id := range ids {
		for _, h := range b.hazardsOf(id) {
			bearers[h.word] = append(bearers[h.word], id)
			found[h.word] = true
		}
	}
	var blocks []doc.Block
	for _, h := range hazardsNamed(found) {
		blocks = append(blocks, doc.Warn(h.kind, "{} {} Parts: {}.", h.short, local, b.callThem(bearers[h.word])))
	}
	return blocks
}
