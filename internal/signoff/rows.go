package signoff

import "time"

// KeyWorth is what a key is worth on a day.
type KeyWorth string

// The worths, the best first.
const (
	KeyCounts       KeyWorth = "counts"
	KeyNotYet       KeyWorth = "not valid yet"
	KeyExpired      KeyWorth = "not valid any more"
	KeyRevokedSince KeyWorth = "revoked"
	KeyNotCommitted KeyWorth = "not committed"
	KeyOfNobody     KeyWorth = "added by a commit that did not count"
	KeyFaulty       KeyWorth = "lets nobody in"
)

// KeyRow is one key on record with what it is worth.
type KeyRow struct {
	KeyEntry
	Worth  KeyWorth
	Ending Ending // empty where nothing ends it
}

// Rows says of each entry of a set what it is worth on a day, by the ring at a
// commit.
func (t *Trust) Rows(head string, set KeySet, year, month, day int) []KeyRow {
	ring := t.RingAt(head)
	first := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	last := first.Add(24*time.Hour - time.Second)
	var rows []KeyRow
	for _, e := range set.Keys {
		known, counts := ring.Entry(e.Ref)
		end, ended := ring.first[e.Ref]
		row := KeyRow{KeyEntry: e, Ending: end, Worth: KeyCounts}
		switch {
		case e.Fault != "":
			row.Worth = KeyFaulty
		case known.Digest != e.Digest:
			row.Worth = KeyNotCommitted
		case !counts:
			row.Worth = KeyOfNobody
		case ended && !last.Before(end.From):
			row.Worth = KeyRevokedSince
		case !e.After.IsZero() && last.Before(e.After):
			row.Worth = KeyNotYet
		case !e.Before.IsZero() && first.After(e.Before):
			row.Worth = KeyExpired
		}
		rows = append(rows, row)
	}
	return rows
}
