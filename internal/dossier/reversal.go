package dossier

import (
	"fmt"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/figure"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/reversal"
)

// Reversal prints a reversal statement: what it would take to restore a baseline, line by line with the records for and
// against, and then the work order and its drawings.
func Reversal(s *ledger.Snapshot, st *reversal.Statement, drawn reversal.Drawings) *doc.Section {
	b := open(Input{Snapshot: s})
	section := doc.NewSection("reversal", "Reversal statement: "+st.Baseline)
	for i, sentence := range st.Header {
		if i == 0 {
			section.Add(doc.Lead("{}", sentence))
		} else {
			section.Add(doc.Para("{}", sentence))
		}
	}
	section.Add(b.origin(st))
	section.Add(lawOfWayBack(st)...)
	if len(st.Suppose) > 0 {
		section.Add(b.supposed(st.Suppose))
	}
	section.Add(doc.Lead("{}.", doc.Strong(capital(st.Outcome.String()))))
	for _, l := range st.Lines {
		section.Add(b.reversalLine(l))
	}
	section.Add(b.floors(st.Floors), b.attachments(st.Attachments), b.purposeful(st.Purposeful), b.workOrder(st, drawn.Order), b.different(st.Different))
	if drawn.Plan.Drawing != nil {
		section.Add(planFigure(drawn.Plan))
	}
	return oneLined(section)[0]
}

// wayBack is the statement in the dossier: its three lines, what they come to, and how much work; the work order itself is
// printed by the verb.
func (b *book) wayBack() *doc.Section {
	s := doc.NewSection("way-back", "What it would take to put it back")
	st := b.in.Reversal
	if st == nil {
		s.Add(doc.Para("No reversal statement was made for this document."))
		return s
	}
	s.Add(doc.Lead("{}.", doc.Strong(capital(st.Outcome.String()))))
	for _, sentence := range st.Header {
		s.Add(doc.Para("{}", sentence))
	}
	s.Add(lawOfWayBack(st)...)
	for _, l := range st.Lines {
		s.Add(b.reversalLine(l))
	}
	s.Add(b.floors(st.Floors), b.purposeful(st.Purposeful), doc.Para("The work order has {}, about {} by the time the same work took the other way; for {} of them no time is recorded.",
		count(len(st.Steps), "step"), hours(st.Minutes), st.Untimed), b.different(st.Different))
	if plan := b.in.Drawn.Plan; plan.Drawing != nil {
		s.Add(planFigure(plan))
	}
	if len(b.in.Drawn.Order) == 0 || b.brief() {
		return s
	}
	s.Add(doc.Para("Which step of the work order waits for which; the numbers are those of its steps, which the verb {} prints.", doc.Literal("reversal")))
	for _, p := range b.in.Drawn.Order {
		s.Add(drawingOf(p))
	}
	return s
}

// lawOfWayBack warns of what authorities are said to say of the way back.
func lawOfWayBack(st *reversal.Statement) []doc.Block {
	var blocks []doc.Block
	for _, sentence := range st.Law {
		blocks = append(blocks, doc.Warn("The law and the way back", "{} The authority decides.", sentence))
	}
	return blocks
}

// origin names the car, the workshop, the commit and the day.
func (b *book) origin(st *reversal.Statement) *doc.Facts {
	f := doc.FactsOf(doc.Is("Car", "{}", st.Car), doc.Is("Baseline to restore", "{}", st.Baseline), doc.Is("Workshop", "{}", stated(st.Workshop)))
	f.Add("Records as of commit", "{}", stated(st.Commit))
	f.Add("Day", "{}", stated(st.On))
	return f
}

func (b *book) supposed(list []reversal.Supposition) *doc.Caution {
	var parts []doc.Text
	for _, one := range list {
		parts = append(parts, doc.Say("{} is {}", b.called(one.Part), one.Gone))
	}
	return doc.Warn("Supposed, not recorded", "This statement assumes that {}.", joinTexts(parts, ", "))
}

// reversalLine is one of the three lines with its reasons and the records for it.
func (b *book) reversalLine(l reversal.Line) *doc.Section {
	s := doc.NewSection(doc.Anchor("reversal "+string(l.Topic)), capital(string(l.Topic))+": "+l.Outcome.String())
	against := doc.Bullets()
	for _, r := range l.Reasons {
		item := doc.Say("{}", capital(r.Text))
		if r.Safety {
			item = doc.Say("{}: {}", doc.Strong("A safety decision"), r.Text)
		}
		if r.Settle != "" {
			item = item.And("; to settle it: {}", r.Settle)
		}
		against.Items = append(against.Items, doc.Item{Text: item.From(b.paths(r.Records)...)})
	}
	if len(against.Items) > 0 {
		s.Add(doc.Para("What it comes to, with the records that show it:"), against)
	}
	if held := b.heldUp(l.For); len(held.Items) > 0 {
		s.Add(doc.Para("Records that hold this up:"), held)
	}
	if len(s.Blocks) == 0 {
		s.Add(doc.Para("{}.", capital(l.Text)))
	}
	return s
}

// heldUp says each thing once, with all the records that show it.
func (b *book) heldUp(list []reversal.Support) *doc.List {
	bullets := doc.Bullets()
	place := map[string]int{}
	for _, f := range list {
		i, ok := place[f.Text]
		if !ok {
			i = len(bullets.Items)
			place[f.Text] = i
			bullets.Items = append(bullets.Items, doc.Item{Text: doc.Say("{}", capital(f.Text))})
		}
		bullets.Items[i].Text = bullets.Items[i].Text.From(b.pathOf(f.Record))
	}
	return bullets
}

func (b *book) paths(ids []record.Ref) []doc.Span {
	var spans []doc.Span
	for _, id := range ids {
		spans = append(spans, b.pathOf(id))
	}
	return spans
}

// floors prints how thick the records must be for anything to be said at all.
func (b *book) floors(floors []reversal.Floor) doc.Block {
	t := doc.NewTable("How much the records must hold before anything is said", doc.Col("What", 6), doc.Col("Asked", 4), doc.Col("On record", 4), doc.Col("", 2))
	for _, f := range floors {
		word := "not met"
		if f.Met {
			word = "met"
		}
		t.Row(f.What, f.Asked, f.Have, word)
	}
	if t.Rows() == 0 {
		return doc.Para("No floor was asked.")
	}
	t.Columns[3].Header = "Outcome"
	return t
}

// attachments says for each joint of a conversion part where its holes come from.
func (b *book) attachments(list []reversal.Attachment) doc.Block {
	if len(list) == 0 {
		return doc.Para("No joint of a conversion part to the car is on record.")
	}
	t := doc.NewTable("What the conversion is fastened with, and where the holes come from", doc.Col("Joint", 4), doc.Col("Its holes", 3), doc.Col("Why", 6))
	for _, a := range list {
		word := "not known"
		switch {
		case a.Drilled:
			word = "made for it"
		case a.Explained:
			word = "older than the work"
		}
		t.Row(b.name(a.Joint), word, doc.Say("{}", a.Why).From(b.paths(a.Records)...))
	}
	return t
}

// purposeful lists work done for other purposes: it is not undone.
func (b *book) purposeful(notes []reversal.Note) doc.Block {
	if len(notes) == 0 {
		return doc.Para("No work for another purpose than conversion is on record.")
	}
	list := doc.Bullets()
	for _, n := range notes {
		list.Items = append(list.Items, doc.Item{Text: doc.Say("{}", capital(n.Text)).From(b.paths(n.Records)...)})
	}
	return doc.NewSection("reversal-purposeful", "Done on purpose, and not to be undone", list)
}

// workOrder is the steps in order.
func (b *book) workOrder(st *reversal.Statement, drawn []figure.Picture) *doc.Section {
	s := doc.NewSection("work-order", "Work order")
	if len(st.Steps) == 0 {
		s.Add(doc.Para("Nothing is on record that would have to be done."))
		return s
	}
	s.Add(doc.Para("{}, about {} by the time the same work took the other way; for {} of them no time is recorded.",
		count(len(st.Steps), "step"), hours(st.Minutes), st.Untimed))
	list := doc.Steps()
	for _, step := range st.Steps {
		list.Items = append(list.Items, b.step(step))
	}
	s.Add(list)
	for _, p := range drawn {
		s.Add(drawingOf(p))
	}
	return s
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
	details := doc.Bullets()
	for _, p := range step.Parts {
		details.Items = append(details.Items, doc.Point("{}: tag {}, {}, mass {}", p.Name, stated(p.Tag), p.Where, stated(p.Mass)))
	}
	for _, j := range step.Joints {
		details.Items = append(details.Items, b.stepJoint(j))
	}
	if step.GravityBefore != "" {
		details.Items = append(details.Items, doc.Point("Centre of gravity before: {}; after: {}", step.GravityBefore, stated(step.GravityAfter)))
	}
	if len(details.Items) > 0 {
		item = item.With(details)
	}
	for _, c := range step.Cautions {
		kind, words, ok := strings.Cut(c, ": ")
		if !ok {
			kind, words = "caution", c
		}
		item = item.With(doc.Warn(capital(kind), "{}. Local codes and licensed practice decide.", capital(words)))
	}
	for _, l := range step.Law {
		item = item.With(doc.Warn("What the law may forbid", "{}", l))
	}
	return item
}

func (b *book) stepJoint(j reversal.StepJoint) doc.Item {
	text := doc.Say("{}: {}", b.name(j.Ref), j.Tightening)
	if j.Bag != "" {
		text = text.And("; bag {}, {}", j.Bag, count(int(j.Counted), "fastener"))
	}
	for _, f := range j.Fasteners {
		text = text.And("; {}", fastenerText(f))
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

// different lists what stays different after the work order was run through the same replay.
func (b *book) different(list []reversal.Difference) doc.Block {
	s := doc.NewSection("reversal-different", "What would stay different")
	if len(list) == 0 {
		s.Add(doc.Para("Run through the same replay as the work itself, the steps leave nothing different from the baseline on the records."))
		return s
	}
	bullets := doc.Bullets()
	for _, d := range list {
		bullets.Items = append(bullets.Items, doc.Item{Text: doc.Say("{}", capital(d.Text)).From(b.pathOf(d.Thing))})
	}
	s.Add(bullets)
	return s
}

// Rechecked says what a recheck of a stored statement found.
func Rechecked(changes []reversal.Change) *doc.Section {
	s := doc.NewSection("recheck", "Recheck of a stored statement")
	if len(changes) == 0 {
		s.Add(doc.Lead("Its own steps, replayed on the records as they are now, give the same statement."))
		return s
	}
	s.Add(doc.Lead("The records have changed since: {} differ.", count(len(changes), "thing")))
	list := doc.Bullets()
	for _, c := range changes {
		list.Items = append(list.Items, doc.Point("{}: {}", capital(c.What), c.Text))
	}
	s.Add(list)
	return oneLined(s)[0]
}
