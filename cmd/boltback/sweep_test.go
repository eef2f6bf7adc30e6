package main

import (
	"bytes"
	"crypto/sha256"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"boltback/internal/media"
	"boltback/internal/record"
)

// sweep looks for private values and for what cameras write, in everything that the program makes of a yard: as it lies, and
// unpacked and undone in every way that unpack and readings know.
type sweep struct {
	// values are private, cameras what a camera wrote of itself, both as letters gives them. Originals may hold the second.
	values, cameras []string
	fail            func(format string, args ...any)
	looked          map[[sha256.Size]byte]bool
	forms           map[string]int // how many things of each form were unpacked
}

func newSweep(t *testing.T, values ...string) *sweep {
	s := &sweep{fail: t.Errorf, looked: map[[sha256.Size]byte]bool{}, forms: map[string]int{}}
	for _, v := range values {
		s.values = append(s.values, string(letters([]byte(v))))
	}
	return s
}

// camera is what the pictures that the sweep takes in say of who took them.
const camera = "Zwielicht Q9 no. 4401772"

// sealedWhileSwept are private values that come into the yard by the verbs of writes.
var sealedWhileSwept = []string{"6180 GBP", "6240 GBP", "Nadia Faltenwurf-Invented", "17 Bindery Steps, Lower Hallow", "+44 1632 960555"}

// TestNoPrivateValueAndNothingOfACameraLeavesTheFilesThatHoldThem plays the sample, uses it, and looks at every byte: of all
// objects of Git, of the cache, of every file outside private/, of what is printed, of every page and its pictures, and of bags.
func TestNoPrivateValueAndNothingOfACameraLeavesTheFilesThatHoldThem(t *testing.T) {
	home := t.TempDir()
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME"} {
		t.Setenv(name, home)
	}
	t.Setenv("BOLTBACK_CACHE", filepath.Join(home, "cache"))
	t.Setenv("BOLTBACK_PERSON", "people/tallow-lane/ines-okafor")
	yard := filepath.Join(home, "yard")
	playSample(t, yard)
	s := newSweep(t, append(valuesIn(t, filepath.Join(yard, "private")), sealedWhileSwept...)...)
	s.cameras = []string{string(letters([]byte(camera)))}
	u := &use{t: t, sweep: s, yard: yard, out: filepath.Join(home, "out")}
	u.everything()
	s.files(home)
	for _, name := range []string{"workshop", "cars/courser", "cars/sesta-700", "cars/tern-1500"} {
		s.objects(t, filepath.Join(yard, filepath.FromSlash(name)))
	}
	if len(s.looked) < 2500 {
		t.Errorf("only %d things were looked at", len(s.looked))
	}
	for _, form := range []string{"gzip", "tar", "zip", "PDF", "PDF, words", "bundle", "base64", "hex"} {
		if s.forms[form] == 0 {
			t.Errorf("nothing in the form %s was met, so nothing is shown about it", form)
		}
	}
	sealed := strings.Join(valuesIn(t, filepath.Join(yard, "private")), "\n")
	for _, value := range sealedWhileSwept {
		if !strings.Contains(sealed, value) {
			t.Errorf("%q was not sealed, so the sweep for it shows nothing", value)
		}
	}
}

// look looks at a thing in every way, and at what is packed in it. What was looked at before is not looked at again.
func (s *sweep) look(where string, thing []byte) { s.lookInto(where, thing, 0) }

// deepest is how many packings inside each other are undone.
const deepest = 6

func (s *sweep) lookInto(where string, thing []byte, depth int) {
	inOriginals := strings.Contains(filepath.ToSlash(where), "originals/")
	digest := sha256.Sum256(thing)
	if s.looked[digest] && !inOriginals || len(thing) == 0 || depth > deepest {
		return
	}
	s.looked[digest] = true
	inside := unpack(thing)
	holdsFiles := slices.ContainsFunc(inside, func(p packed) bool { return slices.Contains([]string{"zip", "tar", "gzip"}, p.form) }) // originals may be among them
	for way, reading := range readings(thing) {
		flat := letters(reading)
		for _, value := range s.values {
			if bytes.Contains(flat, []byte(value)) {
				s.fail("%s shows %q, read %s", where, value, way)
			}
		}
		for _, value := range s.cameras {
			if !inOriginals && !holdsFiles && bytes.Contains(flat, []byte(value)) {
				s.fail("%s tells of the camera %q, read %s", where, value, way)
			}
		}
	}
	if kind := media.TypeOf(thing); (kind == media.JPEG || kind == media.PNG) && !inOriginals && !media.Bare(thing) {
		s.fail("%s: a picture holds more than its pixels", where)
	}
	for _, p := range inside {
		s.forms[p.form]++
		s.lookInto(where+": "+p.name, p.bytes, depth+1)
	}
}

// shows reports whether anything is found in a text.
func (s *sweep) shows(text []byte) (found bool) {
	one := *s
	one.looked, one.fail = map[[sha256.Size]byte]bool{}, func(string, ...any) { found = true }
	one.look("it", text)
	return found
}

// objects looks at every object of a repository, unpacked.
func (s *sweep) objects(t *testing.T, dir string) {
	t.Helper()
	all, err := objectsOf(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range all {
		s.look(dir+" "+o.name, o.bytes)
	}
}

// objectsOf gives every object of a repository.
func objectsOf(dir string) ([]packed, error) {
	cat := exec.Command("git", "cat-file", "--batch-all-objects", "--batch")
	cat.Dir = dir
	out, err := cat.Output()
	var all []packed
	for err == nil && len(out) > 0 {
		head, rest, _ := bytes.Cut(out, []byte("\n"))
		fields := strings.Fields(string(head))
		var size int
		if size, err = strconv.Atoi(fields[2]); err == nil {
			all = append(all, packed{"object", fields[1] + " " + fields[0], rest[:size]})
			out = rest[size+1:]
		}
	}
	return all, err
}

// files looks at everything in a folder, names too, but private values and Git's own packing of its objects.
func (s *sweep) files(dir string) {
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		s.look("the name of "+path, []byte(path))
		if d.IsDir() {
			if d.Name() == "private" || d.Name() == "objects" {
				return fs.SkipDir
			}
			return nil
		}
		file, err := os.ReadFile(path)
		s.look(path, file)
		return err
	})
	if err != nil {
		s.fail("%v", err)
	}
}

func valuesIn(t *testing.T, folder string) []string {
	var values []string
	for _, place := range []string{"workshop", "courser", "sesta-700", "tern-1500"} {
		for _, one := range disclosuresIn(t, filepath.Join(folder, place)) {
			values = append(values, one.Value)
		}
	}
	return values
}

// disclosuresIn reads the private values of a yard.
func disclosuresIn(t *testing.T, folder string) []record.Disclosure {
	t.Helper()
	var list []record.Disclosure
	names, err := filepath.Glob(filepath.Join(folder, "*.json"))
	for _, name := range names {
		file, readErr := os.ReadFile(name)
		if readErr != nil {
			t.Fatal(readErr)
		}
		one, parseErr := record.ParseDisclosure(file)
		if parseErr != nil {
			t.Fatal(parseErr)
		}
		list = append(list, one)
	}
	if err != nil || len(list) == 0 {
		t.Fatal("no private values are here", err)
	}
	return list
}
