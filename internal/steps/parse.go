package steps

import (
	"slices"
	"strings"

	"boltback/internal/entry"
	"boltback/internal/finding"
)

// parse reads a full line, which begins with a word for what was done. What is not understood is kept as a note.
func (s *Session) parse(line string) (Step, error) {
	clauses := split(line)
	if len(clauses) == 0 {
		return Step{}, unknownWord(line)
	}
	word, rest, _ := strings.Cut(clauses[0], " ")
	act := verbs[strings.ToLower(word)]
	if act == "" {
		return Step{}, unknownWord(word)
	}
	step := Step{Act: act, Fields: map[string]string{}}
	clauses[0] = strings.TrimSpace(rest)
	clauses = s.commaNames(clauses)
	s.head(&step, clauses[0])
	for _, clause := range clauses[1:] {
		s.clause(&step, clause)
	}
	return step, nil
}

// mostCommas is how many commas a name may hold.
const mostCommas = 3

// commaNames joins clauses that together are the name of a known part, such as "Seat, left".
func (s *Session) commaNames(clauses []string) []string {
	for i := range clauses {
		start := clauses[i]
		for i == 0 {
			word, rest, ok := strings.Cut(start, " ")
			if !ok || !tagPattern.MatchString(word) {
				break
			}
			start = strings.TrimSpace(rest)
		}
		for n := min(mostCommas, len(clauses)-1-i); n > 0; n-- {
			more := strings.Join(clauses[i+1:i+1+n], ", ")
			if s.known(start+", "+more) != "" {
				joined := append(slices.Clone(clauses[:i]), clauses[i]+", "+more)
				return append(joined, clauses[i+1+n:]...)
			}
		}
	}
	return clauses
}

func unknownWord(word string) error {
	var all []string
	for w := range verbs {
		all = append(all, w)
	}
	all = append(all, settings...)
	all = append(all, "undo", "list", "done", "stop", "help", "note")
	slices.Sort(all)
	if isNext(word) || tagPattern.MatchString(word) || runPattern.MatchString(word) {
		return &entry.Fault{Word: word, Message: "no line before it says what is done to it", Hint: "begin with that: off 0147 fuel tank"}
	}
	hint := "a line begins with off, on, tight, seen, move, out, in, preserve, drain, fill or note; help shows more"
	if near := finding.Nearest(strings.ToLower(word), all); near != "" {
		hint = "did you mean " + near + "? " + hint
	}
	return &entry.Fault{Word: word, Message: "this is no word for what was done", Hint: hint}
}

// split parts a line at commas and semicolons, but not at a comma between digits.
func split(line string) []string {
	var clauses []string
	start := 0
	digit := func(i int) bool { return i >= 0 && i < len(line) && line[i] >= '0' && line[i] <= '9' }
	for i := range len(line) {
		if line[i] == ';' || line[i] == ',' && !(digit(i-1) && digit(i+1)) {
			clauses = append(clauses, strings.TrimSpace(line[start:i]))
			start = i + 1
		}
	}
	clauses = append(clauses, strings.TrimSpace(line[start:]))
	return slices.DeleteFunc(clauses, func(c string) bool { return c == "" })
}

// head reads the tags and the name that follow the first word; for a drain or fill, the system; for a tightening, the joint.
func (s *Session) head(step *Step, words string) {
	for words != "" {
		word, rest, _ := strings.Cut(words, " ")
		if !tagPattern.MatchString(word) {
			break
		}
		step.Things, words = append(step.Things, Thing{Tag: word}), strings.TrimSpace(rest)
	}
	switch {
	case words == "":
	case step.Act == "drain" || step.Act == "fill":
		step.Fields["system"] = words
	case step.Act == "tightening":
		step.Joint = words
	case step.Act == "sighting" && len(step.Things) == 0 && strings.EqualFold(words, "nothing"):
		step.Nothing = true
	case len(step.Things) == 0 && s.stored(step, words):
	case len(step.Things) == 0:
		step.Things = []Thing{{Name: words}}
	default:
		step.Things[len(step.Things)-1].Name = words
	}
}

// clause reads one of the clauses that follow.
func (s *Session) clause(step *Step, clause string) {
	lower := strings.ToLower(clause)
	word, rest, _ := strings.Cut(clause, " ")
	word, rest = strings.ToLower(word), strings.TrimSpace(rest)
	if f, ok := Fasteners(clause); ok {
		s.addFasteners(step, f)
		return
	}
	if plain, ok := plainWords[lower]; ok {
		step.Fields[plain[0]] = plain[1]
		return
	}
	if _, _, ok := s.context.Side(clause); ok {
		step.Side = clause
		return
	}
	switch {
	case slices.Contains(hazardWords, lower):
		step.Hazards = append(step.Hazards, lower)
	case word == "bag" && rest != "":
		step.Bag = rest
	case word == "tag" && rest != "":
		step.tag(rest)
	case word == "joint" && rest != "":
		step.Joint = rest
	case word == "note" && rest != "":
		step.note(rest)
	case word == "back" && rest != "" && step.Act == "out":
		step.Fields["due"] = rest
	case fieldWords[word] != "" && rest != "":
		step.Fields[fieldWords[word]] = rest
	case s.stored(step, clause):
	case s.founds(step, clause):
	case (word == "from" || word == "in") && rest != "":
		step.Position = rest
	case tagPattern.MatchString(clause):
		step.tag(clause)
	case measurePattern.MatchString(clause):
		step.Measures = append(step.Measures, clause)
	case s.known(clause) != "":
		step.Things = append(step.Things, Thing{Name: clause})
	case step.Act == "preserve" && step.Fields["product"] == "":
		step.Fields["product"] = clause
	default:
		step.note(clause)
	}
}

// tag hangs a tag on the last part, or stands for a part of its own where that has one.
func (s *Step) tag(tag string) {
	if n := len(s.Things); n > 0 && s.Things[n-1].Tag == "" {
		s.Things[n-1].Tag = tag
		return
	}
	s.Things = append(s.Things, Thing{Tag: tag})
}

func (s *Step) note(text string) {
	if s.Note != "" {
		text = s.Note + "; " + text
	}
	s.Note = text
}
