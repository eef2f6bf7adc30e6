package main

import (
	"cmp"
	"errors"
	"io/fs"
	"slices"

	"boltback/internal/gitstore"
	"boltback/internal/history"
	"boltback/internal/signoff"
)

// Commits gives the raw history of the head, parents before children.
func (r repository) Commits() ([]signoff.Commit, error) {
	from, err := r.Repo.Head()
	if err != nil || from.Commit.IsZero() {
		return nil, err
	}
	var list []signoff.Commit
	for c, err := range r.Repo.Log(from.Commit, gitstore.LogOptions{}) {
		if err != nil {
			return nil, err
		}
		list = append(list, signoff.Commit{ID: c.ID.String(), Payload: c.Payload, Signature: []byte(c.Signature)})
	}
	slices.Reverse(list)
	return list, nil
}

// tree is a commit's files, whose bytes and folders Git names by id.
type tree struct{ *gitstore.Snapshot }

func (t tree) Content(path string) (string, error) {
	id, err := t.BlobID(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	return id.String(), nil
}

func (r repository) Tree(commit string) (signoff.Files, error) {
	id, err := gitstore.ParseHash(commit)
	if err != nil {
		return nil, err
	}
	files, err := r.FS(id)
	if err != nil {
		return nil, err
	}
	return tree{files}, nil
}

// Added gives the files that a commit has and none of its parents has. A parent that was left out by a shallow clone is
// passed over, and then nothing can be said to be new.
func (r repository) Added(commit string, parents []string) ([]history.Pair, error) {
	now, err := r.side(commit)
	if err != nil {
		return nil, err
	}
	before := []gitstore.Hash{{}}
	if len(parents) > 0 {
		before = nil
	}
	for _, p := range parents {
		id, err := gitstore.ParseHash(p)
		if err != nil {
			return nil, err
		}
		before = append(before, id)
	}
	new := map[string]int{}
	for _, old := range before {
		differences, err := r.Changed(old, now.commit)
		var missing *gitstore.MissingError
		if errors.As(err, &missing) {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		for _, d := range differences {
			if d.Old.IsZero() {
				new[d.Path]++
			}
		}
	}
	var pairs []history.Pair
	for path, n := range new {
		if n < len(before) {
			continue
		}
		text, err := now.files.ReadFile(path)
		if errors.Is(err, gitstore.ErrNotFollowed) {
			continue
		}
		if err != nil {
			return nil, err
		}
		pairs = append(pairs, history.Pair{Path: path, New: text})
	}
	slices.SortFunc(pairs, func(a, b history.Pair) int { return cmp.Compare(a.Path, b.Path) })
	return pairs, nil
}

// Condition says what is unusual about the repository.
func (r repository) Condition() (signoff.Condition, error) {
	c := signoff.Condition{Shallow: r.Traits.Shallow, Replaced: r.Traits.Replaced}
	if r.Traits.Bare {
		return c, nil
	}
	var err error
	c.Unsaved, err = r.Unsaved()
	return c, err
}
