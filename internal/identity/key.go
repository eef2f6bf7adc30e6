package identity

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Unknown stands in a key for one place that could not be made out.
const Unknown = "?"

// Beyond these sizes a text is prose, not a number; it is not taken apart.
const (
	maxBytes  = 1024
	maxPlaces = 64
)

// Place is one character of a number: a base character with its accents.
type Place struct {
	Char    string // in the key: NFC, capital; Unknown when it could not be made out
	Written string // as it stood in the raw string (NFC)
	Divided bool   // decoration stood between this place and the one before it
}

// Dropped is a run of decoration that the key leaves out.
type Dropped struct {
	What   string // space, star, dash, dot, slash, quotation mark, invisible character
	Text   string // as written
	Before int    // number (from 1) of the place it stood before; one past the last at the end
}

// Oddity is a character of the key that a reader could take for another one, or
// that numbers do not usually hold. It is pointed out, never replaced.
type Oddity struct {
	Place    int    // from 1
	Char     string // as it stands in the key
	Sentence string // what it is, in plain words
}

// Form is what Key makes of a raw number: the places that count, and an account
// of everything that does not.
type Form struct {
	Places   []Place
	Dropped  []Dropped
	Oddities []Oddity
	Small    bool // small letters were taken as capitals
	TooLong  bool // more than 64 places or 1024 bytes: a text, not a number; Places is empty
}

// Key derives the comparison key of a number as read. See the package comment
// for what counts and what is decoration.
func Key(raw string) Form {
	if len(raw) > maxBytes {
		return Form{TooLong: true}
	}
	var f Form
	text := norm.NFC.String(raw)
	for len(text) > 0 {
		var char string
		char, text = firstChar(text)
		f.add(char)
	}
	if len(f.Places) > maxPlaces {
		return Form{TooLong: true}
	}
	return f
}

// firstChar splits off one base rune with the combining marks that follow it.
func firstChar(text string) (char, rest string) {
	_, n := utf8.DecodeRuneInString(text)
	for n < len(text) {
		r, size := utf8.DecodeRuneInString(text[n:])
		if !unicode.Is(unicode.M, r) {
			break
		}
		n += size
	}
	return text[:n], text[n:]
}

func (f *Form) add(char string) {
	if what := decoration(char); what != "" {
		f.drop(what, char)
		return
	}
	p := Place{Char: capital(char), Written: char, Divided: f.justDropped()}
	if p.Char == "？" {
		p.Char = Unknown
	}
	f.Small = f.Small || p.Char != char && p.Char != Unknown
	f.Places = append(f.Places, p)
	if what := oddity(p.Char); what != "" {
		f.Oddities = append(f.Oddities, Oddity{Place: len(f.Places), Char: p.Char, Sentence: what})
	}
}

func (f *Form) drop(what, char string) {
	before := len(f.Places) + 1
	if n := len(f.Dropped); n > 0 && f.Dropped[n-1].Before == before && f.Dropped[n-1].What == what {
		f.Dropped[n-1].Text += char
		return
	}
	f.Dropped = append(f.Dropped, Dropped{What: what, Text: char, Before: before})
}

// justDropped tells whether decoration stands between the last place and what comes next.
func (f *Form) justDropped() bool {
	n := len(f.Dropped)
	return len(f.Places) > 0 && n > 0 && f.Dropped[n-1].Before == len(f.Places)+1
}

// String is the key as text: places without separators, Unknown as "?". Two
// forms have the same String exactly when all their places are the same.
func (f Form) String() string {
	var b strings.Builder
	for _, p := range f.Places {
		b.WriteString(p.Char)
	}
	return b.String()
}

// Known counts the places that were made out.
func (f Form) Known() int {
	n := 0
	for _, p := range f.Places {
		if p.Char != Unknown {
			n++
		}
	}
	return n
}

// Pattern tells whether some place could not be made out.
func (f Form) Pattern() bool { return f.Known() < len(f.Places) }

// divisions lists the places (from 1) before which the writing was divided.
func (f Form) divisions() []int {
	var at []int
	for i, p := range f.Places {
		if p.Divided {
			at = append(at, i+1)
		}
	}
	return at
}

// capital takes a character to its capital, unless that would carry a letter of
// another alphabet over into plain Latin (dotless i, long s): such a letter
// stays itself and is pointed out.
func capital(char string) string {
	r, n := utf8.DecodeRuneInString(char)
	up := unicode.ToUpper(r)
	if r == utf8.RuneError || r >= utf8.RuneSelf && up < utf8.RuneSelf {
		return char
	}
	return norm.NFC.String(string(up) + char[n:])
}

// decoration names what a character is when it is writing and not number; it is
// empty for a character that counts. A mark bearing an accent is no decoration:
// somebody meant something by it.
func decoration(char string) string {
	r, n := utf8.DecodeRuneInString(char)
	if n != len(char) {
		return ""
	}
	switch {
	case unicode.IsSpace(r):
		return "space"
	case strings.ContainsRune("*＊∗⁎⋆٭★☆✱✲✳✴✶✻✽", r):
		return "star"
	case unicode.Is(unicode.Pd, r) || r == '−':
		return "dash"
	case strings.ContainsRune(".．·•∙⋅", r):
		return "dot"
	case strings.ContainsRune("/\\／＼⁄∕", r):
		return "slash"
	case unicode.In(r, unicode.Pi, unicode.Pf) || r == '\'' || r == '"' || r == '＇' || r == '＂' || r == '„':
		return "quotation mark"
	case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
		return "invisible character"
	}
	return ""
}
