package canon

import (
	"bytes"
	"errors"
	"fmt"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// explain words the decoder's refusal for the person who wrote the file. The
// decoder decides that something is wrong; what it was is found by looking from
// the end of the last token that was right, in the light of the open container.
// The decoder's own texts are not used: they may change, and speak of grammar.
func (p *parser) explain(err error) error {
	if bad := firstInvalidUTF8(p.src); bad >= 0 {
		return p.encodingFault(bad)
	}
	if errors.Is(err, jsontext.ErrDuplicateName) {
		return p.duplicateName(err)
	}
	s := scanner{src: p.src, at: int(p.dec.InputOffset())}
	s.skipBlanks()
	if len(p.open) > 0 {
		s.inside(p, &p.open[len(p.open)-1])
	} else {
		s.value("the file is empty", `a record begins with "{"`)
	}
	if s.message == "" { // no text is known that comes here
		s.blame("this cannot be read", "")
	}
	return p.fail(s.at, s.message, s.hint)
}

// firstInvalidUTF8 returns the offset of the first byte that is not UTF-8, or -1.
func firstInvalidUTF8(src []byte) int {
	for i := 0; i < len(src); {
		r, size := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

// encodingFault reports bytes that are not UTF-8.
func (p *parser) encodingFault(offset int) error {
	if bytes.HasPrefix(p.src, []byte("\xff\xfe")) || bytes.HasPrefix(p.src, []byte("\xfe\xff")) {
		return p.fail(0, "the file is encoded as UTF-16", "save it as UTF-8 without a byte order mark")
	}
	return p.fail(offset, fmt.Sprintf("the byte %#02x is not UTF-8 text", p.src[offset]),
		"save the file as UTF-8; an old editor may have used another encoding for accented letters")
}

// duplicateName reports a name that stands twice in one object, at the second.
func (p *parser) duplicateName(err error) error {
	s := scanner{src: p.src, at: int(p.dec.InputOffset())}
	s.skipBlanks()
	s.take(',')
	s.skipBlanks()
	var fault *jsontext.SyntacticError
	errors.As(err, &fault)
	name := fault.JSONPointer.LastToken()
	top := p.open[len(p.open)-1]
	var first Position
	for _, m := range p.members[top.first:] {
		if m.Name == name {
			first = positionIn(p.src, m.NameStart)
			break
		}
	}
	refused := p.fail(s.at, fmt.Sprintf("%s stands twice in one object, first in line %d", quote(name), first.Line),
		"keep one of the two").(*SyntaxError)
	refused.Pointer = string(fault.JSONPointer)
	return refused
}

// scanner looks for the fault from a known good place on. It stops at the fault
// with a message, or comes to the end without one.
type scanner struct {
	src           []byte
	at            int
	message, hint string
}

// blame sets the message unless one is set already.
func (s *scanner) blame(message, hint string) {
	if s.message == "" {
		s.message, s.hint = message, hint
	}
}

// inside looks on from a place between the tokens of an object or list.
func (s *scanner) inside(p *parser, c *container) {
	word, closing := "list", "]"
	empty := len(p.elements) == c.first
	if c.node.Kind == Object {
		word, closing = "object", "}"
		empty = len(p.members) == c.first
	}
	unclosed := fmt.Sprintf("the file ends before the %s of line %d is closed", word, positionIn(p.src, c.node.Start).Line)
	unclosedHint := "close it with " + quote(closing) + ", or see whether the end of the file was lost"
	switch {
	case c.named:
		s.afterName(unclosed, unclosedHint)
	case empty && c.node.Kind == Object:
		s.name(unclosed, unclosedHint)
	case empty:
		s.value(unclosed, unclosedHint)
	default:
		s.afterMember(c.node.Kind, unclosed, unclosedHint)
	}
}

// afterName looks for the colon and the value.
func (s *scanner) afterName(unclosed, unclosedHint string) {
	switch {
	case s.ended():
		s.blame(unclosed, unclosedHint)
	case !s.take(':'):
		s.blame("a colon is missing between the name and this", `write a name, a colon and a value, as in "name": "fuel tank"`)
	default:
		s.skipBlanks()
		s.value(unclosed, unclosedHint)
	}
}

// afterMember looks for the comma and what follows it.
func (s *scanner) afterMember(kind Kind, unclosed, unclosedHint string) {
	comma := s.at
	switch {
	case s.ended():
		s.blame(unclosed, unclosedHint)
		return
	case !s.take(','):
		s.notAComma(kind)
		return
	}
	s.skipBlanks()
	if !s.ended() && (s.src[s.at] == '}' || s.src[s.at] == ']') {
		s.at = comma
		s.blame("nothing follows this comma", "delete the comma after the last entry")
	} else if kind == Object {
		s.name(unclosed, unclosedHint)
	} else {
		s.value(unclosed, unclosedHint)
	}
}

// notAComma explains what stands where a comma or the closing bracket should.
func (s *scanner) notAComma(kind Kind) {
	switch c := s.src[s.at]; {
	case s.glued(), s.comment():
	case c == '}' || c == ']':
		s.wrongBracket(kind)
	case c == ':' && kind == Array:
		s.blame("a colon stands in a list", `a list holds values alone; names and values stand in an object, between "{" and "}"`)
	case kind == Object && c == '"':
		s.blame("a comma is missing before this name", "put a comma after the value before it")
	case kind == Array && startsValue(c):
		s.blame("a comma is missing before this value", "put a comma after the value before it")
	default:
		s.blame(s.sample()+" stands where a comma or the end belongs", "see whether a quote or a comma is missing before it")
	}
}

// glued explains a number or word of which the decoder took the beginning for a
// whole value, as in 012 or nullx, and reports whether this is one.
func (s *scanner) glued() bool {
	begin := s.at
	for begin > 0 && isWordRune(rune(s.src[begin-1])) {
		begin--
	}
	if begin == s.at || s.ended() || !isWordRune(s.rune()) && s.src[s.at] != '.' && s.src[s.at] != '+' {
		return false
	}
	s.at = begin
	s.value("", "")
	return true
}

// wrongBracket explains a closing bracket of the other sort.
func (s *scanner) wrongBracket(kind Kind) {
	if kind == Object {
		s.blame(`this object is closed by "]"`, `close an object with "}"`)
		return
	}
	s.blame(`this list is closed by "}"`, `close a list with "]"`)
}

// name looks at what stands where a member name belongs.
func (s *scanner) name(unclosed, unclosedHint string) {
	const quoted = `put names in straight double quotes, as in "name"`
	switch {
	case s.ended():
		s.blame(unclosed, unclosedHint)
	case s.src[s.at] == '"':
		s.quoted("name")
	case s.comment():
	case s.src[s.at] == ',':
		s.blame("there is nothing before this comma", "delete it")
	case s.src[s.at] == ':':
		s.blame("the name before this colon is missing", quoted)
	case s.src[s.at] == ']':
		s.wrongBracket(Object)
	default:
		s.blame("a name belongs here, and "+s.sample()+" is not in quotes", quoted)
	}
}

// comment explains a comment, and reports whether there is one.
func (s *scanner) comment() bool {
	if c := s.src[s.at]; c != '/' && c != '#' {
		return false
	}
	s.blame("a comment cannot stand in a record", `write what is to be kept into a member such as "note"`)
	return true
}

func (s *scanner) ended() bool { return s.at >= len(s.src) }

// take steps over c if it comes next.
func (s *scanner) take(c byte) bool {
	if s.ended() || s.src[s.at] != c {
		return false
	}
	s.at++
	return true
}

func (s *scanner) skipBlanks() {
	for !s.ended() && bytes.IndexByte([]byte(" \t\r\n"), s.src[s.at]) >= 0 {
		s.at++
	}
}

// sample quotes what stands here: a word, or else one character.
func (s *scanner) sample() string {
	rest := s.src[s.at:]
	size := bytes.IndexFunc(rest, func(r rune) bool { return !isWordRune(r) })
	if size < 0 {
		size = len(rest)
	}
	if size == 0 {
		_, size = utf8.DecodeRune(rest)
	}
	return quote(string(rest[:size]))
}
