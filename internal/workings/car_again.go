package workings

import (
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// DueAgain lists the joints that are due to be tightened again by the odometer,
// and those of which the readings do not say it: these wait, and are not overdue.
// A joint that was undone since, or was never tightened, is not among them.
func (c *Car) DueAgain() []replay.Due {
	var list []replay.Due
	last := c.lastTightenings()
	for _, j := range ledger.All[record.Joint](c.s) {
		line, was := last[j.ID]
		st, ok := c.state.Joint(j.ID)
		if !was || !ok || st.Tightened == replay.NoStep || j.Body.Specification == nil {
			continue
		}
		t := c.tightening(j, st, line, was)
		s := begin(Joints, "", "")
		s.again(t)
		for _, v := range s.w.Verdicts {
			if v.Outcome == Met {
				continue
			}
			due := replay.Due{Sort: replay.TightenAgain, Thing: j.ID, Record: j.ID, Step: st.Tightened, Overdue: v.Outcome == NotMet,
				Why: v.Against + ": " + v.Reason}
			if due.Overdue {
				due.On, _ = dateOf(record.Date(t.Odometer[len(t.Odometer)-1].On)).Calendar().Last()
			}
			list = append(list, due)
		}
	}
	return list
}
