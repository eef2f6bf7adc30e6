package gitstore

import (
	"errors"
	"io/fs"
	"path/filepath"
	"strings"

	"boltback/internal/atomicfile"
)

// swaps replaces files one after another so that all of it can be taken back
// without needing space on the disk: the old file is kept under a second name.
type swaps struct {
	repo  *Repo
	undos []func() error // newest last
	kept  []string
	gone  []string // deleted from the work tree
	dirs  dirSet   // folders whose names are not durable yet
}

func newSwaps(r *Repo) *swaps { return &swaps{repo: r, dirs: dirSet{}} }

// sync makes durable what was installed and removed so far.
func (s *swaps) sync() error { return s.dirs.sync(s.repo.opt.Files) }

func (s *swaps) also(undo func() error) { s.undos = append(s.undos, undo) }

// install gives a prepared file its name; sync makes that durable.
func (s *swaps) install(p *atomicfile.Pending, target string) error {
	if err := s.keep(target); err != nil {
		return err
	}
	s.dirs.add(filepath.Dir(target))
	return p.Rename()
}

// remove takes a file away, if it is there.
func (s *swaps) remove(target string) error {
	if _, err := s.repo.opt.Files.Lstat(target); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err := s.keep(target); err != nil {
		return err
	}
	s.gone = append(s.gone, target)
	s.dirs.add(filepath.Dir(target))
	return s.repo.opt.Files.Remove(target)
}

// keep gives what is at target a second name, and notes how to bring it back.
func (s *swaps) keep(target string) error {
	files := s.repo.opt.Files
	_, err := files.Lstat(target)
	if errors.Is(err, fs.ErrNotExist) {
		s.also(func() error {
			if err := files.Remove(target); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
			return nil
		})
		return nil
	}
	if err != nil {
		return err
	}
	kept, err := s.secondName(target)
	if err != nil {
		return err
	}
	s.kept = append(s.kept, kept)
	s.also(func() error { return files.Rename(kept, target) })
	return nil
}

// secondName links a file or, where there are no links, copies it.
func (s *swaps) secondName(target string) (string, error) {
	r := s.repo
	dir := r.own
	if strings.HasPrefix(target, r.root) && r.workWriter().Temp == "" && !strings.HasPrefix(target, r.gitDir) {
		dir = filepath.Dir(target)
	}
	kept := filepath.Join(dir, atomicfile.TempName())
	err := r.opt.Files.Link(target, kept)
	if err == nil || !linksMissing(err) {
		return kept, err
	}
	info, err := r.opt.Files.Lstat(target)
	if err != nil {
		return "", err
	}
	data, err := r.opt.Files.ReadFile(target)
	if err != nil {
		return "", err
	}
	return kept, r.writer().Create(kept, data, info.Mode().Perm())
}

// mkdir makes the missing folders above a file.
func (s *swaps) mkdir(w atomicfile.Writer, dir string) error {
	var missing []string
	for d := dir; ; d = filepath.Dir(d) {
		if _, err := s.repo.opt.Files.Lstat(d); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		missing = append(missing, d)
	}
	if len(missing) == 0 {
		return nil
	}
	s.also(func() error {
		for _, d := range missing {
			// One that is not empty holds something of somebody else's by now.
			_ = s.repo.opt.Files.Remove(d)
		}
		return nil
	})
	return w.MkdirAll(dir, 0o777)
}

// undo takes everything back, the newest first.
func (s *swaps) undo() error {
	var errs []error
	for i := len(s.undos) - 1; i >= 0; i-- {
		errs = append(errs, s.undos[i]())
	}
	s.forget()
	return errors.Join(errs...)
}

// finish lets the old files go.
func (s *swaps) finish() {
	s.forget()
	for _, file := range s.gone {
		s.repo.removeEmptyFolders(file)
	}
}

// forget removes the second names. What cannot be removed is swept by the next
// run; a name that is in place again through Rename is not there any more.
func (s *swaps) forget() {
	for _, k := range s.kept {
		_ = s.repo.opt.Files.Remove(k)
	}
	s.kept = nil
}
