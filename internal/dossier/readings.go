package dossier

import (
	"fmt"
	"slices"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// kindsOfReading in the order of the chapter, with what each of them warns of.
var kindsOfReading = []struct {
	what, title string
	warns       []string
}{
	{"weighing", "Weighings", nil},
	{"proved-dead", "Proved dead", []string{"high voltage"}},
	{"insulation", "Insulation", []string{"high voltage"}},
	{"bonding", "Bonding", []string{"high voltage"}},
	{"polarity", "Polarity", []string{"high voltage"}},
	{"cell-survey", "Cells", []string{"high voltage", "lithium"}},
	{"charging", "Charging", []string{"high voltage"}},
	{"gas-free", "Free of gas", []string{"fuel"}},
	{"hole-survey", "Hole surveys", nil},
	{"brake-test", "Brakes", nil},
	{"alignment", "Alignment", nil},
	{"ride-height", "Ride height", nil},
	{"compression", "Compression", nil},
	{"function-test", "Function", nil},
	{"distance", "Distance", nil},
	{"road-run", "Road runs", nil},
	{"", "Readings of no stated kind", nil},
}

// readings lists what was measured, kind by kind, as it was read.
func (b *book) readings() *doc.Section {
	s := doc.NewSection("readings", "Readings",
		doc.Para("Values stand as they were read, in the unit that was written. A bound such as >550 MΩ is a bound, not a figure. A reading tells of the day it was taken on."))
	byKind := b.readingsByKind()
	for _, k := range kindsOfReading {
		if list := byKind[k.what]; len(list) > 0 {
			s.Add(b.readingTable(k.title, k.what, list))
			for _, h := range hazards {
				if slices.Contains(k.warns, h.word) {
					s.Add(h.beside())
				}
			}
		}
	}
	if len(byKind) == 0 {
		s.Add(doc.Para("No reading is on record."))
	}
	return s
}

// readingsByKind sorts the readings, also those that were overruled, by what was measured.
func (b *book) readingsByKind() map[string][]ledger.Entry[record.Reading] {
	byKind := map[string][]ledger.Entry[record.Reading]{}
	for _, r := range b.s.OfKind(record.KindReading) {
		body, ok := r.Body.(*record.Reading)
		if standing, _ := b.s.StandingOf(r); ok && standing != ledger.Withdraws {
			key := kindOfReading(body.What)
			byKind[key] = append(byKind[key], ledger.Entry[record.Reading]{Record: r, Body: body})
		}
	}
	return byKind
}

func kindOfReading(what string) string {
	for _, k := range kindsOfReading {
		if k.what == what {
			return what
		}
	}
	return ""
}

func (b *book) readingTable(title, what string, list []ledger.Entry[record.Reading]) *doc.Table {
	slices.SortFunc(list, func(x, y ledger.Entry[record.Reading]) int { return b.byPlace(x.Record, y.Record) })
	t := doc.NewTable(title, doc.Col("Day, by whom", 4), doc.Col("As read", 6), doc.Col("How", 5), doc.Col("Conditions", 5))
	t.ID = "readings-" + doc.Anchor(what)
	for _, r := range list {
		counts := b.counts(r.Record)
		t.Row(struckUnless(counts, b.takenCell(r)), struckUnless(counts, b.valuesCell(r)), struckUnless(counts, b.howCell(r)), struckUnless(counts, b.conditionsCell(r)))
		if verdict, ok := b.verdict(r.Record); ok {
			t.Row(doc.Cell{Text: verdict, Span: len(t.Columns)})
		}
	}
	return t
}

func (b *book) takenCell(r ledger.Entry[record.Reading]) doc.Text {
	t := doc.Say("{}, {}", dayOr(r.Body.On), b.called(r.Body.By))
	if r.Body.Entered != "" {
		t = t.And("; written down {}", b.entry(r.Body.Entered, r.Body.EnteredBy, readingPeriod(r.Body, b.s.Place(r.Record))))
	}
	return t.From(b.source(r.Record, ""))
}

// valuesCell is each figure as read, and the tester's word where there is one.
func (b *book) valuesCell(r ledger.Entry[record.Reading]) doc.Text {
	var list []doc.Text
	bare := 0
	for _, v := range r.Body.Values {
		list = append(list, b.valueWords(v))
		if isBare(v.Value) {
			bare++
		}
	}
	if lowest, highest, ok := spread(r.Body.Values); ok && b.brief() {
		list = []doc.Text{doc.Say("{} figures, from {} to {}", len(r.Body.Values), asRead(lowest), asRead(highest))}
	}
	if r.Body.Result != "" {
		list = append(list, doc.Say("the tester's word: {}", stated(r.Body.Result)))
	}
	if len(list) == 0 {
		return doc.Text{doc.Missing("no value on record")}
	}
	t := joinTexts(list, "; ")
	switch {
	case bare > 0 && bare == len(r.Body.Values):
		t = t.And("; {}", doc.Missing("uncertainty not recorded"))
	case bare > 0:
		t = t.And("; {}", doc.Missing(fmt.Sprintf("uncertainty of %d of them not recorded", bare)))
	}
	if len(r.Body.Values) > 0 {
		t = t.From(b.source(r.Record, "/values"))
	}
	return t
}

// manyFigures is how many figures of one sort are too many for a reader who wants the whole picture first.
const manyFigures = 8

// spread is the lowest and the highest of many figures; ok is false where they are few or cannot be put in order.
func spread(values []record.Value) (lowest, highest string, ok bool) {
	if len(values) < manyFigures {
		return "", "", false
	}
	var low, high quantity.Quantity
	for i, v := range values {
		q, err := quantity.Parse(v.Value)
		if err != nil || !q.IsPoint() {
			return "", "", false
		}
		if i == 0 {
			low, high = q, q
		}
		below, err := quantity.Compare(q, low)
		if err != nil {
			return "", "", false
		}
		above, err := quantity.Compare(q, high)
		if err != nil {
			return "", "", false
		}
		if below == quantity.Less {
			low = q
		}
		if above == quantity.More {
			high = q
		}
	}
	return low.Text(), high.Text(), true
}

// valueWords is one figure of a reading, with what it is of.
func (b *book) valueWords(v record.Value) doc.Text {
	var t doc.Text
	if r := b.s.Current(record.Ref(v.Of)); r != nil {
		t = doc.Say("{}: ", b.called(r.ID))
	} else if v.Of != "" {
		t = doc.Say("{}: ", v.Of)
	}
	t = append(t, valueRead(v.Value)...)
	if v.Poles != "" {
		t = t.And(", pole {}", stated(v.Poles))
	}
	if v.Note != "" {
		t = t.And(" ({})", quoted(v.Note))
	}
	return t
}

// valueRead is a value as read, with a word where it is a bound.
func valueRead(value string) doc.Text {
	t := doc.Text{asRead(value)}
	if q, err := quantity.Parse(value); err == nil && !q.IsPoint() {
		t = t.And(" (a bound)")
	}
	return t
}

// isBare tells whether a value is a measured figure without an uncertainty.
func isBare(value string) bool {
	q, err := quantity.Parse(value)
	if err != nil || !q.IsPoint() || q.Dimension() == quantity.Count {
		return false
	}
	_, _, ok := q.Uncertainty()
	return !ok
}

func (b *book) howCell(r ledger.Entry[record.Reading]) doc.Text {
	t := doc.Say("method {}; instrument {}", stated(r.Body.Method), b.called(r.Body.Instrument))
	if r.Body.Instrument != "" {
		t = t.And(", {}", b.calibrationOn(r.Body.Instrument, date(r.Body.On)))
	}
	if w := r.Body.Weighing; w != nil && w.Division != "" {
		t = t.And("; division {}", asRead(w.Division))
	}
	if len(r.Body.Papers) > 0 {
		t = t.And("; see {}", b.callThem(r.Body.Papers))
	}
	return t
}
