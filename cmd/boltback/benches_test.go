package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// deed is one thing that somebody does at a bench.
type deed struct {
	how, name, field string
	lines            []string
}

// deeds draws what is done at one bench: parts recorded or edited, from so few names and fields that two benches often meet,
// and work told line by line, which is a record of its own.
func deeds(bench string) *rapid.Generator[[]deed] {
	one := rapid.Custom(func(t *rapid.T) deed {
		name := rapid.SampledFrom([]string{"engine", "radiator", "horn", "lamp-" + bench}).Draw(t, "name")
		value := rapid.IntRange(1, 3).Draw(t, "value")
		switch rapid.IntRange(0, 3).Draw(t, "how") {
		case 0:
			return deed{how: "steps", name: bench, lines: []string{fmt.Sprintf("move %s, crate %d", name, value), "done"}}
		case 1:
			return deed{how: "part", name: name, field: fmt.Sprintf("mass=%d kg", value)}
		case 2:
			return deed{how: "part", name: name, field: fmt.Sprintf("tag=%04d", value)}
		}
		return deed{how: "part", name: name, field: fmt.Sprintf("note=seen %d times", value)}
	})
	return rapid.SliceOfN(one, 1, 3)
}

func (d deed) do(t *testing.T, car string) {
	t.Helper()
	if d.how == "part" {
		run(t, program(car, "record", "part", d.name, d.field))
		return
	}
	cmd := program(car, "record", "--steps", "--as", "people/tallow-lane/"+d.name)
	cmd.Stdin = strings.NewReader(strings.Join(d.lines, "\n") + "\n")
	run(t, cmd)
}

// TestTwoBenchesOnClonesMergeOrSaySo lets two people work on clones of one car and has stock git bring them together. Where
// they touched no common path there is no conflict; where they did, git stops and check says of which file, and no file is
// ever put together out of two: every record is, byte by byte, as one of the parents has it.
func TestTwoBenchesOnClonesMergeOrSaySo(t *testing.T) {
	origin := newCar(t)
	run(t, program(origin, "record", "part", "engine", "name=Engine", "found=yes", "position=engine bay", "mass=118 kg", "tag=0100", "maker=Corvane", "note=as found"))
	run(t, program(origin, "record", "part", "radiator", "name=Radiator", "found=yes"))
	write(t, filepath.Join(origin, "..", "..", "workshop", "people", "tallow-lane", "bram-ostler", "person.json"),
		"{\n  \"kind\": \"person\",\n  \"name\": \"Bram Ostler\",\n  \"workshop\": \"tallow-lane\"\n}\n")
	deed{how: "steps", name: "bram-ostler", lines: []string{"move jack, crate 9", "done"}}.do(t, origin)
	rounds := 10
	if raced {
		rounds = 2
	}
	met := map[string]int{}
	for seed := range rounds {
		ours, theirs := filepath.Join(t.TempDir(), "ours"), filepath.Join(t.TempDir(), "theirs")
		for _, clone := range []string{ours, theirs} {
			stockGit(t, origin, "clone", "-q", origin, clone)
		}
		for _, d := range deeds("ines-okafor").Example(2*seed + 1) {
			d.do(t, ours)
		}
		for _, d := range deeds("bram-ostler").Example(2*seed + 2) {
			d.do(t, theirs)
		}
		met[bringTogether(t, ours, theirs, []string{"merge", "-q", "--no-edit"})]++
	}
	t.Logf("%v", met)
	if !raced && (met["apart"] == 0 || met["conflict"] == 0) {
		t.Errorf("the benches met too seldom or too often to show anything: %v", met)
	}
}

// TestTwoMembersOfOneRecordAreNotPutTogetherUnread has two benches add what stands lines apart in one record, which git would
// otherwise put together without a word, by a merge and by a rebase.
func TestTwoMembersOfOneRecordAreNotPutTogetherUnread(t *testing.T) {
	origin := newCar(t)
	run(t, program(origin, "record", "part", "engine", "name=Engine", "found=yes", "position=engine bay", "maker=Corvane", "note=as found"))
	for _, how := range [][]string{{"merge", "-q", "--no-edit"}, {"rebase", "-q"}} {
		ours, theirs := filepath.Join(t.TempDir(), "ours"), filepath.Join(t.TempDir(), "theirs")
		for clone, change := range map[string]string{ours: "note=seen twice", theirs: "name=The engine"} {
			stockGit(t, origin, "clone", "-q", origin, clone)
			run(t, program(clone, "record", "part", "engine", change))
		}
		if got := bringTogether(t, ours, theirs, how); got != "conflict" {
			t.Errorf("%s: %s", how[0], got)
		}
		out, err := program(ours, "check", "--on", "2099-01-01").CombinedOutput()
		if err == nil || !strings.Contains(string(out), "parts/engine.json:1:1: this was changed at two benches") {
			t.Errorf("%s: check says\n%s", how[0], out)
		}
		stockGit(t, ours, "add", "parts/engine.json")
		stockGit(t, ours, "-c", "core.editor=true", how[0], "--continue")
		if out := run(t, program(ours, "check", "--on", "2099-01-01")); strings.Contains(out, "two benches") {
			t.Errorf("%s: somebody has chosen, and check says\n%s", how[0], out)
		}
		if out := run(t, program(ours, "history", "engine")); how[0] == "merge" && (!strings.Contains(out, "seen twice") || !strings.Contains(out, "The engine")) {
			t.Errorf("%s: what was not chosen stays in the history:\n%s", how[0], out)
		}
	}
}

// bringTogether has stock git merge or rebase onto theirs in ours, and says what came of it.
func bringTogether(t *testing.T, ours, theirs string, how []string) string {
	t.Helper()
	stockGit(t, ours, "fetch", "-q", theirs, "HEAD:theirs")
	base := strings.TrimSpace(stockGit(t, ours, "merge-base", "HEAD", "theirs"))
	head := strings.TrimSpace(stockGit(t, ours, "rev-parse", "HEAD"))
	common := commonPath(t, ours, base, head)
	merge := exec.Command("git", append(append([]string{"-c", "user.name=Stock", "-c", "user.email=stock@tallow-lane.invalid"}, how...), "theirs")...)
	merge.Dir = ours
	out, err := merge.CombinedOutput()
	everyRecordHasAParent(t, ours, base, head)
	check, checkErr := program(ours, "check", "--on", "2099-01-01").CombinedOutput()
	switch {
	case common == "" && err != nil:
		t.Errorf("they touched no common path, and git says:\n%s", out)
	case common != "" && err == nil:
		t.Errorf("both changed %s, and git put it together", common)
	case err != nil && (checkErr == nil || !strings.Contains(string(check), "[merge-open]")):
		t.Errorf("git keeps two versions of %s, and check says\n%s", common, check)
	case common == "" && checkErr != nil:
		t.Errorf("check after a merge without conflict:\n%s", check)
	case err != nil:
		return "conflict"
	}
	return "apart"
}

// commonPath gives a file that both sides changed, each in its own way, or "".
func commonPath(t *testing.T, car, base, head string) string {
	t.Helper()
	touched := strings.Fields(stockGit(t, car, "diff", "--name-only", base, head))
	for _, path := range strings.Fields(stockGit(t, car, "diff", "--name-only", base, "theirs")) {
		if slices.Contains(touched, path) && textAt(car, head, path) != textAt(car, "theirs", path) {
			return path
		}
	}
	return ""
}

// everyRecordHasAParent holds each record of the folder against the versions that the two sides committed.
func everyRecordHasAParent(t *testing.T, car, base, head string) {
	t.Helper()
	for _, path := range strings.Fields(stockGit(t, car, "ls-files", "--", "parts", "joints", "work", "people", "inbox")) {
		text, err := os.ReadFile(filepath.Join(car, path))
		if err != nil {
			t.Fatal(err)
		}
		found := textAt(car, base, path) == string(text)
		for _, commit := range strings.Fields(stockGit(t, car, "rev-list", "^"+base, head, "theirs")) {
			found = found || textAt(car, commit, path) == string(text)
		}
		if !found {
			t.Errorf("%s is as no bench ever had it:\n%s", path, text)
		}
	}
}

// textAt gives a file at a commit; "" where it is not there.
func textAt(car, commit, path string) string {
	cmd := exec.Command("git", "show", commit+":"+path)
	cmd.Dir = car
	out, err := cmd.Output()
	if err != nil {
		return ""
	}
	return string(out)
}
