package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// program is a run of the program in a process of its own.
func program(dir string, args ...string) *exec.Cmd {
	cmd := exec.Command(built, args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "BOLTBACK_PERSON=people/tallow-lane/ines-okafor", "XDG_CONFIG_HOME="+dir, "GIT_CONFIG_NOSYSTEM=1")
	return cmd
}

// newCar makes a yard with one car and gives the car's folder.
func newCar(t *testing.T) string {
	t.Helper()
	root := t.TempDir()
	run(t, program(root, "init", "yard", "--workshop", "tallow-lane", "--person", "ines-okafor", "--person-name", "Ines Okafor"))
	yard := filepath.Join(root, "yard")
	run(t, program(yard, "intake", "grey-tern", "make=Corvane"))
	return filepath.Join(yard, "cars", "grey-tern")
}

func run(t *testing.T, cmd *exec.Cmd) string {
	t.Helper()
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", strings.Join(cmd.Args, " "), err, out)
	}
	return string(out)
}

func stockGit(t *testing.T, dir string, args ...string) string {
	t.Helper()
	cmd := exec.Command("git", args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GIT_CONFIG_NOSYSTEM=1", "GIT_CONFIG_GLOBAL=/dev/null",
		"GIT_AUTHOR_NAME=Stock", "GIT_AUTHOR_EMAIL=stock@tallow-lane.invalid", "GIT_COMMITTER_NAME=Stock", "GIT_COMMITTER_EMAIL=stock@tallow-lane.invalid")
	return run(t, cmd)
}

func TestManyProcessesRecordAtOnceAndNothingIsLost(t *testing.T) {
	car := newCar(t)
	const ours, stock = 40, 20
	var wait sync.WaitGroup
	failed := make(chan string, ours+stock)
	for i := range ours {
		wait.Go(func() {
			if out, err := program(car, "record", "part", fmt.Sprintf("part-%02d", i), fmt.Sprintf("tag=%04d", i)).CombinedOutput(); err != nil {
				failed <- fmt.Sprintf("ours %d: %v\n%s", i, err, out)
			}
		})
	}
	for i := range stock {
		wait.Go(func() { stockCommits(t, car, i) })
	}
	wait.Wait()
	close(failed)
	for f := range failed {
		t.Error(f)
	}
	names := stockGit(t, car, "ls-tree", "-r", "--name-only", "HEAD")
	for i := range ours {
		if !strings.Contains(names, fmt.Sprintf("parts/part-%02d.json", i)) {
			t.Errorf("part-%02d was reported written and is not in the last commit", i)
		}
	}
	for i := range stock {
		if !strings.Contains(names, fmt.Sprintf("joints/stock-%02d.json", i)) {
			t.Errorf("stock-%02d is not in the last commit", i)
		}
	}
	if status := stockGit(t, car, "status", "--porcelain"); status != "" {
		t.Errorf("git sees changes:\n%s", status)
	}
	stockGit(t, car, "fsck", "--strict")
	run(t, program(car, "check", "--on", "2099-01-01"))
}

// stockCommits adds and commits one file with stock git, as a patient person would: again and again while another holds
// the lock.
func stockCommits(t *testing.T, car string, i int) {
	name := fmt.Sprintf("joints/stock-%02d.json", i)
	if err := os.MkdirAll(filepath.Join(car, "joints"), 0o755); err != nil {
		t.Error(err)
		return
	}
	if err := os.WriteFile(filepath.Join(car, name), []byte("{\n  \"kind\": \"joint\"\n}\n"), 0o644); err != nil {
		t.Error(err)
		return
	}
	for range 500 {
		add := exec.Command("git", "add", name)
		add.Dir = car
		if add.Run() != nil {
			continue
		}
		commit := exec.Command("git", "-c", "user.name=Stock", "-c", "user.email=stock@tallow-lane.invalid", "commit", "-q", "-m", name, "--", name)
		commit.Dir = car
		if commit.Run() == nil {
			return
		}
	}
	t.Errorf("stock git never got to commit %s", name)
}

func TestAMergeOfTwoClonesByStockGitChecks(t *testing.T) {
	car := newCar(t)
	other := filepath.Join(t.TempDir(), "other")
	stockGit(t, car, "clone", "-q", car, other)
	run(t, program(car, "record", "part", "engine", "found=yes"))
	cmd := program(other, "record", "part", "motor", "found=no", "--as", "people/tallow-lane/ines-okafor")
	run(t, cmd)
	stockGit(t, car, "pull", "-q", "--no-rebase", "--no-edit", other, "HEAD")
	if out := run(t, program(car, "check", "--on", "2099-01-01")); !strings.Contains(out, "Nothing found") {
		t.Errorf("after the merge:\n%s", out)
	}
	for _, part := range []string{"engine", "motor"} {
		if out := run(t, program(car, "history", part)); !strings.Contains(out, "1 commit") {
			t.Errorf("the history of %s:\n%s", part, out)
		}
	}
	run(t, program(car, "record", "part", "radiator"))
	stockGit(t, car, "fsck", "--strict")
}

func TestOursAndStockGitWriteInTurns(t *testing.T) {
	car := newCar(t)
	for i := range 5 {
		run(t, program(car, "record", "part", fmt.Sprintf("ours-%d", i)))
		if err := os.WriteFile(filepath.Join(car, fmt.Sprintf("parts/theirs-%d.json", i)), []byte("{\n  \"kind\": \"part\"\n}\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		stockGit(t, car, "add", "parts")
		stockGit(t, car, "commit", "-q", "-m", "theirs")
		if status := stockGit(t, car, "status", "--porcelain"); status != "" {
			t.Fatalf("after turn %d git sees changes:\n%s", i, status)
		}
	}
	if log := stockGit(t, car, "log", "--oneline"); strings.Count(log, "\n") != 11 {
		t.Errorf("the log has not 11 commits:\n%s", log)
	}
	stockGit(t, car, "fsck", "--strict")
}
