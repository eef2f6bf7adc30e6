package requirement

import (
	"slices"

	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

// GapKind says why a fact is not known.
type GapKind string

// The kinds of gap. Close is no gap in the records: a figure lies too near its limit for the decision rule.
const (
	Absent      GapKind = "not recorded"
	Stale       GapKind = "stale"
	Doubtful    GapKind = "in doubt"
	Contradicts GapKind = "contradiction"
	Close       GapKind = "too close to call"
)

// Gap is something that an expression needed and the records do not settle.
type Gap struct {
	Kind GapKind
	// Fact is what is not known, in words; Why says why it is not, and Want what would settle it: lower case, no full stop.
	Fact, Why, Want string
	// Records are those that leave it open, if any speak of it.
	Records []record.Ref

	of   *thing // whose fact it is, where it is one
	name string
}

func (g Gap) same(o Gap) bool {
	return g.of == o.of && g.Kind == o.Kind && g.Fact == o.Fact && g.Why == o.Why && slices.Equal(g.Records, o.Records)
}

// Comparison is one figure that was held against a limit.
type Comparison struct {
	Fact     string // what was compared, in words
	Decision quantity.Decision
	Records  []record.Ref // what the figure is from
}

// trail keeps what one evaluation of an expression met on its way.
type trail struct {
	rule        quantity.Rule
	gaps        []Gap
	records     []record.Ref
	workings    []string
	comparisons []Comparison
	denied      []string // facts that are known and not so, in words
	faults      []string
}

// unknown turns a gap into a value that CEL carries through logic: its number is the gap's place in the trail.
func (t *trail) unknown(g Gap) ref.Val {
	for i, have := range t.gaps {
		if have.same(g) {
			return types.NewUnknown(int64(i+1), types.NewAttributeTrail("gap"))
		}
	}
	t.gaps = append(t.gaps, g)
	return types.NewUnknown(int64(len(t.gaps)), types.NewAttributeTrail("gap"))
}

// open lists the gaps that a result still depends on, in the order in which they were met.
func (t *trail) open(u *types.Unknown) []Gap {
	ids := u.IDs()
	slices.Sort(ids)
	var gaps []Gap
	for _, id := range ids {
		if id >= 1 && int(id) <= len(t.gaps) {
			gaps = append(gaps, t.gaps[id-1])
		}
	}
	return gaps
}

// fault is an error of the expression itself. It is kept, so that no logic around it can turn it into a pass.
func (t *trail) fault(message string) ref.Val {
	t.faults = append(t.faults, message)
	return types.NewErr("%s", message)
}

func (t *trail) touch(k known) {
	for _, r := range k.records {
		if !slices.Contains(t.records, r) {
			t.records = append(t.records, r)
		}
	}
	for _, w := range k.workings {
		if !slices.Contains(t.workings, w) {
			t.workings = append(t.workings, w)
		}
	}
}
