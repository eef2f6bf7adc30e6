package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"boltback/internal/app"
	"boltback/internal/cache"
	"boltback/internal/edtf"
	"boltback/internal/finding"
)

// checkOn is a check on a day after everything in the made yard.
var checkOn = app.CheckOptions{On: edtf.NewDay(2026, 11, 1)}

// counted is the real file system with a count of which files were opened, and of the bytes read from them. Folders opened
// to be listed are counted apart.
type counted struct {
	files
	mu      *sync.Mutex
	opened  map[string]int
	bytes   *int64
	folders *int
}

func newCounted() counted {
	return counted{mu: new(sync.Mutex), opened: map[string]int{}, bytes: new(int64), folders: new(int)}
}

func (c counted) Folder(path string) fs.FS { return countedFolder{c, c.files.Folder(path), path} }

func (c counted) note(path string, size int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.opened[path]++
	*c.bytes += int64(size)
}

type countedFolder struct {
	c    counted
	fsys fs.FS
	at   string
}

func (f countedFolder) Open(name string) (fs.File, error) {
	file, err := f.fsys.Open(name)
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err == nil && info.IsDir() {
		f.c.mu.Lock()
		*f.c.folders++
		f.c.mu.Unlock()
	} else if err == nil {
		f.c.note(filepath.Join(f.at, name), int(info.Size()))
	}
	return file, err
}

func (f countedFolder) Stat(name string) (fs.FileInfo, error) { return fs.Stat(f.fsys, name) }

func (f countedFolder) ReadFile(name string) ([]byte, error) {
	text, err := fs.ReadFile(f.fsys, name)
	f.c.note(filepath.Join(f.at, name), len(text))
	return text, err
}

// later is a clock that stands some time after everything was written, so that no file is too young to be trusted.
func later() time.Time { return time.Now().Add(time.Hour) }

// checkYard checks all cars of a yard and counts.
func checkYard(t testing.TB, m made, memories app.Memories) ([]finding.Finding, counted) {
	t.Helper()
	c := newCounted()
	env := world().App
	env.Files, env.Memories = c, memories
	cars, err := env.Find(m.yard)
	if err != nil || len(cars) != len(m.cars) {
		t.Fatal(len(cars), err)
	}
	checked, err := env.Check(cars, checkOn)
	if err != nil {
		t.Fatal(err)
	}
	var all []finding.Finding
	for _, one := range checked {
		all = append(all, one.Findings...)
	}
	return all, c
}

// edit replaces a text in a file.
func edit(t testing.TB, path, old, now string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(text), old) {
		t.Fatalf("%s: %v", path, err)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(string(text), old, now, 1)), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestACheckOpensWhatChangedAndNothingElse counts, in a yard of 40 cars and 30,000 records: a check opens every record once
// and no file twice; the next none at all; after a change to one, that one. From the cache it opens one file a car, and one
// more in the car that changed.
func TestACheckOpensWhatChangedAndNothingElse(t *testing.T) {
	cars, records := 40, 30_000
	if testing.Short() || raced {
		cars, records = 4, 400
	}
	m := makeYard(t, cars, records)
	folder := cache.Folder{Path: filepath.Join(t.TempDir(), "cache"), Edition: "test", Now: later}
	memories := remembering{folder}

	found, c := checkYard(t, m, memories)
	if len(found) > 0 {
		t.Fatalf("the made yard has findings: %v", found[0])
	}
	if want := records + cars; len(c.opened) != want { // and .gitattributes in each
		t.Errorf("the first check opened %d files, want %d", len(c.opened), want)
	}
	for path, times := range c.opened {
		if times > 1 {
			t.Fatalf("%s was opened %d times", path, times)
		}
	}

	if found, c = checkYard(t, m, memories); len(c.opened) > 0 || len(found) > 0 {
		t.Errorf("with nothing changed %d files were opened and %d bytes read", len(c.opened), *c.bytes)
	}

	changed := filepath.Join(m.cars[cars/2], "work", "2026-02-04-odile-bracket-00003.json")
	edit(t, changed, `"set": "47 N.m"`, `"set": "35 N.m"`)
	found, c = checkYard(t, m, memories)
	if want := map[string]int{changed: 1}; len(c.opened) != 1 || c.opened[changed] != 1 {
		t.Errorf("after one change %d files were opened, want %v", len(c.opened), want)
	}
	if info, err := os.Stat(changed); err != nil || *c.bytes != info.Size() {
		t.Errorf("%d bytes were read, want the %d of the record", *c.bytes, info.Size())
	}
	whole, _ := checkYard(t, m, nil)
	if !slices.Equal(found, whole) || len(found) != 1 || found[0].Code != "tightening" {
		t.Errorf("from the cache\n%v\nwithout it\n%v", found, whole)
	}
	entries, err := os.ReadDir(folder.Path)
	if err != nil || len(entries) != 2*cars {
		t.Errorf("the cache has %d files for %d cars, %v", len(entries), cars, err)
	}
}

func TestTheCacheIsWhereTheUserSays(t *testing.T) {
	for _, tc := range []struct{ name, value, want string }{
		{"off", "off", ""},
		{"another folder", "/somewhere/else", "/somewhere/else"},
		{"the user's own cache folder", "", filepath.Join("/home/odile/.cache", "boltback")},
	} {
		t.Run(tc.name, func(t *testing.T) {
			t.Setenv("BOLTBACK_CACHE", tc.value)
			t.Setenv("XDG_CACHE_HOME", "/home/odile/.cache")
			got := ""
			if r, ok := memories().(remembering); ok {
				got = r.Path
				if r.Edition == version {
					t.Error("a build is not told from another of the same version")
				}
			}
			if got != tc.want {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}
