package gitstore

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
)

// twins is a repository and a copy of it that has gone on by two commits, a tag and a branch.
func twins(t *testing.T) (old, newer *bench) {
	t.Helper()
	old = newBench(t)
	old.commit("one", "a.json", "a1\n", "parts/old.json", "old\n")
	dir, _, err := unbundled(t, old.bytesOf())
	if err != nil {
		t.Fatal(err)
	}
	newer = at(t, dir)
	newer.commit("two", "a.json", "a2\n", "parts/old.json", "-", "work/b.json", "b\n")
	newer.commit("three", "work/c.json", "c\n")
	newer.git("tag", "-a", "-m", "a stamp", "stamps/1", "HEAD~1")
	newer.git("branch", "side", "HEAD~1")
	return old, newer
}

func TestACopyIsBroughtUpToANewerOne(t *testing.T) {
	old, newer := twins(t)
	for _, want := range []bool{true, false} { // the second time there is nothing to do
		moved, err := at(t, old.dir).repo.Advance(context.Background(), newer.repo)
		if err != nil || moved != want {
			t.Fatalf("moved: %v (%v)", moved, err)
		}
		for _, ask := range [][]string{{"rev-parse", "HEAD"}, {"for-each-ref"}, {"ls-files", "-s"}, {"log", "--all", "--format=%H"}} {
			if got, want := old.git(ask...), newer.git(ask...); got != want {
				t.Errorf("git %v says\n%s\nwant\n%s", ask, got, want)
			}
		}
		old.clean()
		old.sound()
	}
	if back, err := at(t, newer.dir).repo.Advance(context.Background(), old.repo); back || err != nil {
		t.Errorf("an older copy moved a newer one: %v (%v)", back, err)
	}
}

func TestTwoCopiesThatPartAreNotBroughtTogetherAndTheForkIsNamed(t *testing.T) {
	old, newer := twins(t)
	base := old.git("rev-parse", "HEAD")
	old.commit("mine", "mine.json", "m\n")
	head := old.git("rev-parse", "HEAD")
	_, err := at(t, old.dir).repo.Advance(context.Background(), newer.repo)
	var fork *ForkedError
	if !errors.As(err, &fork) || fork.Base.String() != base || fork.Ours != 1 || fork.Theirs != 2 || !strings.Contains(err.Error(), base) {
		t.Errorf("got %v", err)
	}
	if got := old.git("rev-parse", "HEAD"); got != head || old.git("tag") != "" {
		t.Errorf("HEAD is %s, want %s", got, head)
	}
	stranger := newBench(t)
	stranger.commit("other", "a.json", "x\n")
	if _, err := at(t, old.dir).repo.Advance(context.Background(), stranger.repo); !errors.As(err, &fork) || !fork.Base.IsZero() {
		t.Errorf("a history of its own: %v", err)
	}
}

func TestWhatStandsForSomethingElseHereIsNotMoved(t *testing.T) {
	for name, change := range map[string]func(old *bench){
		"a tag":          func(b *bench) { b.git("tag", "stamps/1", "HEAD") },
		"a file changed": func(b *bench) { b.write("a.json", "edited\n") },
		"a file in the way": func(b *bench) {
			b.write("work", "no folder\n")
		},
	} {
		old, newer := twins(t)
		head := old.git("rev-parse", "HEAD")
		change(old)
		status := old.git("status", "--porcelain")
		if moved, err := at(t, old.dir).repo.Advance(context.Background(), newer.repo); moved || err == nil {
			t.Errorf("%s: moved: %v (%v)", name, moved, err)
		}
		if old.git("rev-parse", "HEAD") != head || old.git("status", "--porcelain") != status {
			t.Errorf("%s: git sees\n%s", name, old.git("status", "--porcelain"))
		}
	}
}

// TestAnAdvanceThatFailsOrCrashesAtAnyStepLeavesTheOldStateOrTheNew lets each step fail; the next run brings it to its end.
func TestAnAdvanceThatFailsOrCrashesAtAnyStepLeavesTheOldStateOrTheNew(t *testing.T) {
	run := func(t *testing.T, f *faults) (old, newer *bench, err error) {
		old, newer = twins(t)
		r, err := OpenWith(old.dir, Options{Files: f.files()})
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		_, err = r.Advance(context.Background(), newer.repo)
		return old, newer, err
	}
	whole := &faults{}
	if _, _, err := run(t, whole); err != nil || whole.n < 30 {
		t.Fatalf("without faults it takes %d steps, %v", whole.n, err)
	}
	stride := 5
	if testing.Short() {
		stride = 17
	}
	for step := 1; step <= whole.n; step++ {
		if step%stride != 1 && filepath.Base(filepath.Dir(whole.seen[step-1].Path)) != "pack" {
			continue
		}
		for _, crash := range []bool{false, true} {
			t.Run(fmt.Sprintf("step %d, crash %v", step, crash), func(t *testing.T) {
				t.Parallel()
				old, newer, err := run(t, &faults{at: step, err: errors.New("gone"), crash: crash})
				if head := old.git("rev-parse", "HEAD"); head != newer.git("rev-parse", "HEAD") && (head != newer.git("rev-parse", "HEAD~2") || err == nil) {
					t.Fatalf("HEAD is %s (%v)", head, err)
				}
				old.sound()
				if _, err := at(t, old.dir).repo.Advance(context.Background(), newer.repo); err != nil {
					t.Fatalf("the next run: %v", err)
				}
				if got, want := old.git("for-each-ref"), newer.git("for-each-ref"); got != want {
					t.Errorf("names are\n%s\nwant\n%s", got, want)
				}
				old.clean()
				old.sound()
				if left, err := filepath.Glob(filepath.Join(old.dir, ".git", "objects", "pack", "tmp_*")); err != nil || len(left) > 0 {
					t.Errorf("half a pack is left: %v (%v)", left, err)
				}
			})
		}
	}
}
