package dossier

import (
	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// tightenings lists every tightening beside what was specified for its joint. It
// does not say whether one meets the other.
func (b *book) tightenings() *doc.Section {
	s := doc.NewSection("tightenings", "Tightenings")
	t := doc.NewTable("Tightenings in recorded order", doc.Col("Joint", 4), doc.Col("Specified", 4), doc.Col("As done", 4), doc.Col("Instrument", 5), doc.Col("Second check", 4))
	t.ID = "tightened"
	for _, one := range b.log.sessions {
		for i := range one.body.Lines {
			if l := &one.body.Lines[i]; l.Act == "tightening" {
				b.addTightening(t, one, i, l)
			}
		}
	}
	if t.Rows() == 0 {
		s.Add(doc.Para("No tightening is on record. That does not say that nothing was tightened."))
	} else {
		s.Add(doc.Para("What was specified and what was done stand side by side; neither is judged here. A joint that was disturbed after its tightening is not tightened by it."), t)
	}
	b.addUntightened(s)
	return s
}

func (b *book) addTightening(t *doc.Table, one *session, i int, l *record.Line) {
	joints := l.Joints
	if len(joints) == 0 {
		joints = []record.Ref{""}
	}
	for _, id := range joints {
		t.Row(b.name(id), b.specified(id), b.done(one, i, l), b.toolCell(one, l), b.secondCheck(id, l))
	}
}

func (b *book) specified(id record.Ref) doc.Text {
	joint, ok := ledger.Get[record.Joint](b.s, id)
	if !ok || joint.Body.Specification == nil {
		return doc.Text{doc.Missing("")}
	}
	spec := joint.Body.Specification
	t := doc.Text{asRead(spec.Torque)}
	if spec.Angle != "" {
		t = t.And(" plus {}", asRead(spec.Angle))
	}
	if spec.Tolerance != "" {
		t = t.And(", tolerance {}", asRead(spec.Tolerance))
	}
	t = t.And("; thread {}; source: {}", stated(spec.Surface), stated(spec.Source))
	return t.From(b.source(joint.Record, "/specification"))
}

func (b *book) done(one *session, i int, l *record.Line) doc.Text {
	t := doc.Say("{}, set to {}", stated(l.Method), asRead(l.Set))
	if l.Indicated != "" {
		t = t.And(", indicated {}", asRead(l.Indicated))
	}
	if l.Angle != "" {
		t = t.And(", then turned {}", asRead(l.Angle))
	}
	t = t.And("; {}, {}", dayOr(lineDay(one)), b.called(one.body.By))
	return t.From(b.source(one.Record, canon.ElementPointer("/lines", i)))
}

func (b *book) toolCell(one *session, l *record.Line) doc.Text {
	if l.Instrument == "" {
		return doc.Text{doc.Missing("")}
	}
	return doc.Say("{}, {}", b.called(l.Instrument), b.calibrationOn(l.Instrument, date(lineDay(one))))
}

func (b *book) secondCheck(id record.Ref, l *record.Line) doc.Text {
	if l.SecondCheck != "" {
		return doc.Say("by {}", b.called(l.SecondCheck))
	}
	if joint, ok := ledger.Get[record.Joint](b.s, id); ok && joint.Body.Specification != nil {
		switch joint.Body.Specification.SecondCheck {
		case "required":
			return doc.Say("{}", doc.Missing("required, and none on record"))
		case "not required":
			return doc.Say("not required")
		}
	}
	return doc.Text{doc.Missing("")}
}

// untightened lists the joints that the records have together, that have a
// specification, and of which no tightening is on record.
func (b *book) untightened() []*record.Record {
	done := map[record.Ref]bool{}
	for _, one := range b.log.sessions {
		for _, l := range one.body.Lines {
			for _, id := range l.Joints {
				if r := b.s.Current(id); r != nil && l.Act == "tightening" {
					done[r.ID] = true
				}
			}
		}
	}
	var list []*record.Record
	for _, j := range ledger.All[record.Joint](b.s) {
		if j.Body.Specification != nil && !done[j.ID] && b.made(j.Body) {
			list = append(list, j.Record)
		}
	}
	return list
}

// made tells whether a line fitted a part that a joint clamps, and no line has
// one of them off the car.
func (b *book) made(j *record.Joint) bool {
	fitted := false
	for _, part := range j.Clamps {
		switch w := b.log.of(part); w.location {
		case onCar:
			fitted = true
		case stored, unplaced, withSomebody, becameOther, leftForGood:
			return false
		}
	}
	return fitted
}

func (b *book) addUntightened(s *doc.Section) {
	list := doc.Bullets()
	for _, r := range b.untightened() {
		list.Items = append(list.Items, doc.Item{Text: doc.Say("{}: {}", titleOf(r), b.specified(r.ID))})
	}
	if len(list.Items) > 0 {
		s.Add(doc.Para("Joints that lines have put together, with a specification and without a tightening on record:"), list)
	}
}
