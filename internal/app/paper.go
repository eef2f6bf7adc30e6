package app

import (
	"bytes"
	"fmt"
	"strings"

	"boltback/internal/page"
	"boltback/internal/sheet"
)

// Printed is a PDF file for the printer.
type Printed struct {
	File  []byte
	Pages int
	// Lacking are the characters that could be printed only as code points.
	Lacking []rune
	// Notes say what whoever asked should know.
	Notes []string
}

// paperFor reads the name of a paper; without one it is the yard's, or else A4.
func paperFor(word string, habits Habits) (page.Paper, error) {
	from := "--paper a4 or --paper letter"
	if word == "" {
		if word = habits.Paper; word == "" {
			return page.A4, nil
		}
		from = "yard.json says so; " + from
	}
	paper, err := page.PaperCalled(strings.ToLower(word))
	if err != nil {
		return paper, &Usage{Message: "there is no paper " + word, Hint: from}
	}
	return paper, nil
}

// Paper is the paper that a yard is used to, as a4 or letter; "" where it does not say.
func (e Env) Paper(car Car) (string, error) {
	habits, err := e.habits(car.Yard)
	return strings.ToLower(habits.Paper), err
}

// printed writes a printout.
func printed(p *sheet.Printout, notes []string) (Printed, error) {
	var file bytes.Buffer
	if err := p.Write(&file); err != nil {
		return Printed{}, fmt.Errorf("write the PDF file: %w", err)
	}
	return Printed{file.Bytes(), p.Pages(), p.Lacking(), notes}, nil
}
