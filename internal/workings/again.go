package workings

import (
	"fmt"
	"math/big"
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// TightenAgain is what the verdict on a joint's tightening again is of.
const TightenAgain = "tightening again"

var againHabit = Source{"what is clamped settles in use: it is tightened again after the distance that its specification names", Habit}

// again says whether a joint is due to be tightened again, by what the odometer
// shows since: at least the distance from the first reading after the
// tightening, at most that from the last one before it. Once it was tightened
// again after that distance, it is done.
func (s *sheet) again(t Tightening) {
	if t.Retighten.Value.IsZero() {
		return
	}
	v := Verdict{Of: TightenAgain, Against: "after " + t.Retighten.Text, Outcome: EvidenceMissing, Source: againHabit}
	defer func() { s.verdict(v) }()
	if !s.take("s", "to be tightened again after", t.Retighten, quantity.Length) {
		v.Reason = "the distance of the specification cannot be read"
		return
	}
	if day, done := s.doneAgain(t); done {
		v.Outcome, v.Reason = Met, "tightened again on "+day+", after that distance"
		return
	}
	first, before, ok := since(t.Odometer, t.On)
	if !ok {
		v.Reason = "the distance since is not known: no reading of the odometer is on record after " + orNot(t.On.Text())
		return
	}
	s.driven(t.Odometer, first, before)
	by := t.Odometer[len(t.Odometer)-1].On
	switch {
	case s.atLeast("s_t"):
		v.Outcome, v.Reason = NotMet, fmt.Sprintf("due: at least %s since, by the reading of %s", s.show("s_t"), by)
	case s.has("s_m") && !s.atLeast("s_m"):
		v.Outcome, v.Reason = Met, fmt.Sprintf("not due by the reading of %s: at most %s since; what was driven after it is not in that", by, s.show("s_m"))
	case s.has("s_m"):
		v.Reason = fmt.Sprintf("from %s to %s since, by the reading of %s: nobody read the odometer when it was tightened", s.show("s_t"), s.show("s_m"), by)
	default:
		v.Reason = fmt.Sprintf("at least %s since, by the reading of %s, and nothing on record says how much at most", s.show("s_t"), by)
	}
}

// atLeast says that a distance reaches the one of the specification.
func (s *sheet) atLeast(symbol string) bool {
	have, err1 := amountOf(s.get(symbol))
	want, err2 := amountOf(s.get("s"))
	return err1 == nil && err2 == nil && have.v.Cmp(want.v) >= 0
}

// doneAgain looks for two tightenings with at least that distance between them.
func (s *sheet) doneAgain(t Tightening) (day string, done bool) {
	want, err := amountOf(s.get("s"))
	days := append(slices.Clone(t.Earlier), t.On)
	for i := 1; err == nil && i < len(days); i++ {
		first := slices.IndexFunc(t.Odometer, func(r OdometerReading) bool { return onOrAfter(r, days[i-1]) })
		last := slices.IndexFunc(t.Odometer, func(r OdometerReading) bool { return !onOrBefore(r, days[i]) })
		if last < 0 {
			last = len(t.Odometer)
		}
		if first < 0 || first >= last {
			continue
		}
		if low, _, _ := shownBy(t.Odometer[first:last]); low.Cmp(want.v) >= 0 {
			return days[i].Calendar().Text(), true
		}
	}
	return "", false
}

// since gives the first reading on or after a day, and the last one on or before
// it: less than zero where there is none. ok is false where nothing was read
// after the day.
func since(all []OdometerReading, day edtf.Date) (first, before int, ok bool) {
	first = slices.IndexFunc(all, func(r OdometerReading) bool { return onOrAfter(r, day) })
	if first < 0 || onOrBefore(all[len(all)-1], day) {
		return 0, 0, false
	}
	before = -1
	for i, r := range all[:first+1] {
		if onOrBefore(r, day) {
			before = i
		}
	}
	return first, before, true
}

func onOrAfter(r OdometerReading, day edtf.Date) bool {
	order := edtf.Compare(dateOf(record.Date(r.On)).Calendar(), day.Calendar())
	return order == edtf.After || order == edtf.Equal
}

func onOrBefore(r OdometerReading, day edtf.Date) bool {
	order := edtf.Compare(dateOf(record.Date(r.On)).Calendar(), day.Calendar())
	return order == edtf.Before || order == edtf.Equal
}

// driven enters what the odometer shows as s_t, at least, and s_m, at most.
func (s *sheet) driven(all []OdometerReading, first, before int) {
	from := first
	if before >= 0 {
		from = before
	}
	for i, r := range all[from:] {
		s.take(fmt.Sprintf("o_%d", i+1), "odometer, "+orNot(r.On), r.Value, quantity.Unknown)
	}
	unit := s.get("s").Unit()
	enter := func(symbol, name, words string, metres *big.Rat) {
		q, err := quantityOf(amount{metres, dims{0, 1}}, unit)
		if err == nil && s.take(symbol, name, From(q, odometerSource), quantity.Length) {
			s.say(words, equation(symbol, q))
		}
	}
	low, _, _ := shownBy(all[first:])
	enter("s_t", "travelled since, at least", "From the first reading on or after the day of the tightening to the last one.", low)
	if before < 0 {
		return
	}
	if before == first {
		s.assume("the odometer reading of " + all[first].On + " is taken as read when it was tightened")
	}
	if _, high, bounded := shownBy(all[before:]); bounded {
		enter("s_m", "travelled since, at most", "From the last reading on or before that day to the last one.", high)
	}
}

// shownBy is the distance in metres that a run of readings shows, at least and
// at most; bounded says that the second holds: the odometer did not turn and was
// never still.
func shownBy(readings []OdometerReading) (low, high *big.Rat, bounded bool) {
	low, high, bounded = new(big.Rat), new(big.Rat), true
	s := begin(Distance, "", "")
	for i, r := range readings {
		_, reads := countOf(r)
		if bounded = bounded && reads && r.Counts != "stuck"; i == 0 || r.Counts == "stuck" || readings[i-1].Counts == "stuck" {
			continue
		}
		if s.segment(readings[i-1], r, low, high) {
			bounded = false
		}
	}
	return low, high, bounded && len(s.w.Missing) == 0
}
