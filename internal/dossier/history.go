package dossier

import (
	"fmt"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/edtf"
	"boltback/internal/history"
	"boltback/internal/record"
)

// History tells the story of a record, or of a whole car, commit by commit in the
// order of the entries: who, when, what, and how many days after the work it was
// written down. lateAfter is the number of days from which an entry is marked late.
func History(subject string, entries []history.Entry, lateAfter int) *doc.Section {
	s := doc.NewSection("history", "History of "+subject)
	if len(entries) == 0 {
		s.Add(doc.Lead("No commit tells of it."))
		return oneLined(s)[0]
	}
	late, perhaps := lateEntries(entries)
	s.Add(doc.Lead("{}; {} late, {} perhaps late.", count(len(entries), "commit"), count(late, "entry"), perhaps))
	s.Add(doc.Para("An entry is late that was committed more than {} after the day its record gives. "+
		"The day of a commit is what its author's clock said; only a time stamp from outside shows that it was no later.", count(lateAfter, "day")))
	for _, e := range entries {
		s.Add(entryBlocks(e)...)
	}
	return oneLined(s)[0]
}

// lateEntries counts the first entries that are late for certain, and those that
// may be.
func lateEntries(entries []history.Entry) (late, perhaps int) {
	for _, e := range entries {
		for _, d := range e.Delays {
			switch d.Late {
			case edtf.Yes:
				late++
			case edtf.Perhaps:
				perhaps++
			}
		}
	}
	return late, perhaps
}

// entryBlocks says one commit: who and when, then what, then the days between.
func entryBlocks(e history.Entry) []doc.Block {
	head := doc.Say("{}, {}", doc.Strong(e.When.Format("2006-01-02 15:04 -07:00")), stated(e.Author))
	if e.Message != "" {
		head = head.And(": {}", quoted(e.Message))
	}
	if e.Signed != "" {
		head = head.And("; {}", doc.Plain(e.Signed))
	}
	list := doc.Bullets()
	schemas := 0
	for _, c := range toldOnce(e.Changes) {
		if strings.HasPrefix(c.Path, "schema/") {
			schemas++ // the copies that travel with a car need no line each
			continue
		}
		list.Items = append(list.Items, changeItem(c))
	}
	if schemas > 0 {
		list.Items = append(list.Items, doc.Point("{} of schemas that travel with the car.", plural(schemas, "copy", "copies")))
	}
	for _, d := range e.Delays {
		list.Items = append(list.Items, doc.Item{Text: delayText(d)})
	}
	blocks := []doc.Block{&doc.Paragraph{Text: head.And(".").From(doc.FromCommit(e.ID))}}
	if len(list.Items) > 0 {
		blocks = append(blocks, list)
	}
	return blocks
}

// delayText says the days between the event and the entry; the word for a late one
// stands first.
func delayText(d history.Delay) doc.Text {
	words := doc.Plain(capital(d.String()))
	if !d.Known {
		words = doc.Missing(capital(d.String()))
	}
	text := doc.Text{words}
	switch d.Late {
	case edtf.Yes:
		text = doc.Say("{}: {}", doc.Strong("Late"), d.String())
	case edtf.Perhaps:
		if d.Known {
			text = doc.Say("{}: {}", doc.Strong("Perhaps late"), d.String())
		}
	}
	return text.And(".").From(doc.FromRecord(record.PathOf(d.Record), 0))
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
