package reversal

import (
	"fmt"
	"maps"
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// Difference is something that stays different from the baseline after the work order has been run through replay.
type Difference struct {
	Thing record.Ref `json:"thing"`
	// What is: missing, extra, position, joint, end, alteration, fill.
	What string `json:"what"`
	// Detail is the end of a loom, or the session that made an alteration.
	Detail string `json:"detail,omitempty"`
	Text   string `json:"text"`
}

// compare holds the state after the work order against the target.
func (m *maker) compare(after *replay.State) []Difference {
	var list []Difference
	differ := func(thing record.Ref, what, detail, format string, args ...any) {
		list = append(list, Difference{thing, what, detail, fmt.Sprintf(format, args...)})
	}
	missing := map[record.Ref]bool{}
	for old, heir := range m.target.heirs {
		missing[old] = true
		differ(old, "missing", string(heir), "%s goes back as %s, which it became", m.called(old), m.called(heir))
	}
	for _, ref := range slices.Sorted(maps.Keys(m.target.on)) {
		p, _ := after.Part(ref)
		spot := m.target.on[ref]
		switch {
		case p.Where.Place != replay.OnCar:
			missing[ref] = true
			differ(ref, "missing", "", "%s is not on the car again: it is %s", m.called(ref), whereText(m.w, p.Where))
		case spot != "" && p.Where.Position != spot:
			differ(ref, "position", "", "%s is at %q and was at %q", m.called(ref), p.Where.Position, spot)
		}
		for _, e := range p.Ends {
			if want, known := m.target.ends[loomEnd{ref, e.End}]; known && e.State != want {
				differ(ref, "end", e.End, "the end %q of %s is %s and was %s", e.End, m.called(ref), e.State, want)
			}
		}
	}
	for _, p := range after.Parts() {
		if _, wanted := m.target.on[p.Ref]; !wanted && p.Where.Place == replay.OnCar && p.Ref != m.root {
			differ(p.Ref, "extra", "", "%s is still on the car", m.called(p.Ref))
		}
	}
	list = append(list, m.compareJoints(after, missing)...)
	for _, k := range m.marks() {
		if k.leavesTrace() || !undoneIn(after, k) {
			differ(k.part, "alteration", string(k.line.Place.ID), "%s", m.markText(k))
		}
	}
	for _, f := range after.Fills() {
		if m.emptied(f) {
			differ(f.Ref, "fill", "", "%s is not filled again", m.called(f.Ref))
		}
	}
	slices.SortStableFunc(list, func(a, b Difference) int {
		return compareRefs(a.Thing, b.Thing)
	})
	return list
}

func compareRefs(a, b record.Ref) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// compareJoints compares the joints, but for those that lack a part: these cannot be done up, and the part is named.
func (m *maker) compareJoints(after *replay.State, missing map[record.Ref]bool) []Difference {
	var list []Difference
	for _, j := range after.Joints() {
		info, _ := m.w.Joint(j.Ref)
		lacks := false
		for _, c := range info.Clamps {
			_, wanted := m.target.on[c]
			lacks = lacks || missing[c] || c != m.root && !wanted
		}
		up, want := j.Done != replay.Undone, m.target.joints[j.Ref]
		if up == want || want && lacks || up && !m.anyOn(after, info) {
			continue
		}
		text := m.called(j.Ref) + " is not done up again"
		if up {
			text = m.called(j.Ref) + " is still done up"
		}
		list = append(list, Difference{Thing: j.Ref, What: "joint", Text: text})
	}
	return list
}

// anyOn says that a joint holds something on the car; what lies bolted together in store is no matter of the car.
func (m *maker) anyOn(s *replay.State, j replay.JointInfo) bool {
	for _, c := range j.Clamps {
		if p, _ := s.Part(c); p.Where.Place == replay.OnCar {
			return true
		}
	}
	return false
}

// undoneIn says that an alteration is undone in a state.
func undoneIn(s *replay.State, k mark) bool {
	p, _ := s.Part(k.part)
	for _, o := range p.Marks {
		if o.Step == k.step {
			return o.Undone != replay.NoStep
		}
	}
	return true
}

// markText says what was done to the material, where, and what undoing leaves.
func (m *maker) markText(k mark) string {
	a := k.line.Body.Alteration
	what := "an alteration of "
	if k.repair {
		what = "a repair of "
	}
	text := what + m.called(k.part)
	if a == nil {
		return text + ", of which nothing more is recorded"
	}
	if a.Zone != "" {
		text += ", " + a.Zone
	}
	if a.Where != "" {
		text += ", " + a.Where
	}
	if a.Count > 0 && a.Size != "" {
		text += fmt.Sprintf(": %d of %s", a.Count, a.Size)
	} else if a.Size != "" {
		text += ": " + string(a.Size)
	}
	switch {
	case a.Leaves != "":
		text += "; undone, it leaves " + a.Leaves
	case a.MaterialRemoved == "no":
		text += "; no material removed, by the record"
	default:
		text += "; what undoing it would leave is not recorded"
	}
	return text
}
