package steps

import (
	"regexp"
	"slices"
	"strings"

	"boltback/internal/entry"
	"boltback/internal/finding"
	"boltback/internal/record"
)

// storeName is a store by the ways in which people name it.
type storeName struct {
	ref   record.Ref
	names []string
}

// addStore makes a store known by its name and by the end of its path, longer names first.
func (m *named) addStore(ref record.Ref, name string) {
	one := storeName{ref: ref, names: []string{string(ref[strings.LastIndexByte(string(ref), '/')+1:])}}
	one.names = append(one.names, strings.ReplaceAll(one.names[0], "-", " "))
	if name != "" {
		one.names = append(one.names, strings.ToLower(name))
	}
	slices.SortFunc(one.names, func(a, b string) int { return len(b) - len(a) })
	m.stores = append(m.stores, one)
}

// allStores lists the stores of all layers, those of the car and of the workshop first.
func (m *named) allStores() []storeName {
	if m == nil {
		return nil
	}
	return slices.Concat(m.under.allStores(), m.stores)
}

// storeNames lists the stores as people call them.
func (s *Session) storeNames() []string {
	var names []string
	for _, store := range s.named.allStores() {
		names = append(names, store.names[len(store.names)-1])
	}
	return names
}

// stored reads a store, a place in it, or both: "loft", "loft crate 3", "in the loft, crate 3".
func (s *Session) stored(step *Step, words string) bool {
	lower := strings.ToLower(words)
	if len(lower) != len(words) { // some letters grow: then the name is looked for as it is written
		lower = words
	}
	lower = strings.TrimPrefix(strings.TrimPrefix(lower, "in "), "the ")
	rest := words[len(words)-len(lower):]
	for _, store := range s.named.allStores() {
		for _, name := range store.names {
			if after, ok := strings.CutPrefix(lower, name); ok && (after == "" || after[0] == ' ') {
				step.Store, step.Place = store.ref, strings.TrimSpace(rest[len(name):])
				return true
			}
		}
	}
	word, more, _ := strings.Cut(lower, " ")
	if slices.Contains(placeWords, word) && more != "" {
		step.Place = rest
		if step.Store == "" {
			step.Store = s.store
		}
		return true
	}
	return false
}

// newStorePattern is one word and then a place, "loft crate 3": nobody means anything else by that.
var newStorePattern = regexp.MustCompile(`(?i)^(?:in )?(?:the )?(\pL[\pL\d-]{2,}) ((?:` + strings.Join(placeWords, "|") + `) \S+)$`)

// noStore are words that come before a place and are no store.
var noStore = []string{"from", "near", "behind", "under", "beside", "with", "not", "and", "old", "new", "see", "was", "same"}

// founds reads a store that nobody named before together with a place in it. A name that is nearly that of a store is taken
// for a slip, and said.
func (s *Session) founds(step *Step, words string) bool {
	m := newStorePattern.FindStringSubmatch(words)
	if m == nil || s.bench.Workshop == "" || slices.Contains(noStore, strings.ToLower(m[1])) {
		return false
	}
	if near := finding.Nearest(m[1], s.storeNames()); near != "" {
		step.doubt = "no store is called " + m[1] + "; did you mean " + near + "? it is kept as a note"
		return false
	}
	step.Store, step.Place, step.newStore = s.storeRef(m[1]), m[2], m[1]
	return true
}

func (s *Session) storeRef(name string) record.Ref {
	return s.freeRef("stores/"+s.bench.Workshop+"/"+entry.Slug(name), nil)
}

// newStore is the record of a store that nobody named before.
func newStore(ref record.Ref, name string) NewRecord {
	return NewRecord{ref, &record.Store{Head: record.Head{Kind: record.KindStore, Name: strings.ToUpper(name[:1]) + name[1:]}}}
}

// Stored reads a store, a place in it, or both, as a line does; ok is false where the words name neither.
func (s *Session) Stored(words string) (store record.Ref, place string, ok bool) {
	var step Step
	ok = s.stored(&step, words)
	return step.Store, step.Place, ok
}

// Put says in a step where things went: a store, a place in it, or both. Words that can only be meant for a store may name it
// for the first time; a name that is nearly that of another is taken for a slip.
func (s *Session) Put(step *Step, words string) error {
	if s.stored(step, words) {
		return nil
	}
	name, place := words, ""
	if m := newStorePattern.FindStringSubmatch(words); m != nil {
		name, place = m[1], m[2]
	}
	near := finding.Nearest(name, s.storeNames())
	if near != "" || s.bench.Workshop == "" || entry.Slug(name) == "" {
		return s.NoStore(words, near)
	}
	step.Store, step.Place, step.newStore = s.storeRef(name), place, name
	return nil
}

// NoStore refuses words that name no store; near is the one that may be meant, "" where there is none.
func (s *Session) NoStore(words, near string) error {
	var hints []string
	if near != "" {
		hints = append(hints, "did you mean "+near+"?")
	}
	if all := s.storeNames(); len(all) > 0 {
		hints = append(hints, "the stores are: "+strings.Join(all, ", ")+";")
	}
	return &entry.Fault{Word: words, Message: "no store is called that", Hint: strings.Join(append(hints, "boltback record store NAME makes one"), " ")}
}

// setPlace says where what comes off goes to from now on.
func (s *Session) setPlace(value string) (string, error) {
	var step Step
	if err := s.Put(&step, value); err != nil {
		return "", err
	}
	s.store, s.place = step.Store, step.Place
	if step.newStore == "" {
		return "what comes off now goes to " + spot(s.store, s.place), nil
	}
	s.named.keep(newStore(s.store, step.newStore))
	return "what comes off now goes to " + spot(s.store+" (new)", s.place), nil
}

func spot(store record.Ref, place string) string {
	return strings.Trim(string(store)+", "+place, ", ")
}
