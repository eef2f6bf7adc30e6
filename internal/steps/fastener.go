package steps

import (
	"regexp"
	"strconv"
	"strings"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

const (
	// fastenerSort are the sorts of fasteners.
	fastenerSort = `(?:bolt|nut|screw|stud|circlip|clip|pin|washer|rivet|spring|clamp|popper)`
	// fastenerCount is how many, in figures or in words.
	fastenerCount = `(\d{1,4}|a pair of|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)`
	// fastenerSize is what can only be the size of a fastener.
	fastenerSize = `(?:m\d\S*|#\d+\S*|\d+\s?ba|\d+(?:\s\d+)?/\d+"?(?:\s?(?:unf|unc|bsf|bsw|bsp|whitworth))?)`
)

var counts = map[string]int64{"a pair of": 2, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
	"eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12}

// countPatterns are the orders in which people count fasteners: "4x M8 bolts", "4 off M8", "4m8", "6 screws", "four bolts M6".
var countPatterns = []*regexp.Regexp{
	regexp.MustCompile(`(?i)^(\d{1,4})\s*(?:[x×*]|-?\s?off\s|no\.?\s)\s*(\S.*)$`),
	regexp.MustCompile(`(?i)^(\d{1,4})\s*(m\d.*)$`),
	regexp.MustCompile(`(?i)^` + fastenerCount + `\s+((?:.*\s)?` + fastenerSort + `s?(?:\s` + fastenerSize + `)?)$`),
}

var (
	// countBehind is a count behind the sort, "M5 screws x6"; behind a size it would be a length, "M5 x6".
	countBehind     = regexp.MustCompile(`(?i)^((?:.*\s)?` + fastenerSort + `s?)\s*[x×*]\s?(\d{1,4})$`)
	fastenerPattern = regexp.MustCompile(`(?i)\b` + fastenerSort + `s?\b`)
	smallM          = regexp.MustCompile(`^m(\d)`)
	torqueBehind    = regexp.MustCompile(`^(.*\S)\s+(\d[\d.,]*\s*[A-Za-z].*)$`)
)

// Fasteners reads a count of fasteners with what is known of their size and sort: "4x M8 bolts", "6 screws", "four bolts 5/16 UNF",
// "M5 screws x6".
func Fasteners(words string) (record.Fastener, bool) {
	if m := countBehind.FindStringSubmatch(words); m != nil {
		return fastener(m[2], m[1])
	}
	for _, pattern := range countPatterns {
		if m := pattern.FindStringSubmatch(words); m != nil {
			return fastener(m[1], m[2])
		}
	}
	return record.Fastener{}, false
}

func fastener(count, what string) (record.Fastener, bool) {
	var f record.Fastener
	if n, err := strconv.ParseInt(count, 10, 64); err == nil {
		f.Count = n
	} else {
		f.Count = counts[strings.ToLower(count)]
	}
	if at := fastenerPattern.FindStringIndex(what); at != nil {
		f.What = strings.TrimSuffix(strings.ToLower(what[at[0]:at[1]]), "s")
		what = what[:at[0]] + what[at[1]:]
	}
	rest := strings.Join(strings.Fields(what), " ")
	if f.What != "" && rest != "" && !strings.ContainsAny(rest, "0123456789") { // a word tells the sort: "split pin"
		f.What = strings.ToLower(rest) + " " + f.What
		return f, f.Count > 0
	}
	f.Size = smallM.ReplaceAllString(rest, "M$1")
	return f, f.Count > 0
}

// addFasteners takes a count of fasteners, and the torque that somebody wrote behind it without a comma.
func (s *Session) addFasteners(step *Step, f record.Fastener) {
	if m := torqueBehind.FindStringSubmatch(f.Size); m != nil {
		if q, _, err := s.quantity(m[2], quantity.Torque); err == nil && q.Dimension() == quantity.Torque {
			f.Size = m[1]
			step.Measures = append(step.Measures, m[2])
		}
	}
	step.Fasteners = append(step.Fasteners, f)
}
