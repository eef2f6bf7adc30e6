package gitstore

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"boltback/internal/atomicfile"
)

// reflogEntry is the line that Git writes when a branch moves.
func reflogEntry(old, now Hash, who Person, message string) string {
	what := "commit"
	if old.IsZero() {
		what = "commit (initial)"
	}
	subject, _, _ := strings.Cut(strings.TrimLeft(message, "\n"), "\n\n")
	return fmt.Sprintf("%s %s %s\t%s: %s\n", old, now, who.encode(), what, strings.Join(strings.Fields(subject), " "))
}

// logs says whether Git would start a reflog for a reference; one that exists
// is always continued.
func (r *Repo) logs(ref string) bool {
	switch r.config.reflogs {
	case "always":
		return true
	case "":
		if r.Traits.Bare {
			return false
		}
	case "true", "yes", "on", "1":
	default:
		return false
	}
	return ref == "HEAD" || strings.HasPrefix(ref, "refs/heads/") ||
		strings.HasPrefix(ref, "refs/remotes/") || strings.HasPrefix(ref, "refs/notes/")
}

// appendReflogs writes one line for HEAD and one for the branch. undo takes
// them back.
func (r *Repo) appendReflogs(ref, line string) (undo func() error, err error) {
	refs := []string{"HEAD"}
	if ref != "HEAD" {
		refs = append(refs, ref)
	}
	var undos []func() error
	undo = func() error {
		var errs []error
		for _, u := range undos {
			errs = append(errs, u())
		}
		return errors.Join(errs...)
	}
	for _, ref := range refs {
		file := filepath.Join(r.refHome(ref), "logs", filepath.FromSlash(ref))
		info, err := os.Lstat(file)
		if errors.Is(err, fs.ErrNotExist) && !r.logs(ref) {
			continue
		}
		if err == nil && !info.Mode().IsRegular() {
			return nil, errors.Join(&fs.PathError{Op: "append", Path: file, Err: atomicfile.ErrNotRegular}, undo())
		}
		size, err := r.appendLine(file, line)
		if err != nil {
			return nil, errors.Join(err, undo())
		}
		undos = append(undos, func() error { return r.truncate(file, size) })
	}
	return undo, nil
}

// appendLine adds a line and makes it durable. A last line without an end was
// cut short by a crash or a full disk, and goes. It returns the size before.
func (r *Repo) appendLine(file, line string) (size int64, err error) {
	if err := r.makeFolder(filepath.Dir(file)); err != nil {
		return 0, err
	}
	whole, err := wholeLines(file)
	if err != nil {
		return 0, err
	}
	f, err := r.opt.Files.Append(file, 0o666)
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if err := f.Truncate(whole); err != nil {
		return 0, err
	}
	_, err = io.WriteString(f, line)
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		return 0, errors.Join(err, f.Truncate(whole))
	}
	if whole == 0 {
		return 0, r.opt.Files.SyncDir(filepath.Dir(file))
	}
	return whole, nil
}

// wholeLines returns the size of a file up to the end of its last whole line.
func wholeLines(file string) (int64, error) {
	f, err := os.Open(file)
	if errors.Is(err, fs.ErrNotExist) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	var b [1]byte
	for size := info.Size(); size > 0; size-- {
		if _, err := f.ReadAt(b[:], size-1); err != nil {
			return 0, err
		}
		if b[0] == '\n' {
			return size, nil
		}
	}
	return 0, nil
}

func (r *Repo) truncate(file string, size int64) error {
	f, err := r.opt.Files.Append(file, 0o666)
	if err != nil {
		return err
	}
	return errors.Join(f.Truncate(size), f.Sync(), f.Close())
}
