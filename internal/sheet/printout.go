package sheet

import (
	"io"
	"time"

	"boltback/internal/page"
)

// Printout is one file ready to be printed.
type Printout struct{ book *page.Book }

// Write writes the PDF file.
func (p *Printout) Write(w io.Writer) error { return p.book.Write(w) }

// Pages is the number of sheets of paper.
func (p *Printout) Pages() int { return len(p.book.Pages()) }

// Lacking lists the characters that could not be printed other than by their
// code points; whoever asked for the printout is to be told.
func (p *Printout) Lacking() []rune { return p.book.Lacking() }

// Head is what stands on top of every job sheet. What is empty is left for the pen.
type Head struct {
	// Car is the car's name; Slug names it in the code.
	Car, Slug string
	// Numbers are the car's numbers as they were read, such as "chassis *TK 40317 R*".
	Numbers string
	// Session names the session in the code, such as "2025-09-16-ines-tank-out".
	Session string
	// Day, Who, Helpers and Zone are printed in their boxes.
	Day, Who, Helpers, Zone string
	// Source says what the printed values were read from, such as a commit and a day.
	Source string
	// Workshop and Made go into the file's own description.
	Workshop string
	Made     time.Time
	Paper    page.Paper
	// Blank is how many empty rows follow the known ones; 0 fills the last page,
	// and less than 0 leaves none.
	Blank int
}

func (h Head) info(title string) page.Info {
	return page.Info{Title: title + ": " + h.Car, Subject: "Bench sheet", Author: h.Workshop, Language: "en", Program: "boltback", Made: h.Made, FullSize: true}
}
