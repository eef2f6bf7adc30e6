package replay

import (
	"cmp"
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// DueSort says what waits to be done.
type DueSort string

// What can be due, in the order in which lists show it.
const (
	NotGasFree     DueSort = "gas-free"     // a fuel tank off the car was not read gas-free since it came off
	ReadAsFound    DueSort = "as found"     // a reading of the car as found, to be taken before anything comes off
	OpenConcern    DueSort = "concern"      // a concern is open
	PartOut        DueSort = "out"          // a part is with somebody
	NotSeen        DueSort = "not seen"     // a found part off the car has not been seen for too long, or never
	Preservation   DueSort = "preservation" // what a part was preserved with has to be renewed
	CalibrationDue DueSort = "calibration"  // an instrument has to be calibrated again
	LicenceEnds    DueSort = "licence"      // a licence ends
	TightenAgain   DueSort = "joint"        // a joint has to be tightened again after a distance; the workings know it, not DueBy
	StampAgain     DueSort = "stamp"        // the answer of an outside clock has to be covered by another before its certificates end; nor does DueBy know this
)

// DueSorts lists them in that order.
func DueSorts() []DueSort {
	return []DueSort{NotGasFree, ReadAsFound, OpenConcern, PartOut, NotSeen, Preservation, CalibrationDue, LicenceEnds, TightenAgain, StampAgain}
}

// Due is one thing that waits to be done.
type Due struct {
	Sort DueSort
	// Thing is the concern, part, instrument, person or stamp; Record says so, and Step is the line that does, or NoStep.
	Thing, Record record.Ref
	Step          Step
	// On is the day by which it was to be done; no day where none is stated: then it waits, and is not overdue.
	On edtf.Day
	// Overdue says that this day has certainly passed.
	Overdue bool
	// Why says the rest: who has the part, what it was preserved with, how grave a concern is.
	Why string
}

// Horizon says how far ahead is looked, and for how long a sighting of a stored part counts.
type Horizon struct{ Days, SightingMonths int }

// DueBy lists what is overdue on a day, falls due within the horizon, or waits without a day: by sort, then by day, what has
// none last.
func DueBy(w *Work, day edtf.Day, h Horizon) []Due {
	d := &duties{w: w, state: w.On(day), day: day, until: day.AddDays(h.Days), months: h.SightingMonths}
	d.notGasFree()
	d.toBeRead()
	d.concerns()
	d.parts()
	d.preserved()
	d.calibrations()
	d.licences()
	sorts := DueSorts()
	slices.SortStableFunc(d.list, func(a, b Due) int {
		return cmp.Or(cmp.Compare(slices.Index(sorts, a.Sort), slices.Index(sorts, b.Sort)),
			compareDays(a.On, b.On), compareRef(a.Thing, b.Thing))
	})
	return d.list
}

// compareDays puts what has no day last.
func compareDays(a, b edtf.Day) int {
	if a.IsZero() != b.IsZero() {
		if a.IsZero() {
			return 1
		}
		return -1
	}
	return a.Compare(b)
}

// duties gathers what is due.
type duties struct {
	w          *Work
	state      *State
	day, until edtf.Day
	months     int
	list       []Due
}

// by adds what is to be done by a written date, if that lies before the horizon. What is due on a day is in time on it; a
// date that leaves several days open is overdue when all have passed.
func (d *duties) by(date record.Date, one Due) {
	last, ok := LastDay(date)
	if !ok {
		return
	}
	if first, ok := FirstDay(date); ok && first.Compare(d.until) > 0 {
		return
	}
	one.On, one.Overdue = last, last.Compare(d.day) < 0
	d.list = append(d.list, one)
}

func (d *duties) concerns() {
	for _, c := range ledger.All[record.Concern](d.w.book.snapshot) {
		raised, dated := FirstDay(c.Body.RaisedOn)
		if c.Body.State != "" && c.Body.State != "open" || dated && raised.Compare(d.day) > 0 {
			continue
		}
		d.list = append(d.list, Due{Sort: OpenConcern, Thing: c.ID, Record: c.ID, Step: NoStep, Why: c.Body.Weight})
	}
}

// parts looks for parts that are out, and for found parts that nobody has seen for too long.
func (d *duties) parts() {
	for _, p := range d.state.Parts() {
		switch {
		case p.Where.Place == WithSomeone:
			one := Due{Sort: PartOut, Thing: p.Ref, Record: d.recordOf(p.Since), Step: p.Since, Why: p.Where.With}
			if _, ok := LastDay(p.Where.Due); ok {
				d.by(p.Where.Due, one)
			} else {
				d.list = append(d.list, one)
			}
		case p.Found == "yes" || p.Found == foundInferred:
			d.unseen(p)
		}
	}
}

// foundInferred is the word for a part that was on the car because it was taken off.
const foundInferred = "inferred"

// unseen says that a found part which is off the car was missed, was never seen, or will have been seen too long ago.
func (d *duties) unseen(p PartState) {
	switch p.Where.Place {
	case InStore, OffCar, NotKnown:
	default:
		return
	}
	one := Due{Sort: NotSeen, Thing: p.Ref, Step: NoStep}
	seen, _, _ := d.state.LastSeen(p.Ref)
	missed := d.state.MissedBy(p.Ref)
	switch {
	case missed != NoStep:
		one.Record, one.Step, one.Overdue, one.On = d.recordOf(missed), missed, true, d.w.DayOf(missed)
		one.Why = "a stock-take of its place did not find it"
	case seen == NoStep:
		one.Why = "nobody is on record as having seen it"
	default:
		one.Record, one.Step, one.Why = d.recordOf(seen), seen, "last seen "+d.w.DayOf(seen).String()
		if day := d.w.DayOf(seen); !day.IsZero() {
			d.by(record.Date(day.AddMonths(d.months).String()), one)
			return
		}
		one.Why = "the day on which it was seen is not stated"
	}
	d.list = append(d.list, one)
}

// preserved takes the last line that preserved each part, unless the part is gone.
func (d *duties) preserved() {
	last := map[record.Ref]Step{}
	for n := range d.state.done {
		line, ok := d.state.Line(Step(n))
		if !ok || line.Body.Act != "preserve" {
			continue
		}
		for _, part := range line.Body.Parts {
			last[d.w.Name(part)] = Step(n)
		}
	}
	for part, n := range last {
		if p, ok := d.state.Part(part); !ok || p.Where.Place == Gone || p.Where.Place == BecameAnother || !d.begun(n) {
			continue
		}
		line, _ := d.state.Line(n)
		d.by(line.Body.Due, Due{Sort: Preservation, Thing: part, Record: d.recordOf(n), Step: n, Why: line.Body.Product})
	}
}

// begun says that a line may have been done by the day.
func (d *duties) begun(n Step) bool {
	on := d.w.NotBefore(n)
	return d.day.IsZero() || on.IsZero() || on.Compare(d.day) <= 0
}

func (d *duties) recordOf(n Step) record.Ref {
	if line, ok := d.state.Line(n); ok && line.Session != nil {
		return line.Session.ID
	}
	return ""
}

// calibrations takes the last calibration of each instrument that was made by the day.
func (d *duties) calibrations() {
	type latest struct {
		id record.Ref
		on edtf.Day
		c  *record.Calibration
	}
	last := map[record.Ref]latest{}
	for _, c := range ledger.All[record.Calibration](d.w.book.snapshot) {
		on, ok := LastDay(c.Body.On)
		owner := record.OwnerOf(c.ID)
		if !ok || on.Compare(d.day) > 0 || !last[owner].on.IsZero() && last[owner].on.Compare(on) >= 0 {
			continue
		}
		last[owner] = latest{c.ID, on, c.Body}
	}
	for owner, l := range last {
		d.by(l.c.Due, Due{Sort: CalibrationDue, Thing: owner, Record: l.id, Step: NoStep, Why: "calibrated " + l.on.String()})
	}
}

// licences leaves out those that were ended before their time, and those that another licence of the same person for the
// same scope outlasts.
func (d *duties) licences() {
	all := ledger.All[record.Licence](d.w.book.snapshot)
	ended := map[record.Ref]bool{}
	for _, r := range ledger.All[record.Revocation](d.w.book.snapshot) {
		ended[r.Body.Of] = true
	}
	for _, l := range all {
		outlasted := slices.ContainsFunc(all, func(o ledger.Entry[record.Licence]) bool {
			return record.OwnerOf(o.ID) == record.OwnerOf(l.ID) && slices.Equal(o.Body.Scope, l.Body.Scope) && outlasts(o.Body.Until, l.Body.Until)
		})
		if !ended[l.ID] && !outlasted {
			d.by(l.Body.Until, Due{Sort: LicenceEnds, Thing: record.OwnerOf(l.ID), Record: l.ID, Step: NoStep, Why: scopeOf(l.Body)})
		}
	}
}

func outlasts(a, b record.Date) bool {
	x, ok1 := LastDay(a)
	y, ok2 := LastDay(b)
	return ok1 && ok2 && x.Compare(y) > 0
}

func scopeOf(l *record.Licence) string {
	if len(l.Scope) == 0 {
		return ""
	}
	return "for " + strings.Join(l.Scope, ", ")
}
