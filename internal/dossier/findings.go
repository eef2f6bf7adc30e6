package dossier

import (
	"fmt"
	"slices"

	"boltback/internal/doc"
	"boltback/internal/finding"
)

// Findings is what the check says of one car or of several: each finding at its
// place, with what would be right, and a line that counts them by severity.
func Findings(list []finding.Finding) *doc.Section {
	s := doc.NewSection("findings", "Findings")
	if len(list) == 0 {
		s.Add(doc.Lead("Nothing found. The check reads the records; the car was not examined."))
		return s
	}
	sorted := slices.Clone(list)
	finding.Sort(sorted)
	var group *doc.Findings
	for i, f := range sorted {
		if i == 0 || f.Car != sorted[i-1].Car {
			group = &doc.Findings{Caption: f.Car}
			s.Add(group)
		}
		group.Items = append(group.Items, findingItem(f))
	}
	s.Add(doc.Lead("{}{}.", findingCounts(sorted), inCars(sorted)))
	return oneLined(s)[0]
}

func findingItem(f finding.Finding) doc.Finding {
	item := doc.Finding{Level: f.Severity.String(), Where: placeOf(f), What: doc.Say("{}", f.Message), Code: f.Code}
	if f.Message == "" {
		item.What = doc.Text{doc.Missing("no message")}
	}
	if f.Hint != "" {
		item.Right = doc.Say("{}", f.Hint)
	}
	return item
}

// placeOf is file, line and column as far as they are known.
func placeOf(f finding.Finding) string {
	switch {
	case f.File == "" || f.Line <= 0:
		return f.File
	case f.Column <= 0:
		return fmt.Sprintf("%s:%d", f.File, f.Line)
	}
	return fmt.Sprintf("%s:%d:%d", f.File, f.Line, f.Column)
}

func inCars(sorted []finding.Finding) string {
	cars := 0
	for i, f := range sorted {
		if f.Car != "" && (i == 0 || f.Car != sorted[i-1].Car) {
			cars++
		}
	}
	if cars < 2 {
		return ""
	}
	return " in " + count(cars, "car")
}
