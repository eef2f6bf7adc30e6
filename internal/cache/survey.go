package cache

import (
	"errors"
	"io/fs"
	"runtime"
	"slices"
	"strings"
	"sync"
)

// Bounds on a folder that may come from a stranger; past them nothing is remembered, and the check itself says why.
const (
	mostFiles = 500_000
	mostDepth = 10
)

var errTooMuch = errors.New("the folder holds more than a car's ledger does")

// entry is how one file looks on disk, without opening it. Times are nanoseconds since 1970; what a system does not tell is 0.
type entry struct {
	path              string
	size              int64
	modified, changed int64
	inode             uint64
}

// surveyed is a folder as it lies there: its regular files by path, and everything else.
type surveyed struct {
	files      []entry
	others     []string
	unreadable bool
}

// survey lists a folder and everything below, and opens no file. Several folders are listed at once, as waiting for the
// disk is most of it.
func survey(fsys fs.FS) (surveyed, error) {
	w := &walk{fsys: fsys, free: make(chan struct{}, 2*runtime.GOMAXPROCS(0))}
	w.busy.Add(1)
	w.folder(".")
	w.busy.Wait()
	slices.SortFunc(w.found.files, func(a, b entry) int { return strings.Compare(a.path, b.path) })
	slices.Sort(w.found.others)
	return w.found, w.err
}

// walk is a survey under way; mu guards found and err.
type walk struct {
	fsys  fs.FS
	free  chan struct{} // room for more folders at once
	busy  sync.WaitGroup
	mu    sync.Mutex
	found surveyed
	err   error
}

// folder lists one folder and sees to those in it.
func (w *walk) folder(name string) {
	defer w.busy.Done()
	list, err := fs.ReadDir(w.fsys, name)
	var part surveyed
	part.unreadable = err != nil
	part.files = make([]entry, 0, len(list))
	under := name + "/"
	if name == "." {
		under = ""
	}
	for _, d := range list {
		at := under + d.Name()
		if at != ".git" {
			w.enter(&part, at, d)
		}
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.found.files = append(w.found.files, part.files...)
	w.found.others = append(w.found.others, part.others...)
	w.found.unreadable = w.found.unreadable || part.unreadable
	if len(w.found.files) > mostFiles {
		w.err = errTooMuch
	}
}

// enter notes one entry of a folder, and goes into it where it is one.
func (w *walk) enter(part *surveyed, at string, d fs.DirEntry) {
	switch {
	case d.IsDir():
		part.others = append(part.others, at)
		if strings.Count(at, "/") < mostDepth {
			w.descend(at)
		}
	case d.Type().IsRegular():
		info, err := d.Info()
		if err != nil {
			part.unreadable = true
			return
		}
		part.files = append(part.files, entryOf(at, info))
	default:
		part.others = append(part.others, at+" "+d.Type().String())
	}
}

// descend lists a folder beside this one if there is room, else within it.
func (w *walk) descend(at string) {
	w.busy.Add(1)
	select {
	case w.free <- struct{}{}:
		go func() {
			w.folder(at)
			<-w.free
		}()
	default:
		w.folder(at)
	}
}
