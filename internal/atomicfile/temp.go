package atomicfile

import (
	"crypto/rand"
	"errors"
	"io/fs"
	"path/filepath"
	"strings"
)

// Temporary files are named so that a person who meets one knows whose it is,
// and so that Sweep takes nothing else.
const (
	tempPrefix = ".boltback-"
	tempSuffix = ".tmp"
)

// IsTemp reports whether a file name (without folders) is one that this
// package gives to temporary files.
func IsTemp(name string) bool {
	return len(name) > len(tempPrefix)+len(tempSuffix) &&
		strings.HasPrefix(name, tempPrefix) && strings.HasSuffix(name, tempSuffix)
}

// TempName returns a new name that IsTemp recognises.
func TempName() string { return tempPrefix + strings.ToLower(rand.Text()[:16]) + tempSuffix }

func (w Writer) createTemp(dir string, perm fs.FileMode) (File, string, error) {
	for {
		name := filepath.Join(dir, TempName())
		f, err := w.files().Create(name, perm)
		if !errors.Is(err, fs.ErrExist) {
			return f, name, err
		}
	}
}

// Sweep removes the temporary files that a crash left in a folder, and returns
// their names. A file that a running process is writing stays.
func Sweep(dir string) ([]string, error) { return Writer{}.Sweep(dir) }

// Sweep removes abandoned temporary files; see the function Sweep.
func (w Writer) Sweep(dir string) ([]string, error) {
	entries, err := w.files().ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var removed []string
	var failed []error
	for _, e := range entries {
		if !IsTemp(e.Name()) || !e.Type().IsRegular() {
			continue
		}
		gone, err := w.files().RemoveAbandoned(filepath.Join(dir, e.Name()))
		if err != nil {
			failed = append(failed, err)
		}
		if gone {
			removed = append(removed, e.Name())
		}
	}
	return removed, errors.Join(failed...)
}
