package history

import (
	"fmt"
	"slices"
	"time"

	"boltback/internal/edtf"
	"boltback/internal/record"
)

// Delay is the time from something to the commit that wrote it down, in calendar
// days: from the record's own date to the day of the commit.
type Delay struct {
	Record record.Ref
	// Of is what the days count from: "the work", "the reading" ...; or, told only
	// if the commit was made on another day, "its own entry date" or "its first
	// entry".
	Of string
	// Fewest and Most are the same where the dates are exact; negative where the
	// record names a day after the commit. Known is false where no day is stated.
	Fewest, Most int
	Known        bool
	// First tells the first entry from a later change; Corrects is said of a
	// correction.
	First, Corrects bool
	// Late says whether a first entry was made more days later than is good.
	Late edtf.Answer
}

const (
	ownEntryDate = "its own entry date"
	firstEntry   = "its first entry"
)

// delaysOf says how long after the event a change was committed.
func delaysOf(c Change, when time.Time, lateAfter int) []Delay {
	if c.New == nil || c.New.Body.Heading().Withdraws != "" || c.What != Added && c.What != Changed {
		return nil
	}
	of, happened, entered := eventOf(c.New.Body)
	if of == "" {
		return nil
	}
	today := edtf.Of(edtf.DayOf(when))
	d := Delay{Record: c.Record, Of: of, First: c.What == Added && c.Over == "", Corrects: c.Over != "", Late: edtf.No}
	d.Fewest, d.Most, d.Known = between(happened, today)
	switch {
	case !d.First:
	case !d.Known:
		d.Late = edtf.Perhaps
	case d.Fewest > lateAfter:
		d.Late = edtf.Yes
	case d.Most > lateAfter:
		d.Late = edtf.Perhaps
	}
	delays := []Delay{d}
	if fewest, most, ok := between(entered, today); ok && d.First && (fewest > 0 || most < 0) {
		delays = append(delays, Delay{Record: c.Record, Of: ownEntryDate, Fewest: fewest, Most: most, Known: true, First: true, Late: edtf.No})
	}
	return delays
}

// sinceFirst says how long after its first version a file was changed, since a
// record that is edited days later ought to have been corrected by another.
func sinceFirst(e Entry, versions []Version) []Delay {
	var delays []Delay
	for _, c := range e.Changes {
		if c.What != Changed {
			continue
		}
		for _, v := range slices.Backward(versions) {
			if v.Path == c.Path && v.Bytes != nil {
				if days := edtf.DayOf(e.When).Sub(edtf.DayOf(v.When)); days > 0 {
					delays = append(delays, Delay{Record: c.Record, Of: firstEntry, Fewest: days, Most: days, Known: true, Late: edtf.No})
				}
				break
			}
		}
	}
	return delays
}

// eventOf is what a record tells of that happened on a day: how it is called, when
// it was over, and when the record says it was entered.
func eventOf(body record.Body) (of string, happened, entered record.Date) {
	switch b := body.(type) {
	case *record.Session:
		if b.Ended != "" {
			return "the work", b.Ended, b.Entered
		}
		return "the work", b.Started, b.Entered
	case *record.Reading:
		return "the reading", b.On, b.Entered
	case *record.Concern:
		return "it was raised", b.RaisedOn, ""
	case *record.Existing:
		return "it was seen", b.SeenOn, ""
	case *record.SignOff:
		return "the sign-off", b.On, ""
	case *record.Transfer:
		return "the transfer", b.On, ""
	}
	return "", "", ""
}

func between(happened record.Date, today edtf.Date) (fewest, most int, ok bool) {
	date, err := edtf.Parse(string(happened))
	if err != nil {
		return 0, 0, false
	}
	return edtf.DaysBetween(date, today)
}

// String says the delay in plain words: "written down 3 days after the work".
func (d Delay) String() string {
	verb := d.verb()
	switch {
	case !d.Known:
		return fmt.Sprintf("%s; days since %s: not stated", verb, d.Of)
	case d.Most < 0 && d.Fewest == d.Most:
		return fmt.Sprintf("%s %s before the day stated for %s", verb, count(-d.Most, "day"), d.Of)
	case d.Most < 0:
		return fmt.Sprintf("%s %d to %d days before the day stated for %s", verb, -d.Most, -d.Fewest, d.Of)
	case d.Fewest == 0 && d.Most == 0:
		return fmt.Sprintf("%s on the day of %s", verb, dayOf(d.Of))
	case d.Fewest == d.Most:
		return fmt.Sprintf("%s %s after %s", verb, count(d.Fewest, "day"), d.Of)
	case d.Fewest < 0:
		return fmt.Sprintf("%s at most %s after %s, as the dates allow", verb, count(d.Most, "day"), d.Of)
	}
	return fmt.Sprintf("%s %d to %d days after %s, as the dates allow", verb, d.Fewest, d.Most, d.Of)
}

func (d Delay) verb() string {
	switch {
	case d.Of == ownEntryDate:
		return "committed"
	case d.Corrects:
		return "corrected"
	case d.First:
		return "written down"
	}
	return "changed"
}

// dayOf makes a noun of what is a clause otherwise.
func dayOf(of string) string {
	switch of {
	case "it was raised":
		return "its being raised"
	case "it was seen":
		return "its being seen"
	}
	return of
}
