package gitstore

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"boltback/internal/atomicfile"
)

// faults counts the operations that change something and breaks in at the nth.
type faults struct {
	at    int   // 0 never
	err   error // what the operation fails with
	crash bool  // from then on everything fails
	n     int
	hit   atomicfile.Op
	seen  []atomicfile.Op // those that were counted
}

func (f *faults) before(op atomicfile.Op) error {
	if f.hit.Verb != "" && f.crash {
		return f.err
	}
	if !op.Changes() {
		return nil
	}
	f.n++
	f.seen = append(f.seen, op)
	if f.n == f.at {
		f.hit = op
		return f.err
	}
	return nil
}

func (f *faults) files() atomicfile.FS { return atomicfile.Intercept(atomicfile.OS{}, f.before) }

// history of the scene in which the faults strike: a repository with something
// staged, something edited and something deleted by the commit.
func scene(t testing.TB) *bench {
	b := newBench(t)
	b.commit("one", ".gitattributes", "* -text\n", "parts/a.json", "a1\n", "parts/old.json", "old\n", "top.json", "t\n")
	b.write("staged.json", "staged\n")
	b.git("add", "staged.json")
	b.write("top.json", "edited\n")
	return b
}

func sceneRequest() Request {
	return request("two", "parts/a.json", "a2\n", "parts/old.json", "-", "work/new/b.json", "b\n")
}

const (
	sceneStatus = "A  staged.json\n M top.json"
	sceneFirst  = "A\t.gitattributes\nA\tparts/a.json\nA\tparts/old.json\nA\ttop.json"
	sceneFiles  = "M\tparts/a.json\nD\tparts/old.json\nA\twork/new/b.json"
)

// committed reports whether the scene's commit is there, and checks that it is
// either there as a whole or not at all.
func (b *bench) committed() bool {
	b.Helper()
	switch got := b.git("log", "-2", "--name-status", "--format=%s"); got {
	case "one\n\n" + sceneFirst:
		return false
	case "two\n\n" + sceneFiles + "\none\n\n" + sceneFirst:
		return true
	default:
		b.Fatalf("the log is %q", got)
		return false
	}
}

func TestACrashAtAnyStepLeavesTheOldOrTheNewStateAndTheNextCommitMendsIt(t *testing.T) {
	eachStep(t, errors.New("crash"), true, func(t *testing.T, b *bench, err error) {
		clearStockLocks(b)
		was := b.committed()
		if err == nil && !was {
			t.Fatal("a commit that was reported is not there")
		}
		b.sound()
		b.commitAgain(was)
	})
}

// TestAfterACrashAnyOtherCommitLeavesNothingHalfDone goes on with a commit of another path: by then the one that was cut
// short is there as a whole, or not at all, in the history, in the index and in the work tree.
func TestAfterACrashAnyOtherCommitLeavesNothingHalfDone(t *testing.T) {
	eachStep(t, errors.New("crash"), true, func(t *testing.T, b *bench, _ error) {
		r := at(b, b.dir).repo
		if _, err := r.Commit(context.Background(), request("three", "other.json", "o\n")); err != nil {
			t.Fatalf("the next run: %v", err)
		}
		if got := b.git("status", "--porcelain"); got != sceneStatus {
			t.Errorf("git sees\n%s", got)
		}
		switch got := b.git("log", "--format=%s"); got {
		case "three\none", "three\ntwo\none":
		default:
			t.Errorf("the log is %q", got)
		}
		b.sound()
		b.swept()
	})
}

func TestAFailureAtAnyStepLeavesEverythingAsItWas(t *testing.T) {
	eachStep(t, syscall.ENOSPC, false, func(t *testing.T, b *bench, err error) {
		if err != nil && !errors.Is(err, syscall.ENOSPC) {
			t.Fatalf("the error %v does not say why", err)
		}
		was := b.committed()
		if was != (err == nil) {
			t.Fatalf("committed: %v, error: %v", was, err)
		}
		if got := b.git("status", "--porcelain"); got != sceneStatus {
			t.Fatalf("status says\n%s", got)
		}
		if _, lerr := os.Lstat(filepath.Join(b.dir, "work")); !was && lerr == nil {
			t.Fatal("a folder that the failed commit made is still there")
		}
		b.commitAgain(was)
	})
}

// eachStep runs the scene once for every step that a commit takes.
func eachStep(t *testing.T, err error, crash bool, check func(*testing.T, *bench, error)) {
	run := func(t *testing.T, f *faults) (*bench, error) {
		b := scene(t)
		r, err := OpenWith(b.dir, Options{Files: f.files()})
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		_, err = r.Commit(context.Background(), sceneRequest())
		return b, err
	}
	whole := &faults{}
	if _, err := run(t, whole); err != nil || whole.n < 50 {
		t.Fatalf("without faults a commit takes %d steps, %v", whole.n, err)
	}
	stride := 1
	if testing.Short() {
		stride = 9
	}
	for at := 1; at <= whole.n; at += stride {
		t.Run(fmt.Sprintf("step %d", at), func(t *testing.T) {
			t.Parallel()
			f := &faults{at: at, err: err, crash: crash}
			b, got := run(t, f)
			if f.hit.Verb == "" {
				t.Fatal("the fault did not strike")
			}
			t.Logf("%s %s", f.hit.Verb, strings.TrimPrefix(f.hit.Path, b.dir))
			check(t, b, got)
		})
	}
}

// clearStockLocks checks that stock Git can at least read, and is held up by
// nothing but locks that are provably ours.
func clearStockLocks(b *bench) {
	b.Helper()
	for _, name := range []string{"index.lock", "HEAD.lock", "refs/heads/main.lock"} {
		text, err := os.ReadFile(filepath.Join(b.dir, ".git", name))
		if err == nil && !strings.HasPrefix(string(text), lockMark) {
			b.Fatalf("%s does not say whose it is: %q", name, text)
		}
	}
}

// commitAgain makes the scene's commit in a new run, and then another one, and
// checks that nothing of the accident is left.
func (b *bench) commitAgain(was bool) {
	b.Helper()
	_, noNote := os.Lstat(filepath.Join(b.dir, ".git", "boltback", begunName))
	r := at(b, b.dir).repo
	res, err := r.Commit(context.Background(), sceneRequest())
	if err != nil {
		b.Fatalf("the next run: %v", err)
	}
	if res.Unchanged != was && (was || noNote != nil) { // with the note there it is carried to its end first
		b.Fatalf("the next run found unchanged: %v, want %v", res.Unchanged, was)
	}
	if !b.committed() {
		b.Fatal("the next run did not commit")
	}
	if got := b.git("status", "--porcelain"); got != sceneStatus {
		b.Fatalf("status after the next run says\n%s", got)
	}
	b.sound()
	b.swept()
	if n := strings.Count(b.git("reflog", "show", "main"), "\n"); n < 1 || n > 2 {
		b.Fatalf("the reflog has %d lines", n+1)
	}
	b.git("commit", "-q", "-m", "stock goes on")
}

// swept checks that no lock and no temporary file is left.
func (b *bench) swept() {
	b.Helper()
	err := filepath.WalkDir(b.dir, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if strings.HasSuffix(name, ".lock") || atomicfile.IsTemp(name) || strings.HasPrefix(name, heldPrefix) || name == begunName {
			b.Errorf("left behind: %s", path)
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
}

func TestAProcessKilledAtAnyMomentLeavesTheOldOrTheNewState(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	for _, step := range []int{1, 12, 24, 36, 44, 52, 60, 66, 72, 78, 84, 88, 92, 96, 100, 104, 108} {
		t.Run(fmt.Sprintf("killed at step %d", step), func(t *testing.T) {
			b := scene(t)
			cmd := job("killed", b.dir, "")
			cmd.Env = append(cmd.Env, "GITSTORE_TEST_STEP="+strconv.Itoa(step))
			out, err := cmd.CombinedOutput()
			var exit *exec.ExitError
			killed := errors.As(err, &exit) && !exit.Exited()
			if err != nil && !killed {
				t.Fatalf("%v: %s", err, out)
			}
			t.Logf("killed: %v", killed)
			was := b.committed()
			b.sound()
			b.commitAgain(was)
		})
	}
}

func TestAFullDiskLosesNothing(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("not tested here: a file system of a limited size can be mounted by root only")
	}
	for _, spare := range []int{0, 1, 3, 6, 8, 9, 10, 11, 12, 13, 14, 15, 16, 20} {
		t.Run(fmt.Sprintf("%d pages free", spare), func(t *testing.T) { fullDisk(t, spare) })
	}
}

// fullDisk commits on a file system on which only so many pages are free.
func fullDisk(t *testing.T, spare int) {
	mnt := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=1m", "none", mnt).CombinedOutput(); err != nil {
		t.Skipf("not tested here: no file system of a limited size can be mounted: %v: %s", err, out)
	}
	defer func() {
		if out, err := exec.Command("umount", mnt).CombinedOutput(); err != nil {
			t.Errorf("umount: %v: %s", err, out)
		}
	}()
	dir := filepath.Join(mnt, "car")
	r, err := Init(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	b := &bench{TB: t, dir: dir, repo: r}
	b.commit("one", ".gitattributes", "* -text\n", "parts/a.json", "a1\n", "parts/old.json", "old\n", "top.json", "t\n")
	b.write("staged.json", "staged\n")
	b.git("add", "staged.json")
	b.write("top.json", "edited\n")
	ballast := fill(t, mnt, spare)
	_, err = r.Commit(context.Background(), sceneRequest())
	if err != nil && !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
	t.Logf("with %d pages free: %v", spare, err)
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	was := b.committed()
	if was != (err == nil) {
		t.Fatalf("committed: %v, error: %v", was, err)
	}
	b.sound()
	if got := b.git("status", "--porcelain"); got != sceneStatus {
		t.Fatalf("status says\n%s", got)
	}
	b.commitAgain(was)
}

// fill leaves only so many pages of a file system free.
func fill(t *testing.T, mnt string, pages int) string {
	name := filepath.Join(mnt, "ballast")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, os.Getpagesize())
	written := 0
	for {
		if _, err := f.Write(page); err != nil {
			break
		}
		written++
	}
	if err := f.Truncate(int64(max(0, written-pages)) * int64(len(page))); err != nil {
		t.Fatal(err)
	}
	return name
}
