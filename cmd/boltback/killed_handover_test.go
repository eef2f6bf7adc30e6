package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// killedAt runs the program as this keeper and kills it after a while, unless it is done by then.
func (k keeper) killedAt(t *testing.T, after time.Duration, args ...string) {
	t.Helper()
	cmd := exec.Command(built, args...)
	cmd.Dir, cmd.Env = k.yard(), k.environment()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(after)
	_ = cmd.Process.Kill() // it may be done already
	_ = cmd.Wait()
}

// moments are how long a verb runs before it is killed: so many, from none at all to a little longer than it took once.
func moments(n int, took time.Duration) []time.Duration {
	list := make([]time.Duration, n)
	for i := range list {
		list[i] = took * time.Duration(i) / time.Duration(n-1)
	}
	return list
}

// TestAKilledHandoverLeavesTheOldStateOrTheNew kills the handover of a car, in each form of a bag, and then the receipt of a packed
// bag, of one in a folder, and of one that is newer than the car that is there, at moments all along the way. There is no bag or a whole one, and never one of a car that is not marked; there is no car or a
// whole one; and the same words finish what was begun, with one mark and one receipt.
func TestAKilledHandoverLeavesTheOldStateOrTheNew(t *testing.T) {
	lane, quay := newKeeper(t, "tallow-lane", "ines"), newKeeper(t, "quayside", "odile")
	lane.does(t, lane.yard(), "intake", "grey-tern", "make=Corvane")
	drawing := filepath.Join(lane.home, "drawing.txt")
	write(t, drawing, strings.Repeat("as drawn at the bench\n", 1<<12))
	lane.does(t, lane.car(), "record", "paper", "drawing", "--file", drawing, "class=drawing")
	earlier := filepath.Join(lane.home, "earlier")
	lane.does(t, lane.yard(), "handover", "grey-tern", earlier, "--copy", "--to", "the other")
	before := filepath.Join(lane.home, "before")
	if err := os.CopyFS(before, os.DirFS(lane.car())); err != nil {
		t.Fatal(err)
	}
	var bag string
	for _, form := range []string{".zip", ".tar.gz", ""} {
		bag = filepath.Join(lane.home, "bag"+form)
		renew := func() {
			if err := errors.Join(os.RemoveAll(bag), os.RemoveAll(lane.car()), os.CopyFS(lane.car(), os.DirFS(before))); err != nil {
				t.Fatal(err)
			}
		}
		renew()
		words := []string{"handover", "grey-tern", bag, "--to", "the other", "--keeper", quay.person, "--keeper-key", quay.key() + ".pub"}
		begun := time.Now()
		lane.does(t, lane.yard(), words...)
		for _, after := range moments(5, time.Since(begun)) {
			renew()
			lane.killedAt(t, after, words...)
			finishHandover(t, lane, bag, words)
		}
	}
	empty := filepath.Join(quay.home, "empty")
	if err := os.CopyFS(empty, os.DirFS(quay.yard())); err != nil {
		t.Fatal(err)
	}
	killedReceipts(t, quay, empty, filepath.Join(lane.home, "bag.tar.gz"))
	killedReceipts(t, quay, empty, bag)
	quay.does(t, quay.yard(), "receive", earlier)
	older := filepath.Join(quay.home, "older")
	if err := os.CopyFS(older, os.DirFS(quay.yard())); err != nil {
		t.Fatal(err)
	}
	killedReceipts(t, quay, older, bag)
}

// killedReceipts kills the receipt of a bag at moments all along the way, each in a yard as it was before, and leaves that yard.
func killedReceipts(t *testing.T, k keeper, before, bag string) {
	t.Helper()
	renew := func() {
		if err := errors.Join(os.RemoveAll(k.yard()), os.CopyFS(k.yard(), os.DirFS(before))); err != nil {
			t.Fatal(err)
		}
	}
	words := []string{"receive", bag, "--how", "for work", "--distance", "61540 mi"}
	renew()
	begun := time.Now()
	k.does(t, k.yard(), words...)
	for _, after := range moments(5, time.Since(begun)) {
		renew()
		k.killedAt(t, after, words...)
		finishReceipt(t, k, words)
	}
	renew()
}

// finishHandover looks at what a killed handover left, and says the same words again where there is no bag.
func finishHandover(t *testing.T, k keeper, bag string, words []string) {
	t.Helper()
	count := func() int { return len(k.commits(t)) }
	_, err := os.Lstat(bag)
	was := count()
	if err == nil && was != 3 {
		t.Fatalf("there is a bag of a car that is not marked: %d commits", was)
	}
	if err != nil {
		k.does(t, k.yard(), words...)
	}
	if n := count(); n != 3 {
		t.Errorf("%d commits before, and %d in the end", was, n)
	}
	k.does(t, k.yard(), "bag", "check", bag, "--strict")
	if err == nil { // what was made aside, and is hidden, is cleared away by the next run
		if err := os.RemoveAll(besides(k.car())); err != nil {
			t.Fatal(err)
		}
	}
	whole(t, k)
}

// finishReceipt looks at what a killed receipt left, and says the same words again.
func finishReceipt(t *testing.T, k keeper, words []string) {
	t.Helper()
	if _, err := os.Lstat(k.car()); err == nil {
		stockGit(t, k.car(), "fsck", "--strict")
	}
	k.does(t, k.yard(), words...)
	if n := len(k.commits(t)); n != 4 {
		t.Errorf("%d commits in the end, not 4", n)
	}
	whole(t, k)
	if originals, err := filepath.Glob(filepath.Join(k.yard(), "originals", "*")); err != nil || len(originals) != 1 {
		t.Errorf("the originals are %v (%v)", originals, err)
	}
}

// whole wants a car without anything that no commit holds, and nothing that looks unfinished beside it or beside a bag.
func whole(t *testing.T, k keeper) {
	t.Helper()
	stockGit(t, k.car(), "fsck", "--strict")
	if dirty := stockGit(t, k.car(), "status", "--porcelain"); dirty != "" {
		t.Errorf("git sees\n%s", dirty)
	}
	for _, place := range []string{k.home, filepath.Join(k.yard(), "cars"), filepath.Join(k.yard(), "originals")} {
		if left, err := filepath.Glob(filepath.Join(place, ".*"+unfinished)); err != nil || len(left) > 0 {
			t.Errorf("left behind: %v (%v)", left, err)
		}
	}
}
