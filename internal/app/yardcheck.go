package app

import (
	"path/filepath"

	"boltback/internal/finding"
	"boltback/internal/validate"
)

// acrossYard adds what the cars of a yard have against each other and against the workshop's address book, and what is wrong
// with that. It looks where all cars of the yard are checked as they lie there: one car alone is not held against cars that
// nobody asked about, nor a revision against another day's address book.
func (e Env) acrossYard(checked []Checked, options CheckOptions) ([]Checked, error) {
	yard := wholeYard(checked)
	if yard == "" || options.At != "" {
		return checked, nil
	}
	if all, err := e.carsOf(yard); err != nil || len(all) != len(checked) {
		return checked, err
	}
	book, err := validate.Book(e.Files.Folder(filepath.Join(yard, bookName)))
	if err != nil {
		return checked, err
	}
	var summaries []validate.Summary
	for _, c := range checked {
		summaries = append(summaries, c.Summary)
	}
	for _, f := range validate.Yard(book, summaries) {
		for i := range checked {
			if checked[i].Car.Name == f.Car {
				checked[i].Findings = append(checked[i].Findings, f)
			}
		}
	}
	for i := range checked {
		finding.Sort(checked[i].Findings)
	}
	if len(book) == 0 {
		return checked, nil
	}
	own, err := e.Check([]Car{bookOf(yard)}, options)
	if err == nil && len(own[0].Findings) > 0 {
		checked = append(checked, own[0])
	}
	return checked, err
}

// wholeYard gives the yard that all checked cars lie in, or "".
func wholeYard(checked []Checked) string {
	if len(checked) == 0 {
		return ""
	}
	yard := checked[0].Car.Yard
	for _, c := range checked {
		if c.Car.Yard != yard || c.Car.Book {
			return ""
		}
	}
	return yard
}
