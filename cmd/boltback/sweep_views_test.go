package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"compress/zlib"
	"context"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"html"
	"io"
	"maps"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"boltback/internal/doc"
	"boltback/internal/page"
	"boltback/internal/render"
)

// letters gives letters and figures alone, in lower case, so that neither spaces, punctuation and line ends nor the zeros
// of two-byte encodings hide a value.
func letters(text []byte) []byte {
	flat := make([]byte, 0, len(text))
	for _, c := range text {
		switch {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9', c >= 0x80:
			flat = append(flat, c)
		case c >= 'A' && c <= 'Z':
			flat = append(flat, c|0x20)
		}
	}
	return flat
}

// readings gives a thing as it lies, and with the escapes of pages, of JSON and PDF, and of addresses undone; one inside the
// other too, for records lie in pages.
func readings(thing []byte) map[string][]byte {
	all := map[string][]byte{"as it lies": thing}
	if bytes.HasPrefix(thing, []byte(jpegHead)) || bytes.HasPrefix(thing, []byte(pngHead)) {
		return all
	}
	for range 2 {
		for way, text := range maps.Clone(all) {
			for by, undo := range map[string]func([]byte) []byte{"as a page": ofPage, "without escapes": unescaped, "without per cents": unquoted} {
				if plain := undo(text); !strings.HasSuffix(way, by) && !bytes.Equal(plain, text) {
					all[way+", "+by] = plain
				}
			}
		}
	}
	return all
}

const jpegHead, pngHead = "\xff\xd8\xff", "\x89PNG"

var tagForm = regexp.MustCompile(`<[a-zA-Z/!][^<>]*>`)

func ofPage(text []byte) []byte {
	switch tags, marks := bytes.IndexByte(text, '<') >= 0, bytes.IndexByte(text, '&') >= 0; {
	case bytes.IndexByte(text, 0) >= 0 || !tags && !marks:
		return text
	case tags:
		text = tagForm.ReplaceAll(text, nil)
	}
	return []byte(html.UnescapeString(string(text)))
}

var escapeForm = regexp.MustCompile(`\\(?:u[0-9a-fA-F]{4}|x[0-9a-fA-F]{2}|[0-7]{3}|[nrtbf])`)

func unescaped(text []byte) []byte {
	if bytes.IndexByte(text, '\\') < 0 {
		return text
	}
	return escapeForm.ReplaceAllFunc(text, func(e []byte) []byte {
		base, figures := 16, string(e[2:])
		if e[1] >= '0' && e[1] <= '7' {
			base, figures = 8, string(e[1:])
		}
		if n, err := strconv.ParseUint(figures, base, 32); err == nil {
			return []byte(string(rune(n)))
		}
		return []byte(" ")
	})
}

var percentForm = regexp.MustCompile(`%[0-9a-fA-F]{2}`)

func unquoted(text []byte) []byte {
	if bytes.IndexByte(text, '%') < 0 {
		return text
	}
	return percentForm.ReplaceAllFunc(text, func(q []byte) []byte {
		plain, _ := url.PathUnescape(string(q))
		return []byte(plain)
	})
}

// packed is something that lay inside another thing, in one of the forms.
type packed struct {
	form, name string
	bytes      []byte
}

// unpack gives what is inside a thing: a packed file, a page for paper, a bundle of Git, and what stands in a text as base64 or
// in hexadecimal figures.
func unpack(thing []byte) []packed {
	switch {
	case bytes.HasPrefix(thing, []byte("%PDF-")):
		return inPDF(thing)
	case bytes.HasPrefix(thing, []byte("PK\x03\x04")):
		return inZIP(thing)
	case bytes.HasPrefix(thing, []byte("\x1f\x8b")):
		z, err := gzip.NewReader(bytes.NewReader(thing))
		return inflated("gzip", z, err)
	case len(thing) > 2 && thing[0]&0x0f == 8 && (int(thing[0])<<8|int(thing[1]))%31 == 0:
		z, err := zlib.NewReader(bytes.NewReader(thing))
		return inflated("zlib", z, err)
	case len(thing) > 262 && string(thing[257:262]) == "ustar":
		return inTar(thing)
	case bytes.HasPrefix(thing, []byte("# v2 git bundle\n")), bytes.HasPrefix(thing, []byte("# v3 git bundle\n")):
		return inBundle(thing)
	case bytes.HasPrefix(thing, []byte(jpegHead)), bytes.HasPrefix(thing, []byte(pngHead)):
		return nil
	}
	return inText(thing)
}

func inflated(form string, r io.Reader, err error) []packed {
	if err != nil {
		return nil
	}
	plain, _ := io.ReadAll(r) // what there is of it counts
	return []packed{{form, "inflated", plain}}
}

func inZIP(thing []byte) (list []packed) {
	z, err := zip.NewReader(bytes.NewReader(thing), int64(len(thing)))
	if err != nil {
		return nil
	}
	for _, f := range z.File {
		if r, err := f.Open(); err == nil {
			plain, _ := io.ReadAll(r)
			list = append(list, packed{"zip", f.Name, plain})
		}
	}
	return list
}

func inTar(thing []byte) (list []packed) {
	for r := tar.NewReader(bytes.NewReader(thing)); ; {
		head, err := r.Next()
		if err != nil {
			return list
		}
		plain, _ := io.ReadAll(r)
		list = append(list, packed{"tar", head.Name, plain})
	}
}

func inPDF(thing []byte) (list []packed) {
	for i, stream := range page.Streams(thing) {
		// The line before endstream is no part of a picture.
		list = append(list, packed{"PDF", fmt.Sprintf("stream %d", i), bytes.TrimRight(stream, "\r\n")})
	}
	words := exec.Command("pdftotext", "-", "-")
	words.Stdin = bytes.NewReader(thing)
	if text, err := words.Output(); err == nil {
		list = append(list, packed{"PDF, words", "its words", text})
	}
	return list
}

func inBundle(thing []byte) []packed {
	dir, err := os.MkdirTemp("", "bundle")
	if err != nil {
		return nil
	}
	defer os.RemoveAll(dir)
	file, clone := filepath.Join(dir, "b"), filepath.Join(dir, "clone")
	if os.WriteFile(file, thing, 0o600) != nil || exec.Command("git", "clone", "-q", "--mirror", file, clone).Run() != nil {
		return nil
	}
	all, err := objectsOf(clone)
	if err != nil {
		return nil
	}
	for i := range all {
		all[i].form = "bundle"
	}
	return all
}

// leastRun is how long base64 or hexadecimal figures have to go on to be taken for what they may be.
const leastRun = 24

func inText(thing []byte) (list []packed) {
	if bytes.IndexByte(thing, '&') >= 0 && bytes.IndexByte(thing, 0) < 0 {
		thing = []byte(html.UnescapeString(string(thing))) // a page writes + as a number
	}
	begin := 0
	for i := 0; i <= len(thing); i++ {
		if i < len(thing) && base64Letters[thing[i]] {
			continue
		}
		run := thing[begin:i]
		if begin = i + 1; len(run) < leastRun {
			continue
		}
		if plain, err := hex.DecodeString(string(run[:len(run)&^1])); err == nil {
			list = append(list, packed{"hex", "its figures", plain})
		}
		coding := base64.RawStdEncoding
		if bytes.ContainsAny(run, "-_") {
			coding = base64.RawURLEncoding
		}
		if plain, err := coding.DecodeString(strings.TrimRight(string(run), "=")); err == nil {
			list = append(list, packed{"base64", "its base64", plain})
		}
	}
	return list
}

// base64Letters are those of both alphabets, and the filling.
var base64Letters = func() (in [256]bool) {
	for _, c := range []byte("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/-_=") {
		in[c] = true
	}
	return in
}()

// TestTheSweepSeesAValueWhereverItIsLaid plants a value in each form, or the sweep could be blind and nobody would know.
func TestTheSweepSeesAValueWhereverItIsLaid(t *testing.T) {
	const value = "Invented Name-of-Somebody"
	s := newSweep(t, value)
	forms := plantings(t, value)
	for about, thing := range forms {
		if !s.shows(thing) {
			t.Errorf("not seen %s", about)
		}
	}
	for about, thing := range plantings(t, "Invented Somebody") {
		if s.shows(thing) {
			t.Errorf("seen %s, where it is not", about)
		}
	}
	if s.looked = map[[32]byte]bool{}; s.shows(nil) {
		t.Error("seen in nothing")
	}
}

// plantings gives a text in each form that the sweep is to see it in.
func plantings(t *testing.T, value string) map[string][]byte {
	t.Helper()
	escaped, entities, quoted, octal := "", "", "", ""
	for _, r := range value {
		escaped, entities = escaped+fmt.Sprintf(`\u%04x`, r), entities+fmt.Sprintf("&#x%x;", r)
		quoted, octal = quoted+fmt.Sprintf("%%%02X", r), octal+fmt.Sprintf(`\%03o`, r)
	}
	var wide []byte
	for _, u := range utf16.Encode([]rune("\ufeff" + value)) {
		wide = append(wide, byte(u>>8), byte(u))
	}
	note := []byte("a note of " + value + " in a file")
	forms := map[string][]byte{
		"as it is": note, "in capitals": bytes.ToUpper(note), "over lines": []byte("x " + strings.ReplaceAll(value, "e", "e\n  ")),
		"in other punctuation": []byte(strings.ReplaceAll(value, "-", " _ ")), "escaped in JSON": []byte(`{"name": "` + escaped + `"}`),
		"escaped in a page": []byte("<td>" + entities + "</td>"), "broken by elements": []byte("<td>" + strings.ReplaceAll(value, "e", "e<wbr>") + "</td>"),
		"in JSON in a page": []byte("<pre>&#34;" + html.EscapeString(escaped) + "&#34;</pre>"), "in an address": []byte("mailto:" + quoted),
		"in figures of PDF": []byte("(" + octal + ")"), "in UTF-16": wide, "in UTF-16 as hexadecimal figures": []byte("<" + hex.EncodeToString(wide) + ">"),
		"in base64": []byte("data:text/plain;base64," + base64.StdEncoding.EncodeToString(note)), "in base64 of addresses": []byte(base64.URLEncoding.EncodeToString(append([]byte{0xff, 0xef}, note...))),
	}
	zipped, tarred := zipOf(t, note), tarOf(t, note)
	forms["deflated"] = through(t, note, func(w io.Writer) io.WriteCloser { return zlib.NewWriter(w) })
	forms["in a gzip file"] = through(t, note, func(w io.Writer) io.WriteCloser { return gzip.NewWriter(w) })
	forms["in a zip file"], forms["in a tar file"] = zipped, tarred
	forms["in a zip file in a gzipped tar file"] = through(t, tarOf(t, zipped), func(w io.Writer) io.WriteCloser { return gzip.NewWriter(w) })
	forms["on paper"] = onPaper(t, doc.Para("{}", string(note)), nil)
	forms["in a file inside a PDF file"] = onPaper(t, doc.Para("{}", "nothing"), note)
	forms["in a bundle"], forms["in the message of a commit in a bundle"] = bundleOf(t, note, "nothing"), bundleOf(t, []byte("nothing"), string(note))
	return forms
}

func through(t *testing.T, text []byte, packer func(io.Writer) io.WriteCloser) []byte {
	t.Helper()
	var b bytes.Buffer
	w := packer(&b)
	if _, err := w.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func zipOf(t *testing.T, file []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create("data/note.txt")
	if err == nil {
		_, err = w.Write(file)
	}
	if err != nil || z.Close() != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func tarOf(t *testing.T, file []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w := tar.NewWriter(&b)
	err := w.WriteHeader(&tar.Header{Name: "data/note", Mode: 0o644, Size: int64(len(file)), Format: tar.FormatUSTAR})
	if err == nil {
		_, err = w.Write(file)
	}
	if err != nil || w.Close() != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func onPaper(t *testing.T, block doc.Block, inside []byte) []byte {
	t.Helper()
	o := render.PDFOptions{}
	if inside != nil {
		o.Attachments = []render.PDFAttachment{{Name: "records.json", Data: inside}}
	}
	var b bytes.Buffer
	d := &doc.Document{Title: "A page", Language: "en", Sections: []*doc.Section{doc.NewSection("a", "A section", block)}}
	if _, err := render.PDF(context.Background(), &b, d, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func bundleOf(t *testing.T, file []byte, message string) []byte {
	t.Helper()
	dir := t.TempDir()
	write(t, filepath.Join(dir, "note.txt"), string(file))
	stockGit(t, dir, "init", "-q")
	stockGit(t, dir, "add", "note.txt")
	stockGit(t, dir, "-c", "user.name=Q", "-c", "user.email=q@x.invalid", "commit", "-q", "--no-gpg-sign", "-m", message)
	stockGit(t, dir, "bundle", "create", "-q", "out.bundle", "HEAD", "--all")
	bundle, err := os.ReadFile(filepath.Join(dir, "out.bundle"))
	if err != nil {
		t.Fatal(err)
	}
	return bundle
}
