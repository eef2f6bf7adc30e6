package canon

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// value looks at what stands where a value belongs; missing and its hint are
// said when the file ends here.
func (s *scanner) value(missing, missingHint string) {
	if s.ended() {
		s.blame(missing, missingHint)
		return
	}
	switch c := s.src[s.at]; {
	case c == '"':
		s.quoted("text")
	case c >= '0' && c <= '9', c == '-', c == '+', c == '.':
		s.number()
	case s.comment():
	case isWordRune(s.rune()):
		s.word()
	default:
		s.symbol(c)
	}
}

// symbol explains a character that begins no value.
func (s *scanner) symbol(c byte) {
	switch r := s.rune(); {
	case c == ',':
		s.blame("there is no value before this comma", "write the value, or delete the comma")
	case c == ':':
		s.blame("there is a colon too many here", "write one colon between a name and its value")
	case c == '}' || c == ']':
		s.blame("there is no value before this bracket", "write the value, or delete the name or the bracket")
	case strings.ContainsRune("'`´‘’“”„«»", r):
		s.blame("this text is not in straight double quotes", `write texts between two "`)
	case r == '\ufeff':
		s.blame("the file begins with a byte order mark", "save it as UTF-8 without a byte order mark")
	case unicode.IsPrint(r):
		s.blame(s.sample()+" stands where a value belongs", "put texts in straight double quotes")
	default:
		s.blame(fmt.Sprintf("an invisible character stands here, U+%04X", r), "delete it; use spaces and line feeds alone between values")
	}
}

// number explains a malformed number.
func (s *scanner) number() {
	end := s.at
	for end < len(s.src) && bytes.IndexByte([]byte(" \t\r\n,:]}[{\""), s.src[end]) < 0 {
		end++
	}
	text := string(s.src[s.at:end])
	digits := strings.TrimLeft(text, "+-")
	switch {
	case strings.HasPrefix(text, "+"):
		s.blame("a number cannot begin with +", "leave the + out, or write the number as text, in quotes")
	case len(digits) > 1 && digits[0] == '0' && digits[1] >= '0' && digits[1] <= '9':
		s.blame(shorten(text)+": a number cannot begin with 0", "leave the 0 out, or write a part or chassis number as text, in quotes")
	default:
		s.blame(shorten(text)+" is not a number a record can hold", `write whole numbers bare, and measures as text with their unit, as in "12.5 kg"`)
	}
}

// word explains a bare word: a misspelt literal or a text without quotes.
func (s *scanner) word() {
	end := s.at
	for end < len(s.src) {
		r, size := utf8.DecodeRune(s.src[end:])
		if !isWordRune(r) {
			break
		}
		end += size
	}
	text := string(s.src[s.at:end])
	for _, literal := range []string{"true", "false", "null"} {
		if strings.HasPrefix(literal, strings.ToLower(text)) && (len(text) > 1 || end == len(s.src)) {
			s.blame(quote(text)+" is not a value", "write it as "+literal)
			return
		}
	}
	s.blame(quote(text)+" is not in quotes", "put texts in straight double quotes")
}

// quoted explains a text or name that goes wrong after its opening quote.
func (s *scanner) quoted(what string) {
	start := s.at
	for s.at++; s.message == ""; {
		switch {
		case s.ended():
			s.unclosed(what, start)
		case s.src[s.at] == '\n' || s.src[s.at] == '\r':
			s.unclosed(what, start)
		case s.src[s.at] == '"':
			return
		case s.src[s.at] == '\\':
			s.escape()
		case s.src[s.at] == '\t':
			s.blame("there is a tab inside this "+what, `write a tab as \t`)
		case s.src[s.at] < ' ':
			s.blame(fmt.Sprintf("there is a control character inside this %s, U+%04X", what, s.src[s.at]), "delete it")
		default:
			s.at++
		}
	}
}

// unclosed reports, at its start, a text that runs into the end of its line.
func (s *scanner) unclosed(what string, start int) {
	s.at = start
	s.blame("this "+what+" is not closed", `end it with " in the same line; a line break inside a text is written \n`)
}

// escape steps over one escape, or over both halves of a surrogate pair, and
// explains the ones that are none.
func (s *scanner) escape() {
	rest := s.src[s.at:]
	if len(rest) < 2 || rest[1] == '\n' || rest[1] == '\r' { // then the text is not closed either
		s.at++
		return
	}
	if bytes.IndexByte([]byte(`"\/bfnrt`), rest[1]) >= 0 {
		s.at += 2
		return
	}
	if rest[1] != 'u' {
		_, size := utf8.DecodeRune(rest[1:])
		s.blame(fmt.Sprintf("%s is not an escape", string(rest[:1+size])), `write a backslash itself as \\`)
		return
	}
	unit, ok := codeUnit(rest)
	switch {
	case !ok:
		s.blame(`\u is not followed by four hexadecimal digits`, `write the character itself, or four digits as in \u00b5`)
	case unit < 0xd800 || unit > 0xdfff:
		s.at += 6
	case unit < 0xdc00 && isLowSurrogate(rest[6:]):
		s.at += 12
	default:
		s.blame(string(rest[:6])+" is half a character", "write the character itself")
	}
}

func isLowSurrogate(b []byte) bool {
	unit, ok := codeUnit(b)
	return ok && unit >= 0xdc00 && unit <= 0xdfff
}

// codeUnit reads the escape \uXXXX at the beginning of b.
func codeUnit(b []byte) (unit uint16, ok bool) {
	if len(b) < 6 || b[0] != '\\' || b[1] != 'u' {
		return 0, false
	}
	value, err := strconv.ParseUint(string(b[2:6]), 16, 16)
	return uint16(value), err == nil && b[2] != '+' && b[2] != '-'
}

func (s *scanner) rune() rune {
	r, _ := utf8.DecodeRune(s.src[s.at:])
	return r
}

// isWordRune reports whether r can belong to a bare word.
func isWordRune(r rune) bool {
	return r == '_' || r == '-' || unicode.IsLetter(r) || unicode.IsDigit(r)
}

// startsValue reports whether c can begin a value.
func startsValue(c byte) bool {
	return bytes.IndexByte([]byte(`"{[-0123456789`), c) >= 0 || c >= 'a' && c <= 'z'
}

// quote puts text between quotes, shortened, with escapes only where a
// character would not be seen.
func quote(text string) string {
	text = shorten(text)
	if strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return strconv.Quote(text)
	}
	return `"` + text + `"`
}

// shorten keeps quoted matter from filling the screen.
func shorten(text string) string {
	const most = 24
	seen := 0
	for i := range text {
		if seen == most {
			return text[:i] + "…"
		}
		seen++
	}
	return text
}
