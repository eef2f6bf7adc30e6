package dossier

import (
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/reversal"
)

// Reversal is a reversal statement as a document of its own: what it would take to restore a baseline, line by line with the
// records for and against; the work order on sheets for the bench, with its drawings; and what is where. The input holds the
// statement and the drawings.
func Reversal(in Input, o reversal.Originality) *doc.Document {
	b, st := open(in), in.Reversal
	sections := []*doc.Section{b.statement(st), b.workOrder(st, in.Drawn.Order)}
	if in.Drawn.Plan.Drawing != nil {
		sections = append(sections, planFigure(in.Drawn.Plan))
	}
	return &doc.Document{
		Title: b.title(), Subtitle: "Reversal statement and work order: back to the baseline " + "“" + st.Baseline + "”", Language: "en",
		Provenance: b.provenance(), Sections: oneLined(append(sections, Originality(o))...),
	}
}

// statement is what is said before any work: the outcome, its lines, and what they rest on.
func (b *book) statement(st *reversal.Statement) *doc.Section {
	s := doc.NewSection("reversal", "What it would take to put it back")
	s.Add(doc.Lead("{}.", doc.Strong(capital(st.Outcome.String()))))
	for _, sentence := range st.Header {
		s.Add(doc.Para("{}", sentence))
	}
	s.Add(lawOfWayBack(st)...)
	if len(st.Suppose) > 0 {
		s.Add(b.supposed(st.Suppose))
	}
	for _, l := range st.Lines {
		s.Add(b.reversalLine(l))
	}
	s.Add(b.floors(st.Floors), b.attachments(st.Attachments), b.purposeful(st.Purposeful), b.different(st))
	return s
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
	s.Add(b.floors(st.Floors), b.purposeful(st.Purposeful), doc.Para("The work order: {}", workOf(st)), b.different(st))
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
	switch held := b.heldUp(l.For); {
	case len(held.Items) == 0:
	case b.brief() && l.Topic == reversal.Structure && b.allNamed(l.For):
		s.Add(b.joinsHeldUp(l.For))
	case b.brief():
		s.Add(doc.Para("Records that hold this up:"), b.heldUpTogether(l.For))
	default:
		s.Add(doc.Para("Records that hold this up:"), held)
	}
	if len(s.Blocks) == 0 {
		s.Add(doc.Para("{}.", capital(l.Text)))
	}
	return s
}

// named gives, for each text of a support that begins with the name of one of its records, that name: then names can stand
// together for what is said of each.
func (b *book) named(list []reversal.Support) map[string]string {
	names := map[string]string{}
	for _, f := range list {
		if r := b.s.Current(f.Record); r != nil && strings.HasPrefix(f.Text, titleOf(r)+": ") {
			names[f.Text] = titleOf(r)
		}
	}
	return names
}

// allNamed tells whether names alone can stand for all of the supports.
func (b *book) allNamed(list []reversal.Support) bool {
	names := b.named(list)
	return !slices.ContainsFunc(list, func(f reversal.Support) bool { return names[f.Text] == "" })
}

// joinsHeldUp names what holds the line of the shell up; why each does is in the statement itself.
func (b *book) joinsHeldUp(list []reversal.Support) *doc.Paragraph {
	var names []string
	var shown []doc.Span
	for _, f := range list {
		if r := b.s.Current(f.Record); r != nil && strings.HasPrefix(f.Text, titleOf(r)+": ") {
			names, shown = append(names, titleOf(r)), append(shown, b.source(r, ""))
		}
	}
	return doc.Para("What holds this up: {}. Why each of them does, the verb {} says.", doc.Text{doc.Plain(strings.Join(names, "; "))}.From(b.few(shown)...), doc.Literal("reversal"))
}

// heldUpTogether says what is the same of several parts or joints once, with all their names; what names none stands as it is.
func (b *book) heldUpTogether(list []reversal.Support) *doc.List {
	var said []string
	names, shown := map[string][]string{}, map[string][]doc.Span{}
	named := b.named(list)
	for _, f := range list {
		name := named[f.Text]
		r := b.s.Current(f.Record)
		if name != "" && (r == nil || titleOf(r) != name) {
			continue // another record of what the named one says
		}
		text := strings.TrimPrefix(f.Text, name+": ")
		if shown[text] == nil {
			said = append(said, text)
		}
		if name != "" {
			names[text] = append(names[text], name)
		}
		shown[text] = append(shown[text], b.pathOf(f.Record))
	}
	bullets := doc.Bullets()
	for _, text := range said {
		says := doc.Say("{}: {}", capital(text), strings.Join(names[text], "; "))
		switch len(names[text]) {
		case 0:
			says = doc.Say("{}", capital(text))
		case 1:
			says = doc.Say("{}: {}", names[text][0], text)
		}
		bullets.Items = append(bullets.Items, doc.Item{Text: says.From(b.few(shown[text])...)})
	}
	return bullets
}

// heldUp says each thing once, with all the records that show it.
func (b *book) heldUp(list []reversal.Support) *doc.List {
	var said []string
	shown := map[string][]doc.Span{}
	for _, f := range list {
		if shown[f.Text] == nil {
			said = append(said, f.Text)
		}
		shown[f.Text] = append(shown[f.Text], b.pathOf(f.Record))
	}
	bullets := doc.Bullets()
	for _, text := range said {
		bullets.Items = append(bullets.Items, doc.Item{Text: doc.Say("{}", capital(text)).From(b.few(shown[text])...)})
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
		switch {
		case f.Empty:
			word = "not judged"
		case f.Met:
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

// different lists what stays different after the work order was run through the same replay.
func (b *book) different(st *reversal.Statement) doc.Block {
	s := doc.NewSection("reversal-different", "What would stay different")
	if len(st.Different) == 0 {
		s.Add(doc.Para("Run through the same replay as the work itself, the steps leave nothing different from the baseline on the records."))
		if st.Outcome == reversal.CannotSay {
			s.Add(doc.Para("The records are too thin for that to say much: what nobody wrote down cannot differ."))
		}
		return s
	}
	bullets := doc.Bullets()
	for _, d := range st.Different {
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
