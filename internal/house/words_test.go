package house

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// unwelcome are words that do not belong into the project. It speaks of itself
// alone: nothing of the place where it was written, no promises to do something
// later. They are put together from halves, so that this file holds none of them.
var unwelcome = []struct {
	what string
	word *regexp.Regexp
}{
	{"a promise to do something later", words(`\b(`, "TO", "DO|FIX", "ME|X", `XX)\b`)},
	{"a path of the place where this was written", words(`/wo`, `rk/(main|sha`, `red|\.lib`, `rary)|\.lib`, `rary/|/tmp/br`, `ief`)},
	{"a writing tool", words(`(?i)\b(clau`, `de|anthro`, `pic|open`, `ai|chat`, `gpt|co`, `pilot|ll`, `ms?|lang`, `uage model|sub-?ag`, `ents?|ai ag`, `ents?)\b`)},
	{"a note to those who wrote it", words(`(?i)\b(the br`, `ief (says|asks|wants)|as per the br`, `ief|your br`, `ief|team ?le`, `ad|the le`, `ad (writes|wants|asks|said))\b`)},
	{"the number of an issue", words(`(?i)\b(iss`, `ue|pull req`, `uest|tick`, `et|pr) ?#\d+|\b[\w-]+/[\w.-]+#\d+`)},
	{"the host of a package registry", words(`(?i)(proxy\.gol`, `ang\.org|sum\.gol`, `ang\.org|registry\.np`, `mjs\.org|py`, `pi\.org)`)},
}

func words(halves ...string) *regexp.Regexp {
	return regexp.MustCompile(strings.Join(halves, ""))
}

func TestTheProjectSpeaksOfItselfAlone(t *testing.T) {
	err := walk(func(name string) error {
		data, err := os.ReadFile(filepath.Join(root, name))
		if err != nil || bytes.IndexByte(data, 0) >= 0 || name == "go.sum" {
			return err
		}
		for i, line := range bytes.Split(data, []byte("\n")) {
			reportUnwelcome(t, name, i+1, line)
		}
		reportUnwelcome(t, name, 0, []byte(name))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func reportUnwelcome(t *testing.T, where string, line int, text []byte) {
	t.Helper()
	for _, u := range unwelcome {
		if word := u.word.Find(text); word != nil {
			t.Errorf("%s:%d: %q is %s", where, line, word, u.what)
		}
	}
}

func TestCommitMessagesSpeakOfTheProjectAlone(t *testing.T) {
	if _, err := os.Stat(filepath.Join(root, ".git")); err != nil {
		t.Log("this is no checkout, so there are no commit messages to read")
		return
	}
	git := exec.Command("git", "-c", "safe.directory=*", "log", "--format=%h %B")
	git.Dir = root
	out, err := git.Output()
	if err != nil {
		t.Fatalf("git log: %v", err)
	}
	for i, line := range bytes.Split(out, []byte("\n")) {
		reportUnwelcome(t, "git log", i+1, line)
	}
}

func TestUnwelcomeWordsAreRecognised(t *testing.T) {
	for _, text := range []string{
		"// TO" + "DO: later", "FIX" + "ME", "see /wo" + "rk/main/x", "in .lib" + "rary/y", "by Clau" + "de", "iss" + "ue #12",
		"go-git/go" + "-git#976", "https://proxy.gol" + "ang.org", "an L" + "LM wrote", "the br" + "ief says", "a sub" + "agent",
	} {
		if !anyUnwelcome(text) {
			t.Errorf("%q passed", text)
		}
	}
	for _, text := range []string{
		"work/2021-03-04-jo-strip.json", "cars/kestrel/work/x", "positions are shared", "helpers: two", "a session at the bench",
		"the ssh agent", "a brief note", "lead the cable", "todo list", "#3 cylinder", "cylinder #3",
	} {
		if anyUnwelcome(text) {
			t.Errorf("%q was refused", text)
		}
	}
}

func anyUnwelcome(text string) bool {
	for _, u := range unwelcome {
		if u.word.MatchString(text) {
			return true
		}
	}
	return false
}
