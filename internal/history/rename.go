package history

import (
	"cmp"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/record"
)

// What a record that is gone and a new one must share to be taken for one that
// was renamed: all values, or two of three and at least leastAlike of them. Above
// mostPairs only those with the same bytes are looked at.
const (
	leastAlike = 3
	mostPairs  = 40_000
)

// likeness is how far a record that is gone and a new one say the same.
type likeness struct {
	old, new      int // indices of the pairs
	alike, values int
}

// findRenamed puts the two halves of a renamed record into one pair, and gives
// the new name for each old one.
func findRenamed(pairs []pair) ([]pair, map[record.Ref]record.Ref) {
	likenesses := candidates(pairs)
	slices.SortStableFunc(likenesses, func(a, b likeness) int {
		lowA, highA := ordered(pairs[a.old].old.path, pairs[a.new].new.path)
		lowB, highB := ordered(pairs[b.old].old.path, pairs[b.new].new.path)
		return cmp.Or(cmp.Compare(b.alike*a.values, a.alike*b.values), strings.Compare(lowA, lowB), strings.Compare(highA, highB))
	})
	renamed := map[record.Ref]record.Ref{}
	gone := make([]bool, len(pairs))
	for _, l := range likenesses {
		if gone[l.old] || pairs[l.new].old != nil {
			continue
		}
		gone[l.old] = true
		pairs[l.new].old = pairs[l.old].old
		renamed[pairs[l.new].old.id] = pairs[l.new].new.id
	}
	var left []pair
	for i, p := range pairs {
		if !gone[i] {
			left = append(left, p)
		}
	}
	return left, renamed
}

func ordered(a, b string) (low, high string) { return min(a, b), max(a, b) }

// candidates lists the halves that may be one renamed record.
func candidates(pairs []pair) []likeness {
	var gone, fresh []int
	for i, p := range pairs {
		switch {
		case p.new == nil && p.old.record != nil:
			gone = append(gone, i)
		case p.old == nil && p.new.record != nil:
			fresh = append(fresh, i)
		}
	}
	if len(gone) == 0 || len(fresh) == 0 {
		return nil
	}
	byBytesOnly := len(gone)*len(fresh) > mostPairs
	said := map[*record.Record]map[string]int{}
	var list []likeness
	for _, i := range gone {
		for _, j := range fresh {
			a, b := pairs[i].old.record, pairs[j].new.record
			if a.Kind != b.Kind || a.Digest != b.Digest && byBytesOnly || standsOver(a, b) || standsOver(b, a) {
				continue
			}
			l := compareValues(valuesOf(a, said), valuesOf(b, said))
			if l.alike == l.values || l.alike >= leastAlike && 3*l.alike >= 2*l.values {
				list = append(list, likeness{i, j, l.alike, l.values})
			}
		}
	}
	return list
}

// standsOver tells whether a record corrects or withdraws another.
func standsOver(r, below *record.Record) bool {
	head := r.Body.Heading()
	return head.Corrects == below.ID || head.Withdraws == below.ID
}

// compareValues counts what two records both say, out of the longer one.
func compareValues(a, b map[string]int) likeness {
	l := likeness{values: max(size(a), size(b))}
	for v, n := range a {
		l.alike += min(n, b[v])
	}
	return l
}

func size(values map[string]int) (n int) {
	for _, times := range values {
		n += times
	}
	return n
}

// valuesOf counts the values of a record, each with its place, without its kind.
func valuesOf(r *record.Record, known map[*record.Record]map[string]int) map[string]int {
	if v, ok := known[r]; ok {
		return v
	}
	values := map[string]int{}
	var walk func(n *canon.Node, pattern string)
	walk = func(n *canon.Node, pattern string) {
		for _, m := range n.Members {
			walk(m.Value, pattern+"/"+m.Name)
		}
		for _, e := range n.Elements {
			walk(e, pattern)
		}
		if n.Members == nil && n.Elements == nil && pattern != "/kind" {
			values[pattern+"\x00"+n.Text]++
		}
	}
	walk(r.Doc.Root, "")
	known[r] = values
	return values
}
