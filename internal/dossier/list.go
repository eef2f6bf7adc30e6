package dossier

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// List is a table of the records of a car, kind by kind; without kinds, of all.
// Records that were corrected or withdrawn stand in it struck through.
func List(s *ledger.Snapshot, kinds ...record.Kind) *doc.Section {
	b := open(Input{Snapshot: s})
	section := doc.NewSection("records", "Records")
	t := doc.NewTable("Records", doc.Col("Record", 6), doc.Col("Name", 4), doc.Col("In short", 8))
	for _, kind := range record.Kinds() {
		if len(kinds) > 0 && !slices.Contains(kinds, kind) {
			continue
		}
		b.listKind(t, kind)
	}
	if t.Rows() == 0 {
		section.Add(doc.Para("No record{} is here.", ofKinds(kinds)))
	} else {
		section.Add(t, doc.Para("{}.", count(t.Rows(), "record")))
	}
	if unread := b.s.AllUnread(); len(unread) > 0 {
		section.Add(doc.Para("{} could not be read and is not listed: {}.", count(len(unread), "file"), unreadPlaces(unread)))
	}
	return oneLined(section)[0]
}

func (b *book) listKind(t *doc.Table, kind record.Kind) {
	list := b.s.OfKind(kind)
	if len(list) == 0 {
		return
	}
	t.Group(capital(string(kind)))
	for _, r := range list {
		standing, _ := b.s.StandingOf(r)
		counts := standing == ledger.Stands || standing == ledger.Disputed || standing == ledger.Withdraws
		short := struckUnless(counts, b.summary(r))
		if standing != ledger.Stands {
			short = doc.Say("{}: {}", standing.String(), short)
		}
		t.Row(doc.Literal(string(r.ID)), struckUnless(counts, doc.Say("{}", titleOf(r))), short)
	}
}

func ofKinds(kinds []record.Kind) string {
	if len(kinds) == 0 {
		return ""
	}
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = string(k)
	}
	return fmt.Sprintf(" of kind %s", strings.Join(words, " or "))
}

func unreadPlaces(unread []*ledger.Unread) doc.Text {
	var list []doc.Text
	for _, u := range unread {
		list = append(list, doc.Say("{}", u.Fault.Message).From(doc.FromRecord(u.Path, u.Fault.Line)))
	}
	return joinTexts(list, "; ")
}
