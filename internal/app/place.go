package app

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"boltback/internal/ledger"
)

// Car is where one car lies.
type Car struct {
	// Name is the car's handle: its folder's name.
	Name string
	// Path is its folder.
	Path string
	// Yard is the folder of the yard it belongs to, or "".
	Yard string
	// Book says that this is the address book of the yard's workshop and no car.
	Book bool
}

// load reads the records in a folder, and open those that are asked for.
func (c Car) load(folder fs.FS) (*ledger.Snapshot, error) {
	if c.Book {
		return ledger.LoadBook(folder)
	}
	return ledger.Load(folder)
}

func (c Car) open(folder fs.FS) (*ledger.Snapshot, error) {
	if c.Book {
		return ledger.OpenBook(folder), nil
	}
	return ledger.Open(folder)
}

// Find gives the cars that a word on the command line means: a folder that is a car or a yard, or the handle of a car of
// the yard one stands in. No word means the car one stands in, or else all cars of the yard.
func (e Env) Find(word string) ([]Car, error) {
	here, err := e.Files.Absolute(".")
	if err != nil {
		return nil, err
	}
	if word == "" {
		return e.around(here)
	}
	path, err := e.Files.Absolute(word)
	if err != nil {
		return nil, err
	}
	if cars, err := e.at(path); err != nil || len(cars) > 0 {
		return cars, err
	}
	if yard := e.above(here, "yard.json"); yard != "" && !strings.ContainsAny(word, `/\`) {
		return e.handle(yard, word)
	}
	return nil, &Usage{Message: fmt.Sprintf("%s is no car and no yard", word), Hint: "name a car's folder (ledger.json stands at its top), a yard's (yard.json), or a car of the yard you stand in"}
}

// One gives the one car that a word means.
func (e Env) One(word string) (Car, error) {
	cars, err := e.Find(word)
	switch {
	case err != nil:
		return Car{}, err
	case len(cars) == 1:
		return cars[0], nil
	case len(cars) == 0:
		return Car{}, &Usage{Message: "this yard has no car yet"}
	}
	names := make([]string, len(cars))
	for i, c := range cars {
		names[i] = c.Name
	}
	return Car{}, &Usage{Message: "this takes one car, and the yard has several", Hint: "name one of: " + strings.Join(names, ", ")}
}

// around looks upward from a folder for a car, then for a yard.
func (e Env) around(here string) ([]Car, error) {
	if car := e.above(here, "ledger.json"); car != "" {
		return e.at(car)
	}
	if yard := e.above(here, "yard.json"); yard != "" {
		return e.at(yard)
	}
	return nil, &Usage{Message: "no car and no yard here", Hint: "stand in one, name one, or lay out the sample: boltback demo demo-yard"}
}

// above gives the nearest folder at or over path that holds a file of that name.
func (e Env) above(path, file string) string {
	for {
		if e.has(path, file) {
			return path
		}
		parent := filepath.Dir(path)
		if parent == path {
			return ""
		}
		path = parent
	}
}

func (e Env) has(folder, file string) bool {
	info, err := fs.Stat(e.Files.Folder(folder), file)
	return err == nil && info.Mode().IsRegular()
}

// at gives the car or the cars of the yard that lie in a folder; none where it is neither.
func (e Env) at(path string) ([]Car, error) {
	if e.has(path, "ledger.json") {
		yard := filepath.Dir(filepath.Dir(path))
		if !e.has(yard, "yard.json") {
			yard = ""
		}
		return []Car{{Name: filepath.Base(path), Path: path, Yard: yard}}, nil
	}
	if !e.has(path, "yard.json") {
		return nil, nil
	}
	return e.carsOf(path)
}

// carsOf lists the cars of a yard by name. A hidden folder is none: it may be a car that a crash left half made.
func (e Env) carsOf(yard string) ([]Car, error) {
	entries, err := fs.ReadDir(e.Files.Folder(yard), "cars")
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("list the cars of the yard: %w", err)
	}
	var cars []Car
	for _, d := range entries {
		path := filepath.Join(yard, "cars", d.Name())
		if d.IsDir() && !strings.HasPrefix(d.Name(), ".") && e.has(path, "ledger.json") {
			cars = append(cars, Car{Name: d.Name(), Path: path, Yard: yard})
		}
	}
	return cars, nil
}

// handle gives a car of a yard by its name.
func (e Env) handle(yard, name string) ([]Car, error) {
	cars, err := e.carsOf(yard)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, c := range cars {
		if c.Name == name {
			return []Car{c}, nil
		}
		names = append(names, c.Name)
	}
	return nil, &Usage{Message: fmt.Sprintf("the yard has no car called %s", name), Hint: "its cars are: " + strings.Join(names, ", ")}
}

// Snapshot reads a car as it lies in its folder.
func (e Env) Snapshot(car Car) (*ledger.Snapshot, error) {
	s, err := car.load(e.Files.Folder(car.Path))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	return s, nil
}

// glance reads of a car only the records that are asked for, for verbs that are about one.
func (e Env) glance(car Car) (*ledger.Snapshot, error) {
	s, err := car.open(e.Files.Folder(car.Path))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	return s, nil
}

// largestFile is how much of a file named on the command line is taken.
const largestFile = 4 << 20

// ReadFile reads a file that somebody names on the command line.
func (e Env) ReadFile(name string) ([]byte, error) { return e.readUpTo(name, largestFile) }

func (e Env) readUpTo(name string, most int64) ([]byte, error) {
	path, err := e.Files.Absolute(name)
	if err != nil {
		return nil, err
	}
	folder, file := filepath.Split(path)
	info, err := fs.Stat(e.Files.Folder(folder), file)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, err)
	}
	if info.Size() > most {
		return nil, &Usage{Message: fmt.Sprintf("%s has %d bytes, and %d at most are taken", name, info.Size(), most)}
	}
	return fs.ReadFile(e.Files.Folder(folder), file)
}
