package history

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Relation says how an old and a new value hang together.
type Relation string

// The relations. A change without one is simply another value.
const (
	SameValue   Relation = "same value"           // written otherwise: another unit, other digits, another zone
	SameRounded Relation = "same within rounding" // each may be the other, rounded to its last digit
	More        Relation = "more"
	Less        Relation = "less"
	Unsettled   Relation = "unsettled" // the figures do not say which is more
	Earlier     Relation = "earlier"
	Later       Relation = "later"
	Finer       Relation = "finer"       // the new date lies within the old one
	Coarser     Relation = "coarser"     // the old date lies within the new one
	Overlapping Relation = "overlapping" // the dates may be the same
	SameRecord  Relation = "same record" // it was renamed
	OtherBytes  Relation = "other bytes" // of a file known by its digest
	SameLetters Relation = "same letters"
	Sealed      Relation = "sealed" // both are sealed: they differ, and no more is known
)

// relate compares an old and a new value by what they mean.
func (c *comparison) relate(f Field, pattern string) (Relation, string) {
	a, b := f.Old, f.New
	switch {
	case a.Role == record.Secret || b.Role == record.Secret:
		return Sealed, "another value"
	case a.node.Kind == canon.Number && b.node.Kind == canon.Number:
		return relateCounts(a.Text, b.Text)
	case a.node.Kind != canon.String || b.node.Kind != canon.String:
		return "", ""
	case a.Role == record.Quantity || holdsFigure(pattern):
		return relateQuantities(a.Text, b.Text, pattern)
	case a.Role == record.Moment:
		return relateDates(a.Text, b.Text)
	case a.Role == record.Reference && c.renamed[record.Ref(a.Text)] == record.Ref(b.Text):
		return SameRecord, "the same record under its new name"
	case a.Role == record.Hash:
		return OtherBytes, "other bytes"
	case a.Role == record.Plain && squeeze(a.Text) == squeeze(b.Text):
		return SameLetters, "only capitals or spaces differ"
	}
	return "", ""
}

// holdsFigure tells the texts that hold a figure with its unit though any text may stand there.
func holdsFigure(pattern string) bool {
	switch pattern {
	case "/values/value", "/ratings/value", "/range/from", "/range/to":
		return true
	}
	return false
}

func squeeze(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

func relateCounts(old, new string) (Relation, string) {
	a, errA := strconv.ParseFloat(old, 64)
	b, errB := strconv.ParseFloat(new, 64)
	switch {
	case errA != nil || errB != nil:
		return "", ""
	case b > a:
		return More, fmt.Sprintf("%.0f more", b-a)
	default:
		return Less, fmt.Sprintf("%.0f fewer", a-b)
	}
}

func relateQuantities(old, now, pattern string) (Relation, string) {
	a, errA := quantity.Parse(old)
	b, errB := quantity.Parse(now)
	if errA != nil || errB != nil {
		return "", ""
	}
	if a.Equal(b) {
		if a.Unit() != b.Unit() {
			return SameValue, "same value, written in another unit"
		}
		return SameValue, "same value, written with other digits"
	}
	order, err := quantity.Compare(a, b)
	if err != nil {
		if a.Dimension() == quantity.Unknown || b.Dimension() == quantity.Unknown {
			return Unsettled, "the figures do not say which is more"
		}
		return "", fmt.Sprintf("another kind of figure: it was %s and is %s", a.Dimension(), b.Dimension())
	}
	if order == quantity.Same {
		return SameValue, "same value, " + uncertaintyWords(a, b)
	}
	if sameWithinRounding(a, b) {
		return SameRounded, "same within rounding"
	}
	switch order {
	case quantity.Less: // the old one is less
		return More, comparative(b, pattern, 0) + by(a, b, b)
	case quantity.More:
		return Less, comparative(b, pattern, 1) + by(b, a, b)
	}
	return Unsettled, "the figures do not say which is more"
}

// sameWithinRounding tells whether one may be the other, rounded. Two figures
// written in one unit with as many decimals each are not, though they may touch.
func sameWithinRounding(a, b quantity.Quantity) bool {
	if !a.IsPoint() || !b.IsPoint() || a.Unit() == b.Unit() && decimals(a) == decimals(b) {
		return false
	}
	same, err := quantity.SameWithinRounding(a, b)
	return err == nil && same
}

// decimals counts the digits behind the first point.
func decimals(q quantity.Quantity) int {
	_, behind, _ := strings.Cut(q.Text(), ".")
	return len(behind) - len(strings.TrimLeft(behind, "0123456789"))
}

func uncertaintyWords(a, b quantity.Quantity) string {
	_, _, before := a.Uncertainty()
	_, _, after := b.Uncertainty()
	switch {
	case before && after:
		return "another uncertainty"
	case after:
		return "now with its uncertainty"
	case before:
		return "without its uncertainty"
	}
	return "other bounds"
}

// comparatives are the words for more and for less.
var comparatives = map[quantity.Dimension][2]string{
	quantity.Mass:        {"heavier", "lighter"},
	quantity.Duration:    {"longer", "shorter"},
	quantity.Length:      {"larger", "smaller"},
	quantity.Area:        {"larger", "smaller"},
	quantity.Volume:      {"more", "less"},
	quantity.Count:       {"more", "fewer"},
	quantity.Temperature: {"warmer", "colder"},
	quantity.Speed:       {"faster", "slower"},
}

func comparative(q quantity.Quantity, pattern string, which int) string {
	if strings.HasSuffix(pattern, "/station") { // along the car, from its datum
		return [2]string{"further along", "less far along"}[which]
	}
	if words, ok := comparatives[q.Dimension()]; ok {
		return words[which]
	}
	return [2]string{"higher", "lower"}[which]
}

// by says by how much one point is more than another, in the unit of a third:
// exactly where both are written in it, else to the digits that they carry.
func by(less, more, like quantity.Quantity) string {
	if !less.IsPoint() || !more.IsPoint() {
		return ""
	}
	if x, okX := less.Rat(); okX && less.Unit() == more.Unit() {
		if y, okY := more.Rat(); okY {
			if exact, err := quantity.New(new(big.Rat).Sub(y, x), more.Unit()); err == nil {
				return " by " + exact.Canonical()
			}
		}
	}
	if converted, err := more.In(like.Unit()); err == nil {
		more = converted
	}
	apart, err := quantity.Sub(more, less)
	if err != nil {
		return ""
	}
	return " by " + apart.Canonical()
}

func relateDates(old, new string) (Relation, string) {
	a, errA := edtf.Parse(old)
	b, errB := edtf.Parse(new)
	if errA != nil || errB != nil {
		return "", ""
	}
	dayA, oneA := a.Day()
	dayB, oneB := b.Day()
	sameDay := oneA && oneB && dayA == dayB
	switch order := edtf.Compare(a, b); {
	case order == edtf.Equal && a.HasTime():
		return SameValue, "the same moment, written otherwise"
	case order == edtf.Equal:
		return SameValue, "the same day, written otherwise"
	case sameDay && !a.HasTime() && b.HasTime():
		return Finer, "the same day, now with its time"
	case sameDay && a.HasTime() && !b.HasTime():
		return Coarser, "the same day, without its time"
	case order == edtf.Before:
		return Later, apart("later", a, b)
	case order == edtf.After:
		return Earlier, apart("earlier", b, a)
	}
	return relateOverlapping(a, b)
}

// apart says how far apart two dates are, in days or on one day in minutes.
func apart(word string, first, last edtf.Date) string {
	fewest, most, ok := edtf.DaysBetween(first.Calendar(), last.Calendar())
	from, okFrom := first.Earliest()
	until, okUntil := last.Earliest()
	switch {
	case !ok:
		return word
	case fewest != most:
		return fmt.Sprintf("%s by %d to %d days", word, fewest, most)
	case fewest > 0:
		return word + " by " + count(fewest, "day")
	case okFrom && okUntil && first.HasZone() && last.HasZone():
		return word + " by " + count(int(until.Sub(from).Minutes()), "minute")
	}
	return word + " on the same day"
}

func relateOverlapping(a, b edtf.Date) (Relation, string) {
	within, around := edtf.Contains(a, b) == edtf.Yes, edtf.Contains(b, a) == edtf.Yes
	switch {
	case within && around && a.IsFirm() != b.IsFirm():
		if b.IsFirm() {
			return SameValue, "the same time, no longer marked as doubtful"
		}
		return SameValue, "the same time, now marked as doubtful"
	case within && around:
		return SameValue, "the same time, written otherwise"
	case within:
		return Finer, "more exact"
	case around:
		return Coarser, "less exact"
	}
	return Overlapping, "the two may be the same"
}

// count is a number with its noun.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
