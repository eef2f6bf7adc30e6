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

// TestMendingATroubleTakesAwayWhatIsSaidOfItAlone mends one record at a time. What other records come to is said as before.
func TestMendingATroubleTakesAwayWhatIsSaidOfItAlone(t *testing.T) {
	car := filepath.Join(t.TempDir(), "courser")
	if err := os.CopyFS(car, os.DirFS("../../records/sample/"+records.Troubled)); err != nil {
		t.Fatal(err)
	}
	mended := map[string]bool{}
	for _, trouble := range records.Troubles() {
		if trouble.Verb == "" || mended[trouble.Record] {
			continue
		}
		mended[trouble.Record] = true
		file := filepath.Join(car, filepath.FromSlash(trouble.Record)+".json")
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Count(string(text), trouble.Old) != 1 {
			t.Fatalf("%s: %q does not stand there once", trouble.Record, trouble.Old)
		}
		write(t, file, strings.Replace(string(text), trouble.Old, trouble.New, 1))
		said := map[string]string{}
		for _, other := range records.Troubles() {
			if other.Verb == "" {
				continue
			}
			if said[other.Verb] == "" {
				cmd := exec.Command(built, other.Verb, car, "--on", "2026-11-01")
				out, _ := cmd.Output()
				if status := cmd.ProcessState.ExitCode(); status > 1 {
					t.Fatalf("%s: status %d", other.Verb, status)
				}
				said[other.Verb] = strings.Join(strings.Fields(string(out)), " ")
			}
			if is := strings.Contains(said[other.Verb], other.Says); is != (other.Record != trouble.Record) {
				t.Errorf("%s mended: %s says %q of %s: %v", trouble.Record, other.Verb, other.Says, other.Record, is)
			}
		}
		write(t, file, string(text))
	}
	if len(mended) < 7 {
		t.Errorf("only %d records were mended", len(mended))
	}
}
