package replay

import (
	"slices"

	"boltback/internal/record"
)

// PartInfo is what is declared of a part, all its records taken together. The slices are the book's own: they are read only.
type PartInfo struct {
	Ref      record.Ref
	Body     *record.Part // never nil; empty where only lines and lists speak of the part
	Declared bool         // a record of the part counts
	Listed   *record.BaselinePart
	Joints   []record.Ref // that clamp it, by name
}

// Part gives what is declared of a part, by any of its names.
func (w *Work) Part(ref record.Ref) (PartInfo, bool) {
	n, ok := w.book.number(ref, partNames)
	if !ok {
		return PartInfo{Body: &record.Part{}}, false
	}
	return w.book.partInfo(n), true
}

// Parts lists what is declared of all parts, by name.
func (w *Work) Parts() []PartInfo {
	list := make([]PartInfo, len(w.book.parts))
	for i := range w.book.parts {
		list[i] = w.book.partInfo(int32(i))
	}
	slices.SortFunc(list, func(a, b PartInfo) int { return compareRef(a.Ref, b.Ref) })
	return list
}

func (b *book) partInfo(n int32) PartInfo {
	p := &b.parts[n]
	info := PartInfo{Ref: p.ref, Body: p.body, Declared: p.body != nil, Listed: p.listed}
	if info.Body == nil {
		info.Body = &record.Part{}
	}
	for _, j := range p.joints {
		info.Joints = append(info.Joints, b.joints[j].ref)
	}
	return info
}

// JointInfo is what is declared of a joint.
type JointInfo struct {
	Ref      record.Ref
	Body     *record.Joint // never nil
	Declared bool
	Clamps   []record.Ref
	Hosted   bool       // fastened to the car itself
	PicksUp  record.Ref // the joint whose holes it uses
}

// Joint gives what is declared of a joint, by any of its names.
func (w *Work) Joint(ref record.Ref) (JointInfo, bool) {
	n, ok := w.book.number(ref, jointNames)
	if !ok {
		return JointInfo{Body: &record.Joint{}}, false
	}
	j := &w.book.joints[n]
	info := JointInfo{Ref: j.ref, Body: j.body, Declared: j.body != nil, Hosted: j.hosted}
	if info.Body == nil {
		info.Body = &record.Joint{}
	}
	if j.picks != none {
		info.PicksUp = w.book.joints[j.picks].ref
	}
	for _, p := range j.clamps {
		info.Clamps = append(info.Clamps, w.book.parts[p].ref)
	}
	return info, true
}

// Name gives the one name by which a part, joint or system goes here, whichever of its records is meant.
func (w *Work) Name(ref record.Ref) record.Ref { return w.book.head(w.book.place(ref)) }

// Called is what people call the record that stands under a name.
func (w *Work) Called(ref record.Ref) string { return w.book.called(ref) }

// Root is the shell or frame that is the car, or "" where none is named.
func (w *Work) Root() record.Ref {
	if w.book.root == none {
		return ""
	}
	return w.book.parts[w.book.root].ref
}

// Car gives the car's record as it stands today, or nil, and its body, which is never nil.
func (w *Work) Car() (*record.Record, *record.Car) { return w.book.car() }

// LastSeen gives the line in which a part was last seen, or the assembly that it is in: then within says so, and nobody is
// on record as having looked inside.
func (s *State) LastSeen(ref record.Ref) (step Step, sealed, within bool) {
	n, ok := s.book.number(ref, partNames)
	if !ok {
		return NoStep, false, false
	}
	step, sealed = s.parts[n].Seen, s.parts[n].Sealed
	for range len(s.parts) {
		n = s.parts[n].inside
		if n == none {
			break
		}
		if s.parts[n].Seen > step {
			step, sealed, within = s.parts[n].Seen, s.parts[n].Sealed, true
		}
	}
	return step, sealed, within
}

// MissedBy gives the stock-take that did not find a part, or the assembly it is in, or NoStep.
func (s *State) MissedBy(ref record.Ref) Step {
	n, ok := s.book.number(ref, partNames)
	for range len(s.parts) {
		if !ok || n == none || s.parts[n].Missed != NoStep {
			break
		}
		n = s.parts[n].inside
	}
	if !ok || n == none {
		return NoStep
	}
	return s.parts[n].Missed
}
