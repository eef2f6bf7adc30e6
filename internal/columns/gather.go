package columns

import (
	"boltback/internal/record"
	"boltback/internal/steps"
)

// missed remembers that something was missed at a place in a session.
func (r *reader) missed(s *steps.Session, store record.Ref, place string) {
	key := missKey(s.Day(), store, place)
	r.misses[key] = append(r.misses[key], len(r.plan.Fates))
}

func missKey(day record.Date, store record.Ref, place string) string {
	return string(day) + "\x00" + string(store) + "\x00" + place
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
			r.looked[key] = true
			if len(r.misses[key]) > 0 {
				first.Counted = "everything there"
			}
			lines, n = append(lines, first), len(lines)
		}
		whole := &lines[n]
		whole.Parts = append(whole.Parts, l.Parts...)
		if l.Note != "" {
			note := string(l.Parts[0]) + ": " + l.Note
			if whole.Note != "" {
				note = whole.Note + "; " + note
			}
			whole.Note = note
		}
	}
	work.Lines = lines
}
