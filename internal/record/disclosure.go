package record

import (
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"boltback/internal/canon"
)

// Disclosure is a private value with what ties it to its place, in the manner of RFC 9901. It lies beside the ledger as
// private/<car>/<digest>.json, and the record holds only the digest: hex SHA-256 of the file's bytes. The salt keeps the
// digest from being guessed at, the rest keeps the value from being moved to another field.
type Disclosure struct {
	Salt    string // 32 characters of hex, chosen at random
	Ledger  string // as SealedFor gives it
	Path    string // the record's file
	Pointer string // the member, a JSON Pointer
	Value   string
}

// SaltBytes is how much randomness a salt holds.
const SaltBytes = 16

// Why a disclosure does not belong to a field. None of these texts repeats a value.
var (
	ErrOtherDigest  = errors.New("the file is not the one whose digest stands in the record")
	ErrOtherLedger  = errors.New("the disclosure is of another ledger")
	ErrOtherRecord  = errors.New("the disclosure is of another record")
	ErrOtherPointer = errors.New("the disclosure is of another member")
)

// SealedFor gives what a disclosure of a record's private value names as its ledger: the ledger's id, or for people,
// instruments and stores, which cars copy unchanged from an address book, the handle of the workshop that keeps them.
func SealedFor(ledger, path string) string {
	folder, rest, _ := strings.Cut(path, "/")
	if leafName[folder] == "" {
		return ledger
	}
	handle, _, _ := strings.Cut(rest, "/")
	return handle
}

// Encode gives the bytes of the file.
func (d Disclosure) Encode() ([]byte, error) {
	src, err := canon.Marshal([]string{d.Salt, d.Ledger, d.Path, d.Pointer, d.Value})
	if err != nil {
		return nil, fmt.Errorf("write the disclosure of %s: %w", d.Path, withoutText(err))
	}
	return src, nil
}

// DigestOf gives what a record holds in the place of the value that a disclosure file discloses.
func DigestOf(file []byte) Sealed { return Sealed(canon.Digest(file)) }

// ParseDisclosure reads the bytes of a disclosure file. Its errors say where, and never repeat what stands there.
func ParseDisclosure(src []byte) (Disclosure, error) {
	doc, err := canon.Parse(src, canon.DefaultLimits())
	if err != nil {
		return Disclosure{}, withoutText(err)
	}
	if doc.Root.Kind != canon.Array || len(doc.Root.Elements) != 5 {
		return Disclosure{}, &canon.SyntaxError{Line: 1, Column: 1, Message: "a disclosure is a list of salt, ledger, path, pointer and value"}
	}
	var d Disclosure
	for i, to := range []*string{&d.Salt, &d.Ledger, &d.Path, &d.Pointer, &d.Value} {
		n := doc.Root.Elements[i]
		at := doc.Position(n.Start)
		if n.Kind != canon.String {
			return Disclosure{}, &canon.SyntaxError{Line: at.Line, Column: at.Column, Message: "a text belongs here"}
		}
		*to = n.Text
	}
	if salt, err := hex.DecodeString(d.Salt); err != nil || len(salt) < SaltBytes {
		return Disclosure{}, &canon.SyntaxError{Line: 1, Column: 1, Message: "the salt has less than 128 bits, or is not hex"}
	}
	return d, nil
}

// withoutText keeps of a syntax error where it is, as its words may quote a private value.
func withoutText(err error) error {
	var syntax *canon.SyntaxError
	if !errors.As(err, &syntax) {
		return errors.New("it cannot be read")
	}
	return &canon.SyntaxError{Line: syntax.Line, Column: syntax.Column, Message: "this is no disclosure as the ledger writes it"}
}

// Open gives the private value at a pointer of a record, if the file is the disclosure that belongs there: digest, ledger,
// path and pointer all agree. Paths are those that the disclosure may name: the record's own, and those of the records that
// it corrects, from which it took the digest over.
func (s Sealed) Open(file []byte, ledger, pointer string, paths ...string) (value string, err error) {
	if DigestOf(file) != s {
		return "", ErrOtherDigest
	}
	d, err := ParseDisclosure(file)
	if err != nil {
		return "", err
	}
	err = ErrOtherRecord
	for _, path := range paths {
		if d.Path == path {
			err = nil
			if d.Ledger != SealedFor(ledger, path) {
				err = ErrOtherLedger
			}
		}
	}
	switch {
	case err != nil:
		return "", err
	case d.Pointer != pointer:
		return "", ErrOtherPointer
	}
	return d.Value, nil
}

// IsDigest reports whether a text has the form of a digest, as a sealed value has.
func IsDigest(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}
