package signoff

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"unicode"

	"boltback/internal/record"
)

// Manifest lists the SHA-256 digests of all files of a car at one commit. Its
// bytes are the message of a signed tag, its own digest is what an authority
// stamps: so a stamp does not rest on Git's SHA-1. Stock tools check it with
// "sha256sum -c", which passes over lines that begin with #.
type Manifest struct {
	Ledger string // the first commit
	Commit string // that it was made over
	Tree   string
	// Before is the stamp before this one; zero for the first. Together they form
	// a chain: whoever holds the last link can tell if one was left out.
	Before Link
	Files  []FileDigest // by path
}

// Link names a stamp by its tag and the digest of its manifest.
type Link struct {
	Tag    string
	Digest record.Digest
}

// FileDigest is one file of a manifest.
type FileDigest struct {
	Path   string
	Digest record.Digest
}

const (
	manifestTitle   = "# boltback manifest 1"
	longestManifest = 64 << 20
	mostFiles       = 500_000
)

// NewManifest reads all files of a car, each as a stream, and makes their
// manifest. Names that a line cannot carry are an error.
func NewManifest(fsys fs.FS, ledger, commit, tree string, before Link) (Manifest, error) {
	m := Manifest{Ledger: ledger, Commit: commit, Tree: tree, Before: before}
	err := fs.WalkDir(fsys, ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if p == ".git" {
				return fs.SkipDir
			}
			return nil
		}
		if !d.Type().IsRegular() {
			return fmt.Errorf("%q is neither a file nor a folder", p)
		}
		sum, err := digestFile(fsys, p)
		m.Files = append(m.Files, FileDigest{p, sum})
		return err
	})
	if err != nil {
		return Manifest{}, fmt.Errorf("listing the files: %w", err)
	}
	slices.SortFunc(m.Files, func(a, b FileDigest) int { return strings.Compare(a.Path, b.Path) })
	if err := m.check(); err != nil {
		return Manifest{}, err
	}
	return m, nil
}

func digestFile(fsys fs.FS, name string) (record.Digest, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return "", err
	}
	hash := sha256.New()
	_, err = io.Copy(hash, f)
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	return record.Digest(hex.EncodeToString(hash.Sum(nil))), err
}

// Bytes writes the manifest in its one form.
func (m Manifest) Bytes() []byte {
	var out bytes.Buffer
	fmt.Fprintf(&out, "%s\n# ledger %s\n# commit %s\n# tree %s\n", manifestTitle, m.Ledger, m.Commit, m.Tree)
	if m.Before == (Link{}) {
		out.WriteString("# before none\n")
	} else {
		fmt.Fprintf(&out, "# before %s %s\n", m.Before.Digest, m.Before.Tag)
	}
	for _, f := range m.Files {
		fmt.Fprintf(&out, "%s  %s\n", f.Digest, f.Path)
	}
	return out.Bytes()
}

// Digest is the SHA-256 of the manifest's bytes: what an authority stamps.
func (m Manifest) Digest() record.Digest { return digest(m.Bytes()) }

func (m Manifest) sum() [32]byte { return sha256.Sum256(m.Bytes()) }

// ParseManifest reads what Bytes writes, and nothing else.
func ParseManifest(data []byte) (Manifest, error) {
	if len(data) > longestManifest {
		return Manifest{}, fmt.Errorf("a manifest of %d bytes, at most %d are read", len(data), longestManifest)
	}
	lines := strings.Split(string(data), "\n")
	if len(lines) < 6 || lines[0] != manifestTitle {
		return Manifest{}, fmt.Errorf("no manifest: it begins with the line %q", manifestTitle)
	}
	var m Manifest
	for i, h := range []struct {
		name string
		into *string
	}{{"# ledger ", &m.Ledger}, {"# commit ", &m.Commit}, {"# tree ", &m.Tree}} {
		value, ok := strings.CutPrefix(lines[i+1], h.name)
		if *h.into = value; !ok {
			return Manifest{}, fmt.Errorf("line %d of the manifest is not %q", i+2, h.name)
		}
	}
	before, ok := strings.CutPrefix(lines[4], "# before ")
	if sum, tag, two := strings.Cut(before, " "); two {
		m.Before = Link{tag, record.Digest(sum)}
	} else if !ok || before != "none" {
		return Manifest{}, errors.New("line 5 of the manifest does not name the stamp before")
	}
	for i, line := range lines[5 : len(lines)-1] {
		sum, name, ok := strings.Cut(line, "  ")
		if !ok || i > mostFiles {
			return Manifest{}, fmt.Errorf("line %d of the manifest is no digest and name, or one too many", i+6)
		}
		m.Files = append(m.Files, FileDigest{name, record.Digest(sum)})
	}
	if err := m.check(); err != nil {
		return Manifest{}, err
	}
	if !bytes.Equal(m.Bytes(), data) {
		return Manifest{}, errors.New("the manifest is not as it is written")
	}
	return m, nil
}

// check holds a manifest to what has one reading, here and for sha256sum.
func (m Manifest) check() error {
	for _, id := range []string{m.Ledger, m.Commit, m.Tree} {
		if !isID(id) {
			return fmt.Errorf("%q in a manifest is no id of a commit or tree", id)
		}
	}
	if m.Before != (Link{}) && (!isDigest(m.Before.Digest) || !plainName(m.Before.Tag)) {
		return fmt.Errorf("the stamp before, %q, is not named by tag and digest", m.Before.Tag)
	}
	if len(m.Files) == 0 {
		return errors.New("a manifest of no files")
	}
	for i, f := range m.Files {
		if !isDigest(f.Digest) || !plainName(f.Path) || !fs.ValidPath(f.Path) {
			return fmt.Errorf("%q cannot stand in a manifest with the digest %q", f.Path, f.Digest)
		}
		if i > 0 && m.Files[i-1].Path >= f.Path {
			return fmt.Errorf("%q does not come after %q in the manifest", f.Path, m.Files[i-1].Path)
		}
	}
	return nil
}

func isDigest(d record.Digest) bool {
	return len(d) == 64 && strings.Trim(string(d), "0123456789abcdef") == ""
}

// plainName refuses what sha256sum writes otherwise than it is, or a terminal
// would obey.
func plainName(name string) bool {
	return name != "" && len(name) <= 1000 && name == path.Clean(name) &&
		strings.IndexFunc(name, func(r rune) bool { return !unicode.IsPrint(r) || r == '\\' || r == unicode.ReplacementChar }) < 0
}

// Deviation is a file that is not as a manifest has it.
type Deviation struct {
	Path string
	// Then and Now are its digests; "" where it was or is not there.
	Then, Now record.Digest
}

// Compare lists the files of a car that are not as a manifest has them.
func (m Manifest) Compare(now Manifest) []Deviation {
	var list []Deviation
	then := map[string]record.Digest{}
	for _, f := range m.Files {
		then[f.Path] = f.Digest
	}
	for _, f := range now.Files {
		if d := then[f.Path]; d != f.Digest {
			list = append(list, Deviation{f.Path, d, f.Digest})
		}
		delete(then, f.Path)
	}
	for p, d := range then {
		list = append(list, Deviation{p, d, ""})
	}
	slices.SortFunc(list, func(a, b Deviation) int { return strings.Compare(a.Path, b.Path) })
	return list
}
