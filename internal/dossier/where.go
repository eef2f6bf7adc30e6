package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Tagged is what bears a tag: parts, the bag with the fasteners of joints or of parts, or a crate with what lies in it.
type Tagged struct {
	// On is part, bag or crate, and Tag what is written on it.
	On, Tag string
	Parts   []record.Ref
	Joints  []record.Ref
}

// Where says what a tag is on, where that is, and when it was last seen. Car tells the cars of a yard apart.
func Where(work *replay.Work, state *replay.State, car string, t Tagged) *doc.Section {
	b := stateBook{open(Input{Snapshot: work.Snapshot()}), work, state}
	title := map[string]string{"part": "Tag", "bag": "Bag", "crate": "In"}[t.On]
	s := doc.NewSection("where", joinWords(title, t.Tag, "of", car))
	switch {
	case t.On == "crate":
		s.Add(b.lyingThere(t.Parts))
	case t.On == "bag":
		s.Add(b.bag(t))
	default:
		for _, part := range t.Parts {
			s.Add(b.tagged(part))
		}
		if len(t.Parts) > 1 {
			s.Add(doc.Para("{}: a number is meant for one thing.", doc.Strong("Several parts bear this tag")))
		}
	}
	for _, h := range b.hazardsOfAll(t.Parts) {
		s.Add(h.beside())
	}
	return oneLined(s)[0]
}

// tagged says of one part what it is and where.
func (b stateBook) tagged(part record.Ref) doc.Block {
	facts := doc.FactsOf(doc.Is("On", "{}", b.name(part)))
	if p, ok := b.state.Part(part); ok {
		facts.Add("Now", "{}", b.where(p.Where).From(b.sourceOf(p.Since)...))
		facts.Add("Last seen", "{}", b.lastSeen(p))
	}
	for _, d := range b.state.Doubts() {
		if d.Thing == b.work.Name(part) {
			facts.Add("In doubt", "{}", d.Text)
		}
	}
	return facts
}

// bag says whose fasteners a bag holds, and where the line that filled it put what came off.
func (b stateBook) bag(t Tagged) doc.Block {
	facts := doc.FactsOf()
	for _, joint := range t.Joints {
		facts.Add("Fasteners of", "{}", b.name(joint))
		j, ok := b.state.Joint(joint)
		if !ok {
			continue
		}
		facts.Add("Joint", "{}, since {}", j.Done.String(), b.since(j.Since))
		if j.Done != replay.Undone || j.Since == replay.NoStep || j.Bag != "" && j.Bag != t.Tag {
			continue
		}
		if j.Counted {
			facts.Add("Counted in", "{}", count(int(j.Fasteners), "fastener"))
		}
		line, _ := b.state.Line(j.Since)
		facts.Add("Put with", "{}", b.putBy(line))
		for _, part := range line.Body.Parts {
			if p, ok := b.state.Part(part); ok && p.Since != j.Since {
				facts.Add("Which is now", "{}", b.where(p.Where).From(b.sourceOf(p.Since)...))
			}
		}
	}
	if len(t.Joints) == 0 {
		facts.Add("Fasteners of", "{}", b.names(t.Parts))
	}
	return facts
}

// putBy says where a line put what it took off.
func (b stateBook) putBy(line replay.Line) doc.Text {
	at := doc.Text{doc.Missing("a place")}
	if line.Body.Store != "" || line.Body.Place != "" {
		at = b.where(replay.Where{Place: replay.InStore, Store: line.Body.Store, Shelf: line.Body.Place})
	}
	if len(line.Body.Parts) == 0 {
		return at
	}
	return doc.Say("{}, {}", b.names(line.Body.Parts), at).From(b.source(line.Session, line.Pointer()))
}

// lyingThere lists the parts in a crate.
func (b stateBook) lyingThere(parts []record.Ref) doc.Block {
	t := doc.NewTable("What lies there on the records", doc.Col("Tag", 2), doc.Col("Part", 6), doc.Col("Where", 5), doc.Col("Last seen", 5))
	for _, part := range parts {
		p, _ := b.state.Part(part)
		tag := ""
		if info, ok := b.work.Part(part); ok {
			tag = info.Body.Tag
		}
		t.Row(stated(tag), b.name(part), b.where(p.Where), b.lastSeen(p))
	}
	return t
}

// hazardsOfAll are the hazards of several parts, each once.
func (b stateBook) hazardsOfAll(parts []record.Ref) []hazard {
	found := map[string]bool{}
	for _, part := range parts {
		for _, h := range b.hazardsOf(part) {
			found[h.word] = true
		}
	}
	return hazardsNamed(found)
}
