package gitstore

import (
	"encoding/hex"
	"fmt"

	"github.com/go-git/go-git/v5/plumbing"
)

// Hash is a Git object id: SHA-1 over the object's type, size and bytes.
type Hash [20]byte

// String returns the forty hexadecimal digits.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// IsZero reports whether h names no object.
func (h Hash) IsZero() bool { return h == Hash{} }

// ParseHash reads forty hexadecimal digits.
func ParseHash(s string) (Hash, error) {
	var h Hash
	if len(s) != 2*len(h) {
		return h, fmt.Errorf("%q is not an object id of 40 hexadecimal digits", s)
	}
	if _, err := hex.Decode(h[:], []byte(s)); err != nil {
		return Hash{}, fmt.Errorf("%q is not an object id of 40 hexadecimal digits", s)
	}
	return h, nil
}

// BlobID returns the id that Git gives to a file with these bytes.
func BlobID(content []byte) Hash { return idOf(plumbing.BlobObject, content) }

// idOf computes an object's id with a SHA-1 that detects collision attacks.
func idOf(t plumbing.ObjectType, content []byte) Hash {
	return Hash(plumbing.ComputeHash(t, content))
}
