package app

import (
	"context"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"strings"

	"boltback/internal/attest"
	"boltback/internal/record"
	"boltback/internal/validate"
	"boltback/records"
)

// Demo lays out the sample yard in a folder that does not exist yet or is empty, and plays its history: every commit with
// its author, its day and its signature, so that the ids are the same wherever it is done. It gives the number of commits.
func (e Env) Demo(ctx context.Context, name string) (commits int, err error) {
	root, err := e.Files.Absolute(name)
	if err != nil {
		return 0, err
	}
	if entries, err := fs.ReadDir(e.Files.Folder(root), "."); err == nil && len(entries) > 0 {
		return 0, &Usage{Message: name + " is not empty", Hint: "name a new folder: nothing that is there is written over"}
	}
	err = e.Files.Build(root, func(folder string) error {
		commits, err = e.playAll(ctx, folder)
		return err
	})
	return commits, err
}

// playAll fills a folder with the sample.
func (e Env) playAll(ctx context.Context, root string) (commits int, err error) {
	if err := e.layOut(root); err != nil {
		return 0, fmt.Errorf("lay out the sample: %w", err)
	}
	plan, err := records.History()
	if err != nil {
		return 0, fmt.Errorf("the sample's history: %w", err)
	}
	repositories := map[string]Repository{}
	for _, c := range plan {
		if err := ctx.Err(); err != nil {
			return commits, err
		}
		if err := e.play(ctx, root, c, repositories); err != nil {
			return commits, fmt.Errorf("commit %d of the sample: %w", c.Number, err)
		}
		commits++
	}
	return commits, nil
}

// layOut writes what of the sample lies in no repository.
func (e Env) layOut(root string) error {
	for _, folder := range []string{"cars", "originals", "private"} {
		if err := e.Files.MakeFolder(filepath.Join(root, folder)); err != nil {
			return err
		}
	}
	return fs.WalkDir(records.Sample(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		if name != "yard.json" && path.Dir(name) != "originals" && !strings.HasPrefix(name, "private/") {
			return nil
		}
		content, err := fs.ReadFile(records.Sample(), name)
		if err != nil {
			return err
		}
		at := filepath.Join(root, filepath.FromSlash(name))
		if err := e.Files.MakeFolder(filepath.Dir(at)); err != nil {
			return err
		}
		return e.keeperOf(name)(at, content)
	})
}

// keeperOf gives the way in which a file beside the repositories is written wherever the program writes one.
func (e Env) keeperOf(name string) func(path string, content []byte) error {
	switch folder, _, _ := strings.Cut(name, "/"); folder {
	case "private":
		return e.Files.Hide
	case "originals":
		return e.Files.Keep
	}
	return e.Files.Create
}

// play makes one commit of the sample's history.
func (e Env) play(ctx context.Context, root string, c records.Commit, repositories map[string]Repository) error {
	repo := repositories[c.Repository]
	var changes []Change
	if repo == nil {
		at := filepath.Join(root, filepath.FromSlash(c.Repository))
		if err := e.Files.MakeFolder(at); err != nil {
			return err
		}
		var err error
		if repo, err = e.Git.Init(at); err != nil {
			return err
		}
		repositories[c.Repository] = repo
		if changes, err = furniture(c.Repository); err != nil {
			return err
		}
	}
	for _, p := range c.Paths {
		more, err := sampleFile(c, p)
		if err != nil {
			return err
		}
		changes = append(changes, more...)
	}
	author := strings.Split(c.Author, "/")
	name, err := sampleName(c.Author)
	if err != nil {
		return err
	}
	signer := attest.DemoSigner(author[1], author[2])
	_, err = repo.Save(ctx, Save{
		Changes: changes, When: c.When, Message: c.Message,
		Author: Author{Name: name, Email: author[2] + "@" + author[1] + ".invalid"},
		Sign: func(payload []byte) (string, error) {
			armored, err := attest.Sign(signer, attest.Commits, payload)
			return string(armored), err
		},
	})
	return err
}

// furniture is what a repository begins with besides its records; a car carries the schemas too.
func furniture(repository string) ([]Change, error) {
	changes := []Change{{Path: ".gitattributes", Content: []byte(validate.GitAttributes)}}
	if !strings.HasPrefix(repository, "cars/") {
		return changes, nil
	}
	schemas, err := schemaFiles()
	return append(changes, schemas...), err
}

// sampleFile gives a file of a commit, and with a paper the preview that it names.
func sampleFile(c records.Commit, p string) ([]Change, error) {
	content, err := c.File(p)
	if err != nil {
		return nil, err
	}
	changes := []Change{{Path: p, Content: content}}
	if path.Dir(p) != "papers" {
		return changes, nil
	}
	r, err := record.Decode(p, content)
	if err != nil {
		return nil, fmt.Errorf("%s:%w", p, err)
	}
	preview := r.Body.(*record.Paper).Preview
	if preview == nil {
		return changes, nil
	}
	at := "previews/" + string(preview.Digest) + record.ExtensionOf(preview.Type)
	picture, err := fs.ReadFile(records.Sample(), c.Repository+"/"+at)
	if err != nil {
		return nil, err
	}
	return append(changes, Change{Path: at, Content: picture}), nil
}

// sampleName gives what people call an author of the sample.
func sampleName(author string) (string, error) {
	at := record.PathOf(record.Ref(author))
	text, err := fs.ReadFile(records.Sample(), "workshop/"+at)
	if err != nil {
		return "", err
	}
	r, err := record.Decode(at, text)
	if err != nil {
		return "", fmt.Errorf("%s:%w", at, err)
	}
	return r.Name(), nil
}
