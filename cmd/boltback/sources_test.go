package main

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"boltback/internal/doc"
)

// statement is one thing that a dossier says, and where.
type statement struct {
	where string
	texts []doc.Text
}

// statements gives the statements of a block: rows, facts, items, photos and signatures, each on its own. Captions, heads of
// columns and headings state nothing.
func statements(b doc.Block) []statement {
	var all []statement
	add := func(where string, texts ...doc.Text) { all = append(all, statement{where, texts}) }
	switch b := b.(type) {
	case *doc.Paragraph:
		add("paragraph", b.Text)
	case *doc.Facts:
		texts := []doc.Text{} // the facts of one record, which one of them names
		for _, f := range b.Items {
			texts = append(texts, doc.Say("{}: ", f.Label), f.Value)
		}
		add("facts "+b.Caption, texts...)
	case *doc.Table:
		for _, g := range b.Groups {
			for _, r := range g.Rows {
				texts := []doc.Text{}
				for _, c := range r.Cells {
					texts = append(texts, c.Text)
				}
				add("table "+b.Caption, texts...)
			}
		}
	case *doc.Matrix:
		for _, r := range b.Rows {
			texts := []doc.Text{r.Label}
			for _, c := range r.Cells {
				texts = append(texts, c.Note)
			}
			add("matrix "+b.Caption, texts...)
		}
	case *doc.List:
		for _, i := range b.Items {
			texts := []doc.Text{i.Text}
			_ = doc.Walk(i.Blocks, func(inner doc.Block, _ int) error {
				texts = append(texts, doc.Texts(inner)...)
				return nil
			})
			add("list", texts...)
		}
	case *doc.PhotoSheet:
		for _, p := range b.Photos {
			add("photos "+b.Caption, p.Caption, p.Source)
		}
	case *doc.Signature:
		add("signature", b.Meaning, b.Status, b.Time)
	}
	return all
}

// sourced tells whether a statement carries its source, or says that there is none to carry: missing, withheld, elsewhere here.
func (s statement) sourced() bool {
	for _, t := range s.texts {
		for _, span := range t {
			if span.Style == doc.StyleSource || span.Style == doc.StyleMissing || span.Style == doc.StyleWithheld || span.Target != "" {
				return true
			}
		}
	}
	return false
}

func (s statement) words() string {
	var words []string
	for _, t := range s.texts {
		words = append(words, t.String())
	}
	return strings.Join(words, " ")
}

func (s statement) String() string { return fmt.Sprintf("%s: %.140s", s.where, s.words()) }

// ofTheProgram are the chapters and tables that speak of the document and of the program's own measures, not of the car.
var ofTheProgram = map[string]string{
	"What this is":               "what the document is, and counts of all records at the commit that it names",
	"How to check this document": "how it is checked",
	"Cautions":                   "reminders",
	"table How much the records must hold before anything is said": "the floors, which live in the program",
}

// ownWords are sentences in which the program says what it does, what it cannot know, or that something is not on record; the
// last is known of the whole record, at the commit on the first page.
var ownWords = regexp.MustCompile(`(?i)^from:  commit [0-9a-f]{40}|\breminder: |\bof \d{4}-\d\d-\d\d\. it ends with |to settle it: |would answer it: |\b(no|none|nothing)\b.* on record|the records do not|the records give an answer|no stamp is in the ledger|local codes and licensed practice`)

// TestEveryStatementCarriesItsSource walks every block of every dossier. A row, fact, item, photo or signature names what it
// rests on, or says that nothing is there. A sentence does so itself or counts what its chapter lists, each with its source.
func TestEveryStatementCarriesItsSource(t *testing.T) {
	for _, d := range everyDossier(t) {
		t.Run(d.name, func(t *testing.T) {
			looked := 0
			for _, s := range d.Document.Sections {
				if ofTheProgram[s.Title] == "" {
					looked += everyStatementOf(t, s)
				}
			}
			if looked < 30 && d.Document.Sheets != 1 || looked < 5 {
				t.Errorf("only %d statements were looked at", looked)
			}
		})
	}
}

// everyStatementOf looks at a chapter and gives how many of its statements carry a source.
func everyStatementOf(t *testing.T, chapter *doc.Section) int {
	var bare []statement
	carry := 0
	var look func(blocks []doc.Block)
	look = func(blocks []doc.Block) {
		for _, b := range blocks {
			if inner, is := b.(*doc.Section); is {
				look(inner.Blocks)
			}
			for _, one := range statements(b) {
				switch {
				case one.sourced():
					carry++
				case ofTheProgram[one.where] == "" && !ownWords.MatchString(one.words()):
					bare = append(bare, one)
				}
			}
		}
	}
	look(chapter.Blocks)
	for _, one := range bare {
		if one.where != "paragraph" || carry == 0 {
			t.Errorf("%s: %s", chapter.Title, one)
		}
	}
	return carry
}

func TestAStatementWithoutASourceIsNoticed(t *testing.T) {
	bare := doc.Say("It weighs {}.", "901 kg")
	sourced := bare.From(doc.FromRecord("readings/x.json", 5))
	for name, b := range map[string]doc.Block{
		"a row": tableOf(bare), "a fact": doc.FactsOf(doc.Fact{Label: "Mass", Value: bare}), "an item": doc.Bullets(doc.Item{Text: bare}),
		"a signature": &doc.Signature{Name: "X", Meaning: bare}, "a photo": &doc.PhotoSheet{Photos: []doc.Photo{{Caption: bare}}},
	} {
		if got := statements(b); len(got) != 1 || got[0].sourced() {
			t.Errorf("%s: %v", name, got)
		}
	}
	if got := statements(tableOf(sourced)); len(got) != 1 || !got[0].sourced() {
		t.Errorf("%v", got)
	}
}

func tableOf(cell doc.Text) *doc.Table {
	t := doc.NewTable("Masses", doc.Col("What", 1), doc.Col("Figure", 1))
	t.Row("mass", cell)
	return t
}
