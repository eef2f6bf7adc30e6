package atomicfile

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

func read(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func put(t testing.TB, path, content string, perm fs.FileMode) {
	t.Helper()
	if err := os.WriteFile(path, []byte(content), perm); err != nil {
		t.Fatal(err)
	}
}

// only checks that a folder holds these names and nothing else.
func only(t testing.TB, dir string, names ...string) {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range list {
		got = append(got, e.Name())
	}
	if len(got) != len(names) {
		t.Fatalf("the folder holds %v, want %v", got, names)
	}
	for i := range got {
		if got[i] != names[i] {
			t.Fatalf("the folder holds %v, want %v", got, names)
		}
	}
}

func TestCreateWantsAFreeName(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	if err := Create(path, []byte("one"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := Create(path, []byte("one"), 0o644); !errors.Is(err, fs.ErrExist) {
		t.Errorf("got %v", err)
	}
	if err := os.Symlink("nowhere", filepath.Join(dir, "link")); err == nil {
		if err := Create(filepath.Join(dir, "link"), []byte("x"), 0o644); !errors.Is(err, fs.ErrExist) {
			t.Errorf("through a symlink: %v", err)
		}
	}
	if got := read(t, path); got != "one" {
		t.Errorf("it holds %q", got)
	}
	only(t, dir, "a", "link")
}

func TestCreateSameToleratesItselfAndNothingElse(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	for i, want := range []bool{true, false} {
		if changed, err := CreateSame(path, []byte("one"), 0o444); err != nil || changed != want {
			t.Errorf("call %d: %v, %v", i, changed, err)
		}
	}
	for _, other := range []string{"two", "longer than one"} {
		if changed, err := CreateSame(path, []byte(other), 0o444); changed || !errors.Is(err, ErrDiffers) {
			t.Errorf("%s: %v, %v", other, changed, err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "sub"), 0o777); err != nil {
		t.Fatal(err)
	}
	if _, err := CreateSame(filepath.Join(dir, "sub"), nil, 0o444); !errors.Is(err, ErrNotRegular) {
		t.Errorf("a folder: %v", err)
	}
	only(t, dir, "a", "sub")
}

func TestReplaceSaysWhetherBytesChanged(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	for _, step := range []struct {
		content string
		want    bool
	}{{"one", true}, {"one", false}, {"two", true}, {"", true}, {"", false}} {
		changed, err := Replace(path, []byte(step.content), 0o644)
		if err != nil || changed != step.want || read(t, path) != step.content {
			t.Errorf("%q: %v, %v, holds %q", step.content, changed, err, read(t, path))
		}
	}
	only(t, dir, "a")
}

func TestReplaceRefusesWhatIsNotAFile(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "target"), "precious", 0o644)
	if err := os.Symlink("target", filepath.Join(dir, "link")); err != nil {
		t.Skip("no symlinks here")
	}
	if err := os.Mkdir(filepath.Join(dir, "sub"), 0o777); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"link", "sub"} {
		for _, content := range []string{"precious", "other"} {
			if changed, err := Replace(filepath.Join(dir, name), []byte(content), 0o644); changed || !errors.Is(err, ErrNotRegular) {
				t.Errorf("%s: %v, %v", name, changed, err)
			}
		}
	}
	if read(t, filepath.Join(dir, "target")) != "precious" {
		t.Error("the target of a symlink was written")
	}
	only(t, dir, "link", "sub", "target")
}

func TestPermissionsAreKeptUnlessTheRightToExecuteChanges(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	mode := func() fs.FileMode {
		info, err := os.Lstat(path)
		if err != nil {
			t.Fatal(err)
		}
		return info.Mode().Perm()
	}
	put(t, path, "1", 0o600)
	if _, err := Replace(path, []byte("2"), 0o644); err != nil || mode() != 0o600 {
		t.Errorf("%v, %v", mode(), err)
	}
	if changed, err := Replace(path, []byte("2"), 0o700); err != nil || !changed || mode() != 0o700 {
		t.Errorf("%v, %v, %v", mode(), changed, err)
	}
	if err := os.Chmod(path, 0o400); err != nil {
		t.Fatal(err)
	}
	if _, err := Replace(path, []byte("3"), 0o644); err != nil || mode() != 0o400 {
		t.Errorf("read-only: %v, %v", mode(), err)
	}
}

func TestAMissingFolderIsAnErrorAndMkdirAllMakesIt(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "x", "y", "a")
	if _, err := Replace(path, []byte("1"), 0o644); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
	var w Writer
	for range 2 {
		if err := w.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	if err := Create(path, []byte("1"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := w.MkdirAll(path, 0o777); !errors.Is(err, ErrNotRegular) {
		t.Errorf("in place of a file: %v", err)
	}
}

func TestAPreparedFileAppearsWhenItIsInstalled(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	put(t, path, "old", 0o644)
	for _, install := range []bool{false, true} {
		p, err := Writer{}.Prepare(path, []byte("new"), 0o644)
		if err != nil {
			t.Fatal(err)
		}
		if read(t, path) != "old" {
			t.Error("it appeared too early")
		}
		if install {
			err = p.Install()
		}
		p.Discard()
		if want := map[bool]string{true: "new", false: "old"}[install]; err != nil || read(t, path) != want {
			t.Errorf("holds %q, %v", read(t, path), err)
		}
		only(t, dir, "a")
	}
	var none *Pending
	none.Discard()
	p, err := Writer{}.Prepare(path, []byte("released"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := p.Release(); err != nil {
			t.Fatal(err)
		}
	}
	if err := p.Install(); err != nil || read(t, path) != "released" {
		t.Errorf("holds %q, %v", read(t, path), err)
	}
}

func TestSweepTakesOnlyWhatNobodyIsWriting(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	p, err := Writer{}.Prepare(path, []byte("being written"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	left := TempName()
	put(t, filepath.Join(dir, left), "half", 0o600)
	put(t, filepath.Join(dir, ".boltback-.tmp"), "somebody's", 0o600)
	put(t, filepath.Join(dir, "x.tmp"), "somebody's", 0o600)
	removed, err := Sweep(dir)
	if err != nil || len(removed) != 1 || removed[0] != left {
		t.Errorf("removed %v, %v", removed, err)
	}
	if err := p.Install(); err != nil {
		t.Fatal(err)
	}
	only(t, dir, ".boltback-.tmp", "a", "x.tmp")
	if _, err := Sweep(filepath.Join(dir, "none")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
}

func TestOneOfManyCreatorsWins(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a")
	var wg sync.WaitGroup
	won := make(chan byte, 16)
	for i := range byte(16) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			switch err := Create(path, bytes.Repeat([]byte{i}, 4096), 0o644); {
			case err == nil:
				won <- i
			case !errors.Is(err, fs.ErrExist):
				t.Error(err)
			}
		}()
	}
	wg.Wait()
	close(won)
	winner, ok := <-won
	if _, second := <-won; !ok || second {
		t.Fatal("not exactly one creator won")
	}
	if got := read(t, path); got != string(bytes.Repeat([]byte{winner}, 4096)) {
		t.Error("the file is not the winner's")
	}
}

func TestWritersAndSweepersDoNotDisturbEachOther(t *testing.T) {
	dir := t.TempDir()
	var wg sync.WaitGroup
	stop := make(chan struct{})
	wg.Add(1)
	go func() {
		defer wg.Done()
		for {
			select {
			case <-stop:
				return
			default:
				if _, err := Sweep(dir); err != nil {
					t.Error(err)
				}
			}
		}
	}()
	for i := range 100 {
		if _, err := Replace(filepath.Join(dir, "a"), []byte{byte(i)}, 0o644); err != nil {
			t.Error(err)
		}
	}
	close(stop)
	wg.Wait()
	only(t, dir, "a")
}

func TestAnySequenceOfWritesEndsAsInAMap(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp("", "atomicfile-")
		if err != nil {
			rt.Fatal(err)
		}
		defer os.RemoveAll(dir)
		model := map[string]string{}
		for range rapid.IntRange(1, 12).Draw(rt, "steps") {
			name := rapid.SampledFrom([]string{"a", "b"}).Draw(rt, "name")
			content := rapid.SampledFrom([]string{"", "1", "2", "long"}).Draw(rt, "content")
			path := filepath.Join(dir, name)
			old, there := model[name]
			switch rapid.IntRange(0, 2).Draw(rt, "how") {
			case 0:
				if err := Create(path, []byte(content), 0o644); (err == nil) == there {
					rt.Fatalf("create: %v with %v there", err, there)
				}
				if !there {
					model[name] = content
				}
			case 1:
				changed, err := CreateSame(path, []byte(content), 0o644)
				if changed != !there || (err != nil) != (there && old != content) {
					rt.Fatalf("create same: %v, %v", changed, err)
				}
				if changed {
					model[name] = content
				}
			case 2:
				changed, err := Replace(path, []byte(content), 0o644)
				if err != nil || changed != (!there || old != content) {
					rt.Fatalf("replace: %v, %v", changed, err)
				}
				model[name] = content
			}
		}
		list, err := os.ReadDir(dir)
		if err != nil || len(list) != len(model) {
			rt.Fatalf("%v, %v", list, err)
		}
		for name, want := range model {
			if data, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(data) != want {
				rt.Fatalf("%s is %q, want %q", name, data, want)
			}
		}
	})
}

func BenchmarkReplace(b *testing.B) {
	path := filepath.Join(b.TempDir(), "a")
	data := make([]byte, 1500)
	for i := 0; b.Loop(); i++ {
		data[0] = byte(i)
		if _, err := Replace(path, data, 0o644); err != nil {
			b.Fatal(err)
		}
	}
}
