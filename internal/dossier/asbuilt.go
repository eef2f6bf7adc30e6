package dossier

import (
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// figures are the rows of the table, in order. The first ones stand in every
// dossier, so that an absent figure shows.
var figures = []struct {
	of     string
	always bool
}{
	{"power", true}, {"power of the strongest engine offered", false}, {"torque", true}, {"input torque", false}, {"top speed", false},
	{"energy", true}, {"voltage", false}, {"current", false}, {"capacity", false},
	{"unladen mass", true}, {"front axle mass", true}, {"rear axle mass", true}, {"gross mass", true}, {"load per tyre", false},
	{"length", false}, {"width", false}, {"height", false}, {"wheelbase", false}, {"other", false},
}

// beforeAndAsBuilt sets the figures that records state for the car as it was
// beside those of the car as built. Nothing in it is worked out.
func (b *book) beforeAndAsBuilt() *doc.Section {
	s := doc.NewSection("before-and-as-built", "Before, and as built",
		doc.Para("Figures stand as the records state them, with their basis, condition and source"+b.sourcesElsewhere()+"; none is worked out, and none is moved from one basis to another. "+
			"Before: of parts found on the car. As built: of parts that the records place on it now. "+
			"A figure of the car itself does not say whether it is of before or after; its source may."))
	t := doc.NewTable("Figures on record", doc.Col("Figure", 3), doc.Col("Of the car itself", 6), doc.Col("Before", 6), doc.Col("As built", 6))
	t.ID = "figures"
	car, before, now := b.ratings()
	t.Row("drive", b.layout(), doc.Missing(""), doc.Missing(""))
	t.Row("energy carrier and fills", doc.Missing(""), b.fills(false), b.fills(true))
	t.Row("traction circuit", doc.Missing(""), doc.Missing(""), b.tractionCircuits())
	for _, f := range figures {
		if f.always || len(car[f.of])+len(before[f.of])+len(now[f.of]) > 0 {
			t.Row(f.of, ratingCell(car[f.of]), ratingCell(before[f.of]), ratingCell(now[f.of]))
		}
	}
	s.Add(t)
	b.addWeighings(s)
	return s
}

func ratingCell(list []doc.Text) doc.Text {
	if len(list) == 0 {
		return doc.Text{doc.Missing("")}
	}
	return joinTexts(list, "; ")
}

// ratings sorts the ratings on record by what they are of: those of the car,
// those of found parts, and those of parts that are on the car now.
func (b *book) ratings() (car, before, now map[string][]doc.Text) {
	car, before, now = map[string][]doc.Text{}, map[string][]doc.Text{}, map[string][]doc.Text{}
	if b.carRecord != nil {
		for i, r := range b.car.Ratings {
			key := figureOf(r.Of)
			car[key] = append(car[key], b.rating(b.carRecord, i, r, nil))
		}
	}
	for _, p := range b.parts() {
		for i, r := range p.Body.Ratings {
			text := b.rating(p.Record, i, r, doc.Say("of {}", titleOf(p.Record)))
			key := figureOf(r.Of)
			if b.found(p) {
				before[key] = append(before[key], text)
			}
			if p.at.location == onCar && len(p.at.doubts) == 0 {
				now[key] = append(now[key], text)
			}
		}
	}
	return car, before, now
}

// figureOf is the row that a rating belongs to; what has no row of its own is another.
func figureOf(of string) string {
	for _, f := range figures {
		if f.of == of {
			return of
		}
	}
	return "other"
}

// rating is one figure as recorded.
func (b *book) rating(r *record.Record, i int, rating record.Rating, bearer doc.Text) doc.Text {
	t := doc.Text{asRead(rating.Value)}
	if len(bearer) > 0 {
		t = t.And(" {}", bearer)
	}
	var more []doc.Text
	switch {
	case rating.Of == "power" || rating.Basis != "":
		more = append(more, doc.Say("basis {}", stated(rating.Basis)))
	case strings.HasSuffix(rating.Of, " mass"):
		more = append(more, doc.Say("condition {}", stated(rating.Condition)))
	}
	if from := doc.Say("source: {}", stated(rating.Source)); !b.brief() || blank(string(rating.Source)) {
		if rating.Paper != "" {
			from = from.And(", {}", b.called(rating.Paper))
		}
		more = append(more, from)
	}
	if rating.Note != "" && !b.brief() {
		more = append(more, doc.Say("{}", quoted(rating.Note)))
	}
	if len(more) > 0 {
		t = t.And(" ({})", joinTexts(more, "; "))
	}
	return t.From(b.source(r, canon.ElementPointer("/ratings", i)))
}

// sourcesElsewhere says where the sources of figures stand for a reader whom each of them would only hold up.
func (b *book) sourcesElsewhere() string {
	if b.brief() {
		return " (the source stands in the record named)"
	}
	return ""
}

func (b *book) layout() doc.Text {
	if b.car.Layout == "" {
		return doc.Text{doc.Missing("")}
	}
	return doc.Text{doc.Literal(b.car.Layout)}.From(b.source(b.carRecord, "/layout"))
}

// fills lists the fluids and gases on record; for the car as built it says which
// of them were drained for good.
func (b *book) fills(now bool) doc.Text {
	var list []doc.Text
	for _, e := range ledger.All[record.System](b.s) {
		f := e.Body.Fill
		if f == nil {
			continue
		}
		t := doc.Say("{}", stated(f.Of))
		switch {
		case !now:
			t = t.And(", {}", stated(f.Quantity))
		case f.Drained != "":
			t = t.And(": drained for good {}", string(f.Drained))
		default:
			t = t.And(": {}", doc.Missing("drained for good or not: not stated"))
		}
		list = append(list, t.From(b.source(e.Record, "/fill")))
	}
	return ratingCell(list)
}

func (b *book) tractionCircuits() doc.Text {
	var list []doc.Text
	for _, e := range ledger.All[record.System](b.s) {
		if c := e.Body.Circuit; c != nil && c.Sort == "traction" {
			list = append(list, doc.Say("{}, working voltage {}", titleOf(e.Record), stated(c.Voltage)).From(b.source(e.Record, "/circuit")))
		}
	}
	return ratingCell(list)
}

// addWeighings lists the weighings by day, and says for each how it lies to the
// work whose purpose is conversion.
func (b *book) addWeighings(s *doc.Section) {
	var list []ledger.Entry[record.Reading]
	for _, r := range ledger.All[record.Reading](b.s) {
		if r.Body.What == "weighing" {
			list = append(list, r)
		}
	}
	if len(list) == 0 {
		s.Add(doc.Para("No weighing is on record: {}.", doc.Missing("mass and axle masses as weighed not stated")))
		return
	}
	slices.SortStableFunc(list, func(x, y ledger.Entry[record.Reading]) int { return b.byPlace(x.Record, y.Record) })
	work := b.conversionWork()
	t := doc.NewTable("Weighings on record", doc.Col("Day", 3), doc.Col("To the conversion", 4), doc.Col("As read", 6), doc.Col("Condition", 6))
	t.ID = "weighings"
	for _, r := range list {
		t.Row(dayOr(r.Body.On), lies(readingPeriod(r.Body, b.s.Place(r.Record)), work), b.valuesCell(r), b.conditionsCell(r))
	}
	s.Add(t)
}

// conversionWork lists the sessions with a line whose stated purpose is conversion.
func (b *book) conversionWork() []*session {
	var list []*session
	for _, one := range b.log.sessions {
		if slices.ContainsFunc(one.body.Lines, func(l record.Line) bool { return l.Purpose == "conversion" }) {
			list = append(list, one)
		}
	}
	return list
}

// lies says how a day lies to the conversion work on record.
func lies(p period, work []*session) doc.Span {
	earlier, later := 0, 0
	for _, one := range work {
		switch {
		case one.when.before(p):
			earlier++
		case p.before(one.when):
			later++
		}
	}
	switch {
	case len(work) == 0:
		return doc.Missing("no line has the purpose conversion")
	case later == len(work):
		return doc.Plain("before the first line for it")
	case earlier == len(work):
		return doc.Plain("after the last line for it")
	case earlier+later == len(work):
		return doc.Plain("between lines for it")
	}
	return doc.Missing("order not stated for some of its lines")
}
