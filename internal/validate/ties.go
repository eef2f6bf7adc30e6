package validate

import (
	"hash/fnv"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"boltback/internal/record"
)

// Key stands for one thing that joins files of a car: a path, a tag, the car's numbers. It is a hash, so that the ties of
// many files stay small; should two things ever share one, more is checked anew than needed, and never less.
type Key uint64

// Ties say what joins one file of a car to the others, as far as the rules of this package look: a change of one file can
// change the findings of another only through keys that the two share. A new rule that looks across files says here
// through what it looks; the property tests of packages validate and cache hold this against whole checks.
type Ties struct {
	// Over joins a file to the record it corrects or withdraws: together they settle which of them counts. Its first key
	// is the file's own, which stands for the file and its name.
	Over []Key
	// Group joins files that a rule compares all with all: parts that bear one tag, records that bear numbers, a preview
	// and the papers that describe it.
	Group []Key
	// Gives are things besides itself that a file has a say in: a licence speaks for its holder, a removal declares its part.
	Gives []Key
	// Takes are the things that a file refers to.
	Takes []Key
	// Kind is the record's, "" where the file is none or cannot be read as one; Original is the full file that a paper
	// describes.
	Kind     record.Kind
	Original record.Digest
}

func keyOf(sort, name string) Key {
	h := fnv.New64a()
	h.Write([]byte(sort))
	h.Write([]byte{0})
	h.Write([]byte(name))
	return Key(h.Sum64())
}

// fold gives the form in which names that collide on some machine are one.
func fold(path string) string { return strings.ToLower(norm.NFC.String(path)) }

func pathKey(path string) Key      { return keyOf("path", fold(path)) }
func refKey(id record.Ref) Key     { return pathKey(record.PathOf(id)) }
func groupKey(sort, of string) Key { return keyOf(sort, of) }

// TiesOf gives the ties of the file at path; r is nil where the file is no record or cannot be read as one.
func TiesOf(path string, r *record.Record) Ties {
	t := Ties{Over: []Key{pathKey(path)}}
	if id, ok := record.IDOf(path); ok && isEntry(id) {
		t.Gives = append(t.Gives, refKey(record.OwnerOf(id)))
		t.Takes = append(t.Takes, refKey(record.OwnerOf(id)))
	}
	if strings.HasPrefix(path, "previews/") {
		t.Group = append(t.Group, pathKey(path))
	}
	if r != nil {
		t.ofRecord(r)
	}
	t.Gives, t.Takes, t.Group = distinct(t.Gives), distinct(t.Takes), distinct(t.Group)
	return t
}

// isEntry reports whether a name is that of a licence, key, revocation or calibration: it lies in its owner's folder.
func isEntry(id record.Ref) bool {
	folder := record.FolderOf(id)
	return (folder == "people" || folder == "instruments") && strings.Count(string(id), "/") == 3
}

func distinct(keys []Key) []Key {
	slices.Sort(keys)
	return slices.Compact(keys)
}

func (t *Ties) ofRecord(r *record.Record) {
	t.Kind = r.Kind
	head := r.Body.Heading()
	for _, below := range []record.Ref{head.Corrects, head.Withdraws} {
		if below != "" {
			t.Over = append(t.Over, refKey(below))
		}
	}
	for _, leaf := range r.Leaves() {
		switch leaf.Role {
		case record.Reference:
			t.Takes = append(t.Takes, refKey(record.Ref(leaf.Text)))
		case record.Secret:
			t.Group = append(t.Group, groupKey("sealed", leaf.Text))
		}
	}
	switch body := r.Body.(type) {
	case *record.Car:
		t.Group = append(t.Group, groupKey("numbers", "")) // its market and year decide about check digits
	case *record.Part:
		t.numbers(body.Numbers)
		if tag := strings.TrimSpace(body.Tag); tag != "" {
			t.Group = append(t.Group, groupKey("tag", tag))
		}
	case *record.Paper:
		t.paper(body)
	case *record.Session:
		for _, line := range body.Lines {
			if line.Act == "removal" {
				for _, part := range line.Parts {
					t.Gives = append(t.Gives, refKey(part))
				}
			}
		}
	case *record.Transfer:
		t.Group = append(t.Group, groupKey("transfers", ""))
	case *record.Revocation:
		t.Gives = append(t.Gives, refKey(body.Of), refKey(record.OwnerOf(body.Of)))
	}
}

func (t *Ties) numbers(numbers []record.Number) {
	if len(numbers) > 0 {
		t.Group = append(t.Group, groupKey("numbers", ""))
	}
}

func (t *Ties) paper(p *record.Paper) {
	t.numbers(p.Numbers)
	if p.Enquiry != nil { // whether it is this car rests on its make and year too
		t.Takes = append(t.Takes, refKey("car"))
	}
	if p.Enquiry != nil || p.Certificate != nil && p.Certificate.Mark != "" {
		t.Group = append(t.Group, groupKey("numbers", ""))
	}
	if p.Replaces != "" {
		t.Gives = append(t.Gives, refKey(p.Replaces))
	}
	if p.Preview != nil {
		t.Group = append(t.Group, pathKey(previewPath(p.Preview)))
	}
	if p.Original != nil {
		t.Original = p.Original.Digest
		t.Group = append(t.Group, groupKey("original", string(p.Original.Digest)))
	}
}
