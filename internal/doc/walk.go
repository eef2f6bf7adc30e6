package doc

// Walk visits each block of the tree in reading order, parents first, with
// the number of sections around it. It ends at the first error and returns it.
func Walk(blocks []Block, visit func(b Block, depth int) error) error {
	return walk(blocks, 0, visit)
}

func walk(blocks []Block, depth int, visit func(Block, int) error) error {
	for _, b := range blocks {
		if err := visit(b, depth); err != nil {
			return err
		}
		switch b := b.(type) {
		case *Section:
			if err := walk(b.Blocks, depth+1, visit); err != nil {
				return err
			}
		case *List:
			for _, item := range b.Items {
				if err := walk(item.Blocks, depth, visit); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// Blocks returns the document's sections as blocks, for [Walk] and for
// renderers.
func (d *Document) Blocks() []Block {
	blocks := make([]Block, len(d.Sections))
	for i, s := range d.Sections {
		blocks[i] = s
	}
	return blocks
}

// Entry is a line of a table of contents.
type Entry struct {
	ID, Title string
	// Entries are the sections below it.
	Entries []Entry
}

// Outline returns the sections down to the given number of levels.
func Outline(blocks []Block, levels int) []Entry {
	if levels <= 0 {
		return nil
	}
	var entries []Entry
	for _, b := range blocks {
		if s, ok := b.(*Section); ok {
			entries = append(entries, Entry{s.ID, s.Title, Outline(s.Blocks, levels-1)})
		}
	}
	return entries
}

// Texts returns every text of one block, not of those inside it; labels,
// captions and other bare strings come as a plain span.
func Texts(b Block) []Text {
	var ts []Text
	line := func(lines ...string) {
		for _, s := range lines {
			if s != "" {
				ts = append(ts, Text{Plain(s)})
			}
		}
	}
	text := func(texts ...Text) { ts = append(ts, texts...) }
	switch b := b.(type) {
	case *Section:
		line(b.Title)
	case *Paragraph:
		text(b.Text)
	case *Facts:
		line(b.Caption)
		for _, f := range b.Items {
			line(f.Label)
			text(f.Value)
		}
	case *Table:
		ts = append(ts, tableTexts(b)...)
	case *Matrix:
		ts = append(ts, matrixTexts(b)...)
	case *List:
		for _, i := range b.Items {
			text(i.Text)
		}
	case *Figure:
		text(b.Caption)
		line(b.Alt)
	case *PhotoSheet:
		line(b.Caption)
		for _, p := range b.Photos {
			line(p.Absent, p.Alt, p.Taken, p.Claimed)
			text(p.Caption, p.Source)
		}
	case *Caution:
		line(b.Kind)
		text(b.Text)
	case *Signature:
		line(b.Name)
		text(b.Time, b.Meaning, b.Status)
	case *Provenance:
		line(b.Subject, b.Commit, b.Day, b.Workshop, b.Program, b.Basis)
	case *Findings:
		line(b.Caption)
		for _, f := range b.Items {
			line(f.Level, f.Where, f.Code)
			text(f.What, f.Right)
		}
	case *Verbatim:
		line(b.Caption, b.Text)
	}
	return ts
}

func tableTexts(t *Table) []Text {
	ts := []Text{{Plain(t.Caption)}}
	for _, c := range t.Columns {
		ts = append(ts, Text{Plain(c.Header)})
	}
	for _, g := range t.Groups {
		ts = append(ts, Text{Plain(g.Title)})
		for _, r := range g.Rows {
			for _, c := range r.Cells {
				ts = append(ts, c.Text)
			}
		}
	}
	return ts
}

func matrixTexts(m *Matrix) []Text {
	ts := []Text{{Plain(m.Caption)}, {Plain(m.Corner)}}
	for _, c := range m.Columns {
		ts = append(ts, Text{Plain(c)})
	}
	for _, s := range m.States {
		ts = append(ts, Text{Plain(s.Mark)}, Text{Plain(s.Word)}, Text{Plain(s.Meaning)})
	}
	for _, r := range m.Rows {
		ts = append(ts, r.Label)
		for _, c := range r.Cells {
			ts = append(ts, c.Note)
		}
	}
	return ts
}
