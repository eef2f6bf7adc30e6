package replay

import (
	"boltback/internal/edtf"
	"boltback/internal/record"
)

// toBeRead lists the readings that are still to be taken of the car as it was found, as long as no work has changed it: from then on
// they can no longer be had.
func (d *duties) toBeRead() {
	_, car := d.w.book.car()
	if car.Baseline == nil {
		return
	}
	if on, ok := FirstDay(car.Baseline.On); ok && !d.day.IsZero() && on.Compare(d.day) > 0 {
		return
	}
	for _, l := range Lacking(d.w, d.day) {
		if l.Sort == LackAsFound && l.Step == NoStep {
			d.list = append(d.list, Due{Sort: ReadAsFound, Thing: "car", Record: "car", Step: NoStep, Why: l.What + ": no longer to be had once anything has come off"})
		}
	}
}

// notGasFree lists fuel tanks off the car that nobody has read gas-free since they came off: until then no store takes them.
func (d *duties) notGasFree() {
	for _, p := range d.state.Parts() {
		info, _ := d.w.Part(p.Ref)
		switch p.Where.Place {
		case InStore, OffCar, WithSomeone, NotKnown:
		default:
			continue
		}
		if info.Body.Role != "fuel tank" {
			continue
		}
		off := d.cameOff(p.Ref)
		if d.readGasFree(p.Ref, off) {
			continue
		}
		one := Due{Sort: NotGasFree, Thing: p.Ref, Step: off, Record: d.recordOf(off), Overdue: true,
			Why: "off the car and not read gas-free since: it counts as full of vapour, drained or not, and no store should take it"}
		if off != NoStep {
			one.On = d.w.DayOf(off)
		}
		d.list = append(d.list, one)
	}
}

// cameOff is the last line that took a part off the car, or NoStep: it came in pieces.
func (d *duties) cameOff(ref record.Ref) Step {
	n, _ := d.w.book.number(ref, partNames)
	last := NoStep
	for i := range d.state.done {
		t := &d.w.seq.steps[i]
		for _, p := range t.parts {
			if p == n && t.act == removal && d.begun(Step(i)) {
				last = Step(i)
			}
		}
	}
	return last
}

// readGasFree says that a reading by the day found a part free of gas, on a day that need not lie before it came off.
func (d *duties) readGasFree(ref record.Ref, off Step) bool {
	for _, r := range standing[record.Reading](d.w.book.snapshot) {
		last, dated := LastDay(r.Body.On)
		if r.Body.What != "gas-free" || r.Body.Result == "failed" || !dated || !d.day.IsZero() && last.Compare(d.day) > 0 {
			continue
		}
		came := edtf.Day{}
		if off != NoStep {
			came = d.w.DayOf(off)
		}
		for _, p := range r.Body.Parts {
			if d.w.Name(p) == ref && (came.IsZero() || last.Compare(came) >= 0) {
				return true
			}
		}
	}
	return false
}
