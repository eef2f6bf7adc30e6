package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/entry"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/validate"
)

// Desk is one car opened for writing: its repository, its records as they lie there, and who writes.
type Desk struct {
	env    Env
	car    Car
	repo   Repository
	head   string
	s      *ledger.Snapshot
	person record.Ref
	today  edtf.Day
	habits Habits
	hidden []string // disclosures written for what is about to be saved
}

// Written is what a writing verb did.
type Written struct {
	// Paths are the files written or taken away, Commit the commit that holds them; "" where nothing had to change.
	Paths  []string
	Commit string
	// Notes say what was respelled or copied.
	Notes []string
	// Lacks says what is missing, where something was saved to the inbox.
	Lacks []string
}

// Open opens a car for writing. Person overrides the user's own configuration.
func (e Env) Open(car Car, person record.Ref, today edtf.Day) (*Desk, error) {
	repo, err := e.repository(car)
	if err != nil {
		return nil, err
	}
	head, err := repo.Head()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	s, err := e.glance(car)
	if err != nil {
		return nil, err
	}
	if person == "" {
		if person, err = e.who(); err != nil {
			return nil, err
		}
	}
	habits, err := e.habits(car.Yard)
	if err != nil {
		return nil, err
	}
	d := &Desk{env: e, car: car, repo: repo, head: head, s: s, today: today, habits: habits}
	if d.person, err = d.find(person); err != nil {
		return nil, err
	}
	return d, nil
}

// who reads the user's own configuration.
func (e Env) who() (record.Ref, error) {
	identity, err := e.Identity()
	if err != nil {
		return "", fmt.Errorf("who writes: %w", err)
	}
	if identity.Person == "" {
		return "", &Usage{Message: "nobody says who writes", Hint: "--as people/WORKSHOP/NAME, or set BOLTBACK_PERSON, or put {\"person\": \"people/WORKSHOP/NAME\"} into your configuration"}
	}
	return identity.Person, nil
}

// find completes a person's short name from the car or from the workshop's address book.
func (d *Desk) find(person record.Ref) (record.Ref, error) {
	if strings.Count(string(person), "/") == 2 && strings.HasPrefix(string(person), "people/") {
		return person, nil
	}
	var ends []string
	for _, id := range append(d.s.Names(), d.env.workshopNames(d.car.Yard, "people")...) {
		if strings.HasPrefix(string(id), "people/") && strings.HasSuffix(string(id), "/"+string(person)) && !slices.Contains(ends, string(id)) {
			ends = append(ends, string(id))
		}
	}
	if len(ends) == 1 {
		return record.Ref(ends[0]), nil
	}
	return "", &Usage{Message: fmt.Sprintf("nobody is called %s here", person), Hint: "people/WORKSHOP/NAME, as the workshop's address book has it"}
}

// context gives what entry needs to read words.
func (d *Desk) context() entry.Context {
	return entry.Context{Snapshot: d.s, Book: d.inTheBook, Today: d.today, DecimalComma: d.habits.DecimalComma, Country: d.habits.Country}
}

// inTheBook names everybody and everything that the workshop's address book holds.
func (d *Desk) inTheBook() []record.Ref {
	var names []record.Ref
	for _, folder := range bookFolders {
		names = append(names, d.env.workshopNames(d.car.Yard, folder)...)
	}
	return names
}

// save commits changes together with copies of the people, instruments and stores that they name and the car lacks.
func (d *Desk) save(ctx context.Context, changes []Change, bodies []record.Body, message string) (Written, error) {
	if err := errors.Join(secretIn(changes), d.privateIn(changes, message)); err != nil {
		d.unhide()
		return Written{}, err
	}
	copies, err := d.copies(changes, bodies)
	if err != nil {
		return Written{}, err
	}
	var w Written
	if mark := d.s.Head().HandedOver; mark != nil && !slices.ContainsFunc(changes, func(c Change) bool { return c.Path == "ledger.json" }) {
		w.Notes = append(w.Notes, fmt.Sprintf("the records were handed over on %s: this is in this copy alone, and check says so", mark.On))
	}
	for _, c := range copies {
		w.Notes = append(w.Notes, "copied from the workshop: "+c.Path)
	}
	if changes, err = d.withSigners(append(changes, copies...)); err != nil {
		return Written{}, err
	}
	for _, c := range changes {
		w.Paths = append(w.Paths, c.Path)
	}
	w.Commit, err = d.repo.Save(ctx, Save{Changes: changes, Author: d.author(), When: d.env.Now(), Message: message, Expect: d.head})
	if err != nil {
		return Written{}, fmt.Errorf("%s: %w", d.car.Name, err)
	}
	return w, nil
}

// secretIn refuses a commit that would hold a password, a key, a token or a PIN: a ledger never forgets.
func secretIn(changes []Change) error {
	for _, c := range changes {
		if path.Ext(c.Path) != ".json" || strings.HasPrefix(c.Path, "schema/") {
			continue
		}
		doc, err := canon.Parse(c.Content, canon.DefaultLimits())
		if err != nil {
			continue // what is no record is refused elsewhere
		}
		kind := record.Kind("")
		if k := doc.Root.Get("kind"); k != nil {
			kind = record.Kind(k.Text)
		}
		if found := validate.Secrets(c.Path, kind, doc); len(found) > 0 {
			return &Broken{Finding: found[0]}
		}
	}
	return nil
}

// author names who writes, by the person's record and never by anything else.
func (d *Desk) author() Author {
	piece := strings.Split(string(d.person), "/")
	name := piece[2]
	if p := d.s.Record(d.person); p != nil {
		name = p.Name()
	} else if p := d.env.workshopPerson(d.car.Yard, d.person); p != "" {
		name = p
	}
	return Author{Name: name, Email: piece[2] + "@" + piece[1] + ".invalid"}
}

// slug is the person's own piece of their name, which stands in the paths of what they did.
func (d *Desk) slug() string { return path.Base(string(d.person)) }

// copies gives the files of the workshop's address book that changes refer to and the car does not have: the people,
// instruments and stores themselves and their entries.
func (d *Desk) copies(changes []Change, bodies []record.Body) ([]Change, error) {
	if d.car.Yard == "" {
		return nil, nil
	}
	book := d.env.Files.Folder(filepath.Join(d.car.Yard, "workshop"))
	var all []Change
	seen := map[string]bool{}
	for _, c := range changes {
		seen[c.Path] = true
	}
	want := []record.Ref{d.person}
	for _, b := range bodies {
		r := &record.Record{Kind: b.Heading().Kind, Body: b}
		for _, leaf := range r.Leaves() {
			if leaf.Role == record.Reference {
				want = append(want, record.Ref(leaf.Text))
			}
		}
	}
	for _, ref := range want {
		more, err := d.copiesOf(book, ref, seen)
		if err != nil {
			return nil, err
		}
		all = append(all, more...)
	}
	return all, nil
}

// copiesOf gives the files of one folder of the address book that the car does not have yet.
func (d *Desk) copiesOf(book fs.FS, ref record.Ref, seen map[string]bool) ([]Change, error) {
	folder := string(ref)
	if record.PathOf(ref) == folder+".json" { // an entry: its owner's folder holds it
		folder = path.Dir(folder)
	}
	if !slices.Contains([]string{"people", "instruments", "stores"}, record.FolderOf(ref)) || !fs.ValidPath(folder) {
		return nil, nil
	}
	entries, err := fs.ReadDir(book, folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil // it may be somebody the workshop does not keep: check says so
	}
	if err != nil {
		return nil, fmt.Errorf("the workshop's address book: %w", err)
	}
	var all []Change
	for _, f := range entries {
		name := folder + "/" + f.Name()
		if _, have := d.s.HasFile(name); have || seen[name] || !f.Type().IsRegular() {
			continue
		}
		seen[name] = true
		text, err := fs.ReadFile(book, name)
		if err != nil {
			return nil, fmt.Errorf("the workshop's address book: %w", err)
		}
		if _, err := canon.Parse(text, canon.DefaultLimits()); err != nil {
			return nil, &Broken{Finding: faultIn("workshop/"+name, err)}
		}
		if d.head != "" && isKey(name, text) {
			continue // it would come in by a commit that it signs itself, and never count: keys --add brings it
		}
		all = append(all, Change{Path: name, Content: text})
	}
	return all, nil
}
