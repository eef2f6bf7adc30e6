package doc

import (
	"fmt"
	"strings"
)

// Style says what a span is, not how it looks.
type Style uint8

// The styles of a span.
const (
	// StylePlain is ordinary text.
	StylePlain Style = iota
	// StyleStrong is what the eye should find first.
	StyleStrong
	// StyleLiteral is kept as it was read: spaces count and no break is wanted.
	StyleLiteral
	// StyleSource is a quiet reference to what the statement before it rests
	// on. Renderers set it apart from its neighbour by themselves.
	StyleSource
	// StyleStruck was said once and has been corrected or withdrawn.
	StyleStruck
	// StyleMissing stands where the records say nothing.
	StyleMissing
	// StyleWithheld stands where the records hold only a seal.
	StyleWithheld
	// StyleTranscribed was copied from a paper by somebody other than its author.
	StyleTranscribed

	styleCount
)

// Span is a run of text in one style.
type Span struct {
	Style Style
	Text  string
	// Target, if not empty, is the anchor in this document that the span
	// points at.
	Target string
}

// Text is a run of spans; they are set one after the other without a space in
// between, save before a source.
type Text []Span

// Plain is text as it stands; no placeholder in it is looked at.
func Plain(s string) Span { return Span{Text: s} }

// Strong is text that the eye should find first.
func Strong(s string) Span { return Span{Style: StyleStrong, Text: s} }

// Literal is text kept as it was read, spaces included.
func Literal(s string) Span { return Span{Style: StyleLiteral, Text: s} }

// Struck is what has been corrected or withdrawn.
func Struck(s string) Span { return Span{Style: StyleStruck, Text: s} }

// Missing says what the records lack; an empty s reads "not stated".
func Missing(s string) Span {
	if s == "" {
		s = "not stated"
	}
	return Span{Style: StyleMissing, Text: s}
}

// Withheld says that a value is sealed: "withheld", and behind a colon what
// s says of it.
func Withheld(s string) Span {
	text := "withheld"
	if s != "" {
		text += ": " + s
	}
	return Span{Style: StyleWithheld, Text: text}
}

// Transcribed is what somebody copied from a paper that another wrote.
func Transcribed(s string) Span { return Span{Style: StyleTranscribed, Text: s} }

// See points at another place of the same document.
func See(anchor, s string) Span { return Span{Text: s, Target: anchor} }

// FromRecord is a quiet reference to a record and, if line is above 0, a line
// of its file.
func FromRecord(path string, line int) Span {
	if line > 0 {
		path = fmt.Sprintf("%s:%d", path, line)
	}
	return Span{Style: StyleSource, Text: path}
}

// FromCommit is a quiet reference to a commit, cut to twelve characters.
func FromCommit(id string) Span {
	return Span{Style: StyleSource, Text: "commit " + firstRunes(id, 12)}
}

// FromDigest is a quiet reference to a file by its hex SHA-256, cut to
// sixteen characters; where the reader is to compare it, print it whole as a
// [Literal].
func FromDigest(hex string) Span {
	short := firstRunes(hex, 16)
	if short != hex {
		short += "…"
	}
	return Span{Style: StyleSource, Text: "sha256 " + short}
}

// FromClause is a quiet reference to a clause of a standard, a rule or a paper.
func FromClause(clause string) Span { return Span{Style: StyleSource, Text: clause} }

func firstRunes(s string, n int) string {
	for i := range s {
		if n == 0 {
			return s[:i]
		}
		n--
	}
	return s
}

// Say makes a text of a sentence in which each {} stands for an argument: a
// string, a [Span], a [Text], or anything that fmt prints. Without arguments the
// sentence is taken as it stands. A wrong number of arguments leaves "{!missing}"
// or "{!extra ...}" in the text, which [Check] finds. Values from records belong
// into the arguments, never into the sentence.
func Say(sentence string, args ...any) Text {
	if len(args) == 0 {
		return Text{}.plain(sentence)
	}
	var t Text
	for {
		before, after, found := strings.Cut(sentence, "{}")
		t = t.plain(before)
		if !found {
			break
		}
		if len(args) == 0 {
			t = t.plain("{!missing}")
		} else {
			t = append(t, spans(args[0])...)
			args = args[1:]
		}
		sentence = after
	}
	for _, a := range args {
		t = t.plain("{!extra ").with(spans(a)).plain("}")
	}
	return t
}

// And returns the text followed by more, as [Say] would make it.
func (t Text) And(sentence string, args ...any) Text {
	return append(t[:len(t):len(t)], Say(sentence, args...)...)
}

// From returns the text followed by sources.
func (t Text) From(sources ...Span) Text { return append(t[:len(t):len(t)], sources...) }

// Sources are the quiet references in the text.
func (t Text) Sources() []Span {
	var sources []Span
	for _, s := range t {
		if s.Style == StyleSource {
			sources = append(sources, s)
		}
	}
	return sources
}

// String is the text without its styles.
func (t Text) String() string {
	var b strings.Builder
	for i, s := range t {
		if s.Style == StyleSource && i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(s.Text)
	}
	return b.String()
}

func (t Text) plain(s string) Text {
	if s == "" {
		return t
	}
	return append(t, Plain(s))
}

func (t Text) with(more Text) Text { return append(t, more...) }

func spans(a any) Text {
	switch a := a.(type) {
	case Text:
		return a
	case Span:
		return Text{a}
	case string:
		return Text{}.plain(a)
	case nil:
		return nil
	default:
		return Text{}.plain(fmt.Sprint(a))
	}
}
