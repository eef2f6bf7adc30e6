package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/cli"
)

// tellOn tells lines on a disk and gives the status and what was said back.
func tellOn(f *full, lines string) (status int, said string) {
	env := worldOn(f.disk())
	var out, errs bytes.Buffer
	env.Stdin, env.Stdout, env.Stderr = strings.NewReader(lines), &out, &errs
	status = cli.Run(context.Background(), []string{"record", "--steps"}, env)
	return status, out.String()
}

// TestADiskThatFailsLosesNoLineThatWasSaidBack lets each step fail by which lines are saved and written into the ledger. What
// was said back is there when the disk works again, and after done every part is in the ledger once.
func TestADiskThatFailsLosesNoLineThatWasSaidBack(t *testing.T) {
	t.Setenv("BOLTBACK_CACHE", "off")
	t.Setenv("BOLTBACK_PERSON", "people/tallow-lane/ines-okafor")
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Chdir(newCar(t))
	const book = "../../workshop"
	start, bookStart := strings.TrimSpace(stockGit(t, ".", "rev-parse", "HEAD")), strings.TrimSpace(stockGit(t, book, "rev-parse", "HEAD"))
	const lines = "off 0200 lamp, 2x M6, attic crate 3\noff 0201 horn\ndone\n" // a store that nobody named before is of two repositories
	whole := &full{}
	if status, said := tellOn(whole, lines); status != cli.StatusClean {
		t.Fatal(said)
	}
	stride := 3
	if raced {
		stride = 11
	}
	for at := 1; at <= whole.n+2; at += stride {
		stockGit(t, ".", "reset", "-q", "--hard", start)
		stockGit(t, book, "reset", "-q", "--hard", bookStart)
		_, said := tellOn(&full{at: at, pulled: at%2 == 0}, lines)
		tellOn(&full{}, "list\ndone\n")
		work, err := filepath.Glob("work/*.json")
		if err != nil {
			t.Fatal(err)
		}
		text := ""
		for _, w := range work {
			one, err := os.ReadFile(w)
			if err != nil {
				t.Fatal(err)
			}
			text += string(one)
		}
		for _, part := range []string{"parts/lamp", "parts/horn"} {
			told := strings.Contains(said, "removal of "+part)
			if n := strings.Count(text, `"`+part+`"`); told && n != 1 || n > 1 {
				t.Errorf("fault at %d: %s was said back: %v, and stands %d times in the sessions", at, part, told, n)
			}
		}
		if len(work) == 0 { // nothing had been said back: then the same lines work now
			if status, again := tellOn(&full{}, lines); status != cli.StatusClean {
				t.Errorf("fault at %d: afterwards %d\n%s", at, status, again)
			}
		}
		for _, kind := range []string{"part", "store"} { // the next writer of either repository clears locks away
			if status, said := on(&full{}, "record", kind, "mended"); status != cli.StatusClean {
				t.Errorf("fault at %d: the next writer: %d\n%s", at, status, said)
			}
		}
		if left := stockGit(t, ".", "status", "--porcelain") + stockGit(t, book, "status", "--porcelain"); left != "" {
			t.Errorf("fault at %d: git sees\n%s", at, left)
		}
		for _, of := range []string{".", book} {
			if _, err := os.Stat(filepath.Join(of, "stores/tallow-lane/attic/store.json")); err != nil {
				t.Errorf("fault at %d: the new store: %v", at, err)
			}
		}
	}
}
