package bag

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

// small is a sound bag of two files.
func small() map[string]string {
	files := map[string]string{"data/a.txt": "a bolt\n", "data/b/c.txt": "a nut\n"}
	list := ""
	for _, name := range []string{"data/a.txt", "data/b/c.txt"} {
		list += fmt.Sprintf("%x  %s\n", sha256.Sum256([]byte(files[name])), name)
	}
	files["manifest-sha256.txt"] = list
	files["bagit.txt"] = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
	files["bag-info.txt"] = "Payload-Oxum: 13.2\nContact-Name: Ines\n  Okafor\n"
	return files
}

func asFolder(files map[string]string) Source {
	tree := fstest.MapFS{}
	for name, text := range files {
		tree[name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
	}
	return Folder(tree)
}

// packed is one entry of an archive under test.
type packed struct {
	name, text string
	mode       fs.FileMode
	kind       byte // of tar
}

func entries(files map[string]string) []packed {
	var list []packed
	for name, text := range files {
		list = append(list, packed{name: "tern/" + name, text: text, mode: 0o644, kind: tar.TypeReg})
	}
	slices.SortFunc(list, func(a, b packed) int { return strings.Compare(a.name, b.name) })
	return list
}

func asZip(t *testing.T, list []packed) Source {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, e := range list {
		h := &zip.FileHeader{Name: e.name, Method: zip.Deflate}
		h.SetMode(e.mode)
		f, err := w.CreateHeader(h)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = io.WriteString(f, e.text)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	source, err := Zip(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	return source
}

func asTar(t *testing.T, list []packed) Source {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	w := tar.NewWriter(z)
	for _, e := range list {
		h := &tar.Header{Name: e.name, Typeflag: e.kind, Mode: 0o644, ModTime: time.Unix(0, 0)}
		if e.kind == tar.TypeReg {
			h.Size = int64(len(e.text))
		} else {
			h.Linkname = e.text
		}
		if err := w.WriteHeader(h); err != nil {
			t.Fatal(err)
		}
		if e.kind == tar.TypeReg {
			_, _ = io.WriteString(w, e.text)
		}
	}
	_, _ = w.Close(), z.Close()
	return Tar(func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(b.Bytes())), nil }, int64(b.Len()))
}

func check(t *testing.T, s Source) *Report {
	t.Helper()
	r, err := Check(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestASoundBagIsWholeInEachOfItsThreeForms(t *testing.T) {
	for name, source := range map[string]Source{"folder": asFolder(small()), "zip": asZip(t, entries(small())), "tar": asTar(t, entries(small()))} {
		r := check(t, source)
		if !r.Valid() || len(r.Findings) > 0 || r.Version != "1.0" || r.Files != 2 || r.Bytes != 13 || !slices.Equal(r.Algorithms, []string{"sha256"}) {
			t.Errorf("%s: %+v", name, r)
		}
		if want := (Field{"Contact-Name", "Ines Okafor"}); len(r.Info) != 2 || r.Info[1] != want {
			t.Errorf("%s: %v", name, r.Info)
		}
	}
}

func TestAnyFlippedBitOfAListedFileIsFound(t *testing.T) {
	for _, name := range []string{"data/a.txt", "data/b/c.txt", "manifest-sha256.txt"} {
		for at := range len(small()[name]) {
			files := small()
			text := []byte(files[name])
			text[at] ^= 1
			files[name] = string(text)
			if r := check(t, asFolder(files)); r.Valid() {
				t.Errorf("%s: byte %d was changed and the bag is whole", name, at)
			}
		}
	}
}

func TestWhatIsWrongWithABagIsSaidAtItsLine(t *testing.T) {
	digest := fmt.Sprintf("%x", sha256.Sum256([]byte("a bolt\n")))
	for _, c := range []struct {
		change func(map[string]string)
		want   string
	}{
		{func(f map[string]string) { delete(f, "data/a.txt") }, `manifest-sha256.txt:1: "data/a.txt" is listed and not there [bag-missing]`},
		{func(f map[string]string) { f["data/x"] = "x" }, `data/x: this is in the payload and not in manifest-sha256.txt [bag-extra]`},
		{func(f map[string]string) { f["data/a.txt"] += "x" }, `manifest-sha256.txt:1: "data/a.txt" has another sha256 digest than listed here [bag-changed]`},
		{func(f map[string]string) { f["bag-info.txt"] = "Payload-Oxum: 14.2\n" }, `bag-info.txt: Payload-Oxum says "14.2", and the payload is 13.2 [bag-size]`},
		{func(f map[string]string) { f["bag-info.txt"] = "nothing said\n" }, `bag-info.txt:1: "nothing said" has no label and value [bag-info]`},
		{func(f map[string]string) { f["manifest-sha256.txt"] += digest + "  ../a\n" }, `manifest-sha256.txt:3: "../a" leads out of the bag [bag-path]`},
		{func(f map[string]string) { f["manifest-sha256.txt"] += digest + "  bagit.txt\n" }, `manifest-sha256.txt:3: "bagit.txt" is not in the payload [bag-path]`},
		{func(f map[string]string) { f["manifest-sha256.txt"] += digest[1:] + "  data/q\n" }, `manifest-sha256.txt:3: "` + digest[1:] + `  data/q" is no sha256 digest with a path [bag-manifest]`},
		{func(f map[string]string) { f["tagmanifest-sha256.txt"] = digest + "  data/a.txt\n" }, `tagmanifest-sha256.txt:1: "data/a.txt" does not belong into this list [bag-path]`},
		{func(f map[string]string) { f["manifest-blake9.txt"] = "" }, `manifest-blake9.txt: the digest blake9 is not known here, so this list was not checked [bag-algorithm]`},
		{func(f map[string]string) { f["fetch.txt"] = "file:///etc/passwd - data/a.txt\n" }, `fetch.txt: this bag names files that lie elsewhere; nothing was fetched [bag-elsewhere]`},
		{func(f map[string]string) { f["fetch.txt"] = "somewhere\n" }, `fetch.txt:1: "somewhere" does not name a file to fetch [bag-fetch]`},
		{func(f map[string]string) { f["bag-info.txt"] = "Contact-Name: \xff\n" }, `bag-info.txt: this cannot be read as UTF-8: these bytes are not UTF-8 [bag-encoding]`},
		{func(f map[string]string) { f["bagit.txt"] = "BagIt-Version: 2.0\nTag-File-Character-Encoding: UTF-8\n" }, `bagit.txt:1: "BagIt-Version: 2.0" declares no version of BagIt that is known here (0.93 to 0.97, 1.0) [bag-declaration]`},
		{func(f map[string]string) { delete(f, "manifest-sha256.txt") }, `no list of the payload can be checked [bag-manifest]`},
	} {
		files := small()
		c.change(files)
		var said []string
		for _, f := range check(t, asFolder(files)).Findings {
			said = append(said, f.String())
		}
		if !slices.Contains(said, c.want) {
			t.Errorf("want %s\ngot %s", c.want, strings.Join(said, "\n    "))
		}
	}
}

func TestNamesThatOnlyDifferInCaseOrCompositionAreNamed(t *testing.T) {
	files := small()
	files["data/A.txt"] = "a bolt\n"
	if said := words(check(t, asFolder(files))); !slices.Contains(said, "warning bag-name-form") || !slices.Contains(said, "error bag-extra") {
		t.Error(said)
	}
}

func TestAnArchiveThatReachesOutOfItsFolderIsRefused(t *testing.T) {
	for _, c := range []struct {
		more packed
		want string
	}{
		{packed{name: "tern/../../etc/cron", text: "x", mode: 0o644, kind: tar.TypeReg}, "error bag-path"},
		{packed{name: "/etc/cron", text: "x", mode: 0o644, kind: tar.TypeReg}, "error bag-path"},
		{packed{name: `tern\..\x`, text: "x", mode: 0o644, kind: tar.TypeReg}, "error bag-path"},
		{packed{name: "other/x", text: "x", mode: 0o644, kind: tar.TypeReg}, "error bag-archive"},
		{packed{name: "loose", text: "x", mode: 0o644, kind: tar.TypeReg}, "error bag-archive"},
		{packed{name: "tern/data/a.txt", text: "a bolt\n", mode: 0o644, kind: tar.TypeReg}, "error bag-archive"},
		{packed{name: "tern/data/link", text: "/etc/passwd", mode: 0o777 | fs.ModeSymlink, kind: tar.TypeSymlink}, "error bag-not-plain"},
	} {
		list := append(entries(small()), c.more)
		for form, source := range map[string]Source{"zip": asZip(t, list), "tar": asTar(t, list)} {
			if said := words(check(t, source)); !slices.Contains(said, c.want) {
				t.Errorf("%s with %s: %v, want %s", form, c.more.name, said, c.want)
			}
		}
	}
}

func TestAHardLinkADeviceAndAPipeAreNoFiles(t *testing.T) {
	for _, kind := range []byte{tar.TypeLink, tar.TypeChar, tar.TypeBlock, tar.TypeFifo} {
		list := append(entries(small()), packed{name: "tern/data/odd", text: "tern/data/a.txt", kind: kind})
		if said := words(check(t, asTar(t, list))); !slices.Contains(said, "error bag-not-plain") {
			t.Errorf("type %c: %v", kind, said)
		}
	}
}

// lying is a source whose entries state what the test wants.
type lying struct {
	states, has, packed int64
}

func (l lying) Packed() int64 { return l.packed }

func (l lying) Walk(visit func(Entry, Open) error) error {
	return visit(Entry{"tern/bagit.txt", 0o644, l.states}, func() (io.ReadCloser, error) {
		return io.NopCloser(io.LimitReader(endless{}, l.has)), nil
	})
}

type endless struct{}

func (endless) Read(p []byte) (int, error) { clear(p); return len(p), nil }

func TestLengthsThatLieAndBombsAreFoundBeforeTheyCost(t *testing.T) {
	for _, c := range []struct {
		source lying
		want   string
	}{
		{lying{states: 10, has: 1 << 50, packed: 100}, "error bag-unreadable"},
		{lying{states: 10, has: 9, packed: 100}, "error bag-unreadable"},
		{lying{states: 1 << 41, packed: 1 << 40}, "error bag-too-large"},
		{lying{states: 1 << 30, packed: 1000}, "error bag-too-large"},
		{lying{states: 65 << 20, packed: 65 << 20}, "error bag-too-large"},
		{lying{states: -1, packed: 10}, "error bag-too-large"},
	} {
		if said := words(check(t, c.source)); !slices.Contains(said, c.want) {
			t.Errorf("%+v: %v, want %s", c.source, said, c.want)
		}
	}
}

func TestALongListOfFaultsIsCutAndSaysSo(t *testing.T) {
	files := small()
	files["manifest-sha256.txt"] += strings.Repeat("nonsense\n", 1000)
	r := check(t, asFolder(files))
	last := r.Findings[0]
	if len(r.Findings) != mostFindings+1 || last.Message != "800 more findings are not listed" {
		t.Errorf("%d findings, %s", len(r.Findings), last)
	}
}

func TestAnInterruptedCheckEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if r, err := Check(ctx, asFolder(small())); err != context.Canceled || r != nil {
		t.Error(r, err)
	}
}

func FuzzNoBagPanics(f *testing.F) {
	for _, name := range []string{"bagit.txt", "bag-info.txt", "manifest-sha256.txt"} {
		f.Add(name, []byte(small()[name]))
	}
	f.Add("fetch.txt", []byte("http://localhost/x - data/x\n"))
	f.Add("tern.zip", []byte("PK\x05\x06"))
	f.Fuzz(func(t *testing.T, name string, text []byte) {
		if fs.ValidPath(name) && name != "." {
			files := small()
			files[name] = string(text)
			_, _ = Check(context.Background(), asFolder(files))
		}
		if z, err := Zip(bytes.NewReader(text), int64(len(text))); err == nil {
			_, _ = Check(context.Background(), z)
		}
		_, _ = Check(context.Background(), Tar(func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(text)), nil }, int64(len(text))))
	})
}
