package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"hash/crc32"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// crate is a bag that a stranger packs: its files by name, and entries of the archive that are no such thing, or lie.
type crate struct {
	*testing.T
	files map[string]string
	odd   []entry
	bare  bool // the files lie at the top of the archive and in no folder
}

// entry is one entry of an archive, as its header has it.
type entry struct {
	name, text string
	mode       fs.FileMode
	kind       byte  // of tar; 0 is a file
	states     int64 // the size in the header, where it is not the text's
}

// crateOf reads a bag in a folder.
func crateOf(t *testing.T, bag string) *crate {
	t.Helper()
	c := &crate{T: t, files: map[string]string{}}
	err := filepath.WalkDir(bag, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(bag, path)
		c.files[filepath.ToSlash(name)] = text(t, path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func (c *crate) copy() *crate { return &crate{T: c.T, files: maps.Clone(c.files)} }

// seal writes the lists of the bag anew, as whoever makes it up can: they fit what lies there.
func (c *crate) seal() {
	var payload, tags strings.Builder
	bytes, n := 0, 0
	delete(c.files, "tagmanifest-sha256.txt")
	delete(c.files, "manifest-sha256.txt")
	for _, name := range slices.Sorted(maps.Keys(c.files)) {
		if strings.HasPrefix(name, "data/") {
			bytes, n = bytes+len(c.files[name]), n+1
			fmt.Fprintf(&payload, "%x  %s\n", sha256.Sum256([]byte(c.files[name])), strings.ReplaceAll(name, "%", "%25"))
		}
	}
	c.files["manifest-sha256.txt"] = payload.String()
	info := strings.SplitAfterN(c.files["bag-info.txt"], "\n", 2)
	c.files["bag-info.txt"] = fmt.Sprintf("Payload-Oxum: %d.%d\n%s", bytes, n, info[1])
	for _, name := range slices.Sorted(maps.Keys(c.files)) {
		if !strings.HasPrefix(name, "data/") {
			fmt.Fprintf(&tags, "%x  %s\n", sha256.Sum256([]byte(c.files[name])), name)
		}
	}
	c.files["tagmanifest-sha256.txt"] = tags.String()
}

// says puts another value behind a label of bag-info.txt.
func (c *crate) says(label, value string) {
	lines := strings.Split(c.files["bag-info.txt"], "\n")
	for i, line := range lines {
		if strings.HasPrefix(line, label+": ") {
			lines[i] = label + ": " + value
		}
	}
	c.files["bag-info.txt"] = strings.Join(lines, "\n")
}

func (c *crate) entries() []entry {
	folder := "bag/"
	if c.bare {
		folder = ""
	}
	list := []entry{}
	for _, name := range slices.Sorted(maps.Keys(c.files)) {
		list = append(list, entry{name: folder + name, text: c.files[name], mode: 0o644})
	}
	return append(list, c.odd...)
}

// pack writes the archive that the ending of its name says.
func (c *crate) pack(to string) {
	c.Helper()
	var b bytes.Buffer
	if strings.HasSuffix(to, ".zip") {
		c.zip(&b)
	} else {
		c.tar(&b)
	}
	if err := os.WriteFile(to, b.Bytes(), 0o644); err != nil {
		c.Fatal(err)
	}
}

func (c *crate) zip(b *bytes.Buffer) {
	z := zip.NewWriter(b)
	var deflated bytes.Buffer
	w, err := flate.NewWriter(&deflated, flate.BestSpeed)
	if err != nil {
		c.Fatal(err)
	}
	for _, e := range c.entries() {
		deflated.Reset()
		w.Reset(&deflated)
		_, _ = w.Write([]byte(e.text))
		_ = w.Close()
		head := &zip.FileHeader{Name: e.name, Method: zip.Deflate, CRC32: crc32.ChecksumIEEE([]byte(e.text)),
			CompressedSize64: uint64(deflated.Len()), UncompressedSize64: uint64(e.stated())}
		head.SetMode(e.mode)
		raw, err := z.CreateRaw(head)
		if err != nil {
			c.Fatal(err)
		}
		_, _ = raw.Write(deflated.Bytes())
	}
	if err := z.Close(); err != nil {
		c.Fatal(err)
	}
}

func (c *crate) tar(b *bytes.Buffer) {
	z := gzip.NewWriter(b)
	w := tar.NewWriter(z)
	for _, e := range c.entries() {
		head := &tar.Header{Name: e.name, Typeflag: e.kind, Mode: int64(e.mode.Perm()), Size: e.stated()}
		switch {
		case e.kind != 0:
			head.Linkname, head.Size, e.text = e.text, 0, ""
		case e.mode&fs.ModeSymlink != 0:
			head.Typeflag, head.Linkname, head.Size, e.text = tar.TypeSymlink, e.text, 0, ""
		}
		if err := w.WriteHeader(head); err != nil {
			c.Fatal(err)
		}
		_, _ = w.Write([]byte(e.text))
		if e.states > 0 { // an archive goes on after so many bytes, so that it has to end here
			_ = z.Close()
			return
		}
	}
	_, _ = w.Close(), z.Close()
}

func (e entry) stated() int64 {
	if e.states > 0 {
		return e.states
	}
	return int64(len(e.text))
}

// lying is every file below a folder, with its mode and the digest of its bytes.
func lyingBelow(t *testing.T, folder string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		all[path] = info.Mode().String()
		if d.Type().IsRegular() {
			all[path] += fmt.Sprintf(" %x", sha256.Sum256([]byte(text(t, path))))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func sha256Hex(content string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(content))) }
