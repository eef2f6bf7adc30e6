package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/entry"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/validate"
	"boltback/schema"
)

// Founding is what a new yard begins with.
type Founding struct {
	Path, Workshop, Name, Country string
	DecimalComma                  bool
	// Person is the slug of the first person, PersonName what people call them.
	Person, PersonName string
}

// Init makes a yard: yard.json, folders for cars, originals and private values, and the workshop's own repository with its
// first person.
func (e Env) Init(ctx context.Context, f Founding) (record.Ref, error) {
	for _, slug := range []string{f.Workshop, f.Person} {
		if !record.IsSlug(slug) {
			return "", &Usage{Message: fmt.Sprintf("%q cannot be a handle", slug), Hint: "lower-case letters, digits and single dashes: --workshop tallow-lane --person ines-okafor"}
		}
	}
	if f.PersonName == "" {
		f.PersonName = f.Person
	}
	root, err := e.Files.Absolute(f.Path)
	if err != nil {
		return "", err
	}
	if entries, err := fs.ReadDir(e.Files.Folder(root), "."); err == nil && len(entries) > 0 {
		return "", &Usage{Message: f.Path + " is not empty", Hint: "name a new folder: nothing that is there is written over"}
	}
	id := record.Ref("people/" + f.Workshop + "/" + f.Person)
	return id, e.Files.Build(root, func(folder string) error { return e.foundYard(ctx, folder, f, id) })
}

// foundYard fills a new yard's folder.
func (e Env) foundYard(ctx context.Context, root string, f Founding, id record.Ref) error {
	for _, folder := range []string{"cars", "originals", "private", "workshop"} {
		if err := e.Files.MakeFolder(filepath.Join(root, folder)); err != nil {
			return err
		}
	}
	book, err := e.Git.Init(filepath.Join(root, "workshop"))
	if err != nil {
		return fmt.Errorf("the workshop's repository: %w", err)
	}
	person := record.New(record.KindPerson).(*record.Person)
	person.Name, person.Workshop = f.PersonName, f.Workshop
	text, err := record.Encode(person)
	if err != nil {
		return err
	}
	_, err = book.Save(ctx, Save{
		Changes: []Change{{Path: ".gitattributes", Content: []byte(validate.GitAttributes)}, {Path: record.PathOf(id), Content: text}},
		Author:  Author{Name: f.PersonName, Email: f.Person + "@" + f.Workshop + ".invalid"},
		When:    e.Now(), Message: "open the workshop's address book",
	})
	if err != nil {
		return fmt.Errorf("the workshop's repository: %w", err)
	}
	habits, err := canon.Marshal(Habits{Workshop: f.Workshop, Name: f.Name, Country: f.Country, DecimalComma: f.DecimalComma})
	if err != nil {
		return err
	}
	return e.Files.Create(filepath.Join(root, "yard.json"), habits)
}

// Intake makes a car's repository with its first records: the ledger's head, the car itself with the words applied, the
// schemas, and whoever writes.
func (e Env) Intake(ctx context.Context, name string, words []string, person record.Ref, today edtf.Day) (Written, error) {
	if !record.IsSlug(name) {
		return Written{}, &Usage{Message: fmt.Sprintf("%q cannot be a car's handle", name), Hint: "lower-case letters, digits and single dashes: grey-tern"}
	}
	here, err := e.Files.Absolute(".")
	if err != nil {
		return Written{}, err
	}
	yard := e.above(here, "yard.json")
	if yard == "" {
		return Written{}, &Usage{Message: "no yard here", Hint: "stand in a yard, or make one: boltback init"}
	}
	car := Car{Name: name, Path: filepath.Join(yard, "cars", name), Yard: yard}
	if err := e.handleFits(car); err != nil {
		return Written{}, err
	}
	if entries, err := fs.ReadDir(e.Files.Folder(car.Path), "."); err == nil && len(entries) > 0 {
		return Written{}, &Usage{Message: "the yard has a car called " + name, Hint: "choose another handle"}
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return Written{}, err
	}
	habits, err := e.habits(yard)
	if err != nil {
		return Written{}, err
	}
	body := record.New(record.KindCar)
	notes, err := (entry.Context{Today: today, DecimalComma: habits.DecimalComma, Country: habits.Country}).Apply(body, words)
	if err != nil {
		return Written{}, usageOf(err)
	}
	w, err := e.found(ctx, car, habits, body, person, today)
	w.Notes = append(notes, w.Notes...)
	return w, err
}

// handleFits refuses a handle by which a new car could be taken for the address book, or that shows a private value of the yard.
func (e Env) handleFits(car Car) error {
	if car.Name == bookName {
		return &Usage{Message: "workshop is what the address book is called", Hint: "choose another handle for the car"}
	}
	return shownSaid("the car's handle", car.Name, e.sought(car.Yard), func(v validate.Sought) bool { return v.OneWord || v.OfCar && v.Words == validate.Words(car.Name) })
}

// found makes the repository and its first commit.
func (e Env) found(ctx context.Context, car Car, habits Habits, body record.Body, person record.Ref, today edtf.Day) (Written, error) {
	head := record.New(record.KindLedger).(*record.Ledger)
	var err error
	if head.ID, err = e.random(); err != nil {
		return Written{}, err
	}
	head.Edition, head.Workshop, head.Started = schema.Edition, habits.Workshop, record.Date(today.String())
	changes := []Change{{Path: ".gitattributes", Content: []byte(validate.GitAttributes)}}
	for at, b := range map[string]record.Body{"ledger.json": head, "car.json": body} {
		text, err := record.Encode(b)
		if err != nil {
			return Written{}, err
		}
		changes = append(changes, Change{Path: at, Content: text})
	}
	schemas, err := schemaFiles()
	if err != nil {
		return Written{}, err
	}
	if person == "" {
		if person, err = e.who(); err != nil {
			return Written{}, err
		}
	}
	d := &Desk{env: e, car: car, s: ledger.Empty(), today: today, habits: habits}
	if d.person, err = d.find(person); err != nil {
		return Written{}, err
	}
	keys, err := d.firstKeys()
	if err != nil {
		return Written{}, err
	}
	changes = append(append(changes, schemas...), keys...)
	var w Written
	err = e.Files.Build(car.Path, func(folder string) (err error) {
		if d.repo, err = e.Git.Init(folder); err != nil {
			return fmt.Errorf("%s: %w", car.Name, err)
		}
		w, err = d.save(ctx, changes, []record.Body{body}, "take in "+strings.TrimSpace(car.Name+" "+body.Heading().Name))
		return err
	})
	if len(keys) == 0 {
		w.Notes = append(w.Notes, "nobody's public key is on record, so no signature will ever count in this car; before the next one: boltback keys --add KEY.pub")
	}
	return w, err
}

// schemaFiles gives the copies of the schemas that travel with a car.
func schemaFiles() ([]Change, error) {
	var changes []Change
	err := fs.WalkDir(schema.Files(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(schema.Files(), name)
		changes = append(changes, Change{Path: "schema/" + schema.Edition + "/" + name, Content: text})
		return err
	})
	return changes, err
}
