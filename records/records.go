// Package records embeds the requirement sets that ship with the program, and the sample: a yard with three cars, its
// workshop's address book, its photos, and the plan of the commits that made it what it is. One car is finished, one came in boxes and is half-way, one is in trouble: the mistakes
// in its records were made on purpose and are listed by Plants and Troubles. The people, the workshops, the makers and the
// cars are invented.
//
// The sample's folder is a yard as the program lays it out:
//
//	yard.json  workshop/  cars/<car>/  originals/
//
// with two additions that are no part of a yard. history.json lists the commits of its repositories, oldest first:
//
//	{ "commits": [ { "repository": "cars/<car>", "when": RFC 3339, "author": a person's name in the records,
//	                 "message": plain words, "paths": [ paths inside the repository, in order ] } ] }
//
// and earlier/<number of the commit, two digits or three>/<path> holds a file as it was then, where a later commit of the same
// repository changed it again. All other files are as in the finished yard. Previews have no entry of their own: they
// are committed with the paper that names them.
package records

import (
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"time"
)

//go:embed all:sample
var files embed.FS

//go:embed requirements/*.json
var requirements embed.FS

// Requirements gives the requirement sets that ship with the program, <name>.json each.
func Requirements() fs.FS {
	sub, err := fs.Sub(requirements, "requirements")
	if err != nil {
		panic(err) // the folder is embedded: only a broken build gets here
	}
	return sub
}

// Sample gives the sample's files, rooted at the yard.
func Sample() fs.FS {
	sub, err := fs.Sub(files, "sample")
	if err != nil {
		panic(err) // the folder is embedded: only a broken build gets here
	}
	return sub
}

// Commit is one commit of the sample's history.
type Commit struct {
	// Number counts from 1 over all repositories.
	Number int `json:"-"`
	// Repository is the folder in the yard: "workshop" or "cars/<car>".
	Repository string `json:"repository"`
	// When carries the offset that the author's clock had.
	When time.Time `json:"when"`
	// Author is the name of a person's record: people/<workshop>/<slug>.
	Author  string `json:"author"`
	Message string `json:"message"`
	// Paths are files of the repository, added or changed by this commit.
	Paths []string `json:"paths"`
}

// History lists the commits of the sample, oldest first.
func History() ([]Commit, error) {
	src, err := fs.ReadFile(Sample(), "history.json")
	if err != nil {
		return nil, err
	}
	var plan struct {
		Commits []Commit `json:"commits"`
	}
	if err := json.Unmarshal(src, &plan); err != nil {
		return nil, fmt.Errorf("history.json: %w", err)
	}
	for i := range plan.Commits {
		plan.Commits[i].Number = i + 1
	}
	return plan.Commits, nil
}

// File gives the bytes that a path of the commit held at that commit.
func (c Commit) File(path string) ([]byte, error) {
	then := fmt.Sprintf("earlier/%02d/%s", c.Number, path)
	src, err := fs.ReadFile(Sample(), then)
	if errors.Is(err, fs.ErrNotExist) {
		return fs.ReadFile(Sample(), c.Repository+"/"+path)
	}
	return src, err
}
