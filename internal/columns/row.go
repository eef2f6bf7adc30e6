package columns

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"boltback/internal/code"
	"boltback/internal/edtf"
	"boltback/internal/entry"
	"boltback/internal/identity"
	"boltback/internal/record"
	"boltback/internal/steps"
	"boltback/internal/table"
)

// reader turns the rows of one table into records.
type reader struct {
	table   *table.Table
	options Options
	kind    Kind
	plan    *Plan
	context entry.Context
	// at are the columns that are known, others those that are not.
	at     []placed
	others []int
	// made are the records of earlier rows, tagged which part bears a tag, measured the readings by all but their values.
	made     map[record.Ref]bool
	tagged   map[string]record.Ref
	measured map[string]*record.Reading
	// dates are the cells that decide the order of day and month, base why they may be wrong, baseHint what settles it.
	dates          []string
	base, baseHint string
	// session knows what rows name; works are the sessions by day and person, in order.
	session *steps.Session
	works   map[string]*steps.Session
	// before knows what was on record before the table, nil until somebody asks.
	before *steps.Session
	order  []string
	// misses are the places at which something was missed or nothing was, looked those where something was seen, and unsure
	// those of rows that are not taken.
	misses []*missing
	missAt map[string]*missing
	looked map[string]bool
	unsure map[string]bool
}

// placed is a known column at its place.
type placed struct {
	at     int
	column column
	head   table.Column
}

// row works out what becomes of one row.
func (r *reader) row(row table.Row) {
	fate := Fate{Line: row.Line, Cells: row.Cells}
	cells, err := r.cells(row, &fate)
	if err == nil {
		err = r.become(cells, &fate)
	}
	var fault *entry.Fault
	switch {
	case errors.As(err, &fault):
		fate.Fault, fate.Hint = strings.TrimPrefix(fault.Error(), ": "), fault.Hint
	case err != nil:
		fate.Fault = err.Error()
	}
	if fate.Fault != "" {
		r.doubt(row)
	}
	r.plan.Fates = append(r.plan.Fates, fate)
}

// cells reads the cells of a row, by the members that they fill. What stands in columns that nobody knows goes to the note.
func (r *reader) cells(row table.Row, fate *Fate) (map[string]string, error) {
	cells := map[string]string{}
	for _, p := range r.at {
		raw := strings.TrimSpace(row.Cells[p.at])
		if raw == "" || raw == "-" || raw == "–" {
			continue
		}
		if withheld(raw) {
			fate.Notes = append(fate.Notes, p.head.Name+": a private value was withheld here; it is given anew where it is sealed")
			continue
		}
		value, err := r.cell(p, raw, fate)
		var fault *entry.Fault
		if errors.As(err, &fault) {
			return nil, &entry.Fault{Word: p.head.Name, Message: fault.Message, Hint: fault.Hint}
		}
		if err != nil {
			return nil, err
		}
		cells[p.column.key] = value
	}
	for _, i := range append(r.others, beyond(row, r.table)...) {
		if raw := strings.TrimSpace(row.Cells[i]); raw != "" && !withheld(raw) {
			label := "beyond the last column"
			if i < len(r.table.Header) {
				label = r.table.Header[i].Name
			}
			cells["note"] = strings.TrimPrefix(cells["note"]+"; "+label+": "+raw, "; ")
		}
	}
	return cells, nil
}

func beyond(row table.Row, t *table.Table) (extra []int) {
	for i := len(t.Header); i < len(row.Cells); i++ {
		extra = append(extra, i)
	}
	return extra
}

// cell reads one cell the way its column is read.
func (r *reader) cell(p placed, raw string, fate *Fate) (string, error) {
	for _, d := range identity.Damage(raw) {
		if d.Kind == "error value" || d.Kind == "characters lost" {
			return "", &entry.Fault{Message: d.Sentence, Hint: "ask for what stood there before"}
		}
	}
	if table.Formula(raw) {
		fate.Notes = append(fate.Notes, fmt.Sprintf("%s: %q is a formula, and stays text", p.head.Name, raw))
	}
	switch p.column.sort {
	case number:
		return r.number(p, raw, fate)
	case tag:
		return r.tag(raw)
	case figure:
		return r.figure(p, raw, fate)
	case day:
		return r.day(raw, fate)
	}
	return raw, nil
}

// number keeps a number as it stands, unless a spreadsheet certainly damaged it: then it is no evidence of anything.
func (r *reader) number(p placed, raw string, fate *Fate) (string, error) {
	for _, d := range identity.Damage(raw) {
		if d.Certain || d.Kind == "turned into a date" || d.Kind == "digits cut off" {
			return "", &entry.Fault{Message: d.Sentence, Hint: "write it into the cell as it was read, with the cell formatted as text"}
		}
		fate.Notes = append(fate.Notes, p.head.Name+": "+d.Sentence)
	}
	if suspicion := identity.TableSuspicion(raw); suspicion != "" {
		fate.Notes = append(fate.Notes, p.head.Name+": "+suspicion)
	}
	return raw, nil
}

// shortestTag is the least number of digits on a tag.
const shortestTag = 4

// tag takes the number of a tag. Fewer digits than a tag has were most likely more, and nothing is put before them.
func (r *reader) tag(raw string) (string, error) {
	for _, d := range identity.Damage(raw) {
		if d.Certain || d.Kind == "turned into a date" {
			return "", &entry.Fault{Message: d.Sentence, Hint: "write the tag as it hangs there, with the cell formatted as text"}
		}
	}
	if _, err := strconv.Atoi(raw); err == nil && len(raw) < shortestTag {
		return "", &entry.Fault{Message: fmt.Sprintf("%q has fewer digits than a tag: a spreadsheet may have dropped the zeros before it", raw),
			Hint: "look at the tag, and write all its digits, with the cell formatted as text"}
	}
	if digits, _, ok := strings.Cut(raw, "-"); ok {
		if _, err := strconv.Atoi(digits); err == nil {
			if _, err := code.ParseTag(strings.TrimRight(raw, "abcdefghijklmnopqrstuvw")); err != nil {
				return "", &entry.Fault{Message: err.Error(), Hint: "look at the tag again"}
			}
		}
	}
	return raw, nil
}

// bareNumber is a number that brings no unit of its own.
var bareNumber = regexp.MustCompile(`^[<>±~+-]?\s*[\d.,\x{00a0} ]+(\s*±\s*[\d.,]+)?$`)

// figure gives a measure its unit from the header. A number that reads two ways is refused unless the file's other cells
// settle how it writes numbers.
func (r *reader) figure(p placed, raw string, fate *Fate) (string, error) {
	if r.table.Dialect.Doubtful(raw) {
		return "", &entry.Fault{Message: fmt.Sprintf("%q can be read in two ways: as thousands, or with three decimal places", raw),
			Hint: "write it without a separator of thousands, or with another number of decimal places"}
	}
	if m := doubtfulComma.FindString(raw); m != "" && r.table.Dialect.DecimalComma {
		fate.Notes = append(fate.Notes, fmt.Sprintf("%s: the comma in %q is a decimal comma, as elsewhere in the file", p.head.Name, raw))
		raw = strings.Replace(raw, ",", ".", 1)
	}
	if p.head.Unit != "" && bareNumber.MatchString(raw) {
		return raw + " " + p.head.Unit, nil
	}
	return raw, nil
}

var doubtfulComma = regexp.MustCompile(`^[+-]?\d{1,3},\d{3}(\D|$)`)

// day reads a date as the trade and spreadsheets write it.
func (r *reader) day(raw string, fate *Fate) (string, error) {
	if r.base != "" {
		return "", &entry.Fault{Message: r.base, Hint: r.baseHint}
	}
	if serial, err := strconv.Atoi(raw); err == nil && len(raw) == len("45123") {
		return "", serialFault(raw, serial)
	}
	if before, time, ok := strings.Cut(raw, " "); ok && strings.Trim(time, "0:") == "" {
		raw = before // midnight is what a spreadsheet adds to a day
	}
	date, err := edtf.ReadDocument(raw, r.context.Country, r.dates...)
	switch {
	case err != nil:
		return "", &entry.Fault{Message: err.Error(), Hint: "write it as 2026-03-02"}
	case !date.Settled():
		var words []string
		for _, one := range date.Readings {
			words = append(words, one.Date.Text()+" ("+one.Words+")")
		}
		return "", &entry.Fault{Message: fmt.Sprintf("%q can be several days", raw), Hint: "write one of: " + strings.Join(words, "; ")}
	}
	if r.options.Shift == 0 {
		return date.Date.Text(), nil
	}
	first, ok := date.Date.First()
	moved := first.AddDays(r.options.Shift)
	if !ok || moved.IsZero() {
		return "", &entry.Fault{Message: fmt.Sprintf("%q cannot be shifted by %d days", raw, r.options.Shift)}
	}
	fate.Notes = append(fate.Notes, fmt.Sprintf("%s stands there, shifted by %d days as asked to %s", raw, r.options.Shift, moved))
	return moved.String(), nil
}

// serialFault says what a bare number in a column of dates may be.
func serialFault(raw string, serial int) error {
	var words []string
	for _, base := range []edtf.Base{edtf.Base1900, edtf.Base1904} {
		if d, err := edtf.FromSerial(serial, base); err == nil {
			words = append(words, d.String())
		}
	}
	return &entry.Fault{Message: raw + " is a spreadsheet's number of a day, and the file does not say from when it counts",
		Hint: "format the column as dates (2026-03-02); it may be " + strings.Join(words, " or ")}
}

// become makes of a row what its table lists.
func (r *reader) become(cells map[string]string, fate *Fate) error {
	if len(cells) == 0 {
		return &entry.Fault{Message: "no known column says anything in this row"}
	}
	switch r.kind {
	case Parts:
		return r.part(cells, fate)
	case Joints:
		return r.joint(cells, fate)
	case Readings:
		return r.reading(cells, fate)
	case StockTake:
		return r.counted(cells, fate)
	}
	if r.unmarked(cells, fate) {
		return nil
	}
	return r.worked(cells, fate)
}

// record gives a row its own record of a kind; one that is there already is not edited.
func (r *reader) record(ref record.Ref, body record.Body, words []string, fate *Fate) error {
	notes, err := r.context.Apply(body, words)
	if err != nil {
		return err
	}
	fate.Notes = append(fate.Notes, notes...)
	if there := r.recorded(ref); there != nil {
		was, err1 := record.Encode(there)
		is, err2 := record.Encode(body)
		if err1 == nil && err2 == nil && string(was) == string(is) {
			fate.Says = string(ref) + " is on record just so"
			return nil
		}
		return &entry.Fault{Word: string(ref), Message: "is on record already, and says something else", Hint: "boltback correct " + string(ref) + ", or name this one otherwise"}
	}
	if r.taken(ref) {
		return &entry.Fault{Word: string(ref), Message: "an earlier row of this table is called that", Hint: "name them apart"}
	}
	r.plan.Records, r.made[ref] = append(r.plan.Records, steps.NewRecord{ID: ref, Body: body}), true
	if p, ok := body.(*record.Part); ok {
		r.bear(ref, p.Tag)
	}
	fate.Says = string(ref) + " (new)"
	return nil
}

// words are the cells as fields in the order of the columns.
func (r *reader) words(cells map[string]string, but ...string) []string {
	var words []string
	for _, c := range columnsOf[r.kind] {
		skip := false
		for _, key := range but {
			skip = skip || key == c.key
		}
		if value := cells[c.key]; value != "" && !skip {
			words = append(words, c.key+"="+value)
		}
	}
	return words
}
