package reversal

import (
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// effect is what one line changed, as replay saw it.
type effect struct {
	number int // of the line, in the order of replay
	line   replay.Line
	parts  []placed
	joints []done
}

// placed is a part that a line put on the car or took off it.
type placed struct {
	ref      record.Ref
	wasOn    bool
	on       bool
	position string
}

type done struct {
	ref record.Ref
	up  bool
}

// effects runs all work once and keeps what each line changed.
func effects(w *replay.Work) []effect {
	on := map[record.Ref]bool{}
	for _, p := range w.Start().Parts() {
		on[p.Ref] = p.Where.Place == replay.OnCar
	}
	list := make([]effect, 0, w.Len())
	w.Each(func(n replay.Step, l replay.Line, s *replay.State, c replay.Changed) {
		e := effect{number: int(n), line: l}
		for _, ref := range c.Parts {
			p, _ := s.Part(ref)
			is := p.Where.Place == replay.OnCar
			e.parts = append(e.parts, placed{ref, on[ref], is, p.Where.Position})
			on[ref] = is
		}
		for _, ref := range c.Joints {
			j, _ := s.Joint(ref)
			e.joints = append(e.joints, done{ref, j.Done != replay.Undone})
		}
		list = append(list, e)
	})
	return list
}

// used collects what conversion parts use: going backwards through the work, whatever touched it before counts as well.
type used struct {
	parts, joints, features map[record.Ref]bool
	zones                   map[string]bool
}

func newUsed() *used {
	return &used{map[record.Ref]bool{}, map[record.Ref]bool{}, map[record.Ref]bool{}, map[string]bool{}}
}

// counting says, line by line, whether work counts as conversion: its purpose is conversion or not stated; or it worked on
// a part, joint, hole or, where it altered material, on a zone that a conversion part later uses, whatever it was called.
func (m *maker) counting() []bool {
	u := newUsed()
	counts := make([]bool, len(m.effects))
	for i := len(m.effects) - 1; i >= 0; i-- {
		if !m.afterBaseline(replay.Step(i)) {
			continue // what has no day may stand behind what has one
		}
		e := &m.effects[i]
		purpose := e.line.Body.Purpose
		counts[i] = purpose == "" || purpose == "not stated" || purpose == "conversion" || m.touches(u, e)
		if e.line.Body.Act == "fitting" && (counts[i] || m.fitsTraction(e)) {
			counts[i] = true
			m.use(u, e)
		}
	}
	m.alongside(counts)
	return counts
}

// afterBaseline says that a line is of a session that began after the day of the baseline; for the root baseline all are.
func (m *maker) afterBaseline(n replay.Step) bool {
	return m.baseDay.IsZero() || m.w.NotBefore(n).Compare(m.baseDay) > 0
}

// touches says that a line worked on something that a conversion part uses later.
func (m *maker) touches(u *used, e *effect) bool {
	l := e.line.Body
	for _, p := range l.Parts {
		if u.parts[m.w.Name(p)] {
			return true
		}
	}
	for _, j := range e.joints {
		if u.joints[j.ref] {
			return true
		}
	}
	for _, f := range l.Uses {
		if u.features[m.w.Name(f)] {
			return true
		}
	}
	if l.Alteration == nil {
		return false
	}
	zone := l.Alteration.Zone
	if zone == "" && e.line.Work != nil {
		zone = e.line.Work.Zone
	}
	return zone != "" && u.zones[zone] || l.Alteration.Of != "" && u.features[m.w.Name(l.Alteration.Of)]
}

// fitsTraction says that a line fits a part of the traction circuit that was not on the car: it is conversion by nature,
// whatever the line calls it.
func (m *maker) fitsTraction(e *effect) bool {
	for _, p := range e.line.Body.Parts {
		info, _ := m.w.Part(p)
		if !m.atBase(info.Ref) && (slices.Contains(info.Body.Facets, "traction circuit") ||
			slices.Contains(info.Body.Hazards, "lithium") || slices.Contains(info.Body.Hazards, "high voltage")) {
			return true
		}
	}
	return false
}

// atBase says that a part was on the car at the baseline.
func (m *maker) atBase(ref record.Ref) bool {
	p, ok := m.base.Part(ref)
	return ok && p.Where.Place == replay.OnCar
}

// use notes what the parts a line fits, and that were not on the car at the baseline, use from then on.
func (m *maker) use(u *used, e *effect) {
	for _, ref := range e.line.Body.Parts {
		if p, ok := m.w.Part(ref); ok && !m.atBase(p.Ref) && p.Ref != m.root {
			m.usePart(u, e, p)
		}
	}
}

func (m *maker) usePart(u *used, e *effect, p replay.PartInfo) {
	u.parts[p.Ref] = true
	if p.Body.Zone != "" {
		u.zones[p.Body.Zone] = true
	}
	for _, f := range e.line.Body.Uses {
		u.features[m.w.Name(f)] = true
	}
	for _, j := range e.joints {
		info, _ := m.w.Joint(j.ref)
		if slices.Contains(info.Clamps, p.Ref) {
			m.useJoint(u, info)
		}
	}
}

// alongside counts work on the material around a conversion part that is on the car: the part uses what was made there from
// then on, though it was fitted before.
func (m *maker) alongside(counts []bool) {
	active := map[record.Ref]*used{}
	for i := range m.effects {
		e := &m.effects[i]
		if !m.afterBaseline(replay.Step(i)) {
			continue
		}
		if !counts[i] && e.line.Body.Alteration != nil {
			for _, u := range active {
				counts[i] = counts[i] || m.touches(u, e)
			}
		}
		for _, p := range e.parts {
			if p.wasOn && !p.on {
				delete(active, p.ref)
			}
		}
		if !counts[i] || e.line.Body.Act != "fitting" {
			continue
		}
		for _, ref := range e.line.Body.Parts {
			if p, ok := m.w.Part(ref); ok && !m.atBase(p.Ref) && p.Ref != m.root {
				active[p.Ref] = newUsed()
				m.usePart(active[p.Ref], e, p)
			}
		}
	}
}

func (m *maker) useJoint(u *used, j replay.JointInfo) {
	u.joints[j.Ref] = true
	if j.PicksUp != "" {
		u.joints[j.PicksUp] = true
	}
	if j.Body.Zone != "" {
		u.zones[j.Body.Zone] = true
	}
	for _, f := range j.Body.Uses {
		u.features[m.w.Name(f)] = true
	}
	for _, p := range j.Clamps {
		if p != m.root {
			u.parts[p] = true
		}
	}
}
