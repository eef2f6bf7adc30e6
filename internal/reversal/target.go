package reversal

import (
	"maps"
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// target is the car to be restored: the baseline, with what was done since for another purpose than conversion left as it
// is.
type target struct {
	on     map[record.Ref]string // parts on the car, and where
	joints map[record.Ref]bool   // joints done up
	ends   map[loomEnd]string
	fills  map[record.Ref]string
	heirs  map[record.Ref]record.Ref // parts that became others: the other goes back in their place
}

type loomEnd struct {
	part record.Ref
	end  string
}

// aim works the target out: per thing, the last line with another purpose that changed it decides, else the baseline.
func (m *maker) aim() *target {
	t := &target{on: map[record.Ref]string{}, joints: map[record.Ref]bool{}, ends: map[loomEnd]string{}, fills: map[record.Ref]string{}, heirs: map[record.Ref]record.Ref{}}
	for _, p := range m.base.Parts() {
		if p.Where.Place == replay.OnCar && p.Ref != m.root {
			t.on[p.Ref] = p.Where.Position
			for _, e := range p.Ends {
				t.ends[loomEnd{p.Ref, e.End}] = e.State
			}
		}
	}
	for _, j := range m.base.Joints() {
		t.joints[j.Ref] = j.Done != replay.Undone
	}
	for _, f := range m.base.Fills() {
		t.fills[f.Ref] = f.State
	}
	for i := range m.effects {
		if m.counts[i] || !m.afterBaseline(replay.Step(i)) {
			continue
		}
		t.keep(m.w, &m.effects[i])
	}
	for _, ref := range slices.Sorted(maps.Keys(t.on)) {
		m.inherit(t, ref, t.on[ref])
	}
	return t
}

// keep takes over what a line changed on purpose.
func (t *target) keep(w *replay.Work, e *effect) {
	for _, p := range e.parts {
		switch {
		case p.on:
			t.on[p.ref] = p.position
		case p.wasOn:
			delete(t.on, p.ref)
		}
	}
	for _, j := range e.joints {
		t.joints[j.ref] = j.up
	}
	l := e.line.Body
	for _, p := range l.Parts {
		for _, end := range l.Ends {
			if _, known := t.on[w.Name(p)]; known {
				t.ends[loomEnd{w.Name(p), end.End}] = end.State
			}
		}
	}
	if l.System != "" && (l.Act == "drain" || l.Act == "fill") {
		t.fills[w.Name(l.System)] = l.Act
	}
}

// inherit puts the part that another became in its place.
func (m *maker) inherit(t *target, ref record.Ref, spot string) {
	heir := ref
	for range 100 {
		p, ok := m.now.Part(heir)
		if !ok || p.Where.Place != replay.BecameAnother || p.Where.Became == ref {
			break
		}
		heir = p.Where.Became
	}
	if heir != ref {
		delete(t.on, ref)
		t.on[heir], t.heirs[ref] = spot, heir
	}
}
