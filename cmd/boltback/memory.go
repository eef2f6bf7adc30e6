package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"boltback/internal/app"
	"boltback/internal/cache"
)

// memories keeps what checks found in the user's cache folder. BOLTBACK_CACHE names another folder, or is off.
func memories() app.Memories {
	path := os.Getenv("BOLTBACK_CACHE")
	switch {
	case path == "off":
		return nil
	case path != "":
		full, err := filepath.Abs(path)
		if err != nil {
			return nil
		}
		path = full
	default:
		folder, err := os.UserCacheDir()
		if err != nil {
			return nil // nobody's cache: nothing is remembered
		}
		path = filepath.Join(folder, "boltback")
	}
	return remembering{cache.Folder{Path: path, Edition: build(), Now: time.Now}}
}

// build names this very build: its version, and its file, since a version may be built twice.
func build() string {
	name, err := os.Executable()
	if err != nil {
		return version
	}
	info, err := os.Stat(name)
	if err != nil {
		return version
	}
	return fmt.Sprintf("%s %d %d", version, info.Size(), info.ModTime().UnixNano())
}

// remembering is the cache in the words of package app.
type remembering struct{ cache.Folder }

func (r remembering) Recall(car, beside string, folder fs.FS) (app.Memory, error) {
	m, err := r.Folder.Recall(car, beside, folder)
	if err != nil {
		return nil, err
	}
	return m, nil
}
