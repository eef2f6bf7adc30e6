package signoff

import (
	"errors"
	"fmt"
	"path"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Draft is what somebody wants to sign for. Key is empty for ink on paper.
type Draft struct {
	By      record.Ref
	On      record.Date
	Slug    string // the last piece of its name
	Name    string
	Meaning string
	Facets  []string
	Covers  []record.Ref
	RestsOn []record.Ref // licences and calibrations
	Key     record.Ref
	// Scan and SeenBy are for ink on paper.
	Scan, SeenBy record.Ref
	// Corrects is a sign-off that this one stands in the place of.
	Corrects     record.Ref
	Reason, Note string
}

// Complete makes the record of a draft over a car as it stands: digests of all
// that is covered, entries it rests on and its key included, the car's numbers as
// read, and where and over what it is made. Tree is that of the commit that the
// car stands at, first the ledger's first commit. The result is signed as the
// bytes that record.Encode gives, and lies at its Path.
func (d Draft) Complete(s *ledger.Snapshot, tree, first string) (*record.SignOff, error) {
	body := &record.SignOff{
		Head: record.Head{Kind: record.KindSignOff, Name: d.Name, Corrects: d.Corrects, Reason: d.Reason},
		By:   d.By, On: d.On, Meaning: d.Meaning, Facets: d.Facets, RestsOn: d.RestsOn,
		Key: d.Key, Scan: d.Scan, SeenBy: d.SeenBy, Note: d.Note, Ledger: first, Tree: tree,
	}
	if err := d.check(s, body); err != nil {
		return nil, err
	}
	covers := slices.Concat(d.Covers, d.RestsOn)
	if d.Key != "" {
		covers = append(covers, d.Key)
	}
	slices.Sort(covers)
	for _, ref := range slices.Compact(covers) {
		r := s.Record(ref)
		if r == nil {
			return nil, fmt.Errorf("%s is not in the ledger, or cannot be read", ref)
		}
		if standing, by := s.StandingOf(r); standing == ledger.Corrected || standing == ledger.Withdrawn {
			return nil, fmt.Errorf("%s was %s by %s: sign for what stands", ref, standing, by.ID)
		}
		body.Covers = append(body.Covers, record.Covered{Record: ref, Digest: r.Digest})
	}
	_, car := s.Car()
	for _, n := range car.Numbers {
		if n.Raw != "" && !slices.Contains(body.Numbers, n.Raw) {
			body.Numbers = append(body.Numbers, n.Raw)
		}
	}
	return body, nil
}

// check fills form and path, and refuses what would be void from the start.
func (d Draft) check(s *ledger.Snapshot, body *record.SignOff) error {
	if _, _, ok := bounds(d.On); !ok || d.On == "" || len(d.On) < len("2006-01-02") {
		return fmt.Errorf("%q is no day to sign on", d.On)
	}
	if d.Meaning == "" || len(d.Covers) == 0 {
		return errors.New("a sign-off says what it means and names what it covers")
	}
	switch {
	case d.Key != "" && d.Scan == "":
		body.Form = "key"
		if record.OwnerOf(d.Key) != d.By {
			return fmt.Errorf("%s is not a key of %s", d.Key, d.By)
		}
	case d.Key == "" && d.Scan != "" && d.SeenBy != "":
		body.Form = "paper"
	default:
		return errors.New("a sign-off has either a key, or a scan and who saw the ink")
	}
	if person := s.Record(d.By); person == nil || person.Kind != record.KindPerson {
		return fmt.Errorf("%s is nobody in this ledger", d.By)
	}
	body.Path = "signoffs/" + string(d.On[:len("2006-01-02")]) + "-" + path.Base(string(d.By)) + "-" + d.Slug + ".json"
	if !slices.Contains(record.KindsAt(body.Path), record.KindSignOff) {
		return fmt.Errorf("%s is no place for a sign-off: the name ends in small letters, digits and dashes", body.Path)
	}
	if _, taken := s.HasFile(body.Path); taken {
		return fmt.Errorf("%s is taken: choose another name", body.Path)
	}
	return nil
}
