package history

import (
	"cmp"
	"slices"
	"strings"
)

// match is an element of the old list and its like in the new one. It moved if
// those around it show that it stood elsewhere.
type match struct {
	old, new int
	moved    bool
}

// mostCells bounds the table of the longest common subsequence; what is left of
// longer lists is matched in the order of appearance.
const mostCells = 1 << 20

// align finds the like of each element, by whole value first and then by each
// key. It treats both lists alike: with the lists swapped the matches are the
// same, swapped.
func align(a, b []element, ordered bool) []match {
	if compareLists(a, b) > 0 {
		swapped := align(b, a, ordered)
		for i, m := range swapped {
			swapped[i] = match{m.new, m.old, m.moved}
		}
		return swapped
	}
	freeA, freeB := upTo(len(a)), upTo(len(b))
	var matches []match
	for level := range levels(a, b) {
		keyA := func(i int) string { return a[i][level] }
		keyB := func(j int) string { return b[j][level] }
		if ordered {
			matches = append(matches, commonRun(&freeA, &freeB, keyA, keyB)...)
		}
		matches = append(matches, inTurn(&freeA, &freeB, keyA, keyB)...)
	}
	if ordered {
		markMoved(matches)
	}
	return matches
}

func compareLists(a, b []element) int {
	return slices.CompareFunc(a, b, func(x, y element) int { return strings.Compare(x[0], y[0]) })
}

func levels(a, b []element) int {
	for _, list := range [][]element{a, b} {
		if len(list) > 0 {
			return len(list[0])
		}
	}
	return 0
}

func upTo(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// commonRun matches a longest common subsequence of the elements that are free.
func commonRun(freeA, freeB *[]int, keyA, keyB func(int) string) []match {
	a, b := *freeA, *freeB
	var found []match
	same := func(i, j int) bool { return keyA(a[i]) != "" && keyA(a[i]) == keyB(b[j]) }
	start := 0
	for start < len(a) && start < len(b) && same(start, start) {
		found = append(found, match{old: a[start], new: b[start]})
		start++
	}
	endA, endB := len(a), len(b)
	for endA > start && endB > start && same(endA-1, endB-1) {
		endA--
		endB--
		found = append(found, match{old: a[endA], new: b[endB]})
	}
	n, m := endA-start, endB-start
	if n*m <= mostCells {
		for _, at := range longest(n, m, func(i, j int) bool { return same(start+i, start+j) }) {
			found = append(found, match{old: a[start+at.old], new: b[start+at.new]})
		}
	}
	dropMatched(freeA, freeB, found)
	return found
}

// longest gives a longest common subsequence of two lists of n and m elements.
func longest(n, m int, same func(i, j int) bool) []match {
	width := m + 1
	table := make([]int32, (n+1)*width)
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			if same(i, j) {
				table[i*width+j] = table[(i+1)*width+j+1] + 1
			} else {
				table[i*width+j] = max(table[(i+1)*width+j], table[i*width+j+1])
			}
		}
	}
	var found []match
	for i, j := 0, 0; i < n && j < m; {
		switch {
		case same(i, j):
			found = append(found, match{old: i, new: j})
			i, j = i+1, j+1
		case table[(i+1)*width+j] >= table[i*width+j+1]:
			i++
		default:
			j++
		}
	}
	return found
}

// inTurn matches what is free by its key: the first with the first, the second
// with the second.
func inTurn(freeA, freeB *[]int, keyA, keyB func(int) string) []match {
	waiting := map[string][]int{}
	for _, i := range *freeA {
		if k := keyA(i); k != "" {
			waiting[k] = append(waiting[k], i)
		}
	}
	var found []match
	for _, j := range *freeB {
		if queue := waiting[keyB(j)]; len(queue) > 0 {
			found = append(found, match{old: queue[0], new: j})
			waiting[keyB(j)] = queue[1:]
		}
	}
	dropMatched(freeA, freeB, found)
	return found
}

func dropMatched(freeA, freeB *[]int, found []match) {
	if len(found) == 0 {
		return
	}
	old, fresh := map[int]bool{}, map[int]bool{}
	for _, m := range found {
		old[m.old], fresh[m.new] = true, true
	}
	*freeA = slices.DeleteFunc(*freeA, func(i int) bool { return old[i] })
	*freeB = slices.DeleteFunc(*freeB, func(j int) bool { return fresh[j] })
}

// markMoved leaves as many elements as possible where they are: those of a
// longest run that ascends on both sides. The others moved.
func markMoved(matches []match) {
	slices.SortFunc(matches, func(x, y match) int { return cmp.Compare(x.old, y.old) })
	var tails []int // the last match of the best run of each length
	before := make([]int, len(matches))
	for i, m := range matches {
		length, _ := slices.BinarySearchFunc(tails, m.new, func(t, target int) int { return cmp.Compare(matches[t].new, target) })
		before[i] = -1
		if length > 0 {
			before[i] = tails[length-1]
		}
		if length == len(tails) {
			tails = append(tails, i)
		} else {
			tails[length] = i
		}
		matches[i].moved = true
	}
	if len(tails) > 0 {
		for i := tails[len(tails)-1]; i >= 0; i = before[i] {
			matches[i].moved = false
		}
	}
}
