package dossier

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/figure"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/reversal"
)

// workOrder is the steps in order, each with a box to tick, on sheets of their own that can be taken to the car.
func (b *book) workOrder(st *reversal.Statement, drawn []figure.Picture) *doc.Section {
	s := doc.NewSection("work-order", "Work order")
	s.NewPage = true
	if len(st.Steps) == 0 {
		s.Add(doc.Para("Nothing is on record that would have to be done."))
		return s
	}
	s.Add(doc.Lead("{} To restore: {}. By the statement: {}.", doc.NotExamined, doc.Strong(st.Baseline), st.Outcome.String()))
	if len(st.Suppose) > 0 {
		s.Add(b.supposed(st.Suppose))
	}
	s.Add(doc.Para("{} What the records do not know of can come in between; whoever does the work decides at the car. A tick here records nothing: what was done is recorded as a session of its own.", workOf(st)))
	s.Add(b.beforeTheWork(st.Steps)...)
	list := doc.Steps()
	list.Boxes = true
	for _, step := range st.Steps {
		list.Items = append(list.Items, b.step(step))
	}
	s.Add(list, doc.Para("Done by {}  on {}  and seen by {}", penLine, penLine, penLine))
	for _, p := range drawn {
		s.Add(drawingOf(p))
	}
	return s
}

// workOf says how much work it is, by the time that the same work took the other way.
func workOf(st *reversal.Statement) doc.Text {
	steps := count(len(st.Steps), "step")
	if st.Minutes == 0 {
		return doc.Say("{}; of the time they take nothing is recorded.", steps)
	}
	text := doc.Say("{}, about {} by the time that the same work took the other way", steps, hours(st.Minutes))
	if st.Untimed == 0 {
		return text.And("; tightening counts with the step before it.")
	}
	return text.And("; for {} of them no time is recorded, and tightening counts with the step before it.", st.Untimed)
}

// beforeTheWork are the long cautions of the hazards that the steps meet, once; the short ones stand beside each step.
func (b *book) beforeTheWork(steps []reversal.Step) []doc.Block {
	met := map[string]bool{}
	for _, step := range steps {
		met["heavy"] = met["heavy"] || step.GravityBefore != ""
		for _, ref := range slices.Concat(step.Line.Parts, b.systemParts(step.Line.System)) {
			for _, h := range b.hazardsOf(ref) {
				met[h.word] = true
			}
		}
	}
	var list []doc.Block
	for _, h := range hazardsNamed(met) {
		list = append(list, doc.Warn(h.kind, "{} {}", h.long, local))
	}
	return list
}

// systemParts lists the parts of a system; of none, none.
func (b *book) systemParts(ref record.Ref) []record.Ref {
	if e, ok := ledger.Get[record.System](b.s, ref); ok {
		return e.Body.Parts
	}
	return nil
}

// planFigure is the car from above with what sits where, and what that picture cannot know.
func planFigure(p figure.Picture) *doc.Section {
	return doc.NewSection("what-sits-where", "What sits where",
		doc.Para("Computed from the records; the car was not examined. A number stands at the centre of mass that the record states; cables are drawn straight between what they are fastened to, and their route is not shown. Nothing here says that a part or cable is dead."),
		drawingOf(p))
}

func drawingOf(p figure.Picture) *doc.Figure {
	return &doc.Figure{ID: p.ID, Caption: doc.Say("{}", doc.Plain(p.Title)), Alt: p.Alt, Drawing: p.Drawing}
}

func hours(minutes int) string {
	if minutes < 60 {
		return count(minutes, "minute")
	}
	return fmt.Sprintf("%d h %02d min", minutes/60, minutes%60)
}

// step is one step with its parts, joints and cautions beside it.
func (b *book) step(step reversal.Step) doc.Item {
	text := doc.Say("{}", capital(step.Text))
	if step.Minutes > 0 {
		text = text.And("; about {}", hours(step.Minutes)).From(b.pathOf(step.From))
	}
	item := doc.Item{Text: text}
	for _, c := range step.Cautions {
		kind, words, ok := strings.Cut(c, ": ")
		if !ok {
			kind, words = "caution", c
		}
		item = item.With(doc.Warn(capital(kind), "{}. {}", capital(words), local))
	}
	for _, l := range step.Law {
		item = item.With(doc.Warn("What the law may forbid", "{}. The authority decides.", capital(l)))
	}
	if details := b.stepDetails(step); len(details.Items) > 0 {
		item = item.With(details)
	}
	return item
}

// stepDetails lists the parts of a step with tag and place, its joints, and the balance of the car around a heavy lift.
func (b *book) stepDetails(step reversal.Step) *doc.List {
	details := doc.Bullets()
	for _, p := range step.Parts {
		details.Items = append(details.Items, doc.Point("{}: tag {}, {}, mass {}", p.Name, stated(p.Tag), p.Where, stated(p.Mass)))
	}
	for _, j := range step.Joints {
		details.Items = append(details.Items, b.stepJoint(step.Kind, j))
	}
	switch {
	case step.GravityBefore == "":
	case step.GravityBefore == step.GravityAfter:
		details.Items = append(details.Items, doc.Point("Centre of gravity before and after: {}", step.GravityBefore))
	default:
		details.Items = append(details.Items, doc.Point("Centre of gravity before: {}; after: {}", step.GravityBefore, stated(step.GravityAfter)))
	}
	return details
}

// stepJoint says what is done to a joint: undone, done up from its bag, or tightened as specified.
func (b *book) stepJoint(kind reversal.StepKind, j reversal.StepJoint) doc.Item {
	if kind == reversal.TightenStep {
		return doc.Item{Text: doc.Say("{}: {}", b.name(j.Ref), j.Tightening)}
	}
	text := doc.Say("Do up {}", b.name(j.Ref))
	if kind == reversal.TakeOff || kind == reversal.SplitStep {
		text = doc.Say("Undo {}", b.name(j.Ref))
	} else if j.Bag != "" {
		text = text.And("; bag {}, {}", j.Bag, count(int(j.Counted), "fastener"))
	}
	for _, f := range j.Fasteners {
		text = text.And("; {}", fastenerText(f))
	}
	if len(j.Fasteners) == 0 {
		text = text.And("; its fasteners are not recorded")
	}
	return doc.Item{Text: text}
}

func fastenerText(f record.Fastener) doc.Text {
	text := doc.Say("{} × {} {}", stated(countText(f.Count)), stated(f.What), stated(f.Size))
	if f.Class != "" {
		text = text.And(", class {}", f.Class)
	}
	if f.SingleUse == "yes" {
		text = text.And(", {}", doc.Strong("renew: single use"))
	}
	return text
}

func countText(n int64) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}
