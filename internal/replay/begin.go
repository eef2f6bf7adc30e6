package replay

import (
	"boltback/internal/record"
)

// begin is the car at the root baseline, before any line: what is declared, and the parts of which nothing is declared
// whose first line takes them off. These are found by inference.
func begin(w *Work) *State {
	s := &State{book: w.book, steps: w.seq.steps, Car: Where{Place: OnCar}, CarAt: NoStep}
	s.grow()
	inferred := w.inferred()
	for i := range s.parts {
		p := &s.parts[i]
		if w.book.wasFound(int32(i)) || inferred[int32(i)] != nil {
			s.connect(int32(i))
		}
		switch {
		case w.book.wasFound(int32(i)):
			p.Where = Where{Place: OnCar, Position: w.book.parts[i].spot()}
			if p.Found == "" || p.Found == "no" {
				p.Found = "yes"
			}
		case inferred[int32(i)] != nil:
			p.Found = "inferred"
			p.Where = Where{Place: OnCar, Position: firstOf(w.book.parts[i].position, inferred[int32(i)].Position)}
		}
	}
	s.placeInside()
	for i := range s.joints {
		if s.onBegin(int32(i)) {
			s.joints[i].Original, s.joints[i].Done = true, Tight
		}
	}
	return s
}

// grow gives every thing of the book a state; those that are new have not been touched.
func (s *State) grow() {
	for i := len(s.parts); i < len(s.book.parts); i++ {
		info := &s.book.parts[i]
		p := PartState{Ref: info.ref, Found: info.found, Since: NoStep, Seen: NoStep, Missed: NoStep, Touched: NoStep, inside: none}
		if info.body != nil {
			p.Station = info.body.Station
			for _, r := range info.body.Runs {
				p.Ends = append(p.Ends, EndState{End: r.End, State: firstOf(r.State, "connected"), To: r.To, Since: NoStep})
			}
		}
		s.parts = append(s.parts, p)
	}
	for i := len(s.joints); i < len(s.book.joints); i++ {
		s.joints = append(s.joints, JointState{Ref: s.book.joints[i].ref, Since: NoStep, Tightened: NoStep})
	}
	for i := len(s.fills); i < len(s.book.systems); i++ {
		s.fills = append(s.fills, FillState{Ref: s.book.systems[i], Since: NoStep})
	}
}

// connect sets the ends of a loom or hose that was on the car: what its record says of them is how they are now.
func (s *State) connect(p int32) {
	for i := range s.parts[p].Ends {
		s.parts[p].Ends[i].State = "connected"
	}
}

// inferred lists the parts of which nothing is declared and whose first line is a removal, with that line.
func (w *Work) inferred() map[int32]*record.Line {
	first := map[int32]*record.Line{}
	touched := make([]bool, len(w.book.parts))
	for i := range w.seq.steps {
		t := &w.seq.steps[i]
		for _, p := range t.parts {
			if !touched[p] && t.act == removal && w.book.parts[p].found == "" && !w.book.wasFound(p) {
				first[p] = t.body
			}
			touched[p] = true
		}
	}
	return first
}

// placeInside puts the parts of assemblies into them where both are on the car: into the first by name that declares them.
func (s *State) placeInside() {
	for i := range s.parts {
		if s.parts[i].Where.Place != OnCar {
			continue
		}
		for _, h := range s.book.parts[i].holders {
			if s.parts[h].Where.Place == OnCar {
				s.setInside(int32(i), h)
				break
			}
		}
	}
}

func (s *State) setInside(p, holder int32) {
	s.parts[p].inside, s.parts[p].Inside = holder, ""
	if holder != none {
		s.parts[p].Inside = s.book.parts[holder].ref
	}
}

// onBegin says that a joint was done up at the root baseline: not denied, and all it clamps was there.
func (s *State) onBegin(j int32) bool {
	info := &s.book.joints[j]
	if info.body == nil || info.body.Original == "no" {
		return false
	}
	for _, p := range info.clamps {
		if s.parts[p].Where.Place != OnCar {
			return false
		}
	}
	return true
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
