package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/columns"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/table"
)

// Exported is a car's records for other programs.
type Exported struct {
	Files []ExportedFile
	// Withheld counts the private values of which no more than the digest goes out.
	Withheld int
	// Unread are the files that lie where records lie and cannot be read, and so are not in it.
	Unread []string
}

// ExportedFile is one table, or all records line by line. Changed are the cells that a spreadsheet would have computed.
type ExportedFile struct {
	Name    string
	Content []byte
	Rows    int
	Changed []table.Spot
}

// Export gives the records of a car, all kinds or one, as tables (csv, a file for each kind) or as one file with a record a
// line (jsonl).
func (e Env) Export(car Car, at, form string, kind record.Kind) (Exported, error) {
	s, _, err := e.At(car, at)
	if err != nil {
		return Exported{}, err
	}
	var x Exported
	for _, u := range s.AllUnread() {
		if kind == "" || u.Kind == "" || u.Kind == kind {
			x.Unread = append(x.Unread, u.Path)
		}
	}
	kinds := record.Kinds()
	if kind != "" {
		kinds = []record.Kind{kind}
	}
	if form == "jsonl" {
		return x, x.lines(s, car, kinds)
	}
	for _, k := range kinds {
		if kind != "" || len(s.OfKind(k)) > 0 {
			if err := x.table(s, k); err != nil {
				return x, err
			}
		}
	}
	return x, nil
}

func (x *Exported) table(s *ledger.Snapshot, kind record.Kind) error {
	l := columns.List(s, kind)
	var file bytes.Buffer
	changed, err := table.Write(&file, l.Header, l.Rows)
	x.Withheld += l.Withheld
	x.Files = append(x.Files, ExportedFile{string(kind) + ".csv", file.Bytes(), len(l.Rows), changed})
	return err
}

// exportedLine is the shape of a line of jsonl.
type exportedLine struct {
	Edition  string          `json:"edition"`
	Path     record.Ref      `json:"path"`
	File     string          `json:"file"`
	Kind     record.Kind     `json:"kind"`
	Standing string          `json:"standing"`
	Over     record.Ref      `json:"over,omitempty"`
	SHA256   record.Digest   `json:"sha256"`
	Withheld []string        `json:"withheld,omitempty"`
	Record   json.RawMessage `json:"record"`
}

func (x *Exported) lines(s *ledger.Snapshot, car Car, kinds []record.Kind) error {
	var file bytes.Buffer
	rows := 0
	for _, k := range kinds {
		for _, r := range s.OfKind(k) {
			standing, over := s.StandingOf(r)
			line := exportedLine{Edition: "1", Path: r.ID, File: r.Path, Kind: k, Standing: standing.String(), SHA256: r.Digest}
			if over != nil {
				line.Over = over.ID
			}
			line.Record, line.Withheld = withoutPrivate(r)
			src, err := json.Marshal(line)
			if err != nil {
				return fmt.Errorf("%s: %w", r.Path, err)
			}
			x.Withheld += len(line.Withheld)
			file.Write(append(finding.InJSON(src), '\n'))
			rows++
		}
	}
	x.Files = append(x.Files, ExportedFile{Name: car.Name + ".jsonl", Content: file.Bytes(), Rows: rows})
	return nil
}

// withoutPrivate gives a record as it was written, and the places of its private values: what stands there is a digest, and
// where it is a value in clear, a word instead.
func withoutPrivate(r *record.Record) (text []byte, places []string) {
	text = r.Doc.Source
	for _, leaf := range slices.Backward(r.Leaves()) {
		if leaf.Role != record.Secret {
			continue
		}
		places = append(places, leaf.Pointer)
		if n := r.Doc.Find(leaf.Pointer); !record.IsDigest(leaf.Text) {
			text = slices.Concat(text[:n.Start], []byte(`"`+columns.Withheld+`"`), text[n.End:])
		}
	}
	slices.Reverse(places)
	return text, places
}

// SaveExport writes the files into a new folder, whole or not at all.
func (e Env) SaveExport(x Exported, folder string) error {
	path, err := e.Files.Absolute(folder)
	if err != nil {
		return err
	}
	return e.Files.Build(path, func(inside string) error {
		var failed error
		for _, f := range x.Files {
			failed = errors.Join(failed, e.Files.Create(filepath.Join(inside, f.Name), f.Content))
		}
		return failed
	})
}

// KindNamed finds the kind of record that a word means.
func KindNamed(word string) (record.Kind, error) {
	var words []string
	for _, k := range record.Kinds() {
		if word == string(k) {
			return k, nil
		}
		words = append(words, string(k))
	}
	hint := "the kinds are: " + strings.Join(words, ", ")
	if near := finding.Nearest(word, words); near != "" {
		hint = "did you mean " + near + "? " + hint
	}
	return "", &Usage{Message: "there is no kind of record called " + word, Hint: hint}
}
