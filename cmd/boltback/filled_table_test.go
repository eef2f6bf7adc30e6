package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
)

// filledIn are the rows of a table that the program writes, with what somebody types into it, and the keys and cells that takes:
// every character with Shift, and the key after each cell. Drawing a cell down over those below it counts as four keys.
type filledIn struct {
	rows        [][]string
	keys, cells int
}

func tableFor(t *testing.T, car string, args ...string) *filledIn {
	t.Helper()
	text := run(t, program(car, append([]string{"sheet", "strip-down", "--table", "--who", "ines-okafor", "--on", "2026-03-02"}, args...)...))
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return &filledIn{rows: rows}
}

func (f *filledIn) types(row int, column, words string) {
	f.rows[row][slices.Index(f.rows[0], column)] = words
	f.cells++
	f.keys += len(words) + 1
}

func (f *filledIn) draws(from, to int, column string) {
	at := slices.Index(f.rows[0], column)
	for row := from + 1; row <= to; row++ {
		f.rows[row][at] = f.rows[from][at]
	}
	f.keys += 4
}

func (f *filledIn) taken(t *testing.T, car, name string) string {
	t.Helper()
	var text bytes.Buffer
	if err := csv.NewWriter(&text).WriteAll(f.rows); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, text.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return run(t, program(car, "record", "--csv", file, "--on", "2026-03-03"))
}

// TestAStripDownInATableThatWasFilledInTakesSevenMinutes fills in 80 parts with 200 fasteners of which nothing was on record,
// from tags that lie in a row; at two hundred keys a minute, as a slow typist has.
func TestAStripDownInATableThatWasFilledInTakesSevenMinutes(t *testing.T) {
	car := newCar(t)
	f := tableFor(t, car, "--blank", "90")
	for i := range 80 {
		f.types(1+i, "Part", fmt.Sprintf("bracket %02d", i+1)) // ten letters, as the names of parts have in the middle
		f.types(1+i, "Fasteners", fmt.Sprintf("%d%s", 2+i%2, []string{"m6", "m8", "x5/16", "m10"}[i%4]))
		if i%20 == 0 {
			f.types(1+i, "Crate", fmt.Sprintf("loft crate %d", i/20+1))
			f.draws(1+i, 20+i, "Crate")
		}
	}
	t.Logf("%d keys in %d cells: %.1f minutes at 200 keys a minute", f.keys, f.cells, float64(f.keys)/200)
	if f.keys > 1400 || f.cells > 170 {
		t.Errorf("%d keys in %d cells", f.keys, f.cells)
	}
	out := f.taken(t, car, "strip-down.csv")
	if n := strings.Count(out, "left out: nothing stands behind its tag"); n != 10 {
		t.Errorf("%d empty rows are left out:\n%s", n, out)
	}
	tags, _ := linesOf(t, car)
	if len(tags) != 80 || !strings.HasPrefix(tags[0], "0001-") || fastenersOf(t, car) != 200 {
		t.Errorf("%d lines, %d fasteners, %q first", len(tags), fastenersOf(t, car), tags[0])
	}

	known := tableFor(t, car, "--blank", "0")
	if len(known.rows) != 1 {
		t.Errorf("%d rows of parts that are off the car", len(known.rows)-1)
	}
}

// TestPartsOnRecordAreMarkedAndNotNamed counts the same where the parts were on record before.
func TestPartsOnRecordAreMarkedAndNotNamed(t *testing.T) {
	car := newCar(t)
	for i := range 6 {
		write(t, filepath.Join(car, "parts", fmt.Sprintf("bracket-%d.json", i)), fmt.Sprintf("{\n  \"kind\": \"part\",\n  \"name\": \"Bracket %d\",\n  \"found\": \"yes\",\n  \"tag\": \"%04d\"\n}\n", i, 200+i))
	}
	stockGit(t, car, "add", "parts")
	stockGit(t, car, "commit", "-q", "-m", "parts")
	f := tableFor(t, car, "--blank", "2")
	f.types(1, "Done", "x")
	f.draws(1, 4, "Done")
	if f.keys != 6 || len(f.rows) != 1+6+2 {
		t.Errorf("%d keys, %q", f.keys, f.rows)
	}
	out := f.taken(t, car, "strip-down.csv")
	tags, _ := linesOf(t, car)
	if !slices.Equal(tags, []string{"0200", "0201", "0202", "0203"}) || strings.Count(out, "left out: it is not marked as done") != 2 || strings.Count(out, "nothing stands behind its tag") != 2 {
		t.Errorf("%q\n%s", tags, out)
	}
}

func fastenersOf(t *testing.T, car string) (n int64) {
	t.Helper()
	sessions, err := filepath.Glob(filepath.Join(car, "work", "*.json"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range sessions {
		var session record.Session
		decode(t, path, &session)
		for _, l := range session.Lines {
			n += l.Fasteners
		}
	}
	return n
}
