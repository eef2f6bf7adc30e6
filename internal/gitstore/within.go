package gitstore

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// largestFile bounds a file of a repository that is read whole: references, settings, the index. A repository with a million
// files has an index of a tenth of it.
const largestFile = 1 << 30

// openWithin opens a file below a folder, by its slash-separated name, for reading. It must be a plain file and lie within
// that folder: where Git has files a stranger's repository may have links to anywhere, and pipes that nobody ever
// writes to.
func openWithin(dir, name string) (*os.File, fs.FileInfo, error) {
	top, err := os.OpenRoot(dir)
	if err != nil {
		return nil, nil, err
	}
	defer top.Close()
	local := filepath.FromSlash(name)
	noPlainFile := fmt.Errorf("%s is no plain file", filepath.Join(dir, local))
	switch before, err := top.Stat(local); { // opening a pipe would wait for a writer
	case err != nil:
		return nil, nil, err
	case !before.Mode().IsRegular():
		return nil, nil, noPlainFile
	}
	f, err := top.Open(local)
	if err != nil {
		return nil, nil, err
	}
	info, err := f.Stat() // of what was opened: another process may have put a new file there meanwhile
	if err == nil && !info.Mode().IsRegular() {
		err = noPlainFile
	}
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	return f, info, nil
}

// readWithin reads a file whole that openWithin opens.
func readWithin(dir, name string) ([]byte, error) {
	f, info, err := openWithin(dir, name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info.Size() > largestFile {
		return nil, fmt.Errorf("%s has %d bytes, and at most %d are read", f.Name(), info.Size(), int64(largestFile))
	}
	data := make([]byte, info.Size())
	if _, err := io.ReadFull(f, data); err != nil {
		return nil, fmt.Errorf("%s changed while it was read: %w", f.Name(), err)
	}
	return data, nil
}
