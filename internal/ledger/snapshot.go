// Package ledger holds an immutable snapshot of one car: every record that could be read, indexed by name and by kind,
// what could not be read and why, and which record stands in place of which. It reads from any fs.FS, so that a folder,
// a revision in Git and a test fixture are the same to everything above. A yard is a list of such cars.
package ledger

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"sort"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/record"
)

// ErrNotCar says that a folder holds no car: ledger.json does not stand at its top.
var ErrNotCar = errors.New("this folder holds no car: ledger.json does not stand at its top")

// Snapshot is one car as it stood: immutable after Load, safe for concurrent readers.
type Snapshot struct {
	fsys    fs.FS
	files   []File
	records map[record.Ref]*record.Record
	kinds   map[record.Kind][]*record.Record
	faults  []finding.Finding
	uses    map[record.Ref][]Use
	over    map[record.Ref][]*record.Record
	unread  map[record.Ref]*Unread
	reading *reading // nil where nothing is left to read
}

// Unread is a file that lies where a record lies and could not be read as one. Doc is its JSON where that much could be
// read, and Kind the kind it claims.
type Unread struct {
	Path  string
	Kind  record.Kind
	Doc   *canon.Document
	Fault finding.Finding
}

// Use is one place in a record that refers to another record.
type Use struct {
	From    *record.Record
	Pointer string
}

// Load reads a car. Files that cannot be read as records become faults and the rest is kept: only a folder that is no car
// at all, or one that cannot be walked, is an error.
func Load(fsys fs.FS) (*Snapshot, error) {
	s, err := Open(fsys)
	if err != nil {
		return nil, err
	}
	return s.whole()
}

// LoadBook reads a workshop's address book.
func LoadBook(fsys fs.FS) (*Snapshot, error) { return OpenBook(fsys).whole() }

func (s *Snapshot) whole() (*Snapshot, error) {
	if err := s.list(); err != nil {
		return nil, err
	}
	s.all()
	return s, nil
}

// read decodes one file if it is a record's.
func (s *Snapshot) read(f File) {
	id, isRecord := record.IDOf(f.Path)
	if !isRecord || s.records[id] != nil || s.unread[id] != nil {
		return
	}
	if limit := canon.DefaultLimits().Bytes; f.Size > int64(limit) {
		s.keepUnread(id, f.Path, nil, finding.Finding{Code: "too-large", File: f.Path,
			Message: fmt.Sprintf("a record of %d bytes is larger than the %d bytes a record may have", f.Size, limit)})
		return
	}
	src, err := fs.ReadFile(s.fsys, f.Path)
	if err != nil {
		s.keepUnread(id, f.Path, nil, finding.Finding{Code: "unreadable", File: f.Path, Message: "the file cannot be read: " + reasonOf(err)})
		return
	}
	doc, err := canon.Parse(src, canon.DefaultLimits())
	if err != nil {
		s.keepUnread(id, f.Path, nil, faultOf(f.Path, "syntax", err))
		return
	}
	r, err := record.FromDocument(f.Path, doc)
	if err != nil {
		fault := faultOf(f.Path, "syntax", err)
		if fault.Pointer == "/kind" || fault.Pointer == "" && doc.Root.Kind != canon.Object {
			fault.Code = "kind"
		}
		s.keepUnread(id, f.Path, doc, fault)
		return
	}
	s.records[r.ID] = r
}

func (s *Snapshot) keepUnread(id record.Ref, path string, doc *canon.Document, fault finding.Finding) {
	u := &Unread{Path: path, Doc: doc, Fault: fault}
	if doc != nil && fault.Code != "kind" {
		u.Kind = record.Kind(doc.Root.Get("kind").Text)
	}
	s.unread[id] = u
}

// faultOf turns an error of decoding into a finding at its line and column.
func faultOf(path, code string, err error) finding.Finding {
	f := finding.Finding{Severity: finding.Error, Code: code, File: path, Message: err.Error()}
	var syntax *canon.SyntaxError
	if errors.As(err, &syntax) {
		f.Line, f.Column, f.Pointer, f.Message, f.Hint = syntax.Line, syntax.Column, syntax.Pointer, syntax.Message, syntax.Hint
	}
	return f
}

// reasonOf strips the path that file errors repeat.
func reasonOf(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}

// index fills the lists by kind, the references to each record, and what stands over what.
func (s *Snapshot) index() {
	for _, id := range sortedIDs(s.records) {
		r := s.records[id]
		s.kinds[r.Kind] = append(s.kinds[r.Kind], r)
		for _, leaf := range r.Leaves() {
			if leaf.Role == record.Reference {
				target := record.Ref(leaf.Text)
				s.uses[target] = append(s.uses[target], Use{From: r, Pointer: leaf.Pointer})
			}
		}
		head := r.Body.Heading()
		for _, below := range []record.Ref{head.Corrects, head.Withdraws} {
			if below != "" {
				s.over[below] = append(s.over[below], r)
			}
		}
	}
}

func sortedIDs(m map[record.Ref]*record.Record) []record.Ref {
	ids := make([]record.Ref, 0, len(m))
	for id := range m {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}

// Record gives the record of that name, or nil.
func (s *Snapshot) Record(id record.Ref) *record.Record {
	r, _ := s.one(id)
	return r
}

// Unread gives the file of that name if it is there but could not be read as a record, or nil.
func (s *Snapshot) Unread(id record.Ref) *Unread {
	_, u := s.one(id)
	return u
}

// AllUnread lists the files that lie where records lie and could not be read as one, by path.
func (s *Snapshot) AllUnread() []*Unread {
	s.all()
	list := slices.Collect(maps.Values(s.unread))
	slices.SortFunc(list, func(a, b *Unread) int { return strings.Compare(a.Path, b.Path) })
	return list
}

// OfKind lists the records of a kind by name, corrected and withdrawn ones included.
func (s *Snapshot) OfKind(kind record.Kind) []*record.Record {
	s.all()
	return s.kinds[kind]
}

// Records lists all records, kind by kind in their fixed order, by name within a kind.
func (s *Snapshot) Records() []*record.Record {
	s.all()
	var all []*record.Record
	for _, k := range record.Kinds() {
		all = append(all, s.kinds[k]...)
	}
	return all
}

// Uses lists the places that refer to a record, by the name of the record they are in.
func (s *Snapshot) Uses(id record.Ref) []Use {
	s.all()
	return s.uses[id]
}

// Faults lists what does not belong in a car: links, settings, stray files, names that collide.
func (s *Snapshot) Faults() []finding.Finding {
	_ = s.list() // a fault already
	return s.faults
}

// Files lists every file of the car by path.
func (s *Snapshot) Files() []File {
	_ = s.list() // a fault already
	return s.files
}

// Open opens a file of the car.
func (s *Snapshot) Open(path string) (fs.File, error) { return s.fsys.Open(path) }

// Names lists the names of all records, for suggestions.
func (s *Snapshot) Names() []record.Ref {
	s.all()
	return sortedIDs(s.records)
}

// HasFile reports whether the car holds a regular file at path, and its size.
func (s *Snapshot) HasFile(path string) (int64, bool) {
	if s.reading != nil && !s.reading.listed.Load() {
		f, here := s.look(path)
		return f.Size, here
	}
	i := sort.Search(len(s.files), func(i int) bool { return s.files[i].Path >= path })
	if i < len(s.files) && s.files[i].Path == path {
		return s.files[i].Size, true
	}
	return 0, false
}

// Car gives the car's own record, or an empty one where the ledger has none yet.
func (s *Snapshot) Car() (*record.Record, *record.Car) {
	if r := s.Record("car"); r != nil {
		return r, r.Body.(*record.Car)
	}
	return nil, &record.Car{}
}

// Head gives the ledger's own record, or an empty one where it could not be read.
func (s *Snapshot) Head() *record.Ledger {
	if r := s.Record("ledger"); r != nil {
		return r.Body.(*record.Ledger)
	}
	return &record.Ledger{}
}

// Empty gives a car that holds nothing yet.
func Empty() *Snapshot {
	return &Snapshot{
		records: map[record.Ref]*record.Record{},
		kinds:   map[record.Kind][]*record.Record{},
		unread:  map[record.Ref]*Unread{},
		uses:    map[record.Ref][]Use{},
		over:    map[record.Ref][]*record.Record{},
	}
}
