package history

import (
	"encoding/json"
	"io/fs"
	"os"
	"strings"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

const sampleCar = "../../records/sample/cars/tern-1500"

func sample(t *testing.T) *ledger.Snapshot {
	t.Helper()
	s, err := ledger.Load(os.DirFS(sampleCar))
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Records()) < 100 {
		t.Fatalf("the sample has only %d records", len(s.Records()))
	}
	return s
}

func TestTheSampleDoesNotDifferFromItself(t *testing.T) {
	changes, err := Diff(sample(t), sample(t))
	if err != nil || len(changes) != 0 {
		t.Errorf("%q, %v", listed(changes), err)
	}
}

func TestARecordOfTheSampleWrittenBackwardsIsOnlyLayout(t *testing.T) {
	for _, r := range sample(t).Records() {
		var value any
		if err := json.Unmarshal(r.Doc.Source, &value); err != nil {
			t.Fatal(err)
		}
		changes := DiffFiles([]Pair{{r.Path, r.Doc.Source, backwards(value)}}, nil)
		if len(changes) != 1 || changes[0].What != Layout {
			t.Errorf("%s: %q", r.Path, listed(changes))
		}
	}
}

// TestEveryTextOfTheSampleThatChangesIsFound writes another text in the place of
// each in turn: the changes must lead from one file to the other, and name a place
// at or above it.
func TestEveryTextOfTheSampleThatChangesIsFound(t *testing.T) {
	texts := 0
	for _, r := range sample(t).Records() {
		for _, leaf := range r.Leaves() {
			if leaf.Pointer == "/kind" {
				continue
			}
			texts++
			changed := withText(r, leaf, anotherText(leaf))
			changes := DiffFiles([]Pair{{r.Path, r.Doc.Source, changed}}, nil)
			if !toldAt(changes, r.Path, leaf.Pointer) {
				t.Fatalf("%s %s: %q", r.Path, leaf.Pointer, listed(changes))
			}
			got := plain(apply(t, map[string][]byte{r.Path: r.Doc.Source}, ofFiles(changes)))
			if want := plain(map[string][]byte{r.Path: changed}); got[r.Path] != want[r.Path] {
				t.Fatalf("%s %s: got %s\nwant %s", r.Path, leaf.Pointer, got, want)
			}
			if leaf.Role == record.Secret && strings.Contains(strings.Join(listed(changes), " "), leaf.Text) {
				t.Fatalf("%s %s: the seal shows in %q", r.Path, leaf.Pointer, listed(changes))
			}
		}
	}
	if texts < 1000 {
		t.Errorf("only %d texts", texts)
	}
}

// anotherText gives a text of the same role.
func anotherText(leaf record.Leaf) string {
	switch leaf.Role {
	case record.Reference:
		return leaf.Text + "-2"
	case record.Quantity:
		return "987654321 kg"
	case record.Moment:
		return "1931-05-06"
	case record.Hash, record.Secret:
		return strings.Repeat("0f", 32)
	}
	return leaf.Text + " again"
}

// withText writes a record with one text replaced.
func withText(r *record.Record, leaf record.Leaf, text string) []byte {
	n := r.Doc.Find(leaf.Pointer)
	quoted, _ := json.Marshal(text)
	return []byte(string(r.Doc.Source[:n.Start]) + string(quoted) + string(r.Doc.Source[n.End:]))
}

// toldAt tells whether a field at a pointer, or one that holds it, is among the changes.
func toldAt(changes []Change, path, pointer string) bool {
	for _, c := range changes {
		for _, f := range c.Fields {
			if c.Path == path && f.Was != "" && (pointer == f.Was || strings.HasPrefix(pointer, f.Was+"/")) {
				return true
			}
		}
	}
	return false
}

// ofFiles leaves out how records count, which is in no file of its own.
func ofFiles(changes []Change) []Change {
	var left []Change
	for _, c := range changes {
		if c.before != nil || c.after != nil {
			left = append(left, c)
		}
	}
	return left
}

func TestARecordTakenFromTheSampleIsRemovedOrAdded(t *testing.T) {
	whole := sample(t)
	for _, path := range []string{"car.json", "parts/engine.json", "people/tallow-lane/ines-okafor/person.json"} {
		less, err := ledger.Load(without{os.DirFS(sampleCar), path})
		if err != nil {
			t.Fatal(err)
		}
		for _, tc := range []struct {
			a, b *ledger.Snapshot
			want What
		}{{whole, less, Removed}, {less, whole, Added}} {
			changes, err := Diff(tc.a, tc.b)
			if err != nil || len(changes) != 1 || changes[0].What != tc.want || changes[0].Path != path {
				t.Errorf("%s: %q, %v", path, listed(changes), err)
			}
		}
	}
}

// without hides one file.
type without struct {
	fs.FS
	path string
}

func (w without) Open(name string) (fs.File, error) {
	if name == w.path {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return w.FS.Open(name)
}

func (w without) ReadDir(name string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(w.FS, name)
	var left []fs.DirEntry
	for _, e := range entries {
		if name+"/"+e.Name() != w.path && e.Name() != w.path {
			left = append(left, e)
		}
	}
	return left, err
}

func TestEveryLineOfTheSampleMayBeTakenOutAlone(t *testing.T) {
	for _, r := range sample(t).OfKind(record.KindSession) {
		list := r.Doc.Root.Get("lines")
		if list == nil {
			continue
		}
		for i := range list.Elements {
			changes := DiffFiles([]Pair{{r.Path, r.Doc.Source, withoutLine(t, r, i)}}, nil)
			if len(changes) != 1 || len(changes[0].Fields) != 1 || changes[0].Fields[0].What != Removed {
				t.Fatalf("%s line %d: %q", r.Path, i+1, listed(changes))
			}
		}
	}
}

func withoutLine(t *testing.T, r *record.Record, i int) []byte {
	t.Helper()
	object := r.Doc.Root.Any().(map[string]any)
	var left []any
	for j, line := range object["lines"].([]any) {
		if j != i {
			left = append(left, line)
		}
	}
	object["lines"] = left
	if len(left) == 0 {
		delete(object, "lines")
	}
	text, err := json.Marshal(object)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestTheStoryOfTheSampleIsWellFormed(t *testing.T) {
	var versions []Version
	for i, r := range sample(t).OfKind(record.KindSession) {
		versions = append(versions, Version{Revision: revision(t, strings.Repeat("c", i+1), "2026-12-01T10:00:00Z"), Path: r.Path, Bytes: r.Doc.Source})
	}
	entries := Timeline(versions, 7)
	if len(entries) != len(versions) {
		t.Fatalf("%d entries for %d sessions", len(entries), len(versions))
	}
	for _, e := range entries {
		for _, d := range e.Delays {
			if !d.Known || d.Fewest > d.Most || d.Fewest < 0 {
				t.Errorf("%s: %s", d.Record, d)
			}
		}
	}
	if doc, err := canon.Parse(encoded(t, entries), canon.Limits{Bytes: 100 << 20, Nodes: 1 << 24}); err != nil || len(doc.Root.Get("entries").Elements) != len(entries) {
		t.Errorf("the JSON of it: %v", err)
	}
}

func encoded(t *testing.T, entries []Entry) []byte {
	t.Helper()
	var b strings.Builder
	if err := EncodeEntries(&b, entries); err != nil {
		t.Fatal(err)
	}
	return []byte(b.String())
}
