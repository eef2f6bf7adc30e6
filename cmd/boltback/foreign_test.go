package main

import (
	"crypto/sha256"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
)

// nothingElse looks into every file of a bag and every object of its history, inflated, for withheld values, for words and
// objects of other cars, and for people and instruments of the address book that the car's records do not name.
func (c carriage) nothingElse(bag string, given []string) {
	c.Helper()
	clone := filepath.Join(c.TempDir(), "clone")
	run(c.T, exec.Command("git", "clone", "-q", "--mirror", filepath.Join(bag, "data", "history.bundle"), clone))
	values := []string{"Vane-Invented"}
	for _, place := range []string{"workshop", "courser", "sesta-700", "tern-1500"} {
		for _, one := range disclosuresIn(c.T, filepath.Join(c.from, "private", place)) {
			if place != c.car || !slices.Contains(given, strings.TrimSuffix(one.Path, ".json")) {
				values = append(values, one.Value)
			}
		}
	}
	for _, other := range others(c.T, c.from, c.car) {
		values = append(values, wordsOf(c.T, other)...)
		c.noObjectOf(other, clone)
	}
	s := newSweep(c.T, values...)
	for _, schema := range texts(c.T, filepath.Join(bag, "data", "car", "schema", "1")) { // whose examples are of the sample's cars
		s.looked[sha256.Sum256([]byte(schema))] = true
	}
	s.objects(c.T, clone)
	s.files(filepath.Join(bag, "data"))
	for _, page := range []string{"README.txt", "README.html", "bag-info.txt", "manifest-sha256.txt"} {
		s.look(page, []byte(text(c.T, filepath.Join(bag, page))))
	}
	if len(values) < 25 || len(s.looked) < 500 {
		c.Errorf("%d words were looked for in %d things, which shows little", len(values), len(s.looked))
	}
	if own := newSweep(c.T, read[record.Car](c.T, filepath.Join(c.old(), "car.json")).Name); !own.shows([]byte(text(c.T, filepath.Join(bag, "README.txt")))) {
		c.Error("the bag does not even name the car itself, so the sweep is blind")
	}
}

// others are the repositories of the yard's other cars.
func others(t *testing.T, yard, car string) []string {
	t.Helper()
	cars, err := filepath.Glob(filepath.Join(yard, "cars", "*"))
	if err != nil || len(cars) != 3 {
		t.Fatal(cars, err)
	}
	return slices.DeleteFunc(cars, func(at string) bool { return filepath.Base(at) == car })
}

// wordsOf is what tells a car from another: its handle, its names and numbers, its ledger's id, its first and last commit.
func wordsOf(t *testing.T, at string) (words []string) {
	t.Helper()
	car := read[record.Car](t, filepath.Join(at, "car.json"))
	all := []string{filepath.Base(at), car.Name, car.Make, car.Model, read[record.Ledger](t, filepath.Join(at, "ledger.json")).ID}
	for _, n := range car.Numbers {
		all = append(all, n.Raw)
	}
	all = append(all, strings.Fields(stockGit(t, at, "rev-list", "--max-parents=0", "HEAD"))...)
	all = append(all, strings.Fields(stockGit(t, at, "rev-parse", "HEAD"))...)
	for _, word := range all {
		if len(letters([]byte(word))) >= 6 {
			words = append(words, word)
		}
	}
	return words
}

// noObjectOf holds the objects of a bag's history against those of another car, but for what cars of one workshop share: the
// copies out of its address book, schemas and requirement sets, and what every repository begins with.
func (c carriage) noObjectOf(other, clone string) {
	c.Helper()
	its := map[string]string{}
	for line := range strings.Lines(stockGit(c.T, other, "rev-list", "--objects", "--all", "HEAD")) {
		id, path, _ := strings.Cut(strings.TrimSpace(line), " ")
		switch top, _, _ := strings.Cut(path, "/"); top {
		case "people", "instruments", "stores", "schema", "requirements", "allowed_signers", ".gitattributes", ".gitignore":
		default:
			its[id] = path
		}
	}
	if len(its) < 100 {
		c.Fatalf("%s has only %d objects of its own", other, len(its))
	}
	for line := range strings.Lines(stockGit(c.T, clone, "cat-file", "--batch-all-objects", "--batch-check=%(objectname)")) {
		if path, there := its[strings.TrimSpace(line)]; there {
			c.Errorf("the bag holds the object of %s: %q", other, path)
		}
	}
}

// sampleIn lays the sample out as a user gets it.
func sampleIn(t *testing.T) string {
	t.Helper()
	yard := filepath.Join(t.TempDir(), "yard")
	run(t, program(t.TempDir(), "demo", yard))
	return yard
}
