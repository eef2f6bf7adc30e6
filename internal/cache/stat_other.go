//go:build !unix

package cache

import "io/fs"

// entryOf gives how a file looks on disk, as far as the standard library tells.
func entryOf(path string, info fs.FileInfo) entry {
	return entry{path: path, size: info.Size(), modified: info.ModTime().UnixNano()}
}

// own cannot be told here; a user's cache folder is the user's.
func own(fs.FileInfo) bool { return true }

const notThroughLinks = 0
