package main

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"boltback/internal/app"
	"boltback/internal/cache"
)

// memories keeps what checks found in the user's cache folder.
func memories() app.Memories {
	folder := cacheFolder()
	if folder == "" {
		return nil
	}
	return remembering{cache.Folder{Path: folder, Edition: build(), Now: time.Now}}
}

// cacheFolder is where things are remembered that can be found again: BOLTBACK_CACHE names a folder, or is off; "" is none.
func cacheFolder() string {
	switch path := os.Getenv("BOLTBACK_CACHE"); path {
	case "off":
		return ""
	case "":
		folder, err := os.UserCacheDir()
		if err != nil {
			return "" // nobody's cache: nothing is remembered
		}
		return filepath.Join(folder, "boltback")
	default:
		full, err := filepath.Abs(path)
		if err != nil {
			return ""
		}
		return full
	}
}

// walkMemo is the file in which walks through a repository's history remember what they met, or "".
func walkMemo(repository string) string {
	folder := cacheFolder()
	full, err := filepath.Abs(repository)
	if folder == "" || err != nil {
		return ""
	}
	return filepath.Join(folder, fmt.Sprintf("%x.walk", sha256.Sum256([]byte(full))))
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
