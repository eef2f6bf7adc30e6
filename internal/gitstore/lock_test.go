package gitstore

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// tick is a clock that only moves when somebody sleeps, and calls back then.
type tick struct {
	now   time.Time
	slept func(total time.Duration)
	start time.Time
}

func newTick() *tick { return &tick{now: time.Now(), start: time.Now()} }

func (c *tick) options() Options {
	return Options{Now: func() time.Time { return c.now }, Sleep: func(_ context.Context, d time.Duration) error {
		c.now = c.now.Add(d)
		if c.slept != nil {
			c.slept(c.now.Sub(c.start))
		}
		return nil
	}}
}

func TestALockOfAnotherProgramIsWaitedForAndNeverRemoved(t *testing.T) {
	for _, name := range []string{"index.lock", "HEAD.lock", "refs/heads/main.lock"} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			b.commit("one", "a.json", "1\n")
			b.write(".git/"+name, "")
			c := newTick()
			r, err := OpenWith(b.dir, c.options())
			if err != nil {
				t.Fatal(err)
			}
			defer r.Close()
			_, err = r.Commit(t.Context(), request("two", "a.json", "2\n"))
			var locked *LockedError
			if !errors.As(err, &locked) || locked.Ours || locked.Path != filepath.Join(b.dir, ".git", filepath.FromSlash(name)) {
				t.Fatalf("got %v", err)
			}
			if waited := c.now.Sub(c.start); waited < 10*time.Second || waited > 11*time.Second {
				t.Errorf("gave up after %v", waited)
			}
			if !strings.Contains(err.Error(), "another program, most likely Git") {
				t.Errorf("the error %q does not say whose lock it is", err)
			}
			if b.read(".git/"+name) != "" || b.read("a.json") != "1\n" {
				t.Error("something was changed")
			}
		})
	}
}

func TestWaitingLastsWhileTheLockChangesHands(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	lock := filepath.Join(b.dir, ".git", "index.lock")
	b.write(".git/index.lock", "")
	c := newTick()
	last := time.Duration(0)
	c.slept = func(total time.Duration) {
		switch {
		case total > 35*time.Second:
			_ = os.Remove(lock)
		case total-last > 8*time.Second:
			// A rename brings a new inode, as the next holder's lock has.
			last = total
			b.write(".git/next", "")
			if err := os.Rename(filepath.Join(b.dir, ".git", "next"), lock); err != nil {
				t.Error(err)
			}
		}
	}
	r, err := OpenWith(b.dir, c.options())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, err := r.Commit(t.Context(), request("two", "a.json", "2\n")); err != nil {
		t.Fatal(err)
	}
	b.sound()
	b.clean()
}

func TestAWaitEndsWithTheContext(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	b.write(".git/index.lock", "")
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	if _, err := b.repo.Commit(ctx, request("two", "a.json", "2\n")); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v", err)
	}
}

func TestAHeldFileThatNamesAStrangersFileRemovesNothing(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	outside := filepath.Join(t.TempDir(), "precious.lock")
	text := lockMark + outside + "\nprocess 1\n"
	if err := os.WriteFile(outside, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	b.write(".git/boltback/held-x", text)
	b.write(".git/boltback/held-y", lockMark+filepath.Join(b.dir, ".git", "index.lock")+"\n")
	b.write(".git/index.lock", "git's own")
	if _, err := at(t, b.dir).repo.Commit(t.Context(), request("same", "a.json", "1\n")); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Lstat(outside); err != nil {
		t.Error(err)
	}
	if b.read(".git/index.lock") != "git's own" {
		t.Error("git's lock was touched")
	}
}

func TestAProcessOfOursThatHangsIsNamed(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	hanging, err := b.repo.lock(t.Context(), filepath.Join(b.dir, ".git", "HEAD.lock"))
	if err != nil {
		t.Fatal(err)
	}
	r, err := OpenWith(b.dir, newTick().options())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	_, err = r.Commit(t.Context(), request("two", "a.json", "2\n"))
	var locked *LockedError
	if !errors.As(err, &locked) || !locked.Alive || !strings.Contains(err.Error(), fmt.Sprint("process ", os.Getpid(), " on ")) {
		t.Errorf("got %v", err)
	}
	if err := hanging.release(); err != nil {
		t.Fatal(err)
	}
	b.commit("two", "a.json", "2\n")
	b.swept()
}

func TestARepositoryCannotHaveUsWriteElsewhere(t *testing.T) {
	for _, name := range []string{"logs/HEAD", "logs/refs/heads", "logs", "refs/heads", "index", "boltback", "HEAD"} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			b.commit("one", "a.json", "1\n")
			away := filepath.Join(t.TempDir(), "away")
			inside := filepath.Join(b.dir, ".git", filepath.FromSlash(name))
			if err := os.Rename(inside, away); err != nil {
				t.Fatal(err)
			}
			if err := os.Symlink(away, inside); err != nil {
				t.Skip("no symlinks here")
			}
			before := listing(t, away)
			r, err := Open(b.dir)
			if err == nil {
				defer r.Close()
				_, err = r.Commit(t.Context(), request("two", "a.json", "2\n"))
			}
			if err == nil {
				t.Error("it was followed")
			}
			if after := listing(t, away); after != before {
				t.Errorf("outside there was\n%s\nand is\n%s", before, after)
			}
		})
	}
}

func listing(t *testing.T, path string) string {
	t.Helper()
	var all strings.Builder
	err := filepath.WalkDir(path, func(p string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(p)
		fmt.Fprintf(&all, "%s: %q\n", p, data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all.String()
}
