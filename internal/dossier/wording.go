package dossier

import (
	"strings"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/wording"
)

// Wording tells what an advertisement may say, sentence by sentence: supported, withheld or contradicted by the records,
// and by whom each was seen.
func Wording(s *ledger.Snapshot, phrases []wording.Phrase) *doc.Section {
	return open(Input{Snapshot: s}).said(phrases)
}

func (b *book) said(phrases []wording.Phrase) *doc.Section {
	section := doc.NewSection("wording", "What may be said",
		doc.Lead("{} A sentence that is supported may be said as it stands, with its day. What is withheld lacks a record, and what is contradicted has one against it.", doc.NotExamined))
	for _, standing := range []wording.Standing{wording.Contradicted, wording.Withheld, wording.Supported} {
		list := doc.Bullets()
		for _, p := range phrases {
			if p.Standing == standing {
				list.Items = append(list.Items, b.phrase(p))
			}
		}
		if len(list.Items) > 0 {
			section.Add(doc.NewSection(doc.Anchor("wording "+string(standing)), capital(string(standing)), list))
		}
	}
	if len(phrases) == 0 {
		section.Add(doc.Para("The records give no sentence to judge."))
	}
	return oneLined(section)[0]
}

// phrase is one sentence with why it stands so and who saw what it rests on.
func (b *book) phrase(p wording.Phrase) doc.Item {
	text := doc.Say("{} {}", quoted(p.Text), capital(p.Why))
	if p.Settle != "" {
		text = text.And("; to settle it: {}", p.Settle)
	}
	text = text.From(b.few(b.paths(p.Against))...)
	item := doc.Item{Text: text}
	below := doc.Bullets()
	if len(p.For) > 0 {
		below.Items = append(below.Items, doc.Item{Text: doc.Say("Rests on").From(b.few(b.paths(p.For))...)})
	}
	if seen := seenBy(p.SeenBy); seen != "" {
		below.Items = append(below.Items, doc.Point("Seen by {}", seen))
	}
	if len(below.Items) > 0 {
		item = item.With(below)
	}
	return item
}

func seenBy(list []wording.Witness) string {
	var names []string
	for _, w := range list {
		where := "of the workshop"
		if w.Outside {
			where = "from outside the workshop"
		}
		names = append(names, w.Name+", "+where)
	}
	return strings.Join(names, "; ")
}
