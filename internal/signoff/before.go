package signoff

import (
	"slices"
	"strings"
	"time"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Witness is what shows, from outside the workshop, that a record read as it does
// by some time. It says nothing of whether the record was true.
type Witness struct {
	// By is the latest time at which the record can have come to read so.
	By time.Time
	// Stamp names the stamp whose manifest has the record's file as it reads now, and
	// Authority whose clock it was. Trusted says that the reader trusts that authority;
	// otherwise its answer was checked in all but that.
	Stamp, Authority string
	Trusted          bool
	// Counter is the counter-signature of an outsider over a sign-off that covers the
	// record as it reads now, where no stamp is earlier; By is then the end of the day
	// that he stated.
	Counter record.Ref
}

// OutsideClock says that nothing is wrong with a stamp, and that it bears the
// answer of an authority, which the reader trusts or, where he trusts none at all,
// may ask about.
func (v StampVerdict) OutsideClock() bool { return (v.Stamped || v.NobodyTrusted) && !v.Faulty() }

// WitnessOf gives the earliest of what shows that a record read as it does now.
// The digest of its file is SHA-256, so that nothing rests on Git's own ids.
func (r *Report) WitnessOf(s *ledger.Snapshot, one *record.Record) (first Witness, found bool) {
	take := func(w Witness) {
		if !found || w.By.Before(first.By) {
			first, found = w, true
		}
	}
	file := FileDigest{s.Place(one).Path, one.Digest}
	for _, v := range r.Stamps {
		if v.OutsideClock() && v.has(file) {
			take(Witness{By: v.Token.Time.Add(v.Token.Accuracy), Stamp: v.Tag, Authority: v.Token.Authority, Trusted: v.Stamped})
		}
	}
	for _, v := range r.SignOffs {
		body, ok := ledger.Get[record.SignOff](s, v.Record)
		if !ok || !v.Valid() || !slices.Contains(body.Body.Covers, record.Covered{Record: one.ID, Digest: one.Digest}) {
			continue
		}
		for _, c := range v.Counters {
			if day, ok := statedDay(c.On); ok && c.Outsider {
				take(Witness{By: day, Counter: c.Record})
			}
		}
	}
	return first, found
}

// has says whether the manifest of a stamp has a file with these bytes.
func (v StampVerdict) has(file FileDigest) bool {
	i, ok := slices.BinarySearchFunc(v.Files, file.Path, func(f FileDigest, path string) int {
		return strings.Compare(f.Path, path)
	})
	return ok && v.Files[i] == file
}

// statedDay is the last moment of a day that somebody stated, wherever he was.
func statedDay(on record.Date) (time.Time, bool) {
	day, err := edtf.ParseDay(string(on))
	if err != nil {
		return time.Time{}, false
	}
	year, month, next := day.AddDays(1).Date()
	return time.Date(year, time.Month(month), next, 12, 0, 0, 0, time.UTC), true // when the day ends at the last place on earth
}

// Overdue says that a stamp's token should have been renewed by a day, and was not.
func Overdue(v StampVerdict, all []StampVerdict, on edtf.Day) bool {
	return v.OutsideClock() && !Renewed(v, all) && !on.IsZero() && on.Compare(edtf.DayOf(v.DueBy())) > 0
}
