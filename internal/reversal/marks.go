package reversal

import (
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// mark is one alteration or repair that a part bears, made after the baseline.
type mark struct {
	part   record.Ref
	line   replay.Line
	step   replay.Step
	repair bool
	undone bool
	by     replay.Line // that undid it
	counts bool
}

// allMarks lists what alters parts, by part and in the order of the work. A mark on a part that was not on the car at the
// baseline is no trace on the car and is left out.
func (m *maker) allMarks() []mark {
	if m.marked == nil {
		m.marked = m.findMarks()
	}
	return m.marked
}

func (m *maker) findMarks() []mark {
	list := []mark{}
	for _, p := range m.now.Parts() {
		if !m.atBase(p.Ref) && !m.isHeir(p.Ref) {
			continue
		}
		for _, k := range p.Marks {
			if int(k.Step) >= len(m.effects) || !m.afterBaseline(k.Step) {
				continue
			}
			l, _ := m.now.Line(k.Step)
			entry := mark{part: p.Ref, line: l, step: k.Step, repair: k.Repair, undone: k.Undone != replay.NoStep, counts: m.counts[k.Step]}
			entry.by, _ = m.now.Line(k.Undone)
			list = append(list, entry)
		}
	}
	return list
}

// marks lists the marks that count as conversion.
func (m *maker) marks() []mark {
	var list []mark
	for _, k := range m.allMarks() {
		if k.counts {
			list = append(list, k)
		}
	}
	return list
}

func (m *maker) isHeir(ref record.Ref) bool {
	for _, heir := range m.target.heirs {
		if heir == ref {
			return true
		}
	}
	return false
}

// leavesTrace says whether an alteration leaves anything when it is undone: unless it is recorded that no material was
// removed and that undoing it leaves nothing, it does.
func (k mark) leavesTrace() bool {
	a := k.line.Body.Alteration
	if k.repair || a == nil || a.MaterialRemoved != "no" || a.Leaves != "" || a.Undo == "" && !k.undone {
		return true
	}
	if k.undone {
		if b := k.by.Body; b != nil && b.Alteration != nil && b.Alteration.Leaves != "" {
			return true
		}
	}
	return false
}

// system gives the record of a system, empty where there is none.
func (m *maker) system(ref record.Ref) *record.System {
	if e, ok := ledger.Get[record.System](m.w.Snapshot(), ref); ok {
		return e.Body
	}
	return &record.System{}
}
