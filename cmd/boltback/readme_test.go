package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/cli"
)

// TestTheREADMEShowsWhatTheProgramPrints runs the README's check on the sample and compares it with the text under it.
func TestTheREADMEShowsWhatTheProgramPrints(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(readme), "```text\n")
	want, _, closed := strings.Cut(rest, "```")
	if !ok || !closed {
		t.Fatal("the README shows no output")
	}
	env := world()
	dir := filepath.Join(t.TempDir(), "demo-yard")
	if _, err := env.App.Demo(context.Background(), dir); err != nil {
		t.Fatal(err)
	}
	var out, errs bytes.Buffer
	env.Stdout, env.Stderr = &out, &errs
	if status := cli.Run(context.Background(), []string{"check", filepath.Join(dir, "cars", "tern-1500"), "--on", "2026-11-01"}, env); status != cli.StatusClean {
		t.Errorf("status %d: %s", status, errs.String())
	}
	if out.String() != want {
		t.Errorf("the program prints\n%s\nand the README shows\n%s", out.String(), want)
	}
}
