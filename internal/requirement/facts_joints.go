package requirement

import (
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/workings"
)

const tightenIt = "a tightening of that joint as it is specified, with the tool and its calibration, since it was last undone"

var jointsSubject = Subject{Name: "joints", Words: "what holds the conversion to the car", Facts: []Fact{
	{Name: "of_the_conversion", Kind: Several, Of: "joint", Words: "the joints that hold parts which were not on the car as found", Want: "the joints of the fitted parts, each with its specification"},
	{Name: "of_the_battery", Kind: Several, Of: "joint", Words: "the joints that hold the traction battery", Want: "the joints between the battery, what carries it, and the car"},
	{Name: "pulls", Kind: Several, Of: "pull", Words: "the pulls that the battery's mounts must stand", Want: "the joints between battery and car, with fasteners, the metal of the car and the strength of the bracket"},
	{Name: "tools", Kind: Several, Of: "tool", Words: "the uses of the tools that tightened the joints", Want: "the tools that tightened the joints, with their calibrations"},
}}

var jointSubject = Subject{Name: "joint", Entry: true, Words: "a joint", Facts: []Fact{
	{Name: "name", Kind: Text, Words: "its name", Want: "a name"},
	{Name: "tight", Kind: YesNo, Words: "whether it is done up and tight", Want: tightenIt},
	{Name: "as_specified", Kind: YesNo, Words: "whether it was tightened as specified, with a tool in calibration", Want: tightenIt},
}}

var pullSubject = Subject{Name: "pull", Entry: true, Words: "a pull on a mount of the battery in one direction", Facts: []Fact{
	{Name: "name", Kind: Text, Words: "which mount and direction", Want: "a name"},
	{Name: "use", Kind: Figure, Unit: "%", Words: "the use of the weakest link of the mount, in a screening sum", Want: "fasteners, thickness, strength and condition of the metal of the car, and what the bracket bears"},
}}

var toolSubject = Subject{Name: "tool", Entry: true, Words: "a use of a torque tool", Facts: []Fact{
	{Name: "name", Kind: Text, Words: "tool and joint", Want: "a name"},
	{Name: "in_calibration", Kind: YesNo, Words: "whether the tool was in calibration", Want: "a calibration of the tool from before the work, or one that found it in tolerance after it"},
}}

func (f *Facts) gatherJoints(t *thing) {
	verdicts := map[string]workings.Working{}
	var pulls []*thing
	for _, w := range f.workings(workings.Joints) {
		verdicts[w.ID] = w
	}
	for _, w := range f.workings(workings.Restraint) {
		if len(w.About) > 0 {
			pulls = append(pulls, pullOf(&w))
		}
	}
	var conversion, battery []*thing
	for _, j := range ledger.All[record.Joint](f.s) {
		held, box := f.holds(j)
		if !held {
			continue
		}
		one := f.joint(j, verdicts["tightened "+short(j.ID)])
		conversion = append(conversion, one)
		if box {
			battery = append(battery, one)
		}
	}
	t.set("of_the_conversion", known{value: conversion})
	t.set("of_the_battery", known{value: battery})
	t.set("pulls", known{value: pulls})
	t.set("tools", known{value: f.tools()})
}

// holds reports whether a joint holds a part on the car that was not found on it, and whether that is the traction battery or
// what carries it.
func (f *Facts) holds(j ledger.Entry[record.Joint]) (conversion, battery bool) {
	for _, ref := range j.Body.Clamps {
		p, ok := ledger.Get[record.Part](f.s, ref)
		if !ok || p.Body.Found != "no" {
			continue
		}
		if st, ok := f.state.Part(p.ID); !ok || st.Where.Place != replay.OnCar {
			continue
		}
		conversion = true
		battery = battery || p.Body.Role == "traction battery"
	}
	return conversion, battery || j.Body.Restrains == "yes" && conversion
}

// joint says of a joint whether it is tight, by replay, and whether its last tightening is evidence, by its working.
func (f *Facts) joint(j ledger.Entry[record.Joint], w workings.Working) *thing {
	one := &thing{subject: &jointSubject, name: j.Name(), facts: map[string]known{}}
	one.is("name", j.Name(), j.ID)
	if st, ok := f.state.Joint(j.ID); ok {
		switch {
		case st.Done == replay.Tight:
			one.is("tight", true, j.ID)
		case st.Done == replay.Undone:
			one.is("tight", false, j.ID)
		default:
			one.lacks("tight", Absent, "it was done up, and no tightening since then is recorded", j.ID)
		}
	}
	switch w.Worst() {
	case workings.Met:
		one.set("as_specified", known{value: true, records: w.About, workings: []string{workingName(&w)}})
	case workings.NotMet, workings.Contradiction:
		one.set("as_specified", known{value: false, records: w.About, workings: []string{workingName(&w)}})
	case workings.TooClose:
		one.lacks("as_specified", Close, reasonOf(&w, workings.TooClose), w.About...)
	default:
		one.lacks("as_specified", Absent, firstReason(&w), w.About...)
	}
	return one
}

// firstReason says why a working gives no verdict.
func firstReason(w *workings.Working) string {
	for _, o := range []workings.Outcome{workings.NotEvidenced, workings.Stale, workings.NotComparable, workings.EvidenceMissing} {
		if r := reasonOf(w, o); r != "" {
			return r
		}
	}
	return strings.Join(w.Missing, "; ")
}

func reasonOf(w *workings.Working, outcome workings.Outcome) string {
	for _, v := range w.Verdicts {
		if v.Outcome == outcome {
			return v.Reason
		}
	}
	return ""
}

// pullOf takes the use of the weakest link from a screening sum; without all of its links the sum decides nothing in favour.
func pullOf(w *workings.Working) *thing {
	one := &thing{subject: &pullSubject, name: strings.TrimPrefix(w.Title, "Restraint, "), facts: map[string]known{}}
	one.is("name", one.name)
	if r := reasonOf(w, workings.EvidenceMissing); r != "" {
		one.lacks("use", Absent, r, w.About...)
		return one
	}
	if r := reasonOf(w, workings.TooClose); r != "" {
		one.lacks("use", Close, r, w.About...)
		return one
	}
	one.working("use", w, "η")
	return one
}

// tools lists each use of a torque tool with what its calibrations say of that day.
func (f *Facts) tools() []*thing {
	var list []*thing
	for _, use := range f.sums.ToolUses() {
		one := &thing{subject: &toolSubject, name: use.Tool + " on " + use.What, facts: map[string]known{}}
		one.is("name", one.name)
		switch use.Standing {
		case workings.InDate, workings.Cleared:
			one.is("in_calibration", true, use.Records...)
		case workings.Expired, workings.InDoubt:
			one.is("in_calibration", false, use.Records...)
		default:
			one.lacks("in_calibration", Absent, use.Why, use.Records...)
		}
		list = append(list, one)
	}
	return list
}
