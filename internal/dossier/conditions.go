package dossier

import (
	"strings"

	"boltback/internal/doc"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// conditionsCell says in which state the car was, and what was around it.
func (b *book) conditionsCell(r ledger.Entry[record.Reading]) doc.Text {
	c := &clauses{}
	body := r.Body
	testClauses(c, body)
	if a := body.Surroundings; a != nil {
		c.say("air", string(a.Temperature))
		c.say("humidity", string(a.Humidity))
		c.say("weather", a.Weather)
	}
	c.say("at", body.Place)
	c.say("zone", body.Zone)
	if len(body.Parts) > 0 {
		c.add("parts {}", b.callThem(body.Parts))
	}
	if len(body.Holes) > 0 {
		c.add("holes seen: {}", b.callThem(body.Holes))
	}
	if body.Note != "" {
		c.add("note: {}", quoted(body.Note))
	}
	if len(c.text) == 0 {
		return doc.Text{doc.Missing("")}
	}
	return c.text[1:]
}

// testClauses say how the test was set up; what its kind needs and the record
// lacks is not stated.
func testClauses(c *clauses, body *record.Reading) {
	if w := body.Weighing; w != nil {
		c.need("condition", w.Condition)
		c.need("fuel", w.Fuel)
		c.need("driver", w.Driver)
		c.say("figure by", w.FigureBy)
		c.say("ballast", w.Ballast)
	} else if body.What == "weighing" {
		c.need("condition", "")
	}
	if i := body.Insulation; i != nil {
		c.need("circuit", i.Circuit)
		c.need("state", i.State)
		c.need("test voltage", string(i.TestVoltage))
		c.say("for", string(i.Duration))
		c.need("working voltage", string(i.WorkingVoltage))
	}
	if bond := body.Bonding; bond != nil {
		c.need("test current", string(bond.Current))
		c.need("resolution", string(bond.Resolution))
		c.need("between", bond.Between)
	}
}

// calibrationOn says which calibration on record covers a day: the latest that
// was made by then. What is due on that day is still in time.
func (b *book) calibrationOn(instrument record.Ref, on edtf.Date) doc.Text {
	if day, ok := on.Day(); ok { // calibrations are kept by the day
		on = edtf.Of(day)
	}
	var last *ledger.Entry[record.Calibration]
	for _, c := range ledger.All[record.Calibration](b.s) {
		made := edtf.Compare(date(c.Body.On), on)
		if record.OwnerOf(c.ID) != instrument || made != edtf.Before && made != edtf.Equal {
			continue
		}
		if last == nil || edtf.ByTime(date(c.Body.On), date(last.Body.On)) > 0 {
			last = &c
		}
	}
	if last == nil {
		return doc.Text{doc.Missing("no calibration on record by that day")}
	}
	t := doc.Say("calibrated {}, due {}, as found {}", string(last.Body.On), stated(last.Body.Due), stated(last.Body.AsFound))
	if last.Body.Deviation != "" {
		t = t.And(", deviation {}", asRead(last.Body.Deviation))
	}
	switch edtf.Compare(date(last.Body.Due), on) {
	case edtf.Before:
		t = t.And(", overdue on that day")
	case edtf.Unknown, edtf.Overlap:
		t = t.And(", {}", doc.Missing("in time or not: not stated"))
	}
	return t.From(b.source(last.Record, ""))
}

// listed joins words, or says that there are none.
func listed(words []string) doc.Span {
	if len(words) == 0 {
		return doc.Missing("")
	}
	return doc.Plain(strings.Join(words, ", "))
}

// lineDay is the day of a line: that of its session's end, or its start.
func lineDay(m *session) record.Date {
	if m.body.Ended != "" {
		return m.body.Ended
	}
	return m.body.Started
}
