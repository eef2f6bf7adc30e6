package table

import (
	"regexp"
	"strings"

	"boltback/internal/quantity"
)

var (
	bracketed = regexp.MustCompile(`^(.*\S)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]$`)
	trailing  = regexp.MustCompile(`^(.*\S)\s+(?:in|/)\s+(\S+)$`)
	decimal   = regexp.MustCompile(`^[+-]?\d+([.,])(\d+)(\s*\D.*)?$`)
	doubtful  = regexp.MustCompile(`^[+-]?\d{1,3}[.,]\d{3}(\s*[^\d\s].*)?$`)
)

// nameAndUnit parts "Mass (kg)", "mass [kg]" and "mass in kg". Brackets that hold no unit belong to the name.
func nameAndUnit(cell string) (name, unit string) {
	cell = strings.Join(strings.Fields(strings.TrimPrefix(cell, "\ufeff")), " ")
	for _, pattern := range []*regexp.Regexp{bracketed, trailing} {
		if m := pattern.FindStringSubmatch(cell); m != nil && IsUnit(m[2]) {
			return m[1], m[2]
		}
	}
	return cell, ""
}

// IsUnit says that a text is a unit in some spelling.
func IsUnit(text string) bool {
	if text == "" || strings.ContainsAny(text, "0123456789") {
		return false
	}
	if _, err := quantity.Read("1 "+text, quantity.Hints{}); err != nil {
		_, either := err.(*quantity.Ambiguous)
		return either
	}
	return true
}

// units reads a row of units under the header: every cell that says something is one, and at least one is. They go to the
// columns that have none of their own.
func (t *Table) units(r Row) bool {
	found := false
	for i, cell := range r.Cells {
		cell = strings.Trim(strings.TrimSpace(cell), "()[]")
		if cell == "" || cell == "-" {
			continue
		}
		if !IsUnit(cell) || i >= len(t.Header) {
			return false
		}
		found = true
	}
	if !found {
		return false
	}
	for i, cell := range r.Cells {
		cell = strings.Trim(strings.TrimSpace(cell), "()[]")
		if i < len(t.Header) && t.Header[i].Unit == "" && cell != "-" {
			t.Header[i].Unit = cell
		}
	}
	return true
}

// decimals learns from the cells how numbers are written. One with three digits behind a single comma or point proves
// nothing: it may have its thousands parted.
func (d *Dialect) decimals(rows []Row) {
	for _, r := range rows {
		for _, cell := range r.Cells {
			cell = strings.TrimSpace(cell)
			m := decimal.FindStringSubmatch(cell)
			if m == nil || doubtful.MatchString(cell) {
				continue
			}
			if m[3] != "" && !IsUnit(strings.TrimSpace(m[3])) {
				continue
			}
			d.DecimalComma = d.DecimalComma || m[1] == ","
			d.DecimalPoint = d.DecimalPoint || m[1] == "."
		}
	}
}

// Doubtful says that a number can be read in two ways, 1,234 or 1.234, and the file's other cells do not settle it.
func (d Dialect) Doubtful(cell string) bool {
	cell = strings.TrimSpace(cell)
	if !doubtful.MatchString(cell) {
		return false
	}
	comma := strings.Contains(cell, ",")
	switch {
	case d.DecimalComma == d.DecimalPoint:
		return true
	case comma:
		return !d.DecimalComma
	}
	return !d.DecimalPoint
}

// Formula says that a cell is a formula, which stays text: nothing is ever computed.
func Formula(cell string) bool {
	return strings.HasPrefix(cell, "=") || strings.HasPrefix(cell, "@") || len(cell) > 1 && (cell[0] == '+' || cell[0] == '-') && (cell[1] < '0' || cell[1] > '9') && cell[1] != '.' && cell[1] != ','
}
