package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/replay"
)

// dueTitles are the headings under which things that are due stand.
var dueTitles = map[replay.DueSort]string{
	replay.NotGasFree:     "Fuel tanks not read gas-free",
	replay.ReadAsFound:    "To be read before anything comes off",
	replay.OpenConcern:    "Concerns that are open",
	replay.PartOut:        "Parts that are out",
	replay.NotSeen:        "Found parts off the car that are not known to be there",
	replay.Preservation:   "Preservation",
	replay.CalibrationDue: "Calibrations",
	replay.LicenceEnds:    "Licences",
	replay.TightenAgain:   "Joints to be tightened again",
	replay.StampAgain:     "Stamps to be covered by another",
}

// Due tells what is overdue on a day, falls due within so many days, or waits without a day. Car tells the cars of a yard
// apart.
func Due(work *replay.Work, list []replay.Due, day replay.Day, days int, car string) *doc.Section {
	b := stateBook{open(Input{Snapshot: work.Snapshot()}), work, work.On(day)}
	s := doc.NewSection("due", "What is due for "+car)
	late := 0
	for _, d := range list {
		if d.Overdue {
			late++
		}
	}
	if len(list) == 0 {
		s.Add(doc.Lead("Nothing on record is overdue on {} or falls due within {}. {}", day.String(), count(days, "day"), doc.NotExamined))
		return s
	}
	s.Add(doc.Lead("On {}: {} overdue, {} due within {} or waiting. {}", day.String(), late, len(list)-late, count(days, "day"), doc.NotExamined))
	if slices.ContainsFunc(list, func(d replay.Due) bool { return d.Sort == replay.NotGasFree }) {
		s.Add(doc.Warn("Fuel vapour", "No spark or flame near such a tank, in the open air. Reading it gas-free, and what may be done to it then, are for somebody trained; local codes decide."))
	}
	for _, sort := range replay.DueSorts() {
		if table := b.dueTable(list, sort); table.Rows() > 0 {
			s.Add(table)
		}
	}
	return oneLined(s)[0]
}

func (b stateBook) dueTable(list []replay.Due, sort replay.DueSort) *doc.Table {
	t := doc.NewTable(dueTitles[sort], doc.Col("By", 3), doc.Col("What", 6), doc.Col("Why", 6))
	for _, d := range list {
		if d.Sort != sort {
			continue
		}
		by := doc.Text{doc.Missing("no day stated")}
		switch {
		case d.Sort == replay.NotGasFree && d.On.IsZero():
			by = doc.Text{doc.Strong("at once")}
		case d.Overdue && (d.Sort == replay.NotSeen || d.Sort == replay.NotGasFree):
			by = doc.Say("{} {}", doc.Strong("since"), d.On.String())
		case d.Overdue && d.Sort == replay.TightenAgain:
			by = doc.Say("{}, by the odometer on {}", doc.Strong("overdue"), d.On.String())
		case d.Sort == replay.TightenAgain:
			by = doc.Text{doc.Missing("cannot be said")}
		case d.Overdue:
			by = doc.Say("{}, {}", d.On.String(), doc.Strong("overdue"))
		case !d.On.IsZero():
			by = doc.Say("{}", d.On.String())
		}
		what := b.called(d.Thing)
		if d.Sort == replay.StampAgain {
			what = doc.Text{stated(string(d.Thing))} // a tag, and no record
		}
		t.Row(by, what, b.dueWhy(d))
	}
	return t
}

// dueWhy says the rest of it, with the record or line that says so.
func (b stateBook) dueWhy(d replay.Due) doc.Text {
	why := doc.Text{stated(d.Why)}
	if d.Sort == replay.PartOut {
		why = doc.Say("with {}", stated(d.Why))
	}
	if d.Step != replay.NoStep {
		return why.From(b.at(d.Step))
	}
	if d.Record == "" {
		return why
	}
	return why.From(b.pathOf(d.Record))
}
