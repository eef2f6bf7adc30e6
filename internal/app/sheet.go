package app

import (
	"errors"
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/sheet"
)

// SheetOrder says which sheet is to be printed for the bench.
type SheetOrder struct {
	// Job is the name of a job, such as "strip-down".
	Job string
	// Paper is a4 or letter; "" is the yard's habit.
	Paper string
	// Zone limits the known rows to a zone of the car; Store is the store of a stock-take, by the end of its name.
	Zone, Store string
	// Session and Who are printed where they are given.
	Session, Who string
	// Unit is that of the boxes, for sheets with a choice; "" is N·m or kg.
	Unit string
	// Day is the day that the records are taken for; it is printed in its box where DayGiven says that somebody named it.
	Day      edtf.Day
	DayGiven bool
	// At is the revision that is read.
	At string
	// Blank is how many empty rows follow the known ones; less than 0 fills the last page.
	Blank int
}

// SheetJobs lists the jobs that have a sheet of a car.
func SheetJobs() []string {
	var names []string
	for _, j := range sheet.Jobs() {
		names = append(names, j.Name())
	}
	return names
}

// SheetJob refuses a job that has no sheet.
func (e Env) SheetJob(name string) error {
	if slices.Contains(SheetJobs(), name) {
		return nil
	}
	hint := "the sheets are: " + strings.Join(SheetJobs(), ", ") + ", clock"
	if near := finding.Nearest(name, SheetJobs()); near != "" {
		hint = "did you mean " + near + "?"
	}
	return &Usage{Message: "there is no sheet for " + name, Hint: hint}
}

// Sheet prints the sheet of a job for a car, filled in with what the records know.
func (e Env) Sheet(car Car, o SheetOrder) (Printed, error) {
	if err := e.SheetJob(o.Job); err != nil {
		return Printed{}, err
	}
	w, err := e.benchFor(car, o)
	if err != nil {
		return Printed{}, err
	}
	p, err := w.make()
	if err != nil {
		return Printed{}, sheetRefused(err)
	}
	return printed(p, w.notes)
}

// benchFor reads the car as the order wants it.
func (e Env) benchFor(car Car, o SheetOrder) (*bench, error) {
	habits, err := e.habits(car.Yard)
	if err != nil {
		return nil, err
	}
	s, commit, err := e.At(car, o.At)
	if err != nil {
		return nil, err
	}
	work := replay.Of(s)
	w := &bench{order: o, s: s, work: work, state: work.On(o.Day), head: sheet.HeadFrom(s, car.Name)}
	w.head.Session, w.head.Who, w.head.Zone, w.head.Workshop = o.Session, o.Who, o.Zone, habits.Name
	w.head.Source = o.Day.String()
	if commit != "" {
		w.head.Source = "commit " + briefly(commit) + ", " + w.head.Source
	}
	if o.DayGiven {
		w.head.Day = o.Day.String()
	}
	if w.head.Paper, err = paperFor(o.Paper, habits); err != nil {
		return nil, err
	}
	w.head.Blank = blankRows(o.Blank)
	return w, nil
}

// briefly shortens the name of a commit and keeps the remark behind it.
func briefly(commit string) string {
	id, remark, _ := strings.Cut(commit, " ")
	return strings.TrimSpace(id[:min(len(id), 12)] + " " + remark)
}

// blankRows turns "less than 0 fills the page, 0 is none" into the other way round, which is how package sheet has it.
func blankRows(n int) int {
	switch {
	case n < 0:
		return 0
	case n == 0:
		return -1
	}
	return n
}

// sheetRefused says that the order does not fit on paper, which its words are to blame for.
func sheetRefused(err error) error {
	var usage *Usage
	if errors.As(err, &usage) {
		return err
	}
	return &Usage{Message: err.Error(), Hint: "names in codes are lower-case letters, digits and hyphens, such as 2025-09-16-ines-tank-out"}
}

// bench is a sheet in the making.
type bench struct {
	order SheetOrder
	s     *ledger.Snapshot
	work  *replay.Work
	state *replay.State
	head  sheet.Head
	notes []string
}

func (w *bench) make() (*sheet.Printout, error) {
	if err := w.fits(); err != nil {
		return nil, err
	}
	w.lookAtZone()
	switch zone := w.order.Zone; w.order.Job {
	case sheet.StripDown.Name():
		return sheet.NewStripDown(w.head, sheet.RemovalsFrom(w.s, zone, w.onCar))
	case sheet.Fitting.Name():
		return sheet.NewFitting(w.head, sheet.FittingsFrom(w.s, zone, w.toGoOn))
	case sheet.Tightening.Name():
		return sheet.NewTightening(w.head, unitOr(w.order.Unit, torqueUnits, "N·m"), sheet.TighteningsFrom(w.s, zone))
	case sheet.DeadTest.Name():
		return sheet.NewDeadTest(w.head, sheet.IsolationsFrom(w.s))
	case sheet.Weighing.Name():
		return sheet.NewWeighing(w.head, unitOr(w.order.Unit, massUnits, "kg"))
	case sheet.HoleSurvey.Name():
		return sheet.NewHoleSurvey(w.head, sheet.FeaturesFrom(w.s, zone))
	}
	store, err := w.store()
	if err != nil {
		return nil, err
	}
	return sheet.NewStockTake(w.head, w.work.Called(store), w.stored(store))
}
