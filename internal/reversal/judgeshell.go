package reversal

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// judgeStructure judges what fastens the work to the car; alterations of the shell are judged with the others.
func (m *maker) judgeStructure() {
	if m.root == "" {
		m.against(Reason{Code: "no-root", Topic: Structure, Outcome: CannotSay, Records: carRecord(m.w),
			Text: "no shell or frame is named as the one that bears the identity of the car", Settle: "name it as root in car.json"})
	}
	for _, a := range m.attachments() {
		switch {
		case a.Explained && a.Drilled: // accounted for, and judged with the alterations: it holds nothing up
			continue
		case a.Explained:
			m.supports(Structure, a.Joint, a.Why, a.Records...)
			continue
		}
		m.against(Reason{Code: "holes-not-explained", Topic: Structure, Outcome: CannotSay, Thing: a.Joint, Records: append(a.Against, a.Records...),
			Text:   m.called(a.Joint) + ": " + a.Why,
			Settle: "record which original joint or existing hole it uses, with a dated photo or survey from before, or record the alteration"})
	}
	m.judgeSuppliers()
}

func carRecord(w *replay.Work) []record.Ref {
	if car, _ := w.Car(); car != nil {
		return []record.Ref{car.ID}
	}
	return nil
}

// judgeSuppliers holds the steps of suppliers' instructions that take material against the register of alterations: where a
// fitted part was to be drilled for and neither an alteration nor existing holes are on record, the records contradict.
func (m *maker) judgeSuppliers() {
	for _, p := range ledger.All[record.Paper](m.w.Snapshot()) {
		if !replay.StandingOf(m.w.Snapshot(), p.Record) {
			continue
		}
		for _, step := range p.Body.CallsFor {
			for _, part := range m.shownParts(p) {
				m.judgeInstruction(p, step, part)
			}
		}
	}
}

// shownParts lists the fitted parts that a paper is about.
func (m *maker) shownParts(p ledger.Entry[record.Paper]) []record.Ref {
	var list []record.Ref
	note := func(ref record.Ref) {
		if s, ok := m.now.Part(ref); ok && !m.atBase(s.Ref) && s.Where.Place == replay.OnCar && !slices.Contains(list, s.Ref) {
			list = append(list, s.Ref)
		}
	}
	for _, ref := range p.Body.Shows {
		note(ref)
		if j, ok := m.w.Joint(ref); ok {
			for _, c := range j.Clamps {
				note(c)
			}
		}
	}
	for _, use := range m.w.Snapshot().Uses(p.ID) {
		note(use.From.ID)
	}
	for i := range m.effects {
		l := m.effects[i].line.Body
		if l.Act == "fitting" && slices.Contains(l.Papers, p.ID) {
			for _, ref := range l.Parts {
				note(ref)
			}
		}
	}
	return list
}

func (m *maker) judgeInstruction(p ledger.Entry[record.Paper], step record.Instruction, part record.Ref) {
	info, _ := m.w.Part(part)
	joints := 0
	for _, ref := range info.Joints {
		s, _ := m.now.Joint(ref)
		j, _ := m.w.Joint(ref)
		if s.Done == replay.Undone {
			continue
		}
		joints++
		if m.holdsToFound(j) && !m.explain(j).Explained {
			joints = 0
			break
		}
	}
	if joints > 0 {
		return // fastened without what the supplier asked for, and the records tell how
	}
	s, _ := m.now.Part(part)
	l, _ := m.now.Line(s.Since)
	what := step.Does
	if step.Count > 0 && step.Size != "" {
		what += fmt.Sprintf(" %d × %s", step.Count, step.Size)
	}
	at := ""
	if step.Step != "" {
		at = "step " + step.Step + " of "
	}
	m.against(Reason{Code: "supplier-step-not-accounted-for", Topic: Structure, Outcome: CannotSay, Thing: part, Records: append(sessions(l), p.ID),
		Text:   fmt.Sprintf("%s%s calls for %s, and for %s neither an alteration nor the existing holes it uses are on record", at, m.called(p.ID), what, m.called(part)),
		Settle: "record the alteration, or how the supplier's step was departed from"}, append(info.Joints, part)...)
}

// judgeConsumables judges what has to be renewed or filled.
func (m *maker) judgeConsumables(plan []planned) {
	for _, was := range m.base.Parts() {
		info, _ := m.w.Part(was.Ref)
		_, wanted := m.target.on[was.Ref]
		now, _ := m.now.Part(was.Ref)
		if was.Where.Place == replay.OnCar && wanted && isExpendable(info) && now.Where.Place != replay.OnCar {
			l, _ := m.now.Line(now.Since)
			m.against(Reason{Code: "renew", Topic: Consumable, Outcome: Consumables, Thing: was.Ref, Records: sessions(l),
				Text: countText(info.Body.Count) + m.called(was.Ref) + ": renewed each time"}, was.Ref)
		}
	}
	for _, ref := range jointsToDo(plan) {
		m.judgeFasteners(ref)
	}
	for _, f := range m.now.Fills() {
		if m.emptied(f) {
			m.judgeFill(f)
		}
	}
}

func countText(n int64) string {
	if n > 0 {
		return fmt.Sprintf("%d × ", n)
	}
	return ""
}

// jointsToDo lists the joints that the plan does up or tightens.
func jointsToDo(plan []planned) []record.Ref {
	var list []record.Ref
	seen := map[record.Ref]bool{}
	for _, s := range plan {
		if s.kind != PutBack && s.kind != BenchStep && s.kind != TightenStep {
			continue
		}
		for _, j := range s.line.Joints {
			if !seen[j] {
				seen[j] = true
				list = append(list, j)
			}
		}
	}
	slices.Sort(list)
	return list
}

// judgeFasteners judges the fasteners of a joint that has to be done up.
func (m *maker) judgeFasteners(ref record.Ref) {
	j, _ := m.w.Joint(ref)
	s, _ := m.now.Joint(ref)
	l, _ := m.now.Line(s.Since)
	renew := func(code, text string) {
		m.against(Reason{Code: code, Topic: Consumable, Outcome: Consumables, Thing: ref, Records: sessions(l), Text: m.called(ref) + ": " + text}, ref)
	}
	var single, unknown []string
	for _, f := range j.Body.Fasteners {
		what := strings.TrimSpace(countText(f.Count) + strings.TrimSpace(f.What+" "+f.Size))
		switch f.SingleUse {
		case "yes":
			single = append(single, what)
		case "", "unknown":
			unknown = append(unknown, what)
		}
	}
	n, known := fastenersOf(j.Body)
	switch {
	case len(single) > 0:
		renew("single-use", strings.Join(single, "; ")+": used once only")
	case len(unknown) > 0:
		renew("single-use-not-recorded", strings.Join(unknown, "; ")+": whether they are used once only is not recorded, so have new ones at hand")
	case len(j.Body.Fasteners) == 0:
		renew("fasteners-not-recorded", "its fasteners are not recorded, so have some at hand")
	case s.Done == replay.Undone && s.Counted && known && s.Fasteners < n:
		renew("fasteners-short", fmt.Sprintf("%d of %d fasteners were counted into bag %s", s.Fasteners, n, s.Bag))
	case s.Done == replay.Undone && !s.Counted && s.Since != replay.NoStep:
		renew("fasteners-not-counted", "its fasteners were not counted when it was undone, so have new ones at hand")
	}
}

func (m *maker) judgeFill(f replay.FillState) {
	l, _ := m.now.Line(f.Since)
	system := m.system(f.Ref)
	text := m.called(f.Ref)
	if system.Fill != nil {
		if system.Fill.Quantity != "" {
			text += ", " + string(system.Fill.Quantity)
		}
		if system.Fill.Of != "" {
			text += " of " + system.Fill.Of
		}
	}
	m.against(Reason{Code: "fill", Topic: Consumable, Outcome: Consumables, Thing: f.Ref, Records: sessions(l), Text: text + ": drained, to be filled"}, f.Ref)
}
