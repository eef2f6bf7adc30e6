package reversal

import (
	"cmp"
	"maps"
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

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

// unmounted is the depth of parts of which no joint is recorded: of those taken off at the same time they go on last.
const unmounted = 1 << 20

// event is something that was taken apart and is put together again when the work is gone through backwards: a joint split
// on the bench, or a part taken off the car.
type event struct {
	at    int // number of the line that took it apart; the later goes back the earlier
	joint record.Ref
	part  record.Ref
	depth int
}

// ownRemoval is the number of what the plan itself takes off, which goes back last, when all it hangs on is there again.
const ownRemoval = -1

// putBack writes the fittings in the reverse order of the removals: what came off last goes on first, and what was split on
// the bench is put together there first. Of what came off together, what is mounted on the car itself goes first.
func (p *planner) putBack() {
	back := map[record.Ref]bool{}
	for ref := range p.m.target.on {
		if !p.on[ref] && p.m.canReturn(p.parts[ref]) {
			back[ref] = true
		}
	}
	p.splitOff(back)
	for _, e := range p.events(back) {
		switch {
		case e.joint != "":
			p.benchJoin(e, back)
		case !p.on[e.part]:
			p.fit(p.unitOf(e.part, back))
		}
	}
}

// events lists what was taken apart, the last first.
func (p *planner) events(back map[record.Ref]bool) []event {
	p.deep = p.targetDepths()
	var list []event
	for ref := range back {
		e := event{at: p.takenAt(ref), part: ref, depth: unmounted}
		if d, ok := p.deep[ref]; ok {
			e.depth = d
		}
		list = append(list, e)
	}
	for j, wanted := range p.m.target.joints {
		if at, ok := p.splitAt(j, back); ok && wanted {
			list = append(list, event{at: at, joint: j})
		}
	}
	slices.SortFunc(list, func(a, b event) int {
		return cmp.Or(cmp.Compare(b.at, a.at), cmp.Compare(b.joint, a.joint), cmp.Compare(a.depth, b.depth), cmp.Compare(a.part, b.part))
	})
	return list
}

func (p *planner) takenAt(ref record.Ref) int {
	if p.off[ref] {
		return ownRemoval
	}
	if e, ok := p.m.takenBy[ref]; ok {
		return e.number
	}
	return ownRemoval
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

// fit writes one fitting with the joints that can then be done up, their tightening, and a line for each part that sits
// elsewhere than it declares.
func (p *planner) fit(u []record.Ref) {
	for _, ref := range u {
		p.on[ref] = true
	}
	named := p.outer(u)
	l := record.Line{Act: "fitting", Parts: named, Joints: p.ready(u, true)}
	if len(l.Joints) == 0 && p.wouldJoin(u) {
		l.Joints = p.ready(u, false)
	}
	if len(named) == 1 {
		l.Position = p.m.target.on[named[0]]
	}
	for _, j := range l.Joints {
		p.up[j] = true
	}
	p.add(PutBack, l)
	p.tighten(l.Joints)
	for _, ref := range u {
		if want := p.m.target.on[ref]; (len(named) > 1 || ref != named[0]) && want != "" && want != p.declaredSpot(ref) {
			p.add(MoveStep, record.Line{Act: "move", Parts: []record.Ref{ref}, Position: want})
		}
	}
}

// tighten writes the tightening of joints.
func (p *planner) tighten(joints []record.Ref) {
	if len(joints) == 0 {
		return
	}
	l := record.Line{Act: "tightening", Parts: []record.Ref{}, Joints: joints}
	for _, j := range joints {
		p.tight[j] = true
		for _, c := range p.joints[j].Clamps {
			if !slices.Contains(l.Parts, c) {
				l.Parts = append(l.Parts, c)
			}
		}
	}
	p.add(TightenStep, l)
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
func (p *planner) ready(u []record.Ref, all bool) []record.Ref {
	var list []record.Ref
	for _, ref := range u {
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
func (p *planner) wouldJoin(u []record.Ref) bool {
	for _, ref := range u {
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
	for _, j := range slices.Sorted(maps.Keys(p.m.target.joints)) {
		state, _ := p.now.Joint(j)
		if p.m.target.joints[j] && p.complete(j) && len(p.joints[j].Clamps) > 0 && !p.tight[j] && (state.Done != replay.Tight || !p.up[j]) {
			p.tighten([]record.Ref{j})
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

// emptied says that a fill was drained, or may have been, and the target has it filled.
func (m *maker) emptied(f replay.FillState) bool {
	return (f.State == "drain" || f.State == "unknown") && m.target.fills[f.Ref] != "drain"
}
