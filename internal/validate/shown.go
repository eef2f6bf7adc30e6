package validate

import (
	"bytes"
	"path"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/record"
)

// Sought is a private value as it is looked for in texts: its words in small letters with one space between, so that the name of
// a file shows a person's too. At names the file that discloses it, for whoever is to look there. OfCar says that it is what
// another car is called, which is no secret in that car itself.
type Sought struct {
	Words, At string
	OfCar     bool
}

// leastShown is how many characters a private value has to have to be looked for: shorter ones stand in every other word.
const leastShown = 5

// SoughtFrom gives what to look for, of a file of a private value. Apart says that it is of another car: a single word stands
// there for too much else to be looked for in this one.
func SoughtFrom(file []byte, at string, apart bool) (Sought, bool) {
	one, err := record.ParseDisclosure(file)
	if err != nil {
		return Sought{}, false
	}
	words := Words(one.Value)
	if len([]rune(words)) < leastShown || apart && !strings.ContainsFunc(words, func(r rune) bool { return r == ' ' || unicode.IsDigit(r) }) {
		return Sought{}, false
	}
	return Sought{words, at, strings.HasSuffix(one.Pointer, "/other-car")}, true
}

// Shows gives the first private value that a text shows, leaving those out that are said openly.
func Shows(text string, values []Sought, open func(Sought) bool) (Sought, bool) {
	if len(values) == 0 {
		return Sought{}, false
	}
	words := " " + Words(text) + " "
	i := slices.IndexFunc(values, func(v Sought) bool { return strings.Contains(words, " "+v.Words+" ") && !open(v) })
	if i < 0 {
		return Sought{}, false
	}
	return values[i], true
}

// ShownIn says where the text of a file shows a private value, nil where it shows none. It never repeats the value. A file that
// is JSON is read for what its texts say too, so that no spelling of a character hides one.
func ShownIn(at string, text []byte, values []Sought, open func(Sought) bool) *finding.Finding {
	if value, shown := Shows(string(text), values, open); shown {
		doc := canon.Document{Source: text}
		return shownAt(at, doc.Position(placeOf(string(text), value.Words)), value)
	}
	if !bytes.Contains(text, []byte(`\u`)) || path.Ext(at) != ".json" {
		return nil
	}
	doc, err := canon.Parse(text, canon.DefaultLimits())
	if err != nil {
		return nil
	}
	var found *finding.Finding
	eachText(doc.Root, func(said string, start int) bool {
		value, shown := Shows(said, values, open)
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

func notInWord(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) }

// Words gives a text in small letters with one space between its words.
func Words(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(norm.NFC.String(s)), notInWord), " ")
}

// placeOf gives the byte at which words begin in a text that shows them; 0 where its letters are composed otherwise.
func placeOf(text, words string) int {
	want := strings.Fields(words)
	var starts []int
	var have []string
	for at := 0; at < len(text); {
		begin := strings.IndexFunc(text[at:], func(r rune) bool { return !notInWord(r) })
		if begin < 0 {
			break
		}
		begin += at
		end := strings.IndexFunc(text[begin:], notInWord)
		if at = begin + end; end < 0 {
			at = len(text)
		}
		starts, have = append(starts, begin), append(have, Words(text[begin:at]))
	}
	for i := range have {
		if i+len(want) <= len(have) && slices.Equal(have[i:i+len(want)], want) {
			return starts[i]
		}
	}
	return 0
}
