package reversal

import (
	"maps"
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// splitAt says when a joint was taken apart on the bench: all its parts go back, and were off the car before.
func (p *planner) splitAt(j record.Ref, back map[record.Ref]bool) (int, bool) {
	info := p.joints[j]
	state, _ := p.now.Joint(j)
	if p.up[j] || info.Hosted || len(info.Clamps) < 2 || state.Since == replay.NoStep || int(state.Since) >= p.m.w.Len() {
		return 0, false
	}
	for _, c := range info.Clamps {
		if at := p.takenAt(c); !back[c] || at == ownRemoval || at >= int(state.Since) {
			return 0, false
		}
	}
	return int(state.Since), true
}

// benchJoin puts together on the bench what was split there: the part that the split named goes to the other.
func (p *planner) benchJoin(e event, back map[record.Ref]bool) {
	clamps := p.joints[e.joint].Clamps
	part := clamps[0]
	split := p.m.w.Line(replay.Step(e.at))
	for _, c := range clamps {
		named := slices.ContainsFunc(split.Body.Parts, func(r record.Ref) bool { return p.m.w.Name(r) == c })
		if p.on[c] {
			return
		}
		if named {
			part = c
		}
	}
	u := p.unitOf(part, back)
	for _, c := range clamps {
		if c != part && slices.Contains(u, c) {
			return // bolted together already by another joint: this one is done up when they go on the car
		}
	}
	p.up[e.joint] = true
	p.add(BenchStep, record.Line{Act: "fitting", Parts: p.outer(u), Joints: []record.Ref{e.joint}})
	p.tighten([]record.Ref{e.joint})
}

// unitOf lists a part and what goes back with it as one: they lie bolted together, or one holds the other.
func (p *planner) unitOf(ref record.Ref, back map[record.Ref]bool) []record.Ref {
	seen := map[record.Ref]bool{ref: true}
	u := []record.Ref{ref}
	for i := 0; i < len(u); i++ {
		for _, o := range p.together(u[i]) {
			if back[o] && !seen[o] && !p.on[o] {
				seen[o] = true
				u = append(u, o)
			}
		}
	}
	slices.Sort(u)
	return u
}

// outer leaves out what lies inside another part of a unit: it goes along.
func (p *planner) outer(u []record.Ref) []record.Ref {
	var list []record.Ref
	for _, ref := range u {
		if !slices.Contains(u, p.parts[ref].Inside) {
			list = append(list, ref)
		}
	}
	return list
}

// splitOff takes apart on the bench what lies bolted to a part that goes back but does not go back itself, and what is held
// together there by a joint that the car did not have.
func (p *planner) splitOff(back map[record.Ref]bool) {
	for _, ref := range slices.Sorted(maps.Keys(back)) {
		if holder := p.parts[ref].Inside; holder != "" && !back[holder] && !p.on[holder] {
			p.take(SplitStep, ref)
		}
		info, _ := p.m.w.Part(ref)
		for _, j := range info.Joints {
			if !p.up[j] {
				continue
			}
			for _, c := range p.joints[j].Clamps {
				switch {
				case c == ref || p.on[c] || c == p.m.root || !p.up[j]:
				case !back[c]:
					p.take(SplitStep, c)
				case !p.m.target.joints[j]:
					p.take(SplitStep, ref)
				}
			}
		}
		for _, c := range slices.Clone(p.inside[ref]) {
			if _, wanted := p.m.target.on[c]; !wanted && !p.on[c] {
				p.take(SplitStep, c)
			}
		}
	}
}

// together lists what a part that is off the car is bolted to, holds, or lies in.
func (p *planner) together(ref record.Ref) []record.Ref {
	info, _ := p.m.w.Part(ref)
	list := slices.Clone(p.inside[ref])
	if holder := p.parts[ref].Inside; holder != "" {
		list = append(list, holder)
	}
	for _, j := range info.Joints {
		if p.up[j] {
			list = append(list, p.joints[j].Clamps...)
		}
	}
	return list
}
