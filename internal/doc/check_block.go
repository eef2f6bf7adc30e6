package doc

import "fmt"

func (c *checker) block(where string, b Block, depth int) {
	c.texts(where, b)
	switch b := b.(type) {
	case *Section:
		c.section(where, b, depth)
	case *Paragraph:
		c.need(where, "the text", b.Text.String())
	case *Facts:
		c.facts(where, b)
	case *Table:
		c.table(where, b)
	case *Matrix:
		c.matrix(where, b)
	case *List:
		c.list(where, b, depth)
	case *Figure:
		c.figure(where, b)
	case *PhotoSheet:
		c.photos(where, b)
	case *Caution:
		c.need(where, "the kind of hazard", b.Kind)
		c.need(where, "the text", b.Text.String())
	case *Signature:
		c.need(where, "the name", b.Name)
		c.need(where, "the meaning", b.Meaning.String())
		c.need(where, "the status", b.Status.String())
	case *Provenance:
		c.need(where, "the commit", b.Commit)
		c.need(where, "the day", b.Day)
		c.need(where, "the basis", b.Basis)
	case *Findings:
		c.findings(where, b)
	case *Verbatim:
		c.need(where, "the text", b.Text)
	}
}

func (c *checker) section(where string, s *Section, depth int) {
	c.anchor(where, s.ID, false)
	c.need(where, "the title", s.Title)
	if len(s.Blocks) == 0 {
		c.fault(where, "the section is empty; say in it why there is nothing")
	}
	if depth > maxDepth {
		c.fault(where, "sections nest deeper than %d", maxDepth)
		return
	}
	c.blocks(where, s.Blocks, depth+1)
}

func (c *checker) facts(where string, f *Facts) {
	if len(f.Items) == 0 {
		c.fault(where, "there are no facts")
	}
	for i, item := range f.Items {
		c.need(where, fmt.Sprintf("label %d", i+1), item.Label)
		c.need(where, fmt.Sprintf("the value of %q", item.Label), item.Value.String())
	}
}

func (c *checker) table(where string, t *Table) {
	c.anchor(where, t.ID, true)
	c.need(where, "the caption", t.Caption)
	if len(t.Columns) == 0 || t.Rows() == 0 {
		c.fault(where, "the table has %d columns and %d rows", len(t.Columns), t.Rows())
	}
	for i, col := range t.Columns {
		c.need(where, fmt.Sprintf("the head of column %d", i+1), col.Header)
		if col.Width < 0 || col.Align > Centre {
			c.fault(where, "column %q has width %d and alignment %d", col.Header, col.Width, col.Align)
		}
	}
	for g, group := range t.Groups {
		if len(group.Rows) == 0 {
			c.fault(where, "group %d (%q) has no rows", g+1, group.Title)
		}
		for r, row := range group.Rows {
			n := 0
			for _, cell := range row.Cells {
				n += cell.Columns()
			}
			if n != len(t.Columns) {
				c.fault(where, "row %d of group %d fills %d of %d columns", r+1, g+1, n, len(t.Columns))
			}
		}
	}
}

func (c *checker) matrix(where string, m *Matrix) {
	c.anchor(where, m.ID, true)
	c.need(where, "the caption", m.Caption)
	c.need(where, "the corner", m.Corner)
	if len(m.Columns) == 0 || len(m.Rows) == 0 {
		c.fault(where, "the matrix has %d columns and %d rows", len(m.Columns), len(m.Rows))
	}
	for i, col := range m.Columns {
		c.need(where, fmt.Sprintf("the head of column %d", i+1), col)
	}
	c.states(where, m.States)
	for i, row := range m.Rows {
		c.need(where, fmt.Sprintf("the label of row %d", i+1), row.Label.String())
		if len(row.Cells) != len(m.Columns) {
			c.fault(where, "row %d fills %d of %d columns", i+1, len(row.Cells), len(m.Columns))
		}
		for _, cell := range row.Cells {
			if _, ok := m.State(cell.State); !ok {
				c.fault(where, "row %d has the state %q, which the legend lacks", i+1, cell.State)
			}
		}
	}
}

func (c *checker) states(where string, states []State) {
	marks, words := map[string]bool{}, map[string]bool{}
	for _, s := range states {
		c.need(where, "the word of a state", s.Word)
		c.need(where, fmt.Sprintf("the mark of state %q", s.Word), s.Mark)
		if marks[s.Mark] || words[s.Word] {
			c.fault(where, "state %s %q can't be told from another", s.Mark, s.Word)
		}
		marks[s.Mark], words[s.Word] = true, true
	}
}

func (c *checker) list(where string, l *List, depth int) {
	if len(l.Items) == 0 {
		c.fault(where, "the list is empty")
	}
	for i, item := range l.Items {
		at := fmt.Sprintf("%s, item %d", where, i+1)
		c.need(at, "the text", item.Text.String())
		for _, b := range item.Blocks {
			if _, ok := b.(*Section); ok {
				c.fault(at, "a section can't stand in a list")
			}
		}
		c.blocks(at, item.Blocks, depth)
	}
}

func (c *checker) figure(where string, f *Figure) {
	c.anchor(where, f.ID, true)
	c.need(where, "the alternative in words", f.Alt)
	if f.Drawing == nil {
		c.fault(where, "the drawing is missing")
	} else if w, h := f.Drawing.Size(); !(w > 0 && h > 0) {
		c.fault(where, "the drawing is %v by %v mm", w, h)
	}
}

func (c *checker) photos(where string, p *PhotoSheet) {
	if len(p.Photos) == 0 {
		c.fault(where, "the sheet has no photos")
	}
	for i, photo := range p.Photos {
		at := fmt.Sprintf("%s, photo %d", where, i+1)
		c.need(at, "the caption", photo.Caption.String())
		if (len(photo.Image) == 0) == (photo.Absent == "") {
			c.fault(at, "a photo has either a picture or the reason why it is not here")
		}
	}
}

func (c *checker) findings(where string, f *Findings) {
	if len(f.Items) == 0 {
		c.fault(where, "there are no findings; say so in a paragraph")
	}
	for i, item := range f.Items {
		c.need(where, fmt.Sprintf("the level of finding %d", i+1), item.Level)
		c.need(where, fmt.Sprintf("what is wrong in finding %d", i+1), item.What.String())
	}
}
