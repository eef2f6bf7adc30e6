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

// TestTwoBenchesOnClonesMergeOrSaySo lets two people work on clones of one car and has stock git merge them. Where they
// touched no common path there is no conflict; where they did, git leaves markers that check finds, or both changes are there;
// and every line of the merged files is in one of the parents.
func TestTwoBenchesOnClonesMergeOrSaySo(t *testing.T) {
	origin := newCar(t)
	run(t, program(origin, "record", "part", "engine", "name=Engine", "found=yes", "position=engine bay", "mass=118 kg", "tag=0100", "maker=Corvane", "note=as found"))
	run(t, program(origin, "record", "part", "radiator", "name=Radiator", "found=yes"))
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
		met[mergeAndJudge(t, ours, theirs)]++
	}
	t.Logf("%v", met)
	if !raced && (met["apart"] == 0 || met["conflict"] == 0) {
		t.Errorf("the benches met too seldom or too often to show anything: %v", met)
	}
}

// mergeAndJudge merges theirs into ours by stock git, and says what came of it.
func mergeAndJudge(t *testing.T, ours, theirs string) string {
	t.Helper()
	stockGit(t, ours, "fetch", "-q", theirs, "HEAD:theirs")
	base := strings.TrimSpace(stockGit(t, ours, "merge-base", "HEAD", "theirs"))
	common := false
	touched := strings.Fields(stockGit(t, ours, "diff", "--name-only", base, "HEAD"))
	for _, path := range strings.Fields(stockGit(t, ours, "diff", "--name-only", base, "theirs")) {
		common = common || slices.Contains(touched, path)
	}
	head := strings.TrimSpace(stockGit(t, ours, "rev-parse", "HEAD"))
	merge := exec.Command("git", "-c", "user.name=Stock", "-c", "user.email=stock@tallow-lane.invalid", "merge", "-q", "--no-edit", "theirs")
	merge.Dir = ours
	out, err := merge.CombinedOutput()
	marked := everyLineHasAParent(t, ours, head)
	check, checkErr := program(ours, "check", "--on", "2099-01-01").CombinedOutput()
	switch {
	case !common && err != nil:
		t.Errorf("they touched no common path, and git says:\n%s", out)
	case err != nil && !marked:
		t.Errorf("a conflict without a marker:\n%s", out)
	case err != nil && checkErr == nil:
		t.Errorf("markers lie in a record, and check finds nothing:\n%s", check)
	case err == nil && marked:
		t.Error("markers without a conflict")
	case !common:
		return "apart"
	case err != nil:
		return "conflict"
	}
	bothAreThere(t, ours, base, head)
	return "both"
}

// everyLineHasAParent holds each line of each record against the two parents, and says whether there are markers.
func everyLineHasAParent(t *testing.T, car, head string) (marked bool) {
	t.Helper()
	for _, path := range strings.Fields(stockGit(t, car, "ls-files", "--", "parts", "joints", "work", "people", "inbox")) {
		text, err := os.ReadFile(filepath.Join(car, path))
		if err != nil {
			t.Fatal(err)
		}
		parents := linesAt(car, head, path)
		parents = append(parents, linesAt(car, "theirs", path)...)
		for line := range strings.SplitSeq(string(text), "\n") {
			if strings.HasPrefix(line, "<<<<<<<") || strings.HasPrefix(line, ">>>>>>>") || line == "=======" {
				marked = true
				continue
			}
			if line != "" && !slices.Contains(parents, line) {
				t.Errorf("%s has a line that no parent has: %s", path, line)
			}
		}
	}
	return marked
}

// linesAt gives the lines of a file at a commit; none where it is not there.
func linesAt(car, commit, path string) []string {
	cmd := exec.Command("git", "show", commit+":"+path)
	cmd.Dir = car
	out, err := cmd.Output()
	if err != nil {
		return nil
	}
	return strings.Split(string(out), "\n")
}

// bothAreThere says that nothing either side added is missing from a merge without conflict.
func bothAreThere(t *testing.T, car, base, head string) {
	t.Helper()
	for _, side := range []string{head, "theirs"} {
		for _, path := range strings.Fields(stockGit(t, car, "diff", "--name-only", base, side)) {
			merged, before := linesAt(car, "HEAD", path), linesAt(car, base, path)
			for _, line := range linesAt(car, side, path) {
				bare := strings.TrimSuffix(line, ",")
				if !slices.Contains(before, line) && !slices.Contains(merged, bare) && !slices.Contains(merged, bare+",") {
					t.Errorf("%s lost what %s said: %s", path, side, line)
				}
			}
		}
	}
}
