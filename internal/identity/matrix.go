package identity

import (
	"fmt"
	"slices"
)

// State is what all readings of one kind of number come to.
type State string

// The states. A conflict stands however many readings agree besides it.
const (
	StateAgree        State = "agree"
	StateCompatible   State = "compatible"
	StateIncomplete   State = "incomplete"
	StateNearMiss     State = "near miss"
	StateConflict     State = "conflict"
	StateSingleSource State = "single source"
	StateNoneRead     State = "none read"
)

// Pair is the agreement of two claims of a matrix, by their place in Claims, I < J.
type Pair struct {
	I, J      int
	Agreement Agreement
}

// Class is a set of claims that hold the same number. A partly legible number
// forms a class with readings that made out exactly the same places; that does
// not make them the same number.
type Class struct {
	Key     string
	Pattern bool  // some place was not made out
	Claims  []int // places in Claims
}

// KindMatrix compares every reading of one kind of number with every other.
type KindMatrix struct {
	Kind    Kind
	Claims  []Claim // in the order shown
	Pairs   []Pair  // every two usable claims, by I then J
	Classes []Class // of the usable claims
	Refused []int   // claims that are no evidence: damaged, or nothing made out
	State   State
}

// Matrix compares claims kind by kind. The order of the claims does not matter.
// Time and size grow with the square of the claims of one kind.
func Matrix(claims []Claim) []KindMatrix {
	var out []KindMatrix
	for _, c := range sorted(claims) {
		if n := len(out); n == 0 || out[n-1].Kind != c.Kind {
			out = append(out, KindMatrix{Kind: c.Kind})
		}
		last := &out[len(out)-1]
		last.Claims = append(last.Claims, c)
	}
	for i := range out {
		out[i].fill()
	}
	return out
}

func (m *KindMatrix) fill() {
	for i, c := range m.Claims {
		if !c.usable() {
			m.Refused = append(m.Refused, i)
			continue
		}
		m.classify(i)
		for j := range i {
			if m.Claims[j].usable() {
				m.Pairs = append(m.Pairs, Pair{I: j, J: i, Agreement: Compare(m.Claims[j].Number, c.Number)})
			}
		}
	}
	slices.SortFunc(m.Pairs, func(a, b Pair) int {
		if a.I != b.I {
			return a.I - b.I
		}
		return a.J - b.J
	})
	m.State = m.judge()
}

// classify puts a claim into the class of its key.
func (m *KindMatrix) classify(i int) {
	f := Key(m.Claims[i].Number.Raw)
	at := slices.IndexFunc(m.Classes, func(c Class) bool { return c.Key == f.String() })
	if at < 0 {
		at = len(m.Classes)
		m.Classes = append(m.Classes, Class{Key: f.String(), Pattern: f.Pattern()})
	}
	m.Classes[at].Claims = append(m.Classes[at].Claims, i)
}

// judge takes the worst pair. Readings that all agree and all come from one
// sort of source have nothing that bears them out.
func (m *KindMatrix) judge() State {
	if len(m.Classes) == 0 {
		return StateNoneRead
	}
	worst := Agree
	for _, p := range m.Pairs {
		if p.Agreement.Verdict.rank() > worst.rank() {
			worst = p.Agreement.Verdict
		}
	}
	if worst == Agree && m.sources() < 2 {
		return StateSingleSource
	}
	return map[Verdict]State{Agree: StateAgree, Compatible: StateCompatible, Incomplete: StateIncomplete,
		NearMiss: StateNearMiss, Conflict: StateConflict}[worst]
}

// sources counts the different sources among the usable claims.
func (m *KindMatrix) sources() int {
	seen := map[Source]bool{}
	for _, class := range m.Classes {
		for _, i := range class.Claims {
			seen[m.Claims[i].Source] = true
		}
	}
	return len(seen)
}

// Pair gives the agreement of two claims by their places, in that order; ok is
// false when one of them is refused, unknown, or the same as the other.
func (m KindMatrix) Pair(i, j int) (Agreement, bool) {
	for _, p := range m.Pairs {
		switch {
		case p.I == i && p.J == j:
			return p.Agreement, true
		case p.I == j && p.J == i:
			return p.Agreement.flipped(), true
		}
	}
	return Agreement{}, false
}

// Doubts lists the pairs that make the state what it is, when it is worse than
// agreement: every conflict, or every near miss, and so on.
func (m KindMatrix) Doubts() []Pair {
	var out []Pair
	for _, p := range m.Pairs {
		if v := p.Agreement.Verdict; v != Agree && State(v) == m.State {
			out = append(out, p)
		}
	}
	return out
}

// Sentence says what the readings come to.
func (m KindMatrix) Sentence() string {
	usable := len(m.Claims) - len(m.Refused)
	s := m.Kind.Label() + ": "
	switch m.State {
	case StateNoneRead:
		s += "none read"
	case StateSingleSource:
		s += fmt.Sprintf("%s from one sort of source, nothing else bears it out", count(usable, "reading"))
	case StateAgree:
		s += fmt.Sprintf("%s from %s agree", count(usable, "reading"), count(m.sources(), "sort")+" of source")
	default:
		s += m.doubtClause(usable)
	}
	if n := len(m.Refused); n > 0 {
		s += fmt.Sprintf("; %s no evidence", are(n, "reading"))
	}
	return s
}

func (m KindMatrix) doubtClause(usable int) string {
	what := map[State]string{
		StateCompatible: "compatible, some places were not made out",
		StateIncomplete: "some hold only a part of others",
		StateNearMiss:   "some nearly agree and are not taken for the same",
		StateConflict:   "some conflict, and the conflict stands until a record settles it",
	}[m.State]
	s := fmt.Sprintf("%s, %s", count(usable, "reading"), what)
	first := m.Doubts()[0]
	a, b := m.Claims[first.I], m.Claims[first.J]
	s += fmt.Sprintf(": %s, %s; %s", a.place(), b.place(), first.Agreement.Sentence())
	if a.Part != "" && b.Part != "" && a.Part != b.Part {
		s += fmt.Sprintf("; they were read on two parts, %s and %s", a.Part, b.Part)
	}
	return s
}

func are(n int, noun string) string {
	if n == 1 {
		return "1 " + noun + " is"
	}
	return count(n, noun) + " are"
}
