package edtf

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
)

// figure is a number on a paper with the count of its digits.
type figure struct{ value, width int }

// parts are the numbers of a date in the order written, and its month if that is
// a word.
type parts struct {
	numbers []figure
	month   int
}

func (p parts) yearFirst() bool { return len(p.numbers) == 3 && p.numbers[0].width == 4 }

// splitParts takes a date apart at its separators: "/", ".", "-", "," and
// spaces. English ordinals ("3rd") and weekdays are passed over.
func splitParts(text string) (parts, error) {
	var p parts
	fields := strings.FieldsFunc(text, func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("/.,-–", r)
	})
	if len(fields) > 6 {
		return p, errors.New("it has more parts than a date")
	}
	for _, f := range fields {
		word := strings.ToLower(f)
		bare := word
		if len(word) > 2 {
			for _, ordinal := range []string{"st", "nd", "rd", "th"} {
				bare = strings.TrimSuffix(bare, ordinal)
			}
		}
		if n, ok := digits(bare); ok && len(bare) <= 4 {
			p.numbers = append(p.numbers, figure{n, len(bare)})
			continue
		}
		if err := p.takeWord(word); err != nil {
			return p, err
		}
	}
	return p, nil
}

func (p *parts) takeWord(word string) error {
	m := monthNamed(word)
	switch {
	case weekdays[word] || fillers[word]:
		return nil
	case m == 0:
		return fmt.Errorf("%q is neither a number nor a month", clip(word))
	case p.month != 0:
		return errors.New("it names two months")
	}
	p.month = m
	return nil
}

var monthNames = []string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

// foreignMonths are the names on papers in German, French and Italian that differ from
// the English ones in their first letters.
var foreignMonths = map[string]int{
	"januar": 1, "jänner": 1, "jan": 1, "janvier": 1, "gennaio": 1,
	"februar": 2, "feb": 2, "février": 2, "fevrier": 2, "febbraio": 2,
	"märz": 3, "maerz": 3, "mär": 3, "mars": 3, "marzo": 3, "mar": 3,
	"apr": 4, "avril": 4, "aprile": 4,
	"mai": 5, "maggio": 5,
	"juni": 6, "jun": 6, "juin": 6, "giugno": 6,
	"juli": 7, "jul": 7, "juillet": 7, "luglio": 7,
	"aug": 8, "août": 8, "aout": 8, "agosto": 8,
	"sep": 9, "sept": 9, "septembre": 9, "settembre": 9,
	"oktober": 10, "oct": 10, "okt": 10, "octobre": 10, "ottobre": 10,
	"nov": 11, "novembre": 11,
	"dezember": 12, "dec": 12, "dez": 12, "décembre": 12, "decembre": 12, "dicembre": 12,
}

func monthNamed(word string) int {
	for i, name := range monthNames {
		if strings.EqualFold(word, name) {
			return i + 1
		}
	}
	return foreignMonths[word]
}

var weekdays = map[string]bool{
	"monday": true, "tuesday": true, "wednesday": true, "thursday": true, "friday": true, "saturday": true, "sunday": true,
	"mon": true, "tue": true, "wed": true, "thu": true, "fri": true, "sat": true, "sun": true,
}

var fillers = map[string]bool{"of": true, "den": true, "le": true, "the": true, "der": true}
