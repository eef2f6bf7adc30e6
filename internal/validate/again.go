package validate

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"sort"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// State is what a check of a car leaves behind, so that the next one need look only at what may have changed.
type State struct {
	// Files are the regular files of the car, by path.
	Files []File
	// Others are the folders of the car, and what is neither file nor folder, each with its type.
	Others []string
	// Elsewhere are findings that stand at no regular file: links, folders that cannot be read.
	Elsewhere []finding.Finding
	// Span are the days on which the findings hold.
	Span Span
}

// File is one file as a check left it.
type File struct {
	Path string
	Ties Ties
	// Original is the size of the full file that a paper describes, NotHere where it is not here, NobodyLooked
	// where nobody looked or it describes none.
	Original int64
	// Yard is what the file gives to the summary of its car, nil where that is nothing.
	Yard *Piece
	// Local are the findings of the file for itself, Found all that stand at it.
	Local, Found []finding.Finding
}

// What File.Original is where no size is known.
const (
	NotHere      = -1
	NobodyLooked = -2
)

// Look is what lies in a car's folder now, held against the state that an earlier check left.
type Look struct {
	FS fs.FS
	// Files are the regular files, by path.
	Files []ledger.File
	// Changed are the paths that were added, removed, or hold other bytes than before; everything else is as it was.
	Changed []string
	// Others are the folders, and what is neither file nor folder, each with its type, in some fixed order and spelling.
	Others []string
	// Unreadable says that some folder could not be listed, so that nobody knows what is in it.
	Unreadable bool
}

// Span is a range of days on which a check gives the same findings: from its first day to its last. A zero Last has no end.
type Span struct{ First, Last edtf.Day }

// Holds reports whether a day lies in the span.
func (s Span) Holds(day edtf.Day) bool {
	return !day.IsZero() && s.First.Compare(day) <= 0 && (s.Last.IsZero() || day.Compare(s.Last) <= 0)
}

// ahead reports whether something lies ahead on a day, and narrows the span to the days on which that answer stands. A
// finding names today, so that it stands for today alone.
func (s *Span) ahead(something, today edtf.Day) bool {
	switch {
	case today.IsZero():
		return false
	case today.Compare(something) < 0:
		s.First, s.Last = today, today
		return true
	case s.First.Compare(something) < 0:
		s.First = something
	}
	return false
}

// and gives the days in both spans.
func (s Span) and(o Span) Span {
	if s.First.Compare(o.First) < 0 {
		s.First = o.First
	}
	if s.Last.IsZero() || !o.Last.IsZero() && o.Last.Compare(s.Last) < 0 {
		s.Last = o.Last
	}
	return s
}

// Findings gives what a check of the whole car gives, sorted.
func (s *State) Findings() []finding.Finding {
	found := slices.Clone(s.Elsewhere)
	papers := 0
	for i := range s.Files {
		found = append(found, s.Files[i].Found...)
		if s.Files[i].Ties.Kind == record.KindPaper {
			papers++
		}
	}
	return summarize(found, papers)
}

// file finds a file by its path, or nil.
func (s *State) file(path string) *File {
	if s == nil {
		return nil
	}
	i := sort.Search(len(s.Files), func(i int) bool { return s.Files[i].Path >= path })
	if i < len(s.Files) && s.Files[i].Path == path {
		return &s.Files[i]
	}
	return nil
}

// ErrDeep says that a deep check is never answered from an earlier one.
var ErrDeep = errors.New("a deep check reads everything again")

// Again checks a car of which an earlier check left a state; before is nil where none did. Its findings are
// the very ones that a check of everything would give. Where nothing changed that is before itself; where little did, only the files are looked
// at that what changed may bear on, and whatever they rest on; in doubt it is everything, less what each unchanged file
// was found to be for itself.
func (v *Validator) Again(before *State, look Look, options Options) (*State, error) {
	if options.Deep {
		return nil, ErrDeep
	}
	look.Changed = append(slices.Clone(look.Changed), before.movedOriginals(options.Originals)...)
	slices.Sort(look.Changed)
	look.Changed = slices.Compact(look.Changed)
	if before != nil && before.Span.Holds(options.On) && !look.Unreadable && slices.Equal(before.Others, look.Others) {
		if len(look.Changed) == 0 {
			return before, nil
		}
		now, err := v.partly(before, look, options)
		if now != nil || err != nil {
			return now, err
		}
	}
	return v.whole(before, look, options)
}

// movedOriginals gives the papers whose full file came, went or has another size than before.
func (s *State) movedOriginals(originals Originals) []string {
	if s == nil {
		return nil
	}
	var moved []string
	for i := range s.Files {
		if f := &s.Files[i]; f.Ties.Original != "" && sizeOf(originals, f.Ties.Original) != f.Original {
			moved = append(moved, f.Path)
		}
	}
	return moved
}

func sizeOf(originals Originals, digest record.Digest) int64 {
	if originals == nil || digest == "" {
		return NobodyLooked
	}
	if size, here := originals.Find(digest); here {
		return size
	}
	return NotHere
}

// whole runs every rule over every file, sparing each unchanged one the rules that look at it alone.
func (v *Validator) whole(before *State, look Look, options Options) (*State, error) {
	s, err := ledger.Load(look.FS)
	if err != nil {
		return nil, err
	}
	c := &checker{s: s, options: options, known: before.known(look)}
	if err := v.examine(c); err != nil {
		return nil, err
	}
	now := &State{Span: c.span, Others: look.Others}
	byFile := byFile(c.found)
	for _, f := range s.Files() {
		now.Files = append(now.Files, c.file(f.Path, byFile[f.Path]))
		delete(byFile, f.Path)
	}
	for _, found := range byFile {
		now.Elsewhere = append(now.Elsewhere, found...)
	}
	finding.Sort(now.Elsewhere)
	return now, nil
}

// known answers what was found in an unchanged file for itself.
func (s *State) known(look Look) func(string) ([]finding.Finding, bool) {
	return func(path string) ([]finding.Finding, bool) {
		if _, changed := slices.BinarySearch(look.Changed, path); changed {
			return nil, false
		}
		if f := s.file(path); f != nil {
			return f.Local, true
		}
		return nil, false
	}
}

func byFile(found []finding.Finding) map[string][]finding.Finding {
	m := map[string][]finding.Finding{}
	for _, f := range found {
		m[f.File] = append(m[f.File], f)
	}
	return m
}

// file gives what is kept of one file.
func (c *checker) file(path string, found []finding.Finding) File {
	var r *record.Record
	if id, ok := record.IDOf(path); ok {
		r = c.s.Record(id)
	}
	f := File{Path: path, Ties: TiesOf(path, r), Local: c.local[path], Found: found}
	f.Original = sizeOf(c.options.Originals, f.Ties.Original)
	if r != nil {
		f.Yard = pieceOf(c.s, r)
	}
	finding.Sort(f.Found)
	return f
}

// partly looks only at the files that a change may bear on. It gives nil where that cannot be told: little is saved where
// much changed, and a rule may look at all names, or at folders.
func (v *Validator) partly(before *State, look Look, options Options) (*State, error) {
	const most = 8 // when one file in so many changed, everything is as quick
	if len(before.Elsewhere) > 0 || len(look.Changed) > 32+len(look.Files)/most || !plain(before, look) {
		return nil, nil
	}
	g, err := newGraph(before, look)
	if err != nil {
		return nil, err
	}
	affected := g.affected()
	s, err := ledger.Load(subset(look, g.needed(affected)))
	if err != nil {
		return nil, fmt.Errorf("look at what changed: %w", err)
	}
	c := &checker{s: s, options: options, known: before.known(look)}
	if err := v.examine(c); err != nil {
		return nil, err
	}
	return g.merge(c, affected), nil
}

// plain reports whether no new name can collide with one that is there.
func plain(before *State, look Look) bool {
	return !slices.ContainsFunc(look.Others, func(name string) bool { return name != fold(name) }) && !slices.ContainsFunc(look.Changed, func(path string) bool {
		return before.file(path) == nil && path != fold(path)
	})
}

// namesMatter reports whether a finding of a file depends on the names of all records: the hint that names the nearest.
func namesMatter(found []finding.Finding) bool {
	return slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Code == "unknown-reference" })
}
