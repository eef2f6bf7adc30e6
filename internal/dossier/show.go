package dossier

import (
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Show is one record in words: what it says member by member, whether it counts,
// what can hurt, and which records refer to it. All of it is from that one file, but for private values, which are shown where
// disclosed gives them and withheld where it is nil.
func Show(s *ledger.Snapshot, r *record.Record, disclosed Disclosed) *doc.Section {
	b := open(Input{Snapshot: s, Disclosed: disclosed})
	section := doc.NewSection(doc.Anchor(string(r.ID)), capital(string(r.Kind))+": "+titleOf(r))
	section.Add(doc.FactsOf(
		doc.Is("Record", "{}", doc.Literal(r.Path)),
		doc.Is("SHA-256", "{}", doc.Literal(string(r.Digest))),
		doc.Is("Standing", "{}", b.standingWords(r)),
	))
	v := &viewer{book: b, record: r, leaves: map[string]record.Leaf{}, told: b.toldAtTop(r), counts: b.counts(r) || r.Body.Heading().Withdraws != ""}
	for _, leaf := range r.Leaves() {
		v.leaves[leaf.Pointer] = leaf
	}
	section.Add(v.members(r.Doc.Root, "")...)
	if body, ok := r.Body.(*record.Part); ok {
		section.Add(b.partNow(r, body))
		section.Add(b.besideParts([]record.Ref{r.ID})...)
	}
	if body, ok := r.Body.(*record.Paper); ok && isHEIC(body) {
		section.Add(doc.Para("The original is " + heicSaid + "."))
	}
	section.Add(b.referrers(r))
	return oneLined(section)[0]
}

func (b *book) standingWords(r *record.Record) doc.Text {
	if verdict, ok := b.verdict(r); ok {
		return verdict
	}
	head := r.Body.Heading()
	switch {
	case head.Withdraws != "":
		return doc.Say("withdraws {}; reason: {}", b.name(head.Withdraws), quoted(head.Reason))
	case head.Corrects != "":
		return doc.Say("stands, in the place of {}; reason: {}", b.plainID(head.Corrects), quoted(head.Reason))
	}
	return doc.Say("stands")
}

// partNow is where the lines leave a part.
func (b *book) partNow(r *record.Record, body *record.Part) *doc.Facts {
	p := placed{ledger.Entry[record.Part]{Record: r, Body: body}, b.log.of(r.ID)}
	return &doc.Facts{Caption: "From the lines that name it", Items: []doc.Fact{
		{Label: "Where", Value: b.whereCell(p.at, body.Position)},
		{Label: "Fasteners", Value: b.fastenersCell(p.at)},
		{Label: "Last line", Value: b.seenCell(p.at)},
	}}
}

// referrers lists the records that refer to this one, or to the record in whose
// place it stands.
func (b *book) referrers(r *record.Record) doc.Block {
	uses := b.s.Uses(r.ID)
	if place := b.s.Place(r); place.ID != r.ID {
		uses = slices.Concat(uses, b.s.Uses(place.ID))
	}
	uses = slices.DeleteFunc(slices.Clone(uses), func(u ledger.Use) bool { return u.From.ID == r.ID })
	if len(uses) == 0 {
		return doc.Para("No other record refers to it.")
	}
	list := doc.Bullets()
	for _, u := range uses {
		text := doc.Say("{}, {}", titleOf(u.From), labelOfPointer(u.Pointer)).From(b.source(u.From, u.Pointer))
		list.Items = append(list.Items, doc.Item{Text: struckUnless(b.counts(u.From) || u.From.Body.Heading().Withdraws != "", text)})
	}
	return doc.NewSection(doc.Anchor(string(r.ID))+".referrers", "Records that refer to it", list)
}

// labelOfPointer is the member a reference stands in, in words.
func labelOfPointer(pointer string) string {
	tokens, _ := canon.SplitPointer(pointer)
	var words []string
	for _, t := range tokens {
		words = append(words, strings.ReplaceAll(t, "-", " "))
	}
	if len(words) > 1 && strings.Trim(words[1], "0123456789") == "" {
		words = words[:1]
	}
	return strings.Join(words, ", ")
}
