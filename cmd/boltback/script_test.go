package main

import (
	"context"
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the commands print into the scripts")

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		return
	}
	testscript.Main(m, map[string]func(){"boltback": main})
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
