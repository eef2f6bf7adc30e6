package steps

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/code"
	"boltback/internal/entry"
)

// before is what the step before leaves for a line to take over.
type before struct {
	// act is what was done, tag the last number, name the last part as it was called, kind the size and sort of the last fasteners.
	act, tag, name, kind string
}

// remember keeps what the next line may take over from a step.
func (s *Session) remember(step Step) {
	s.before.act = step.Act
	for _, thing := range step.Things {
		if thing.Tag != "" {
			s.before.tag = thing.Tag
		}
		if thing.Name != "" {
			s.before.name = thing.Name
		}
	}
	if n := len(step.Fasteners); n > 0 {
		f := step.Fasteners[n-1]
		s.before.kind = strings.TrimSpace(f.Size + " " + f.What)
	}
}

// usualWord is the word for each act that a line is written out with.
var usualWord = map[string]string{"removal": "off", "fitting": "on", "tightening": "tight", "sighting": "seen", "move": "move", "out": "out", "in": "in",
	"preserve": "preserve", "drain": "drain", "fill": "fill"}

// full writes out what a line leaves to the step before it. The full line is the one that is kept, so that it means the same
// whatever becomes of the lines before it:
//
//	off 0147 horn lh 2m6    off 0147 horn lh, 2m6
//	.rh x2                  off 0148 horn rh, 2x M6
func (s *Session) full(line string) (string, error) {
	word, rest := s.deed(line)
	if word == "" {
		return line, nil // the parser says what is wrong with it
	}
	at := endOfClause(rest)
	tags, name, err := s.tagged(rest[:at])
	if err != nil {
		return "", err
	}
	if first, _, _ := strings.Cut(rest, " "); name != "" && runPattern.MatchString(first) {
		return "", &entry.Fault{Word: first, Message: "a run of tags has no name", Hint: "leave it out where they are on record, or tell them a line each"}
	}
	name, counts := s.fastened(name)
	written := strings.Join(slices.DeleteFunc(append([]string{word}, append(tags, s.sided(name))...), isBlank), " ")
	return s.sameKind(strings.Join(append([]string{written}, counts...), ", ") + rest[at:])
}

func isBlank(text string) bool { return text == "" }

// endOfClause is where the first clause of a line ends.
func endOfClause(line string) int {
	if first := split(line); len(first) > 0 && strings.HasPrefix(line, first[0]) {
		return len(first[0])
	}
	return 0
}

// deed gives the word for what was done and what follows it. A line that begins with a tag, or with the sign for the next one,
// does what the step before it did.
func (s *Session) deed(line string) (word, rest string) {
	word, rest, _ = strings.Cut(line, " ")
	switch {
	case verbs[strings.ToLower(word)] != "":
		return word, rest
	case s.before.act != "" && (isNext(line) || tagPattern.MatchString(word) || runPattern.MatchString(word)):
		return usualWord[s.before.act], line
	}
	return "", ""
}

// isNext says that a line begins with the sign for the next tag: a full stop, or a plus where that is the nearer key.
func isNext(line string) bool { return line != "" && (line[0] == '.' || line[0] == '+') }

// runPattern is a run of tags, from the first to the last: "0100..0119" or "0100-0119".
var runPattern = regexp.MustCompile(`^(\d{3,9})(?:\.\.|-)(\d{3,9})$`)

// longestRun is how many tags a run may name.
const longestRun = 100

// tagged reads the tags at the beginning of a clause and gives what follows them.
func (s *Session) tagged(clause string) (tags []string, rest string, err error) {
	if isNext(clause) {
		next, err := nextTag(s.before.tag)
		if err != nil {
			return nil, "", err
		}
		return []string{next}, strings.TrimSpace(clause[1:]), nil
	}
	for rest = clause; rest != ""; {
		word, after, _ := strings.Cut(rest, " ")
		run := runPattern.FindStringSubmatch(word)
		switch {
		case run != nil:
			all, err := runOfTags(run[1], run[2])
			if err != nil {
				return nil, "", err
			}
			tags = append(tags, all...)
		case tagPattern.MatchString(word):
			tags = append(tags, word)
		default:
			return tags, rest, nil
		}
		rest = strings.TrimSpace(after)
	}
	return tags, "", nil
}

// nextTag is the number after that of a tag, as wide and without a check character.
func nextTag(tag string) (string, error) {
	digits := digitsOf(tag)
	n, err := strconv.Atoi(digits)
	if err != nil {
		return "", &entry.Fault{Word: ".", Message: "no tag was told before, so none is the next", Hint: "begin with the first one: off 0147 fuel tank"}
	}
	if n == code.MaxNumber {
		return "", &entry.Fault{Word: tag, Message: "the numbers end with it, so none is the next"}
	}
	return fmt.Sprintf("%0*d", len(digits), n+1), nil
}

// digitsOf is the number of a tag without its check character and without a letter that tells two of one number apart.
func digitsOf(tag string) string {
	return strings.TrimRight(tagNumber(tag), "abcdefghijklmnopqrstuvwxyz")
}

// runOfTags lists the tags of a run.
func runOfTags(first, last string) ([]string, error) {
	from, err := strconv.Atoi(first)
	if err != nil {
		return nil, fmt.Errorf("read a tag of digits: %w", err)
	}
	to, err := strconv.Atoi(last)
	if err != nil {
		return nil, fmt.Errorf("read a tag of digits: %w", err)
	}
	if n := to - from + 1; n < 2 || n > longestRun {
		return nil, &entry.Fault{Word: first + ".." + last, Message: fmt.Sprintf("a run of tags goes up, and holds at most %d", longestRun), Hint: "seen 0100..0119, loft crate 3"}
	}
	var tags []string
	for n := from; n <= to; n++ {
		tags = append(tags, fmt.Sprintf("%0*d", len(first), n))
	}
	return tags, nil
}

// sides are words that end the name of one of a pair.
var sides = []string{"lh", "rh", "left", "right", "o/s", "n/s", "offside", "nearside"}

// sided takes a side alone for the other one of the pair that the line before named: after "horn lh", "rh" is "horn rh".
func (s *Session) sided(name string) string {
	if !slices.Contains(sides, strings.ToLower(name)) || s.before.name == "" {
		return name
	}
	pair := s.before.name
	if at := strings.LastIndexByte(pair, ' '); at > 0 && slices.Contains(sides, strings.ToLower(pair[at+1:])) {
		pair = strings.TrimRight(pair[:at], " ,")
	}
	return pair + " " + name
}

// endPattern is a count of fasteners at the end of a name, which needs no comma: "2m6", "4x M8 bolts", "6 screws", "x4".
var endPattern = regexp.MustCompile(`(?i)^(.*\S)\s(\d{1,4}\s?[x×*]?\s?m\d\S*(?:\s` + fastenerSort + `s?)?|\d{1,4}\s?[x×*]\s?(?:\d+/\d+\S*|#\d+|` + fastenerSort + `s?)(?:\s` + fastenerSort + `s?)?|\d{1,4}\s` + fastenerSort + `s?|[x×]\d{1,4})$`)

// fastened parts a name from the counts of fasteners behind it. A part that is called just that keeps its name.
func (s *Session) fastened(name string) (rest string, counts []string) {
	for s.known(name) == "" {
		if samePattern.MatchString(name) {
			return "", append([]string{name}, counts...)
		}
		m := endPattern.FindStringSubmatch(name)
		if m == nil {
			break
		}
		name, counts = m[1], append([]string{m[2]}, counts...)
	}
	return name, counts
}

// samePattern is a count of fasteners without their kind, and sameClause such a count among the clauses of a line.
var (
	samePattern = regexp.MustCompile(`^[xX×]\d{1,4}$`)
	sameClause  = regexp.MustCompile(`([,;]\s*)[xX×](\d{1,4})\s*($|[,;])`)
)

// sameKind writes out counts of the same kind as on the line before.
func (s *Session) sameKind(line string) (string, error) {
	m := sameClause.FindStringSubmatch(line)
	switch {
	case m == nil:
		return line, nil
	case s.before.kind == "":
		return "", &entry.Fault{Word: "x" + m[2], Message: "no fasteners were told before, so there is no kind for these to be of", Hint: "say it: " + m[2] + "x M8"}
	}
	kind := "${1}${2}x " + strings.ReplaceAll(s.before.kind, "$", "$$") + "${3}"
	for range 2 { // two counts in a row share a comma
		line = sameClause.ReplaceAllString(line, kind)
	}
	return line, nil
}
