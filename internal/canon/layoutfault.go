package canon

import (
	"bytes"
	"fmt"

	"github.com/go-json-experiment/json/jsontext"
)

// LayoutFault is the first place where a file departs from Layout.
type LayoutFault struct {
	// Line and Column count from 1, columns in characters.
	Line, Column int
	// Message says what differs, Hint what would be right.
	Message, Hint string
}

// Error gives "line:column: message".
func (f *LayoutFault) Error() string {
	return fmt.Sprintf("%d:%d: %s", f.Line, f.Column, f.Message)
}

// CheckLayout compares the source with Layout and names the first difference;
// nil means that they are the same bytes.
func CheckLayout(d *Document) *LayoutFault {
	want := Layout(d)
	if bytes.Equal(d.Source, want) {
		return nil
	}
	c := comparison{got: d.Source, want: want}
	for c.at < len(c.want) && c.at < len(c.got) && c.want[c.at] == c.got[c.at] {
		c.at++
	}
	message, hint := c.lineEnd()
	if message == "" {
		message, hint = c.text(d.Root)
	}
	if message == "" {
		message, hint = c.spacing()
	}
	pos := d.Position(c.at)
	return &LayoutFault{pos.Line, pos.Column, message, hint}
}

// comparison is a file and its layout, equal up to the byte offset at.
type comparison struct {
	got, want []byte
	at        int
}

// lineEnd explains differences at the end of a line or of the file, and tabs.
func (c *comparison) lineEnd() (message, hint string) {
	got := c.got[c.at:]
	switch {
	case len(got) == 0:
		return "the last line is not closed by a line feed", "end the file with one line feed"
	case c.at == len(c.want):
		return "something invisible follows the record", "end the file with one line feed and nothing after it"
	case bytes.HasPrefix(got, []byte("\r\n")):
		return "the line ends with CR and LF", "end lines with LF alone"
	case got[0] == '\r':
		return "a carriage return stands here", "end lines with LF alone"
	case got[0] == '\t':
		return "a tab stands here", "indent with two spaces a level"
	case c.want[c.at] == '\n' && len(bytes.Trim(c.restOfLine(), " \r")) == 0:
		return "spaces stand at the end of the line", "end the line after the last character"
	case c.want[c.at] == '\n' && bytes.HasPrefix(got, []byte(" ")):
		return "this is not on a line of its own", "begin a new line here"
	}
	return "", ""
}

// text explains a difference inside a text or name: it can only be an escape
// where another form is ours.
func (c *comparison) text(n *Node) (message, hint string) {
	if !n.textAround(c.at, c.got) {
		return "", ""
	}
	c.at = bytes.LastIndexByte(c.got[:c.at+1], '\\')
	written := c.got[c.at:][:escapeSize(c.got[c.at:])]
	decoded, err := jsontext.AppendUnquote(nil, `"`+string(written)+`"`)
	if err != nil { // cannot happen in a text that was parsed
		return "this text is escaped another way", ""
	}
	right := string(appendText(nil, string(decoded)))
	return "the escape " + string(written) + " has another form here", "write " + right[1:len(right)-1]
}

// escapeSize is the length of the escape that b begins with.
func escapeSize(b []byte) int {
	unit, ok := codeUnit(b)
	switch {
	case !ok:
		return 2
	case unit >= 0xd800 && unit < 0xdc00:
		return 12
	}
	return 6
}

// textAround reports whether the byte offset lies inside a text or name of n.
func (n *Node) textAround(offset int, src []byte) bool {
	if n.Kind == String {
		return n.Start < offset && offset < n.End
	}
	for _, m := range n.Members {
		if m.NameStart < offset && offset < m.nameEnd(src) {
			return true
		}
		if m.Value.Start < offset && offset < m.Value.End {
			return m.Value.textAround(offset, src)
		}
	}
	for _, e := range n.Elements {
		if e.Start < offset && offset < e.End {
			return e.textAround(offset, src)
		}
	}
	return false
}

// nameEnd is the offset behind the closing quote of the name: the last quote
// before the value, since only a colon and blanks stand between.
func (m *Member) nameEnd(src []byte) int {
	return m.NameStart + bytes.LastIndexByte(src[m.NameStart:m.Value.Start], '"') + 1
}

// spacing explains differences in blanks and line breaks between two tokens.
func (c *comparison) spacing() (message, hint string) {
	got, want := c.got[c.at], c.want[c.at]
	begun := bytes.LastIndexByte(c.got[:c.at], '\n') + 1
	indenting := len(bytes.Trim(c.got[begun:c.at], " ")) == 0
	switch {
	case want == '\n':
		return "this is not on a line of its own", "begin a new line here"
	case got == '\n' && indenting:
		return "a line is empty", "go on without an empty line"
	case got == '\n':
		return "the line breaks too early", "go on in the same line"
	case indenting && begun > 0:
		return "the line is not indented by two spaces a level", fmt.Sprintf("indent it by %d", c.indent(begun))
	case got == ' ':
		return "there is a space too many here", "go on without it"
	}
	return "there is no space after the colon", "write one space after the colon"
}

// indent counts the spaces that the line beginning at begun should have.
func (c *comparison) indent(begun int) int {
	line := c.want[begun:]
	return len(line) - len(bytes.TrimLeft(line, " "))
}

func (c *comparison) restOfLine() []byte {
	rest, _, _ := bytes.Cut(c.got[c.at:], []byte("\n"))
	return rest
}
