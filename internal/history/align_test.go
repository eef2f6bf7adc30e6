package history

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// elementsOf makes elements of words: before the colon stands the loose key, the
// whole word is what the element says.
func elementsOf(words string) []element {
	var list []element
	for _, w := range strings.Fields(words) {
		key, _, _ := strings.Cut(w, ":")
		list = append(list, element{w, key})
	}
	return list
}

// drawn writes matches as "0-1 2>0": old and new place, with > for one that moved.
func drawn(matches []match) string {
	slices.SortFunc(matches, func(a, b match) int { return cmp.Compare(a.old, b.old) })
	var pieces []string
	for _, m := range matches {
		sign := "-"
		if m.moved {
			sign = ">"
		}
		pieces = append(pieces, fmt.Sprintf("%d%s%d", m.old, sign, m.new))
	}
	return strings.Join(pieces, " ")
}

func TestElementsFindTheirLike(t *testing.T) {
	for _, tc := range []struct {
		name, old, new string
		ordered        bool
		want           string
	}{
		{"nothing in nothing", "", "", true, ""},
		{"nothing in something", "", "a b", true, ""},
		{"the same", "a b c", "a b c", true, "0-0 1-1 2-2"},
		{"an insertion at the front", "a b", "x a b", true, "0-1 1-2"},
		{"an insertion in the middle", "a b", "a x b", true, "0-0 1-2"},
		{"a removal", "a b c", "a c", true, "0-0 2-1"},
		{"the last goes to the front", "a b c", "c a b", true, "0-1 1-2 2>0"},
		{"the first goes to the end", "a b c", "b c a", true, "0>2 1-0 2-1"},
		{"equal ones stay in turn", "a a b", "a b", true, "0-0 2-1"},
		{"whole values go before keys", "a:1 a:2", "a:2 a:3", true, "0>1 1-0"},
		{"a key finds what changed", "a:1 b:1", "b:2 a:2", false, "0-1 1-0"},
		{"a key finds what changed and moved", "a:1 b:1 c:1", "b:1 c:1 a:2", true, "0>2 1-0 2-1"},
		{"a set has no order", "a b c", "c b a", false, "0-2 1-1 2-0"},
		{"a set may hold one thing twice", "a a", "a", false, "0-0"},
		{"nothing is alike", "a b", "c d", true, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := drawn(align(elementsOf(tc.old), elementsOf(tc.new), tc.ordered)); got != tc.want {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}

func TestAnEmptyKeyMatchesNothing(t *testing.T) {
	a, b := []element{{"x", ""}, {"y", ""}}, []element{{"z", ""}}
	for _, ordered := range []bool{true, false} {
		if got := align(a, b, ordered); len(got) != 0 {
			t.Errorf("ordered %v: %s", ordered, drawn(got))
		}
	}
}

func drawElements(t *rapid.T, label string) []element {
	return elementsOf(strings.Join(rapid.SliceOfN(rapid.SampledFrom([]string{"a:1", "a:2", "b:1", "b:2", "c:1", "d:1"}), 0, 9).Draw(t, label), " "))
}

func TestEachElementHasOneLikeAtMost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, ordered := drawElements(t, "a"), drawElements(t, "b"), rapid.Bool().Draw(t, "ordered")
		old, fresh := map[int]bool{}, map[int]bool{}
		for _, m := range align(a, b, ordered) {
			if old[m.old] || fresh[m.new] {
				t.Fatalf("%d-%d is matched twice", m.old, m.new)
			}
			old[m.old], fresh[m.new] = true, true
			if a[m.old][1] != b[m.new][1] {
				t.Fatalf("%v is taken for %v", a[m.old], b[m.new])
			}
		}
		for i := range a {
			for j := range b {
				if a[i][1] == b[j][1] && !old[i] && !fresh[j] {
					t.Fatalf("%v and %v were left alone", a[i], b[j])
				}
			}
		}
	})
}

func TestWhatDidNotMoveAscends(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		matches := align(drawElements(t, "a"), drawElements(t, "b"), true)
		slices.SortFunc(matches, func(a, b match) int { return cmp.Compare(a.old, b.old) })
		last, stayed := -1, 0
		for _, m := range matches {
			if m.moved {
				continue
			}
			if m.new < last {
				t.Fatal(drawn(matches))
			}
			last = m.new
			stayed++
		}
		if want := longestAscent(matches); stayed != want {
			t.Fatalf("%d stayed, %d could: %s", stayed, want, drawn(matches))
		}
	})
}

// longestAscent is the plain quadratic way to the length of the longest ascending run.
func longestAscent(matches []match) int {
	best, lengths := 0, make([]int, len(matches))
	for i := range matches {
		lengths[i] = 1
		for j := range i {
			if matches[j].new < matches[i].new {
				lengths[i] = max(lengths[i], lengths[j]+1)
			}
		}
		best = max(best, lengths[i])
	}
	return best
}

func TestSwappedListsHaveTheSameMatches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, ordered := drawElements(t, "a"), drawElements(t, "b"), rapid.Bool().Draw(t, "ordered")
		back := align(b, a, ordered)
		for i, m := range back {
			back[i] = match{m.new, m.old, m.moved}
		}
		if there, back := drawn(align(a, b, ordered)), drawn(back); there != back {
			t.Fatalf("there %s, back %s", there, back)
		}
	})
}

func TestListsTooLongForTheTableAreStillMatched(t *testing.T) {
	const n = 1500 // n*n is more than mostCells
	var a, b []element
	for i := range n {
		a = append(a, element{fmt.Sprintf("%d old", i), fmt.Sprint(i)})
		b = append(b, element{fmt.Sprintf("%d new", i), fmt.Sprint(i)})
	}
	b = append([]element{{"first", "first"}}, b...)
	matches := align(a, b, true)
	for _, m := range matches {
		if m.moved || m.new != m.old+1 {
			t.Fatalf("%d went to %d, moved %v", m.old, m.new, m.moved)
		}
	}
	if len(matches) != n {
		t.Errorf("%d of %d were matched", len(matches), n)
	}
}
