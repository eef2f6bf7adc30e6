package table

import (
	"encoding/csv"
	"io"
	"regexp"
	"strings"
	"unicode"

	"boltback/internal/quantity"
)

// invisible is what programs pass over before they look for a formula.
const invisible = `[\s\x{a0}\x{feff}\x{200b}-\x{200f}\x{2060}]*`

var (
	// begins finds where a cell begins with what opens a formula, at its start or behind what a program with another
	// separator takes for the end of a cell.
	begins = regexp.MustCompile(`(^|[;|\t\r\n])(` + invisible + `)('*)([=+\-@\x{2212}\x{ff1d}\x{ff0b}\x{ff0d}\x{ff20}])`)
	marked = regexp.MustCompile(`(^|[;|\t\r\n])(` + invisible + `)'('*[=+\-@\x{2212}\x{ff1d}\x{ff0b}\x{ff0d}\x{ff20}])`)
)

// Neutral gives a cell of which no spreadsheet makes a formula: an apostrophe goes before what would open one, also behind
// a separator in the cell. A measure keeps its sign, and a pole is its sign. Marked takes the apostrophes off again, so that nothing is lost.
func Neutral(cell string) string {
	if _, err := quantity.Parse(cell); err == nil || cell == "+" || cell == "-" {
		return cell
	}
	return begins.ReplaceAllString(cell, "${1}${2}'${3}${4}")
}

// Marked takes off the apostrophes that mark a cell as text and no formula, and says whether there was one.
func Marked(cell string) (text string, marks bool) {
	text = marked.ReplaceAllString(cell, "${1}${2}${3}")
	return text, text != cell
}

// Shown gives a text without the characters that steer a terminal or turn the direction of writing; line ends and tabs stay.
func Shown(cell string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' || unicode.Is(unicode.Bidi_Control, r) {
			return unicode.ReplacementChar
		}
		return r
	}, cell)
}

// Spot is a cell that was not written as it stands, by its row, from 1 under the header, and the name of its column.
type Spot struct {
	Row    int
	Column string
}

// Write writes rows under a header as RFC 4180 has them, in UTF-8, and says which cells a spreadsheet would have computed
// or a terminal obeyed: those are written as Neutral and Shown give them.
func Write(w io.Writer, header []string, rows [][]string) ([]Spot, error) {
	var changed []Spot
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(header); err != nil {
		return nil, err
	}
	for i, row := range rows {
		cells := make([]string, len(row))
		for k, cell := range row {
			if cells[k] = Neutral(Shown(cell)); cells[k] != cell {
				changed = append(changed, Spot{i + 1, header[k]})
			}
		}
		if err := out.Write(cells); err != nil {
			return nil, err
		}
	}
	out.Flush()
	return changed, out.Error()
}
