package app

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"boltback/internal/canon"
	"boltback/internal/ledger"
	"boltback/internal/media"
	"boltback/internal/record"
)

// unseen are the classes of paper that have no preview in a ledger: they hold names, addresses and prices.
var unseen = []string{"title", "invoice", "licence", "letter"}

// NamedFile is a photo or document that somebody names on the command line.
type NamedFile struct {
	Name    string
	Content []byte
}

// ReadPaper reads a photo or document that somebody names on the command line.
func (e Env) ReadPaper(name string) (*NamedFile, error) {
	content, err := e.readUpTo(name, media.MaxBytes)
	if err != nil {
		return nil, err
	}
	return &NamedFile{filepath.Base(name), content}, nil
}

// original is a file on its way to the folder of originals.
type original struct {
	name    string
	content []byte
}

// attach makes a paper describe a file: digests, sizes, its dates apart, and the preview where its class may have one. What
// the paper says already stays.
func (d *Desk) attach(draft *draft, file *NamedFile) (notes []string, err error) {
	paper, ok := draft.body.(*record.Paper)
	if !ok {
		return nil, &Usage{Message: fmt.Sprintf("a %s has no file of its own", draft.body.Heading().Kind), Hint: "record the file as a paper, and name that paper under papers"}
	}
	facts, err := media.Inspect(file.Content)
	if err != nil && !errors.Is(err, media.ErrUnknown) {
		notes = append(notes, fmt.Sprintf("%s: %v; it is kept as it is", file.Name, err))
	}
	content := contentOf(file.Content, typeOf(facts, file))
	if err := d.fresh(draft, paper, content.Digest); err != nil {
		return nil, err
	}
	paper.Original = content
	draft.original = &original{string(content.Digest) + record.ExtensionOf(content.Type), file.Content}
	d.describe(paper, facts)
	preview, note := previewFor(paper, file.Content, facts)
	if preview != nil {
		paper.Preview = contentOf(preview, string(media.JPEG))
		draft.beside = append(draft.beside, Change{Path: previewPath(paper.Preview), Content: preview})
	}
	if facts.Placed {
		notes = append(notes, file.Name+" tells where it was taken; that stays in the original and is not in the ledger")
	}
	return append(notes, note...), nil
}

// fresh refuses a file that another paper is already, and another file for a paper that has one.
func (d *Desk) fresh(draft *draft, paper *record.Paper, digest record.Digest) error {
	if paper.Original != nil && paper.Original.Digest != "" && paper.Original.Digest != digest {
		return &Usage{Message: fmt.Sprintf("this is not the file that the paper describes: its SHA-256 is %s", digest), Hint: "the file of a paper is not exchanged; record another paper"}
	}
	for _, p := range ledger.All[record.Paper](d.s) {
		if p.Path != draft.path && p.Body.Original != nil && p.Body.Original.Digest == digest {
			return &Usage{Message: fmt.Sprintf("%s is this very file", p.ID), Hint: "one file is one paper, however often it came in"}
		}
	}
	return nil
}

// describe takes over what the file says, and the day on which it came in, where nobody said otherwise.
func (d *Desk) describe(paper *record.Paper, facts media.Facts) {
	if paper.Embedded == "" {
		paper.Embedded = record.Date(facts.Taken.String())
	}
	if paper.Camera == "" {
		paper.Camera = facts.Camera
	}
	if paper.Received == "" {
		paper.Received = record.Date(d.today.String())
	}
	if paper.Way == "" && paper.Class == "photo" && facts.Camera != "" {
		paper.Way = "camera"
	}
}

// previewFor makes the preview of a file, or says why there is none.
func previewFor(paper *record.Paper, file []byte, facts media.Facts) ([]byte, []string) {
	switch {
	case slices.Contains(unseen, paper.Class):
		return nil, []string{fmt.Sprintf("a paper of class %s has no preview in the ledger; the file lies with the originals alone", paper.Class)}
	case paper.Class == "":
		return nil, []string{"nothing says what it is, so it has no preview in the ledger; class=photo would give it one"}
	}
	picture, err := media.Pixels(file, facts)
	if err != nil {
		return nil, []string{"no preview: " + err.Error()}
	}
	preview, err := media.Preview(media.Small(picture, facts.Turn))
	if err != nil {
		return nil, []string{"no preview: " + err.Error()}
	}
	if !facts.HasCamera() && paper.Class == "photo" && paper.CopyOf == "" {
		return preview, []string{"the file says nothing of a camera or a time, as copies that came through a messaging program do: it counts from the day it came in; ask for the original, and name it as copy-of where it is here"}
	}
	return preview, nil
}

// typeOf names the kind of a file: by its content, and for plain text by the ending of its name.
func typeOf(facts media.Facts, file *NamedFile) string {
	switch {
	case facts.Type != "":
		return string(facts.Type)
	case !utf8.Valid(file.Content) || bytes.IndexByte(file.Content, 0) >= 0:
		return "other"
	case strings.EqualFold(filepath.Ext(file.Name), ".csv"):
		return "text/csv"
	}
	return "text/plain"
}

func contentOf(file []byte, kind string) *record.Content {
	return &record.Content{Digest: record.Digest(canon.Digest(file)), Bytes: int64(len(file)), Type: kind}
}

func previewPath(content *record.Content) string {
	return "previews/" + string(content.Digest) + record.ExtensionOf(content.Type)
}

// keepOriginal puts a file into the folder of originals, durably and read-only, under its digest.
func (d *Desk) keepOriginal(o *original) error {
	if d.car.Yard == "" {
		return &Usage{Message: "the car lies in no yard, so there is no folder for its originals", Hint: "lay it into a yard's cars folder first"}
	}
	folder := filepath.Join(d.car.Yard, "originals")
	if _, err := fs.ReadDir(d.env.Files.Folder(folder), "."); errors.Is(err, fs.ErrNotExist) { // it may be a link to a larger disk
		if err := d.env.Files.MakeFolder(folder); err != nil {
			return fmt.Errorf("make the folder of originals: %w", err)
		}
	}
	if err := d.env.Files.Keep(filepath.Join(folder, o.name), o.content); err != nil {
		return fmt.Errorf("keep the original: %w", err)
	}
	return nil
}
