package workings

import (
	"fmt"
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
)

// Calibration is one calibration of a tool.
type Calibration struct {
	Name    string
	On, Due edtf.Date
	// AsFound and AsLeft are "in tolerance", "out of tolerance" or "not stated";
	// Deviation is how far it read off as it came in, recorded or empty.
	AsFound, AsLeft string
	Deviation       Input
}

// Tool is a torque tool with what is known of it.
type Tool struct {
	Name         string
	Accuracy     Accuracy
	From, To     Input // range in which it may be used
	Calibrations []Calibration
}

// ToolStanding is what a tool's calibrations say of one day.
type ToolStanding string

// The standings of a tool on a day.
const (
	InDate        ToolStanding = "in date"
	Cleared       ToolStanding = "cleared by a later calibration"
	Expired       ToolStanding = "expired"
	InDoubt       ToolStanding = "in doubt"
	NeverSeen     ToolStanding = "no calibration before"
	DayNotKnown   ToolStanding = "day not certain"
	ToolNotStated ToolStanding = "tool not recorded"
)

// StandingOn says what a tool's calibrations say of work on a day. Fallout runs
// both ways: an expired tool is cleared if it is later found in tolerance as it
// comes in; a tool found out of tolerance puts in doubt all since the last good
// calibration, expired or not.
func (t Tool) StandingOn(day edtf.Date) (ToolStanding, string) {
	var before, after *Calibration
	list := slices.Clone(t.Calibrations)
	slices.SortFunc(list, func(a, b Calibration) int { return edtf.ByTime(a.On, b.On) })
	for i := range list {
		c := &list[i]
		switch edtf.Compare(c.On.Calendar(), day.Calendar()) {
		case edtf.Before, edtf.Equal:
			if c.AsLeft != "out of tolerance" {
				before = c
			}
		case edtf.After:
			if after == nil {
				after = c
			}
		default:
			return DayNotKnown, fmt.Sprintf("whether the work lies before or after the calibration of %s is not certain", c.On)
		}
	}
	return standing(before, after, day)
}

func standing(before, after *Calibration, day edtf.Date) (ToolStanding, string) {
	if after != nil && after.outAsFound() {
		since := "all work before it is in doubt"
		if before != nil {
			since = fmt.Sprintf("work since the calibration of %s is in doubt", before.On)
		}
		return InDoubt, fmt.Sprintf("on %s it came in out of tolerance%s; %s", after.On, after.by(), since)
	}
	if before == nil {
		return NeverSeen, "no calibration on or before the day is recorded"
	}
	due := before.due()
	if order := edtf.Compare(day.Calendar(), due); order == edtf.Before || order == edtf.Equal {
		return InDate, fmt.Sprintf("calibrated %s, good to %s", before.On, due)
	} else if order != edtf.After {
		return DayNotKnown, fmt.Sprintf("whether the work lies within the calibration to %s is not certain", due)
	}
	if after != nil && after.AsFound == "in tolerance" {
		return Cleared, fmt.Sprintf("the calibration ran to %s; on %s it was found in tolerance as it came in, which clears the work between", due, after.On)
	}
	return Expired, fmt.Sprintf("the calibration ran to %s; the work stands as done and is not evidenced until the tool is found in tolerance as it comes in", due)
}

// due is the end of a calibration: as recorded, or 12 months on.
func (c *Calibration) due() edtf.Date {
	if !c.Due.IsZero() {
		return c.Due
	}
	if last, ok := c.On.Last(); ok {
		return edtf.Of(last.AddMonths(12))
	}
	return edtf.Date{}
}

// outAsFound reports whether the tool came in out of tolerance: as recorded, or
// by a recorded deviation beyond 4 %, the class of most wrenches.
func (c *Calibration) outAsFound() bool {
	if c.AsFound == "out of tolerance" {
		return true
	}
	return c.AsFound != "in tolerance" && c.Deviation.Value.IsPoint() && !c.Deviation.Value.IsZero() && beyond(c.Deviation.Value, "4 %")
}

func (c *Calibration) by() string {
	if c.Deviation.Text == "" {
		return ""
	}
	return " by " + c.Deviation.Text
}

// permitted is the deviation that a tool may have: what its maker states, or the
// class of the standard.
func (t Tool) permitted(torque quantity.Quantity) (Accuracy, string) {
	if t.Accuracy.Understood() {
		return t.Accuracy, "as its maker states: " + t.Accuracy.Text
	}
	if order, err := quantity.Compare(torque, quantity.MustParse("10 N.m")); err == nil && order != quantity.More {
		return ReadAccuracy("±6 % of reading"), iso6789Deviation.Text
	}
	return ReadAccuracy("±4 % of reading"), iso6789Deviation.Text
}

// Use is one use of a tool.
type Use struct {
	What string
	On   edtf.Date
}

// Fallout lists the work that a tool's calibrations leave without evidence.
func Fallout(id string, t Tool, uses []Use) Working {
	s := begin(Joints, "fallout "+id, "Calibration of "+t.Name+" and the work done with it")
	s.w.Sources = []Source{iso6789Interval}
	count := map[ToolStanding]int{}
	for _, u := range uses {
		st, why := t.StandingOn(u.On)
		count[st]++
		if st == InDate {
			continue
		}
		outcome := NotEvidenced
		if st == Cleared {
			outcome = Met
		}
		s.verdict(Verdict{Of: u.What + ", " + u.On.Text(), Against: "a tool in date and in tolerance", Outcome: outcome, Reason: why, Source: iso6789Interval})
	}
	if len(uses) == 0 {
		s.conclude("no work with it is recorded")
		return s.done()
	}
	s.conclude("%s: %d in date, %d cleared, %d expired, %d in doubt, %d without a calibration before or with an uncertain day",
		counted(len(uses), "use", "uses"), count[InDate], count[Cleared], count[Expired], count[InDoubt], count[NeverSeen]+count[DayNotKnown])
	return s.done()
}
