package app

import (
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/validate"
)

// CheckOptions say how deep and as of when to check.
type CheckOptions struct {
	On edtf.Day
	// At is the revision to check; "" is the folder as it lies.
	At   string
	Deep bool
	// sought are the searches for private values by yard: one a yard serves all of its cars.
	sought map[string]*validate.Search
}

// known gives the search for the private values of a yard, made once for all of its cars.
func (o CheckOptions) known(e Env, yard string) *validate.Search {
	s, made := o.sought[yard]
	if !made {
		s = e.sought(yard)
		o.sought[yard] = s
	}
	return s
}

// Checked is what a check of one car gave.
type Checked struct {
	Car      Car
	Findings []finding.Finding
	// Summary is what the checks over a yard ask of the car.
	Summary validate.Summary
}

// Memories remember what earlier checks of cars found.
type Memories interface {
	// Recall looks at a car's folder and at what is known of it; beside is the folder of its yard, or "".
	Recall(car, beside string, folder fs.FS) (Memory, error)
}

// Memory is what is known of one car.
type Memory interface {
	// Before is the state that an earlier check left, nil where none did; Look is how the folder lies there now.
	Before() *validate.State
	Look() validate.Look
	// Keep writes down what a check found, and Close ends the use of the memory.
	Keep(now *validate.State) error
	Close() error
}

// Check holds each car against its schemas and itself.
func (e Env) Check(cars []Car, options CheckOptions) ([]Checked, error) {
	validator := validate.New()
	options.sought = map[string]*validate.Search{}
	var all []Checked
	for _, car := range cars {
		one, err := e.check(validator, car, options)
		if err == nil {
			err = e.aroundCar(&one, options)
		}
		if err == nil {
			err = e.addOwnSets(&one, options)
		}
		if err == nil && options.Deep && !car.Book {
			err = e.addLeftOpen(&one, options)
		}
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return e.acrossYard(all, options)
}

// addLeftOpen adds what the replay of the work leaves open. It takes all records of the car, so that an ordinary check, which
// reads only what changed, leaves it to a deep one.
func (e Env) addLeftOpen(one *Checked, options CheckOptions) error {
	s, err := e.as(one.Car, options.At)
	if err != nil {
		return err
	}
	one.Findings = append(one.Findings, ofCar(one.Car, leftOpen(s))...)
	finding.Sort(one.Findings)
	return nil
}

// leftOpen are the doubts of replay as findings: an order that is not stated, a part that is in store and never came off.
func leftOpen(s *ledger.Snapshot) []finding.Finding {
	var found []finding.Finding
	for _, d := range replay.Of(s).Now().Doubts() {
		found = append(found, d.Finding())
	}
	return found
}

func (e Env) check(validator *validate.Validator, car Car, options CheckOptions) (Checked, error) {
	if memory := e.recall(car, options); memory != nil {
		defer memory.Close()
		state, err := e.stateOf(validator, car, options, memory)
		if err != nil {
			return Checked{}, err
		}
		return Checked{car, ofCar(car, state.Findings()), state.Summary(car.Name)}, nil
	}
	s, err := e.as(car, options.At)
	if err != nil {
		return Checked{}, err
	}
	found, err := e.checkWhole(validator, car, s, options)
	if err != nil {
		return Checked{}, err
	}
	return Checked{car, found, validate.Summarize(car.Name, s)}, nil
}

// examine checks a car and gives with the findings what they are of: the records, and the commit that holds them.
func (e Env) examine(car Car, options CheckOptions) (s *ledger.Snapshot, commit string, found []finding.Finding, err error) {
	if memory := e.recall(car, options); memory != nil {
		defer memory.Close()
		if s, err = ledger.Load(memory.Look().FS); err != nil {
			return nil, "", nil, fmt.Errorf("%s: %w", car.Name, err)
		}
		state, err := e.stateOf(validate.New(), car, options, memory)
		if err != nil {
			return nil, "", nil, err
		}
		return s, e.standsOn(car), ofCar(car, state.Findings()), nil
	}
	if s, commit, err = e.At(car, options.At); err != nil {
		return nil, "", nil, err
	}
	found, err = e.checkWhole(validate.New(), car, s, options)
	return s, commit, found, err
}

// as reads a car as it lies in its folder, or as it was at a revision.
func (e Env) as(car Car, revision string) (*ledger.Snapshot, error) {
	if revision == "" {
		return e.Snapshot(car)
	}
	s, _, err := e.At(car, revision)
	return s, err
}

// recall gives what is known of a car, or nil where everything is to be read: in a deep check, at a revision, and where the
// folder cannot be surveyed, which the check itself then words.
func (e Env) recall(car Car, options CheckOptions) Memory {
	if e.Memories == nil || car.Book || options.At != "" || options.Deep {
		return nil
	}
	memory, err := e.Memories.Recall(car.Path, car.Yard, e.Files.Folder(car.Path))
	if err != nil {
		return nil
	}
	return memory
}

// settling gives of a car only a record and what corrects or withdraws it or is corrected by it, where that is known; else
// the car as it is given.
func (e Env) settling(car Car, s *ledger.Snapshot, path string) (*ledger.Snapshot, error) {
	memory := e.recall(car, CheckOptions{})
	if memory == nil {
		return s, nil
	}
	defer memory.Close()
	few, err := validate.Settling(memory.Before(), memory.Look(), path)
	if err != nil || few == nil {
		return s, err
	}
	return ledger.Load(few)
}

// stateOf checks a car of which something may be known.
func (e Env) stateOf(validator *validate.Validator, car Car, options CheckOptions, memory Memory) (*validate.State, error) {
	state, err := validator.Again(memory.Before(), memory.Look(), validate.Options{On: options.On, Originals: e.originals(car)})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	_ = memory.Keep(state) // what cannot be kept is found again next time
	return state, nil
}

// checkWhole checks records as they are.
func (e Env) checkWhole(validator *validate.Validator, car Car, s *ledger.Snapshot, options CheckOptions) ([]finding.Finding, error) {
	found, err := validator.Check(s, validate.Options{On: options.On, Deep: options.Deep, Originals: e.originals(car)})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	return ofCar(car, found), nil
}

func ofCar(car Car, found []finding.Finding) []finding.Finding {
	for i := range found {
		found[i].Car = car.Name
	}
	return found
}

// originals gives the folder of full files beside the car, or nil where the car lies in no yard.
func (e Env) originals(car Car) validate.Originals {
	if car.Yard == "" {
		return nil
	}
	return &originalFiles{fsys: e.Files.Folder(filepath.Join(car.Yard, "originals"))}
}

// originalFiles finds originals by their digest; the ending of their name does not matter.
type originalFiles struct {
	fsys  fs.FS
	names map[string]string // digest to file name, listed once
}

func (o *originalFiles) list() map[string]string {
	if o.names != nil {
		return o.names
	}
	o.names = map[string]string{}
	entries, err := fs.ReadDir(o.fsys, ".")
	if err != nil {
		return o.names // no folder of originals: none is here
	}
	for _, d := range entries {
		if digest, _, _ := strings.Cut(d.Name(), "."); d.Type().IsRegular() && len(digest) == 64 {
			o.names[digest] = d.Name()
		}
	}
	return o.names
}

// Find gives the size of the original with a digest.
func (o *originalFiles) Find(digest record.Digest) (int64, bool) {
	name, here := o.list()[string(digest)]
	if !here {
		return 0, false
	}
	info, err := fs.Stat(o.fsys, name)
	if err != nil {
		return 0, false
	}
	return info.Size(), true
}

// Open reads the original with a digest.
func (o *originalFiles) Open(digest record.Digest) (io.ReadCloser, error) {
	name, here := o.list()[string(digest)]
	if !here {
		return nil, fs.ErrNotExist
	}
	return o.fsys.Open(name)
}

// FixLayout writes every record that is not laid out as the ledger writes it anew: the same members in the same order. It
// gives the files written. A file that is no strict JSON is left as it is.
func (e Env) FixLayout(car Car) ([]string, error) {
	s, err := e.Snapshot(car)
	if err != nil {
		return nil, err
	}
	var written []string
	fix := func(path string, doc *canon.Document) error {
		if canon.CheckLayout(doc) == nil {
			return nil
		}
		changed, err := e.Files.Replace(filepath.Join(car.Path, filepath.FromSlash(path)), canon.Layout(doc))
		if err != nil {
			return fmt.Errorf("write %s: %w", path, err)
		}
		if changed {
			written = append(written, path)
		}
		return nil
	}
	for _, r := range s.Records() {
		if err := fix(r.Path, r.Doc); err != nil {
			return written, err
		}
	}
	for _, u := range s.AllUnread() {
		if u.Doc != nil {
			if err := fix(u.Path, u.Doc); err != nil {
				return written, err
			}
		}
	}
	return written, nil
}
