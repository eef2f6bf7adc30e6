package columns

import (
	"slices"
	"strings"

	"boltback/internal/record"
	"boltback/internal/steps"
	"boltback/internal/table"
)

// missing is a place of which rows say that everything there was looked for.
type missing struct {
	session *steps.Session
	step    steps.Step
	key     string
	// rows name what was missed, empty say that nothing was there, by their place among the fates.
	rows, empty []int
}

// missed remembers what a row says of a place: that a part was missed there, or that nothing was there.
func (r *reader) missed(s *steps.Session, step steps.Step, empty bool) {
	key := missKey(s.Day(), step.Store, step.Place)
	m := r.missAt[key]
	if m == nil {
		m = &missing{session: s, key: key, step: steps.Step{Act: "sighting", Nothing: true, Store: step.Store, Place: step.Place, Fields: map[string]string{}}}
		r.misses, r.missAt[key] = append(r.misses, m), m
	}
	if empty {
		m.empty, m.step.Note = append(m.empty, len(r.plan.Fates)), step.Note
	} else {
		m.rows = append(m.rows, len(r.plan.Fates))
	}
}

func missKey(day record.Date, store record.Ref, place string) string {
	return string(day) + "\x00" + spot(store, place)
}

func spot(store record.Ref, place string) string { return strings.Trim(string(store)+", "+place, ", ") }

// doubt notes the place of a row that is not taken: what was missed there is not settled. A row whose place cannot be told
// leaves every place unsettled.
func (r *reader) doubt(row table.Row) {
	cells := map[string]string{}
	for _, p := range r.at {
		if p.column.key == "store" || p.column.key == "place" {
			cells[p.column.key] = strings.TrimSpace(row.Cells[p.at])
		}
	}
	var step steps.Step
	if r.kind != StockTake || r.stored(&step, r.session, cells) != nil {
		step = steps.Step{}
	}
	r.unsure[spot(step.Store, step.Place)] = true
}

// settle decides what is said of each place at which something was missed. Where a row of it is not taken, nobody knows what
// was there; where nothing was seen, a line of its own says so.
func (r *reader) settle() {
	var sure []*missing
	for _, m := range r.misses {
		all := slices.Concat(m.rows, m.empty)
		switch {
		case r.unsure[""] || r.unsure[spot(m.step.Store, m.step.Place)]:
			r.refuse(all, "a row of this place is not taken, so that it is not settled what was missed there", "mend that row first")
		case r.looked[m.key] && len(m.empty) > 0:
			r.refuse(all, "one row saw something at this place, and another nothing", "leave out the one that is wrong")
		case r.looked[m.key]:
			sure = append(sure, m)
		case m.step.Store == "":
			r.refuse(all, "nothing was seen at this place, and the row does not say in which store it is", "a column store")
		default:
			if _, err := m.session.Take(m.step); err != nil {
				r.refuse(all, err.Error(), "")
			}
			sure = append(sure, m)
		}
	}
	clear(r.missAt)
	for _, m := range sure {
		r.missAt[m.key] = m
	}
}

// refuse takes rows back.
func (r *reader) refuse(rows []int, fault, hint string) {
	for _, i := range rows {
		f := &r.plan.Fates[i]
		f.Says, f.Fault, f.Hint = "", fault, hint
	}
}

// gather joins the sightings of one place into one line, and says of a place where something was missed that everything there
// was looked for. A sighting with a note or seal of its own stays a line of its own only where nothing was missed: a
// stock-take names everything it saw in one line.
func (r *reader) gather(work *record.Session) {
	var lines []record.Line
	at := map[string]int{}
	for _, l := range work.Lines {
		key := missKey(work.Started, l.Store, l.Place)
		if l.Act != "sighting" || l.Seal == "unbroken" {
			lines = append(lines, l)
			continue
		}
		n, there := at[key]
		if !there {
			at[key] = len(lines)
			first := record.Line{Act: l.Act, Store: l.Store, Place: l.Place, Seal: l.Seal}
			if r.missAt[key] != nil {
				first.Counted = "everything there"
			}
			lines, n = append(lines, first), len(lines)
		}
		whole := &lines[n]
		whole.Parts = append(whole.Parts, l.Parts...)
		if l.Note != "" {
			note := l.Note
			if len(l.Parts) > 0 {
				note = string(l.Parts[0]) + ": " + l.Note
			}
			if whole.Note != "" {
				note = whole.Note + "; " + note
			}
			whole.Note = note
		}
	}
	work.Lines = lines
}
