package app

import (
	"bytes"
	"fmt"
	"io/fs"
	"path/filepath"

	"boltback/internal/record"
)

// resealing carries the private values of one file to another: a disclosure names the file it is of, so each gets a new one.
type resealing struct {
	desk     *Desk
	from, to string
	now      map[record.Sealed]record.Sealed // the digest from now on, by the one until now
}

func (d *Desk) resealing(from, to string) *resealing {
	return &resealing{desk: d, from: from, to: to, now: map[record.Sealed]record.Sealed{}}
}

// seal gives the text of the record that goes to the other file, with the digests it has there. A value that is not here is
// refused: nobody could show it afterwards.
func (s *resealing) seal(r *record.Record) ([]byte, error) {
	for _, leaf := range r.Leaves() {
		old := record.Sealed(leaf.Text)
		if leaf.Role != record.Secret || !record.IsDigest(leaf.Text) {
			continue
		}
		one, here := s.desk.disclosure(old)
		if !here {
			return nil, &Usage{Message: fmt.Sprintf("the private value at %s of %s is not here, and it is sealed for the file as it is named now", leaf.Pointer, s.from),
				Hint: fmt.Sprintf("do it where private/%s/%s.json is, or give the value anew", s.desk.car.Name, old)}
		}
		if one.Path != s.from {
			continue // taken over from the record that this one corrects
		}
		digest, err := s.desk.hide(s.to, leaf.Pointer, one.Value)
		if err != nil {
			return nil, err
		}
		s.now[old] = digest
	}
	return s.follow(r), nil
}

// sealTaken seals the text of a new record at a place, and anew what was sealed for the file of the inbox that it comes from,
// if it comes from one.
func (d *Desk) sealTaken(inbox, at string, text []byte) ([]byte, *resealing, error) {
	taken := d.resealing(inbox, at)
	text, err := d.sealPrivate(at, text)
	if err != nil || inbox == "" {
		return text, taken, err
	}
	r, err := record.Decode(at, text)
	if err != nil {
		return nil, nil, &Broken{Finding: faultIn(at, err)}
	}
	text, err = taken.seal(r)
	return text, taken, err
}

// follow gives the text of a record that holds digests of the other file, such as a correction of what lies there.
func (s *resealing) follow(r *record.Record) []byte {
	digests := map[string]record.Sealed{}
	for _, leaf := range r.Leaves() {
		if digest, moved := s.now[record.Sealed(leaf.Text)]; moved && leaf.Role == record.Secret {
			digests[leaf.Pointer] = digest
		}
	}
	return withDigests(r, digests)
}

// clean takes the disclosures away that nothing holds any more, once the commit is made, and tells what could not be. A value
// has one file: who destroys it has forgotten the value.
func (s *resealing) clean(w *Written) {
	for old := range s.now {
		at := filepath.Join(s.desk.car.privateFolder(), string(old)+".json")
		if err := s.desk.env.Files.Remove(at); err != nil {
			w.Notes = append(w.Notes, "its private value now has another file; delete the old one by hand: "+at)
		}
	}
}

// giveUp takes the new disclosures away again, where nothing was committed.
func (s *resealing) giveUp() {
	for _, digest := range s.now {
		_ = s.desk.env.Files.Remove(filepath.Join(s.desk.car.privateFolder(), string(digest)+".json")) // one that stays harms nothing, and check names it
	}
}

// disclosure reads the disclosure of a digest, if it is here and whole.
func (d *Desk) disclosure(digest record.Sealed) (record.Disclosure, bool) {
	if d.car.Yard == "" {
		return record.Disclosure{}, false
	}
	file, err := fs.ReadFile(d.env.Files.Folder(d.car.privateFolder()), string(digest)+".json")
	if err != nil || record.DigestOf(file) != digest {
		return record.Disclosure{}, false
	}
	one, err := record.ParseDisclosure(file)
	return one, err == nil
}

// followed gives the changes of a renaming, with the digests that moved in their new form, also in records that hold one and
// do not name the renamed record themselves: a correction of its correction.
func (d *Desk) followed(moved *resealing, renamed *record.Record, changes []Change) ([]Change, error) {
	if len(moved.now) == 0 {
		return changes, nil
	}
	edited := map[string]int{moved.from: -1}
	for i, c := range changes {
		edited[c.Path] = i
	}
	for _, r := range d.s.Records() {
		i, touched := edited[r.Path]
		if i < 0 {
			continue
		}
		if touched {
			var err error
			if r, err = record.Decode(r.Path, changes[i].Content); err != nil {
				return nil, &Broken{Finding: faultIn(changes[i].Path, err)}
			}
			changes[i].Content = moved.follow(r)
		} else if text := moved.follow(r); !bytes.Equal(text, r.Doc.Source) {
			changes = append(changes, Change{Path: r.Path, Content: text})
		}
	}
	return changes, d.unsigned(renamed, changes)
}
