package finding

import (
	"strings"
	"unicode/utf8"
)

// Nearest gives the name that a mistyped one most likely meant: the one with the fewest letters added, dropped, changed or
// swapped, if that is no more than a third of the longer of the two; "" where none is near.
func Nearest(typed string, names []string) string {
	best, bestCost := "", len(typed)+1
	for _, n := range names {
		limit := min(bestCost, max(utf8.RuneCountInString(typed), utf8.RuneCountInString(n))/3+1)
		if n == typed {
			continue
		}
		if cost := distance(strings.ToLower(typed), strings.ToLower(n), limit); cost < limit {
			best, bestCost = n, cost
		}
	}
	return best
}

// distance counts the letters added, dropped, changed, or swapped with their neighbour between two words (optimal string
// alignment), giving up at a limit.
func distance(a, b string, limit int) int {
	x, y := []rune(a), []rune(b)
	if len(x)-len(y) >= limit || len(y)-len(x) >= limit {
		return limit
	}
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}
