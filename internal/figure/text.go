package figure

import (
	"fmt"
	"sort"
	"strings"
	"unicode"

	"golang.org/x/image/font/sfnt"
)

// Points turns typographic points, of which 72 make an inch, into millimetres.
func Points(pt float64) float64 { return pt * 25.4 / 72 }

// Width is how wide a text is in millimetres when its size is size millimetres.
// Characters that the face lacks count as [Spell] shows them.
func Width(face Face, size float64, s string) float64 {
	l := face.load()
	var b sfnt.Buffer
	sum := 0.0
	for _, r := range Spell(face, s) {
		sum += l.width(&b, r)
	}
	return sum * size
}

// Spell writes a text with the characters that the face has. One that it lacks
// becomes its code point in brackets, such as [U+1F527], so that nothing is
// left out without a sign. Spaces that only differ in whether a line may break
// at them become plain ones.
func Spell(face Face, s string) string {
	l := face.load()
	var b sfnt.Buffer
	clean := true
	for _, r := range s {
		if alike(r) != r || !l.has(&b, r) {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	var out strings.Builder
	for _, r := range s {
		if r = alike(r); l.has(&b, r) {
			out.WriteRune(r)
		} else {
			fmt.Fprintf(&out, "[U+%04X]", r)
		}
	}
	return out.String()
}

// Lacking lists the characters of a text that the face lacks, each once, in the
// order in which they come.
func Lacking(face Face, s string) []rune {
	l := face.load()
	var b sfnt.Buffer
	var lacking []rune
	seen := map[rune]bool{}
	for _, r := range s {
		if r = alike(r); !l.has(&b, r) && !seen[r] {
			seen[r] = true
			lacking = append(lacking, r)
		}
	}
	return lacking
}

func (l *loaded) has(b *sfnt.Buffer, r rune) bool {
	if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
		return false // some faces have them, with nothing to see
	}
	if int(r) < len(l.widths) {
		return l.widths[r] > 0
	}
	return l.glyph(b, r) != 0
}

// alike maps characters to others of the same look: what is copied out of a
// page then is the common one.
func alike(r rune) rune {
	switch r {
	case '\u00a0', '\u202f', '\u2009':
		return ' '
	case '\u2126':
		return 'Ω'
	case '\u2011':
		return '-'
	case '\u00ad', '\u200b', '\u2060':
		return '\u200b' // no width; the faces have it
	}
	return r
}

// Lines breaks a text into lines no wider than width, at spaces and after
// hyphens and slashes, inside a word where that alone is too wide. Line feeds
// break as well. A line that was broken at a space ends in it, so that what is
// copied or read out keeps its words apart; the space counts for no width. An
// empty text is one empty line.
func Lines(face Face, size, width float64, s string) []string {
	var lines []string
	for paragraph := range strings.SplitSeq(s, "\n") {
		lines = append(lines, breakLine(face, size, width, paragraph)...)
	}
	return lines
}

func breakLine(face Face, size, width float64, s string) []string {
	var lines []string
	line, wide := "", 0.0
	flush := func() {
		bare := strings.TrimRight(line, " ")
		if bare != line {
			bare += " "
		}
		lines = append(lines, bare)
		line, wide = "", 0
	}
	for _, piece := range pieces(s) {
		w := Width(face, size, strings.TrimRight(piece, " "))
		if line != "" && wide+w > width {
			flush()
		}
		for w > width {
			head := fitting(face, size, width, piece)
			if head == piece {
				break
			}
			lines = append(lines, head)
			piece = piece[len(head):]
			w -= Width(face, size, head)
		}
		line += piece
		wide += Width(face, size, piece)
	}
	return append(lines, strings.TrimRight(line, " "))
}

// pieces cuts a text behind each place where a line may break.
func pieces(s string) []string {
	var list []string
	start := 0
	for i, r := range s {
		end := i + len(string(r))
		if r == ' ' || r == '-' && i > start || r == '/' && i > start && !fraction(s, i) || r == '\u200b' {
			list = append(list, s[start:end])
			start = end
		}
	}
	return append(list, s[start:])
}

// fraction says that a slash stands between two digits, as in 5/16, which are read together.
func fraction(s string, i int) bool {
	digit := func(i int) bool { return i < len(s) && s[i] >= '0' && s[i] <= '9' }
	return digit(i-1) && digit(i+1)
}

// fitting is the longest beginning of a word that is no wider than width, at
// least one character.
func fitting(face Face, size, width float64, s string) string {
	wide := 0.0
	for i, r := range s {
		wide += Width(face, size, string(r))
		if wide > width && i > 0 {
			return s[:i]
		}
	}
	return s
}

// Fit shortens a text until it is no wider than width, and marks that it did.
func Fit(face Face, size, width float64, s string) string {
	if Width(face, size, s) <= width {
		return s
	}
	runes := []rune(s)
	short := func(n int) string { return strings.TrimRight(string(runes[:n]), " ") + "…" }
	tooLong := sort.Search(len(runes), func(n int) bool { return Width(face, size, short(n)) > width })
	return short(max(tooLong-1, 0))
}
