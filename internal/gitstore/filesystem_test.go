package gitstore

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"boltback/internal/atomicfile"
)

// File systems that lack something.

// linkless is a file system without hard links.
type linkless struct{ atomicfile.FS }

func (linkless) Link(_, to string) error {
	return &fs.PathError{Op: "link", Path: to, Err: syscall.EPERM}
}

func TestWithoutHardLinksACommitIsMadeAndACrashMended(t *testing.T) {
	for _, at := range []int{0, 30, 40, 45, 50, 55, 60, 65, 70, 75, 80} {
		b := scene(t)
		f := &faults{at: at, err: errors.New("crash"), crash: true}
		r, err := OpenWith(b.dir, Options{Files: linkless{f.files()}})
		if err != nil {
			t.Fatal(err)
		}
		_, err = r.Commit(context.Background(), sceneRequest())
		if struck := f.hit.Verb != ""; struck != (err != nil) {
			t.Fatalf("step %d: struck %v, error %v", at, struck, err)
		}
		was := b.committed()
		b.sound()
		b.commitAgain(was)
		_ = r.Close()
	}
}

func TestWithoutHardLinksAFailureIsTakenBack(t *testing.T) {
	b := scene(t)
	// The rename of the branch is the last thing that can fail.
	files := atomicfile.Intercept(atomicfile.OS{}, func(op atomicfile.Op) error {
		if op.Verb == "rename" && strings.HasSuffix(op.Path, "refs/heads/main") {
			return syscall.EIO
		}
		return nil
	})
	r, err := OpenWith(b.dir, Options{Files: linkless{files}})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, err := r.Commit(t.Context(), sceneRequest()); !errors.Is(err, syscall.EIO) {
		t.Fatalf("got %v", err)
	}
	if got := b.git("status", "--porcelain"); got != sceneStatus {
		t.Errorf("status says\n%s", got)
	}
	b.swept()
	b.commitAgain(b.committed())
}

func TestAWorkTreeOnAnotherFileSystem(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n", "old.json", "1\n")
	shm, err := os.MkdirTemp("/dev/shm", "gitstore-")
	if err != nil {
		t.Skip("not tested here: there is no second file system at /dev/shm")
	}
	defer os.RemoveAll(shm)
	if sameDevice(shm, b.dir) {
		t.Skip("not tested here: /dev/shm is not a file system of its own")
	}
	dir := filepath.Join(shm, "linked")
	b.git("worktree", "add", "-q", "-b", "side", dir)
	in := at(t, dir)
	in.write("parts/"+atomicfile.TempName(), "left by a crash")
	in.commit("two", "a.json", "2\n", "parts/b.json", "b\n", "old.json", "-")
	in.sound()
	in.clean()
	in.swept()
	files := atomicfile.Intercept(atomicfile.OS{}, func(op atomicfile.Op) error {
		if op.Verb == "rename" && strings.HasSuffix(op.Path, "refs/heads/side") {
			return syscall.EIO
		}
		return nil
	})
	r, err := OpenWith(dir, Options{Files: files})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, err := r.Commit(t.Context(), request("three", "a.json", "3\n", "parts/b.json", "-", "new/c.json", "c\n")); !errors.Is(err, syscall.EIO) {
		t.Fatalf("got %v", err)
	}
	in.clean()
	in.swept()
}
