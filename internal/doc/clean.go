package doc

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// How many characters of one value a document shows. A record always holds
// the whole value; the page says where it was cut.
const (
	// LineLimit holds for titles, labels, names and column heads.
	LineLimit = 300
	// TextLimit holds for one span of running text or one verbatim block.
	TextLimit = 20_000
)

// maxMarks is how many combining marks may sit on one letter. No language
// stacks more than a handful; hostile text stacks hundreds.
const maxMarks = 8

// Clean makes a string safe to look at. Letters, marks, digits, signs and spaces
// of all scripts stay as they are, and so do line feeds. What would act on
// the page or hide in it is shown in its place instead: control characters as
// control pictures (␛), bidirectional controls, invisible characters, private
// and unassigned ones by number (‹U+202E›), broken UTF-8 by byte (‹0xFF›). A tab becomes a
// space and CR LF a line feed. After limit characters the rest is cut with a
// note of the whole length; a limit of 0 or less cuts nothing.
func Clean(s string, limit int) string {
	if tame(s) && (limit <= 0 || len(s) <= limit) {
		return s
	}
	c := cleaner{limit: limit}
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		if c.limit > 0 && c.count == c.limit {
			c.flushMarks()
			fmt.Fprintf(&c.out, " … (cut; %d characters in all)", utf8.RuneCountInString(s))
			return c.out.String()
		}
		if r == '\r' && strings.HasPrefix(s[i+size:], "\n") {
			i += size
			continue
		}
		c.count++
		if r == utf8.RuneError && size == 1 {
			c.show(fmt.Sprintf("‹0x%02X›", s[i]))
		} else {
			c.rune(r)
		}
		i += size
	}
	c.flushMarks()
	return c.out.String()
}

// CleanLine is [Clean] for places that hold a single line: a line feed is
// shown as ␊.
func CleanLine(s string, limit int) string {
	return strings.ReplaceAll(Clean(s, limit), "\n", "␊")
}

// tame reports whether s is printable ASCII and line feeds only.
func tame(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; (c < ' ' && c != '\n') || c > '~' {
			return false
		}
	}
	return true
}

type cleaner struct {
	out          strings.Builder
	limit, count int
	last         rune // the character written last, 0 after a shown one
	marks        int  // combining marks since the last base character
}

func (c *cleaner) rune(r rune) {
	if unicode.In(r, unicode.Mn, unicode.Me) && !hidden(r) {
		if c.marks++; c.marks <= maxMarks {
			c.out.WriteRune(r)
		}
		return
	}
	c.flushMarks()
	switch {
	case r == '\n':
		c.write(r)
	case r == '\t':
		c.write(' ')
	case r < ' ':
		c.show(string(0x2400 + r))
	case r == 0x7f:
		c.show("␡")
	case (r == 0x200c || r == 0x200d) && c.last > unicode.MaxASCII:
		c.write(r) // joiners shape some scripts and build emoji
	case hidden(r) || !unicode.IsGraphic(r) && !unicode.Is(unicode.Prepended_Concatenation_Mark, r):
		c.show(fmt.Sprintf("‹U+%04X›", r))
	default:
		c.write(r)
	}
}

// flushMarks says how many combining marks were left out.
func (c *cleaner) flushMarks() {
	if over := c.marks - maxMarks; over > 0 {
		fmt.Fprintf(&c.out, "‹%d more marks›", over)
	}
	c.marks = 0
}

func (c *cleaner) write(r rune) {
	c.out.WriteRune(r)
	c.last = r
}

func (c *cleaner) show(s string) {
	c.flushMarks()
	c.out.WriteString(s)
	c.last = 0
}

// hidden reports characters that count as graphic and yet show nothing.
func hidden(r rune) bool {
	switch r {
	case 0x034f, 0x115f, 0x1160, 0x17b4, 0x17b5, 0x2800, 0x3164, 0xffa0:
		return true
	}
	return false
}

// Directional reports whether s holds letters that are written from right to
// left, so that a renderer must isolate it from what stands around it.
func Directional(s string) bool {
	for _, r := range s {
		if r >= 0x590 && (r <= 0x8ff || r >= 0xfb1d && r <= 0xfdff || r >= 0xfe70 && r <= 0xfeff ||
			r >= 0x10800 && r <= 0x10fff || r >= 0x1e800 && r <= 0x1efff) {
			return true
		}
	}
	return false
}

// Words longer than longWord characters may be broken behind a separator, and
// are broken every longWord characters where there is none.
const longWord = 20

// Pieces cuts a string where a line may be broken inside a long word. The
// pieces put together are the string itself; spaces, where a line may always be
// broken, are not looked at.
func Pieces(s string) []string {
	if len(s) <= longWord {
		return []string{s}
	}
	var pieces []string
	start, word, run := 0, 0, 0 // byte of the piece, runes of the word, runes since its last break
	for i, r := range s {
		if unicode.IsSpace(r) {
			word, run = 0, 0
			continue
		}
		if word == 0 {
			word = wordLength(s[i:])
		}
		joins := r >= 0x300 && (unicode.IsMark(r) || r == 0x200d || r == 0x200c)
		if word > longWord && run > 0 && !joins && (run >= longWord || run >= 3 && separates(s[:i])) {
			pieces = append(pieces, s[start:i])
			start, run = i, 0
		}
		run++
	}
	return append(pieces, s[start:])
}

// wordLength counts the runes before the first space of s.
func wordLength(s string) int {
	if end := strings.IndexFunc(s, unicode.IsSpace); end >= 0 {
		s = s[:end]
	}
	return utf8.RuneCountInString(s)
}

// separates reports whether s ends in a character behind which a path, an
// address or a number may be broken.
func separates(s string) bool {
	return strings.ContainsRune(`/\-_.,:;@=&?+|`, rune(s[len(s)-1]))
}
