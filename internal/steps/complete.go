package steps

import (
	"slices"
	"strings"

	"boltback/internal/record"
)

// Complete gives what the last word or words of a line may go on to, from the names that are known: whole replacements for
// the clause that is being typed, sorted.
func (s *Session) Complete(line string) []string {
	start := strings.LastIndexAny(line, ",;") + 1
	if start > 0 {
		before := strings.LastIndexAny(line[:start-1], ",;") + 1
		if all := s.from(line, before); len(all) > 0 { // a name that holds a comma
			return all
		}
	}
	return s.from(line, start)
}

// from completes the clause that begins at a place.
func (s *Session) from(line string, start int) []string {
	head, typed := line[:start], strings.TrimLeft(line[start:], " ")
	gap := line[start : len(line)-len(typed)]
	if start == 0 && isNext(typed) {
		head, gap, typed = typed[:1], "", strings.TrimLeft(typed[1:], " ")
	} else if start == 0 {
		word, rest, spaced := strings.Cut(typed, " ")
		if !spaced {
			return withHead("", firstWords(word))
		}
		head, typed, gap = word+" ", strings.TrimLeft(rest, " "), ""
		for tag, after, ok := strings.Cut(typed, " "); ok && tagPattern.MatchString(tag); tag, after, ok = strings.Cut(typed, " ") {
			head, typed = head+tag+" ", after
		}
	}
	return withHead(head+gap, s.names(typed))
}

func firstWords(typed string) []string {
	var words []string
	for w := range verbs {
		words = append(words, w)
	}
	words = append(append(words, settings...), "undo", "list", "done", "stop", "help")
	slices.Sort(words)
	return slices.DeleteFunc(slices.Compact(words), func(w string) bool { return !strings.HasPrefix(w, strings.ToLower(typed)) })
}

func withHead(head string, words []string) []string {
	for i := range words {
		words[i] = head + words[i]
	}
	return words
}

// names lists the known names that begin as typed.
func (s *Session) names(typed string) []string {
	if typed == "" {
		return nil
	}
	var all []string
	add := func(name string) {
		if len(name) >= len(typed) && strings.EqualFold(name[:len(typed)], typed) && !slices.Contains(all, name) {
			all = append(all, name)
		}
	}
	s.eachPart(func(ref record.Ref, p *record.Part) {
		if p.Name != "" {
			add(p.Name)
		} else {
			add(strings.TrimPrefix(string(ref), "parts/"))
		}
		add(p.Tag)
	})
	s.named.each("joints", func(ref record.Ref, _ record.Body) { add(strings.TrimPrefix(string(ref), "joints/")) })
	for _, store := range s.named.allStores() {
		add(store.names[len(store.names)-1])
	}
	for _, list := range [][]record.Ref{s.bench.People, s.bench.Instruments} {
		for _, ref := range list {
			add(string(ref[strings.LastIndexByte(string(ref), '/')+1:]))
		}
	}
	slices.Sort(all)
	return all
}
