package workings

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"boltback/internal/edtf"
)

// Seen is when somebody last had a stored part before them.
type Seen struct {
	What string
	On   edtf.Date
	How  string // taken out, stock-take, seal seen unbroken
	// Missed is the day of a stock-take since that did not find it.
	Missed edtf.Date
}

// Unseen lists how long parts have not been seen, the longest first. A part that
// a stock-take did not list is not seen, and not lost until it was searched for.
func Unseen(id string, list []Seen, today edtf.Day, most int) Working {
	s := begin(Custody, "unseen "+id, "How long the stored parts have not been seen")
	s.source("days between two dates of the calendar", Physics)
	longest, name := -1, ""
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Seen) int { return edtf.ByTime(a.On, b.On) })
	for _, one := range list {
		fewest, days, ok := edtf.DaysBetween(one.On, edtf.Of(today))
		switch {
		case one.On.IsZero() || !ok:
			s.say(one.What, "no sighting is recorded")
			if one.Missed.IsZero() {
				s.verdict(Verdict{Of: one.What, Against: "a sighting", Outcome: EvidenceMissing, Reason: "nobody is recorded as having seen it since it came off"})
			} else {
				s.seenVerdict(one, 0, 0)
			}
			continue
		case fewest == days:
			s.say(fmt.Sprintf("%s: %s on %s.", one.What, orNot(one.How), one.On), counted(days, "day", "days"))
		default:
			s.say(fmt.Sprintf("%s: %s on %s.", one.What, orNot(one.How), one.On), fmt.Sprintf("%d to %d days", fewest, days))
		}
		if days > longest {
			longest, name = days, one.What
		}
		s.seenVerdict(one, days, most)
	}
	if longest >= 0 {
		s.conclude("the longest is %s, %s", name, counted(longest, "day", "days"))
	} else if len(list) == 0 {
		s.conclude("no part is in a store by the records")
	}
	return s.done()
}

func (s *sheet) seenVerdict(one Seen, days, most int) {
	switch {
	case !one.Missed.IsZero():
		s.verdict(Verdict{Of: one.What, Against: "found at the stock-take", Outcome: EvidenceMissing, Reason: fmt.Sprintf("not seen at the stock-take of %s; not lost until it was searched for", one.Missed)})
	case most > 0 && days > most:
		s.verdict(Verdict{Of: one.What, Against: fmt.Sprintf("seen within %d days", most), Outcome: EvidenceMissing, Reason: fmt.Sprintf("last seen %d days ago", days)})
	}
}

// Entry is when something was done and when it was written down.
type Entry struct {
	What          string
	Done, Entered edtf.Date
}

// Lateness says how long after the work it was written down.
func Lateness(id string, list []Entry) Working {
	s := begin(Custody, "entered "+id, "How late the records were entered")
	s.source("days between two dates of the calendar", Physics)
	latest, name, none := -1, "", 0
	for _, one := range list {
		if one.Entered.IsZero() {
			none++
			continue
		}
		_, days, ok := edtf.DaysBetween(one.Done, one.Entered.Calendar())
		if !ok {
			continue
		}
		if days < 0 {
			s.verdict(Verdict{Of: one.What, Against: "written down after it was done", Outcome: Contradiction, Reason: fmt.Sprintf("written down on %s and done on %s", one.Entered, one.Done)})
			continue
		}
		if days > latest {
			latest, name = days, one.What
		}
		if days > 7 {
			s.say(one.What+": written down after.", counted(days, "day", "days"))
		}
	}
	if none > 0 {
		s.note("%d of %d do not say when they were written down.", none, len(list))
	}
	if latest >= 0 {
		s.conclude("at the latest %s after the work (%s)", counted(latest, "day", "days"), name)
	} else {
		s.missing("when records were written down")
	}
	return s.done()
}

// Worked is a stretch of work.
type Worked struct {
	What           string
	Started, Ended edtf.Date
	People         int
	Purposes       []string // of its lines; several are not split
}

// Hours adds up hours by purpose, hands counted. A session whose lines serve
// several purposes is not split: it is listed as mixed.
func Hours(id string, list []Worked) Working {
	s := begin(Custody, "hours "+id, "Hours by purpose")
	s.source("end less start, times the people named", Physics)
	s.assume("breaks are not taken off; a session without both times is not counted")
	minutes, order := map[string]int64{}, []string{}
	without := 0
	for _, w := range list {
		from, ok1 := w.Started.Earliest()
		to, ok2 := w.Ended.Earliest()
		if !ok1 || !ok2 || !w.Started.HasTime() || !w.Ended.HasTime() || w.Started.HasZone() != w.Ended.HasZone() || to.Before(from) {
			without++
			continue
		}
		purpose := "not stated"
		if len(w.Purposes) == 1 {
			purpose = w.Purposes[0]
		} else if len(w.Purposes) > 1 {
			purpose = "mixed (" + strings.Join(w.Purposes, ", ") + ")"
		}
		if _, known := minutes[purpose]; !known {
			order = append(order, purpose)
		}
		minutes[purpose] += int64(to.Sub(from).Minutes()) * int64(max(w.People, 1))
	}
	var total int64
	for _, p := range order {
		s.say("Purpose: "+p+".", hours(minutes[p]))
		total += minutes[p]
	}
	if without > 0 {
		s.missing(fmt.Sprintf("start and end with the time of day, for %d of %d sessions", without, len(list)))
	}
	if total > 0 {
		s.conclude("%s recorded in %d of %d sessions", hours(total), len(list)-without, len(list))
	}
	return s.done()
}

func hours(minutes int64) string { return big.NewRat(minutes, 60).FloatString(1) + " h" }
