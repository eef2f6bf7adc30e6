package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"boltback/internal/atomicfile"
	"boltback/internal/cli"
)

// full is a disk that is full, or pulled out, from one of its operations on.
type full struct {
	at, n  int // 0 never
	pulled bool
	then   func() // what happens instead of a failure, if anything
}

func (f *full) disk() atomicfile.FS {
	return atomicfile.Intercept(atomicfile.OS{}, func(op atomicfile.Op) error {
		if op.Changes() {
			f.n++
		}
		switch {
		case f.at == 0 || f.n < f.at || f.n > f.at && !f.pulled || !op.Changes():
			return nil
		case f.then != nil:
			f.then()
			return nil
		case f.pulled:
			return errors.New("the disk is gone")
		}
		return syscall.ENOSPC
	})
}

// on runs the program with its ledgers on a disk and gives its status.
func on(f *full, args ...string) (int, string) {
	env := worldOn(f.disk())
	var out bytes.Buffer
	env.Stdout, env.Stderr = &out, &out
	status := cli.Run(context.Background(), args, env)
	return status, out.String()
}

// founded is something that a verb founds, and the repository that is then in it.
type founded struct {
	args       []string
	at, ledger string
}

// TestADiskThatFailsAtAnyStepLeavesNoHalfYardAndNoHalfCar lets each step fail by which a yard or a car is founded. There is
// then the old state or the new, and the same words work as soon as the disk does.
func TestADiskThatFailsAtAnyStepLeavesNoHalfYardAndNoHalfCar(t *testing.T) {
	t.Setenv("BOLTBACK_CACHE", "off")
	t.Setenv("BOLTBACK_PERSON", "people/quayside/odile")
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	yard := filepath.Join(t.TempDir(), "yard")
	founding := []string{"init", yard, "--workshop", "quayside", "--person", "odile"}
	t.Run("init", founded{founding, yard, filepath.Join(yard, "workshop")}.failAtEachStep)

	if status, said := on(&full{}, founding...); status != cli.StatusClean {
		t.Fatal(said)
	}
	t.Chdir(yard)
	car := filepath.Join(yard, "cars", "grey-tern")
	t.Run("intake", founded{[]string{"intake", "grey-tern", "make=Corvane"}, car, car}.failAtEachStep)
}

func (f founded) failAtEachStep(t *testing.T) {
	whole := &full{}
	f.succeed(t, whole)
	for _, disk := range []struct {
		name   string
		pulled bool
		stride int
	}{{"full", false, 1}, {"gone", true, 5}} {
		t.Run(disk.name, func(t *testing.T) {
			stride := disk.stride
			if raced {
				stride = 23
			}
			for at := 1; at <= whole.n; at += stride {
				f.fail(t, &full{at: at, pulled: disk.pulled})
				if at%20 == 1 {
					f.succeed(t, &full{})
				}
			}
		})
	}
}

// fail runs the verb on a failing disk: nothing is there then, or everything is, as only what tidies up failed.
func (f founded) fail(t *testing.T, disk *full) {
	t.Helper()
	status, said := on(disk, f.args...)
	if _, err := os.Lstat(f.at); err == nil {
		f.check(t)
	} else if status != cli.StatusEnvironment {
		t.Errorf("step %d: status %d: %s", disk.at, status, said)
	}
}

func (f founded) succeed(t *testing.T, disk *full) {
	t.Helper()
	if status, said := on(disk, f.args...); status != cli.StatusClean {
		t.Fatalf("on a sound disk: %s", said)
	}
	f.check(t)
}

// check looks with stock git whether what was founded is whole, and takes it away again.
func (f founded) check(t *testing.T) {
	t.Helper()
	stockGit(t, f.ledger, "fsck", "--strict")
	if dirty := stockGit(t, f.ledger, "status", "--porcelain"); dirty != "" || strings.TrimSpace(stockGit(t, f.ledger, "rev-list", "--count", "HEAD")) != "1" {
		t.Errorf("half a repository stands there: %q", dirty)
	}
	if err := os.RemoveAll(f.at); err != nil {
		t.Fatal(err)
	}
}
