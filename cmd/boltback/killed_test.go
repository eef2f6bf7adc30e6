package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestAKilledVerbLeavesTheOldStateOrTheNew kills each writing verb after longer and longer times, from before it has read
// anything to after it is done. Whenever it dies, the car is as before or as after, and the next run works and mends.
func TestAKilledVerbLeavesTheOldStateOrTheNew(t *testing.T) {
	for _, tc := range []struct {
		verb string
		args func(i int) []string
	}{
		{"record", func(i int) []string {
			return []string{"record", "part", fmt.Sprintf("killed-%02d", i), fmt.Sprintf("tag=%d", i)}
		}},
		{"correct", func(i int) []string {
			return []string{"correct", fmt.Sprintf("joints/wrong-%02d", i), "zone=boot", "--reason", "killed"}
		}},
		{"withdraw", func(i int) []string {
			return []string{"withdraw", fmt.Sprintf("joints/wrong-%02d", i), "--reason", "killed"}
		}},
		{"rename", func(i int) []string {
			return []string{"rename", fmt.Sprintf("joints/wrong-%02d", i), fmt.Sprintf("right-%02d", i)}
		}},
	} {
		t.Run(tc.verb, func(t *testing.T) {
			const times = 16
			car := newCar(t)
			makeJoints(t, car, times)
			for i := range times {
				before := stockGit(t, car, "rev-list", "--count", "HEAD")
				kill(t, car, time.Duration(i)*8*time.Millisecond, tc.args(i)...)
				run(t, program(car, "record", "part", fmt.Sprintf("next-%s-%02d", tc.verb, i)))
				if n := commitsSince(t, car, before); n != 1 && n != 2 {
					t.Errorf("%d commits after a kill and one more run", n)
				}
				if status := stockGit(t, car, "status", "--porcelain"); status != "" {
					t.Errorf("after a kill and one more run git sees:\n%s", status)
				}
			}
			stockGit(t, car, "fsck", "--strict")
			run(t, program(car, "check", "--on", "2099-01-01"))
		})
	}
}

// makeJoints commits, with stock git, joints for the verbs to work on.
func makeJoints(t *testing.T, car string, n int) {
	t.Helper()
	if err := os.MkdirAll(filepath.Join(car, "joints"), 0o755); err != nil {
		t.Fatal(err)
	}
	for i := range n {
		if err := os.WriteFile(filepath.Join(car, fmt.Sprintf("joints/wrong-%02d.json", i)), []byte("{\n  \"kind\": \"joint\"\n}\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	stockGit(t, car, "add", "joints")
	stockGit(t, car, "commit", "-q", "-m", "joints")
}

func kill(t *testing.T, dir string, after time.Duration, args ...string) {
	t.Helper()
	cmd := program(dir, args...)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(after)
	_ = cmd.Process.Kill() // it may be done already
	_ = cmd.Wait()
}

func commitsSince(t *testing.T, car, before string) int {
	t.Helper()
	var was, is int
	if _, err := fmt.Sscan(before, &was); err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Sscan(stockGit(t, car, "rev-list", "--count", "HEAD"), &is); err != nil {
		t.Fatal(err)
	}
	return is - was
}

func TestAKilledFoundingLeavesNothingThatLooksFinished(t *testing.T) {
	const times = 12
	for i := range times {
		root := t.TempDir()
		kill(t, root, time.Duration(i)*10*time.Millisecond, "init", "yard", "--workshop", "tallow-lane", "--person", "ines-okafor")
		yard := filepath.Join(root, "yard")
		if _, err := os.Stat(yard); err != nil {
			run(t, program(root, "init", "yard", "--workshop", "tallow-lane", "--person", "ines-okafor"))
		}
		kill(t, yard, time.Duration(i)*10*time.Millisecond, "intake", "grey-tern")
		car := filepath.Join(yard, "cars", "grey-tern")
		if _, err := os.Stat(car); err != nil {
			run(t, program(yard, "intake", "grey-tern"))
		}
		run(t, program(car, "check", "--on", "2099-01-01"))
		entries, err := os.ReadDir(filepath.Join(yard, "cars"))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if strings.HasSuffix(e.Name(), unfinished) {
				t.Errorf("%s is left behind", e.Name())
			}
		}
	}
}
