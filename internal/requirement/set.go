package requirement

import (
	"fmt"
	"io/fs"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Set is a requirement set with everything it builds on, ready to be asked of a car.
type Set struct {
	Name  string // the file's name without its ending: us-virginia
	Body  *record.RequirementSet
	Items []Item
	// Own names the sets in it that the car holds itself, this one or any it builds on.
	Own []string
	// Head are sentences for the head of every page: a pinned edition that differs from the shipped one, a set out of force.
	Head []string
	// Findings are faults of the set: expressions that do not compile, overrides that change nothing.
	Findings []finding.Finding
}

// Title is what people call the set.
func (s *Set) Title() string {
	if s.Body.Name != "" {
		return s.Body.Name
	}
	return s.Name
}

// Questions says that no item has a test: the law was not read, and nothing is judged.
func (s *Set) Questions() bool {
	for _, it := range s.Items {
		if it.Test != "" {
			return false
		}
	}
	return true
}

// Item is one thing asked, with the set it comes from and what an override changed.
type Item struct {
	record.RequirementItem
	Set     string // the set that has it
	Edition string // the edition of that set
	Source  record.RuleSource
	Rule    quantity.Rule
	Changed *record.RequirementOverride
	Waived  bool

	applies, test *program
	fault         string
}

// ID is the name of the item among all sets: us-virginia/engine-removed.
func (it *Item) ID() string { return it.Set + "/" + it.RequirementItem.Item }

// Basis says how the clause is known.
func (it *Item) Basis() string {
	if it.RequirementItem.Basis != "" {
		return it.RequirementItem.Basis
	}
	return it.Source.Basis
}

// Library finds sets by name: those of the car first, then those that ship with the program. It compiles what it is asked for
// and nothing else.
type Library struct {
	shipped fs.FS
	car     *ledger.Snapshot
	day     edtf.Day
	lang    *language
}

// NewLibrary makes a library of the shipped sets (<name>.json at the top of shipped) and those of a car, which may be nil. The
// day decides which overrides still hold.
func NewLibrary(shipped fs.FS, car *ledger.Snapshot, day edtf.Day) *Library {
	return &Library{shipped: shipped, car: car, day: day}
}

// Names lists the sets that can be asked for.
func (l *Library) Names() []string {
	seen := map[string]bool{}
	var names []string
	add := func(name string) {
		if !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	entries, _ := fs.Glob(l.shipped, "*.json")
	for _, e := range entries {
		add(strings.TrimSuffix(e, ".json"))
	}
	if l.car != nil {
		for _, r := range ledger.All[record.RequirementSet](l.car) {
			add(short(r.ID))
		}
	}
	return names
}

// NoSet says that there is no set of a name.
type NoSet struct {
	Name  string
	Names []string
}

// Error names the set; Names are those that there are.
func (e *NoSet) Error() string { return "there is no requirement set called " + e.Name }

// Unreadable says that a car holds a set of a name and that its file cannot be read: the shipped one does not stand in for it.
type Unreadable struct {
	Name  string
	Fault finding.Finding
}

// Error names the set with what is wrong with its file, and where.
func (e *Unreadable) Error() string {
	return fmt.Sprintf("the car's own set %s cannot be read: %s:%d:%d: %s", e.Name, e.Fault.File, e.Fault.Line, e.Fault.Column, e.Fault.Message)
}

// Read gives a set as it is written, without what it builds on: the car's own, or the shipped one.
func (l *Library) Read(name string) (*record.Record, *record.RequirementSet, error) {
	if l.car != nil {
		if e, ok := ledger.Get[record.RequirementSet](l.car, record.Ref("requirements/"+name)); ok {
			return e.Record, e.Body, nil
		}
		if u := l.car.Unread(record.Ref("requirements/" + name)); u != nil {
			return nil, nil, &Unreadable{name, u.Fault}
		}
	}
	r, err := l.shippedRecord(name)
	if err != nil {
		return nil, nil, err
	}
	return r, r.Body.(*record.RequirementSet), nil
}

// owns says that a set of this name is the car's own copy.
func (l *Library) owns(name string) bool {
	if l.car == nil {
		return false
	}
	_, ok := ledger.Get[record.RequirementSet](l.car, record.Ref("requirements/"+name))
	return ok
}

func (l *Library) shippedRecord(name string) (*record.Record, error) {
	if !record.IsSlug(name) {
		return nil, &NoSet{name, l.Names()}
	}
	text, err := fs.ReadFile(l.shipped, name+".json")
	if err != nil {
		return nil, &NoSet{name, l.Names()}
	}
	r, err := record.Decode("requirements/"+name+".json", text)
	if err != nil {
		return nil, fmt.Errorf("requirements/%s.json: %w", name, err)
	}
	return r, nil
}

// Load gives a set with all it builds on, its overrides applied and its expressions compiled. Faults of the set are findings
// in it; only a set that is not there or cannot be read is an error.
func (l *Library) Load(name string) (*Set, error) {
	r, body, err := l.Read(name)
	if err != nil {
		return nil, err
	}
	if l.lang == nil {
		if l.lang, err = newLanguage(); err != nil {
			return nil, err
		}
	}
	b := &builder{library: l, set: &Set{Name: name, Body: body}, used: map[string]bool{}}
	if err := b.add(name, r, body, nil); err != nil {
		return nil, err
	}
	b.heads(name, r, body)
	return b.set, nil
}

// Pinned lists the sets that a car holds itself.
func Pinned(s *ledger.Snapshot) []string {
	var names []string
	for _, r := range ledger.All[record.RequirementSet](s) {
		names = append(names, short(r.ID))
	}
	return names
}
