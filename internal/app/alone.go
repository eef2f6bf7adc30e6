package app

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// IsFile says that a word names a file that is there, and no folder.
func (e Env) IsFile(word string) bool {
	path, err := e.Files.Absolute(word)
	if err != nil || word == "" {
		return false
	}
	folder, file := filepath.Split(path)
	info, err := fs.Stat(e.Files.Folder(folder), file)
	return err == nil && info.Mode().IsRegular()
}

// VerifyFile says what one file shows by itself: a dossier, a sign-off with the signature beside it, a stamp, or a photo or
// document. Beside is a file to hold it against, "" for none: for a photo or document the record of the paper, for the others
// a record that they carry the digest of.
func (e Env) VerifyFile(name, beside string, want VerifyRequest) (*signoff.Alone, error) {
	if signed, ok := strings.CutSuffix(name, ".sig"); ok && e.IsFile(signed+".json") {
		name = signed + ".json"
	}
	if against, err := e.recordIn(beside); err == nil && against.Kind == record.KindPaper {
		of, size, err := e.digestOf(name)
		if err != nil {
			return nil, err
		}
		return signoff.AlonePaper(name, of, size, beside, against)
	}
	a, err := e.byItself(name, want)
	if err != nil || beside == "" {
		return a, err
	}
	of, _, err := e.digestOf(beside)
	if err == nil {
		a.HoldBeside(beside, of)
	}
	return a, err
}

func (e Env) byItself(name string, want VerifyRequest) (*signoff.Alone, error) {
	if r, err := e.recordIn(name); err == nil {
		body, ok := r.Body.(*record.SignOff)
		if !ok {
			return nil, &Usage{Message: fmt.Sprintf("%s is a record (%s), and shows nothing by itself", name, r.Kind), Hint: "give the sign-off that covers it first: boltback verify SIGN-OFF.json " + name}
		}
		armored, err := e.readUpTo(signoff.SignatureOf(name), 1<<16)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		pins, err := e.pins(Car{}, []signoff.Commit{{ID: body.Ledger}}, want.Pins)
		return signoff.AloneSignOff(name, r, armored, pins), err
	}
	k, data, err := e.keepsake(name)
	if err != nil {
		return nil, &Usage{Message: fmt.Sprintf("%s by itself: %v", name, err), Hint: "verify takes a car, a dossier, a sign-off with its .sig, a stamp as stamp --save writes it, or a photo or document with the paper's record behind it"}
	}
	ledger := ""
	if k.Stamp != nil {
		ledger = k.Stamp.Manifest.Ledger
	}
	pins, err := e.pins(Car{}, []signoff.Commit{{ID: ledger}}, want.Pins)
	if err != nil {
		return nil, err
	}
	roots, _, err := e.authorities(want.Roots)
	if err != nil {
		return nil, err
	}
	of, _, err := e.digestOf(name)
	return signoff.AloneKept(name, of, data, k, pins, roots), err
}

// recordIn reads a file as a record, wherever it lies.
func (e Env) recordIn(name string) (*record.Record, error) {
	if !strings.HasSuffix(name, ".json") {
		return nil, errors.New("it is no record")
	}
	data, err := e.readUpTo(name, int64(canon.DefaultLimits().Bytes))
	if err != nil {
		return nil, err
	}
	doc, err := canon.Parse(data, canon.DefaultLimits())
	if err != nil {
		return nil, err
	}
	return record.FromDocument(placeFor(textAt(doc, "kind")), doc)
}

// digestOf reads a file of any size once, for its digest.
func (e Env) digestOf(name string) (of record.Digest, size int64, err error) {
	path, err := e.Files.Absolute(name)
	if err != nil {
		return "", 0, err
	}
	folder, base := filepath.Split(path)
	file, err := e.Files.Folder(folder).Open(base)
	if err != nil {
		return "", 0, fmt.Errorf("read %s: %w", name, err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	sum := sha256.New()
	if size, err = io.Copy(sum, file); err != nil {
		return "", 0, fmt.Errorf("read %s: %w", name, err)
	}
	return record.Digest(hex.EncodeToString(sum.Sum(nil))), size, nil
}
