package columns

import (
	"fmt"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/steps"
	"boltback/internal/table"
)

// Options say how a table is read.
type Options struct {
	Bench steps.Bench
	// Kind is what the table lists; "" has it made out from the columns.
	Kind Kind
	// Shift is added to every date of the file, in days; Asked says that somebody decided on it, 0 included.
	Shift int
	Asked bool
}

// Fate is what becomes of one row.
type Fate struct {
	Line int
	// Says is what the row becomes, Notes what was assumed; Fault why it is not taken, Hint what would be right.
	Says        string
	Notes       []string
	Fault, Hint string
	// Hazards are ways to be hurt by what the row tells of, in the words of part records.
	Hazards []string
	// Cells are the row as it stands, for the inbox.
	Cells []string
}

// Plan is what a table would become.
type Plan struct {
	Kind  Kind
	Fates []Fate
	// Notes are about the whole file.
	Notes []string
	// Works are the sessions, Records everything else, by name; sessions and readings have no path yet.
	Works    []*record.Session
	Records  []steps.NewRecord
	Readings []*record.Reading
}

// Faults counts the rows that are not taken.
func (p *Plan) Faults() int {
	n := 0
	for _, f := range p.Fates {
		if f.Fault != "" {
			n++
		}
	}
	return n
}

// Make works out the fate of every row. The error is about the whole file; nothing is written here.
func Make(t *table.Table, o Options) (*Plan, error) {
	kind, err := kindOf(t, o.Kind)
	if err != nil {
		return nil, err
	}
	// The file's own way of writing numbers goes before the yard's.
	o.Bench.Context.DecimalComma = o.Bench.Context.DecimalComma && !t.Dialect.DecimalPoint || t.Dialect.DecimalComma && !t.Dialect.DecimalPoint
	r := &reader{table: t, options: o, kind: kind, context: o.Bench.Context, plan: &Plan{Kind: kind}, session: steps.New(o.Bench),
		works: map[string]*steps.Session{}, made: map[record.Ref]bool{}, tagged: map[string]record.Ref{}, measured: map[string]*record.Reading{},
		missAt: map[string]*missing{}, looked: map[string]bool{}, unsure: map[string]bool{}}
	r.tagsOnRecord()
	r.columns()
	r.suspectDates()
	for _, row := range t.Rows {
		r.row(row)
	}
	r.collect()
	return r.plan, nil
}

// kindOf makes out what a table lists.
func kindOf(t *table.Table, asked Kind) (Kind, error) {
	best, most, tie := Kind(""), 0, false
	for _, k := range Kinds() {
		keys := map[string]bool{}
		for _, c := range t.Header {
			if col, ok := columnFor(k, c.Name); ok {
				keys[col.key] = true
			}
		}
		whole := true
		for _, group := range needs[k] {
			any := false
			for _, key := range group {
				any = any || keys[key]
			}
			whole = whole && any
		}
		switch {
		case k == asked && !whole:
			return "", &table.Fault{Message: fmt.Sprintf("a table of %s needs the columns %s", k, needed(k)), Hint: "boltback help record lists the words over columns"}
		case k == asked:
			return k, nil
		case whole && len(keys) > most:
			best, most, tie = k, len(keys), false
		case whole && len(keys) == most:
			tie = true
		}
	}
	if best == "" || tie {
		return "", &table.Fault{Message: "the columns do not settle what this table lists", Hint: "say it: record --csv FILE " + joined(Kinds(), " | ")}
	}
	return best, nil
}

func needed(k Kind) string {
	var groups []string
	for _, group := range needs[k] {
		var words []string
		for _, c := range columnsOf[k] {
			for _, key := range group {
				if c.key == key {
					first, _, _ := strings.Cut(c.words, "|")
					words = append(words, first)
				}
			}
		}
		groups = append(groups, strings.Join(words, " or "))
	}
	return strings.Join(groups, " and ")
}

func joined(kinds []Kind, separator string) string {
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = string(k)
	}
	return strings.Join(words, separator)
}

// columns finds what each column fills. One that is not known is kept in the note of its row, and said.
func (r *reader) columns() {
	var words []string
	for _, list := range Words(r.kind) {
		words = append(words, list...)
	}
	taken := map[string]bool{}
	for i, c := range r.table.Header {
		col, ok := columnFor(r.kind, c.Name)
		if ok && taken[col.key] {
			ok = false
		}
		if !ok && c.Name != "" {
			note := fmt.Sprintf("the column %q is not known, and is kept in the note of its row", c.Name)
			if near := finding.Nearest(plain(c.Name), words); near != "" {
				note += "; did you mean " + near + "?"
			}
			r.plan.Notes = append(r.plan.Notes, note)
		}
		if ok {
			taken[col.key] = true
			r.at = append(r.at, placed{i, col, c})
		} else {
			r.others = append(r.others, i)
		}
	}
}

// suspectDates looks for the mistake of the other base in the dates of the file. It is offered with its evidence, and until
// somebody decides no row with a date is taken.
func (r *reader) suspectDates() {
	var dates []edtf.SheetDate
	var cells []string
	for _, p := range r.at {
		if p.column.sort != day {
			continue
		}
		for _, row := range r.table.Rows {
			cells = append(cells, row.Cells[p.at])
		}
	}
	r.dates = edtf.OrderEvidence(cells)
	for _, cell := range cells {
		if d, err := edtf.ReadDocument(cell, r.context.Country, r.dates...); err == nil && d.Settled() {
			if shown, ok := d.Date.First(); ok {
				dates = append(dates, edtf.SheetDate{Shown: shown})
			}
		}
	}
	suspicion, suspected := edtf.SuspectBase(dates, r.from(), r.context.Today)
	if !suspected || r.options.Asked {
		return
	}
	r.base = fmt.Sprintf("the dates of this file may count from another year: %s", suspicion.Evidence[0])
	r.baseHint = fmt.Sprintf("--date-shift %d adds that many days to every date, --date-shift 0 takes them as they stand", suspicion.Shift)
	r.plan.Notes = append(r.plan.Notes, r.base)
}

// from is the first day on which work can have been done: that of the root baseline, or of the ledger.
func (r *reader) from() edtf.Day {
	if r.context.Snapshot == nil {
		return edtf.Day{}
	}
	_, car := r.context.Snapshot.Car()
	dates := []record.Date{r.context.Snapshot.Head().Started}
	if car.Baseline != nil {
		dates = append(dates, car.Baseline.On)
	}
	var from edtf.Day
	for _, date := range dates {
		if d, err := edtf.Parse(string(date)); err == nil {
			if first, ok := d.First(); ok && (from.IsZero() || first.Compare(from) < 0) {
				from = first
			}
		}
	}
	return from
}

// collect gathers sessions and records from the rows that were taken.
func (r *reader) collect() {
	r.settle()
	for _, key := range r.order {
		if work := r.works[key].Work(); work != nil {
			r.gather(work)
			r.plan.Works = append(r.plan.Works, work)
		}
	}
	r.plan.Records = append(r.plan.Records, r.session.Result().New...)
}

// taken says that a record is there already, or is made by an earlier row.
func (r *reader) taken(ref record.Ref) bool {
	if s := r.context.Snapshot; s != nil && (s.Record(ref) != nil || s.Unread(ref) != nil) {
		return true
	}
	return r.made[ref]
}

// recorded gives a record's body where it is on record.
func (r *reader) recorded(ref record.Ref) record.Body {
	if s := r.context.Snapshot; s != nil {
		if found := s.Record(ref); found != nil {
			return found.Body
		}
	}
	return nil
}

// tagsOnRecord notes which part on record bears which tag.
func (r *reader) tagsOnRecord() {
	if s := r.context.Snapshot; s != nil && r.kind == Parts {
		for _, p := range ledger.All[record.Part](s) {
			r.bear(p.ID, p.Body.Tag)
		}
	}
}

// bear notes that a part bears a tag; the first one that does is the one that others are held against.
func (r *reader) bear(ref record.Ref, tag string) {
	if tag != "" && r.tagged[tag] == "" {
		r.tagged[tag] = ref
	}
}
