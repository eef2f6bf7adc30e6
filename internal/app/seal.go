package app

import (
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/record"
)

// random gives 128 bits in hex, for the id of a ledger or the salt of a private value.
func (e Env) random() (string, error) {
	if e.Random == nil {
		return "", errors.New("nothing gives randomness here")
	}
	bytes := make([]byte, record.SaltBytes)
	e.Random(bytes)
	return hex.EncodeToString(bytes), nil
}

// privateFolder is where the disclosures of a car lie, or "" for a car in no yard.
func (c Car) privateFolder() string {
	if c.Yard == "" {
		return ""
	}
	return filepath.Join(c.Yard, "private", c.Name)
}

// sealPrivate gives the text of a record with a digest in the place of each private value. The disclosures are on disk when it
// returns, before any record relies on them; one that no record comes to rely on harms nothing.
func (d *Desk) sealPrivate(at string, text []byte) ([]byte, error) {
	r, err := record.Decode(at, text)
	if err != nil {
		return nil, &Broken{Finding: faultIn(at, err)}
	}
	return d.sealFor(r, at)
}

// sealFor is sealPrivate for a record that was read, whose file is to be at.
func (d *Desk) sealFor(r *record.Record, at string) ([]byte, error) {
	digests := map[string]record.Sealed{}
	for _, leaf := range clear(r) {
		digest, err := d.hide(at, leaf.Pointer, leaf.Text)
		if err != nil {
			return nil, err
		}
		digests[leaf.Pointer] = digest
	}
	return withDigests(r, digests), nil
}

// hide keeps one private value beside the ledger, and gives the digest that stands for it.
func (d *Desk) hide(at, pointer, value string) (record.Sealed, error) {
	ledger, folder := record.SealedFor(d.s.Head().ID, at), d.car.privateFolder()
	if ledger == "" || folder == "" {
		return "", &Usage{Message: "a private value can be kept only in a yard, and in a ledger that has an id", Hint: "leave it out, or work in the yard; ledger.json gets its id at intake"}
	}
	if err := d.env.Files.MakeFolder(folder); err != nil {
		return "", fmt.Errorf("make the folder of private values: %w", err)
	}
	salt, err := d.env.random()
	if err != nil {
		return "", err
	}
	file, err := record.Disclosure{Salt: salt, Ledger: ledger, Path: at, Pointer: pointer, Value: value}.Encode()
	if err != nil {
		return "", err
	}
	digest := record.DigestOf(file)
	if err := d.env.Files.Hide(filepath.Join(folder, string(digest)+".json"), file); err != nil {
		return "", fmt.Errorf("keep a private value beside the ledger: %w", err)
	}
	return digest, nil
}

// withDigests gives the text of a record with digests in some of its places, and nothing else changed.
func withDigests(r *record.Record, digests map[string]record.Sealed) []byte {
	var places []*canon.Node
	at := map[*canon.Node]record.Sealed{}
	for pointer, digest := range digests {
		n := r.Doc.Find(pointer)
		places, at[n] = append(places, n), digest
	}
	slices.SortFunc(places, func(x, y *canon.Node) int { return y.Start - x.Start }) // from the end: places before stay where they are
	text := r.Doc.Source
	for _, n := range places {
		text = slices.Concat(text[:n.Start], []byte(`"`+string(at[n])+`"`), text[n.End:])
	}
	return text
}

// clear lists the private values of a record that stand in it as they are.
func clear(r *record.Record) []record.Leaf {
	return slices.DeleteFunc(r.Leaves(), func(l record.Leaf) bool { return l.Role != record.Secret || record.IsDigest(l.Text) })
}

// privateIn refuses a commit that would hold a private value in clear, in a record or in the inbox, or a known one in a
// file's name, a text or the message. What it says never repeats the value.
func (d *Desk) privateIn(changes []Change, message string) error {
	known := d.disclosed()
	for _, c := range changes {
		if c.Delete {
			continue
		}
		if f := inClear(c.Path, c.Content); f != nil {
			return &Broken{Finding: *f}
		}
		isText := path.Ext(c.Path) == ".json" && !strings.HasPrefix(c.Path, "schema/")
		if shows(c.Path, known) || isText && shows(string(c.Content), known) {
			return &Usage{Message: "a file of this commit shows a private value, in its name or its text", Hint: "name it otherwise, and say it without the name, address, price or number that is sealed"}
		}
	}
	if shows(message, known) {
		return &Usage{Message: "the message shows a private value", Hint: "say it without the name, address, price or number that is sealed"}
	}
	return nil
}

// inClear gives the first private value that stands in clear in a file, if there is any.
func inClear(at string, content []byte) *finding.Finding {
	file, body, start := at, content, 0
	if path.Dir(at) == "inbox" {
		doc, err := canon.Parse(content, canon.DefaultLimits())
		if err != nil || doc.Root.Get("fields") == nil {
			return nil
		}
		fields := doc.Root.Get("fields")
		body, start = content[fields.Start:fields.End], fields.Start
		at = placeFor(textAt(doc, "kind"))
	}
	r, err := record.Decode(at, body)
	if err != nil {
		return nil // what is no record is refused elsewhere
	}
	leaves := clear(r)
	if len(leaves) == 0 {
		return nil
	}
	f := finding.Finding{Severity: finding.Error, Code: "schema", File: file, Pointer: leaves[0].Pointer,
		Message: "a private value would stand here in clear, and a ledger never forgets",
		Hint:    "leave it out here, and give it with boltback record: only its digest is written"}
	if start == 0 {
		place := r.Doc.Locate(f.Pointer)
		f.Line, f.Column = place.Line, place.Column
	}
	return &f
}

// placeFor gives a path at which a record of a kind could lie.
func placeFor(kind string) string {
	return strings.NewReplacer("<date>", "0000-00-00", "<slug>", "x").Replace(record.PlaceOf(record.Kind(kind)))
}

// disclosed gives the private values that are here, of the car and of the address book, as words.
func (d *Desk) disclosed() []string {
	var known []string
	for _, folder := range d.env.privateFolders(d.car) {
		entries, err := fs.ReadDir(folder, ".")
		if err != nil {
			continue // none is here
		}
		for _, e := range entries {
			file, err := fs.ReadFile(folder, e.Name())
			if err != nil {
				continue
			}
			if one, err := record.ParseDisclosure(file); err == nil {
				if words := wordsOf(one.Value); len([]rune(words)) >= leastShown {
					known = append(known, words)
				}
			}
		}
	}
	return known
}

// leastShown is how long a private value has to be to be looked for: shorter ones stand in every other word.
const leastShown = 5

// wordsOf gives a text in lower case with one space between its words, so that a file's name shows a person's.
func wordsOf(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ")
}

func shows(text string, known []string) bool {
	if len(known) == 0 {
		return false
	}
	words := " " + wordsOf(text) + " "
	return slices.ContainsFunc(known, func(k string) bool { return strings.Contains(words, " "+k+" ") })
}
