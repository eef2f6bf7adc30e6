package gitstore

import (
	"errors"
	"io/fs"
	"path/filepath"
	"runtime"

	"boltback/internal/atomicfile"
)

// Init makes an empty repository with the unborn branch main in dir, which is
// created if need be, and opens it. In a folder that is a repository already
// nothing is changed, and the error is fs.ErrExist. HEAD is written last: what
// a crash leaves is no repository yet, and Init completes it.
func Init(dir string) (*Repo, error) { return InitWith(dir, Options{}) }

// InitWith is Init with a file system, a clock and patience of the caller's.
func InitWith(dir string, opt Options) (*Repo, error) {
	opt = opt.withDefaults()
	w := atomicfile.Writer{Files: opt.Files}
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	git := filepath.Join(abs, ".git")
	if _, err := opt.Files.Lstat(filepath.Join(git, "HEAD")); !errors.Is(err, fs.ErrNotExist) {
		if err == nil {
			err = fs.ErrExist
		}
		return nil, &fs.PathError{Op: "init", Path: abs, Err: err}
	}
	for _, sub := range []string{"objects/info", "objects/pack", "refs/heads", "refs/tags", "info"} {
		if err := w.MkdirAll(filepath.Join(git, filepath.FromSlash(sub)), 0o777); err != nil {
			return nil, err
		}
	}
	mode := "true"
	if runtime.GOOS == "windows" {
		mode = "false"
	}
	config := "[core]\n\trepositoryformatversion = 0\n\tfilemode = " + mode + "\n\tbare = false\n\tlogallrefupdates = true\n"
	for _, f := range [][2]string{{"config", config}, {"HEAD", "ref: refs/heads/main\n"}} {
		if _, err := w.Replace(filepath.Join(git, f[0]), []byte(f[1]), 0o666); err != nil {
			return nil, err
		}
	}
	return OpenWith(abs, opt)
}
