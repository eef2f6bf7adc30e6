package gitstore

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"
)

func TestASnapshotIsAFileSystem(t *testing.T) {
	for _, packed := range []bool{false, true} {
		b := newBench(t)
		b.commit("one", "car.json", "{}\n", "parts/fuel-tank.json", "tank\n", "parts/bay/x.json", "", "parts.json", "p\n")
		if packed {
			b.git("gc", "-q")
		}
		res := b.commit("two", "car.json", "{ }\n")
		s, err := b.repo.FS(res.Commit)
		if err != nil {
			t.Fatal(err)
		}
		if err := fstest.TestFS(s, "car.json", "parts/fuel-tank.json", "parts/bay/x.json", "parts.json"); err != nil {
			t.Error(err)
		}
		if id, err := s.BlobID("parts/fuel-tank.json"); err != nil || id != BlobID([]byte("tank\n")) {
			t.Errorf("blob id %s, %v", id, err)
		}
		if got, want := s.Tree().String(), b.git("rev-parse", "HEAD^{tree}"); got != want {
			t.Errorf("tree %s, want %s", got, want)
		}
		if _, err := s.ReadFile("parts/none.json"); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		if _, err := s.ReadFile("car.json/x"); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		if _, err := s.ReadFile("../x"); !errors.Is(err, fs.ErrInvalid) {
			t.Errorf("got %v", err)
		}
	}
}

func TestSymlinksAndSubmodulesAreSeenAndNotFollowed(t *testing.T) {
	b := newBench(t)
	first := b.commit("one", "a.json", "1\n")
	if err := os.Symlink("/etc/passwd", filepath.Join(b.dir, "link.json")); err != nil {
		t.Skip("no symlinks here")
	}
	b.git("add", "link.json")
	b.git("update-index", "--add", "--cacheinfo", "160000,"+first.Commit.String()+",module")
	b.git("commit", "-q", "-m", "two")
	head, err := b.repo.Revision("HEAD")
	if err != nil {
		t.Fatal(err)
	}
	s, err := b.repo.FS(head)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"link.json", "module"} {
		info, err := s.Stat(name)
		if err != nil || info.Mode()&fs.ModeIrregular == 0 || info.Mode().IsRegular() {
			t.Errorf("%s: %v, %v", name, info, err)
		}
		if _, err := s.Open(name); !errors.Is(err, ErrNotFollowed) {
			t.Errorf("open %s: %v", name, err)
		}
		if _, err := s.ReadFile(name); !errors.Is(err, ErrNotFollowed) {
			t.Errorf("read %s: %v", name, err)
		}
	}
}

func TestADamagedObjectIsNoticed(t *testing.T) {
	b := newBench(t)
	res := b.commit("one", "a.json", "1\n", "b.json", "2\n")
	object := func(id Hash) string {
		return filepath.Join(b.dir, ".git/objects", id.String()[:2], id.String()[2:])
	}
	other, err := os.ReadFile(object(BlobID([]byte("2\n"))))
	if err != nil {
		t.Fatal(err)
	}
	a := object(BlobID([]byte("1\n")))
	if err := os.Chmod(a, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(a, other, 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := at(t, b.dir).repo.FS(res.Commit)
	if err != nil {
		t.Fatal(err)
	}
	if data, err := s.ReadFile("a.json"); err == nil {
		t.Errorf("read %q", data)
	}
	if err := os.Remove(a); err != nil {
		t.Fatal(err)
	}
	var missing *MissingError
	if _, err := s.ReadFile("a.json"); !errors.As(err, &missing) {
		t.Errorf("got %v", err)
	}
}
