package render

import (
	"fmt"
	"strings"

	"boltback/internal/doc"
)

// facts lays pairs in two columns, the values behind the longest label, or
// one below the other where the line is too short for that.
func (t texter) facts(caption string, items []doc.Fact, width int) []line {
	lines := t.caption(caption, width)
	label := 0
	for _, f := range items {
		label = max(label, columns(doc.CleanLine(f.Label, doc.LineLimit)))
	}
	label = min(label, width/3)
	for _, f := range items {
		left := t.flow(doc.Text{doc.Plain(doc.CleanLine(f.Label, doc.LineLimit))}, label)
		right := t.flow(f.Value, width-label-2)
		lines = append(lines, beside(left, right, label+2)...)
	}
	return lines
}

// beside sets lines to the right of others, from a column on.
func beside(left, right []line, column int) []line {
	lines := make([]line, max(len(left), len(right)))
	copy(lines, left)
	for i, r := range right {
		lines[i] = lines[i].pad(column)
		lines[i].join(r)
	}
	return lines
}

func (t texter) caption(s string, width int) []line {
	if s == "" {
		return nil
	}
	return t.heading(s, width)
}

func (t texter) list(l *doc.List, width int) []line {
	start := max(l.Start, 1)
	hang := 2
	if l.Ordered {
		hang = len(fmt.Sprint(start+len(l.Items)-1)) + 2
	}
	box := ""
	if l.Boxes {
		box = "[ ] "
		hang += len(box)
	}
	var lines []line
	for i, item := range l.Items {
		mark := "-"
		if l.Ordered {
			mark = fmt.Sprintf("%*d.", hang-len(box)-2, start+i)
		}
		body := t.flow(item.Text, width-hang)
		for _, b := range item.Blocks {
			body = append(body, t.block(b, max(width-hang, 8))...)
		}
		lines = append(lines, indent(body, box+mark+" ", strings.Repeat(" ", hang))...)
	}
	return lines
}

func (t texter) figure(f *doc.Figure, width int) []line {
	lines := t.flow(doc.Say("[figure: {}]", doc.Plain(f.Alt)), width)
	if len(f.Caption) > 0 {
		lines = append(lines, t.flow(f.Caption, width)...)
	}
	return lines
}

func (t texter) photos(s *doc.PhotoSheet, width int) []line {
	lines := t.caption(s.Caption, width)
	for _, p := range s.Photos {
		what := doc.Say("[photo: {}]", doc.Plain(alternative(p)))
		if len(p.Image) == 0 {
			what = doc.Say("[photo: {}]", doc.Plain(p.Absent))
		}
		body := t.flow(what, width-2)
		if len(p.Image) == 0 || p.Alt != "" {
			body = append(body, t.flow(p.Caption, width-2)...)
		}
		body = append(body, t.flow(photoNote(p), width-2)...)
		lines = append(lines, indent(body, "- ", "  ")...)
	}
	return lines
}

// caution marks every line, so that none can be read without its warning.
func (t texter) caution(c *doc.Caution, width int) []line {
	kind := strings.ToUpper(doc.CleanLine(c.Kind, doc.LineLimit))
	lines := t.heading("CAUTION: "+kind, width-3)
	return indent(append(lines, t.flow(c.Text, width-3)...), "!! ", "!! ")
}

func (t texter) signature(s *doc.Signature, width int) []line {
	return t.facts("", signatureFacts(s), width)
}

func (t texter) provenance(p *doc.Provenance, width int) []line {
	lines := t.facts("", provenanceFacts(p), width)
	if p.Basis != "" {
		lines = append(lines, t.flow(doc.Text{doc.Plain(p.Basis)}, width)...)
	}
	return lines
}

// findings writes each on one line however long, place first, as editors and other programs read it: an error has no
// word of its own, a warning or note has. What would be right follows below.
func (t texter) findings(f *doc.Findings, width int) []line {
	lines := t.caption(f.Caption, width)
	for _, item := range f.Items {
		lines = append(lines, chars(findingLine(item)))
		if len(item.Right) > 0 {
			lines = append(lines, indent(t.flow(item.Right, width-2), "  ", "  ")...)
		}
	}
	return lines
}

// messageLimit is how many characters of one message a line shows.
const messageLimit = 2000

// findingLine is "place: level: what [code]", without the level of an error.
func findingLine(item doc.Finding) string {
	var b strings.Builder
	if item.Where != "" {
		b.WriteString(doc.CleanLine(item.Where, doc.LineLimit) + ": ")
	}
	if level := doc.CleanLine(item.Level, doc.LineLimit); level != "" && level != "error" {
		b.WriteString(level + ": ")
	}
	for _, s := range item.What {
		s.Text = doc.CleanLine(s.Text, messageLimit)
		b.WriteString(spoken(s, messageLimit))
	}
	if item.Code != "" {
		b.WriteString(" [" + doc.CleanLine(item.Code, doc.LineLimit) + "]")
	}
	return b.String()
}

// verbatim keeps its lines, even where they are longer than the page.
func (t texter) verbatim(v *doc.Verbatim, width int) []line {
	lines := t.caption(v.Caption, width)
	for l := range strings.SplitSeq(strings.TrimRight(doc.Clean(v.Text, doc.TextLimit), "\n"), "\n") {
		lines = append(lines, line{[]fragment{{text: l}}, columns(l)}.after("    "))
	}
	return lines
}
