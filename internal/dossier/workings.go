package dossier

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/workings"
)

// Workings is a page of an engineer's notebook for each working: its answer, the
// steps with the numbers put in, the inputs with the place where each is
// recorded, the verdicts under their decision rule, what was assumed and what is
// missing. The order is that of the list; headings stand where the subject
// changes, with the subject's pictures below them; pictures may be nil.
func Workings(list []workings.Working, pictures func(workings.Subject) []workings.Picture) []*doc.Section {
	var sections []*doc.Section
	var subject *doc.Section
	of := workings.Subject("")
	for i := range list {
		w := &list[i]
		if subject == nil || w.Subject != of {
			of = w.Subject
			subject = doc.NewSection(doc.Anchor("workings-"+string(of)), of.Title())
			sections = append(sections, subject)
			if pictures != nil {
				for _, p := range pictures(of) {
					subject.Add(drawingOf(p))
				}
			}
		}
		subject.Add(working(w))
	}
	if len(sections) == 0 {
		sections = append(sections, doc.NewSection("workings", "Workings", doc.Para("There is no working to show.")))
	}
	return oneLined(sections...)
}

// WorkingsOf stands over workings that are printed by themselves: of which car,
// day and revision they are, and that nobody looked at the car.
func WorkingsOf(h workings.Heading) *doc.Section {
	of := h.Cars
	if h.Car != "" {
		of = []workings.CarHeading{{Car: h.Car, Commit: h.Commit}}
	}
	var cars []string
	for _, one := range of {
		words := one.Car
		if one.Commit != "" {
			words += " at commit " + one.Commit
		}
		cars = append(cars, words)
	}
	s := doc.NewSection("workings-of", "Workings")
	text := doc.Say("As the records leave it on {}: {}", doc.Plain(h.Day), doc.Plain(strings.Join(cars, ", ")))
	if h.Workshop != "" {
		text = text.And("; kept by {}", doc.Plain(h.Workshop))
	}
	s.Add(&doc.Paragraph{Lead: true, Text: text.And(". {}", doc.Plain(doc.NotExamined))})
	return oneLined(s)[0]
}

// WorkingsSummary is the chapter of a dossier: one line a working, with its
// answer and the outcome that a reader must see first. The pages themselves are
// on demand.
func WorkingsSummary(list []workings.Working) *doc.Section {
	s := doc.NewSection("workings", "Workings",
		doc.Para("Every sum is computed from the records and shown with its steps by the verb {}. A sum whose input is not recorded says what it needs; nothing is filled in. Where a formula or limit rests on memory and not on a text that was read, its page says so.", doc.Literal("workings")))
	t := doc.NewTable("Workings by subject", doc.Col("What", 5), doc.Col("Answer", 6), doc.Col("Outcome", 2))
	t.ID = "workings-table"
	of := workings.Subject("")
	for i := range list {
		w := &list[i]
		if w.Subject != of {
			of = w.Subject
			t.Group(of.Title())
		}
		t.Row(doc.Cell{Text: doc.Say("{}", doc.Plain(w.Title))}, doc.Cell{Text: answerText(w)}, doc.Cell{Text: doc.Say("{}", doc.Plain(string(w.Worst())))})
	}
	if len(list) == 0 {
		s.Add(doc.Para("There is no working to show."))
	} else {
		s.Add(doc.Para("{}", doc.Plain(workingsCount(list))), t)
	}
	s.Add(workingCautions(list)...)
	return oneLined(s)[0]
}

// answerText is the answer with what is missing set apart, and the first records that went in; its page names all.
func answerText(w *workings.Working) doc.Text {
	const most = 2
	t := doc.Say("{}", doc.Plain(w.Answer))
	if !w.Computed() {
		t = doc.Text{doc.Missing(w.Answer)}
	}
	var from []doc.Span
	seen := map[string]bool{}
	for _, in := range w.Inputs {
		if in.Path != "" && !seen[in.Path] {
			seen[in.Path] = true
			from = append(from, doc.FromRecord(in.Path, in.Line))
		}
	}
	for _, about := range w.About {
		if path := record.PathOf(about); !seen[path] && !slices.ContainsFunc(w.Inputs, func(in workings.Input) bool { return in.Path != "" }) {
			seen[path] = true
			from = append(from, doc.FromRecord(path, 0))
		}
	}
	return t.From(atMost(from, most)...)
}

// working is one page.
func working(w *workings.Working) *doc.Section {
	s := doc.NewSection(doc.Anchor("working-"+string(w.Subject)+"-"+w.ID), w.Title)
	if w.Computed() {
		s.Add(doc.Lead("{}.", doc.Plain(sentence(w.Answer))))
	} else {
		s.Add(&doc.Paragraph{Lead: true, Text: doc.Text{doc.Missing(sentence(w.Answer))}})
	}
	if w.Caution != "" {
		kind, rest := cautionKind(w)
		s.Add(doc.Warn(kind, "{}", doc.Plain(rest)))
	}
	if len(w.Steps) > 0 {
		s.Add(stepList(w))
	}
	for _, n := range w.Notes {
		s.Add(doc.Para("Note: {}", doc.Plain(sentence(n))))
	}
	if len(w.Verdicts) > 0 {
		s.Add(verdictTable(w))
	}
	if len(w.Inputs) > 0 {
		s.Add(inputTable(w))
	}
	addLists(s, w)
	return s
}

// stepList is the sum, one line a step.
func stepList(w *workings.Working) *doc.List {
	list := doc.Steps()
	for _, one := range w.Steps {
		text := doc.Say("{}", doc.Plain(one.Sentence))
		if one.Formula() != "" {
			text = text.And(" {} = {}; {}", doc.Literal(one.Formula()), doc.Literal(one.Numbers()), doc.Strong(one.Result()))
		} else {
			text = text.And(" {}", doc.Strong(one.Result()))
		}
		list.Items = append(list.Items, doc.Item{Text: text})
	}
	return list
}

func verdictTable(w *workings.Working) *doc.Table {
	t := doc.NewTable("Held against", doc.Col("What", 4), doc.Col("Limit and decision rule", 5), doc.Col("Outcome", 3), doc.Col("Because", 7))
	for _, v := range w.Verdicts {
		limit := doc.Say("{}", doc.Plain(orDash(v.Against)))
		if v.Rule != "" {
			limit = limit.And("; {}", doc.Plain(string(v.Rule)))
		}
		because := doc.Say("{}", doc.Plain(v.Reason))
		if v.Why != "" {
			because = because.And("; {}", doc.Plain(v.Why))
		}
		if v.Source.Text != "" {
			because = because.From(doc.FromClause(v.Source.String()))
		}
		t.Row(doc.Cell{Text: doc.Say("{}", doc.Plain(v.Of))}, doc.Cell{Text: limit}, doc.Cell{Text: doc.Text{doc.Strong(string(v.Outcome))}}, doc.Cell{Text: because})
	}
	return t
}

func inputTable(w *workings.Working) *doc.Table {
	t := doc.NewTable("What went in", doc.Col("Symbol", 2), doc.Col("What", 6), doc.Col("As recorded", 4), doc.Col("From", 6))
	for _, in := range w.Inputs {
		read := doc.Text{doc.Literal(in.Text)}
		if in.Err != "" && in.Err != in.Text {
			read = read.And(" ({})", doc.Missing(in.Err))
		}
		if used := workings.Show(in.Value); !in.Value.IsZero() && used != in.Text && in.Path != "" {
			read = read.And(", used as {}", doc.Plain(used))
		}
		from := doc.Say("asked about")
		switch {
		case in.Path != "":
			from = doc.Text{doc.FromRecord(in.Path, in.Line)}
		case in.Source.Text != "":
			from = doc.Text{doc.FromClause(in.Source.String())}
		}
		t.Row(doc.Cell{Text: doc.Say("{}", doc.Plain(orDash(in.Symbol)))}, doc.Cell{Text: doc.Say("{}", doc.Plain(in.Name))}, doc.Cell{Text: read}, doc.Cell{Text: from})
	}
	return t
}

// addLists adds assumptions, what is missing, and the sources with their basis.
func addLists(s *doc.Section, w *workings.Working) {
	add := func(title string, list []string, span func(string) doc.Span) {
		if len(list) == 0 {
			return
		}
		bullets := doc.Bullets()
		for _, one := range list {
			bullets.Items = append(bullets.Items, doc.Item{Text: doc.Text{span(one)}})
		}
		s.Add(doc.Para("{}", doc.Plain(title)), bullets)
	}
	add("Taken as given:", w.Assumptions, doc.Plain)
	add("Not on record:", w.Missing, doc.Missing)
	sources := make([]string, len(w.Sources))
	for i, one := range w.Sources {
		sources[i] = one.String()
	}
	add("Rests on:", sources, doc.Plain)
}

// workingCautions gives each caution of the list once.
func workingCautions(list []workings.Working) []doc.Block {
	var blocks []doc.Block
	seen := map[string]bool{}
	for i := range list {
		w := &list[i]
		kind, rest := cautionKind(w)
		if w.Caution != "" && !seen[kind] {
			seen[kind] = true
			blocks = append(blocks, doc.Warn(kind, "{}", doc.Plain(rest)))
		}
	}
	return blocks
}

// cautionKind names the hazard of a working.
func cautionKind(w *workings.Working) (kind, rest string) {
	switch {
	case w.Subject == workings.Mass:
		return "Lifting", w.Caution
	case w.Subject == workings.Restraint:
		return "Structure", w.Caution
	}
	return "High voltage", w.Caution
}

// sentence begins a sentence of a working with a capital, and leaves its end to
// the caller.
func sentence(s string) string { return strings.TrimSuffix(capital(s), ".") }

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

// workingsCount says how many workings there are and how many could not be
// computed.
func workingsCount(list []workings.Working) string {
	open := 0
	for i := range list {
		if !list[i].Computed() {
			open++
		}
	}
	return fmt.Sprintf("%d workings, %d of them not computed for want of records.", len(list), open)
}
