package replay_test

import (
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"boltback/internal/replay"
)

// The page can be followed: every section it points at is there, and its items are numbered in a row.
func TestThePageOfRulesPointsAtSectionsThatAreThere(t *testing.T) {
	items := map[string]bool{}
	section, last := "", 0
	for line := range strings.Lines(replay.Rules()) {
		if m := regexp.MustCompile(`^## (\d+)\. `).FindStringSubmatch(line); m != nil {
			section, last = m[1], 0
		}
		if m := regexp.MustCompile(`^(\d+)\. `).FindStringSubmatch(line); m != nil {
			if last++; m[1] != strconv.Itoa(last) {
				t.Errorf("section %s has item %s where %d would follow", section, m[1], last)
			}
			items[section+"."+m[1]] = true
		}
	}
	named := regexp.MustCompile(`\b\d\.\d+\b`).FindAllString(replay.Rules(), -1)
	if len(named) < 10 {
		t.Fatalf("the page points at %d places: the test does not read it", len(named))
	}
	for _, item := range named {
		if !items[item] {
			t.Errorf("the page points at %s, which is not there", item)
		}
	}
}

// What the program calls a doubt is what the page calls it, in both directions.
func TestTheDoubtsOfThePageAreThoseOfTheCode(t *testing.T) {
	var coded []string
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if name := f.Name(); strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go") {
			src, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range regexp.MustCompile(`(?:e\.doubt\(|Code: )"([a-z-]+)"`).FindAllStringSubmatch(string(src), -1) {
				coded = append(coded, m[1])
			}
		}
	}
	var written []string
	for _, m := range regexp.MustCompile(`\*\*([a-z]+(?:-[a-z]+)+)\.?\*\*`).FindAllStringSubmatch(replay.Rules(), -1) {
		written = append(written, m[1])
	}
	slices.Sort(coded)
	slices.Sort(written)
	coded, written = slices.Compact(coded), slices.Compact(written)
	if !slices.Equal(coded, written) {
		t.Errorf("in the code %v\non the page %v", coded, written)
	}
}
