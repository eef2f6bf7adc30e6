package app

import (
	"fmt"
	"io/fs"
	"path/filepath"

	"boltback/records"
	"boltback/schema"
)

// Demo lays out the sample yard in a folder that does not exist yet or is empty, and gives the number of files written.
func (e Env) Demo(path string) (int, error) {
	if path == "" {
		return 0, &Usage{Message: "name a folder to lay the sample out in", Hint: "boltback demo demo-yard"}
	}
	root, err := e.Files.Absolute(path)
	if err != nil {
		return 0, err
	}
	if entries, err := fs.ReadDir(e.Files.Folder(root), "."); err == nil && len(entries) > 0 {
		return 0, &Usage{Message: path + " is not empty", Hint: "name a new folder: nothing that is there is written over"}
	}
	written := 0
	err = fs.WalkDir(records.Sample(), ".", func(name string, d fs.DirEntry, err error) error {
		if name == "earlier" {
			return fs.SkipDir // how records looked before: the sample's history, not its yard
		}
		if err != nil || d.IsDir() || name == "history.json" {
			return err
		}
		content, err := fs.ReadFile(records.Sample(), name)
		if err != nil {
			return err
		}
		written++
		return e.create(root, name, content)
	})
	if err != nil {
		return written, fmt.Errorf("lay out the sample: %w", err)
	}
	cars, err := e.carsOf(root)
	if err != nil {
		return written, err
	}
	for _, car := range cars {
		more, err := e.furnish(car.Path)
		written += more
		if err != nil {
			return written, err
		}
	}
	return written, nil
}

// furnish puts into a car what every car carries besides its records: the schemas of its edition, and the line that keeps
// Git from changing bytes.
func (e Env) furnish(root string) (int, error) {
	written := 1
	if err := e.create(root, ".gitattributes", []byte("* -text\n")); err != nil {
		return 0, err
	}
	err := fs.WalkDir(schema.Files(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(schema.Files(), name)
		if err != nil {
			return err
		}
		written++
		return e.create(root, "schema/"+schema.Edition+"/"+name, text)
	})
	return written, err
}

func (e Env) create(root, name string, content []byte) error {
	path := filepath.Join(root, filepath.FromSlash(name))
	if err := e.Files.MakeFolder(filepath.Dir(path)); err != nil {
		return err
	}
	return e.Files.Create(path, content)
}
