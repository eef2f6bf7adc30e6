package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"boltback/internal/attest"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// signersFile is the list that follows from the key entries, for stock tools.
const signersFile = "allowed_signers"

// Keys reads the keys of a car as they lie in its folder, and what each is worth on a day by the walk through the history.
func (e Env) Keys(car Car, day edtf.Day) (*ledger.Snapshot, []signoff.KeyRow, error) {
	s, r, err := e.Verify(car, VerifyRequest{On: day})
	if err != nil {
		return nil, nil, err
	}
	set, err := signoff.ReadKeys(e.Files.Folder(car.Path))
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	y, m, d := day.Date()
	return s, r.Trust.Rows(r.Head, set, y, m, d), nil
}

// SignersFile derives the list of allowed signers from the key entries of a car.
func (e Env) SignersFile(car Car) ([]byte, error) {
	set, err := signoff.ReadKeys(e.Files.Folder(car.Path))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	return set.SignersFile(), nil
}

// NewKey is a public key to be recorded.
type NewKey struct {
	File        string // a .pub file
	Person      record.Ref
	From, Until record.Date
	Today       edtf.Day
}

// AddKey records a public key as an entry that never changes, with the list that follows from it, in the workshop's address
// book and in the car that a word means; in a yard without a car named, in the address book alone.
func (e Env) AddKey(ctx context.Context, word string, as record.Ref, want NewKey) (Written, error) {
	public, err := e.publicKey(want.File)
	if err != nil {
		return Written{}, err
	}
	cars, err := e.Find(word)
	if err != nil {
		return Written{}, err
	}
	var d *Desk
	switch here, err := e.Files.Absolute("."); {
	case err != nil:
		return Written{}, err
	case len(cars) == 1:
		d, err = e.Open(cars[0], as, want.Today)
		if err != nil {
			return Written{}, err
		}
	default:
		yard := Car{Name: "the workshop's address book", Yard: e.above(here, "yard.json")}
		d = &Desk{env: e, car: yard, s: ledger.Empty(), today: want.Today}
		if as == "" {
			if as, err = e.who(); err != nil {
				return Written{}, err
			}
		}
		if d.person, err = d.find(as); err != nil {
			return Written{}, err
		}
	}
	return d.addKey(ctx, public, want)
}

// publicKey reads a .pub file; the file of a private key is refused before anything of it goes further.
func (e Env) publicKey(file string) (attest.PublicKey, error) {
	text, err := e.ReadFile(file)
	if err != nil {
		return attest.PublicKey{}, err
	}
	key, err := attest.ParsePublicKey(string(text))
	if err != nil {
		return key, &Usage{Message: fmt.Sprintf("%s holds no public key that can be taken: %v", file, err), Hint: "name the .pub file; the private key stays where it is"}
	}
	return key, nil
}

func (d *Desk) addKey(ctx context.Context, public attest.PublicKey, want NewKey) (Written, error) {
	person, err := d.find(want.Person)
	if err != nil {
		return Written{}, err
	}
	if d.env.workshopPerson(d.car.Yard, person) == "" && d.s.Record(person) == nil {
		return Written{}, &Usage{Message: fmt.Sprintf("%s is nobody on record", person), Hint: "write their person.json into the workshop's address book first"}
	}
	given := want.From != "" || want.Until != ""
	if want.From == "" {
		want.From = record.Date(d.today.String())
	}
	body := &record.Key{Head: record.Head{Kind: record.KindKey}, Public: public.String(), From: want.From, Until: want.Until}
	text, err := record.Encode(body)
	if err != nil {
		return Written{}, err
	}
	at := string(person) + "/key-" + string(want.From) + ".json"
	if entry := (signoff.KeySet{}).With(map[string][]byte{at: text}); len(entry.Keys) != 1 || entry.Keys[0].Fault != "" {
		return Written{}, &Usage{Message: fmt.Sprintf("%s would let nobody in: its days cannot be read", at), Hint: "--valid-from and --valid-until take days as 2026-03-02"}
	}
	change := Change{Path: at, Content: text}
	if known, ok := d.fromBook(person, public); ok && !given {
		change = known
	}
	message := fmt.Sprintf("add key %s of %s", public.Fingerprint(), person)
	w, err := d.addToBook(ctx, change, message)
	if err != nil || d.repo == nil {
		return w, err
	}
	if err := d.unwritten(d.env.Files.Folder(d.car.Path), change); err != nil {
		return Written{}, err
	}
	in, err := d.save(ctx, []Change{change}, []record.Body{body}, message)
	in.Notes = append(w.Notes, in.Notes...)
	if err != nil {
		return in, err
	}
	note, err := d.keptOut(at)
	if note != "" {
		in.Notes = append(in.Notes, note)
	}
	return in, err
}

// keptOut says at once what a key is not worth in a car whose keys do not let it in; it would be noticed at the first sign-off.
func (d *Desk) keptOut(at string) (string, error) {
	_, rows, err := d.env.Keys(d.car, d.today)
	if err != nil {
		return "", err
	}
	letIn := 0
	out := false
	for _, row := range rows {
		if row.Worth != signoff.KeyOfNobody {
			letIn++
		}
		out = out || record.PathOf(row.Ref) == at && row.Worth == signoff.KeyOfNobody
	}
	switch {
	case !out:
		return "", nil
	case letIn == 0:
		return fmt.Sprintf("in %s no signature will count: its first commit holds no key, and later ones are let in by those; sign-offs in ink and time stamps still can be had", d.car.Name), nil
	}
	return fmt.Sprintf("in %s this key does not count yet: whoever has one that counts adds it from another day, --valid-from", d.car.Name), nil
}

// isKey says whether a file is the entry of a key.
func isKey(name string, text []byte) bool {
	return len((signoff.KeySet{}).With(map[string][]byte{name: text}).Keys) > 0
}

// firstKeys gives the folders of all in the address book who have a key, for the first commit of a car: keys that come later
// need somebody to let them in.
func (d *Desk) firstKeys() ([]Change, error) {
	if d.car.Yard == "" {
		return nil, nil
	}
	book := d.env.Files.Folder(filepath.Join(d.car.Yard, "workshop"))
	set, err := signoff.ReadKeys(book)
	if err != nil {
		return nil, fmt.Errorf("the workshop's address book: %w", err)
	}
	var all []Change
	seen := map[string]bool{}
	for _, key := range set.Keys {
		more, err := d.copiesOf(book, key.Person, seen)
		if err != nil {
			return nil, err
		}
		all = append(all, more...)
	}
	return all, nil
}

// fromBook gives the entry that the address book already has of somebody's key, so that a car gets the same one.
func (d *Desk) fromBook(person record.Ref, public attest.PublicKey) (Change, bool) {
	if d.car.Yard == "" {
		return Change{}, false
	}
	book := d.env.Files.Folder(filepath.Join(d.car.Yard, "workshop"))
	set, err := signoff.ReadKeys(book)
	if err != nil {
		return Change{}, false // there is none: a new entry is made
	}
	for _, e := range set.Keys {
		if e.Key == public && e.Person == person && e.Fault == "" {
			text, err := fs.ReadFile(book, record.PathOf(e.Ref))
			return Change{Path: record.PathOf(e.Ref), Content: text}, err == nil
		}
	}
	return Change{}, false
}

// unwritten refuses to write over an entry: what once let somebody in stays as it was.
func (d *Desk) unwritten(files fs.FS, change Change) error {
	old, err := fs.ReadFile(files, change.Path)
	if errors.Is(err, fs.ErrNotExist) || err == nil && string(old) == string(change.Content) {
		return nil
	}
	if err != nil {
		return err
	}
	return &Usage{Message: change.Path + " is there, and entries of keys never change", Hint: "give another day with --valid-from, or end the old key with a revocation"}
}

// addToBook writes the entry into the workshop's address book, where that is a repository.
func (d *Desk) addToBook(ctx context.Context, change Change, message string) (Written, error) {
	if d.car.Yard == "" {
		return Written{}, nil
	}
	if err := d.unwritten(d.env.Files.Folder(bookOf(d.car.Yard).Path), change); err != nil {
		return Written{}, err
	}
	w, ok, err := d.intoBook(ctx, []Change{change}, message)
	if err != nil {
		return Written{}, err
	}
	if !ok {
		return Written{Notes: []string{"the workshop's address book is not under Git, and was left alone"}}, nil
	}
	for i := range w.Paths {
		w.Paths[i] = "workshop/" + w.Paths[i]
	}
	if w.Commit != "" {
		w.Notes = append(w.Notes, "written to the workshop's address book too")
	}
	return w, nil
}

// withSigners adds the list of allowed signers to changes that bring a key in or end one, so that stock tools are told in the
// same commit.
func (d *Desk) withSigners(changes []Change) ([]Change, error) {
	files := map[string][]byte{}
	for _, c := range changes {
		if record.FolderOf(record.Ref(c.Path)) == "people" && !c.Delete {
			files[c.Path] = c.Content
		}
	}
	set := signoff.KeySet{}
	var old []byte
	if d.head != "" && len(files) > 0 {
		tree, err := d.repo.Tree(d.head)
		if err != nil {
			return nil, err
		}
		if set, err = signoff.ReadKeys(tree); err != nil {
			return nil, err
		}
		if old, err = fs.ReadFile(tree, signersFile); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
	}
	before := set.SignersFile()
	now := set.With(files).SignersFile()
	if string(now) == string(before) || string(now) == string(old) {
		return changes, nil
	}
	return append(changes, Change{Path: signersFile, Content: now}), nil
}
