package app

import (
	"encoding/json"
	"io"
	"path"
	"regexp"
	"strconv"
	"strings"

	"boltback/internal/code"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// numberOf reads the number of a tag as records hold it: with its check character, or the digits alone. Digits without a
// hyphen that add up as a tag are one whose hyphen was left out.
func numberOf(written string) (int, bool) {
	written = strings.TrimSpace(written)
	if tag, err := code.ParseTag(written); err == nil {
		written = tag.Digits()
	}
	n, err := strconv.Atoi(written)
	return n, err == nil && n >= 0 && n <= code.MaxNumber && len(written) >= shortestNumber
}

// shortestNumber is the least number of digits for which a word counts as a tag's number; "crate 1" is a name.
const shortestNumber = 4

// tagWords are the words of a text that add up as tags with their hyphen: crates and the ends of wires are written so.
func tagWords(text string) []string {
	var words []string
	for word := range strings.FieldsSeq(strings.NewReplacer(",", " ", ";", " ", ":", " ").Replace(text)) {
		if _, err := code.ParseTag(word); err == nil && strings.Contains(word, "-") {
			words = append(words, word)
		}
	}
	return words
}

// numbersIn collects the tag numbers that a car's records name, whether they still count or not: what was printed hangs
// on something. What lies in the inbox counts too.
func numbersIn(s *ledger.Snapshot) map[int]bool {
	used := map[int]bool{}
	add := func(written ...string) {
		for _, w := range written {
			if n, ok := numberOf(w); ok {
				used[n] = true
			}
		}
	}
	for _, r := range s.Records() {
		switch body := r.Body.(type) {
		case *record.Part:
			add(body.Tag)
			for _, run := range body.Runs {
				add(tagWords(run.End + " " + run.To)...)
			}
		case *record.Joint:
			for _, f := range body.Fasteners {
				add(f.Bag)
			}
		case *record.Session:
			for _, l := range body.Lines {
				add(l.Tag, l.Bag)
				add(tagWords(l.Place)...)
				for _, end := range l.Ends {
					add(tagWords(end.End)...)
				}
			}
		}
	}
	add(inboxTags(s)...)
	return used
}

// saved finds tags and bags in what was saved before it was complete.
var saved = regexp.MustCompile(`"(?:tag|bag)"\s*:\s*("[^"\\]*")`)

// largestSaved is how much of a file of the inbox is looked at.
const largestSaved = 1 << 20

func inboxTags(s *ledger.Snapshot) []string {
	var tags []string
	for _, f := range s.Files() {
		if path.Dir(f.Path) != "inbox" || f.Size > largestSaved {
			continue
		}
		file, err := s.Open(f.Path)
		if err != nil {
			continue // a check says what cannot be read
		}
		text, err := io.ReadAll(io.LimitReader(file, largestSaved))
		file.Close()
		if err != nil {
			continue
		}
		for _, m := range saved.FindAllSubmatch(text, -1) {
			var tag string
			if json.Unmarshal(m[1], &tag) == nil {
				tags = append(tags, tag)
			}
		}
	}
	return tags
}
