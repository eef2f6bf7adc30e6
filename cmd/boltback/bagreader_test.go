package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// readElsewhere has a reader of bags that shares no code with ours say whether a bag of version 1.0 is valid.
const readElsewhere = `
const verify = require(process.argv[1] + '/lib/verify.js')
verify(process.argv[2], {version: '1.0', test: true}, (err, valid, results) => {
  if (err) throw err
  if (results.length < 5) throw new Error('the reader looked at nothing')
  console.log(valid ? 'valid' : results.filter(r => r.type === 'assert' && !r.ok).map(r => r.name).join('; '))
})
`

// otherReader is the folder of that reader, the package bagit-tools with what it needs; "" where it is not here.
func otherReader(t *testing.T) string {
	t.Helper()
	at := os.Getenv("BOLTBACK_BAGIT")
	_, err := os.Stat(filepath.Join(at, "lib", "verify.js"))
	if at != "" && err == nil {
		return at
	}
	if os.Getenv("CI") != "" {
		t.Fatal("an independent reader of bags is required here: BOLTBACK_BAGIT names the folder of bagit-tools:", err)
	}
	t.Log("no independent reader of bags is here, so none was asked; BOLTBACK_BAGIT names the folder of bagit-tools")
	return ""
}

// saidElsewhere is what the other reader says of a bag: "valid", or what is not right; "" where there is none.
func saidElsewhere(t *testing.T, bag string) string {
	t.Helper()
	reader := otherReader(t)
	if reader == "" {
		return ""
	}
	out, err := exec.Command("node", "-e", readElsewhere, reader, bag).Output()
	if err != nil {
		t.Fatalf("%s: %v", bag, err)
	}
	return strings.TrimSpace(string(out))
}

// acceptedElsewhere wants a bag of ours, in a folder, to be valid for the other reader too.
func acceptedElsewhere(t *testing.T, bag string) {
	t.Helper()
	if said := saidElsewhere(t, bag); said != "" && said != "valid" {
		t.Errorf("an independent reader of bags says of %s: %s", bag, said)
	}
}

// TestTheIndependentReaderOfBagsRefusesOneThatIsNotWhole spoils a bag in three ways, or the other reader could accept anything.
func TestTheIndependentReaderOfBagsRefusesOneThatIsNotWhole(t *testing.T) {
	bag := filepath.Join(t.TempDir(), "bag")
	car := newCar(t)
	run(t, program(car, "handover", car, bag, "--copy", "--to", "the owner"))
	acceptedElsewhere(t, bag)
	for name, spoil := range map[string]func(at string) error{
		"changed": func(at string) error {
			return os.WriteFile(filepath.Join(at, "data", "RULES.md"), []byte("none"), 0o644)
		},
		"lost":  func(at string) error { return os.Remove(filepath.Join(at, "data", "RULES.md")) },
		"added": func(at string) error { return os.WriteFile(filepath.Join(at, "data", "more"), []byte("more"), 0o644) },
	} {
		at := filepath.Join(t.TempDir(), name)
		if err := os.CopyFS(at, os.DirFS(bag)); err != nil {
			t.Fatal(err)
		}
		if err := spoil(at); err != nil {
			t.Fatal(err)
		}
		if saidElsewhere(t, at) == "valid" {
			t.Errorf("%s: the independent reader finds nothing wrong", name)
		}
	}
}
