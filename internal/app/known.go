package app

import (
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"strings"

	"boltback/internal/finding"
	"boltback/internal/record"
	"boltback/internal/validate"
)

// privateIn refuses a commit that would hold a private value in clear, in a record or in the inbox, or a known one in a
// file's name, a text or the message. Known are those of the whole yard: what the previous keeper of one car is called is no
// more to be read in another. What it says never repeats the value.
func (d *Desk) privateIn(changes []Change, message string) error {
	known, letBe := d.env.sought(d.car.Yard), d.openly(changes)
	for _, c := range changes {
		if c.Delete {
			continue
		}
		if f := inClear(c.Path, c.Content); f != nil {
			return &Broken{Finding: *f}
		}
		if value, _, shown := known.Shows(c.Path, letBe); shown {
			return &Usage{Message: "the name of a file of this commit shows a private value, in " + firstFolder(c.Path), Hint: "name it otherwise; " + value.At + " holds which value it is"}
		}
		if f := shownIn(c, known, letBe); f != nil {
			return &Broken{Finding: *f}
		}
	}
	return shownSaid("the message", message, known, letBe)
}

// shownIn gives the place at which a file of a commit shows a private value.
func shownIn(c Change, known *validate.Search, letBe func(validate.Sought) bool) *finding.Finding {
	if path.Ext(c.Path) != ".json" || strings.HasPrefix(c.Path, "schema/") {
		return nil
	}
	return known.ShownIn(c.Path, c.Content, letBe)
}

// shownSaid refuses words that are kept and stand in no file.
func shownSaid(what, said string, known *validate.Search, letBe func(validate.Sought) bool) error {
	if value, _, shown := known.Shows(said, letBe); shown {
		return &Usage{Message: what + " shows a private value", Hint: "say it without the name, address, price or number that is sealed; " + value.At + " holds which it is"}
	}
	return nil
}

// keepsPrivate refuses words that are to be written before they are committed, by what is known now.
func (d *Desk) keepsPrivate() func(what, said string) error {
	known, letBe := d.env.sought(d.car.Yard), d.openly(nil)
	return func(what, said string) error { return shownSaid(what, said, known, letBe) }
}

func firstFolder(file string) string {
	folder, _, _ := strings.Cut(file, "/")
	return folder
}

// largestDisclosure bounds how much of a file of a private value is read, which may have come from a stranger.
const largestDisclosure = 64 << 10

// sought gives a search for the private values of a yard that are here: of its cars and of the address book. Only the files
// that disclose them are read, and no record.
func (e Env) sought(yard string) *validate.Search {
	if yard == "" {
		return validate.NewSearch(nil)
	}
	all := e.Files.Folder(filepath.Join(yard, "private"))
	folders, err := fs.ReadDir(all, ".")
	if err != nil {
		return validate.NewSearch(nil) // none is here
	}
	var known []validate.Sought
	for _, folder := range folders {
		files, err := fs.ReadDir(all, folder.Name())
		if err != nil {
			continue
		}
		for _, f := range files {
			if one, ok := validate.SoughtFrom(readSome(all, folder.Name()+"/"+f.Name()), folder.Name(), f.Name()); ok {
				known = append(known, one)
			}
		}
	}
	return validate.NewSearch(known)
}

// readSome reads a file that may be larger than it should; nothing where it cannot be read.
func readSome(folder fs.FS, name string) []byte {
	f, err := folder.Open(name)
	if err != nil {
		return nil
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, largestDisclosure))
	if err != nil {
		return nil
	}
	return text
}

// openly says which words are no secret here although they are a private value somewhere: a single word of another car, and what
// the workshop, its people and this car are called, as their records say it. It looks only when asked.
func (d *Desk) openly(changes []Change) func(validate.Sought) bool {
	var names map[string]bool
	return func(value validate.Sought) bool {
		if value.OneWord && value.Folder != d.car.Name && value.Folder != bookName {
			return true
		}
		if names == nil {
			names = map[string]bool{}
			for _, name := range d.openNames(changes) {
				names[validate.Words(name)] = true
			}
		}
		return names[value.Words]
	}
}

func (d *Desk) openNames(changes []Change) []string {
	names := []string{d.car.Name, d.habits.Name, d.habits.Workshop}
	if car, _ := d.s.Car(); car != nil {
		names = append(names, car.Name())
	}
	for _, c := range changes {
		if r, err := record.Decode(c.Path, c.Content); err == nil && r.Kind == record.KindCar {
			names = append(names, r.Name())
		}
	}
	for _, person := range d.env.workshopNames(d.car.Yard, "people") {
		names = append(names, d.env.workshopPerson(d.car.Yard, person), path.Base(string(person)))
	}
	return names
}
