package app

import (
	"fmt"
	"io/fs"

	"boltback/internal/edtf"
	"boltback/internal/history"
	"boltback/internal/signoff"
)

// datedFolders hold the records that tell of something that happened on a day.
var datedFolders = []string{"work", "readings", "concerns", "existing", "signoffs", "transfers"}

// entries watches a history go by, parents before children, and notes with which commit each dated record came in. A folder
// that was met before is not opened again. What a merge brings in counts from the commit on the side that it came from.
type entries struct {
	open  func(commit string) (signoff.Files, error)
	trees map[string]bool // folders met, by id
	files map[string]bool
	added map[string][]history.Pair // by commit
}

func newEntries(open func(string) (signoff.Files, error)) *entries {
	return &entries{open: open, trees: map[string]bool{}, files: map[string]bool{}, added: map[string][]history.Pair{}}
}

// tree opens a commit's files and notes what is new among them.
func (e *entries) tree(commit string) (signoff.Files, error) {
	files, err := e.open(commit)
	if err != nil {
		return nil, err
	}
	for _, folder := range datedFolders {
		id, err := files.Content(folder)
		if err != nil {
			return nil, err
		}
		if id == "" || e.trees[id] {
			continue
		}
		e.trees[id] = true
		if err := e.note(files, commit, folder); err != nil {
			return nil, err
		}
	}
	return files, nil
}

func (e *entries) note(files signoff.Files, commit, folder string) error {
	list, err := fs.ReadDir(files, folder)
	if err != nil {
		return nil // a file stands in the folder's place: the check says so
	}
	for _, f := range list {
		name := folder + "/" + f.Name()
		if e.files[name] || !f.Type().IsRegular() {
			continue
		}
		e.files[name] = true
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		e.added[commit] = append(e.added[commit], history.Pair{Path: name, New: text})
	}
	return nil
}

// days gives the day on which each dated record came in, by its path and by its author's clock.
func (e *entries) days(trust *signoff.Trust) map[string]edtf.Day {
	days := map[string]edtf.Day{}
	for i := range trust.Steps {
		for _, file := range e.added[trust.Steps[i].ID] {
			days[file.Path] = edtf.DayOf(trust.Steps[i].Author.When)
		}
	}
	return days
}

// late lists the records whose first entry came long after what they tell of, or may have.
func (e *entries) late(trust *signoff.Trust) []signoff.Late {
	var list []signoff.Late
	for i := range trust.Steps {
		step := &trust.Steps[i]
		revision := history.Revision{ID: step.ID, When: step.Author.When}
		for _, d := range history.Tell(history.Step{Revision: revision, Files: e.added[step.ID]}, LateAfter).Delays {
			if d.Late == edtf.Yes || d.Known && d.Late == edtf.Perhaps {
				list = append(list, signoff.Late{Commit: step.ID, Delay: d})
			}
		}
	}
	return list
}
