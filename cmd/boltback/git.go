package main

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"iter"
	"strings"

	"boltback/internal/app"
	"boltback/internal/atomicfile"
	"boltback/internal/gitstore"
	"boltback/internal/history"
)

// git opens repositories through gitstore; what it writes goes through disk.
type git struct{ disk atomicfile.FS }

// Open implements app.Git.
func (g git) Open(dir string) (app.Repository, error) {
	r, err := gitstore.OpenWith(dir, gitstore.Options{Files: g.disk, Memo: walkMemo(dir)})
	if errors.Is(err, gitstore.ErrNotRepository) {
		return nil, app.ErrNoRepository
	}
	if refused := (*gitstore.RefusedError)(nil); errors.As(err, &refused) {
		return nil, &app.Unusable{Reason: refused.Reason, Remedy: refused.Remedy}
	}
	if err != nil {
		return nil, err
	}
	return repository{r}, nil
}

// Init implements app.Git.
func (g git) Init(dir string) (app.Repository, error) {
	r, err := gitstore.InitWith(dir, gitstore.Options{Files: g.disk})
	if err != nil {
		return nil, err
	}
	return repository{r}, nil
}

// Unbundle implements app.Git.
func (g git) Unbundle(ctx context.Context, dir string, bundle io.Reader) (app.Repository, error) {
	r, err := gitstore.Unbundle(ctx, dir, bundle, gitstore.Options{Files: g.disk})
	var bad *gitstore.BadBundleError
	if errors.As(err, &bad) {
		return nil, &app.Doubtful{Reason: err}
	}
	if err != nil {
		return nil, err
	}
	return repository{r}, nil
}

// repository is a gitstore repository in the words of package app.
type repository struct{ *gitstore.Repo }

// Head gives the commit that the work tree stands on, "" before the first.
func (r repository) Head() (string, error) {
	head, err := r.Repo.Head()
	if err != nil || head.Commit.IsZero() {
		return "", err
	}
	return head.Commit.String(), nil
}

// Resolve gives the commit that a revision names.
func (r repository) Resolve(revision string) (string, error) {
	id, err := r.Revision(revision)
	return id.String(), err
}

// Files gives a commit as a file system, without a checkout.
func (r repository) Files(commit string) (fs.FS, error) {
	id, err := gitstore.ParseHash(commit)
	if err != nil {
		return nil, err
	}
	return r.FS(id)
}

// Unsaved lists the paths in which the folder differs from the last commit.
func (r repository) Unsaved() ([]string, error) {
	status, err := r.Status()
	if err != nil {
		return nil, err
	}
	paths := make([]string, len(status))
	for i, s := range status {
		paths[i] = s.Path
	}
	return paths, nil
}

// Listed gives what Git's index alone says of the folder.
func (r repository) Listed() (contested, submodules []string, err error) {
	l, err := r.Repo.Listed()
	return l.Contested, l.Submodules, err
}

// Save commits the changes, signed where a key is given or configured; "" where nothing changed.
func (r repository) Save(ctx context.Context, save app.Save) (string, error) {
	req := gitstore.Request{
		Author:  gitstore.Person{Name: save.Author.Name, Email: save.Author.Email, When: save.When},
		Message: save.Message,
		Signer:  save.Sign,
	}
	if req.Signer == nil {
		sign, err := commitSigner()
		if err != nil {
			return "", err
		}
		req.Signer = sign
	}
	if save.Expect != "" {
		id, err := gitstore.ParseHash(save.Expect)
		if err != nil {
			return "", err
		}
		req.Expect = id
	}
	for _, c := range save.Changes {
		req.Changes = append(req.Changes, gitstore.Change{Path: c.Path, Content: c.Content, Delete: c.Delete})
	}
	result, err := r.Commit(ctx, req)
	if err != nil || result.Unchanged {
		return "", err
	}
	return result.Commit.String(), nil
}

// Advance implements app.Repository.
func (r repository) Advance(ctx context.Context, other app.Repository) error {
	from, ok := other.(repository)
	if !ok {
		return errors.New("a repository of another kind cannot be taken over from")
	}
	_, err := r.Repo.Advance(ctx, from.Repo)
	var fork *gitstore.ForkedError
	if !errors.As(err, &fork) {
		return err
	}
	f := &app.Forked{Ours: fork.Ours, Theirs: fork.Theirs}
	if !fork.Base.IsZero() {
		f.Base = fork.Base.String()
	}
	return f
}

// Bundle implements app.Repository.
func (r repository) Bundle(ctx context.Context, w io.Writer) error { return r.WriteBundle(ctx, w) }

// Tag makes a signed tag on a commit.
func (r repository) Tag(ctx context.Context, tag app.Tagging) error {
	id, err := gitstore.ParseHash(tag.Commit)
	if err != nil {
		return err
	}
	_, err = r.CreateTag(ctx, gitstore.TagRequest{
		Name: tag.Name, Target: id, Message: tag.Message, Signer: tag.Sign,
		Tagger: gitstore.Person{Name: tag.Tagger.Name, Email: tag.Tagger.Email, When: tag.When},
	})
	return err
}

// Log walks from the last commit to the first.
func (r repository) Log() iter.Seq2[app.Revision, error] {
	return func(yield func(app.Revision, error) bool) {
		from, err := r.Repo.Head()
		if err != nil || from.Commit.IsZero() {
			if err != nil {
				yield(app.Revision{}, err)
			}
			return
		}
		for c, err := range r.Repo.Log(from.Commit, gitstore.LogOptions{}) {
			if err != nil {
				yield(app.Revision{}, err)
				return
			}
			if !yield(revisionOf(c), nil) {
				return
			}
		}
	}
}

// History walks the versions of one path, newest first.
func (r repository) History(path string) iter.Seq2[history.Version, error] {
	return func(yield func(history.Version, error) bool) {
		from, err := r.Repo.Head()
		if err != nil || from.Commit.IsZero() {
			if err != nil {
				yield(history.Version{}, err)
			}
			return
		}
		for revised, err := range r.HistoryOf(from.Commit, path) {
			version := history.Version{Path: path}
			if err == nil {
				version.Revision = revisionOf(revised.Commit).Revision
				version.Bytes, err = r.Content(revised)
			}
			if !yield(version, err) || err != nil {
				return
			}
		}
	}
}

// Firsts gives files as they were first committed.
func (r repository) Firsts(paths []string) (map[string]history.Version, error) {
	found := map[string]history.Version{}
	from, err := r.Repo.Head()
	if err != nil || from.Commit.IsZero() || len(paths) == 0 {
		return found, err
	}
	firsts, err := r.Repo.Firsts(from.Commit, paths)
	if err != nil {
		return nil, err
	}
	for path, revised := range firsts {
		version := history.Version{Path: path, Revision: revisionOf(revised.Commit).Revision}
		if version.Bytes, err = r.Content(revised); err != nil {
			return nil, err
		}
		found[path] = version
	}
	return found, nil
}

// Changes gives the files that differ between two commits, with their bytes.
func (r repository) Changes(old, now string) ([]history.Pair, error) {
	before, err := r.side(old)
	if err != nil {
		return nil, err
	}
	after, err := r.side(now)
	if err != nil {
		return nil, err
	}
	differences, err := r.Changed(before.commit, after.commit)
	if err != nil {
		return nil, err
	}
	var pairs []history.Pair
	for _, d := range differences {
		pair := history.Pair{Path: d.Path}
		if pair.Old, err = before.read(d.Path, d.Old); err != nil {
			return nil, err
		}
		if pair.New, err = after.read(d.Path, d.New); err != nil {
			return nil, err
		}
		pairs = append(pairs, pair)
	}
	return pairs, nil
}

// side is one of two commits that are compared.
type side struct {
	commit gitstore.Hash
	files  *gitstore.Snapshot
}

func (r repository) side(commit string) (side, error) {
	if commit == "" {
		return side{}, nil
	}
	id, err := gitstore.ParseHash(commit)
	if err != nil {
		return side{}, err
	}
	files, err := r.FS(id)
	return side{id, files}, err
}

func (s side) read(path string, blob gitstore.Hash) ([]byte, error) {
	if blob.IsZero() || s.files == nil {
		return nil, nil
	}
	text, err := s.files.ReadFile(path)
	if errors.Is(err, gitstore.ErrNotFollowed) {
		return nil, nil // a link or a submodule is named by the check and shown as absent
	}
	return text, err
}

func revisionOf(c *gitstore.Commit) app.Revision {
	revision := app.Revision{Revision: history.Revision{
		ID: c.ID.String(), When: c.Author.When, Message: strings.TrimRight(c.Message, "\n"), Author: c.Author.Name,
	}}
	if c.Signature == "" {
		revision.Signed = "not signed"
	} else {
		revision.Signed = "signed, not checked here"
	}
	for _, p := range c.Parents {
		revision.Parents = append(revision.Parents, p.String())
	}
	return revision
}
