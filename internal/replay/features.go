package replay

import (
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Zones says when work first began on each zone of the car, and what is known of features from before.
type Zones struct {
	work  *Work
	clock clock
	first map[string]Step
	last  map[string]Step
}

// ZonesOf goes through all work and notes the first and the last line on each zone: where a part is taken off or fitted, a
// joint undone or done up, material altered, repaired or restored. A line's zones are those it states, its session's, and
// those its parts and joints declare.
func ZonesOf(w *Work) *Zones {
	var places []*record.Record
	for i := range w.book.sessions {
		places = append(places, w.book.sessions[i].place)
	}
	z := &Zones{work: w, clock: clock{offsetOf(places)}, first: map[string]Step{}, last: map[string]Step{}}
	for i := range w.seq.steps {
		t := &w.seq.steps[i]
		switch t.act {
		case removal, fitting, alteration, repair, restoration:
			for _, zone := range w.zonesOf(t) {
				if f, ok := z.first[zone]; !ok || w.spanOf(Step(i)).from < w.spanOf(f).from {
					z.first[zone] = Step(i)
				}
				if l, ok := z.last[zone]; !ok || w.spanOf(Step(i)).to >= w.spanOf(l).to {
					z.last[zone] = Step(i)
				}
			}
		}
	}
	return z
}

func (w *Work) spanOf(n Step) span { return w.book.sessions[w.seq.steps[n].session].span }

func (w *Work) zonesOf(t *step) []string {
	var zones []string
	note := func(zone string) {
		if zone != "" {
			zones = append(zones, zone)
		}
	}
	if t.body.Alteration != nil && t.body.Alteration.Zone != "" {
		note(t.body.Alteration.Zone)
		return zones // the line says where in the material it worked
	}
	note(w.book.sessions[t.session].body.Zone)
	for _, p := range t.parts {
		if body := w.book.parts[p].body; body != nil {
			note(body.Zone)
		}
	}
	for _, j := range t.joints {
		if body := w.book.joints[j].body; body != nil {
			note(body.Zone)
		}
	}
	return zones
}

// FirstWork gives the first line on a zone, or NoStep.
func (z *Zones) FirstWork(zone string) Step {
	if n, ok := z.first[zone]; ok {
		return n
	}
	return NoStep
}

// LastWork gives the last line on a zone, or NoStep.
func (z *Zones) LastWork(zone string) Step {
	if n, ok := z.last[zone]; ok {
		return n
	}
	return NoStep
}

// Before says that a date lies wholly before the first work on a zone; where there was none, any date does.
func (z *Zones) Before(date record.Date, zone string) bool {
	_, to, ok := z.clock.bounds(date)
	if !ok {
		return false
	}
	first, worked := z.first[zone]
	return !worked || to <= z.work.spanOf(first).from
}

// After says that a date lies wholly after the last work on a zone.
func (z *Zones) After(date record.Date, zone string) bool {
	from, _, ok := z.clock.bounds(date)
	if !ok {
		return false
	}
	last, worked := z.last[zone]
	return !worked || from >= z.work.spanOf(last).to
}

// DaysSince gives the most days that may have passed from a line to a day.
func (w *Work) DaysSince(n Step, day edtf.Day) (days int, ok bool) {
	from := w.spanOf(n).from
	if day.IsZero() || from <= openPast {
		return 0, false
	}
	return int((dayStart(day) - from) / daySeconds), true
}

// NotBefore gives the day before which a line cannot have been done, what its session states to come after considered; no day where
// nothing bounds it.
func (w *Work) NotBefore(n Step) edtf.Day { return dayOf(w.seq.begins[w.seq.steps[n].session]) }

// DayOf gives the day on which the session of a line may have begun at the earliest, or no day.
func (w *Work) DayOf(n Step) edtf.Day {
	return dayOf(w.spanOf(n).from)
}

func dayOf(from int64) edtf.Day {
	if from <= openPast {
		return edtf.Day{}
	}
	days := from / daySeconds
	if from%daySeconds < 0 {
		days--
	}
	return edtf.NewDay(1970, 1, 1).AddDays(int(days))
}

// Evidence is what shows that an existing feature is older than the work on its zone.
type Evidence struct {
	// Older says that something shows it.
	Older bool
	// Records are what shows it: the feature's own record, a photo or paper, a survey.
	Records []record.Ref
	// Why says, in words, what shows it or what is missing.
	Why string
}

// Evidence answers whether an existing feature was there before the first work on its zone: it was seen on a day before, a
// dated photo or paper shows it from before, or a hole survey from before lists it. A photo without a date, or of a later one,
// supports nothing.
func (z *Zones) Evidence(ref record.Ref) Evidence {
	e, ok := ledger.Get[record.Existing](z.work.book.snapshot, ref)
	if !ok || !counts(z.work.book.snapshot, e.Record) {
		return Evidence{Why: "there is no record of this feature"}
	}
	ev := Evidence{}
	if z.Before(e.Body.SeenOn, e.Body.Zone) {
		ev.Older, ev.Why = true, "seen before the first work on the "+e.Body.Zone
		ev.Records = append(ev.Records, e.ID)
	}
	for _, p := range e.Body.Papers {
		if paper, ok := ledger.Get[record.Paper](z.work.book.snapshot, p); ok && z.paperBefore(paper.Body, e.Body.Zone) {
			ev.Older, ev.Why = true, "shown by a photo or paper from before the first work on the "+e.Body.Zone
			ev.Records = append(ev.Records, e.ID, paper.ID)
		}
	}
	for _, r := range standing[record.Reading](z.work.book.snapshot) {
		if r.Body.What == "hole-survey" && r.Body.Zone == e.Body.Zone && lists(z.work, r.Body.Holes, ref) && z.Before(r.Body.On, e.Body.Zone) {
			ev.Older, ev.Why = true, "listed in a hole survey from before the first work on the "+e.Body.Zone
			ev.Records = append(ev.Records, e.ID, r.ID)
		}
	}
	if !ev.Older {
		ev.Why = "nothing dated shows it from before the first work on the " + orZone(e.Body.Zone)
	}
	return ev
}

// paperBefore says that a photo or paper is from before the first work on a zone: by the date inside the file, set right by a
// photo of a clock where one is named, or, where the file has none, by the day it came in. A date that somebody only claims
// for it shows nothing, and nor does a camera's time of which a photo of a clock was to prove something and does not.
func (z *Zones) paperBefore(p *record.Paper, zone string) bool {
	taken := z.work.book.snapshot.TakenOf(p)
	if !taken.Date.IsZero() && taken.Doubt == "" {
		return z.Before(record.Date(taken.Date.Text()), zone)
	}
	return z.Before(p.Received, zone)
}

func lists(w *Work, holes []record.Ref, ref record.Ref) bool {
	for _, h := range holes {
		if w.book.place(h) == w.book.place(ref) {
			return true
		}
	}
	return false
}

func orZone(zone string) string {
	if zone == "" {
		return "zone, which is not stated"
	}
	return zone
}
