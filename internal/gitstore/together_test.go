package gitstore

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

func TestFortyProcessesCommitAtOnceAndLoseNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	var wg sync.WaitGroup
	for i := range 40 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			if out, err := job("commit", b.dir, fmt.Sprintf("parts/p%02d.json", i)).CombinedOutput(); err != nil {
				t.Errorf("process %d: %v: %s", i, err, out)
			}
		}()
	}
	wg.Wait()
	if n := b.git("rev-list", "--count", "HEAD"); n != "41" {
		t.Errorf("%s commits, want 41", n)
	}
	if n := len(strings.Split(b.git("ls-tree", "-r", "--name-only", "HEAD", "parts"), "\n")); n != 40 {
		t.Errorf("%d files, want 40", n)
	}
	if n := len(strings.Split(b.git("reflog", "show", "main"), "\n")); n != 41 {
		t.Errorf("%d reflog lines, want 41", n)
	}
	b.sound()
	b.clean()
	b.swept()
}

func TestTwentyOfOursAndTwentyOfGitsLoseNothingThatWasReported(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	var wg sync.WaitGroup
	for i := range 20 {
		wg.Add(2)
		go func() {
			defer wg.Done()
			if out, err := job("commit", b.dir, fmt.Sprintf("parts/ours%02d.json", i)).CombinedOutput(); err != nil {
				t.Errorf("ours %d: %v: %s", i, err, out)
			}
		}()
		go func() {
			defer wg.Done()
			name := fmt.Sprintf("stock%02d.json", i)
			if err := stockCommit(b.dir, name); err != nil {
				t.Errorf("stock %d: %v", i, err)
			}
		}()
	}
	wg.Wait()
	b.sound()
	b.swept()
	if n := b.git("rev-list", "--count", "HEAD"); n != "41" {
		t.Errorf("%s commits, want 41", n)
	}
	if n := len(strings.Split(b.git("ls-tree", "-r", "--name-only", "HEAD"), "\n")); n != 41 {
		t.Errorf("%d files, want 41", n)
	}
	b.clean()
}

// stockCommit adds and commits one file with Git, which gives up at once when
// a lock is taken, and is started again then.
func stockCommit(dir, name string) error {
	if err := os.WriteFile(filepath.Join(dir, name), []byte(name), 0o666); err != nil {
		return err
	}
	var last error
	for range 2000 {
		if _, last = gitIn(dir, "add", name); last == nil {
			if _, last = gitIn(dir, "commit", "-q", "-m", "stock "+name, "--", name); last == nil {
				return nil
			}
		}
		// git commit reads the index before it locks it, and so loses what
		// another git add wrote in between; "did not match" is how that shows.
		if !strings.Contains(last.Error(), "lock") && !strings.Contains(last.Error(), "did not match") {
			return last
		}
	}
	return last
}

func TestGoroutinesShareOneRepo(t *testing.T) {
	b := newBench(t)
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			name := fmt.Sprintf("p%d.json", i)
			if _, err := b.repo.Commit(t.Context(), request(name, name, name)); err != nil {
				t.Error(err)
			}
		}()
	}
	wg.Wait()
	if n := b.git("rev-list", "--count", "HEAD"); n != "8" {
		t.Errorf("%s commits, want 8", n)
	}
	b.sound()
	b.clean()
}

func TestTheBranchMovedWhileWeWaited(t *testing.T) {
	move := func(t *testing.T, path string) (*bench, Result, error) {
		b := newBench(t)
		b.commit("one", "a.json", "1\n", "b.json", "1\n")
		c := newTick()
		moved := false
		b.write(".git/HEAD.lock", "")
		c.slept = func(time.Duration) {
			if moved {
				return
			}
			moved = true
			if err := os.Remove(filepath.Join(b.dir, ".git", "HEAD.lock")); err != nil {
				t.Error(err)
			}
			// Our process holds index.lock now, so Git commits without the index.
			tree := b.git("commit-tree", "-p", "HEAD", "-m", "stock", b.treeWith(path, "stock\n"))
			b.git("update-ref", "refs/heads/main", tree)
		}
		r, err := OpenWith(b.dir, c.options())
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		res, err := r.Commit(t.Context(), request("ours", "a.json", "ours\n"))
		return b, res, err
	}
	t.Run("in another path: the commit goes on top", func(t *testing.T) {
		b, _, err := move(t, "b.json")
		if err != nil {
			t.Fatal(err)
		}
		b.sound()
		if got := b.git("log", "--format=%s"); got != "ours\nstock\none" {
			t.Errorf("log says %q", got)
		}
		if got := b.git("show", "HEAD:b.json"); got != "stock" {
			t.Errorf("b.json is %q", got)
		}
	})
	t.Run("in our path: a conflict names it", func(t *testing.T) {
		b, _, err := move(t, "a.json")
		var conflict *ConflictError
		if !errors.As(err, &conflict) || len(conflict.Paths) != 1 || conflict.Paths[0] != "a.json" {
			t.Fatalf("got %v", err)
		}
		if b.read("a.json") != "1\n" {
			t.Error("the work tree was written")
		}
		b.swept()
	})
}

// treeWith makes, with Git and beside the index, HEAD's tree with one file changed.
func (b *bench) treeWith(path, content string) string {
	b.Helper()
	b.write("../scratch", content)
	blob := b.git("hash-object", "-w", "../scratch")
	list := strings.Split(b.git("ls-tree", "HEAD"), "\n")
	for i, line := range list {
		if strings.HasSuffix(line, "\t"+path) {
			list[i] = "100644 blob " + blob + "\t" + path
		}
	}
	b.write("../list", strings.Join(list, "\n")+"\n")
	out, err := gitInWith(b.dir, filepath.Join(b.dir, "../list"), "mktree")
	if err != nil {
		b.Fatal(err)
	}
	return out
}

func TestExpectIsTheCommitThatTheChangesWereMadeAgainst(t *testing.T) {
	b := newBench(t)
	first := b.commit("one", "a.json", "1\n", "b.json", "1\n")
	b.commit("two", "a.json", "2\n")
	req := request("three", "a.json", "3\n")
	req.Expect = first.Commit
	var conflict *ConflictError
	if _, err := b.repo.Commit(t.Context(), req); !errors.As(err, &conflict) {
		t.Errorf("got %v", err)
	}
	req = request("three", "b.json", "3\n")
	req.Expect = first.Commit
	if _, err := b.repo.Commit(t.Context(), req); err != nil {
		t.Error(err)
	}
	b.clean()
}

// listing is what lies at a path: names, and what the files hold.
