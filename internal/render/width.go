package render

import (
	"unicode"

	"golang.org/x/text/width"
)

// columns is how many columns of a terminal a string takes: two for a wide or
// full-width character of East Asia and most emoji, none for combining marks and
// joiners, one for all else (Unicode Standard Annex 11; what it calls ambiguous
// counts as one).
func columns(s string) int {
	n := 0
	for _, r := range s {
		n += runeColumns(r)
	}
	return n
}

func runeColumns(r rune) int {
	switch {
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// cut splits s behind the last character that fits into n columns, but behind
// one character at least. Marks stay with their letter.
func cut(s string, n int) (head, tail string) {
	used := 0
	for i, r := range s {
		w := runeColumns(r)
		if i > 0 && w > 0 && used+w > n {
			return s[:i], s[i:]
		}
		used += w
	}
	return s, ""
}
