package gitstore

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"boltback/internal/atomicfile"
)

func (r *Repo) workPath(name string) string { return filepath.Join(r.root, filepath.FromSlash(name)) }

// workWriter writes into the work tree. Its temporary files lie in our own
// folder, out of the user's sight, if that is on the same file system.
func (r *Repo) workWriter() atomicfile.Writer {
	w := r.writer()
	if !sameDevice(r.root, r.own) {
		w.Temp = ""
	}
	return w
}

// checkWorkTree makes sure that writing the edits destroys nothing: what lies
// there is what was committed, or is what will be.
func (r *Repo) checkWorkTree(trees *trees, before Hash, edits []edit) error {
	var dirty []string
	for _, e := range edits {
		if err := r.checkFolders(e.path); err != nil {
			return err
		}
		now, err := r.workBlob(e.path)
		if err != nil {
			return err
		}
		old, err := trees.lookup(before, e.path)
		if err != nil {
			return err
		}
		if !now.IsZero() && now != old.id && (e.delete || now != e.blob.id) {
			dirty = append(dirty, e.path)
		}
	}
	if len(dirty) > 0 {
		return &ConflictError{Paths: dirty, Reason: "the file has changes that were never committed; commit them first, or undo them with git restore"}
	}
	return nil
}

// checkFolders refuses a path that leads through a symlink or a file.
func (r *Repo) checkFolders(name string) error {
	for i, c := range name {
		if c != '/' {
			continue
		}
		info, err := r.opt.Files.Lstat(r.workPath(name[:i]))
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		if !info.IsDir() {
			return &BadPathError{Path: name, Reason: "in the work tree " + name[:i] + " is a symlink or a file, not a folder"}
		}
	}
	return nil
}

// workBlob returns the id that the file at a path has now, zero if there is none.
func (r *Repo) workBlob(name string) (Hash, error) {
	info, err := r.opt.Files.Lstat(r.workPath(name))
	if errors.Is(err, fs.ErrNotExist) {
		return Hash{}, nil
	}
	if err != nil {
		return Hash{}, err
	}
	if !info.Mode().IsRegular() {
		return Hash{}, &BadPathError{Path: name, Reason: "in the work tree there is a symlink, a folder or a device of that name"}
	}
	data, err := r.opt.Files.ReadFile(r.workPath(name))
	return BlobID(data), err
}

// writeWorkTree puts all new content safely on disk before the first file
// changes its name.
func (r *Repo) writeWorkTree(s *swaps, edits []edit, modes []uint32) error {
	w := r.workWriter()
	pending := make([]*atomicfile.Pending, len(edits))
	defer func() {
		for _, p := range pending {
			p.Discard()
		}
	}()
	for i, e := range edits {
		if e.delete {
			continue
		}
		p, err := r.stageFile(s, w, e, modes[i])
		if err != nil {
			return err
		}
		pending[i] = p
	}
	for i, e := range edits {
		var err error
		if e.delete {
			err = s.remove(r.workPath(e.path))
		} else if !r.workHolds(e, modes[i]) {
			err = s.install(pending[i], r.workPath(e.path))
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// stageFile prepares one file and the folders above it.
func (r *Repo) stageFile(s *swaps, w atomicfile.Writer, e edit, mode uint32) (*atomicfile.Pending, error) {
	path := r.workPath(e.path)
	if err := s.mkdir(w, filepath.Dir(path)); err != nil {
		return nil, err
	}
	if w.Temp == "" {
		if _, err := w.Sweep(filepath.Dir(path)); err != nil {
			return nil, err
		}
	}
	p, err := w.Prepare(path, e.blob.data, workMode(mode))
	if err != nil {
		return nil, err
	}
	// Whoever sweeps does so under the lock that we hold.
	if err := p.Release(); err != nil {
		p.Discard()
		return nil, err
	}
	return p, nil
}

// workHolds reports whether the file is already as it shall be.
func (r *Repo) workHolds(e edit, mode uint32) bool {
	info, err := r.opt.Files.Lstat(r.workPath(e.path))
	if err != nil || info.Mode()&0o100 != workMode(mode)&0o100 {
		return false
	}
	now, err := r.workBlob(e.path)
	return err == nil && now == e.blob.id
}

// smudge takes care of a blind spot of the index. Stock Git, as commonly
// built, compares times by the second: a file that was changed in the second
// in which the old index was written looks unchanged to it, and it suspects
// such entries because they are as young as the index. Our index is younger,
// so the suspicion is written down the way Git does: as size 0, which makes it
// read the file.
func (r *Repo) smudge(ix *gitIndex, edits []edit) {
	ours := map[string]bool{}
	for _, e := range edits {
		ours[e.path] = true
	}
	for i, e := range ix.entries {
		if e.stat().mtime.sec < uint32(ix.written.Unix()) || e.word(sizeAt) == 0 || ours[e.name] {
			continue
		}
		info, err := os.Lstat(r.workPath(e.name))
		if err != nil || !info.Mode().IsRegular() || statOf(info) == e.stat() && !ix.racy(e) {
			continue
		}
		if now, err := r.workBlob(e.name); err == nil && now == e.id() {
			continue
		}
		fixed := append([]byte(nil), e.fixed...)
		copy(fixed[sizeAt:], []byte{0, 0, 0, 0})
		ix.entries[i].fixed = fixed
	}
}

// racy reports whether an entry is as young as the index it stands in, so that
// equal times say nothing. Times without a fraction come from a file system
// that counts in steps of up to two seconds.
func (ix *gitIndex) racy(e indexEntry) bool {
	if ix.written.IsZero() {
		return false
	}
	var t fileTime
	t.set(ix.written.Unix(), int64(ix.written.Nanosecond()))
	m := e.stat().mtime
	if m.nsec == 0 {
		return m.sec+2 >= t.sec
	}
	return m.sec > t.sec || m.sec == t.sec && m.nsec >= t.nsec
}

// removeEmptyFolders removes the folders that a deletion left empty, as Git does.
func (r *Repo) removeEmptyFolders(file string) {
	for dir := filepath.Dir(file); strings.HasPrefix(dir, r.root+string(filepath.Separator)); dir = filepath.Dir(dir) {
		if r.opt.Files.Remove(dir) != nil {
			return
		}
	}
}
