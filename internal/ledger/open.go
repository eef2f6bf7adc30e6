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

// reading guards a snapshot that has not been read in full: mu holds while records are read, done is set when all are.
type reading struct {
	mu   sync.Mutex
	done atomic.Bool
}

// Open lists a car's files and reads records only when somebody asks for them: one at a time by name, all at once for
// whatever concerns more than one. It is for those who ask about few and are gone before anything changes; Load fixes what
// it shows. The errors are those of Load.
func Open(fsys fs.FS) (*Snapshot, error) {
	if info, err := fs.Stat(fsys, "ledger.json"); err != nil || !info.Mode().IsRegular() {
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("look for ledger.json: %w", err)
		}
		return nil, ErrNotCar
	}
	files, faults, err := scan(fsys)
	if err != nil {
		return nil, err
	}
	s := Empty()
	s.fsys, s.files, s.faults, s.reading = fsys, files, faults, new(reading)
	for _, f := range files {
		if len(record.KindsAt(f.Path)) > 0 {
			continue
		}
		if fault, ok := misplaced(f); ok {
			s.faults = append(s.faults, fault)
		}
	}
	finding.Sort(s.faults)
	return s, nil
}

// all reads what has not been read yet.
func (s *Snapshot) all() {
	if s.reading == nil || s.reading.done.Load() {
		return
	}
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
		path := record.PathOf(id)
		if size, here := s.HasFile(path); here {
			s.read(File{Path: path, Size: size})
		}
	}
	return s.records[id], s.unread[id]
}
