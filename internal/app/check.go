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
	"boltback/internal/validate"
)

// CheckOptions say how deep and as of when to check.
type CheckOptions struct {
	On edtf.Day
	// At is the revision to check; "" is the folder as it lies.
	At   string
	Deep bool
}

// Checked is what a check of one car gave.
type Checked struct {
	Car      Car
	Snapshot *ledger.Snapshot
	// Commit names what was read, "" where it is under no Git.
	Commit   string
	Findings []finding.Finding
}

// Check holds each car against its schemas and itself.
func (e Env) Check(cars []Car, options CheckOptions) ([]Checked, error) {
	validator := validate.New()
	var all []Checked
	for _, car := range cars {
		checked, err := e.check(validator, car, options)
		if err != nil {
			return nil, err
		}
		all = append(all, checked)
	}
	return all, nil
}

func (e Env) check(validator *validate.Validator, car Car, options CheckOptions) (Checked, error) {
	s, commit, err := e.At(car, options.At)
	if err != nil {
		return Checked{}, err
	}
	found, err := validator.Check(s, validate.Options{On: options.On, Deep: options.Deep, Originals: e.originals(car)})
	if err != nil {
		return Checked{}, fmt.Errorf("%s: %w", car.Name, err)
	}
	for i := range found {
		found[i].Car = car.Name
	}
	return Checked{Car: car, Snapshot: s, Commit: commit, Findings: found}, nil
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
