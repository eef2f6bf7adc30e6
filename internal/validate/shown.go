package validate

import (
	"bytes"
	"path"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/finding"
)

// Search finds private values in texts, all of them in one walk over the text: the words of a value in a row, and a number
// however its figures are parted.
type Search struct {
	phrases map[string][]Sought // by Words
	lengths map[string][]int    // by the first word: of how many words the phrases are that begin with it
	codes   map[string][]Sought
	ends    map[string][]Sought
	longest int                      // of codes and ends, in bytes
	starts  map[[beginning]byte]bool // how codes and ends begin
}

// beginning is how many characters tell nearly always that a number is none of those looked for.
const beginning = 3

// NewSearch makes a search for values.
func NewSearch(values []Sought) *Search {
	s := &Search{phrases: map[string][]Sought{}, lengths: map[string][]int{}, codes: map[string][]Sought{}, ends: map[string][]Sought{}, starts: map[[beginning]byte]bool{}}
	for _, v := range values {
		first, _, _ := strings.Cut(v.Words, " ")
		if n := strings.Count(v.Words, " ") + 1; !slices.Contains(s.lengths[first], n) {
			s.lengths[first] = append(s.lengths[first], n)
		}
		s.phrases[v.Words] = append(s.phrases[v.Words], v)
		s.number(s.codes, v.codes, v)
		s.number(s.ends, v.ends, v)
	}
	return s
}

func (s *Search) number(into map[string][]Sought, numbers []string, v Sought) {
	for _, n := range numbers {
		into[n] = append(into[n], v)
		s.longest = max(s.longest, len(n))
		s.starts[[beginning]byte([]byte(n))] = true
	}
}

// Empty says that nothing is looked for.
func (s *Search) Empty() bool { return len(s.phrases) == 0 }

// Shows gives the first private value that a text shows, and the byte at which it begins, leaving those out that are let be.
func (s *Search) Shows(text string, letBe func(Sought) bool) (value Sought, at int, shown bool) {
	if s.Empty() {
		return Sought{}, 0, false
	}
	words := tokens(text)
	for i := range words {
		if value, shown = s.begins(words[i:], letBe); shown {
			return value, words[i].at, true
		}
	}
	return Sought{}, 0, false
}

// begins looks whether a value begins with the first of these words.
func (s *Search) begins(words []token, letBe func(Sought) bool) (Sought, bool) {
	for _, n := range s.lengths[words[0].word] {
		if n > len(words) {
			continue
		}
		phrase := words[0].word
		for _, w := range words[1:n] {
			phrase += " " + w.word
		}
		if v, shown := notLetBe(s.phrases[phrase], letBe); shown {
			return v, true
		}
	}
	if s.longest == 0 {
		return Sought{}, false
	}
	return s.numberBegins(words, letBe)
}

// mostBefore is how many figures may stand before a telephone number in the same word, for country and trunk.
const mostBefore = 5

// numberBegins puts words together as long as they could be a number that is looked for. A telephone number may begin behind
// the first figures of the first word.
func (s *Search) numberBegins(words []token, letBe func(Sought) bool) (Sought, bool) {
	var space [mostCode + mostBefore]byte
	number := space[:0]
	from, most := 0, 0
	if strings.Trim(words[0].word, figureSet) == "" {
		most = min(mostBefore, len(words[0].word)-1)
	}
	for _, w := range words {
		if len(number)+len(w.word) > min(s.longest+mostBefore, len(space)) {
			break
		}
		number = append(number, w.word...)
		for from <= most && len(number) >= from+beginning && !s.starts[[beginning]byte(number[from:])] {
			from++
		}
		if from > most {
			break
		}
		for at := from; at <= most && at < len(number); at++ {
			if v, shown := notLetBe(s.ends[string(number[at:])], letBe); shown {
				return v, true
			}
		}
		if v, shown := notLetBe(s.codes[string(number)], letBe); shown {
			return v, true
		}
	}
	return Sought{}, false
}

func notLetBe(values []Sought, letBe func(Sought) bool) (Sought, bool) {
	for _, v := range values {
		if !letBe(v) {
			return v, true
		}
	}
	return Sought{}, false
}

// ShownIn says where the text of a file shows a private value, nil where it shows none. It never repeats the value. A file that
// is JSON is read for what its texts say too, so that no spelling of a character hides one.
func (s *Search) ShownIn(at string, text []byte, letBe func(Sought) bool) *finding.Finding {
	if value, begins, shown := s.Shows(string(text), letBe); shown {
		doc := canon.Document{Source: text}
		return shownAt(at, doc.Position(begins), value)
	}
	if s.Empty() || bytes.IndexByte(text, '\\') < 0 || path.Ext(at) != ".json" {
		return nil
	}
	doc, err := canon.Parse(text, canon.DefaultLimits())
	if err != nil {
		return nil
	}
	var found *finding.Finding
	eachText(doc.Root, func(said string, start int) bool {
		value, _, shown := s.Shows(said, letBe)
		if shown {
			found = shownAt(at, doc.Position(start), value)
		}
		return !shown
	})
	return found
}

func shownAt(at string, place canon.Position, value Sought) *finding.Finding {
	return &rated([]finding.Finding{{Code: "private-shown", File: at, Line: place.Line, Column: place.Column,
		Message: "a private value is shown here, and a ledger never forgets",
		Hint:    "say it without the name, address, price or number that is sealed; " + value.At + " holds which it is"}})[0]
}

// eachText visits the texts of a document, names of members too, until visit has seen enough.
func eachText(n *canon.Node, visit func(text string, start int) bool) bool {
	if n.Kind == canon.String && !visit(n.Text, n.Start) {
		return false
	}
	for _, m := range n.Members {
		if !visit(m.Name, m.NameStart) || !eachText(m.Value, visit) {
			return false
		}
	}
	return !slices.ContainsFunc(n.Elements, func(e *canon.Node) bool { return !eachText(e, visit) })
}
