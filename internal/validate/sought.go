package validate

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"boltback/internal/record"
)

// Sought is a private value as it is looked for in texts.
type Sought struct {
	// Words are its words in small letters with one space between, so that the name of a file shows a person's too.
	Words string
	// At names the file that discloses it, for whoever is to look there; Folder is the one below private/ that the file lies in.
	At, Folder string
	// OfCar says that it is what another car is called, which is no secret in that car itself.
	OfCar bool
	// OneWord says that it is a single word without a figure, which stands for too much else to be looked for in other cars.
	OneWord bool
	// codes are the number that the value is, in small letters and figures alone, so that any spacing of it is known; ends are
	// what a telephone number ends with, whatever stands before for country and trunk.
	codes, ends []string
}

// leastShown is how many characters a private value has to have to be looked for: shorter ones stand in every other word.
const leastShown = 5

// SoughtFrom gives what to look for, of a file of a private value that lies in a folder below private/.
func SoughtFrom(file []byte, folder, name string) (Sought, bool) {
	one, err := record.ParseDisclosure(file)
	if err != nil {
		return Sought{}, false
	}
	v := Sought{Words: Words(one.Value), At: "private/" + folder + "/" + name, Folder: folder, OfCar: strings.HasSuffix(one.Pointer, "/other-car")}
	if len([]rune(v.Words)) < leastShown {
		return Sought{}, false
	}
	v.OneWord = !strings.ContainsFunc(v.Words, func(r rune) bool { return r == ' ' || unicode.IsDigit(r) })
	v.codes, v.ends = numbersIn(one.Value), endsOf(one.Value)
	return v, true
}

// How long a number has to be to be known in any spacing. Fewer figures stand together by chance, and eight may be a day.
const (
	leastMixed, leastFigures, leastEnd = 6, 9, 7
	leastCodeFigures                   = 3
	mostCode                           = 64
)

// numbersIn gives the number that a value is: a registration, a chassis number, an account, a price; nothing where it is words. A
// price is known with its currency first, too.
func numbersIn(value string) []string {
	figures, letters := 0, 0
	for _, r := range value {
		switch {
		case r >= '0' && r <= '9':
			figures++
		case r >= 'A' && r <= 'Z':
			letters++
		case !notInWord(r):
			return nil // small and foreign letters are words
		}
	}
	code := squeezed(Words(value))
	if figures < leastCodeFigures || len(code) > mostCode || len(code) < leastMixed || letters == 0 && len(code) < leastFigures {
		return nil
	}
	if amount, currency := strings.TrimRight(code, smallLetters), strings.TrimLeft(code, figureSet); len(currency) == 3 && amount+currency == code {
		return []string{code, currency + amount}
	}
	return []string{code}
}

const (
	smallLetters = "abcdefghijklmnopqrstuvwxyz"
	figureSet    = "0123456789"
)

// endsOf gives what a telephone number ends with: the subscriber's own figures, without country and trunk. Where nothing parts
// the country's figures from the others they may be one, two or three.
func endsOf(value string) []string {
	value = strings.TrimSpace(value)
	if strings.Trim(value, figureSet+" +-./()\u00a0\u2010\u2011\u2013") != "" || !strings.HasPrefix(value, "+") && !strings.HasPrefix(value, "0") {
		return nil
	}
	parts := strings.Fields(Words(value))
	abroad := strings.HasPrefix(value, "+") || strings.HasPrefix(value, "00")
	switch {
	case !abroad:
		return enough(strings.Join(parts, ""))
	case len(parts) > 1:
		return enough(strings.Join(parts[1:], ""))
	}
	own := strings.TrimPrefix(parts[0], "00")
	var ends []string
	for country := 1; country <= 3 && country < len(own); country++ {
		ends = append(ends, enough(own[country:])...)
	}
	return ends
}

func enough(figures string) []string {
	if figures = strings.TrimLeft(figures, "0"); len(figures) < leastEnd {
		return nil
	}
	return []string{figures}
}

func notInWord(r rune) bool {
	return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) && !unseen(r)
}

// unseen tells soft hyphens and other characters that nobody sees and that do not part words.
func unseen(r rune) bool { return r > unicode.MaxASCII && unicode.Is(unicode.Cf, r) }

// Words gives a text in small letters with one space between its words.
func Words(s string) string {
	var words []string
	for _, t := range tokens(s) {
		words = append(words, t.word)
	}
	return strings.Join(words, " ")
}

func squeezed(words string) string { return strings.ReplaceAll(words, " ", "") }

// token is a word of a text in small letters, and the byte at which it begins.
type token struct {
	word string
	at   int
}

// tokens gives the words of a text in order.
func tokens(s string) []token {
	list := make([]token, 0, len(s)/6+1)
	begin := -1
	for at, r := range s {
		switch {
		case !notInWord(r) && begin < 0:
			begin = at
		case notInWord(r) && begin >= 0:
			list, begin = appendWord(list, s[begin:at], begin), -1
		}
	}
	if begin >= 0 {
		list = appendWord(list, s[begin:], begin)
	}
	return list
}

func appendWord(list []token, word string, at int) []token {
	if strings.IndexFunc(word, func(r rune) bool { return r > unicode.MaxASCII }) >= 0 {
		word = norm.NFC.String(strings.Map(func(r rune) rune {
			if unseen(r) {
				return -1
			}
			return r
		}, word))
	}
	if word == "" {
		return list
	}
	return append(list, token{strings.ToLower(word), at})
}
