// Package table reads tables that people keep in spreadsheets: it finds out how a file is written, which of its rows hold
// data, and what a spreadsheet may have damaged. It repairs nothing: a cell is kept as it stands, formulas are text, and
// what is doubtful is said at its line.
package table

import (
	"fmt"
	"strings"
)

// Table is a file as it was understood.
type Table struct {
	// Dialect says how the file is written.
	Dialect Dialect
	// Header are the columns, Rows the rows of data. Each row has as many cells as the header.
	Header []Column
	Rows   []Row
	// Skipped are lines that hold no data of the table: what stands before the header, a row of units, a header repeated.
	Skipped []Skipped
	// Notes say what was assumed about the file.
	Notes []string
}

// Dialect is how a file is written.
type Dialect struct {
	// Encoding is UTF-8, UTF-16 or Windows-1252; BOM says that it begins with a byte-order mark.
	Encoding string
	BOM      bool
	// Separator parts the cells.
	Separator rune
	// DecimalComma says that numbers of the file are certainly written 0,5; DecimalPoint that they are certainly written 0.5.
	DecimalComma, DecimalPoint bool
}

// String says it in words.
func (d Dialect) String() string {
	separator := map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs", '|': "bars"}[d.Separator]
	text := fmt.Sprintf("%s, cells parted by %s", d.Encoding, separator)
	if d.BOM {
		text = strings.Replace(text, d.Encoding, d.Encoding+" with a byte-order mark", 1)
	}
	switch {
	case d.DecimalComma && d.DecimalPoint:
		text += ", decimal commas and decimal points both"
	case d.DecimalComma:
		text += ", decimal commas"
	case d.DecimalPoint:
		text += ", decimal points"
	}
	return text
}

// Column is a header cell: the words in it, and the unit in it or under it.
type Column struct{ Name, Unit string }

// Row is a row of data with the line on which it begins.
type Row struct {
	Line  int
	Cells []string
}

// Skipped is a line that holds no data, and why.
type Skipped struct {
	Line int
	Why  string
}

// Fault is why a file cannot be read as a table.
type Fault struct {
	Line          int
	Message, Hint string
}

// Error says the line and what is wrong there.
func (f *Fault) Error() string {
	if f.Line == 0 {
		return f.Message
	}
	return fmt.Sprintf("line %d: %s", f.Line, f.Message)
}

// Limits of a file that is taken.
const (
	mostRows    = 50_000
	mostColumns = 200
	mostCell    = 4000
	// headWithin is how many rows may stand before the header.
	headWithin = 40
)

// Read reads a file. Known tells whether words are the header of a column; the row with the most of them is the header.
func Read(src []byte, known func(words string) bool) (*Table, error) {
	text, dialect, err := decode(src)
	if err != nil {
		return nil, err
	}
	rows, separator, err := parted(text, known)
	if err != nil {
		return nil, err
	}
	dialect.Separator = separator
	t := &Table{Dialect: dialect}
	head := headAt(rows, known)
	if head < 0 {
		return nil, &Fault{Message: "no row of this file names its columns", Hint: "the first row of a table says what stands in each column: tag, part, mass ..."}
	}
	for _, r := range rows[:head] {
		if !blank(r.Cells) {
			t.Skipped = append(t.Skipped, Skipped{r.Line, "it stands before the header"})
		}
	}
	if err := t.header(rows[head]); err != nil {
		return nil, err
	}
	t.data(rows[head], rows[head+1:])
	t.unmark()
	t.Dialect.decimals(t.Rows)
	return t, nil
}

// headAt finds the row that names the most columns among the first ones; -1 where none names any.
func headAt(rows []Row, known func(string) bool) int {
	head, most := -1, 0
	for i, r := range rows[:min(len(rows), headWithin)] {
		n := 0
		for _, cell := range r.Cells {
			if name, _ := nameAndUnit(cell); name != "" && known(name) {
				n++
			}
		}
		if n > most {
			head, most = i, n
		}
	}
	return head
}

// header reads the names and units of the columns.
func (t *Table) header(r Row) error {
	seen := map[string]bool{}
	for _, cell := range r.Cells {
		name, unit := nameAndUnit(cell)
		key := strings.ToLower(name)
		if name != "" && seen[key] {
			return &Fault{Line: r.Line, Message: fmt.Sprintf("two columns are called %q", name), Hint: "name them apart, or take one away"}
		}
		seen[key] = true
		t.Header = append(t.Header, Column{name, unit})
	}
	for len(t.Header) > 0 && t.Header[len(t.Header)-1] == (Column{}) {
		t.Header = t.Header[:len(t.Header)-1]
	}
	return nil
}

// data takes the rows after the header: not empty ones, not the header again, and a row of units only right under it.
func (t *Table) data(head Row, rows []Row) {
	for i, r := range rows {
		switch {
		case blank(r.Cells):
		case sameCells(r.Cells, head.Cells):
			t.Skipped = append(t.Skipped, Skipped{r.Line, "it is the header again"})
		case i == 0 && t.units(r):
			t.Skipped = append(t.Skipped, Skipped{r.Line, "it is a row of units"})
		default:
			t.Rows = append(t.Rows, Row{r.Line, fitted(r.Cells, len(t.Header))})
		}
	}
}

// unmark takes off the apostrophes by which a spreadsheet is told that a cell is text and no formula.
func (t *Table) unmark() {
	for _, r := range t.Rows {
		for i, cell := range r.Cells {
			text, marks := Marked(cell)
			if r.Cells[i] = text; marks {
				t.Notes = append(t.Notes, fmt.Sprintf("line %d: an apostrophe marks %q as text, and is taken off", r.Line, text))
			}
		}
	}
}

// fitted gives a row as many cells as the header; cells beyond it that say something are kept, to be said.
func fitted(cells []string, n int) []string {
	for len(cells) > n && strings.TrimSpace(cells[len(cells)-1]) == "" {
		cells = cells[:len(cells)-1]
	}
	for len(cells) < n {
		cells = append(cells, "")
	}
	return cells
}

func blank(cells []string) bool {
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return true
}

func sameCells(a, b []string) bool {
	for i := range max(len(a), len(b)) {
		if cellAt(a, i) != cellAt(b, i) {
			return false
		}
	}
	return true
}

func cellAt(cells []string, i int) string {
	if i < len(cells) {
		return strings.TrimSpace(cells[i])
	}
	return ""
}
