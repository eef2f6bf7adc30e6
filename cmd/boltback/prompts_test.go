package main

import (
	"bytes"
	"errors"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Keys that end an answer otherwise than a line.
const (
	ctrlC = "\x03"
	ctrlD = "\x04"
)

// atTerminal runs the program as this keeper at a terminal, where answer gives the keys for each question. It gives the exit
// status, the questions, and all that the terminal shows.
func (k keeper) atTerminal(t *testing.T, answer func(question string) string, args ...string) (status int, questions []string, shown string) {
	t.Helper()
	words := "stty cols 200; exec '" + strings.Join(append([]string{built}, args...), "' '") + "'"
	cmd := exec.Command("script", "-qec", words, "/dev/null")
	cmd.Dir, cmd.Env = k.yard(), append(k.environment(), "SHELL=/bin/sh")
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var all bytes.Buffer
	last := 0
	for more := make([]byte, 4096); ; {
		n, err := out.Read(more)
		all.Write(more[:n])
		if question := all.String()[last:]; strings.HasSuffix(question, "[y/N] ") {
			last = all.Len()
			questions = append(questions, question[strings.LastIndex(question, "\n")+1:])
			if _, err := in.Write([]byte(answer(question))); err != nil {
				t.Fatal(err)
			}
		}
		if err != nil {
			break
		}
	}
	var exit *exec.ExitError
	if err := cmd.Wait(); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), questions, all.String()
}

// TestAHandoverAsksWhatGoesAlong answers the questions at a terminal: whoever interrupts it or hangs up hands nothing over, what
// somebody says yes to goes along and nothing else, and no question is asked where none is wanted.
func TestAHandoverAsksWhatGoesAlong(t *testing.T) {
	lane := newKeeper(t, "tallow-lane", "ines")
	lane.does(t, lane.yard(), "intake", "grey-tern", "make=Corvane")
	for _, who := range []string{"first", "second"} {
		lane.does(t, lane.car(), "record", "transfer", who, "on=2026-07-01", "how=sale", "from.sort=owner", "to.sort=owner", "to.name=Quillon Marsh-Invented "+who)
	}
	write(t, filepath.Join(lane.home, "title.txt"), "who owned it\n")
	lane.does(t, lane.car(), "record", "paper", "title", "--file", filepath.Join(lane.home, "title.txt"), "class=title")
	before, bag := lyingBelow(t, lane.yard()), filepath.Join(lane.home, "bag")
	words := []string{"handover", "grey-tern", bag, "--to", "the owner"}
	for _, c := range []struct {
		second string
		status int
		says   string
	}{{ctrlC, 130, "interrupted"}, {ctrlD, 2, "no more answers came, so nothing was handed over"}} {
		asked := 0
		status, _, shown := lane.atTerminal(t, func(string) string {
			if asked++; asked == 1 {
				return "y\n"
			}
			return c.second
		}, words...)
		if status != c.status || !strings.Contains(shown, c.says) || asked != 2 {
			t.Errorf("status %d, want %d, after %d questions:\n%s", status, c.status, asked, shown)
		}
		after := lyingBelow(t, lane.yard())
		for path := range before {
			if before[path] != after[path] {
				t.Errorf("after %q %s is another", c.says, path)
			}
		}
		if left, err := filepath.Glob(filepath.Join(lane.home, "*bag*")); err != nil || len(left) > 0 {
			t.Errorf("after %q there is %v (%v)", c.says, left, err)
		}
	}
	status, questions, shown := lane.atTerminal(t, func(question string) string {
		if strings.Contains(question, "second") || strings.Contains(question, "title") {
			return "y\n"
		}
		return "\n"
	}, words...)
	slices.Sort(questions)
	want := []string{"papers/title: give the original, a title along? [y/N] ", "transfers/2026-07-01-first: give 1 private value along? [y/N] ", "transfers/2026-07-01-second: give 1 private value along? [y/N] "}
	if status != 0 || !slices.Equal(questions, want) || !strings.Contains(shown, "1 disclosed, 1 withheld") || !strings.Contains(shown, "1 go along, 0 withheld") {
		t.Errorf("status %d, asked %q:\n%s", status, questions, shown)
	}
	if given := texts(t, filepath.Join(bag, "data", "private")); len(given) != 1 || !strings.Contains(strings.Join(slices.Collect(maps.Values(given)), ""), "Marsh-Invented second") {
		t.Errorf("given were %v", given)
	}
	if err := os.RemoveAll(bag); err != nil {
		t.Fatal(err)
	}
	status, questions, shown = lane.atTerminal(t, nil, append(words, "--no-questions")...)
	if given := texts(t, filepath.Join(bag, "data", "private")); status != 0 || len(questions)+len(given) > 0 {
		t.Errorf("status %d, asked %q, given %v:\n%s", status, questions, given, shown)
	}
}
