package app

import (
	"bytes"
	"fmt"
	"strings"

	"boltback/internal/code"
	"boltback/internal/page"
	"boltback/internal/signoff"
)

// keep holds something that was kept against the history: the id of a commit, the digest of a stamp as it is printed, or a
// file.
func (e Env) keep(r *signoff.Report, repo Repository, word string) error {
	if commitID.MatchString(word) {
		r.Keep(word)
		return nil
	}
	if digest, err := code.ParseDigest(word); err == nil {
		keepStamp(r, digest)
		return nil
	} else if code.LikeDigest(word) {
		return &Usage{Message: fmt.Sprintf("--kept %s: %v", word, err), Hint: "copy it once more from the paper, group by group"}
	}
	k, _, err := e.keepsake(word)
	if err != nil {
		return &Usage{Message: fmt.Sprintf("--kept %s is no id of a commit, no digest of a stamp, and no file that was kept: %v", word, err), Hint: "give the digits that were kept, at least the first seven; or a dossier (HTML, PDF), the records out of one, or a stamp"}
	}
	return r.HoldKeepsake(word, k, repo.Tree)
}

// keepStamp looks a stamp up by its digest.
func keepStamp(r *signoff.Report, digest string) {
	for _, v := range r.Stamps {
		if string(v.Digest) == digest {
			r.Keep(v.Commit)
			r.Kept[len(r.Kept)-1].From = v.Tag
			return
		}
	}
	r.Kept = append(r.Kept, signoff.Kept{ID: digest, From: "a stamp"})
}

// largestKept bounds what is read of a file that somebody kept.
const largestKept = 64 << 20

// keepsake reads a file that somebody kept, with the bytes that were read as one: of a PDF the records inside it.
func (e Env) keepsake(name string) (signoff.Keepsake, []byte, error) {
	data, err := e.readUpTo(name, largestKept)
	if err != nil {
		return signoff.Keepsake{}, nil, err
	}
	if !bytes.HasPrefix(data, []byte("%PDF-")) {
		k, err := signoff.ReadKeepsake(data)
		return k, data, err
	}
	for _, inside := range page.Streams(data) {
		if k, err := signoff.ReadKeepsake(inside); err == nil && strings.HasPrefix(k.What, "the records") {
			return k, inside, nil
		}
	}
	return signoff.Keepsake{}, nil, fmt.Errorf("no records are inside the PDF file")
}
