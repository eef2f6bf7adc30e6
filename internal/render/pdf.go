package render

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"time"

	"boltback/internal/doc"
	"boltback/internal/figure"
	pdf "boltback/internal/page"
)

// PDFOptions say how the file is to be made.
type PDFOptions struct {
	// Paper is the sheet; empty stands for A4.
	Paper Paper
	// Made is when the file says it was made; the zero time leaves it out, and
	// then the same document gives the same bytes whenever it is printed.
	Made time.Time
	// Attachments travel inside the file, such as the data behind the document.
	Attachments []PDFAttachment
}

// PDFAttachment is a file inside the PDF file.
type PDFAttachment struct {
	Name, Description string
	// MediaType is such as "application/json".
	MediaType string
	Data      []byte
}

// PDF writes a document as a PDF file that needs nothing beside itself, with
// bookmarks, links, running heads, and its structure for readers that speak. It
// returns the characters that no typeface of the program has, which are printed
// as code points; whoever asked for the file is to be told.
//
// Nothing is written when it fails: with the context's error, or because of w.
func PDF(ctx context.Context, w io.Writer, d *doc.Document, o PDFOptions) (lacking []rune, err error) {
	paper := pdf.A4
	if o.Paper == Letter {
		paper = pdf.Letter
	}
	s := setOn(ctx, d, paper, o.Made)
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("the file was not finished: %w", err)
	}
	for _, a := range o.Attachments {
		s.book.Attach(pdf.Attachment{Name: a.Name, Description: a.Description, MediaType: a.MediaType, Data: a.Data, Changed: o.Made})
	}
	var file bytes.Buffer
	if err := s.book.Write(&file); err != nil {
		return nil, err
	}
	_, err = file.WriteTo(w)
	return s.book.Lacking(), err
}

// smallerScales are the sizes at which a bound of sheets is tried, as shares of the usual one. At the smallest, the text of a table is 6 points.
var smallerScales = []float64{1, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7}

// setOn sets a document. One that asks for so many sheets at most is set smaller and smaller until they do.
func setOn(ctx context.Context, d *doc.Document, paper pdf.Paper, made time.Time) *setter {
	scales := []float64{1}
	if d.Sheets > 0 {
		scales = smallerScales
	}
	var s *setter
	for _, scale := range scales {
		s = newSetter(ctx, d, paper, made, scale)
		s.document(d)
		if len(s.book.Pages()) <= d.Sheets {
			break
		}
	}
	return s
}

// Measures of a page, in millimetres.
const (
	pdfLeft   = 20.0
	pdfRight  = 18.0
	pdfTop    = 22.0
	pdfBottom = 20.0
	pdfGap    = 2.6 // between blocks
	hairline  = 0.2
	leading   = 1.36 // from line to line, as a share of the size
)

// Sizes of print.
var (
	textSize    = figure.Points(9.5)
	cellSize    = figure.Points(8.5)
	quietSize   = figure.Points(7.5)
	leadSize    = figure.Points(11.5)
	titleSize   = figure.Points(20)
	headingSize = []float64{figure.Points(15), figure.Points(12), figure.Points(10.5)}
)

// setter sets blocks one below the other, over as many pages as it takes.
type setter struct {
	ctx     context.Context
	book    *pdf.Book
	page    *pdf.Page
	anchors map[string]bool // places that links may lead to
	entries []contentsEntry
	// left and width bound the column that is being set; y is where the next
	// line begins.
	left, width, y float64
}

func newSetter(ctx context.Context, d *doc.Document, paper pdf.Paper, made time.Time, scale float64) *setter {
	info := pdf.Info{Title: oneLine(d.Title), Subject: oneLine(d.Subtitle), Language: oneLine(d.Language), Program: "boltback", Made: made, Scale: scale}
	if d.Provenance != nil {
		info.Author = oneLine(d.Provenance.Workshop)
	}
	s := &setter{ctx: ctx, book: pdf.New(info, paper), anchors: anchorsOf(d), left: pdfLeft}
	s.width = s.book.Paper().Width - pdfLeft - pdfRight
	s.turn()
	return s
}

// anchorsOf lists the places of a document that a span may point at.
func anchorsOf(d *doc.Document) map[string]bool {
	anchors := map[string]bool{}
	note := func(id string) {
		if id != "" {
			anchors[id] = true
		}
	}
	doc.Walk(d.Blocks(), func(b doc.Block, _ int) error { // visiting never fails
		switch b := b.(type) {
		case *doc.Section:
			note(b.ID)
		case *doc.Table:
			note(b.ID)
		case *doc.Matrix:
			note(b.ID)
		case *doc.Figure:
			note(b.ID)
		}
		return nil
	})
	return anchors
}

// document sets the whole document.
func (s *setter) document(d *doc.Document) {
	s.title(d)
	if d.Provenance != nil && d.Sheets != 1 {
		s.provenance(d.Provenance)
	}
	s.contents(doc.Outline(d.Blocks(), d.Contents))
	for i, section := range d.Sections {
		s.section(section, 1, fmt.Sprint(i+1))
	}
	if d.Provenance != nil && d.Sheets == 1 {
		s.provenanceLine(d.Provenance)
	}
	s.fillContents()
	s.runningHeads(d)
}

func (s *setter) bottom() float64 { return s.book.Paper().Height - pdfBottom }

// turn begins a pdf.
func (s *setter) turn() {
	s.page = s.book.Page()
	s.y = pdfTop
}

// room makes sure that so much room is left, on a new page if need be.
func (s *setter) room(height float64) {
	if s.y+height > s.bottom() && s.y > pdfTop {
		s.turn()
	}
}

// tag sets what do sets as one element of the structure.
func (s *setter) tag(role pdf.Role, do func()) { s.book.Tag(pdf.Element{Role: role}, do) }

// indented sets what do sets in a column that begins further to the right.
func (s *setter) indented(by float64, do func()) {
	s.left += by
	s.width -= by
	do()
	s.left -= by
	s.width += by
}
