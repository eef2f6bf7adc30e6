package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
)

// TestEveryRecordIsExportedAsALineThatReadsBackAsItself exports the sample's cars line by line and reads the lines as a script
// would: each record is there once, with the digest of its file, and written out again it is that file.
func TestEveryRecordIsExportedAsALineThatReadsBackAsItself(t *testing.T) {
	yard := sampleIn(t)
	kinds := map[record.Kind]bool{}
	for _, car := range []string{"courser", "sesta-700", "tern-1500"} {
		at := filepath.Join(yard, "cars", car)
		var exported []string
		for line := range strings.Lines(exportedAs(t, at, "jsonl")) {
			var one struct {
				File   string          `json:"file"`
				Kind   record.Kind     `json:"kind"`
				SHA256 string          `json:"sha256"`
				Record json.RawMessage `json:"record"`
			}
			if err := json.Unmarshal([]byte(line), &one); err != nil {
				t.Fatalf("%v: %s", err, line)
			}
			file := text(t, filepath.Join(at, filepath.FromSlash(one.File)))
			again, err := record.Decode(one.File, one.Record)
			if err != nil {
				t.Fatalf("%s: %v", one.File, err)
			}
			if written, err := record.Encode(again.Body); err != nil || string(written) != file || one.SHA256 != sha256Hex(file) {
				t.Errorf("%s came back as\n%s(%v)", one.File, written, err)
			}
			exported, kinds[one.Kind] = append(exported, one.File), true
		}
		if slices.Sort(exported); !slices.Equal(exported, recordFiles(t, at)) {
			t.Errorf("%s: exported were %d of %d records", car, len(exported), len(recordFiles(t, at)))
		}
	}
	if len(kinds) < 18 {
		t.Errorf("only %d kinds of record were met", len(kinds))
	}
}

func exportedAs(t *testing.T, car, form string) string {
	t.Helper()
	cmd := program(car, "export", "--as", form)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// recordFiles are the files of a car that are records, by name.
func recordFiles(t *testing.T, at string) (names []string) {
	t.Helper()
	err := filepath.WalkDir(at, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(at, path)
		if name = filepath.ToSlash(name); d.IsDir() && (name == ".git" || name == "schema" || name == "inbox") {
			return fs.SkipDir
		}
		if len(record.KindsAt(name)) > 0 {
			names = append(names, name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(names)
	return names
}

// TestEveryKindIsATableWithARowForEachOfItsRecords holds the tables of the sample's cars against their files.
func TestEveryKindIsATableWithARowForEachOfItsRecords(t *testing.T) {
	yard := sampleIn(t)
	for _, car := range []string{"courser", "sesta-700", "tern-1500"} {
		at, tables := filepath.Join(yard, "cars", car), filepath.Join(t.TempDir(), car)
		run(t, program(at, "export", "--as", "csv", "--out", tables))
		var listed []string
		for name, table := range texts(t, tables) {
			rows, err := csv.NewReader(bytes.NewBufferString(table)).ReadAll()
			if err != nil || len(rows) < 2 || rows[0][0] != "path" {
				t.Fatalf("%s: %d rows (%v)", name, len(rows), err)
			}
			for _, row := range rows[1:] {
				file := record.PathOf(record.Ref(row[0]))
				if _, err := os.Stat(filepath.Join(at, filepath.FromSlash(file))); err != nil || !slices.Contains(record.KindsAt(file), record.Kind(strings.TrimSuffix(name, ".csv"))) {
					t.Errorf("%s has a row of %s: %v", name, row[0], err)
				}
				listed = append(listed, file)
			}
		}
		slices.Sort(listed)
		if listed = slices.Compact(listed); !slices.Equal(listed, recordFiles(t, at)) {
			t.Errorf("%s: rows are of %d records, and there are %d", car, len(listed), len(recordFiles(t, at)))
		}
	}
}
