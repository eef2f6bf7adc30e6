package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the commands print into the scripts")

// built is the program as a user builds it. It has no race detector even where the tests have one: under it most of a
// short command is its start, and the packages' own tests, which run under it, are where goroutines share anything.
var built string

func TestMain(m *testing.M) {
	os.Exit(withProgram(m.Run))
}

// withProgram builds the program, runs the tests and takes the program away.
func withProgram(tests func() int) int {
	dir, err := os.MkdirTemp("", "boltback")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer func() { _ = os.RemoveAll(dir) }()
	built = filepath.Join(dir, "boltback")
	build := exec.Command("go", "build", "-buildvcs=false", "-o", built, ".")
	if out, err := build.CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "%s: %v\n%s", build, err, out)
		return 1
	}
	return tests()
}

// TestScripts runs the program the way a person does: every verb, every exit status, and what must not change when a
// command fails.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("TZ", "UTC")
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("PATH", filepath.Dir(built)+string(os.PathListSeparator)+e.Getenv("PATH"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"status": status, "yard": yard(t), "photograph": photograph, "authority": authority},
	})
}

// status runs a program and holds its exit status against a number: status 2 boltback chekc.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N PROGRAM [ARG ...]")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if err != nil {
		if e, ok := err.(interface{ ExitCode() int }); ok {
			got = strconv.Itoa(e.ExitCode())
		} else {
			ts.Fatalf("%v", err)
		}
	}
	if got != args[0] {
		ts.Fatalf("exit status %s, want %s", got, args[0])
	}
}

// yard lays the sample out once for all scripts and gives each a copy: yard DIR.
func yard(t *testing.T) func(*testscript.TestScript, bool, []string) {
	first := sync.OnceValues(func() (string, error) {
		dir := filepath.Join(t.TempDir(), "yard")
		if _, err := world().App.Demo(context.Background(), dir); err != nil {
			return "", err
		}
		return dir, pack(dir)
	})
	return func(ts *testscript.TestScript, neg bool, args []string) {
		if neg || len(args) != 1 {
			ts.Fatalf("usage: yard DIR")
		}
		from, err := first()
		ts.Check(err)
		ts.Check(os.CopyFS(ts.MkAbs(args[0]), os.DirFS(from)))
	}
}

// pack has Git pack the objects of each repository, so that a copy is few files.
func pack(yard string) error {
	repositories, err := filepath.Glob(filepath.Join(yard, "cars", "*"))
	for _, dir := range append(repositories, filepath.Join(yard, "workshop")) {
		gc := exec.Command("git", "gc", "-q")
		gc.Dir = dir
		err = errors.Join(err, gc.Run())
	}
	return err
}
