package ledger

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"io/fs"

	"boltback/internal/record"
)

// Summed is a file system that can tell the SHA-256 of a file, in lower-case hex, without it being read again.
type Summed interface {
	fs.FS
	SHA256(name string) (string, error)
}

// SHA256 gives the digest of a file of the car.
func (s *Snapshot) SHA256(path string) (record.Digest, error) {
	digest, err := SHA256(s.fsys, path)
	return record.Digest(digest), err
}

// SHA256 gives the digest of a file in lower-case hex: from a file system that knows it, or by reading.
func SHA256(fsys fs.FS, path string) (string, error) {
	if known, ok := fsys.(Summed); ok {
		return known.SHA256(path)
	}
	file, err := fsys.Open(path)
	if err != nil {
		return "", err
	}
	defer file.Close()
	h := sha256.New()
	if _, err := io.Copy(h, file); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
