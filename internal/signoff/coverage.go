package signoff

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"slices"

	"boltback/internal/history"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// compare holds what a sign-off covers against the state that it was made over,
// and that against today.
func (j *judge) compare(body *record.SignOff, v *Verdict) error {
	var then Files
	if body.Tree != "" {
		at, known := j.trees[body.Tree]
		if !known || v.Entered != nil && at > j.Trust.at[v.Entered.ID] {
			*v = v.void(NotInHistory, body.Tree)
			return nil
		}
		var err error
		if then, err = j.Files(j.Trust.Steps[at].ID); err != nil {
			return err
		}
	}
	old := map[record.Ref][]byte{}
	for _, c := range body.Covers {
		if then == nil {
			break
		}
		content, err := fs.ReadFile(then, record.PathOf(c.Record))
		if err != nil || digest(content) != c.Digest {
			*v = v.void(NeverLikeThat, string(c.Record))
			return nil
		}
		old[c.Record] = content
	}
	for _, c := range body.Covers {
		v.Differences = append(v.Differences, j.difference(c, old[c.Record])...)
	}
	here := j.numbers()
	for _, n := range body.Numbers {
		if !here[n] {
			v.Differences = append(v.Differences, Difference{What: NumberGone, Record: "car", Number: n})
		}
	}
	if then != nil {
		v.Newer = j.newer(body, then)
	}
	if v.FacetsUnknown = j.Touched == nil; !v.FacetsUnknown {
		v.Touches = j.Touched(j.Ledger.Record(v.Record), body)
	}
	return nil
}

func digest(content []byte) record.Digest {
	sum := sha256.Sum256(content)
	return record.Digest(hex.EncodeToString(sum[:]))
}

// difference says what became of one covered record; nothing if it stands as it was.
func (j *judge) difference(c record.Covered, old []byte) []Difference {
	file := record.PathOf(c.Record)
	now, err := j.readFile(file)
	if err != nil {
		return []Difference{{What: Gone, Record: c.Record}}
	}
	if digest(now) != c.Digest {
		d := Difference{What: Altered, Record: c.Record}
		if old != nil {
			d.Changes = history.DiffFiles([]history.Pair{{Path: file, Old: old, New: now}}, j.read)
		}
		return []Difference{d}
	}
	r := j.Ledger.Record(c.Record)
	if r == nil {
		return nil // unread and the same as it was
	}
	standing, by := j.Ledger.StandingOf(r)
	switch standing {
	case ledger.Corrected, ledger.Withdrawn:
		d := Difference{What: Corrected, Record: c.Record, By: by.ID, Reason: by.Body.Heading().Reason}
		if standing == ledger.Withdrawn {
			d.What = Withdrawn
		}
		if added := j.read(by.Path); added != nil {
			d.Changes = history.DiffFiles([]history.Pair{{Path: by.Path, New: added}}, j.read)
		}
		return []Difference{d}
	case ledger.Disputed:
		return []Difference{{What: InDispute, Record: c.Record}}
	}
	return nil
}

// read gives a file of the car as it stands, or nil.
func (j *judge) read(name string) []byte {
	content, err := j.readFile(name)
	if err != nil {
		return nil
	}
	return content
}

// scope are the kinds of record of which new ones matter to a sign-off over such.
var scope = []record.Kind{record.KindSession, record.KindReading, record.KindConcern, record.KindPaper, record.KindExisting, record.KindPart, record.KindJoint, record.KindSystem}

// newer lists records of the kinds that are covered which were not there then.
func (j *judge) newer(body *record.SignOff, then Files) []record.Ref {
	kinds := map[record.Kind]bool{}
	for _, c := range body.Covers {
		if r := j.Ledger.Record(c.Record); r != nil && slices.Contains(scope, r.Kind) {
			kinds[r.Kind] = true
		}
	}
	var list []record.Ref
	for _, kind := range record.Kinds() {
		if !kinds[kind] {
			continue
		}
		for _, r := range j.Ledger.OfKind(kind) {
			if id, err := then.Content(r.Path); err == nil && id == "" {
				list = append(list, r.ID)
			}
		}
	}
	return list
}
