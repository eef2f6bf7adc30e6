package render

import "boltback/internal/doc"

// provenanceFacts returns what a provenance says, as pairs, without what is
// empty. Both renderers show the same words.
func provenanceFacts(p *doc.Provenance) []doc.Fact {
	var facts []doc.Fact
	add := func(label, value string) {
		if value != "" {
			facts = append(facts, doc.Is(label, "{}", doc.Plain(value)))
		}
	}
	add("Subject", p.Subject)
	add("Records as of commit", p.Commit)
	add("Day", p.Day)
	add("Workshop", p.Workshop)
	add("Program", p.Program)
	return facts
}

// signatureFacts returns what a signature says, as pairs.
func signatureFacts(s *doc.Signature) []doc.Fact {
	facts := []doc.Fact{doc.Is("Signed", "{}", doc.Strong(s.Name))}
	add := func(label string, value doc.Text) {
		if len(value) > 0 {
			facts = append(facts, doc.Fact{Label: label, Value: value})
		}
	}
	add("When", s.Time)
	add("For", s.Meaning)
	add("Today", s.Status)
	return facts
}

// photoNote is the line below a photo: its days and its source.
func photoNote(p doc.Photo) doc.Text {
	var note doc.Text
	add := func(sentence string, v any) {
		if len(note) > 0 {
			note = note.And("; ")
		}
		note = note.And(sentence, v)
	}
	if p.Taken != "" {
		add("taken {} by the camera's clock", doc.Plain(p.Taken))
	}
	if p.Claimed != "" {
		add("said to be of {}", doc.Plain(p.Claimed))
	}
	if p.Taken == "" && p.Claimed == "" {
		add("{}", doc.Missing("day not stated"))
	}
	if len(p.Source) > 0 {
		add("from {}", p.Source)
	}
	return note
}

// alternative is what stands for a photo in words.
func alternative(p doc.Photo) string {
	if p.Alt != "" {
		return p.Alt
	}
	return p.Caption.String()
}

// matrixTable writes a matrix as a table whose cells say mark and word.
func matrixTable(m *doc.Matrix) *doc.Table {
	t := doc.NewTable(m.Caption, doc.Col(m.Corner, 3))
	t.ID = m.ID
	for _, c := range m.Columns {
		t.Columns = append(t.Columns, doc.Col(c, 2))
	}
	for _, r := range m.Rows {
		cells := []any{r.Label}
		for _, c := range r.Cells {
			s, _ := m.State(c.State)
			text := doc.Say("{}\u00a0{}", doc.Plain(s.Mark), doc.Plain(c.State))
			if len(c.Note) > 0 {
				text = text.And("\n").From(c.Note...)
			}
			cells = append(cells, text)
		}
		t.Row(cells...)
	}
	return t
}

// legend explains the states of a matrix.
func legend(m *doc.Matrix) doc.Text {
	var t doc.Text
	for i, s := range m.States {
		if i > 0 {
			t = t.And("; ")
		}
		t = t.And("{}\u00a0{}", doc.Plain(s.Mark), doc.Strong(s.Word))
		if s.Meaning != "" {
			t = t.And(": {}", doc.Plain(s.Meaning))
		}
	}
	return t
}
