package canon

import "math"

// nearestName returns the candidate that differs from name by at most two
// letters, and by less than half of them; "" when none is that near.
func nearestName(name string, candidates []string) string {
	best, within := "", min(2, (len(name)-1)/2)
	for _, c := range candidates {
		if distance := editDistance(name, c); distance <= within {
			best, within = c, distance-1
		}
	}
	return best
}

// editDistance counts the letters to insert, delete or replace (Levenshtein).
// Names longer than any field are not compared.
func editDistance(a, b string) int {
	if len(a) > 64 || len(b) > 64 {
		return math.MaxInt
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
