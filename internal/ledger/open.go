package ledger

import (
	"errors"
	"fmt"
	"io/fs"
	"sync"
	"sync/atomic"

	"boltback/internal/finding"
	"boltback/internal/record"
)

// reading guards a snapshot that has not been read in full: mu holds while files are listed and records read, listed and
// done are set when all are.
type reading struct {
	mu           sync.Mutex
	listed, done atomic.Bool
}

// Open gives a car of which nothing is listed or read before somebody asks: one record at a time by name, everything at
// once for whatever concerns more than one. It is for those who ask about few and are gone before anything changes; Load
// fixes what it shows. The error is ErrNotCar, or that the folder cannot be looked into.
func Open(fsys fs.FS) (*Snapshot, error) {
	if info, err := fs.Stat(fsys, "ledger.json"); err != nil || !info.Mode().IsRegular() {
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("look for ledger.json: %w", err)
		}
		return nil, ErrNotCar
	}
	return OpenBook(fsys), nil
}

// OpenBook gives a workshop's address book in the same way: people, instruments and stores without a car around them.
func OpenBook(fsys fs.FS) *Snapshot {
	s := Empty()
	s.fsys, s.reading = fsys, new(reading)
	return s
}

// list lists the files. A folder that cannot be listed is a fault of its own and holds nothing.
func (s *Snapshot) list() error {
	if s.reading == nil || s.reading.listed.Load() {
		return nil
	}
	s.reading.mu.Lock()
	defer s.reading.mu.Unlock()
	if s.reading.listed.Load() {
		return nil
	}
	files, faults, err := scan(s.fsys)
	if err != nil {
		faults = append(faults, finding.Finding{Code: "unreadable", File: ".", Message: err.Error()})
	}
	for _, f := range files {
		if len(record.KindsAt(f.Path)) > 0 {
			continue
		}
		if fault, ok := misplaced(f); ok {
			faults = append(faults, fault)
		}
	}
	finding.Sort(faults)
	s.files, s.faults = files, faults
	s.reading.listed.Store(true)
	return err
}

// all reads what has not been read yet.
func (s *Snapshot) all() {
	if s.reading == nil || s.reading.done.Load() {
		return
	}
	_ = s.list() // a fault already
	s.reading.mu.Lock()
	defer s.reading.mu.Unlock()
	if s.reading.done.Load() {
		return
	}
	for _, f := range s.files {
		s.read(f)
	}
	s.index()
	s.reading.done.Store(true)
}

// one reads one record, if it has not been read yet, and gives it, or why it could not be read; neither where it is not there.
func (s *Snapshot) one(id record.Ref) (*record.Record, *Unread) {
	if s.reading != nil && !s.reading.done.Load() {
		s.reading.mu.Lock()
		defer s.reading.mu.Unlock()
		if f, here := s.look(record.PathOf(id)); here {
			s.read(f)
		}
	}
	return s.records[id], s.unread[id]
}

// look finds a regular file to which no link leads.
func (s *Snapshot) look(path string) (File, bool) {
	if !fs.ValidPath(path) {
		return File{}, false
	}
	for i := range len(path) {
		if path[i] == '/' {
			if info, err := fs.Lstat(s.fsys, path[:i]); err != nil || !info.IsDir() {
				return File{}, false
			}
		}
	}
	info, err := fs.Lstat(s.fsys, path)
	if err != nil || !info.Mode().IsRegular() {
		return File{}, false
	}
	return File{Path: path, Size: info.Size()}, true
}
