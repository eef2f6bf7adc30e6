package history

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// file is one file in one state. Where it is a record that can be read, record
// is set; where it is JSON at least, doc.
type file struct {
	path   string
	id     record.Ref
	kind   record.Kind
	bytes  []byte
	doc    *canon.Document
	record *record.Record
	fault  string // why it cannot be read as the record that it should be
}

func fileOf(r *record.Record) *file {
	return &file{path: r.Path, id: r.ID, kind: r.Kind, bytes: r.Doc.Source, doc: r.Doc, record: r}
}

// parse reads the bytes that lie at path, which may be no record at all.
func parse(path string, src []byte) *file {
	f := &file{path: path, bytes: src}
	kinds := record.KindsAt(path)
	if len(kinds) == 0 {
		return f
	}
	f.id, _ = record.IDOf(path)
	f.kind = kinds[0]
	doc, err := canon.Parse(src, canon.DefaultLimits())
	if err == nil {
		f.doc = doc
		f.record, err = record.FromDocument(path, doc)
	}
	if err != nil {
		f.fault = err.Error()
		var syntax *canon.SyntaxError
		if errors.As(err, &syntax) {
			f.fault = fmt.Sprintf("line %d: %s", syntax.Line, syntax.Message)
		}
		return f
	}
	f.kind = f.record.Kind
	return f
}

// title is what people call it.
func (f *file) title() string {
	switch {
	case f.record != nil:
		return titleOf(f.record)
	case f.id != "":
		return string(f.id)
	default:
		return f.path
	}
}

func titleOf(r *record.Record) string {
	if p, ok := r.Body.(*record.Paper); ok && p.Name == "" && p.Caption != "" {
		return p.Caption
	}
	return r.Name()
}

// pair is one file in two states, either of which may be nil.
type pair struct{ old, new *file }

func (p pair) same() bool {
	if p.old == nil || p.new == nil {
		return p.old == p.new
	}
	return p.old.path == p.new.path && bytes.Equal(p.old.bytes, p.new.bytes)
}

// pairsOf lists the files in which two snapshots differ.
func pairsOf(a, b *ledger.Snapshot) ([]pair, error) {
	var apart []pair
	for _, kind := range record.Kinds() {
		merge(a.OfKind(kind), b.OfKind(kind), func(r *record.Record) string { return string(r.ID) }, func(x, y *record.Record) {
			if x == nil || y == nil || x.Digest != y.Digest {
				apart = append(apart, pair{maybe(x), maybe(y)})
			}
		})
	}
	others, err := othersApart(a, b)
	return joinHalves(append(apart, others...)), err
}

func maybe(r *record.Record) *file {
	if r == nil {
		return nil
	}
	return fileOf(r)
}

// merge walks two sorted lists together; what one of them lacks is its zero value.
func merge[T any](a, b []T, key func(T) string, visit func(x, y T)) {
	var none T
	for len(a) > 0 || len(b) > 0 {
		order := 0
		switch {
		case len(a) == 0:
			order = 1
		case len(b) == 0:
			order = -1
		default:
			order = strings.Compare(key(a[0]), key(b[0]))
		}
		switch {
		case order < 0:
			visit(a[0], none)
			a = a[1:]
		case order > 0:
			visit(none, b[0])
			b = b[1:]
		default:
			visit(a[0], b[0])
			a, b = a[1:], b[1:]
		}
	}
}

// joinHalves puts a file that is gone and one that is new at the same path into
// one pair: a record that changed its kind, or one that can be read on one side only.
func joinHalves(pairs []pair) []pair {
	gone := map[string]int{}
	for i, p := range pairs {
		if p.new == nil {
			gone[p.old.path] = i
		}
	}
	var whole []pair
	for _, p := range pairs {
		if p.old == nil && p.new != nil {
			if i, ok := gone[p.new.path]; ok {
				p.old = pairs[i].old
				pairs[i].old = nil
			}
			whole = append(whole, p)
		}
	}
	for _, p := range pairs {
		if p.old != nil {
			whole = append(whole, p)
		}
	}
	return whole
}

// othersApart lists the files that are no readable records and differ.
func othersApart(a, b *ledger.Snapshot) (pairs []pair, err error) {
	merge(othersOf(a), othersOf(b), func(f *ledger.File) string { return f.Path }, func(x, y *ledger.File) {
		if err != nil || alikeByName(x, y) {
			return
		}
		p := pair{}
		if p.old, err = load(a, x); err == nil {
			p.new, err = load(b, y)
		}
		if !p.same() {
			pairs = append(pairs, p)
		}
	})
	return pairs, err
}

// othersOf lists the files of a car that did not become records.
func othersOf(s *ledger.Snapshot) []*ledger.File {
	var list []*ledger.File
	files := s.Files()
	for i := range files {
		if !isRecord(s, files[i].Path) {
			list = append(list, &files[i])
		}
	}
	return list
}

func isRecord(s *ledger.Snapshot, path string) bool {
	bare, json := strings.CutSuffix(path, ".json")
	if !json {
		return false
	}
	if s.Record(record.Ref(bare)) != nil {
		return true
	}
	id, ok := record.IDOf(path)
	return ok && s.Record(id) != nil
}

// alikeByName tells whether both are one preview, whose name is its digest.
func alikeByName(x, y *ledger.File) bool {
	return x != nil && y != nil && x.Size == y.Size && strings.HasPrefix(x.Path, "previews/")
}

// load reads a file of a snapshot; previews only by name, for their bytes say nothing in words.
func load(s *ledger.Snapshot, f *ledger.File) (*file, error) {
	if f == nil {
		return nil, nil
	}
	if strings.HasPrefix(f.Path, "previews/") {
		return &file{path: f.Path, bytes: fmt.Append(nil, f.Size)}, nil
	}
	src, err := fs.ReadFile(opener{s}, f.Path)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", f.Path, err)
	}
	return parse(f.Path, src), nil
}

type opener struct{ *ledger.Snapshot }
