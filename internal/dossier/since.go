package dossier

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/history"
	"boltback/internal/record"
)

// Since is what differs from the records that a reader's older dossier was made from.
type Since struct {
	// Commit is the revision that the older one names, in full.
	Commit string
	// Changes are all there are.
	Changes []history.Change
}

// sinceGroups are the records in the order in which a dossier tells of them; what belongs to no other group stands in the last.
var sinceGroups = []struct {
	title string
	kinds []record.Kind
}{
	{"The car, its parts and joints", []record.Kind{record.KindCar, record.KindPart, record.KindJoint, record.KindSystem, record.KindExisting}},
	{"Work", []record.Kind{record.KindSession}},
	{"Readings", []record.Kind{record.KindReading}},
	{"Concerns, settings and codes", []record.Kind{record.KindConcern, record.KindSetting, record.KindCode}},
	{"Photos and papers", []record.Kind{record.KindPaper}},
	{"Sign-offs and changes of keeper", []record.Kind{record.KindSignOff, record.KindTransfer}},
	{"People, instruments and the ledger itself", nil},
}

// sinceKept tells whoever holds an older dossier what is new, changed and withdrawn, section by section; nil where nobody asked.
func (b *book) sinceKept() []*doc.Section {
	since := b.in.Since
	if since == nil {
		return nil
	}
	s := doc.NewSection("differences", "What is new, changed or withdrawn since the dossier you hold")
	s.Add(doc.FactsOf(doc.Is("From", "commit {}", doc.Plain(since.Commit)), doc.Is("To", "{}", doc.Plain(b.provenance().Commit))))
	changes := toldOnce(since.Changes)
	s.Add(sinceCounted(changes))
	for _, sort := range differences {
		if sort.remark != "" && slices.ContainsFunc(changes, func(c history.Change) bool { return c.What == sort.what }) {
			s.Add(doc.Para("{}: {}", doc.Strong(sort.title), doc.Plain(sort.remark)))
		}
	}
	for i, g := range sinceGroups {
		if t := b.sinceTable(g.title, i, changes); t.Rows() > 0 {
			s.Add(t)
		}
	}
	s.Add(doc.Para("Listed are the records in which the two differ, those that this dossier does not show included. " +
		"Sums and outcomes follow from the records and from the day: where a record that they rest on is listed here, read them anew. " +
		"What an older dossier says of files that were changed and not committed is not compared."))
	return []*doc.Section{s}
}

// sinceCounted says how much differs, what counts no more first.
func sinceCounted(changes []history.Change) *doc.Paragraph {
	if len(changes) == 0 {
		return doc.Lead("Nothing differs.")
	}
	var parts []string
	for _, sort := range differences {
		n := 0
		for _, c := range changes {
			if c.What == sort.what {
				n++
			}
		}
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, strings.ToLower(sinceWord(sort.what))))
		}
	}
	return doc.Lead("{}: {}.", count(len(changes), "difference"), strings.Join(parts, ", "))
}

// sinceWord is what became of a record, in a word for whoever holds an older dossier.
func sinceWord(what history.What) string {
	if what == history.Added {
		return "New"
	}
	for _, sort := range differences {
		if sort.what == what {
			return sort.title
		}
	}
	return capital(string(what))
}

// sinceTable lists what became of the records of one group: what counts no more first, what is new last.
func (b *book) sinceTable(title string, group int, changes []history.Change) *doc.Table {
	t := doc.NewTable(title, doc.Col("Since then", 2), doc.Col("Record", 5), doc.Col("What it says; of what was changed, before → after", 10))
	for _, sort := range differences {
		previews := 0
		for _, c := range changes {
			switch {
			case c.What != sort.what || sinceGroup(c.Kind) != group:
			case strings.HasPrefix(c.Path, "previews/"):
				previews++
			default:
				t.Row(sinceWord(c.What), b.sinceName(c), b.sinceSays(c))
			}
		}
		if previews > 0 {
			t.Row(sinceWord(sort.what), count(previews, "preview"), doc.Text{doc.Plain("The small pictures of photos and papers.")}.From(doc.FromRecord("previews/", 0)))
		}
	}
	return t
}

func sinceGroup(kind record.Kind) int {
	for i, g := range sinceGroups {
		if slices.Contains(g.kinds, kind) {
			return i
		}
	}
	return len(sinceGroups) - 1
}

// sinceName names a record; what counts no more is struck.
func (b *book) sinceName(c history.Change) doc.Text {
	name := c.Title
	if r := c.New; r != nil && c.What != history.Withdrawn && c.What != history.Corrected {
		name = titleOf(r)
	}
	counts := c.What != history.Withdrawn && c.What != history.Corrected && c.What != history.Removed
	return struckUnless(counts, doc.Text{doc.Plain(name)}).From(doc.FromRecord(c.Path, 0))
}

// sinceSays is what a new record says in short, or what of another is otherwise than it was.
func (b *book) sinceSays(c history.Change) doc.Text {
	switch {
	case c.What == history.Added && c.New != nil && c.Over == "":
		return b.summary(c.New)
	case c.What == history.Withdrawn && c.Old != nil:
		return struckUnless(false, b.summary(c.Old)).And("; {}", changeWords(c))
	}
	t := doc.Say("{}", changeWords(c))
	if c.Remark != "" {
		t = t.And("; {}", c.Remark)
	}
	if len(c.Fields) > 0 && c.What == history.Changed {
		t = nil
	}
	for _, f := range c.Fields {
		if len(t) > 0 {
			t = t.And(" ")
		}
		t = t.And("{}", stopped(shortened(fieldText(f))).From(fieldSource(c, f)))
	}
	return t
}

// longestValue is how many characters of one value a comparison shows; the record has the rest.
const longestValue = 240

func shortened(t doc.Text) doc.Text {
	cut := slices.Clone(t)
	for i, span := range cut {
		if runes := []rune(span.Text); len(runes) > longestValue {
			cut[i].Text = string(runes[:longestValue]) + " … (the record has all of it)"
		}
	}
	return cut
}
