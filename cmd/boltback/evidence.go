package main

import (
	"errors"
	"io/fs"
	"slices"

	"boltback/internal/gitstore"
	"boltback/internal/signoff"
)

// Commits gives the raw history of the head, parents before children, each id worked out from the commit's bytes.
func (r repository) Commits() ([]signoff.Commit, error) {
	from, err := r.Repo.Head()
	if err != nil || from.Commit.IsZero() {
		return nil, err
	}
	var list []signoff.Commit
	for c, err := range r.Repo.Log(from.Commit, gitstore.LogOptions{Proven: true}) {
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

// Content gives the id that Git names a file by, "" where there is none.
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

// Tree gives the files of a commit for the walk of trust.
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

// Stamps gives the annotated tags as they lie in the repository. Light ones, which are names of commits, carry nothing.
func (r repository) Stamps() ([]signoff.Tag, error) {
	names, err := r.Tags()
	if err != nil {
		return nil, err
	}
	var list []signoff.Tag
	for _, n := range names {
		t, err := r.ReadTag(n.ID)
		if errors.Is(err, gitstore.ErrOtherKind) {
			continue
		}
		if err != nil {
			return nil, err
		}
		list = append(list, signoff.Tag{Name: n.Name, Payload: t.Payload, Signature: []byte(t.Signature)})
	}
	return list, nil
}

// Condition says what is unusual about the repository.
func (r repository) Condition() (signoff.Condition, error) {
	c := signoff.Condition{Shallow: r.Traits.Shallow, Replaced: r.Traits.Replaced, Linked: r.Traits.Linked}
	if r.Traits.Bare {
		return c, nil
	}
	var err error
	c.Unsaved, err = r.Unsaved()
	return c, err
}
