package main

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/cli"
	"boltback/records"
)

// TestTheProgramSaysWhatIsWrongWithTheTroubledCar looks for what the replay of the work and the sums have to find.
func TestTheProgramSaysWhatIsWrongWithTheTroubledCar(t *testing.T) {
	car, err := filepath.Abs("../../records/sample/" + records.Troubled)
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]string{}
	for _, trouble := range records.Troubles() {
		if trouble.Verb == "" {
			continue
		}
		if said[trouble.Verb] == "" {
			said[trouble.Verb] = onOneLine(t, trouble.Verb, car, "--on", "2026-11-01")
		}
		if !strings.Contains(said[trouble.Verb], trouble.Says) {
			t.Errorf("%s: %s does not say %q of %s", trouble.What, trouble.Verb, trouble.Says, trouble.Record)
		}
	}
}

// onOneLine runs the program and gives what it prints with every run of white space as one space.
func onOneLine(t *testing.T, args ...string) string {
	t.Helper()
	env := world()
	var out, errs bytes.Buffer
	env.Stdout, env.Stderr = &out, &errs
	if status := cli.Run(context.Background(), args, env); status != cli.StatusClean && status != cli.StatusFindings {
		t.Fatalf("%q: status %d: %s", args, status, errs.String())
	}
	return strings.Join(strings.Fields(out.String()), " ")
}
