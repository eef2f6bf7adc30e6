package app

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"

	"boltback/internal/bag"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// lay fills the folder of a bag.
func (p *parcel) lay(ctx context.Context, folder string) error {
	return p.write(ctx, func(name string, _ bag.Size, fill func(io.Writer) error) error {
		return p.env.Files.Fill(filepath.Join(folder, filepath.FromSlash(name)), fill)
	})
}

// zip writes the bag as a zip file with one folder in it.
func (p *parcel) zip(ctx context.Context, to io.Writer, folder string) error {
	z := zip.NewWriter(to)
	if err := p.write(ctx, bag.Zipped(z, folder)); err != nil {
		return err
	}
	return z.Close()
}

// tar writes the bag as a gzipped tar file with one folder in it. Nearly all of it is pictures, which do not pack further, so
// that the quickest way is chosen.
func (p *parcel) tar(ctx context.Context, to io.Writer, folder string) error {
	z, err := gzip.NewWriterLevel(to, gzip.BestSpeed)
	if err != nil {
		return err
	}
	t := tar.NewWriter(z)
	if err := p.write(ctx, bag.Tarred(t, folder)); err != nil {
		return err
	}
	return errors.Join(t.Close(), z.Close())
}

// write makes each file of the bag.
func (p *parcel) write(ctx context.Context, create bag.Create) error {
	w := bag.NewWriter(func(name string, size bag.Size, fill func(io.Writer) error) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		return create(name, size, fill)
	})
	for _, step := range []func(context.Context, *bag.Writer) error{p.history, p.checkout, p.keepsakes, p.papers} {
		if err := step(ctx, w); err != nil {
			return fmt.Errorf("hand over %s: %w", p.car.Name, err)
		}
	}
	return w.Finish(p.info())
}

// history writes the bundle, and makes sure that it ends where the other files were read.
func (p *parcel) history(ctx context.Context, w *bag.Writer) error {
	err := w.Add("history.bundle", func(to io.Writer) error { return p.repo.Bundle(ctx, to) })
	if err != nil {
		return err
	}
	if now, err := p.repo.Head(); err != nil || now != p.head {
		return errors.Join(err, errors.New("somebody committed meanwhile; hand it over once more"))
	}
	return nil
}

// checkout writes the files of the last commit.
func (p *parcel) checkout(_ context.Context, w *bag.Writer) error {
	return fs.WalkDir(p.files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		return w.Add("car/"+name, copied(p.files, name, ""))
	})
}

// keepsakes writes originals and disclosures. An original that is not what its name says is refused: the bag would vouch for it.
func (p *parcel) keepsakes(_ context.Context, w *bag.Writer) error {
	from := p.env.Files.Folder(filepath.Join(p.car.Yard, "originals"))
	for _, name := range slices.Sorted(maps.Keys(p.originals)) {
		file := p.originals[name]
		if err := w.AddSized(name, sizeOf(from, file), copied(from, file, record.Digest(file[:64]))); err != nil {
			return err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(p.disclosures)) {
		if err := w.Add(name, says(p.disclosures[name])); err != nil {
			return err
		}
	}
	return nil
}

// papers writes what people read.
func (p *parcel) papers(ctx context.Context, w *bag.Writer) error {
	handover, readme := dossier.HandoverPaper(p.handing), dossier.HandoverReadme(p.handing)
	page := func(d *doc.Document) func(io.Writer) error {
		return func(to io.Writer) error { return p.press.Page(ctx, to, d) }
	}
	type file struct {
		name string
		fill func(io.Writer) error
	}
	for _, one := range []file{
		{"dossier.html", page(p.dossier.Document)},
		{"dossier.pdf", func(to io.Writer) error {
			return p.press.Paper(ctx, to, p.dossier.Document, p.dossier.RecordsName, p.dossier.Records)
		}},
		{"handover.html", page(handover)},
		{"handover.pdf", func(to io.Writer) error { return p.press.Paper(ctx, to, handover, "", nil) }},
		{"RULES.md", says([]byte(replay.Rules()))},
	} {
		if err := w.Add(one.name, one.fill); err != nil {
			return fmt.Errorf("%s: %w", one.name, err)
		}
	}
	return errors.Join(
		w.AddTag("README.html", func(to io.Writer) error { return p.press.Plain(ctx, to, readme) }),
		w.AddTag("README.txt", func(to io.Writer) error { return p.press.Text(ctx, to, readme) }),
	)
}

func says(text []byte) func(io.Writer) error {
	return func(w io.Writer) error { _, err := w.Write(text); return err }
}

func sizeOf(from fs.FS, name string) bag.Size {
	return func() (int64, error) {
		info, err := fs.Stat(from, name)
		if err != nil {
			return 0, err
		}
		return info.Size(), nil
	}
}

// copied gives the bytes of a file, which must have the digest that is given, if one is.
func copied(from fs.FS, name string, digest record.Digest) func(io.Writer) error {
	return func(w io.Writer) (err error) {
		file, err := from.Open(name)
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, file.Close()) }()
		return held(w, file, name, digest)
	}
}

// held copies bytes, which must have the digest that is given, if one is.
func held(w io.Writer, from io.Reader, name string, digest record.Digest) error {
	sum := sha256.New()
	if _, err := io.Copy(io.MultiWriter(w, sum), from); err != nil {
		return err
	}
	if got := hex.EncodeToString(sum.Sum(nil)); digest != "" && got != string(digest) {
		return &Doubtful{fmt.Errorf("%s is not what its name says: its SHA-256 is %s", name, got)}
	}
	return nil
}
