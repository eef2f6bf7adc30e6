package cache

import (
	"crypto/sha256"
	"errors"
	"io/fs"
	"os"

	"boltback/internal/atomicfile"
)

// texts is the file to which the bytes of records are appended. It need not be intact: each text is believed only if its
// SHA-256 is the one in the table, so two runs that append at once cost a reading later and nothing else.
type texts struct {
	path string
	file *os.File
	shut bool // it cannot be opened
}

// most is how large a file of the cache may be.
const most = 1 << 30

// open opens a file of the cache if it is a regular file of the user's own and not too large.
func open(path string) (*os.File, fs.FileInfo, error) {
	f, err := os.OpenFile(path, os.O_RDONLY|notThroughLinks, 0)
	if err != nil {
		return nil, nil, err
	}
	info, err := f.Stat()
	if err == nil && (!info.Mode().IsRegular() || !own(info) || info.Size() > most) {
		err = &fs.PathError{Op: "read", Path: path, Err: fs.ErrPermission}
	}
	if err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	return f, info, nil
}

// get reads one text; ok is false where the file does not hold it.
func (t *texts) get(it *item) (text []byte, ok bool) {
	if t.file == nil && !t.shut {
		f, _, err := open(t.path)
		t.file, t.shut = f, err != nil
	}
	if t.file == nil || it.size > most {
		return nil, false
	}
	text = make([]byte, it.size)
	if _, err := t.file.ReadAt(text, it.offset); err != nil && len(text) > 0 {
		return nil, false
	}
	return text, sha256.Sum256(text) == it.sum
}

func (t *texts) close() error {
	if t.file == nil {
		return nil
	}
	err := t.file.Close()
	t.file, t.shut = nil, true
	return err
}

// save appends the texts that this run has read and the file lacks. Where more than half of the file would be texts that
// no record holds any more, it is written anew.
func (t *texts) save(items []item) error {
	var size, live int64
	info, err := os.Lstat(t.path)
	if err == nil && info.Mode().IsRegular() && own(info) {
		size = info.Size()
	}
	var fresh []byte
	for i := range items {
		if items[i].text != nil && !items[i].kept {
			fresh = append(fresh, items[i].text...)
		} else if items[i].kept {
			live += items[i].size
		}
	}
	if size == 0 || size > 2*live+1<<20 {
		return t.renew(items)
	}
	if len(fresh) == 0 {
		return nil
	}
	place(items, size)
	return t.append(fresh)
}

// place gives each text that is not kept its offset, from a first one on.
func place(items []item, at int64) {
	for i := range items {
		if it := &items[i]; it.text != nil && !it.kept {
			it.kept, it.offset = true, at
			at += int64(len(it.text))
		}
	}
}

func (t *texts) append(fresh []byte) error {
	f, err := atomicfile.OS{}.Append(t.path, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(fresh)
	return errors.Join(err, f.Close())
}

// renew writes the file anew with the texts that records hold today.
func (t *texts) renew(items []item) error {
	var all []byte
	for i := range items {
		it := &items[i]
		if it.text == nil && it.kept {
			it.text, _ = t.get(it)
		}
		it.kept = false
		all = append(all, it.text...)
	}
	place(items, 0)
	if len(all) == 0 {
		return nil
	}
	_, err := writer.Replace(t.path, all, 0o600)
	return err
}

// writer replaces files as a whole and does not wait for the disk: what a power failure takes from a cache is found damaged
// and written anew.
var writer = atomicfile.Writer{Files: unhurried{}}

type unhurried struct{ atomicfile.OS }

func (u unhurried) Create(name string, perm fs.FileMode) (atomicfile.File, error) {
	f, err := u.OS.Create(name, perm)
	if err != nil {
		return nil, err
	}
	return unsynced{f}, nil
}

func (unhurried) SyncDir(string) error { return nil }

type unsynced struct{ atomicfile.File }

func (unsynced) Sync() error { return nil }
