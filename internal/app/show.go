package app

import (
	"fmt"
	"slices"
	"strings"

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
		return nil, fmt.Errorf("%s cannot be read: %s", u.Path, u.Fault.Message)
	}
	var ends []string
	for _, id := range s.Names() {
		if strings.HasSuffix(string(id), "/"+word) {
			ends = append(ends, string(id))
		}
	}
	switch len(ends) {
	case 1:
		return s.Record(record.Ref(ends[0])), nil
	case 0:
		return nil, &Usage{Message: fmt.Sprintf("there is no record %s in this car", word), Hint: "boltback list shows their names"}
	default:
		return nil, &Usage{Message: word + " could be any of several records", Hint: "name one of: " + strings.Join(ends, ", ")}
	}
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
