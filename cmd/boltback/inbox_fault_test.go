package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/cli"
)

// TestADiskThatFailsWhilePicturesAreTakenInLosesNoneAndDoublesNone lets the steps fail by which a day's pictures come in. The
// ledger is then as it was or as it is to be, no original is half there, and the same words end it on a sound
// disk.
func TestADiskThatFailsWhilePicturesAreTakenInLosesNoneAndDoublesNone(t *testing.T) {
	folder := t.TempDir()
	for i, s := range []snap{{text: "BENCH:TAG/0101-2"}, {}, {text: "BENCH:TAG/0102-0"}} {
		s.camera, s.taken, s.seed = "F3", fmt.Sprintf("2026:03:02 08:0%d:00", i), uint64(i+1)
		file, err := s.file()
		if err != nil {
			t.Fatal(err)
		}
		lay(t, folder, fmt.Sprintf("%d.jpg", i), file)
	}
	fresh := filepath.Dir(filepath.Dir(newCar(t)))
	t.Setenv("BOLTBACK_CACHE", "off")
	t.Setenv("BOLTBACK_PERSON", "people/tallow-lane/ines-okafor")
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	taken := func(disk *full) (yard string, status int) {
		yard = filepath.Join(t.TempDir(), "yard")
		if err := os.CopyFS(yard, os.DirFS(fresh)); err != nil {
			t.Fatal(err)
		}
		t.Chdir(filepath.Join(yard, "cars", "grey-tern"))
		status, _ = on(disk, "inbox", folder, "--yes", "--on", "2026-03-02")
		return yard, status
	}
	whole := &full{}
	if _, status := taken(whole); status != cli.StatusClean || whole.n < 10 {
		t.Fatalf("on a sound disk: status %d after %d steps", status, whole.n)
	}
	stride := 11
	if raced {
		stride = 41
	}
	for at := 1; at <= whole.n; at += stride {
		yard, status := taken(&full{at: at, pulled: at%2 == 0})
		car := filepath.Join(yard, "cars", "grey-tern")
		if commits := strings.TrimSpace(stockGit(t, car, "rev-list", "--count", "HEAD")); commits == "1" && status != cli.StatusEnvironment {
			t.Errorf("step %d: status %d, and nothing was taken", at, status)
		}
		if status, said := on(&full{}, "inbox", folder, "--yes", "--on", "2026-03-02"); status != cli.StatusClean {
			t.Fatalf("step %d: the next run: status %d: %s", at, status, said)
		}
		if commits, dirty := stockGit(t, car, "rev-list", "--count", "HEAD"), stockGit(t, car, "status", "--porcelain"); commits != "2\n" || dirty != "" {
			t.Errorf("step %d: %s commits, and %q", at, commits, dirty)
		}
		wholeOriginals(t, filepath.Join(yard, "originals"), 3)
	}
}

// wholeOriginals holds each original against its name.
func wholeOriginals(t *testing.T, folder string, want int) {
	t.Helper()
	files, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, f := range files {
		if strings.HasPrefix(f.Name(), ".") {
			continue // what a pulled disk left of a temporary file; nobody takes it for anything
		}
		n++
		content, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if digest, _, _ := strings.Cut(f.Name(), "."); err != nil || canon.Digest(content) != digest {
			t.Errorf("%s is not what its name says, %v", f.Name(), err)
		}
	}
	if n != want {
		t.Errorf("%d originals, and not %d", n, want)
	}
}

// TestADiskThatFailsWhileAnAnswerIsSavedLosesNoneThatWasGoneOnFrom lets each step fail by which answers about pictures are kept.
// Whoever was asked the next question is not asked the one before it again, and what is taken in the end is right.
func TestADiskThatFailsWhileAnAnswerIsSavedLosesNoneThatWasGoneOnFrom(t *testing.T) {
	s := photographStripDown(t, 10, 24)
	t.Setenv("BOLTBACK_CACHE", "off")
	fresh := filepath.Dir(filepath.Dir(newCar(t)))
	asked := func(disk *full, answer func(string) string) (car string, status int, errs string, prompts int) {
		yard := filepath.Join(t.TempDir(), "yard")
		if err := os.CopyFS(yard, os.DirFS(fresh)); err != nil {
			t.Fatal(err)
		}
		car = filepath.Join(yard, "cars", "grey-tern")
		status, _, errs, b := inOn(t, disk, car, answer, "inbox", s.folder, "--on", "2026-03-02")
		return car, status, errs, b.prompts
	}
	all := &full{}
	_, _, _, questions := asked(all, func(question string) string { // all but the last, so that no step is one of taking
		return strings.Replace(s.told(question), "y", "n", 1)
	})
	t.Logf("%d steps for %d questions", all.n, questions)
	if questions < 7 || all.n < 3*questions {
		t.Fatalf("%d questions, saved in %d steps", questions, all.n)
	}
	first, stride := 1, 7 // an answer is kept in six steps, so that each of them fails once
	if raced {
		first, stride = 20, all.n
	}
	for at := first; at <= all.n; at += stride {
		car, status, errs, prompts := asked(&full{at: at, pulled: at%2 == 0}, s.told)
		if status != cli.StatusEnvironment || !strings.Contains(errs, "save") {
			t.Errorf("step %d: status %d\n%s", at, status, errs)
		}
		if n := stockGit(t, car, "rev-list", "--count", "HEAD"); n != "1\n" {
			t.Errorf("step %d: %s commits", at, n)
		}
		status, _, errs, b := inOn(t, &full{}, car, s.told, "inbox", s.folder, "--on", "2026-03-02")
		if status != 0 || b.prompts > questions-(prompts-1) || answersIn(t, car) != nil {
			t.Errorf("step %d: %d questions were asked before, then %d of %d: status %d\n%s", at, prompts, b.prompts, questions, status, errs)
		}
		s.right(t, car, false)
		if dirty := stockGit(t, car, "status", "--porcelain"); dirty != "" {
			t.Errorf("step %d: git sees %s", at, dirty)
		}
	}
}
