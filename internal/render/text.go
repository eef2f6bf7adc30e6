// Package render turns document blocks into text for a terminal and into one
// self-contained HTML page. It knows the blocks and nothing of what they are about.
//
// All strings of a document count as written by strangers: each goes through
// [doc.Clean] here, on its way out. The same document gives the same bytes.
// A document that has passed [doc.Check] comes out whole; of any other, what can
// be shown is shown.
package render

import (
	"fmt"
	"io"
	"strings"

	"boltback/internal/doc"
)

// TextOptions say what the terminal is like.
type TextOptions struct {
	// Width is the number of columns; 0 stands for 80, and less than 24 for 24.
	Width int
	// Bold says that the reader is a terminal that knows bold type. Nothing is
	// said by bold type alone.
	Bold bool
}

// Text writes a whole document: title, provenance, contents, numbered sections.
func Text(w io.Writer, d *doc.Document, o TextOptions) error {
	t := newTexter(o)
	parts := [][]line{t.title(d)}
	if d.Provenance != nil {
		parts = append(parts, t.provenance(d.Provenance, t.width))
	}
	if d.Contents > 0 {
		parts = append(parts, t.contents(doc.Outline(d.Blocks(), d.Contents), ""))
	}
	for i, s := range d.Sections {
		parts = append(parts, t.section(s, t.width, fmt.Sprint(i+1)))
	}
	return t.write(w, join(parts))
}

// TextBlocks writes blocks alone; their sections bear no numbers.
func TextBlocks(w io.Writer, blocks []doc.Block, o TextOptions) error {
	t := newTexter(o)
	return t.write(w, t.blocks(blocks, t.width, ""))
}

// texter lays blocks into lines. Each method returns the lines of its block
// without indentation; who asked for them indents.
type texter struct {
	width int
	bold  bool
	// depth is the number of sections around what is being laid.
	depth int
}

const leastWidth = 24

func newTexter(o TextOptions) texter {
	if o.Width == 0 {
		o.Width = 80
	}
	return texter{width: max(o.Width, leastWidth), bold: o.Bold}
}

func (t texter) write(w io.Writer, lines []line) error {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(l.render(t.bold))
		b.WriteByte('\n')
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// join sets a blank line between parts.
func join(parts [][]line) []line {
	var lines []line
	for _, p := range parts {
		if len(p) == 0 {
			continue
		}
		if len(lines) > 0 {
			lines = append(lines, line{})
		}
		lines = append(lines, p...)
	}
	return lines
}

// indent sets first before the first line and rest before the others that
// are not blank.
func indent(lines []line, first, rest string) []line {
	out := make([]line, len(lines))
	for i, l := range lines {
		switch {
		case i == 0:
			out[i] = l.after(first)
		case len(l.fragments) > 0:
			out[i] = l.after(rest)
		}
	}
	return out
}

// flow lays a text into lines.
func (t texter) flow(text doc.Text, width int) []line {
	return wrap(words(text), max(width, 1))
}

// heading lays a single string in bold type.
func (t texter) heading(s string, width int) []line {
	return t.flow(doc.Text{doc.Strong(doc.CleanLine(s, doc.LineLimit))}, width)
}

func (t texter) title(d *doc.Document) []line {
	lines := t.heading(d.Title, t.width)
	if d.Subtitle != "" {
		lines = append(lines, t.flow(doc.Say(doc.CleanLine(d.Subtitle, doc.LineLimit)), t.width)...)
	}
	return append(lines, chars(strings.Repeat("═", t.width)))
}

func (t texter) contents(entries []doc.Entry, number string) []line {
	var lines []line
	for i, e := range entries {
		n := fmt.Sprintf("%s%d", number, i+1)
		lead := n + "  "
		title := doc.Say(doc.CleanLine(e.Title, doc.LineLimit))
		lines = append(lines, indent(t.flow(title, t.width-len(lead)), lead, strings.Repeat(" ", len(lead)))...)
		lines = append(lines, indent(t.contents(e.Entries, n+"."), "  ", "  ")...)
	}
	return lines
}

// section lays a section; number is its own, or empty where none is wanted.
func (t texter) section(s *doc.Section, width int, number string) []line {
	title := doc.CleanLine(s.Title, doc.LineLimit)
	if number != "" {
		title = number + " " + title
	}
	head := t.heading(title, width)
	rule := width
	if t.depth > 0 {
		rule = min(columns(title), width)
	}
	head = append(head, chars(strings.Repeat("─", rule)))
	t.depth++
	return append(head, t.blocks(s.Blocks, width, number)...)
}

func (t texter) blocks(blocks []doc.Block, width int, number string) []line {
	var parts [][]line
	n := 0
	for _, b := range blocks {
		if s, ok := b.(*doc.Section); ok {
			n++
			sub := ""
			if number != "" {
				sub = fmt.Sprintf("%s.%d", number, n)
			}
			parts = append(parts, t.section(s, width, sub))
			continue
		}
		parts = append(parts, t.block(b, width))
	}
	return join(parts)
}

func (t texter) block(b doc.Block, width int) []line {
	switch b := b.(type) {
	case *doc.Paragraph:
		return t.flow(b.Text, width)
	case *doc.Facts:
		return t.facts(b.Caption, b.Items, width)
	case *doc.Table:
		return t.table(b, width)
	case *doc.Matrix:
		return t.matrix(b, width)
	case *doc.List:
		return t.list(b, width)
	case *doc.Figure:
		return t.figure(b, width)
	case *doc.PhotoSheet:
		return t.photos(b, width)
	case *doc.Caution:
		return t.caution(b, width)
	case *doc.Signature:
		return t.signature(b, width)
	case *doc.Provenance:
		return t.provenance(b, width)
	case *doc.Findings:
		return t.findings(b, width)
	case *doc.Verbatim:
		return t.verbatim(b, width)
	}
	return nil
}
