package gitstore

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// told lists a history of a file as "commit blob" lines.
func told(t *testing.T, r *Repo, head Hash, path string, of func(*Repo) func(Hash, string) func(func(Revised, error) bool)) []string {
	t.Helper()
	var list []string
	of(r)(head, path)(func(rev Revised, err error) bool {
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, fmt.Sprintf("%s %s", rev.Commit.ID, rev.Blob))
		return true
	})
	return list
}

func plainly(r *Repo) func(Hash, string) func(func(Revised, error) bool) {
	return func(h Hash, p string) func(func(Revised, error) bool) { return r.History(h, p) }
}

func byMemo(r *Repo) func(Hash, string) func(func(Revised, error) bool) {
	return func(h Hash, p string) func(func(Revised, error) bool) { return r.HistoryOf(h, p) }
}

func TestAHistoryByMemoIsTheHistoryItself(t *testing.T) {
	for seed := range uint64(3) {
		b := tangle(t, 100+seed, 30)
		file := filepath.Join(t.TempDir(), "memo")
		r, err := OpenWith(b.dir, Options{Memo: file})
		if err != nil {
			t.Fatal(err)
		}
		head, err := r.Revision("main")
		if err != nil {
			t.Fatal(err)
		}
		compare := func(when string) {
			t.Helper()
			for _, path := range []string{"parts/a.json", "parts/deep/c.json", "b.json", "never.json"} {
				if got, want := told(t, r, head, path, byMemo), told(t, r, head, path, plainly); !slices.Equal(got, want) {
					t.Errorf("seed %d, %s: %s\n%v\nwant\n%v", seed, when, path, got, want)
				}
			}
		}
		compare("cold")
		compare("warm")
		size := memoSize(t, file)
		compare("once more")
		if memoSize(t, file) != size {
			t.Errorf("seed %d: a walk that met nothing new wrote", seed)
		}
		b.write("b.json", "new\n")
		b.git("add", "b.json")
		b.stock(999)
		if head, err = r.Revision("main"); err != nil {
			t.Fatal(err)
		}
		compare("after one more commit")
		damage(t, file, func() { compare("with a damaged memo") })
		_ = r.Close()
	}
}

// TestTheFirstsOfManyFilesAreWhatEachHistoryBeginsWith compares one walk for all with a walk for each.
func TestTheFirstsOfManyFilesAreWhatEachHistoryBeginsWith(t *testing.T) {
	paths := []string{"parts/a.json", "parts/deep/c.json", "b.json", "never.json"}
	for seed := range uint64(3) {
		b := tangle(t, 200+seed, 30)
		for _, memo := range []string{"", filepath.Join(t.TempDir(), "memo")} {
			r, err := OpenWith(b.dir, Options{Memo: memo})
			if err != nil {
				t.Fatal(err)
			}
			head, err := r.Revision("main")
			if err != nil {
				t.Fatal(err)
			}
			for range 2 { // cold, then warm
				firsts, err := r.Firsts(head, paths)
				if err != nil {
					t.Fatal(err)
				}
				for _, path := range paths {
					var want Revised
					for v, err := range r.History(head, path) {
						if err != nil {
							t.Fatal(err)
						}
						if !v.Blob.IsZero() {
							want = v
						}
					}
					got, held := firsts[path]
					if held != (want.Commit != nil) || held && (got.Blob != want.Blob || got.Commit.ID != want.Commit.ID) {
						t.Errorf("seed %d, memo %q, %s: %+v, want %+v", seed, memo, path, got, want)
					}
				}
			}
			_ = r.Close()
		}
	}
}

// TestAWalkForManyFilesReadsEachCommitOnce counts what is met, however many files are asked for.
func TestAWalkForManyFilesReadsEachCommitOnce(t *testing.T) {
	b := grown(t, 120, 60)
	file := filepath.Join(t.TempDir(), "memo")
	r, err := OpenWith(b.dir, Options{Memo: file})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Close() }()
	head, err := r.Revision("main")
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for n := range 120 {
		paths = append(paths, fmt.Sprintf("%s/p%04d.json", []string{"parts", "work", "readings", "joints"}[n%4], n))
	}
	firsts, err := r.Firsts(head, paths)
	if err != nil || len(firsts) != len(paths) {
		t.Fatalf("%d files of %d, %v", len(firsts), len(paths), err)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if met := strings.Count(string(text), "\nc "); met != 60 {
		t.Errorf("%d commits were met for a history of 60", met)
	}
	allocs := func(paths []string) float64 {
		return testing.AllocsPerRun(1, func() { _, _ = r.Firsts(head, paths) })
	}
	if one, all := allocs(paths[:1]), allocs(paths); all > 3*one+40*float64(len(paths)) {
		t.Errorf("one file takes %v allocations, %d take %v", one, len(paths), all)
	}
}

func memoSize(t *testing.T, file string) int64 {
	t.Helper()
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	return info.Size()
}

// damage flips bytes and cuts the file at several places, and looks each time.
func damage(t *testing.T, file string, look func()) {
	t.Helper()
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for at := 0; at < len(whole); at += len(whole)/12 + 1 {
		flipped := slices.Clone(whole)
		flipped[at] ^= 0x01
		for _, text := range [][]byte{flipped, whole[:at], append(slices.Clone(whole), whole[:at]...)} {
			if err := os.WriteFile(file, text, 0o600); err != nil {
				t.Fatal(err)
			}
			look()
		}
	}
}

func FuzzMemo(f *testing.F) {
	f.Add([]byte(memoHead + "c 0123456789012345678901234567890123456789 12 -\nt 0123456789012345678901234567890123456789 a.json\n= 00000000\n"))
	f.Add([]byte(memoHead))
	f.Add([]byte("\n= \n= "))
	f.Fuzz(func(t *testing.T, data []byte) {
		m := &memo{known: map[Hash]*walked{}}
		m.read(data)
		if m.good > int64(len(data)) {
			t.Fatalf("%d bytes of %d are called sound", m.good, len(data))
		}
	})
}
