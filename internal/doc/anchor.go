package doc

import (
	"fmt"
	"strings"
)

// Anchor makes an anchor of any string, such as a record's path. Different
// strings give different anchors: letters, digits and hyphens stay, a slash becomes a dot,
// all else its code point between underscores.
func Anchor(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case anchorRune(r):
			b.WriteRune(r)
		case r == '/':
			b.WriteByte('.')
		default:
			fmt.Fprintf(&b, "_%x_", r)
		}
	}
	return b.String()
}

func anchorRune(r rune) bool {
	return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-'
}

func validAnchor(s string) bool {
	for _, r := range s {
		if !anchorRune(r) && r != '.' && r != '_' {
			return false
		}
	}
	return s != ""
}
