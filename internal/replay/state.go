package replay

import (
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/record"
)

// Step numbers a line in the order of replay, from 0. NoStep stands for what is declared and was not done by a line.
type Step int32

// NoStep is no line.
const NoStep Step = -1

// Place says in what way the whereabouts of a part are known.
type Place uint8

// The places. NotKnown is where the order of the records leaves two outcomes open; OffCar a part that was taken off and
// whose place was not stated; NotLocated a part that no record has put anywhere yet.
const (
	NotLocated Place = iota
	OnCar
	InStore
	WithSomeone
	OffCar
	Gone
	BecameAnother
	NotKnown
)

// String is the word a reader sees.
func (p Place) String() string {
	return [...]string{"not located", "on the car", "in store", "out", "off the car, place not stated", "gone", "became another part", "not known"}[p]
}

// Where is where a part, or the car itself, is.
type Where struct {
	Place    Place
	Position string      // on the car: the spot, "" where not stated
	Store    record.Ref  // in store
	Shelf    string      // crate, shelf or hook in that store
	With     string      // out: who has it
	Due      record.Date // out: when it is due back
	How      string      // gone: sold, scrapped, lost ...
	Became   record.Ref  // the part it became
}

// SamePlace says that two parts lie in the same place, as far as it is stated.
func (w Where) samePlace(o Where) bool {
	return w.Place == o.Place && w.Store == o.Store && w.Shelf == o.Shelf && w.With == o.With
}

// Mark is one alteration or repair that a part bears.
type Mark struct {
	Step   Step // the line that made it
	Repair bool // a repair to pattern, not an alteration
	Undone Step // the restoration that undid it, or NoStep; what it leaves stays
}

// EndState is what an end, fixing or grommet of a loom or hose is.
type EndState struct {
	End, State, To string
	Since          Step
}

// PartState is the state of one part.
type PartState struct {
	Ref     record.Ref
	Found   string // yes, no, inferred from its removal, or "" where nothing is declared
	Where   Where
	Since   Step // the line that put it there
	Seen    Step // the last line in which somebody had it before them
	Sealed  bool // Seen was the sighting of an unbroken seal, not of the part
	Missed  Step // a stock-take since Seen that did not find it
	Station record.Measure
	Inside  record.Ref // the assembly it goes with
	Marks   []Mark
	Ends    []EndState
	Touched Step // the last line that named it
	inside  int32
}

// Done says how far a joint is done up.
type Done uint8

// The states of a joint. DoneUp is with its fasteners in and not known to be tight.
const (
	Undone Done = iota
	DoneUp
	Tight
)

// String is the word a reader sees.
func (d Done) String() string { return [...]string{"undone", "done up, not tightened", "tight"}[d] }

// JointState is the state of one joint.
type JointState struct {
	Ref       record.Ref
	Original  bool // done up at the root baseline
	Done      Done
	Since     Step // the line that did it up or undid it
	Tightened Step // the last tightening that still stands, or NoStep
	Bag       string
	Fasteners int64 // counted into the bag when it was undone
	Counted   bool  // Fasteners was stated
}

// FillState is the state of one fill.
type FillState struct {
	Ref   record.Ref
	State string // "", drain, fill, or unknown where the order is not stated
	Since Step
}

// seal is a crate or shelf under an unbroken seal.
type seal struct {
	store record.Ref
	shelf string
	since Step
}

// State is the car as the records leave it on a day. It is not changed once it has been returned.
type State struct {
	// Day is the day asked for; no day is all that is recorded.
	Day edtf.Day
	// Car is where the car itself is: OnCar means at the workshop, as far as nothing else is recorded.
	Car    Where
	CarAt  Step
	book   *book
	steps  []step
	parts  []PartState
	joints []JointState
	fills  []FillState
	seals  []seal
	doubts []Doubt
	done   int // steps considered
}

// clone gives a state that can be changed without touching the first; the short lists within are replaced, never edited.
func (s *State) clone() *State {
	c := *s
	c.parts = slices.Clone(s.parts)
	c.joints = slices.Clone(s.joints)
	c.fills = slices.Clone(s.fills)
	c.seals = slices.Clone(s.seals)
	c.doubts = slices.Clip(s.doubts)
	return &c
}

// Parts lists all parts that any record speaks of, by name.
func (s *State) Parts() []PartState {
	list := slices.Clone(s.parts)
	slices.SortFunc(list, func(a, b PartState) int { return compareRef(a.Ref, b.Ref) })
	return list
}

// Part gives the state of a part by any of its names.
func (s *State) Part(ref record.Ref) (PartState, bool) {
	n, ok := s.book.number(ref, partNames)
	if !ok {
		return PartState{}, false
	}
	return s.parts[n], true
}

// Joints lists the joints that are recorded, by name.
func (s *State) Joints() []JointState {
	var list []JointState
	for i, j := range s.joints {
		if s.book.joints[i].body != nil {
			list = append(list, j)
		}
	}
	slices.SortFunc(list, func(a, b JointState) int { return compareRef(a.Ref, b.Ref) })
	return list
}

// Joint gives the state of a joint by any of its names.
func (s *State) Joint(ref record.Ref) (JointState, bool) {
	n, ok := s.book.number(ref, jointNames)
	if !ok {
		return JointState{}, false
	}
	return s.joints[n], true
}

// Fills lists the systems, by name.
func (s *State) Fills() []FillState {
	list := slices.Clone(s.fills)
	slices.SortFunc(list, func(a, b FillState) int { return compareRef(a.Ref, b.Ref) })
	return list
}

// Doubts lists what the records leave open or contradict, in the order in which replay came upon it.
func (s *State) Doubts() []Doubt { return slices.Clip(s.doubts) }

// Line gives the line of a step, planned ones included; false for NoStep.
func (s *State) Line(n Step) (Line, bool) {
	if n < 0 || int(n) >= len(s.steps) {
		return Line{}, false
	}
	return s.book.lineOf(&s.steps[n]), true
}

// MountedBy lists the joints by which a part is held on the car: done up, and clamping it.
func (s *State) MountedBy(ref record.Ref) []JointState {
	var list []JointState
	if n, ok := s.book.number(ref, partNames); ok {
		for _, j := range s.book.parts[n].joints {
			if s.joints[j].Done != Undone {
				list = append(list, s.joints[j])
			}
		}
	}
	return list
}

// Open lists the joints that are not known to be tight although their parts are together on the car: undone, or done up and
// not tightened since. A vacated joint, whose parts are gone, is not open.
func (s *State) Open() []JointState {
	var list []JointState
	for i := range s.joints {
		j := &s.book.joints[i]
		if j.body == nil || s.joints[i].Done == Tight || s.occupied(int32(i)) {
			continue
		}
		together := len(j.clamps) > 0
		for _, p := range j.clamps {
			together = together && (p == s.book.root || s.parts[p].Where.Place == OnCar)
		}
		if together {
			list = append(list, s.joints[i])
		}
	}
	slices.SortFunc(list, func(a, b JointState) int { return compareRef(a.Ref, b.Ref) })
	return list
}

// occupied says that the holes of a joint are used by another that is done up.
func (s *State) occupied(j int32) bool {
	info := &s.book.joints[j]
	if info.picks != none && s.joints[info.picks].Done != Undone {
		return true
	}
	for _, k := range info.picked {
		if s.joints[k].Done != Undone {
			return true
		}
	}
	return false
}

// Vacated says that a joint of the car as found stands empty: undone, with no part it clamps left where it was. Its holes
// prove themselves as older than the work.
func (s *State) Vacated(ref record.Ref) bool {
	n, ok := s.book.number(ref, jointNames)
	return ok && s.joints[n].Original && s.joints[n].Done == Undone
}

// number finds a thing of one sort by any of its names.
func (b *book) number(ref record.Ref, sort int) (int32, bool) {
	n, ok := b.names[sort].numbers[b.head(b.place(ref))]
	return n, ok
}

func (b *book) lineOf(t *step) Line {
	if t.session == none {
		return Line{Index: int(t.index), Body: t.body}
	}
	s := &b.sessions[t.session]
	return Line{Session: s.current, Place: s.place, Work: s.body, Index: int(t.index), Body: t.body}
}
