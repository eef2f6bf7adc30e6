package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"boltback/internal/attest"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// marked says since which commit a copy is marked as handed over, and what came in after it. Commit is "" where it is not.
type marked struct {
	commit string
	paths  []string // in order
}

// markedSince looks for the mark in the history of a car whose records say that they were handed over.
func (e Env) markedSince(car Car, s *ledger.Snapshot) (m marked, err error) {
	if s.Head().HandedOver == nil {
		return m, nil
	}
	repo, err := e.Git.Open(car.Path)
	if err != nil {
		return m, nil // what is under no Git has no commit to count from
	}
	for version, err := range repo.History("ledger.json") {
		if err != nil {
			return m, fmt.Errorf("%s: %w", car.Name, err)
		}
		if r, err := record.Decode("ledger.json", version.Bytes); err != nil || r.Body.(*record.Ledger).HandedOver == nil {
			break
		}
		m.commit = version.ID
	}
	head, err := repo.Head()
	if err != nil || m.commit == "" {
		return m, err
	}
	changes, err := repo.Changes(m.commit, head)
	if err != nil {
		return m, err
	}
	for _, c := range changes {
		m.paths = append(m.paths, c.Path)
	}
	unsaved, err := repo.Unsaved()
	m.paths = append(m.paths, unsaved...)
	return m, err
}

// Keeper is who gets the records, where the handover lets their key in.
type Keeper struct {
	// Person is people/WORKSHOP/NAME, as they will sign; Key the file of their public key. Both or neither are "".
	Person record.Ref
	Key    string
}

// entry makes the entry that lets the next keeper's key in with the commit that hands over. It counts from the beginning of
// the day on, since clocks of two workshops differ.
func (d *Desk) entry(k Keeper) ([]Change, error) {
	if k.Person == "" && k.Key == "" {
		return nil, nil
	}
	if k.Key == "" || record.FolderOf(k.Person) != "people" || record.PathOf(k.Person) != string(k.Person)+"/person.json" {
		return nil, &Usage{Message: "a key is let in together with whose it is", Hint: "--keeper people/WORKSHOP/NAME --keeper-key next.pub, both as the next keeper gave them to you"}
	}
	public, err := d.env.publicKey(k.Key)
	if err != nil {
		return nil, err
	}
	set, err := signoff.ReadKeys(d.env.Files.Folder(d.car.Path))
	if err != nil {
		return nil, err
	}
	if who := counting(set, public); who != "" && who != k.Person {
		return nil, &Usage{Message: fmt.Sprintf("this is the key of %s already", who), Hint: "a key tells who signed only if it is one person's"}
	} else if who != "" {
		return nil, nil
	}
	day := d.env.Now().UTC().Format("2006-01-02")
	body := &record.Key{Head: record.Head{Kind: record.KindKey}, Public: public.String(), From: record.Date(day)}
	changes, err := added(nil, d.free(string(k.Person)+"/key-"+day), body)
	if err != nil || d.s.Record(k.Person) != nil {
		return changes, err
	}
	unnamed := &record.Person{Head: record.Head{Kind: record.KindPerson}} // how they are called they say themselves
	return added(changes, record.PathOf(k.Person), unnamed)
}

// letIn says that a keeper's key counts already, as after a handover whose words are given again; nobody's does.
func (e Env) letIn(car Car, k Keeper) (bool, error) {
	if k.Person == "" || k.Key == "" {
		return k == (Keeper{}), nil
	}
	public, err := e.publicKey(k.Key)
	if err != nil {
		return false, err
	}
	set, err := signoff.ReadKeys(e.Files.Folder(car.Path))
	return err == nil && counting(set, public) == k.Person, err
}

// counting gives whose a key is by an entry that nothing ends, or "".
func counting(set signoff.KeySet, public attest.PublicKey) record.Ref {
	for _, e := range openKeys(set) {
		if e.Key == public {
			return e.Person
		}
	}
	return ""
}

// openKeys gives the usable keys that nothing ends.
func openKeys(set signoff.KeySet) []signoff.KeyEntry {
	ended := map[record.Ref]bool{}
	for _, e := range set.Endings {
		ended[e.Of] = true
	}
	return slices.DeleteFunc(slices.Clone(set.Keys), func(e signoff.KeyEntry) bool { return e.Fault != "" || ended[e.Ref] })
}

// mark commits that the records are handed over, and whose key counts from now on.
func (d *Desk) mark(ctx context.Context, k Keeper) error {
	changes, err := d.entry(k)
	if err != nil {
		return err
	}
	head := *d.s.Head()
	head.HandedOver = &record.HandedOver{On: record.Date(d.today.String()), By: d.person}
	text, err := record.Encode(&head)
	if err != nil {
		return err
	}
	changes = append(changes, Change{Path: "ledger.json", Content: text})
	_, err = d.save(ctx, changes, []record.Body{&head}, "hand over the records")
	return err
}

// copyOf makes a copy of a car's repository in a folder, with its files.
func (e Env) copyOf(ctx context.Context, car Car, folder string) (Car, error) {
	repo, err := e.repository(car)
	if err != nil {
		return Car{}, err
	}
	in, out := io.Pipe()
	go func() { out.CloseWithError(repo.Bundle(ctx, out)) }()
	_, err = e.Git.Unbundle(ctx, folder, in)
	if err := errors.Join(err, in.Close()); err != nil {
		return Car{}, fmt.Errorf("%s: %w", car.Name, err)
	}
	return Car{Name: car.Name, Path: folder, Yard: car.Yard}, nil
}
