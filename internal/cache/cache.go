// Package cache remembers between runs what a check of a car found, so that the next check opens only files that changed.
//
// There are two files a car in the user's own cache folder, never in a ledger: the table, which says of every file how it
// looked on disk, its SHA-256, its ties and its findings, and the texts, to which the bytes of records are appended, so
// that rules which look at several records need not open them. Both may be deleted at any time. A table that is damaged,
// another edition's, another car's or not the user's own is as good as none; a text counts only if its SHA-256 is the one
// in the table. The answer is therefore the one that a check without a cache gives, as long as the file system tells the
// truth about its files: what it says is held against what it said, and a file that changed so shortly before it was read
// that a second change could look the same is read again (as Git does with its index).
//
// Records hold only digests of private values, so nothing private comes here. The program never verifies signatures or
// digests from a cache.
package cache

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"boltback/internal/ledger"
	"boltback/internal/validate"
)

// slack is how much older than its reading a file's last change must be, so that a later change cannot carry the same time:
// two seconds is the coarsest clock of a file system in use (FAT).
const slack = 2 * time.Second

// Folder is where the cache lies.
type Folder struct {
	// Path is the folder; it is made when something is written.
	Path string
	// Edition names the build of the program: what another build found is not believed.
	Edition string
	// Now is the clock.
	Now func() time.Time
}

// Memory is what is known of one car at the beginning of a check, and how its folder looks now.
type Memory struct {
	folder Folder
	at     string // the path of the table; that of the texts ends in .texts
	fsys   fs.FS
	header header
	before *validate.State
	items  []item // by path
	look   validate.Look
	texts  *texts
	// stale says that the table no longer describes the folder, although no content changed.
	stale bool
	now   time.Time
}

// item is one file as it lies there now, and what is known of its content.
type item struct {
	entry
	// known says that sum is the SHA-256 of the content, settled that no later change can look the same.
	known, settled bool
	sum            [sha256.Size]byte
	// kept says that the texts hold the content, from offset on.
	kept   bool
	offset int64
	// text is the content where this run has read it.
	text []byte
}

// Recall looks at a car's folder and at what is known of it. Car is its absolute path, beside that of its yard, or "": both
// belong to what is remembered. An error means that nothing can be remembered and everything must be read.
func (f Folder) Recall(car, beside string, fsys fs.FS) (*Memory, error) {
	name := sha256.Sum256([]byte(car))
	m := &Memory{
		folder: f, at: filepath.Join(f.Path, hex.EncodeToString(name[:16])), fsys: fsys,
		header: header{f.Edition, car, beside}, now: f.Now(),
	}
	var old *table
	var reading sync.WaitGroup
	reading.Go(func() { old, _ = f.read(m.at, m.header) }) // what cannot be read is not there
	found, err := survey(fsys)
	reading.Wait()
	if err != nil {
		return nil, err
	}
	m.texts = &texts{path: m.at + ".texts"}
	m.match(found, old)
	return m, nil
}

// Before is the state that an earlier check left, nil where there is none.
func (m *Memory) Before() *validate.State { return m.before }

// Look is the car's folder as it lies there now.
func (m *Memory) Look() validate.Look { return m.look }

// match holds what lies there against the table, and reads what may have changed.
func (m *Memory) match(found surveyed, old *table) {
	m.items = make([]item, len(found.files))
	m.look = validate.Look{FS: view{m}, Others: found.others, Unreadable: found.unreadable, Files: make([]ledger.File, len(found.files))}
	var rest []item
	if old != nil {
		m.before, rest = old.state, old.rows
	}
	gone := func(r item) { m.look.Changed = append(m.look.Changed, r.path) }
	for i, e := range found.files {
		for len(rest) > 0 && rest[0].path < e.path {
			gone(rest[0])
			rest = rest[1:]
		}
		m.items[i].entry = e
		m.look.Files[i] = ledger.File{Path: e.path, Size: e.size}
		if len(rest) == 0 || rest[0].path != e.path {
			m.look.Changed = append(m.look.Changed, e.path)
			continue
		}
		if !m.same(&m.items[i], rest[0]) {
			m.look.Changed = append(m.look.Changed, e.path)
		}
		rest = rest[1:]
	}
	for _, r := range rest {
		gone(r)
	}
}

// same finds out whether a file holds what the table says, and reads it where its look leaves that open.
func (m *Memory) same(now *item, was item) bool {
	m.stale = m.stale || now.entry != was.entry
	if !was.known { // only its being there and its size ever counted
		return now.size == was.size
	}
	if now.entry == was.entry && was.settled {
		*now = was
		return true
	}
	text, sum, err := m.content(now, was.kept)
	if err != nil {
		return false
	}
	now.known, now.sum, now.text, now.settled = true, sum, text, m.settles(now.entry)
	m.stale = m.stale || now.settled != was.settled
	if sum == was.sum {
		now.kept, now.offset = was.kept, was.offset
		return true
	}
	return false
}

// settles reports whether a file last changed long enough ago that a change after now cannot carry the same times.
func (m *Memory) settles(e entry) bool {
	return max(e.modified, e.changed) < m.now.Add(-slack).UnixNano()
}

// Keep writes down what the check found; where that is what stands there already, nothing is written.
func (m *Memory) Keep(now *validate.State) error {
	if now == m.before && !m.stale {
		return nil
	}
	if err := m.folder.prepare(); err != nil {
		return err
	}
	if err := m.texts.save(m.items); err != nil {
		return err
	}
	return m.folder.write(m.at, &table{m.header, now, m.items})
}

// Close gives the open file back.
func (m *Memory) Close() error { return m.texts.close() }

// prepare makes the folder and insists that nobody else can write in it.
func (f Folder) prepare() error {
	if err := os.MkdirAll(f.Path, 0o700); err != nil {
		return err
	}
	info, err := os.Lstat(f.Path)
	if err != nil {
		return err
	}
	if !info.IsDir() || !own(info) {
		return &fs.PathError{Op: "write", Path: f.Path, Err: fs.ErrPermission}
	}
	return nil
}
