package atomicfile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// breakAt fails the nth operation that changes something; if it is a crash,
// nothing works from then on.
type breakAt struct {
	n, at int
	crash bool
	err   error
	hit   string
}

func (b *breakAt) before(op Op) error {
	if b.hit != "" && b.crash {
		return b.err
	}
	if !op.Changes() {
		return nil
	}
	if b.n++; b.n == b.at {
		b.hit = op.Verb
		return b.err
	}
	return nil
}

// the ways of writing over the content "old" or, for Create, over nothing.
var ways = []struct {
	name  string
	old   string // "" means that nothing is there
	write func(w Writer, path string) error
}{
	{"create", "", func(w Writer, path string) error { return w.Create(path, []byte("new"), 0o644) }},
	{"create same", "", func(w Writer, path string) error { _, err := w.CreateSame(path, []byte("new"), 0o644); return err }},
	{"replace nothing", "", func(w Writer, path string) error { _, err := w.Replace(path, []byte("new"), 0o644); return err }},
	{"replace", "old", func(w Writer, path string) error { _, err := w.Replace(path, []byte("new"), 0o644); return err }},
	{"create without hard links", "", func(w Writer, path string) error {
		w.Files = noLinkFS{w.Files}
		return w.Create(path, []byte("new"), 0o644)
	}},
}

// noLinkFS is a file system without hard links.
type noLinkFS struct{ FS }

func (noLinkFS) Link(_, to string) error {
	return &fs.PathError{Op: "link", Path: to, Err: syscall.ENOTSUP}
}

func TestAtEveryStepTheFileIsOldOrNew(t *testing.T) {
	for _, way := range ways {
		for _, crash := range []bool{false, true} {
			for at := 1; ; at++ {
				b := &breakAt{at: at, crash: crash, err: syscall.ENOSPC}
				name := fmt.Sprintf("%s, crash %v, step %d", way.name, crash, at)
				done := false
				t.Run(name, func(t *testing.T) { done = faultRun(t, b, way.old, way.write) })
				if done {
					if at < 5 {
						t.Fatalf("%s takes only %d steps: the faults did not reach it", way.name, at)
					}
					break
				}
			}
		}
	}
}

// faultRun writes with one fault and reports whether the write took fewer
// steps than the fault waited for.
func faultRun(t *testing.T, b *breakAt, old string, write func(Writer, string) error) (done bool) {
	dir := t.TempDir()
	path := filepath.Join(dir, "file")
	if old != "" {
		put(t, path, old, 0o644)
	}
	err := write(Writer{Files: Intercept(OS{}, b.before)}, path)
	if (err == nil) != (b.hit == "") {
		t.Fatalf("the fault at %q was answered with %v", b.hit, err)
	}
	if err != nil && !errors.Is(err, syscall.ENOSPC) {
		t.Fatalf("the error %v does not say why", err)
	}
	data, rerr := os.ReadFile(path)
	now := string(data)
	claimed := b.crash && rerr == nil && now == "" // the claim of a name without hard links
	if rerr != nil && (old != "" || !errors.Is(rerr, fs.ErrNotExist)) || now != old && now != "new" && !claimed {
		t.Fatalf("after a fault at %q the file holds %q, %v", b.hit, now, rerr)
	}
	names, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if !b.crash && b.hit != "remove" {
		for _, e := range names {
			if e.Name() != "file" {
				t.Fatalf("after a fault at %q %s is left", b.hit, e.Name())
			}
		}
	}
	if _, err := Sweep(dir); err != nil {
		t.Fatal(err)
	}
	if _, err := Replace(path, []byte("new"), 0o644); err != nil {
		t.Fatalf("the next run: %v", err)
	}
	only(t, dir, "file")
	if read(t, path) != "new" {
		t.Fatal("the next run did not write")
	}
	return b.hit == ""
}

func TestAnErrorOfReadingIsNotTakenForAnAnswer(t *testing.T) {
	for _, verb := range []string{"lstat", "read"} {
		path := filepath.Join(t.TempDir(), "file")
		put(t, path, "old", 0o644)
		w := Writer{Files: Intercept(OS{}, func(op Op) error {
			if op.Verb == verb {
				return syscall.EIO
			}
			return nil
		})}
		if changed, err := w.Replace(path, []byte("new"), 0o644); changed || !errors.Is(err, syscall.EIO) {
			t.Errorf("%s: replace gave %v, %v", verb, changed, err)
		}
		if changed, err := w.CreateSame(path, []byte("old"), 0o644); changed || !errors.Is(err, syscall.EIO) {
			t.Errorf("%s: create same gave %v, %v", verb, changed, err)
		}
		if read(t, path) != "old" {
			t.Errorf("%s: the file was written", verb)
		}
	}
}

func TestARenameOntoAFolderFailsAndLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "file")
	p, err := Writer{}.Prepare(path, []byte("new"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(path, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := p.Install(); err == nil {
		t.Error("a folder was replaced")
	}
	only(t, dir, "file")
}
