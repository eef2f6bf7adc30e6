package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
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

// TestTheREADMEsFirstDayOfTheNextOwnerWorksAsItStands types the lines of that day in the yard of a next owner, beside a bag of
// that name: the car is received, its parts off the car and what falls due are listed, a first service is told line by line,
// and a dossier shows it.
func TestTheREADMEsFirstDayOfTheNextOwnerWorksAsItStands(t *testing.T) {
	_, rest, ok := strings.Cut(text(t, "../../README.md"), "next owner's first day:\n\n")
	day, _, closed := strings.Cut(rest, "\n\n")
	if !ok || !closed {
		t.Fatal("the README has no first day of the next owner")
	}
	lane, quay := newKeeper(t, "tallow-lane", "ines"), newKeeper(t, "quayside", "odile")
	lane.does(t, lane.yard(), "intake", "grey-tern", "make=Corvane", "model=Tern 1500")
	lane.tells(t, "boltback record grey-tern", "off 0147 fuel tank, loft crate 3\ndone\n")
	lane.does(t, lane.yard(), "handover", "grey-tern", filepath.Join(quay.yard(), "grey-tern-bag"), "--to", "the next owner", "--keeper", quay.person, "--keeper-key", quay.key()+".pub")
	said := map[string]string{}
	for line := range strings.Lines(day) {
		line = strings.TrimSpace(line)
		said[strings.Fields(line)[1]] = quay.tells(t, line, "seen fuel tank, loft crate 3\ndone\n")
	}
	for verb, want := range map[string]string{
		"receive": "so the records go on without a break", "stock-take": "uel tank", "due": "due", "record": "work/", "dossier": "",
	} {
		if got, typed := said[verb]; !typed || !strings.Contains(got, want) {
			t.Errorf("%s says\n%s", verb, got)
		}
	}
	dossier := text(t, filepath.Join(quay.yard(), "dossier.html"))
	for _, want := range []string{"61540 mi", "0147", "odile"} {
		if !strings.Contains(dossier, want) {
			t.Errorf("%q is not in the dossier", want)
		}
	}
	if n := len(quay.commits(t)); n != 5 {
		t.Errorf("the car has %d commits in the evening, not 5", n)
	}
}

// tells has a shell run a line in this keeper's yard, at a terminal on which something is typed.
func (k keeper) tells(t *testing.T, line, told string) string {
	t.Helper()
	cmd := exec.Command("script", "-qec", "stty cols 200; "+line, "/dev/null")
	cmd.Dir, cmd.Stdin = k.yard(), strings.NewReader(told)
	cmd.Env = append(k.environment(), "SHELL=/bin/sh", "PATH="+filepath.Dir(built)+string(os.PathListSeparator)+os.Getenv("PATH"))
	return run(t, cmd)
}
