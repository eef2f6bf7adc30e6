package signoff

import (
	"bytes"
	"encoding/json"
	"errors"
	"html"
	"regexp"
	"slices"

	"boltback/internal/attest"
	"boltback/internal/canon"
	"boltback/internal/record"
)

// Alone is what one file shows by itself, without the ledger that it came out of.
type Alone struct {
	// Name is the file's, What it is in words: "a dossier", "a sign-off", "a
	// stamp", "a paper".
	Name, What string
	Digest     record.Digest
	// Commit, Ledger and Tree are what it names: the commit it speaks of, the first
	// commit of its ledger, a tree. None of them is shown by the file itself.
	Commit, Ledger, Tree string
	// Fingerprints are those of keys that stand in it, in its own words.
	Fingerprints []string
	// Files are the digests of files that it carries. Inside of those are the
	// records that travel in it as a whole, Altered the paths of records that are
	// not those whose digests stand beside them.
	Files   []FileDigest
	Inside  int
	Altered []string

	SignOff *record.SignOff // of a sign-off
	Stamp   *StampVerdict   // of a stamp; only signature and token are judged
	Paper   *record.Paper   // what a paper was held against
	// Matches is how a file held beside fits: "original" or "preview" of a paper, the
	// name of a record that a sign-off covers; "" where it does not. Beside is its name.
	Beside, Matches string

	// Signed says that there is a signature; it fits where Detail is "".
	Signed    bool
	Signature attest.Signature
	Detail    string
	// Pinned says that the key is one which the reader pinned; Pins is how many he
	// has for this ledger.
	Pinned bool
	Pins   int
	// Roots is how many authorities the reader trusts.
	Roots int
}

// Faults counts what is wrong with the file itself.
func (a *Alone) Faults() int {
	n := len(a.Altered)
	for _, wrong := range []bool{
		a.Signed && a.Detail != "",
		!a.Signed && a.SignOff != nil && a.SignOff.Form == "key",
		!a.Signed && a.Stamp != nil && a.Stamp.Tag != "",
		a.Stamp != nil && a.Stamp.TokenFault != nil && !a.Stamp.NobodyTrusted,
		a.Beside != "" && a.Matches == "",
	} {
		if wrong {
			n++
		}
	}
	return n
}

// Clean says that nothing is wrong with it, and that something which the reader
// brought himself bears it out: a pinned key, an authority that he trusts, or the
// record that he holds it against.
func (a *Alone) Clean() bool {
	return a.Faults() == 0 && (a.Pinned || a.Stamp != nil && a.Stamp.Stamped || a.Paper != nil && a.Matches != "")
}

func (a *Alone) pin(pins Pins) {
	a.Pins = len(pins.Keys)
	a.Pinned = a.Signed && a.Detail == "" && slices.Contains(pins.Keys, a.Signature.Key.Fingerprint())
}

// AloneSignOff judges a sign-off by the signature beside it, nil for none. Whose
// key it is the ledger alone can tell.
func AloneSignOff(name string, r *record.Record, armored []byte, pins Pins) *Alone {
	body := r.Body.(*record.SignOff)
	a := &Alone{Name: name, What: "a sign-off", Digest: r.Digest, Ledger: body.Ledger, Tree: body.Tree, SignOff: body, Signed: len(armored) > 0}
	for _, c := range body.Covers {
		a.Files = append(a.Files, FileDigest{record.PathOf(c.Record), c.Digest})
	}
	if a.Signed {
		var err error
		if a.Signature, err = attest.Verify(r.Doc.Source, armored, attest.SignOffs); err != nil {
			a.Detail = err.Error()
		} else {
			a.Fingerprints = []string{a.Signature.Key.Fingerprint()}
		}
	}
	a.pin(pins)
	return a
}

// AloneKept judges a dossier, the records out of one, or a stamp.
// Data are the bytes that were read as it: of a PDF the records inside.
func AloneKept(name string, of record.Digest, data []byte, k Keepsake, pins Pins, roots attest.Roots) *Alone {
	a := &Alone{Name: name, What: k.What, Digest: of, Commit: k.Commit, Files: k.Files, Roots: len(roots.Fingerprints())}
	if k.Stamp != nil {
		a.stamp(*k.Stamp, roots)
	} else {
		a.Fingerprints = fingerprintsIn(data)
		a.inside(data)
	}
	a.pin(pins)
	return a
}

func (a *Alone) stamp(s Stamped, roots attest.Roots) {
	v := StampVerdict{Tag: s.Tag, Commit: s.Manifest.Commit, Tagger: s.Tagger, Digest: s.Digest(), Before: s.Manifest.Before}
	s.judge(&Ring{}, roots, &v)
	a.Stamp, a.Ledger, a.Tree = &v, s.Manifest.Ledger, s.Manifest.Tree
	if a.Signed = len(s.signature) > 0; !a.Signed {
		return
	}
	var err error
	if a.Signature, err = attest.Verify(s.payload, s.signature, attest.Commits); err != nil {
		a.Detail = err.Error()
		return
	}
	a.Fingerprints = []string{a.Signature.Key.Fingerprint()}
}

var printedKey = regexp.MustCompile(`SHA256:[A-Za-z0-9+/]{43}`)

// fingerprintsIn gives the fingerprints that stand in a page or in records, each once.
func fingerprintsIn(data []byte) (list []string) {
	text := html.UnescapeString(string(bytes.ReplaceAll(data, []byte("<wbr>"), nil)))
	for _, f := range printedKey.FindAllString(text, -1) {
		if attest.ValidFingerprint(f) && !slices.Contains(list, f) {
			list = append(list, f)
		}
	}
	return list
}

// inside holds the records that travel in a dossier against the digests beside
// them, and reads the keys among them.
func (a *Alone) inside(data []byte) {
	var kept struct {
		Records []struct {
			Path   string
			Digest record.Digest
			Record json.RawMessage
		}
	}
	if json.Unmarshal(data, &kept) != nil {
		return
	}
	for _, one := range kept.Records {
		r, err := record.Decode(one.Path, one.Record)
		if err != nil || record.Digest(canon.Digest(canon.Layout(r.Doc))) != one.Digest {
			a.Altered = append(a.Altered, one.Path)
			continue
		}
		a.Inside++
		if body, ok := r.Body.(*record.Key); ok {
			if key, err := attest.ParsePublicKey(body.Public); err == nil && !slices.Contains(a.Fingerprints, key.Fingerprint()) {
				a.Fingerprints = append(a.Fingerprints, key.Fingerprint())
			}
		}
	}
}

// errNoDigest says that a paper cannot be held against anything.
var errNoDigest = errors.New("the record of the paper has no digest of an original or a preview")

// AlonePaper holds a photo or document, by its digest and size, against the record of a paper.
func AlonePaper(name string, of record.Digest, size int64, recordName string, r *record.Record) (*Alone, error) {
	body := r.Body.(*record.Paper)
	a := &Alone{Name: name, What: "a photo or document", Digest: of, Paper: body, Beside: recordName}
	some := false
	for _, c := range []struct {
		what    string
		content *record.Content
	}{{"original", body.Original}, {"preview", body.Preview}} {
		if c.content == nil || c.content.Digest == "" {
			continue
		}
		some = true
		a.Files = append(a.Files, FileDigest{c.what, c.content.Digest})
		if c.content.Digest == of && (c.content.Bytes == 0 || c.content.Bytes == size) {
			a.Matches = c.what
		}
	}
	if !some {
		return nil, errNoDigest
	}
	return a, nil
}

// HoldBeside holds a file, by its digest, against those that a sign-off, a stamp or a dossier carries the digests of.
func (a *Alone) HoldBeside(name string, of record.Digest) {
	a.Beside = name
	for _, f := range a.Files {
		if f.Digest == of {
			a.Matches = f.Path
		}
	}
}
