package dossier

import (
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/requirement"
)

// Flipped says what came out differently in two assessments of a car, and why: each side with the set, edition and day it is
// from, and the test where the sides ask the same item differently.
func Flipped(before, after *requirement.Assessment, flips []requirement.Flip) *doc.Section {
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
	t := doc.NewTable("What flipped, and why", doc.Col("Item", 4), doc.Col(side(before), 6), doc.Col(side(after), 6))
	for _, f := range flips {
		t.Row(flipItem(f), doc.Cell{Text: flipSide(f.Before, f.After)}, doc.Cell{Text: flipSide(f.After, f.Before)})
	}
	s.Add(t)
	return oneLined(s)[0]
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

func flipItem(f requirement.Flip) doc.Text {
	title := ""
	for _, r := range []*requirement.Result{f.Before, f.After} {
		if r != nil && !strings.Contains(title, r.Item.Title) {
			title = strings.TrimPrefix(title+" / "+r.Item.Title, " / ")
		}
	}
	if f.Fact != "" {
		return doc.Say("{}, both by {}", title, f.Fact)
	}
	return doc.Say("{}", title)
}

// flipSide is one side of a flip, the other beside it.
func flipSide(r, other *requirement.Result) doc.Text {
	if r == nil {
		return doc.Text{doc.Missing("not asked")}
	}
	text := doc.Say("{}: {}", outcomeText(r.Outcome), r.Reason)
	if r.Item.Clause != "" {
		text = text.And(" ({}, {})", r.Item.Source.Document, r.Item.Clause)
	}
	if other == nil || other.Item.ID() != r.Item.ID() {
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
