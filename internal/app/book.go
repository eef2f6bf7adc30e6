package app

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/record"
)

// bookName is what the workshop's address book is called where a car's handle could stand, and the folder it lies in.
const bookName = "workshop"

// bookFolders are what the address book holds and cars copy from it.
var bookFolders = []string{"people", "instruments", "stores"}

// inBook reports whether a record of that name, or a folder, belongs to the address book.
func inBook(name string) bool { return slices.Contains(bookFolders, record.FolderOf(record.Ref(name))) }

func bookOf(yard string) Car {
	return Car{Name: bookName, Path: filepath.Join(yard, bookName), Yard: yard, Book: true}
}

// OneOrBook gives the one car that a word means, or the workshop's address book: where the word names it or one stands in it,
// and where what is asked about belongs there by its kind or its name.
func (e Env) OneOrBook(word string, kind record.Kind, name string) (Car, error) {
	if book, ok := e.book(word); ok {
		return book, nil
	}
	if !inBook(record.PlaceOf(kind)) && !inBook(name) {
		return e.One(word)
	}
	yard := ""
	if cars, err := e.Find(word); err != nil {
		return Car{}, err
	} else if len(cars) > 0 {
		yard = cars[0].Yard
	} else if here, err := e.Files.Absolute("."); err == nil {
		yard = e.above(here, "yard.json")
	}
	if yard == "" {
		return Car{}, &Usage{Message: "people, instruments and stores are recorded in a workshop's address book, and there is no yard here", Hint: "stand in the yard, or make one: boltback init"}
	}
	return bookOf(yard), nil
}

// OneToShow gives the car in which a record is to be shown. Where no one car is meant, somebody in the address book is shown there.
func (e Env) OneToShow(word, name string) (Car, error) {
	if book, ok := e.book(word); ok {
		return book, nil
	}
	car, err := e.One(word)
	if err != nil && word == "" && inBook(name) {
		return e.OneOrBook(word, "", name)
	}
	return car, err
}

// FindOrBook is Find, and gives the address book where the word names it or one stands in it.
func (e Env) FindOrBook(word string) ([]Car, error) {
	if book, ok := e.book(word); ok {
		return []Car{book}, nil
	}
	return e.Find(word)
}

// book gives the address book if a word means it: its name where one stands in the yard, its folder, or nothing where one
// stands inside it.
func (e Env) book(word string) (Car, bool) {
	here, err := e.Files.Absolute(".")
	if err != nil {
		return Car{}, false
	}
	yard := e.above(here, "yard.json")
	at := here
	switch {
	case word == bookName && yard != "":
		return bookOf(yard), true
	case word != "":
		if at, err = e.Files.Absolute(word); err != nil {
			return Car{}, false
		}
		yard = e.above(at, "yard.json")
	}
	if yard == "" {
		return Car{}, false
	}
	rest, err := filepath.Rel(filepath.Join(yard, bookName), at)
	return bookOf(yard), err == nil && rest != ".." && !strings.HasPrefix(rest, ".."+string(filepath.Separator))
}

// bookPlace gives the path of a record in the address book. A person, an instrument or a store is named by a slug, which is
// the workshop's own, or with the handle of the firm before it; an entry by its owner and its own slug.
func (d *Desk) bookPlace(kind record.Kind, name string) (string, error) {
	place := record.PlaceOf(kind)
	folder, _, _ := strings.Cut(place, "/")
	pieces := strings.Split(strings.TrimPrefix(strings.TrimSuffix(name, ".json"), folder+"/"), "/")
	if len(pieces) == strings.Count(place, "<slug>")-1 {
		pieces = append([]string{d.habits.Workshop}, pieces...)
	}
	id := record.Ref(folder + "/" + strings.Join(pieces, "/"))
	at := record.PathOf(id)
	if len(pieces) != strings.Count(place, "<slug>") || !slices.Contains(record.KindsAt(at), kind) {
		return "", &Usage{Message: fmt.Sprintf("%q does not name a %s of the address book", name, kind), Hint: "for example " + bookExample(kind)}
	}
	if owner := record.OwnerOf(id); strings.HasSuffix(place, "<slug>.json") && d.s.Record(owner) == nil {
		return "", &Usage{Message: fmt.Sprintf("the address book has no %s to which this %s could belong", owner, kind), Hint: "record the person or instrument first"}
	}
	return at, nil
}

func bookExample(kind record.Kind) string {
	switch {
	case kind == record.KindCalibration:
		return "calibration torque-wrench/calibration-2026-03-09"
	case strings.HasSuffix(record.PlaceOf(kind), "<slug>.json"):
		return string(kind) + " ines-okafor/" + string(kind) + "-2026"
	}
	return fmt.Sprintf("%s quill, or %s other-firm/quill", kind, kind)
}

// ofBook refuses what does not belong on this desk: a car's records in the address book, a key that no list of signers would
// follow.
func (d *Desk) ofBook(kind record.Kind) error {
	switch {
	case !d.car.Book:
		return nil
	case kind == record.KindKey:
		return &Usage{Message: "a key is not written by hand", Hint: "boltback keys --add FILE.pub --person NAME"}
	case !inBook(record.PlaceOf(kind)):
		return &Usage{Message: fmt.Sprintf("a %s belongs to a car, not to the workshop's address book", kind), Hint: "boltback record KIND NAME --car CAR"}
	}
	return nil
}

// bookRepository opens the repository of the address book; nil where there is none.
func (d *Desk) bookRepository() (Repository, error) {
	if d.car.Yard == "" {
		return nil, nil
	}
	repo, err := d.env.Git.Open(bookOf(d.car.Yard).Path)
	if errors.Is(err, ErrNoRepository) {
		return nil, nil
	}
	return repo, ofTheBook(err)
}

// ofTheBook says of an error that it is about the address book.
func ofTheBook(err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("the workshop's address book: %w", err)
}

// intoBook commits changes to the address book; ok is false where there is none under Git.
func (d *Desk) intoBook(ctx context.Context, changes []Change, message string) (w Written, ok bool, err error) {
	repo, err := d.bookRepository()
	if err != nil || repo == nil {
		return Written{}, false, err
	}
	book := &Desk{env: d.env, car: bookOf(d.car.Yard), repo: repo, person: d.person, today: d.today, habits: d.habits}
	if book.s, err = d.env.glance(book.car); err != nil {
		return Written{}, false, ofTheBook(err)
	}
	if book.head, err = repo.Head(); err != nil {
		return Written{}, false, ofTheBook(err)
	}
	w, err = book.save(ctx, changes, nil, message)
	return w, err == nil, ofTheBook(err)
}

// storesIntoBook writes the stores that a plan names for the first time into the address book, from where the car copies them
// like any other. A run that ends in between leaves a store that the next one finds. Without a book they stay in the car.
func (d *Desk) storesIntoBook(ctx context.Context, p *plan) (notes []string, err error) {
	var names []string
	for _, body := range p.bodies {
		if store, ok := body.(*record.Store); ok {
			names = append(names, store.Name)
		}
	}
	if len(names) == 0 {
		return nil, nil
	}
	var stores, others []Change
	for _, c := range p.changes {
		if record.FolderOf(record.Ref(c.Path)) == "stores" {
			stores = append(stores, c)
		} else {
			others = append(others, c)
		}
	}
	w, ok, err := d.intoBook(ctx, stores, "record store "+strings.Join(names, ", "))
	if err != nil || !ok {
		return nil, err
	}
	for _, at := range w.Paths {
		notes = append(notes, "new in the workshop's address book: "+at)
	}
	p.changes = others
	return notes, nil
}

// carryOnBook carries to its end what a run that was cut short had begun to write into the address book.
func (d *Desk) carryOnBook(ctx context.Context) error {
	repo, err := d.bookRepository()
	if err != nil || repo == nil {
		return err
	}
	return ofTheBook(repo.CarryOn(ctx))
}
