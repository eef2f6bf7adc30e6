package reversal

import (
	"cmp"
	"maps"
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// planner builds the lines of the work order from the state of the car and the target. It goes by how deep things are
// mounted: what hangs on something comes off before it, and goes on after it.
type planner struct {
	m      *maker
	now    *replay.State
	parts  map[record.Ref]replay.PartState
	joints map[record.Ref]replay.JointInfo
	up     map[record.Ref]bool // joints done up, as the plan goes on
	on     map[record.Ref]bool // parts on the car, as the plan goes on
	inside map[record.Ref][]record.Ref
	off    map[record.Ref]bool // parts to come off
	tight  map[record.Ref]bool // joints that the plan tightens
	deep   map[record.Ref]int  // how deep parts are mounted in the target
	steps  []planned
}

// planned is one line of the plan with what it is for.
type planned struct {
	kind StepKind
	line record.Line
}

// StepKind says what a step of the work order does.
type StepKind string

// The kinds of steps.
const (
	DrainStep   StepKind = "drain"
	TakeOff     StepKind = "take off"
	SplitStep   StepKind = "take apart on the bench"
	BenchStep   StepKind = "put together on the bench"
	UndoStep    StepKind = "undo an alteration"
	PutBack     StepKind = "put back"
	MoveStep    StepKind = "set at its place"
	ConnectStep StepKind = "connect"
	TightenStep StepKind = "tighten"
	FillStep    StepKind = "fill"
)

func (m *maker) plan() []planned {
	p := &planner{m: m, now: m.now, parts: map[record.Ref]replay.PartState{}, joints: map[record.Ref]replay.JointInfo{},
		up: map[record.Ref]bool{}, on: map[record.Ref]bool{}, inside: map[record.Ref][]record.Ref{}, off: map[record.Ref]bool{}, tight: map[record.Ref]bool{}}
	for _, s := range m.now.Parts() {
		p.parts[s.Ref] = s
		p.on[s.Ref] = s.Where.Place == replay.OnCar
		if s.Inside != "" {
			p.inside[s.Inside] = append(p.inside[s.Inside], s.Ref)
		}
	}
	for _, j := range m.now.Joints() {
		p.joints[j.Ref], _ = m.w.Joint(j.Ref)
		p.up[j.Ref] = j.Done != replay.Undone
	}
	p.chooseOff()
	p.takeOff()
	p.undoMarks()
	p.putBack()
	p.closeUp()
	return p.steps
}

func (p *planner) add(kind StepKind, l record.Line) {
	l.Purpose = "restoration of the car"
	p.steps = append(p.steps, planned{kind, l})
}

// misplaced says that a part on the car is not where the target has it.
func (p *planner) misplaced(ref record.Ref) bool {
	spot, wanted := p.m.target.on[ref]
	at := p.parts[ref].Where.Position
	return !wanted || spot != "" && at != "" && at != spot
}

// chooseOff chooses the parts that must come off: what the target does not have, or has elsewhere; one part of every joint
// that must go though all it clamps stays; and what would then hang on nothing.
func (p *planner) chooseOff() {
	for ref, on := range p.on {
		if on && ref != p.m.root && p.misplaced(ref) {
			p.off[ref] = true
		}
	}
	depth := p.depths(p.up, nil)
	for _, j := range slices.Sorted(maps.Keys(p.joints)) {
		if p.up[j] && !p.m.target.joints[j] {
			p.loosen(p.joints[j], depth)
		}
	}
	for {
		left := p.depths(p.up, p.off)
		grown := false
		for ref, on := range p.on {
			if _, was := depth[ref]; on && was && !p.off[ref] && ref != p.m.root && p.parts[ref].Inside == "" {
				if _, still := left[ref]; !still {
					p.off[ref], grown = true, true
				}
			}
		}
		if !grown {
			return
		}
	}
}

// loosen lets one part of a joint come off so that the joint is undone, unless one comes off anyway or none is on the car.
func (p *planner) loosen(j replay.JointInfo, depth map[record.Ref]int) {
	best := record.Ref("")
	for _, c := range j.Clamps {
		switch {
		case p.off[c]:
			return
		case p.on[c] && c != p.m.root && (best == "" || cmp.Or(cmp.Compare(depth[c], depth[best]), cmp.Compare(best, c)) > 0):
			best = c
		}
	}
	if best != "" {
		p.off[best] = true
	}
}

// depths tells how many joints lie between the car and each part mounted on it; without the parts given. Parts that nothing
// connects are not listed.
func (p *planner) depths(up map[record.Ref]bool, without map[record.Ref]bool) map[record.Ref]int {
	depth := map[record.Ref]int{}
	var ring []record.Ref
	reach := func(ref record.Ref, d int) {
		if _, seen := depth[ref]; !seen && !without[ref] && (p.on[ref] || ref == p.m.root) {
			depth[ref] = d
			ring = append(ring, ref)
		}
	}
	if p.m.root != "" {
		reach(p.m.root, 0)
	}
	for _, j := range slices.Sorted(maps.Keys(p.joints)) {
		if up[j] && p.joints[j].Hosted {
			for _, c := range p.joints[j].Clamps {
				reach(c, 1)
			}
		}
	}
	for i := 0; i < len(ring); i++ {
		info, _ := p.m.w.Part(ring[i])
		for _, j := range info.Joints {
			if !up[j] {
				continue
			}
			for _, c := range p.joints[j].Clamps {
				reach(c, depth[ring[i]]+1)
			}
		}
		for _, c := range p.inside[ring[i]] {
			reach(c, depth[ring[i]]+1)
		}
	}
	return depth
}

// takeOff writes the removals, the deepest first; of those as deep, the last fitted first.
func (p *planner) takeOff() {
	for _, f := range p.now.Fills() {
		if p.ownFill(f) {
			p.add(DrainStep, record.Line{Act: "drain", Parts: []record.Ref{}, System: f.Ref})
		}
	}
	depth := p.depths(p.up, nil)
	order := slices.Collect(maps.Keys(p.off))
	slices.SortFunc(order, func(a, b record.Ref) int {
		return cmp.Or(cmp.Compare(depth[b], depth[a]), cmp.Compare(p.parts[b].Since, p.parts[a].Since), cmp.Compare(a, b))
	})
	for _, ref := range order {
		if p.on[ref] && !p.rides(ref) {
			p.take(TakeOff, ref)
		}
	}
}

// rides says that a part comes off inside another and need not be taken out of it.
func (p *planner) rides(ref record.Ref) bool {
	holder := p.parts[ref].Inside
	_, wanted := p.m.target.on[ref]
	return holder != "" && p.off[holder] && p.on[holder] && !wanted
}

// take writes one removal with the joints it undoes.
func (p *planner) take(kind StepKind, ref record.Ref) {
	set := p.with(ref)
	joints := p.border(set)
	for _, j := range joints {
		p.up[j] = false
	}
	for r := range set {
		p.on[r] = false
	}
	p.add(kind, record.Line{Act: "removal", Parts: []record.Ref{ref}, Joints: joints})
	p.leave(ref)
}

// with is a part and everything that is inside it.
func (p *planner) with(ref record.Ref) map[record.Ref]bool {
	set := map[record.Ref]bool{ref: true}
	todo := []record.Ref{ref}
	for len(todo) > 0 {
		next := todo[0]
		todo = todo[1:]
		for _, c := range p.inside[next] {
			if !set[c] {
				set[c] = true
				todo = append(todo, c)
			}
		}
	}
	return set
}

func (p *planner) leave(ref record.Ref) {
	s := p.parts[ref]
	if s.Inside == "" {
		return
	}
	p.inside[s.Inside] = slices.DeleteFunc(p.inside[s.Inside], func(r record.Ref) bool { return r == ref })
	s.Inside = ""
	p.parts[ref] = s
}

// border lists the joints that are done up between a set and what is not in it, by name.
func (p *planner) border(set map[record.Ref]bool) []record.Ref {
	var list []record.Ref
	for ref := range set {
		info, _ := p.m.w.Part(ref)
		for _, j := range info.Joints {
			crosses := p.joints[j].Hosted
			for _, c := range p.joints[j].Clamps {
				crosses = crosses || !set[c]
			}
			if p.up[j] && crosses && !slices.Contains(list, j) {
				list = append(list, j)
			}
		}
	}
	slices.Sort(list)
	return list
}

// ownFill says that a fill belongs to what was fitted, and has to be drained before it comes off.
func (p *planner) ownFill(f replay.FillState) bool {
	if f.State != "fill" || p.m.target.fills[f.Ref] != "" {
		return false
	}
	system := p.m.system(f.Ref)
	if len(system.Parts) == 0 {
		return false
	}
	for _, ref := range system.Parts {
		if _, wanted := p.m.target.on[p.m.w.Name(ref)]; wanted {
			return false
		}
	}
	return true
}

// undoMarks writes a restoration for every alteration that counts and says how it would be undone.
func (p *planner) undoMarks() {
	for _, mark := range p.m.marks() {
		a := mark.line.Body.Alteration
		if mark.undone || mark.repair || a == nil || a.Undo == "" {
			continue
		}
		p.add(UndoStep, record.Line{Act: "restoration", Parts: []record.Ref{mark.part}, Undoes: mark.line.Place.ID,
			Alteration: &record.Hole{Zone: a.Zone, Where: a.Where, Size: a.Size, Count: a.Count, Undo: a.Undo, Leaves: a.Leaves}})
	}
}
