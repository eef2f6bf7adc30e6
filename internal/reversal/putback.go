package reversal

import (
	"cmp"
	"maps"
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// unit is a set of parts that go back as one: they lie bolted together, or one holds the other.
type unit struct {
	parts []record.Ref
	depth int
	since replay.Step
}

// unmounted is the depth of parts of which no joint is recorded: they go on last.
const unmounted = 1 << 20

// canReturn says that a part still exists and may be fitted; what is always renewed counts as returning.
func (m *maker) canReturn(s replay.PartState) bool {
	info, _ := m.w.Part(s.Ref)
	if info.Body.Class == "expendable" {
		return true
	}
	return s.Where.Place != replay.Gone && s.Where.Place != replay.BecameAnother && !barred(info.Body.MayGoBack)
}

// barred says that a part may not be fitted again.
func barred(mayGoBack string) bool { return mayGoBack == "no by law" || mayGoBack == "no for safety" }

// putBack writes the fittings: what is mounted on the car first, then what is mounted on that; of those as deep, the last
// taken off first.
func (p *planner) putBack() {
	back := map[record.Ref]bool{}
	for ref := range p.m.target.on {
		if !p.on[ref] && p.m.canReturn(p.parts[ref]) {
			back[ref] = true
		}
	}
	p.splitOff(back)
	for _, u := range p.units(back) {
		p.fit(u)
	}
}

// splitOff takes apart on the bench what lies bolted to a part that goes back but does not go back itself.
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
				if c != ref && !back[c] && !p.on[c] && c != p.m.root && p.up[j] {
					p.take(SplitStep, c)
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

// units groups what goes back.
func (p *planner) units(back map[record.Ref]bool) []unit {
	depth := p.targetDepths()
	var list []unit
	seen := map[record.Ref]bool{}
	for _, ref := range slices.Sorted(maps.Keys(back)) {
		if seen[ref] {
			continue
		}
		u := unit{depth: unmounted, since: replay.NoStep}
		todo := []record.Ref{ref}
		seen[ref] = true
		for len(todo) > 0 {
			next := todo[0]
			todo = todo[1:]
			u.parts = append(u.parts, next)
			if d, ok := depth[next]; ok {
				u.depth = min(u.depth, d)
			}
			u.since = max(u.since, p.parts[next].Since)
			for _, o := range p.together(next) {
				if back[o] && !seen[o] {
					seen[o] = true
					todo = append(todo, o)
				}
			}
		}
		slices.Sort(u.parts)
		list = append(list, u)
	}
	slices.SortFunc(list, func(a, b unit) int {
		return cmp.Or(cmp.Compare(a.depth, b.depth), cmp.Compare(b.since, a.since), cmp.Compare(a.parts[0], b.parts[0]))
	})
	return list
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

// targetDepths tells how deep each part is mounted in the target.
func (p *planner) targetDepths() map[record.Ref]int {
	on := p.on
	p.on = map[record.Ref]bool{}
	for ref := range p.m.target.on {
		p.on[ref] = true
	}
	for ref, heir := range p.m.target.heirs {
		p.on[ref] = p.on[heir]
	}
	depth := p.depths(p.m.target.joints, nil)
	p.on = on
	for ref, heir := range p.m.target.heirs {
		if d, ok := depth[ref]; ok {
			depth[heir] = d
		}
	}
	return depth
}

// fit writes one fitting with the joints that can then be done up, and a line for each part that sits elsewhere than it
// declares.
func (p *planner) fit(u unit) {
	for _, ref := range u.parts {
		p.on[ref] = true
	}
	l := record.Line{Act: "fitting", Parts: u.parts, Joints: p.ready(u, true)}
	if len(l.Joints) == 0 && p.wouldJoin(u) {
		l.Joints = p.ready(u, false)
	}
	spot := p.m.target.on[u.parts[0]]
	single := len(u.parts) == 1
	if single {
		l.Position = spot
	}
	for _, j := range l.Joints {
		p.up[j] = true
	}
	p.add(PutBack, l)
	for _, ref := range u.parts {
		if want := p.m.target.on[ref]; !single && want != "" && want != p.declaredSpot(ref) {
			p.add(MoveStep, record.Line{Act: "move", Parts: []record.Ref{ref}, Position: want})
		}
	}
}

func (p *planner) declaredSpot(ref record.Ref) string {
	info, _ := p.m.w.Part(ref)
	if info.Listed != nil && info.Listed.Position != "" {
		return info.Listed.Position
	}
	return info.Body.Position
}

// ready lists the joints of the target that a unit's parts take part in and that are still to be done up: with all only
// those whose other parts are on the car too.
func (p *planner) ready(u unit, all bool) []record.Ref {
	var list []record.Ref
	for _, ref := range u.parts {
		info, _ := p.m.w.Part(ref)
		for _, j := range info.Joints {
			if p.m.target.joints[j] && !p.up[j] && (!all || p.complete(j)) && !slices.Contains(list, j) {
				list = append(list, j)
			}
		}
	}
	slices.Sort(list)
	return list
}

// complete says that all parts of a joint are on the car.
func (p *planner) complete(j record.Ref) bool {
	for _, c := range p.joints[j].Clamps {
		if c != p.m.root && !p.on[c] {
			return false
		}
	}
	return true
}

// wouldJoin says that a fitting without named joints would do up a joint that the target does not have.
func (p *planner) wouldJoin(u unit) bool {
	for _, ref := range u.parts {
		info, _ := p.m.w.Part(ref)
		for _, j := range info.Joints {
			if !p.up[j] && !p.m.target.joints[j] && p.complete(j) {
				return true
			}
		}
	}
	return false
}

// closeUp connects the ends of looms, does up what is left, tightens every joint that was touched, and fills.
func (p *planner) closeUp() {
	for _, ref := range slices.Sorted(maps.Keys(p.m.target.on)) {
		l := record.Line{Act: "rectify", Parts: []record.Ref{ref}}
		for _, e := range p.parts[ref].Ends {
			want, known := p.m.target.ends[loomEnd{ref, e.End}]
			if known && p.on[ref] && e.State != want && reconnects(e.State) {
				l.Ends = append(l.Ends, record.End{End: e.End, State: want})
			}
		}
		if len(l.Ends) > 0 {
			p.add(ConnectStep, l)
		}
	}
	remade := p.remade()
	for _, j := range slices.Sorted(maps.Keys(p.m.target.joints)) {
		state, _ := p.now.Joint(j)
		if p.m.target.joints[j] && p.complete(j) && len(p.joints[j].Clamps) > 0 && (state.Done != replay.Tight || remade[j]) {
			p.add(TightenStep, record.Line{Act: "tightening", Parts: p.joints[j].Clamps, Joints: []record.Ref{j}})
			p.up[j] = true
		}
	}
	for _, f := range p.now.Fills() {
		if p.m.emptied(f) {
			p.add(FillStep, record.Line{Act: "fill", Parts: []record.Ref{}, System: f.Ref})
		}
	}
}

// reconnects says that an end can be connected again and is then what it was: nothing was cut.
func reconnects(state string) bool {
	return state == "free" || state == "unplugged" || state == "connected"
}

// remade lists the joints that the plan undoes or does up.
func (p *planner) remade() map[record.Ref]bool {
	list := map[record.Ref]bool{}
	for _, s := range p.steps {
		for _, j := range s.line.Joints {
			list[j] = true
		}
	}
	return list
}

// emptied says that a fill was drained, or may have been, and the target has it filled.
func (m *maker) emptied(f replay.FillState) bool {
	return (f.State == "drain" || f.State == "unknown") && m.target.fills[f.Ref] != "drain"
}
