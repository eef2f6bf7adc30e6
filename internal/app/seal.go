package app

import (
	"encoding/hex"
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

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

// privateFrom is what that folder is called from the car's own.
func (c Car) privateFrom() string {
	if c.Book {
		return "../private/" + c.Name
	}
	return "../../private/" + c.Name
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
	place := filepath.Join(folder, string(digest)+".json")
	if err := d.env.Files.Hide(place, file); err != nil {
		return "", fmt.Errorf("keep a private value beside the ledger: %w", err)
	}
	d.hidden = append(d.hidden, place)
	return digest, nil
}

// unhide takes back the disclosures of what was refused, so that a value nobody recorded is neither kept nor looked for. What
// fails later is left: a commit that a crash cut short may yet come to rely on them.
func (d *Desk) unhide() {
	for _, at := range d.hidden {
		_ = d.env.Files.Remove(at) // one that stays harms nothing, and check names it
	}
	d.hidden = nil
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

// inClear gives the first private value that stands in clear in a file, if there is any. What waits in the inbox need not be a
// record yet.
func inClear(at string, content []byte) *finding.Finding {
	doc, err := canon.Parse(content, canon.DefaultLimits())
	if err != nil {
		return nil // what is no JSON is refused elsewhere
	}
	body := doc.Root
	if path.Dir(at) == "inbox" {
		body = doc.Root.Get("fields")
	} else if len(record.KindsAt(at)) == 0 {
		return nil
	}
	for _, n := range record.SecretsIn(record.Kind(textAt(doc, "kind")), body) {
		if n.Kind == canon.String && record.IsDigest(n.Text) {
			continue
		}
		place := doc.Position(n.Start)
		return &finding.Finding{Severity: finding.Error, Code: "private-shown", File: at, Line: place.Line, Column: place.Column,
			Message: "a private value would stand here in clear, and a ledger never forgets",
			Hint:    "leave it out here, and give it with boltback record: only its digest is written"}
	}
	return nil
}

// placeFor gives a path at which a record of a kind could lie.
func placeFor(kind string) string {
	return strings.NewReplacer("<date>", "0000-00-00", "<slug>", "x").Replace(record.PlaceOf(record.Kind(kind)))
}
