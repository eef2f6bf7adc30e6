package validate

import (
	"fmt"

	"boltback/internal/canon"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// tightenings holds each tightening against the specification of the joints it names.
func (c *checker) tightenings() {
	for _, s := range ledger.All[record.Session](c.s) {
		for i, line := range s.Body.Lines {
			if line.Act != "tightening" && line.Act != "fitting" {
				continue
			}
			for _, ref := range line.Joints {
				if joint, ok := ledger.Get[record.Joint](c.s, ref); ok && joint.Body.Specification != nil {
					c.tightening(s.Record, canon.ElementPointer("/lines", i), line, joint)
				}
			}
		}
	}
}

// tightening reports what a line lacks to show that a joint's specification was met.
func (c *checker) tightening(r *record.Record, pointer string, line record.Line, joint ledger.Entry[record.Joint]) {
	spec := joint.Body.Specification
	said := func(message, hint string) {
		c.report(r, pointer, "tightening", fmt.Sprintf("%s: %s", joint.ID, message), hint)
	}
	torque, at := line.Set, pointer+"/set"
	if line.Method == "indicating" && line.Indicated != "" {
		torque, at = line.Indicated, pointer+"/indicated"
	}
	if line.Act == "fitting" && torque == "" && line.Method == "" {
		return // fitted now, tightened by another line
	}
	if spec.Torque != "" && torque == "" {
		said("the specification is "+string(spec.Torque)+", and no torque is recorded", "")
	}
	if spec.Angle != "" && line.Angle == "" {
		said("the specification is torque plus "+string(spec.Angle)+", and the angle is not recorded", "the torque alone does not show it")
	}
	if spec.SecondCheck == "required" && line.SecondCheck == "" {
		said("a second check is required, and none is recorded", "")
	}
	if spec.Torque != "" && torque != "" {
		c.againstSpec(r, at, torque, spec, joint)
	}
}

// againstSpec compares a recorded torque with its specification by value, whatever the units.
func (c *checker) againstSpec(r *record.Record, pointer string, torque record.Measure, spec *record.Specification, joint ledger.Entry[record.Joint]) {
	got, err := quantity.Parse(string(torque))
	if err != nil {
		return // reported as a quantity already
	}
	want, err := quantity.Parse(string(spec.Torque))
	if err != nil {
		return
	}
	if reason, suspected := quantity.SuspectFactor(got, want); suspected {
		c.report(r, pointer, "factor-twelve", fmt.Sprintf("%s: %s", joint.ID, reason), "look at the wrench's scale")
		return
	}
	if tolerance, err := quantity.Parse(string(spec.Tolerance)); err == nil {
		allowed, err := quantity.Within(want, tolerance)
		if err != nil {
			return
		}
		if d := quantity.Decide(got, allowed, quantity.SimpleAcceptance); d.Outcome == quantity.NotMet {
			c.report(r, pointer, "tightening", fmt.Sprintf("%s: %s is outside %s ±%s: %s", joint.ID, torque, spec.Torque, spec.Tolerance, d.Reason), "")
		}
		return
	}
	if same, err := quantity.SameWithinRounding(got, want); err == nil && !same {
		c.report(r, pointer, "tightening", fmt.Sprintf("%s: %s is not %s, and no tolerance is recorded", joint.ID, torque, spec.Torque), "add the tolerance that the specification gives")
	}
}
