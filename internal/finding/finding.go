// Package finding holds the one diagnostic value of the program: what is wrong
// or worth knowing, where it stands, and what would be right.
//
// A finding is a result, not an error: a check that could be made and found
// something returns findings, a check that could not be made returns an error.
// The package imports nothing of this module, so that every other may use it.
package finding

import (
	"bytes"
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Finding is one diagnosis. The zero value of every field but Code and Message
// is allowed and means "not known" or "does not apply".
type Finding struct {
	// Severity says how much it matters; the zero value is Error.
	Severity Severity `json:"severity"`
	// Code names the rule in kebab-case, such as "order-not-stated".
	Code string `json:"code"`
	// Car is the handle of the car when findings of several are listed together.
	Car string `json:"car,omitempty"`
	// File is the path in the ledger, slash-separated.
	File string `json:"file,omitempty"`
	// Line counts from 1; 0 is unknown.
	Line int `json:"line,omitempty"`
	// Column counts characters from 1; 0 is unknown.
	Column int `json:"column,omitempty"`
	// Pointer is the JSON pointer (RFC 6901) of the value meant; empty is the whole record.
	Pointer string `json:"pointer,omitempty"`
	// Message says what is wrong: lower case, no full stop.
	Message string `json:"message"`
	// Hint says what would be right, in the same grammar.
	Hint string `json:"hint,omitempty"`
}

// String gives "file:line:column: message [code]", leaving out what is not
// known. Characters that would steer a terminal or reverse the reading
// direction are shown as escapes, because names and messages quote files that
// strangers wrote. The hint is left to the caller.
func (f Finding) String() string {
	var b strings.Builder
	if f.File != "" {
		b.WriteString(f.File)
		if f.Line > 0 {
			b.WriteString(":" + strconv.Itoa(f.Line))
			if f.Column > 0 {
				b.WriteString(":" + strconv.Itoa(f.Column))
			}
		}
		b.WriteString(": ")
	}
	b.WriteString(f.Message)
	if f.Code != "" {
		b.WriteString(" [" + f.Code + "]")
	}
	return Printable(b.String())
}

// Printable replaces every control, format and invalid character of s by a
// visible escape such as \u001b, so that quoted text stays on its line and
// cannot pose as something else.
func Printable(s string) string {
	if strings.IndexFunc(s, steers) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case !steers(r):
			b.WriteRune(r)
		case r > 0xffff:
			b.WriteString(`\U` + hex(r, 8))
		default:
			b.WriteString(`\u` + hex(r, 4))
		}
	}
	return b.String()
}

// InJSON writes the characters of a JSON text that [Printable] would replace as
// escapes of JSON, which say the same. Such characters stand in texts alone, but for
// the line ends and tabs between values, which stay.
func InJSON(text []byte) []byte {
	if !bytes.ContainsFunc(text, steersInJSON) {
		return text
	}
	out := make([]byte, 0, len(text)+len(text)/8)
	for _, r := range string(text) {
		switch {
		case !steersInJSON(r):
			out = utf8.AppendRune(out, r)
		case r > 0xffff:
			high, low := utf16.EncodeRune(r)
			out = append(out, `\u`+hex(high, 4)+`\u`+hex(low, 4)...)
		default:
			out = append(out, `\u`+hex(r, 4)...)
		}
	}
	return out
}

func steersInJSON(r rune) bool {
	return steers(r) && r != '\n' && r != '\r' && r != '\t' && r != unicode.ReplacementChar
}

// steers reports whether r moves the cursor or hides or reorders its neighbours.
// An invalid byte arrives here as U+FFFD.
func steers(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) ||
		r == '\u2028' || r == '\u2029' || r == unicode.ReplacementChar
}

func hex(r rune, width int) string {
	digits := strconv.FormatInt(int64(r), 16)
	return strings.Repeat("0", max(0, width-len(digits))) + digits
}

// Sort puts findings into the one order in which they are shown: by car, file,
// line, column, code and message. What is still equal is ordered by the
// remaining fields, so that any permutation of a list sorts to the same list.
func Sort(list []Finding) {
	slices.SortStableFunc(list, Compare)
}

// Compare is the order of Sort: negative when a comes before b.
func Compare(a, b Finding) int {
	return cmp.Or(
		cmp.Compare(a.Car, b.Car),
		cmp.Compare(a.File, b.File),
		cmp.Compare(a.Line, b.Line),
		cmp.Compare(a.Column, b.Column),
		cmp.Compare(a.Code, b.Code),
		cmp.Compare(a.Message, b.Message),
		cmp.Compare(a.Pointer, b.Pointer),
		cmp.Compare(a.Severity, b.Severity),
		cmp.Compare(a.Hint, b.Hint),
	)
}

// Worst returns the gravest severity in the list; ok is false when the list is
// empty and there is none.
func Worst(list []Finding) (worst Severity, ok bool) {
	worst = Note
	for _, f := range list {
		worst = min(worst, f.Severity)
	}
	return worst, len(list) > 0
}
