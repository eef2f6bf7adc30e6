package dossier

import (
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/requirement"
)

// Flipped says what came out differently in two assessments of a car, and why: each side with the set, edition and day it is
// from, and the test where the sides ask the same item differently.
func Flipped(before, after *requirement.Assessment, flips []requirement.Flip, divided []requirement.Divided) *doc.Section {
	s := doc.NewSection("compared", "Compared: "+side(before)+" and "+side(after))
	seen := map[string]bool{}
	for _, line := range append(append([]string(nil), before.Set.Head...), after.Set.Head...) {
		if !seen[line] {
			s.Add(doc.Warn("Edition", "{}", line))
		}
		seen[line] = true
	}
	s.Add(doc.Warn("An aid", "{} The authority decides.", doc.NotExamined))
	if len(flips) == 0 {
		s.Add(doc.Para("Nothing flipped."))
		return s
	}
	var both, first, second []requirement.Flip
	for _, f := range flips {
		switch {
		case f.After == nil:
			first = append(first, f)
		case f.Before == nil:
			second = append(second, f)
		default:
			both = append(both, f)
		}
	}
	if len(both) > 0 {
		s.Add(flippedItems(before, after, both))
	}
	if len(divided) > 0 {
		s.Add(dividedReadings(divided))
	}
	if len(both)+len(divided) == 0 {
		s.Add(doc.Para("Nothing that both ask came out differently."))
	}
	s.Add(askedAlone(before, first)...)
	s.Add(askedAlone(after, second)...)
	return oneLined(s)[0]
}

// flippedItems is the table of the items that both sides judge, each in its own way.
func flippedItems(before, after *requirement.Assessment, flips []requirement.Flip) doc.Block {
	t := doc.NewTable("What flipped, and why", doc.Col("Item", 3), doc.Col(side(before), 5), doc.Col(side(after), 5), doc.Col("Why", 3))
	for _, f := range flips {
		t.Row(doc.Say("{}", flipTitle(f)), doc.Cell{Text: flipSide(f.Before, f.After)}, doc.Cell{Text: flipSide(f.After, f.Before)}, doc.Say("{}", f.Why()))
	}
	return t
}

// askedAlone lists what one side asks and the other does not, with what came of it.
func askedAlone(a *requirement.Assessment, flips []requirement.Flip) []doc.Block {
	if len(flips) == 0 {
		return nil
	}
	list := doc.Bullets()
	for _, f := range flips {
		r := f.After
		if r == nil {
			r = f.Before
		}
		list.Items = append(list.Items, doc.Point("{}: {}.", r.Item.Title, outcomeText(r.Outcome)))
	}
	return []doc.Block{doc.Para("Asked by {} alone:", side(a)), list}
}

// dividedReadings lists each reading that is within a limit of one side and beyond one of the other, with the items of both.
func dividedReadings(divided []requirement.Divided) doc.Block {
	t := doc.NewTable("One reading, met here and not there", doc.Col("Reading", 4), doc.Col("Met", 6), doc.Col("Not met", 6))
	for _, d := range divided {
		t.Row(doc.Literal(string(d.Reading)), namedResults(d.Met), namedResults(d.NotMet))
	}
	return t
}

func namedResults(list []*requirement.Result) doc.Text {
	var text doc.Text
	for i, r := range list {
		if i > 0 {
			text = text.And("; ")
		}
		text = text.And("{} ({}): {}", r.Item.Title, r.Item.Set, r.Reason)
	}
	return text
}

// side names an assessment: the set, whose it is, its edition, and the day.
func side(a *requirement.Assessment) string {
	words := a.Set.Name + ", edition " + a.Set.Body.Edition
	switch own := a.Set.Own; {
	case len(own) == 0:
		words += " (shipped)"
	case slices.Contains(own, a.Set.Name):
		words += " (the car's own)"
	default:
		words += " (on the car's own " + strings.Join(own, " and ") + ")"
	}
	return words + " on " + a.Day.String()
}

// flipTitle names the item, or both where they have names of their own.
func flipTitle(f requirement.Flip) string {
	if f.Before.Item.Title == f.After.Item.Title {
		return f.After.Item.Title
	}
	return f.Before.Item.Title + " / " + f.After.Item.Title
}

// flipSide is one side of a flip, the other beside it.
func flipSide(r, other *requirement.Result) doc.Text {
	text := doc.Say("{}: {}", outcomeText(r.Outcome), r.Reason)
	if r.Item.Clause != "" {
		text = text.And(" ({}, {})", r.Item.Source.Document, r.Item.Clause)
	}
	if other.Item.ID() != r.Item.ID() {
		return text
	}
	if r.Item.Applies != other.Item.Applies && r.Item.Applies != "" {
		text = text.And("; asked where {}", doc.Literal(r.Item.Applies))
	}
	if r.Item.Test != "" && (r.Item.Test != other.Item.Test || r.Item.Rule != other.Item.Rule) {
		text = text.And("; test {}, by {}", doc.Literal(r.Item.Test), string(r.Item.Rule))
	}
	return text
}
