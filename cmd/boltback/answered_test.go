package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/cli"
)

// stopped ends runs in the middle. What is on disk when a question is asked is what a kill at that moment leaves; a run that
// finds it asks only what was not answered before, and so does one after somebody said no.
func stopped(t *testing.T, s *stripDown) {
	car := newCar(t)
	args := []string{"inbox", s.folder, "--on", "2026-03-02"}
	asked, left, renamed := 0, map[int][]byte{}, false
	status, _, errs, _ := in(t, car, func(question string) string {
		left[asked] = answersIn(t, car)
		if strings.Contains(question, "Take this?") {
			if asked++; renamed {
				return ""
			}
			renamed = true
			return "1 Starter motor"
		}
		asked++
		return s.told(question)
	}, args...)
	asked-- // the no keeps nothing
	if status != cli.StatusFindings || !strings.Contains(errs, "nothing was taken") || !strings.Contains(errs, "kept for the next run") {
		t.Fatalf("status %d\n%s", status, errs)
	}
	if n := stockGit(t, car, "rev-list", "--count", "HEAD"); n != "1\n" {
		t.Errorf("%s commits", n)
	}
	if asked < 4 || left[0] != nil {
		t.Fatalf("%d questions, %q before the first", asked, left[0])
	}
	for _, killedAt := range []int{1, asked / 2, asked} {
		again := newCar(t)
		if err := os.MkdirAll(filepath.Join(again, "inbox"), 0o755); err != nil {
			t.Fatal(err)
		}
		lay(t, again, "inbox/2026-03-01-ines-okafor-pictures.json", left[killedAt])
		if killedAt == asked { // answers are about pictures, whatever these are called by now
			moved := t.TempDir()
			if err := os.CopyFS(filepath.Join(moved, "card"), os.DirFS(s.folder)); err != nil {
				t.Fatal(err)
			}
			args = []string{"inbox", moved, "--on", "2026-03-02"}
		}
		status, out, errs, b := in(t, again, s.told, args...)
		if status != 0 || b.prompts != max(1, asked-killedAt) || answersIn(t, again) != nil {
			t.Errorf("killed at %d of %d: status %d, %d prompts, left %s\n%s\n%s", killedAt, asked, status, b.prompts, answersIn(t, again), out, errs)
		}
		s.right(t, again, false)
		if _, err := os.Stat(filepath.Join(again, "parts", "starter-motor.json")); (err == nil) != (killedAt == asked) {
			t.Errorf("killed at %d of %d: the name of a line: %v", killedAt, asked, err)
		}
		if dirty := stockGit(t, again, "status", "--porcelain"); dirty != "" {
			t.Errorf("killed at %d: %s", killedAt, dirty)
		}
	}
	in(t, car, nil, append(args, "--afresh", "--dry-run")...)
	if answersIn(t, car) == nil {
		t.Error("a dry run forgot the answers")
	}
	if _, _, errs, b := in(t, car, s.told, append(args, "--afresh")...); b.prompts != asked || answersIn(t, car) != nil {
		t.Errorf("afresh: %d prompts\n%s", b.prompts, errs)
	}
}

// answersIn reads the file in which answers wait; nil where there is none.
func answersIn(t *testing.T, car string) []byte {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(car, "inbox", "*-pictures.json"))
	if err != nil || len(files) > 1 {
		t.Fatal(files, err)
	}
	if len(files) == 0 {
		return nil
	}
	text, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	return text
}
