package history

import (
	"cmp"
	"reflect"
	"slices"
	"strings"

	"boltback/internal/record"
)

// ranks is the place of each member of a kind of record in the order in which its
// type declares them, by the pattern of its pointer.
type ranks map[string]int

// sort puts the members of one object into that order, unknown ones behind in the
// order of the alphabet.
func (r ranks) sort(names []string, pattern string) {
	rank := func(name string) int {
		if n, known := r[pattern+"/"+name]; known {
			return n
		}
		return len(r)
	}
	slices.SortFunc(names, func(x, y string) int { return cmp.Or(cmp.Compare(rank(x), rank(y)), cmp.Compare(x, y)) })
}

func ranksOf(kind record.Kind) ranks {
	rank := ranks{}
	if body := record.New(kind); body != nil {
		rankMembers(reflect.TypeOf(body), "", rank)
	}
	return rank
}

func rankMembers(t reflect.Type, pattern string, rank ranks) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return
	}
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			rankMembers(f.Type, pattern, rank)
			continue
		}
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		rank[pattern+"/"+name] = len(rank)
		rankMembers(f.Type, pattern+"/"+name, rank)
	}
}
