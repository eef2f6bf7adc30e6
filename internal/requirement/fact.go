package requirement

import (
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/workings"
)

// FactKind is the type of a fact in an expression.
type FactKind string

// The kinds of fact. Each of a Many names a subject of its own.
const (
	YesNo   FactKind = "yes or no"
	Text    FactKind = "text"
	Whole   FactKind = "whole number"
	Figure  FactKind = "quantity"
	OnDay   FactKind = "day"
	Several FactKind = "list"
)

// Fact is one member of a subject: its name in expressions, what it is, and what would settle it where it is not known.
type Fact struct {
	Name string
	Kind FactKind
	// Of is the subject of each entry of a list; Unit what a quantity may be given in.
	Of, Unit string
	// Words say what it is, Want what would settle it: lower case, no full stop.
	Words, Want string
}

// Subject is a group of facts: a variable of the language, or the entry of a list.
type Subject struct {
	Name  string
	Words string
	Facts []Fact
	// Entry says that it is no variable but what a list holds.
	Entry bool
}

func (s *Subject) fact(name string) (Fact, bool) {
	for _, f := range s.Facts {
		if f.Name == name {
			return f, true
		}
	}
	return Fact{}, false
}

// known is a fact as the records have it: its value, or why there is none.
type known struct {
	value   any // bool, string, int64, edtf.Date, []figure, []*thing
	records []record.Ref
	// workings are those that it was taken from.
	workings []string
	gap      *Gap
}

// figure is one reading of a quantity; a fact may have several, each by itself evidence.
type figure struct {
	q       quantity.Quantity
	records []record.Ref
	working string // that it was taken from: "insulation / isolation 2026-04-01-ada"; empty for a figure as it was read
}

// thing is a subject with its facts filled in as far as they are known.
type thing struct {
	subject *Subject
	name    string
	facts   map[string]known
	entries map[string]*thing // of a subject whose entries are asked for by name
}

func (t *thing) set(name string, k known) {
	if _, ok := t.subject.fact(name); !ok {
		panic("the subject " + t.subject.Name + " has no fact " + name) // a slip of this package, which its tests meet
	}
	t.facts[name] = k
}

func (t *thing) is(name string, value any, records ...record.Ref) {
	t.set(name, known{value: value, records: records})
}

// figures sets a quantity from its readings; none leaves it unknown.
func (t *thing) figures(name string, list ...figure) {
	if len(list) == 0 {
		return
	}
	k := known{value: list, records: recordsOf(list)}
	for _, f := range list {
		if f.working != "" && !slices.Contains(k.workings, f.working) {
			k.workings = append(k.workings, f.working)
		}
	}
	t.set(name, k)
}

// workingName names a working as it is printed: subject and name.
func workingName(w *workings.Working) string { return string(w.Subject) + " / " + w.ID }

func (t *thing) lacks(name string, kind GapKind, why string, records ...record.Ref) {
	f, _ := t.subject.fact(name)
	t.set(name, known{gap: &Gap{Kind: kind, Fact: t.called(f), Why: why, Want: f.Want, Records: records, of: t, name: name}})
}

// called is a fact in words, with whose it is.
func (t *thing) called(f Fact) string {
	if t.name == "" {
		return f.Words
	}
	return f.Words + ": " + t.name
}

// get gives a fact; one that is not filled in is a gap.
func (t *thing) get(name string) (Fact, known) {
	f, _ := t.subject.fact(name)
	if k, ok := t.facts[name]; ok {
		return f, k
	}
	return f, known{gap: &Gap{Kind: Absent, Fact: t.called(f), Want: f.Want, of: t, name: name}}
}

func recordsOf(list []figure) []record.Ref {
	var refs []record.Ref
	for _, f := range list {
		for _, r := range f.records {
			if !slices.Contains(refs, r) {
				refs = append(refs, r)
			}
		}
	}
	return refs
}

// dateOf reads a date of a record; what cannot be read is no date.
func dateOf(d record.Date) edtf.Date {
	date, err := edtf.Parse(string(d))
	if err != nil {
		return edtf.Date{}
	}
	return date
}
