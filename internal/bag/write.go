package bag

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Create makes a new file of a bag that is being written, by its name in the bag, and has fill give its bytes.
type Create func(name string, size Size, fill func(io.Writer) error) error

// Size gives how many bytes a file is to have, for archives that state it first. Where nobody knows, its bytes are made once
// and counted, so that they have to come out the same twice.
type Size func() (int64, error)

// Writer writes a bag of version 1.0 with SHA-256 manifests, file by file; nothing of a file is held in memory.
type Writer struct {
	create  Create
	payload []line
	tags    []line
	bytes   int64
	seen    map[string]bool
}

// line is a file that a manifest is to list.
type line struct{ name, digest string }

// NewWriter begins a bag whose files create makes.
func NewWriter(create Create) *Writer { return &Writer{create: create, seen: map[string]bool{}} }

// Add writes a file of the payload. Its name is slash-separated below data/, and no other file's in any system's eyes.
func (w *Writer) Add(name string, fill func(io.Writer) error) error {
	return w.AddSized(name, counted(fill), fill)
}

// AddSized is Add for a file whose size is known without reading it.
func (w *Writer) AddSized(name string, size Size, fill func(io.Writer) error) error {
	n, digest, err := w.put("data/"+name, size, fill)
	w.bytes += n
	w.payload = append(w.payload, line{"data/" + name, digest})
	return err
}

// AddTag writes a file beside the payload, such as a page that says what the bag is.
func (w *Writer) AddTag(name string, fill func(io.Writer) error) error {
	_, digest, err := w.put(name, counted(fill), fill)
	w.tags = append(w.tags, line{name, digest})
	return err
}

// counted works out a size by making the bytes once for nobody.
func counted(fill func(io.Writer) error) Size {
	return func() (int64, error) {
		var length counter
		err := fill(&length)
		return int64(length), err
	}
}

// put writes one file and gives its length and digest.
func (w *Writer) put(name string, size Size, fill func(io.Writer) error) (n int64, digest string, err error) {
	if !plainName(name) {
		return 0, "", fmt.Errorf("%q cannot be a file of a bag: it would lead out of it, on some system", name)
	}
	if w.seen[folded(name)] {
		return 0, "", fmt.Errorf("%q cannot be a file of this bag: another has that name where case does not count", name)
	}
	w.seen[folded(name)] = true
	sum := sha256.New()
	var length counter
	err = w.create(name, size, func(to io.Writer) error { return fill(io.MultiWriter(to, sum, &length)) })
	return int64(length), hex.EncodeToString(sum.Sum(nil)), err
}

type counter int64

// Write implements io.Writer.
func (c *counter) Write(p []byte) (int, error) { *c += counter(len(p)); return len(p), nil }

// Finish writes the tag files (RFC 8493, 2.1.1, 2.1.3, 2.2.1, 2.2.2); Payload-Oxum goes before the fields that are given.
func (w *Writer) Finish(info []Field) error {
	var text strings.Builder
	fmt.Fprintf(&text, "Payload-Oxum: %d.%d\n", w.bytes, len(w.payload))
	for _, f := range info {
		if strings.ContainsAny(f.Label+f.Value, "\r\n") || strings.Contains(f.Label, ":") {
			return errors.New("a line of bag-info.txt would break")
		}
		fmt.Fprintf(&text, "%s: %s\n", f.Label, f.Value)
	}
	for _, tag := range []struct{ name, text string }{
		{"bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"},
		{"bag-info.txt", text.String()},
		{"manifest-sha256.txt", listing(w.payload)},
	} {
		if err := w.AddTag(tag.name, says(tag.text)); err != nil {
			return err
		}
	}
	last := says(listing(w.tags))
	_, _, err := w.put("tagmanifest-sha256.txt", counted(last), last)
	return err
}

func says(text string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, text); return err }
}

// listing is a manifest. Names are written as they are but for a percent sign and line breaks (RFC 8493, 2.1.3); sha256sum
// reads it too, as long as none of these stands in a name.
func listing(lines []line) string {
	slices.SortFunc(lines, func(a, b line) int { return strings.Compare(a.name, b.name) })
	var b strings.Builder
	escape := strings.NewReplacer("%", "%25", "\n", "%0A", "\r", "%0D")
	for _, l := range lines {
		fmt.Fprintf(&b, "%s  %s\n", l.digest, escape.Replace(l.name))
	}
	return b.String()
}
