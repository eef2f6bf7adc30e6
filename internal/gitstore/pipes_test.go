//go:build unix

package gitstore

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestPipesAndFilesWithoutEndAreNotReadForEver puts what would hold a reader up where Git has files.
func TestPipesAndFilesWithoutEndAreNotReadForEver(t *testing.T) {
	for _, name := range []string{"HEAD", "config", "packed-refs", "index", "shallow", "refs/heads/main", "objects/info/alternates", "objects/pack/pack-1.idx"} {
		for kind, make := range map[string]func(string) error{
			"a pipe": func(path string) error { return syscall.Mkfifo(path, 0o600) },
			"a file without end": func(path string) error {
				return errors.Join(os.WriteFile(path, nil, 0o600), os.Truncate(path, 1<<42))
			},
		} {
			t.Run(name+" is "+kind, func(t *testing.T) {
				b := newBench(t)
				b.commit("one", "a.json", "1\n")
				path := filepath.Join(b.dir, ".git", name)
				if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
					t.Fatal(err)
				}
				if err := make(path); errors.Is(err, syscall.EFBIG) {
					t.Skip("this file system has no such files")
				} else if err != nil {
					t.Fatal(err)
				}
				done := time.AfterFunc(time.Minute, func() { panic("the reader is held up by " + name) })
				defer done.Stop()
				r, err := Open(b.dir)
				if err == nil {
					defer r.Close()
					_, err = r.Revision("abcdef")
				}
				if err == nil || !strings.Contains(err.Error(), "no plain file") && !strings.Contains(err.Error(), "at most") && !strings.Contains(err.Error(), "symlink") {
					t.Errorf("got %v", err)
				}
			})
		}
	}
}
