package bag_test

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"io"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/bag"
)

// shelf keeps the files of a bag that is being written in memory.
func shelf(files fstest.MapFS) bag.Create {
	return func(name string, _ bag.Size, fill func(io.Writer) error) error {
		var b bytes.Buffer
		if err := fill(&b); err != nil {
			return err
		}
		files[name] = &fstest.MapFile{Data: b.Bytes()}
		return nil
	}
}

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func written(t *testing.T) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	w := bag.NewWriter(shelf(files))
	for name, content := range map[string]string{"a.txt": "a bolt", "deep/50% off.txt": "", "deep/ä.bin": "\x00\xff"} {
		if err := w.Add(name, text(content)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.AddTag("README.txt", text("read this\n")); err != nil {
		t.Fatal(err)
	}
	if err := w.Finish([]bag.Field{{Label: "Bagging-Date", Value: "2026-07-01"}}); err != nil {
		t.Fatal(err)
	}
	return files
}

func TestWhatIsWrittenIsAWholeBagWithoutAWord(t *testing.T) {
	report, err := bag.Check(context.Background(), bag.Folder(written(t)))
	if err != nil {
		t.Fatal(err)
	}
	if len(report.Findings) > 0 || report.Version != "1.0" || report.Files != 3 || report.Bytes != 8 {
		t.Errorf("got %+v", report)
	}
}

// intoZip and intoTar write a bag of two files into an archive.
func intoZip(file io.Writer, fill func(*bag.Writer) error) error {
	z := zip.NewWriter(file)
	return errors.Join(fill(bag.NewWriter(bag.Zipped(z, "tern"))), z.Close())
}

func intoTar(file io.Writer, fill func(*bag.Writer) error) error {
	z := gzip.NewWriter(file)
	t := tar.NewWriter(z)
	return errors.Join(fill(bag.NewWriter(bag.Tarred(t, "tern"))), t.Close(), z.Close())
}

func sourceOfZip(file []byte) (bag.Source, error) {
	return bag.Zip(bytes.NewReader(file), int64(len(file)))
}

func sourceOfTar(file []byte) (bag.Source, error) {
	return bag.Tar(func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(file)), nil }, int64(len(file))), nil
}

func TestAPackedBagIsWholeAndTheSameBytesTwiceAndItsPayloadIsReadInOneWalk(t *testing.T) {
	for _, form := range []struct {
		name   string
		into   func(io.Writer, func(*bag.Writer) error) error
		source func([]byte) (bag.Source, error)
	}{{"zip", intoZip, sourceOfZip}, {"tar.gz", intoTar, sourceOfTar}} {
		packed := func() []byte {
			var file bytes.Buffer
			err := form.into(&file, func(w *bag.Writer) error {
				long := strings.Repeat("a long name/", 30) + "b.jpg"
				four := func() (int64, error) { return 4, nil }
				return errors.Join(w.Add("a.txt", text("a bolt")), w.AddSized(long, four, text("\xff\xd8\xff!")), w.AddTag("README.txt", text("read")), w.Finish(nil))
			})
			if err != nil {
				t.Fatal(err)
			}
			return file.Bytes()
		}
		file := packed()
		source, err := form.source(file)
		if err != nil {
			t.Fatal(err)
		}
		report, err := bag.Check(context.Background(), source)
		if err != nil || len(report.Findings) > 0 || report.Files != 2 {
			t.Errorf("%s: got %+v (%v)", form.name, report, err)
		}
		if !bytes.Equal(file, packed()) {
			t.Errorf("%s: two packings differ", form.name)
		}
		var met []string
		err = bag.Payload(source, func(name string, size int64, open bag.Open) error {
			r, err := open()
			if err != nil {
				return err
			}
			content, err := io.ReadAll(r)
			if int64(len(content)) != size {
				t.Errorf("%s: %s states %d bytes and has %d", form.name, name, size, len(content))
			}
			if met = append(met, name); err != nil {
				return err
			}
			return fs.SkipAll
		})
		if err != nil || len(met) != 1 || met[0] != "a.txt" {
			t.Errorf("%s: met %v (%v)", form.name, met, err)
		}
	}
}

func TestAnArchiveThatStatesASizeFirstRefusesAFileThatComesOutOtherwise(t *testing.T) {
	for _, content := range []string{"abc", "abcde"} {
		err := intoTar(io.Discard, func(w *bag.Writer) error {
			return w.AddSized("a.txt", func() (int64, error) { return 4, nil }, text(content))
		})
		if err == nil {
			t.Errorf("%q went into four bytes", content)
		}
	}
}

func TestEveryFileOfAWrittenBagIsVouchedFor(t *testing.T) {
	for name := range written(t) {
		if name == "tagmanifest-sha256.txt" {
			continue // nothing vouches for the list of lists
		}
		files := written(t)
		files[name].Data = append(files[name].Data, ' ')
		if report, err := bag.Check(context.Background(), bag.Folder(files)); err != nil || report.Valid() {
			t.Errorf("%s was changed, and the bag is still whole (%v)", name, err)
		}
	}
}

func TestNamesThatAreNoneOnSomeSystemAreNotWritten(t *testing.T) {
	w := bag.NewWriter(shelf(fstest.MapFS{}))
	if err := w.Add("Tank.jpg", text("")); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"../a", "/a", `a\b`, "a/./b", "", "tank.JPG"} {
		if err := w.Add(name, text("")); err == nil {
			t.Errorf("%q was taken", name)
		}
	}
	if err := w.AddTag("~home", text("")); err == nil {
		t.Error("~home was taken")
	}
}

func TestABagThatCannotBeWrittenSaysSo(t *testing.T) {
	full := errors.New("the disk is full")
	for _, name := range []string{"bagit.txt", "bag-info.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt"} {
		w := bag.NewWriter(func(at string, _ bag.Size, fill func(io.Writer) error) error {
			if at == name {
				return full
			}
			return fill(io.Discard)
		})
		if err := w.Finish(nil); !errors.Is(err, full) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := bag.NewWriter(shelf(fstest.MapFS{})).Finish([]bag.Field{{Label: "A", Value: "b\nPayload-Oxum: 0.0"}}); err == nil || !strings.Contains(err.Error(), "break") {
		t.Errorf("a value of two lines: %v", err)
	}
}
