package validate

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// instruments checks that what was measured or tightened with an instrument fell within its calibration and its range.
func (c *checker) instruments() {
	calibrations := map[record.Ref][]ledger.Entry[record.Calibration]{}
	for _, cal := range ledger.All[record.Calibration](c.s) {
		owner := record.OwnerOf(cal.ID)
		calibrations[owner] = append(calibrations[owner], cal)
	}
	for _, list := range calibrations {
		slices.SortStableFunc(list, func(a, b ledger.Entry[record.Calibration]) int {
			return edtf.ByTime(dateOf(a.Body.On), dateOf(b.Body.On))
		})
	}
	for _, r := range ledger.All[record.Reading](c.s) {
		c.calibrated(r.Record, "/instrument", r.Body.Instrument, r.Body.On, calibrations)
	}
	for _, s := range ledger.All[record.Session](c.s) {
		for i, line := range s.Body.Lines {
			at := canon.ElementPointer("/lines", i)
			c.calibrated(s.Record, at+"/instrument", line.Instrument, s.Body.Started, calibrations)
			c.inRange(s.Record, at+"/set", line.Instrument, line.Set)
		}
	}
}

// calibrated says what the calibrations of an instrument mean for work done with it on a day: covered by the last one
// before it, expired since, or in doubt because the next one found it out of tolerance. An expired one is cleared by a
// later calibration that found it in tolerance.
func (c *checker) calibrated(r *record.Record, pointer string, instrument record.Ref, on record.Date, calibrations map[record.Ref][]ledger.Entry[record.Calibration]) {
	tool, ok := ledger.Get[record.Instrument](c.s, instrument)
	if !ok || tool.Body.Sort == "other" {
		return
	}
	day, err := edtf.Parse(string(on))
	if err != nil {
		return
	}
	before, after := around(calibrations[instrument], day)
	switch {
	case after != nil && after.Body.AsFound == "out of tolerance":
		c.report(r, pointer, "calibration-failed", fmt.Sprintf("%s was found out of tolerance on %s, after this was done on %s", instrument, after.Body.On, day), "what was done since the last good calibration is in doubt: repeat it")
	case before == nil && (after == nil || after.Body.AsFound != "in tolerance"):
		c.report(r, pointer, "calibration-missing", fmt.Sprintf("the ledger has no calibration of %s from before %s", instrument, day), "copy the calibration entry from the workshop")
	case before != nil && overdue(before, day) && (after == nil || after.Body.AsFound != "in tolerance"):
		c.report(r, pointer, "calibration-date", fmt.Sprintf("the calibration of %s ran to %s, and this was done on %s", instrument, before.Body.Due, day), "it stands as done but is not evidenced; a later calibration that finds it in tolerance clears it")
	}
}

// around gives the last calibration not after a day and the first one after it.
func around(list []ledger.Entry[record.Calibration], day edtf.Date) (before, after *ledger.Entry[record.Calibration]) {
	for i := range list {
		on := dateOf(list[i].Body.On)
		if edtf.Compare(on, day) == edtf.After {
			return before, &list[i]
		}
		before = &list[i]
	}
	return before, nil
}

func overdue(cal *ledger.Entry[record.Calibration], day edtf.Date) bool {
	return edtf.Compare(day, dateOf(cal.Body.Due)) == edtf.After
}

func dateOf(d record.Date) edtf.Date {
	date, _ := edtf.Parse(string(d)) // an unreadable date is reported elsewhere and orders nothing
	return date
}

// inRange reports a figure outside the range of the instrument.
func (c *checker) inRange(r *record.Record, pointer string, instrument record.Ref, figure record.Measure) {
	tool, ok := ledger.Get[record.Instrument](c.s, instrument)
	if !ok || tool.Body.Range == nil || figure == "" {
		return
	}
	got, err := quantity.Parse(string(figure))
	if err != nil {
		return
	}
	for _, end := range []struct {
		text  string
		limit func(quantity.Quantity) quantity.Limit
	}{{tool.Body.Range.From, quantity.AtLeast}, {tool.Body.Range.To, quantity.AtMost}} {
		bound, err := quantity.Parse(end.text)
		if err != nil || bound.Dimension() != got.Dimension() {
			continue
		}
		if d := quantity.Decide(got, end.limit(bound), quantity.SimpleAcceptance); d.Outcome == quantity.NotMet {
			c.report(r, pointer, "instrument-range", fmt.Sprintf("%s is outside the range of %s: %s", figure, instrument, strings.TrimSpace(tool.Body.Range.From+" to "+tool.Body.Range.To)), "repeat with one that covers it")
			return
		}
	}
}
