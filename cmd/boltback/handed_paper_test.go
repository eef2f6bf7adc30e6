package main

import (
	"bytes"
	"encoding/json"
	"html"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
)

var (
	markup   = regexp.MustCompile(`(?s)<style.*?</style>|<[^>]*>`)
	inSource = regexp.MustCompile(`\[([a-z]+/[^\]:]+)`)
)

// TestTheBagHoldsWhatTheNextKeeperGoesThroughAndSigns holds the paper of a handover against what other verbs say of the same
// car: parts and stores, keys and settings, open concerns, what is due and stale, what stays behind, and the page on replay.
func TestTheBagHoldsWhatTheNextKeeperGoesThroughAndSigns(t *testing.T) {
	yard := sampleIn(t)
	for _, car := range []string{"tern-1500", "courser"} {
		at, bag := filepath.Join(yard, "cars", car), filepath.Join(t.TempDir(), car)
		p := carriage{T: t, from: yard, car: car}
		parts, due, stale := p.storedParts(), p.dueThings(), inSource.FindAllStringSubmatch(p.says(yard, "stale", car, "--on", "2026-07-01"), -1)
		run(t, program(yard, "handover", car, bag, "--to", "the owner", "--as", "people/tallow-lane/ines-okafor", "--on", "2026-07-01"))
		page := plainText(text(t, filepath.Join(bag, "data", "handover.html")))
		printed := strings.Join(strings.Fields(run(t, exec.Command("pdftotext", "-layout", filepath.Join(bag, "data", "handover.pdf"), "-"))), " ")
		from := func(heading, to string) string { return between(t, page, heading, to) }
		receipt := from("Receipt for parts off the car", "Where keys, codes and passwords are held")
		all(t, car+", parts", receipt, parts, 10)
		all(t, car+", due", from("What is due for", "What no longer describes the car"), due, 5)
		old := from("What no longer describes the car", "What is not handed over")
		for _, found := range stale {
			all(t, car+", stale", old, []string{strings.TrimSuffix(found[1], ".json")}, 1)
		}
		p.codesAndSettings(from("Where keys, codes and passwords are held", "Settings of the units"), from("Settings of the units", "Concerns that are open"))
		p.concerns(from("Concerns that are open", "What is due for"))
		var withheld []string
		for _, one := range disclosuresIn(t, filepath.Join(yard, "private", car)) {
			withheld = append(withheld, one.Pointer)
		}
		all(t, car+", withheld", from("What is not handed over", "Names"), withheld, 2)
		for _, want := range []string{"Hands over", "Receives", "Signature", "What is ticked above was seen and received"} {
			if !strings.Contains(page[strings.LastIndex(page, "Names"):], want) || !strings.Contains(printed, want) {
				t.Errorf("%s: %q is not where names are signed", car, want)
			}
		}
		if text(t, filepath.Join(bag, "data", "RULES.md")) != replay.Rules() {
			t.Errorf("%s: the page on replay is another", car)
		}
		if entries := len(stale); entries < 3 && car == "courser" {
			t.Errorf("only %d stale records of %s, %s", entries, car, at)
		}
	}
}

// plainText is what a page says, in one line.
func plainText(page string) string {
	return strings.Join(strings.Fields(html.UnescapeString(markup.ReplaceAllString(page, " "))), " ")
}

// between gives the text from the last place of one heading, which stands in the contents too, to the next of another.
func between(t *testing.T, page, heading, to string) string {
	t.Helper()
	found := regexp.MustCompile(`\d+ `+heading).FindAllStringIndex(page, -1)
	if len(found) == 0 {
		t.Fatalf("no %q in the page", heading)
	}
	part, _, closed := strings.Cut(page[found[len(found)-1][0]:], to)
	if !closed {
		t.Fatalf("no %q after %q", to, heading)
	}
	return part
}

// all wants so many words at least, and each of them in a text.
func all(t *testing.T, what, part string, words []string, least int) {
	t.Helper()
	if len(words) < least {
		t.Errorf("%s: only %d, so this shows little", what, len(words))
	}
	for _, word := range words {
		if !bytes.Contains(letters([]byte(part)), letters([]byte(word))) { // a page breaks long names, and says so between their letters
			t.Errorf("%s: %q is not in %.300q", what, word, part)
		}
	}
}

// storedParts are the parts that a stock-take would go and look for.
func (c carriage) storedParts() (list []string) {
	c.Helper()
	var said struct{ Places []struct{ Holds []string } }
	c.decode(&said, "stock-take", c.car, "--on", "2026-07-01", "--json")
	for _, place := range said.Places {
		list = append(list, place.Holds...)
	}
	return list
}

// dueThings are what falls due within a year.
func (c carriage) dueThings() (list []string) {
	c.Helper()
	var said struct{ Due []struct{ Record string } }
	c.decode(&said, "due", c.car, "--on", "2026-07-01", "--within", "365", "--json")
	for _, one := range said.Due {
		list = append(list, one.Record)
	}
	return list
}

func (c carriage) decode(into any, words ...string) {
	c.Helper()
	if err := json.Unmarshal([]byte(c.says(c.from, words...)), into); err != nil {
		c.Fatal(err)
	}
}

func (c carriage) codesAndSettings(codes, settings string) {
	c.Helper()
	for _, file := range c.records("codes") {
		code := read[record.Code](c.T, file)
		for _, held := range code.Held {
			all(c.T, c.car+", codes", codes, []string{code.Opens, held.Where}, 2)
		}
	}
	for _, file := range c.records("settings") {
		setting := read[record.Setting](c.T, file)
		all(c.T, c.car+", settings", settings, []string{setting.Name, setting.Held}, 2)
	}
}

func (c carriage) concerns(open string) {
	c.Helper()
	for _, file := range c.records("concerns") {
		if concern := read[record.Concern](c.T, file); (concern.State != "rectified") != bytes.Contains(letters([]byte(open)), letters([]byte(concern.Concern))) {
			c.Errorf("%s is %s, and open concerns are %.600q", file, concern.State, open)
		}
	}
}

// records are the files of a folder of the car.
func (c carriage) records(folder string) []string {
	c.Helper()
	found, err := filepath.Glob(filepath.Join(c.old(), folder, "*.json"))
	if err != nil || len(found) == 0 {
		c.Fatalf("%s has no %s (%v)", c.car, folder, err)
	}
	return found
}
