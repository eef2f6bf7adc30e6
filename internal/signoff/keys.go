package signoff

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"boltback/internal/attest"
	"boltback/internal/edtf"
	"boltback/internal/record"
)

// Bounds on the folder of people in a ledger that may come from a stranger.
const (
	mostEntries  = 20_000
	longestEntry = 64 << 10 // bytes
)

// KeyEntry is a record of somebody's public key.
type KeyEntry struct {
	Ref    record.Ref
	Digest record.Digest
	Person record.Ref
	Key    attest.PublicKey
	// After and Before bound its validity, both included; zero is no bound. Days
	// without a time count in UTC, as the derived list of allowed signers has them.
	After, Before time.Time
	// Fault says why the entry counts for nothing; "" where it counts.
	Fault string
}

// Ending is a record that ends a key before its time.
type Ending struct {
	Ref    record.Ref
	Digest record.Digest
	Of     record.Ref
	From   time.Time // the first instant at which the key is void
	Why    string
	// Trusted says that the commit which brought it was signed with a key that
	// counted. It ends the key either way: whoever lost the only key has none left.
	Trusted bool
}

// KeySet is what a folder of people says of keys, by name of the entry.
type KeySet struct {
	Keys    []KeyEntry
	Endings []Ending
}

// ReadKeys reads the keys and revocations under people/. What cannot be read as
// a record is passed over: it is reported by the check of the ledger, and it
// lets nobody in.
func ReadKeys(fsys fs.FS) (KeySet, error) {
	var set KeySet
	seen := 0
	err := fs.WalkDir(fsys, "people", func(p string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) && p == "people" {
			return fs.SkipAll
		}
		if err != nil {
			return err
		}
		if seen++; seen > mostEntries {
			return errors.New("more than 20,000 entries about people: this is not a car's ledger")
		}
		if !d.Type().IsRegular() || !slices.Contains(record.KindsAt(p), record.KindKey) {
			return nil
		}
		set.read(fsys, p)
		return nil
	})
	return set.sorted(), err
}

// With gives the set after files were added or changed, by path: those that are
// keys or end one take the place of entries of the same name.
func (s KeySet) With(files map[string][]byte) KeySet {
	var more KeySet
	for p, content := range files {
		if slices.Contains(record.KindsAt(p), record.KindKey) {
			more.take(p, content)
		}
	}
	for _, e := range s.Keys {
		if _, replaced := files[record.PathOf(e.Ref)]; !replaced {
			more.Keys = append(more.Keys, e)
		}
	}
	for _, e := range s.Endings {
		if _, replaced := files[record.PathOf(e.Ref)]; !replaced {
			more.Endings = append(more.Endings, e)
		}
	}
	return more.sorted()
}

func (s KeySet) sorted() KeySet {
	slices.SortFunc(s.Keys, func(a, b KeyEntry) int { return strings.Compare(string(a.Ref), string(b.Ref)) })
	slices.SortFunc(s.Endings, func(a, b Ending) int { return strings.Compare(string(a.Ref), string(b.Ref)) })
	return s
}

// read takes one file in, if it is a key or ends one.
func (s *KeySet) read(fsys fs.FS, p string) {
	if info, err := fs.Stat(fsys, p); err != nil || info.Size() > longestEntry {
		return
	}
	if content, err := fs.ReadFile(fsys, p); err == nil {
		s.take(p, content)
	}
}

// take takes one entry in by its bytes, if it is a key or ends one.
func (s *KeySet) take(p string, content []byte) {
	r, err := record.Decode(p, content)
	if err != nil {
		return
	}
	switch body := r.Body.(type) {
	case *record.Key:
		s.Keys = append(s.Keys, keyEntry(r, body))
	case *record.Revocation:
		ending := Ending{Ref: r.ID, Digest: r.Digest, Of: body.Of, Why: body.Why}
		ending.From, _, _ = bounds(body.On)
		s.Endings = append(s.Endings, ending)
	}
}

// keyEntry reads a record of a key. Entries never change, so one that claims to
// correct or withdraw another counts for nothing: a revocation is the way.
func keyEntry(r *record.Record, body *record.Key) KeyEntry {
	e := KeyEntry{Ref: r.ID, Digest: r.Digest, Person: record.OwnerOf(r.ID)}
	if body.Corrects != "" || body.Withdraws != "" {
		e.Fault = "a key entry neither corrects nor withdraws another; a revocation ends a key"
		return e
	}
	var err error
	if e.Key, err = attest.ParsePublicKey(body.Public); err != nil {
		e.Fault = err.Error()
		return e
	}
	var ok bool
	if e.After, _, ok = bounds(body.From); !ok {
		e.Fault = "the day from which it is valid cannot be read"
	}
	if _, e.Before, ok = bounds(body.Until); !ok {
		e.Fault = "the day until which it is valid cannot be read"
	}
	return e
}

// bounds gives the first and last second that a date may mean; a day without a
// time of day counts in UTC. No date has no bounds; ok is false where the text is
// none.
func bounds(date record.Date) (first, last time.Time, ok bool) {
	if date == "" {
		return time.Time{}, time.Time{}, true
	}
	d, err := edtf.Parse(string(date))
	if err != nil {
		return time.Time{}, time.Time{}, false
	}
	if d.HasTime() && d.HasZone() {
		first, _ = d.Earliest()
		last, _ = d.Latest()
		return first.Truncate(time.Second), last.Truncate(time.Second), true
	}
	if day, known := d.First(); known {
		first = midnight(day)
	}
	if day, known := d.Last(); known {
		last = midnight(day).Add(24*time.Hour - time.Second)
	}
	return first, last, !first.IsZero() && !last.IsZero()
}

func midnight(day edtf.Day) time.Time {
	y, m, d := day.Date()
	return time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
}

// Principal is the name under which somebody signs: the author of their commits.
func Principal(person record.Ref) string {
	workshop, slug := path.Split(strings.TrimPrefix(string(person), "people/"))
	return slug + "@" + strings.TrimSuffix(workshop, "/") + ".invalid"
}

// signers makes the list of allowed signers of key entries. With comments each
// line ends with the name of its entry.
func signers(entries []KeyEntry, endings map[record.Ref]Ending, comments bool) attest.AllowedSigners {
	var lines []attest.AllowedSigner
	for _, e := range entries {
		line := attest.AllowedSigner{
			Principals: []string{Principal(e.Person)}, Namespaces: []string{string(attest.Commits), string(attest.SignOffs)},
			After: e.After, Before: e.Before, Key: e.Key,
		}
		if end, ended := endings[e.Ref]; ended {
			if last := end.From.Add(-time.Second); line.Before.IsZero() || last.Before(line.Before) {
				line.Before = last
			}
		}
		if comments {
			line.Comment = string(e.Ref)
		}
		if one, err := attest.NewAllowedSigners([]attest.AllowedSigner{line}); e.Fault == "" && err == nil {
			lines = append(lines, one.Entries()...)
		}
	}
	list, err := attest.NewAllowedSigners(lines)
	if err != nil {
		return attest.AllowedSigners{} // each line was checked
	}
	return list
}

// SignersFile is the file allowed_signers that follows from the key entries of a
// ledger, with which stock tools check signatures. Entries that count for
// nothing, or for no time at all, are left out.
func (s KeySet) SignersFile() []byte { return signers(s.Keys, endingsOf(s.Endings), false).Bytes() }

// endingsOf finds the earliest ending of each key.
func endingsOf(list []Ending) map[record.Ref]Ending {
	first := map[record.Ref]Ending{}
	for _, e := range list {
		if known, ok := first[e.Of]; !ok || e.From.Before(known.From) {
			first[e.Of] = e
		}
	}
	return first
}

// Shared lists the pairs of entries that hold one key for two people: then a
// signature does not tell which of them signed.
func (s KeySet) Shared() [][2]record.Ref {
	var pairs [][2]record.Ref
	first := map[attest.PublicKey]KeyEntry{}
	for _, e := range s.Keys {
		if e.Key.IsZero() {
			continue
		}
		if other, ok := first[e.Key]; !ok {
			first[e.Key] = e
		} else if other.Person != e.Person {
			pairs = append(pairs, [2]record.Ref{other.Ref, e.Ref})
		}
	}
	return pairs
}

// present gives the digest of each entry, by name.
func (s KeySet) present() map[record.Ref]record.Digest {
	here := make(map[record.Ref]record.Digest, len(s.Keys)+len(s.Endings))
	for _, e := range s.Keys {
		here[e.Ref] = e.Digest
	}
	for _, e := range s.Endings {
		here[e.Ref] = e.Digest
	}
	return here
}
