package app

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Record finds the record meant by a word in a car: its name, its file, or the end of its name where that is enough.
func Record(s *ledger.Snapshot, word string) (*record.Record, error) {
	word = strings.TrimSuffix(strings.TrimPrefix(word, "./"), ".json")
	if id, ok := record.IDOf(word + ".json"); ok {
		word = string(id)
	}
	if r := s.Record(record.Ref(word)); r != nil {
		return r, nil
	}
	if u := s.Unread(record.Ref(word)); u != nil {
		return nil, &Broken{u.Fault}
	}
	ends := endings(s, word)
	switch {
	case len(ends) == 1 && s.Record(ends[0]) != nil:
		return s.Record(ends[0]), nil
	case len(ends) == 1:
		return nil, &Broken{s.Unread(ends[0]).Fault}
	case len(ends) == 0:
		return nil, &Usage{Message: fmt.Sprintf("there is no record %s in this car", word), Hint: nearestRecord(s, word)}
	}
	names := make([]string, len(ends))
	for i, id := range ends {
		names[i] = string(id)
	}
	return nil, &Usage{Message: word + " could be any of several records", Hint: "name one of: " + strings.Join(names, ", ")}
}

// Broken says that the record meant is there and cannot be read.
type Broken struct{ Finding finding.Finding }

// Error gives the finding's line.
func (b *Broken) Error() string { return b.Finding.String() }

// endings lists the records, read or not, whose names end in a word.
func endings(s *ledger.Snapshot, word string) []record.Ref {
	var ends []record.Ref
	for _, id := range s.Names() {
		if strings.HasSuffix(string(id), "/"+word) {
			ends = append(ends, id)
		}
	}
	for _, u := range s.AllUnread() {
		if id, ok := record.IDOf(u.Path); ok && strings.HasSuffix(string(id), "/"+word) {
			ends = append(ends, id)
		}
	}
	return ends
}

// nearestRecord guesses which record a mistyped word meant, by the whole name or its last piece.
func nearestRecord(s *ledger.Snapshot, word string) string {
	var names []string
	for _, id := range s.Names() {
		names = append(names, string(id), string(id[strings.LastIndexByte(string(id), '/')+1:]))
	}
	if near := finding.Nearest(word, names); near != "" {
		return "did you mean " + near + "?"
	}
	return "boltback list shows their names"
}

// Kind finds the kind meant by a word, singular or plural, or the folder it lies in.
func Kind(word string) (record.Kind, error) {
	kinds := record.Kinds()
	for _, k := range kinds {
		folder, _, _ := strings.Cut(record.PlaceOf(k), "/")
		if word == string(k) || word == string(k)+"s" || word == folder {
			return k, nil
		}
	}
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = string(k)
	}
	slices.Sort(words)
	return "", &Usage{Message: "there is no kind of record called " + word, Hint: "the kinds are: " + strings.Join(words, ", ")}
}
