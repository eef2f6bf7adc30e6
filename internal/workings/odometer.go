package workings

import (
	"fmt"
	"math/big"

	"boltback/internal/quantity"
)

// OdometerReading is one look at the odometer.
type OdometerReading struct {
	On     string
	Value  Input
	Counts string // km, mi, not known, stuck; "" where not recorded
	Digits int64  // figures before it starts again; 0 where not recorded
}

var odometerSource = Source{"an odometer of n figures starts again at 10ⁿ; it shows the least distance and not the distance", Physics}

// OdometerSeries turns readings into the distance they prove: segment by segment,
// each in the unit that was counted then. A reading lower than the one before is
// at least one turn of the odometer; a segment whose unit is not known stays a
// range; a stuck odometer proves nothing.
func OdometerSeries(id string, list []OdometerReading) Working {
	s := begin(Distance, "odometer "+id, "Odometer readings to a distance")
	s.w.Sources = []Source{odometerSource}
	low, high, turned, stuck := new(big.Rat), new(big.Rat), false, false
	open := false
	for i, r := range list {
		r.Value.Name = "odometer, " + orNot(r.On)
		s.w.Inputs = append(s.w.Inputs, r.Value)
		if r.Counts == "stuck" {
			stuck = true
			s.say(orNot(r.On)+": the odometer does not count.", "distance unknown, not zero")
			continue
		}
		metres, ok := countOf(r)
		if !ok {
			s.missing("a figure for " + orNot(r.On))
			continue
		}
		if i == 0 || list[i-1].Counts == "stuck" {
			if i > 0 {
				open = true
			}
			lo, hi := span2(metres, r.Counts)
			low.Add(low, lo)
			high.Add(high, hi)
			s.say(orNot(r.On)+": first reading, taken as it stands.", r.Value.Text)
			continue
		}
		turned = s.segment(list[i-1], r, low, high) || turned
	}
	return s.distance(low, high, turned, stuck || open, len(list))
}

// countOf is the number on the dial.
func countOf(r OdometerReading) (*big.Rat, bool) {
	if !r.Value.Value.IsPoint() {
		return nil, false
	}
	v, ok := r.Value.Value.Rat()
	return v, ok
}

// unitLength is the length of one count in metres.
func unitLength(counts string) (low, high *big.Rat) {
	km, mi := big.NewRat(1000, 1), big.NewRat(1609344, 1000)
	switch counts {
	case "km":
		return km, km
	case "mi":
		return mi, mi
	}
	return km, mi
}

func span2(count *big.Rat, counts string) (low, high *big.Rat) {
	a, b := unitLength(counts)
	return new(big.Rat).Mul(count, a), new(big.Rat).Mul(count, b)
}

// segment adds what lies between two readings, and reports a turn.
func (s *sheet) segment(a, b OdometerReading, low, high *big.Rat) bool {
	from, ok1 := countOf(a)
	to, ok2 := countOf(b)
	if !ok1 || !ok2 {
		return false
	}
	diff := new(big.Rat).Sub(to, from)
	turned := false
	words := fmt.Sprintf("%s: %s after %s.", orNot(b.On), b.Value.Text, a.Value.Text)
	if diff.Sign() < 0 {
		if b.Digits == 0 {
			s.missing(fmt.Sprintf("how many figures the odometer has: on %s it reads less than before", orNot(b.On)))
			return false
		}
		turn := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(b.Digits), nil))
		diff.Add(diff, turn)
		turned = true
		words = fmt.Sprintf("%s: %s after %s; one turn of %d figures is the least that explains it, more cannot be excluded.", orNot(b.On), b.Value.Text, a.Value.Text, b.Digits)
	}
	counts := b.Counts
	if a.Counts != b.Counts {
		counts = "not known"
		words += " What it counted in between is not known: the segment stays a range."
	}
	lo, hi := span2(diff, counts)
	low.Add(low, lo)
	high.Add(high, hi)
	result := diff.FloatString(0) + " " + counts
	if counts == "not known" {
		result = fmt.Sprintf("from %s km to %s mi", diff.FloatString(0), diff.FloatString(0))
	}
	s.say(words, result)
	return turned
}

// distance says what the segments amount to.
func (s *sheet) distance(low, high *big.Rat, turned, gap bool, count int) Working {
	if count == 0 || low.Sign() == 0 && gap {
		s.missing("a reading of an odometer that counts; distance is unknown until its repair is recorded")
		return s.done()
	}
	unit := s.distanceUnit()
	a, _ := quantityOf(amount{low, dims{0, 1}}, unit)
	b, _ := quantityOf(amount{high, dims{0, 1}}, unit)
	s.w.Low = a
	switch {
	case turned || gap:
		if bound, err := asBound(a, quantity.AtOrAbove); err == nil {
			s.w.Value = bound
		}
		s.conclude("at least %s", Show(a))
	case low.Cmp(high) == 0:
		s.w.Value, s.w.High = a, b
		s.conclude("%s shown", Show(a))
		if count > 1 {
			s.conclude("%s shown; %s between the first and the last reading", Show(a), Show(s.travelled(unit)))
		}
		s.note("The first reading is taken as it stands. Whether the odometer had turned or was changed before it, nothing here says.")
	default:
		s.w.High = b
		s.conclude("from %s to %s", Show(a), Show(b))
	}
	if turned {
		s.note("Wording: “exceeds mechanical limits”. Both readings are kept as read.")
	}
	if gap {
		s.note("While the odometer did not count, the distance is unknown and not zero; energy charged in that time can bound it.")
	}
	return s.done()
}

// travelled is what lies between the first and the last reading.
func (s *sheet) travelled(unit string) quantity.Quantity {
	first, last := s.w.Inputs[0].Value, s.w.Inputs[len(s.w.Inputs)-1].Value
	d, err := quantity.Sub(last, first)
	if err != nil {
		return quantity.Quantity{}
	}
	if in, err := d.In(unit); err == nil {
		return in
	}
	return d
}

// distanceUnit is the unit of the readings, or km where they mix.
func (s *sheet) distanceUnit() string {
	unit := ""
	for _, in := range s.w.Inputs {
		u := in.Value.Unit()
		if u != "km" && u != "mi" || unit != "" && u != unit {
			return "km"
		}
		unit = u
	}
	return unit
}
