package app

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"strings"

	"boltback/internal/canon"
)

// waiting is a file of the inbox in which something waits that somebody is in the middle of telling: lines of work, or answers
// about pictures. It is on disk before the next word is asked for, is nobody else's, and goes when all is told.
type waiting struct {
	desk *Desk
	at   string
	// saved are the bytes that were last written to it; nil before the first word.
	saved []byte
}

// untold is what a file that waits lacks, by which it is told from other files of the inbox.
const untold = "done"

// waits says that a file of the inbox waits for somebody to tell the rest.
func waits(doc *canon.Document) bool {
	lacks := doc.Root.Get("lacks")
	return doc.Root.Get("kind") == nil && lacks != nil && len(lacks.Elements) == 1 && lacks.Elements[0].Text == untold
}

// waitingFor finds what this person was in the middle of, or gives a new file for it; the document is nil where it is new.
func (d *Desk) waitingFor(slug string) (*waiting, *canon.Document, error) {
	for _, f := range d.s.Files() {
		if path.Dir(f.Path) != "inbox" || !strings.HasSuffix(f.Path, "-"+d.slug()+"-"+slug+".json") {
			continue
		}
		text, err := fs.ReadFile(d.env.Files.Folder(d.car.Path), f.Path)
		if err != nil {
			return nil, nil, fmt.Errorf("read %s: %w", f.Path, err)
		}
		doc, err := canon.Parse(text, canon.DefaultLimits())
		if err != nil {
			return nil, nil, &Broken{Finding: faultIn(f.Path, err)}
		}
		if waits(doc) {
			return &waiting{d, f.Path, text}, doc, nil
		}
	}
	return &waiting{desk: d, at: d.free(fmt.Sprintf("inbox/%s-%s-%s", d.today, d.slug(), slug))}, nil, nil
}

// save writes the lines durably. It refuses where another run has written since: two at one file would lose words.
func (w *waiting) save(slug string, lines []string) error {
	file := filepath.Join(w.desk.car.Path, filepath.FromSlash(w.at))
	now, err := fs.ReadFile(w.desk.env.Files.Folder(w.desk.car.Path), w.at)
	if err == nil && !bytes.Equal(now, w.saved) || err != nil && w.saved != nil {
		return &Usage{Message: w.at + " was changed by somebody else since the last line", Hint: "begin again: what stands there is taken up"}
	}
	text, err := canon.Marshal(kept{Slug: slug, Text: strings.Join(lines, "\n"), Lacks: []string{untold}})
	if err != nil {
		return fmt.Errorf("save the lines: %w", err)
	}
	if err := w.desk.env.Files.MakeFolder(filepath.Dir(file)); err != nil {
		return fmt.Errorf("save the lines: %w", err)
	}
	if _, err := w.desk.env.Files.Replace(file, text); err != nil {
		return fmt.Errorf("save the lines: %w", err)
	}
	w.saved = text
	return nil
}

// drop takes the file away; where somebody has committed it, in a commit too.
func (w *waiting) drop(ctx context.Context) error {
	if w.saved == nil {
		return nil
	}
	w.saved = nil
	if err := w.desk.env.Files.Remove(filepath.Join(w.desk.car.Path, filepath.FromSlash(w.at))); err != nil {
		return fmt.Errorf("take the saved lines away: %w", err)
	}
	committed, err := w.desk.committed(w.at)
	if err != nil || !committed {
		return err
	}
	if w.desk.head, err = w.desk.repo.Head(); err != nil {
		return err
	}
	_, err = w.desk.save(ctx, []Change{{Path: w.at, Delete: true}}, nil, "take away what was told to its end")
	return err
}

// committed says that a path is in the last commit.
func (d *Desk) committed(at string) (bool, error) {
	head, err := d.repo.Head()
	if err != nil || head == "" {
		return false, err
	}
	files, err := d.repo.Files(head)
	if err != nil {
		return false, err
	}
	_, err = fs.Stat(files, at)
	return err == nil, nil
}

// linesIn are the lines that wait in a file; none in a new one.
func linesIn(doc *canon.Document) []string {
	if doc == nil {
		return nil
	}
	return strings.FieldsFunc(textAt(doc, "text"), func(r rune) bool { return r == '\n' })
}
