package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/cli"
)

// TestADiskThatFailsAtAnyStepLeavesNoHalfBagAndNoHalfReceipt lets steps of writing a bag fail, and of receiving it. There is then no bag or a whole one, no car or a whole one, and the same
// words work as soon as the disk does.
func TestADiskThatFailsAtAnyStepLeavesNoHalfBagAndNoHalfReceipt(t *testing.T) {
	t.Setenv("BOLTBACK_CACHE", "off")
	t.Setenv("BOLTBACK_PERSON", "people/quayside/odile")
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	yard, bag := filepath.Join(t.TempDir(), "yard"), filepath.Join(t.TempDir(), "bag")
	run := func(disk *full, want int, args ...string) {
		t.Helper()
		if status, said := on(disk, args...); status != want {
			t.Fatalf("status %d, want %d, at step %d: %s", status, want, disk.at, said)
		}
	}
	run(&full{}, cli.StatusClean, "init", yard, "--workshop", "quayside", "--person", "odile")
	t.Chdir(yard)
	run(&full{}, cli.StatusClean, "intake", "grey-tern", "make=Corvane")
	handedOverAtEachStep(t, filepath.Join(yard, "cars", "grey-tern"), bag)
	words := []string{"handover", "grey-tern", bag, "--to", "the owner"}
	run(&full{}, cli.StatusClean, words...)
	run(&full{}, cli.StatusClean, "bag", "check", bag, "--strict")

	second := filepath.Join(t.TempDir(), "second")
	run(&full{}, cli.StatusClean, "init", second, "--workshop", "quayside", "--person", "odile")
	t.Chdir(second)
	words = []string{"receive", bag, "--distance", "100 km"}
	car := filepath.Join(second, "cars", "grey-tern")
	whole := &full{}
	run(whole, cli.StatusClean, words...)
	stride := whole.n/12 + 1
	for at := 1; at <= whole.n; at += stride {
		if err := os.RemoveAll(car); err != nil {
			t.Fatal(err)
		}
		status, said := on(&full{at: at, pulled: at%2 == 0}, words...)
		left, err := os.ReadDir(filepath.Dir(car))
		switch {
		case err != nil || len(left) > 1:
			t.Fatalf("step %d leaves %v (%v)", at, left, err)
		case len(left) == 1: // only what tidies up failed
			stockGit(t, car, "fsck", "--strict")
			if dirty := stockGit(t, car, "status", "--porcelain"); dirty != "" || strings.TrimSpace(stockGit(t, car, "rev-list", "--count", "HEAD")) != "3" {
				t.Fatalf("step %d leaves half a car: %q", at, dirty)
			}
		case status != cli.StatusEnvironment:
			t.Fatalf("step %d: status %d: %s", at, status, said)
		}
	}
	run(&full{}, cli.StatusClean, words...)
	run(&full{}, cli.StatusClean, words...)
	if n := strings.TrimSpace(stockGit(t, car, "rev-list", "--count", "HEAD")); n != "3" {
		t.Errorf("received twice the history has %s commits, want 3", n)
	}
}

// handedOverAtEachStep lets steps of a handover fail, in each form of a bag. The car is then as before and there is no bag, or
// it is marked; there never is a bag of a car that is not marked. The same words then finish it, with one mark.
func handedOverAtEachStep(t *testing.T, car, bag string) {
	t.Helper()
	before := filepath.Join(t.TempDir(), "before")
	if err := os.CopyFS(before, os.DirFS(car)); err != nil {
		t.Fatal(err)
	}
	renew := func(out string) {
		t.Helper()
		if err := errors.Join(os.RemoveAll(out), os.RemoveAll(car), os.CopyFS(car, os.DirFS(before))); err != nil {
			t.Fatal(err)
		}
	}
	count := func() string { return strings.TrimSpace(stockGit(t, car, "rev-list", "--count", "HEAD")) }
	for _, out := range []string{bag + ".zip", bag + ".tar.gz", bag} {
		words := []string{"handover", "grey-tern", out, "--to", "the owner"}
		whole := &full{}
		if status, said := on(whole, words...); status != cli.StatusClean || count() != "2" {
			t.Fatalf("status %d: %s", status, said)
		}
		for at := 1; at <= whole.n; at += whole.n/10 + 1 {
			renew(out)
			status, said := on(&full{at: at, pulled: at%2 == 0}, words...)
			_, there := os.Lstat(out)
			if there == nil && count() != "2" || there != nil && status != cli.StatusEnvironment {
				t.Fatalf("step %d of %d: status %d, %s commits, bag: %v: %s", at, whole.n, status, count(), there, said)
			}
			if left, err := filepath.Glob(filepath.Join(filepath.Dir(out), ".bag*")); err != nil || len(left) > 0 {
				t.Fatalf("step %d leaves %v (%v)", at, left, err)
			}
			if there == nil {
				continue
			}
			if status, said := on(&full{}, words...); status != cli.StatusClean || count() != "2" {
				t.Fatalf("after step %d the same words end with status %d and %s commits: %s", at, status, count(), said)
			}
		}
		renew(out)
	}
}
