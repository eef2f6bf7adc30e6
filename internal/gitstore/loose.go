package gitstore

import (
	"bufio"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
)

// loose is an object that has a file of its own, open behind its head.
type loose struct {
	kind plumbing.ObjectType
	size int64
	in   *bufio.Reader
	file io.Closer
}

// openLoose opens the file of an object; the error is fs.ErrNotExist where it has none.
func openLoose(dir string, id Hash) (*loose, error) {
	name := id.String()
	file, _, err := openWithin(dir, name[:2]+"/"+name[2:])
	if err != nil {
		return nil, err
	}
	l := &loose{file: file}
	if err := l.head(file); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return l, nil
}

// longestLooseHead is more than "commit", a space, a size and a zero byte take.
const longestLooseHead = 32

func (l *loose) head(file io.Reader) error {
	z, err := zlib.NewReader(bufio.NewReader(file))
	if err != nil {
		return err
	}
	l.in = bufio.NewReader(z)
	var head []byte
	for len(head) < longestLooseHead {
		c, err := l.in.ReadByte()
		if err != nil {
			return err
		}
		if c == 0 {
			return l.parse(string(head))
		}
		head = append(head, c)
	}
	return errors.New("it has no head of an object")
}

func (l *loose) parse(head string) (err error) {
	kind, size, _ := strings.Cut(head, " ")
	if l.kind, err = plumbing.ParseObjectType(kind); err != nil || l.kind.IsDelta() {
		return fmt.Errorf("it is of a kind %q that there is not", kind)
	}
	if l.size, err = strconv.ParseInt(size, 10, 64); err != nil || l.size < 0 || l.size > largestObject {
		return fmt.Errorf("it states %q bytes, and at most %d are read", size, int64(largestObject))
	}
	return nil
}

func (l *loose) read() ([]byte, error) { return sized(l.in, l.size) }

// looseWithPrefix lists the objects with files of their own whose ids begin with digits, of which there are at least two.
func looseWithPrefix(dir, digits string) ([]Hash, error) {
	top, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer top.Close()
	list, err := fs.ReadDir(top.FS(), digits[:2])
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", filepath.Join(dir, digits[:2]), err)
	}
	var ids []Hash
	for _, e := range list {
		if id, err := ParseHash(digits[:2] + e.Name()); err == nil && strings.HasPrefix(id.String(), digits) {
			ids = append(ids, id)
		}
	}
	return ids, nil
}
