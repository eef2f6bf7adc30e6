package workings

import (
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// ToolUse is a use of a torque tool, with what its calibrations say of that day.
type ToolUse struct {
	Tool, What string
	On         edtf.Date
	Standing   ToolStanding
	Why        string // a sentence without full stop
	Records    []record.Ref
}

// ToolUses lists the tools that last tightened each joint, by joint. A tightening by feel, or with a tool that nobody named, is
// a use of no tool.
func (c *Car) ToolUses() []ToolUse {
	last := c.lastTightenings()
	var list []ToolUse
	for _, j := range ledger.All[record.Joint](c.s) {
		line, was := last[j.ID]
		if !was {
			continue
		}
		u := ToolUse{Tool: "a tool that is not recorded", What: j.Name(), On: dateOf(line.Work.Started).Calendar(), Standing: ToolNotStated,
			Why: "the tool is not recorded", Records: []record.Ref{line.Ref()}}
		if ref := line.Body.Instrument; ref != "" {
			t := c.tool(ref)
			u.Tool = t.Name
			u.Standing, u.Why = t.StandingOn(u.On)
			u.Records = append(u.Records, ref)
		}
		list = append(list, u)
	}
	return slices.Clip(list)
}
