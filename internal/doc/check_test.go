package doc

import (
	"errors"
	"strings"
	"testing"
)

type square struct{ side float64 }

func (s square) Size() (float64, float64) { return s.side, s.side }
func (s square) SVG() string              { return "<svg/>" }

// sound is a document with one of each block and nothing wrong.
func sound() *Document {
	table := NewTable("Parts", Col("Part", 2), Num("Mass", 1))
	table.Row("Tank", "11 kg")
	table.Row(Across(2, "weighed together"))
	matrix := NewMatrix("Numbers", "Number", []State{{"=", "agrees", ""}, {"≠", "differs", ""}}, "plate", "title")
	matrix.Row(Say("Chassis"), Mark("agrees", ""), Mark("differs", "read {}", Literal("12 3*")))
	return &Document{
		Title: "Report", Language: "en",
		Provenance: &Provenance{Subject: "Car", Commit: "1f3a", Day: "2026-03-02", Basis: NotExamined},
		Sections: []*Section{NewSection("all", "All",
			Lead("See {}.", See("inner", "below")),
			FactsOf(Is("Colour", "{}", Missing(""))),
			table, matrix,
			Steps(Point("Isolate.").With(Warn("High voltage", "Prove dead."))),
			&Figure{ID: "fig", Alt: "a square", Drawing: square{10}},
			&PhotoSheet{Photos: []Photo{{Absent: "not here", Caption: Say("Sill")}}},
			&Signature{Name: "Ada", Meaning: Say("did the work"), Status: Say("current")},
			&Findings{Items: []Finding{{Level: "error", What: Say("no")}}},
			&Verbatim{Text: "git log"},
			NewSection("inner", "Inner", Para("x")),
		)},
	}
}

func TestCheckFindsNothingWrongWithASoundDocument(t *testing.T) {
	if err := Check(sound()); err != nil {
		t.Fatal(err)
	}
}

// find returns the first block of a kind.
func find[B Block](d *Document) B {
	var found B
	stop := errors.New("found")
	_ = Walk(d.Blocks(), func(b Block, _ int) error {
		if b, ok := b.(B); ok {
			found = b
			return stop
		}
		return nil
	})
	return found
}

func TestCheckNamesEachFault(t *testing.T) {
	tests := []struct {
		name   string
		mutate func(d *Document)
		want   string
	}{
		{"a document has a title", func(d *Document) { d.Title = " " }, "the title is empty"},
		{"a language is a tag", func(d *Document) { d.Language = "English!" }, `language "English!" is not a language tag such as "en"`},
		{"a document has a provenance", func(d *Document) { d.Provenance = nil }, "the provenance is missing"},
		{"a provenance names its commit", func(d *Document) { d.Provenance.Commit = "" }, "provenance: the commit is empty"},
		{"a document has sections", func(d *Document) { d.Sections = nil }, "the document has no section"},
		{"an anchor stands once", func(d *Document) { find[*Figure](d).ID = "all" }, `section "all", block 6 (figure): anchor "all" stands twice in the document`},
		{"a section has an anchor", func(d *Document) { d.Sections[0].ID = "" }, `section "": anchor "" is not made of letters, digits, hyphens, dots and underscores`},
		{"an anchor has no spaces", func(d *Document) { d.Sections[0].ID = "a b" }, `anchor "a b" is not made of`},
		{"a link points into the document", func(d *Document) { d.Sections[0].Add(Para("{}", See("nowhere", "x"))) }, `points at "nowhere", which is not in the document`},
		{"a section is not empty", func(d *Document) { d.Sections[0].Add(NewSection("e", "Empty")) }, `section "all", section "e": the section is empty; say in it why there is nothing`},
		{"sections nest five deep at most", func(d *Document) {
			s := d.Sections[0]
			for _, id := range []string{"b", "c", "d", "e", "f"} {
				deeper := NewSection(id, id, Para("x"))
				s.Add(deeper)
				s = deeper
			}
		}, "sections nest deeper than 5"},
		{"a paragraph says something", func(d *Document) { find[*Paragraph](d).Text = nil }, "block 1 (paragraph): the text is empty"},
		{"a sentence has an argument for each placeholder", func(d *Document) { find[*Paragraph](d).Text = Say("{} {}", 1) }, "has the wrong number of arguments"},
		{"a sentence has a placeholder for each argument", func(d *Document) { find[*Paragraph](d).Text = Say("x", 1) }, "has the wrong number of arguments"},
		{"a style is one of the list", func(d *Document) { find[*Paragraph](d).Text[0].Style = 99 }, "style 99 is unknown"},
		{"facts are not empty", func(d *Document) { find[*Facts](d).Items = nil }, "there are no facts"},
		{"a fact has a value", func(d *Document) { find[*Facts](d).Items[0].Value = nil }, `the value of "Colour" is empty`},
		{"a table has a caption", func(d *Document) { find[*Table](d).Caption = "" }, "the caption is empty"},
		{"a table has rows", func(d *Document) { find[*Table](d).Groups = nil }, "the table has 2 columns and 0 rows"},
		{"a row fills its columns", func(d *Document) { find[*Table](d).Row("alone") }, "row 3 of group 1 fills 1 of 2 columns"},
		{"a group has rows", func(d *Document) { find[*Table](d).Group("none") }, `group 2 ("none") has no rows`},
		{"a column has a head", func(d *Document) { find[*Table](d).Columns[1].Header = "" }, "the head of column 2 is empty"},
		{"a column has a sensible width", func(d *Document) { find[*Table](d).Columns[1].Width = -1 }, `column "Mass" has width -1`},
		{"a matrix row fills its columns", func(d *Document) { find[*Matrix](d).Row(Say("Engine"), Mark("agrees", "")) }, "row 2 fills 1 of 2 columns"},
		{"a state stands in the legend", func(d *Document) { find[*Matrix](d).Rows[0].Cells[0].State = "perhaps" }, `row 1 has the state "perhaps", which the legend lacks`},
		{"a state has a mark", func(d *Document) { find[*Matrix](d).States[0].Mark = "" }, `the mark of state "agrees" is empty`},
		{"two states differ in their mark", func(d *Document) { find[*Matrix](d).States[1].Mark = "=" }, `state = "differs" can't be told from another`},
		{"a list has items", func(d *Document) { find[*List](d).Items = nil }, "the list is empty"},
		{"a list holds no section", func(d *Document) { find[*List](d).Items[0].Blocks = []Block{NewSection("x", "X", Para("y"))} }, "a section can't stand in a list"},
		{"a figure has words for those who can't see it", func(d *Document) { find[*Figure](d).Alt = "" }, "the alternative in words is empty"},
		{"a figure has a drawing", func(d *Document) { find[*Figure](d).Drawing = nil }, "the drawing is missing"},
		{"a drawing has a size", func(d *Document) { find[*Figure](d).Drawing = square{} }, "the drawing is 0 by 0 mm"},
		{"a photo is here or it is not", func(d *Document) { find[*PhotoSheet](d).Photos[0].Absent = "" }, "a photo has either a picture or the reason why it is not here"},
		{"a photo sheet has photos", func(d *Document) { find[*PhotoSheet](d).Photos = nil }, "the sheet has no photos"},
		{"a caution names its hazard", func(d *Document) { find[*Caution](d).Kind = "" }, "item 1, block 1 (caution): the kind of hazard is empty"},
		{"a signature has a status", func(d *Document) { find[*Signature](d).Status = nil }, "the status is empty"},
		{"findings are not empty", func(d *Document) { find[*Findings](d).Items = nil }, "there are no findings; say so in a paragraph"},
		{"a finding has a level", func(d *Document) { find[*Findings](d).Items[0].Level = "" }, "the level of finding 1 is empty"},
		{"verbatim text is not empty", func(d *Document) { find[*Verbatim](d).Text = "" }, "the text is empty"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := sound()
			tt.mutate(d)
			err := Check(d)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
}

func TestCheckReportsAllFaultsInOneRun(t *testing.T) {
	d := sound()
	d.Title = ""
	find[*Facts](d).Items = nil
	find[*List](d).Items = nil
	if got := strings.Count(Check(d).Error(), "\n") + 1; got != 3 {
		t.Errorf("%d faults, want 3: %v", got, Check(d))
	}
}
