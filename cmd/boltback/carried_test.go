package main

import (
	"context"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/json"
	"encoding/pem"
	"errors"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/crypto/ssh"

	"boltback/internal/record"
)

// carriage is a car of the sample on its way from the sample's yard into another, and the commit that it is handed over at.
type carriage struct {
	*testing.T
	from, to, car, head string
	ines                keeper
}

// ines is who hands over, with the key that she has in the sample; its seed is published with the program.
func ines(t *testing.T) keeper {
	t.Helper()
	k := signer(t, "people/tallow-lane/ines-okafor")
	seed := sha256.Sum256([]byte("boltback demo key\x00tallow-lane\x00ines-okafor"))
	block, err := ssh.MarshalPrivateKey(ed25519.NewKeyFromSeed(seed[:]), "bench")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(k.key(), pem.EncodeToMemory(block), 0o600); err != nil {
		t.Fatal(err)
	}
	return k
}

// TestEachCarOfTheSampleArrivesInAnotherYardAsItWas hands each car over, stamped, and receives it, in each form of a bag. On the
// other side commits, signatures, stamps, records, originals, dossier and reversal statement are what they were; in the bag is
// no withheld value, no object and no word of another car, and nobody of the address book whom the car does not name.
func TestEachCarOfTheSampleArrivesInAnotherYardAsItWas(t *testing.T) {
	t.Setenv("BOLTBACK_CACHE", "off")
	yard := filepath.Join(t.TempDir(), "yard")
	if _, err := world().App.Demo(context.Background(), yard); err != nil {
		t.Fatal(err)
	}
	if err := pack(yard); err != nil {
		t.Fatal(err)
	}
	run(t, program(yard, "record", "person", "people/elsewhere/stranger", "name=Thaddeus Vane-Invented"))
	run(t, program(yard, "record", "instrument", "instruments/elsewhere/plumb-bob", "name=Vane-Invented plumb bob"))
	ines := ines(t)
	type way struct {
		car   string
		forms []string
		given []string
	}
	ways := []way{
		{"tern-1500", []string{"", ".zip", ".tar.gz"}, []string{"transfers/2025-09-08-brought-in", "papers/registration-document"}},
		{"courser", []string{".zip"}, nil},
		{"sesta-700", []string{".tar.gz"}, nil},
	}
	if raced {
		ways = ways[1:2]
	}
	for _, way := range ways {
		t.Run(way.car, func(t *testing.T) {
			c := carriage{T: t, from: yard, car: way.car, ines: ines}
			ines.does(t, c.old(), "stamp", "--on", "2026-06-30")
			for i, form := range way.forms {
				c.goes(form, way.given, i == 0)
			}
		})
	}
}

func (c carriage) old() string { return filepath.Join(c.from, "cars", c.car) }
func (c carriage) new() string { return filepath.Join(c.to, "cars", c.car) }

// goes takes the car from one yard to another in one form of a bag, and looks at the bag and at both copies; at the first of
// several forms, which hold the same, more closely.
func (c carriage) goes(form string, given []string, first bool) {
	c.Helper()
	bag := filepath.Join(c.TempDir(), c.car+form)
	quay := newKeeper(c.T, "quayside", "odile")
	words := []string{"handover", c.car, bag, "--to", "Quayside", "--on", "2026-07-01"}
	if first { // another form is of the same handover
		words = append(words, "--keeper", quay.person, "--keeper-key", quay.key()+".pub")
	}
	for _, ref := range given {
		words = append(words, "--with-private", ref)
	}
	c.ines.does(c.T, c.from, words...)
	c.head = strings.TrimSpace(stockGit(c.T, c.old(), "rev-parse", "HEAD"))
	c.to = quay.yard()
	quay.does(c.T, c.to, "receive", bag, "--how", "sale", "--distance", "61540 mi", "--on", "2026-07-02")
	c.sameHistory()
	open := c.unpacked(bag, form)
	c.sameOriginals(open, given)
	acceptedElsewhere(c.T, open)
	if first {
		c.sameSignatures()
		c.samePages()
		if !raced {
			c.nothingElse(open, given)
		}
		c.sealedFor(open, given)
	}
}

// unpacked gives the folder of a bag, by way of stock tools.
func (c carriage) unpacked(bag, form string) string {
	c.Helper()
	to := c.TempDir()
	switch form {
	case ".zip":
		run(c.T, exec.Command("unzip", "-q", bag, "-d", to))
	case ".tar.gz":
		run(c.T, exec.Command("tar", "-xzf", bag, "-C", to))
	default:
		return bag
	}
	return filepath.Join(to, c.car)
}

// sameHistory holds commits, stamps and plain files against each other. The other side has one commit more, the receipt, which
// leaves every record that came as it came.
func (c carriage) sameHistory() {
	c.Helper()
	for _, words := range [][]string{
		{"log", "--format=%H %an %ae %aI", c.head},
		{"for-each-ref", "--format=%(refname) %(objectname) %(*objectname)", "refs/tags"},
		{"show", "--format=raw", "refs/tags/stamp-2026-06-30"},
		{"ls-tree", "-r", c.head},
	} {
		c.alike(words...)
	}
	if n := strings.TrimSpace(stockGit(c.T, c.new(), "rev-list", "--count", c.head+"..HEAD")); n != "1" {
		c.Errorf("%s commits came in with the receipt", n)
	}
	changed := stockGit(c.T, c.new(), "diff", "--name-only", "--diff-filter=DM", c.head, "HEAD")
	for name := range strings.Lines(changed) { // the mark, and who counts from now on and how they are called
		if !slices.Contains([]string{"ledger.json", "allowed_signers", "people/quayside/odile/person.json"}, strings.TrimSpace(name)) {
			c.Errorf("the receipt changes %s", name)
		}
	}
}

// alike wants stock git to print the same of both copies, and gives it.
func (c carriage) alike(words ...string) string {
	c.Helper()
	gave, got := stockGit(c.T, c.old(), words...), stockGit(c.T, c.new(), words...)
	if gave != got || gave == "" {
		c.Errorf("git %s gives\n%sthere, and here\n%s", strings.Join(words, " "), gave, got)
	}
	return got
}

// sameSignatures has stock tools check every signature on both sides, and the program those that count.
func (c carriage) sameSignatures() {
	c.Helper()
	signers := filepath.Join(c.old(), "allowed_signers")
	said := c.alike("-c", "gpg.format=ssh", "-c", "gpg.ssh.program=ssh-keygen", "-c", "gpg.ssh.allowedSignersFile="+signers, "log", "--format=%G? %GF %h", c.head)
	if good := strings.Count("\n"+said, "\nG "); good != strings.Count(said, "\n") || good < 25 {
		c.Errorf("%d signatures are good of\n%s", good, said)
	}
	for _, yard := range []string{c.from, c.to} {
		said := c.says(yard, "verify", c.car, "--pin", "SHA256:OOoC9lv+Hha+4hGVnK31gX1nf93vbwKpJMuIEiNF5pI")
		if !strings.Contains(said, "stamp-2026-06-30") || strings.Contains(said, "not established") || !regexp.MustCompile(`unknown key +0\n`).MatchString(said) {
			c.Errorf("verify in %s:\n%s", yard, said)
		}
	}
}

// says gives what the program prints in a yard, where it has findings too.
func (c carriage) says(yard string, words ...string) string {
	c.Helper()
	cmd := program(yard, words...)
	out, err := cmd.Output()
	var exit *exec.ExitError
	if err != nil && (!errors.As(err, &exit) || exit.ExitCode() != 1) {
		c.Fatalf("%v: %v", cmd.Args, err)
	}
	return string(out)
}

// samePages holds against each other what each yard says of the commit that was handed over, byte for byte, and has the other
// side replay the steps of the statement that was kept before.
func (c carriage) samePages() {
	c.Helper()
	for _, words := range [][]string{
		{"dossier", c.car, "--on", "2026-07-01"},
		{"dossier", c.car, "--on", "2026-07-01", "--for", "buyer", "--format", "pdf", "--out", "-"},
		{"reversal", c.car, "--on", "2026-07-01", "--json"},
	} {
		at := append(words, "--at", c.head)
		if gave, got := c.says(c.from, at...), c.says(c.to, at...); gave != got || len(gave) < 1000 {
			c.Errorf("%v: %d bytes there, and %d others here", words, len(gave), len(got))
		}
	}
	kept := filepath.Join(c.TempDir(), "statement.json")
	c.says(c.from, "reversal", c.car, "--on", "2026-07-01", "--statement", kept)
	if said := c.says(c.to, "reversal", c.car, "--recheck", kept, "--json", "--at", c.head); !strings.Contains(said, `"changes": []`) {
		c.Errorf("rechecked on the other side, the statement says\n%s", said)
	}
}

// sameOriginals wants the original of every paper that has one in the first yard, but for titles, invoices, licences and
// letters that nobody gave.
func (c carriage) sameOriginals(bag string, given []string) {
	c.Helper()
	want := map[string]string{}
	papers, err := filepath.Glob(filepath.Join(c.old(), "papers", "*.json"))
	if err != nil || len(papers) < 3 {
		c.Fatal(papers, err)
	}
	private := regexp.MustCompile("^(title|invoice|licence|letter)$")
	for _, file := range papers {
		paper := read[record.Paper](c.T, file)
		name := strings.TrimSuffix(filepath.Base(file), ".json")
		if paper.Original == nil || private.MatchString(paper.Class) && !slices.Contains(given, "papers/"+name) {
			continue
		}
		found, err := filepath.Glob(filepath.Join(c.from, "originals", string(paper.Original.Digest)+".*"))
		if err != nil {
			c.Fatal(err)
		}
		for _, at := range found {
			want[filepath.Base(at)] = text(c.T, at)
		}
	}
	for _, folder := range []string{filepath.Join(bag, "data", "originals"), filepath.Join(c.to, "originals")} {
		if got := texts(c.T, folder); len(want) == 0 || !maps.Equal(got, want) {
			c.Errorf("%s has %d originals, not the %d of the papers", folder, len(got), len(want))
		}
	}
}

// sealedFor wants those disclosures in the bag that were given, and has one that was withheld shown later, by its file alone.
func (c carriage) sealedFor(bag string, given []string) {
	c.Helper()
	all, came := texts(c.T, filepath.Join(c.from, "private", c.car)), texts(c.T, filepath.Join(bag, "data", "private"))
	shown := false
	for name, disclosure := range all {
		one, err := record.ParseDisclosure([]byte(disclosure))
		if err != nil {
			c.Fatal(err)
		}
		of := strings.TrimSuffix(one.Path, ".json")
		if slices.Contains(given, of) != (came[name] == disclosure) {
			c.Errorf("%s %s is in the bag: %t", of, one.Pointer, came[name] != "")
		}
		if slices.Contains(given, of) {
			continue
		}
		before := run(c.T, program(c.to, "show", c.car, of, "--private"))
		write(c.T, filepath.Join(c.to, "private", c.car, name), disclosure)
		after := run(c.T, program(c.to, "show", c.car, of, "--private"))
		if value := newSweep(c.T, one.Value); value.shows([]byte(before)) || !value.shows([]byte(after)) {
			c.Errorf("%s %s is shown before its file came, or not shown after", of, one.Pointer)
		}
		shown = true
	}
	if !shown && len(given) == 0 {
		c.Error("no value was withheld, so this shows nothing")
	}
}

// text reads a file.
func text(t *testing.T, file string) string {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// texts reads the files of a folder by name; there are none where it is not there.
func texts(t *testing.T, folder string) map[string]string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, at := range found {
		files[filepath.Base(at)] = text(t, at)
	}
	return files
}

// read decodes a record, or part of one.
func read[T any](t *testing.T, file string) (v T) {
	t.Helper()
	if err := json.Unmarshal([]byte(text(t, file)), &v); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return v
}
