package replay

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Limits of what may add up before a weighing no longer describes the car, in kilograms: on or off the car, and from one
// axle to the other.
const (
	MassLimit  = 10.0
	AxleLimit  = 10.0
	limitsText = "at most 10 kg on or off the car, and 10 kg from axle to axle, may add up before a weighing counts as stale"
)

// Freshness says whether what described a facet still does.
type Freshness uint8

// The freshnesses: still good; small touches that add up to less than the limit leave it good, and are named. Perhaps stale,
// where the order or a mass is not recorded. Stale.
const (
	StillGood Freshness = iota
	PerhapsStale
	Stale
)

// String is the word a reader sees.
func (f Freshness) String() string { return [...]string{"still good", "perhaps stale", "stale"}[f] }

// Facing is what became of one facet that a record describes.
type Facing struct {
	Facet   Facet
	Fresh   Freshness
	Touches []Touch
	// Kilograms is what added up: on and off for mass, from axle to axle for its distribution. Unweighed counts the touches
	// by parts without a recorded mass.
	Kilograms float64
	Unweighed int
	// Text is the finding in a sentence, lower case, no full stop.
	Text string
}

// Description is what a reading, sign-off, certificate or sheet described, and what still holds.
type Description struct {
	Record record.Ref
	Name   string
	What   string // reading, sign-off, certificate, sheet
	On     record.Date
	Zone   string // of a hole survey
	Facets []Facing
}

// Fresh is the worst of the facets.
func (d Description) Fresh() Freshness {
	worst := StillGood
	for _, f := range d.Facets {
		worst = max(worst, f.Fresh)
	}
	return worst
}

// stalener holds what is needed to judge descriptions.
type stalener struct {
	w         *Work
	clock     clock
	touches   []Touch
	until     int64
	wheelbase float64 // metres, 0 where not recorded
}

// Staleness judges, on a day, what every reading, sign-off and certificate described: which later work touched it, and what is
// still good. No day judges against all work.
func Staleness(w *Work, day Day) []Description {
	s := newStalener(w, day)
	var list []Description
	for _, r := range standing[record.Reading](w.book.snapshot) {
		if facets := s.facetsOfReading(r.Body); len(facets) > 0 {
			list = append(list, s.judge(Description{Record: r.ID, Name: r.Name(), What: "reading", On: r.Body.On, Zone: r.Body.Zone}, facets))
		}
	}
	for _, o := range standing[record.SignOff](w.book.snapshot) {
		if facets := s.facetsOfSignOff(o.Body); len(facets) > 0 {
			list = append(list, s.judge(Description{Record: o.ID, Name: o.Name(), What: "sign-off", On: o.Body.On}, facets))
		}
	}
	for _, p := range standing[record.Paper](w.book.snapshot) {
		if c := p.Body.Certificate; c != nil && p.Body.Class == "certificate" {
			on := c.SignedOn
			if on == "" {
				on = c.From
			}
			list = append(list, s.judge(Description{Record: p.ID, Name: p.Name(), What: "certificate", On: on}, certificateFacets()))
		}
	}
	return slices.DeleteFunc(list, func(d Description) bool { return !s.begun(d.On) })
}

// SheetSince judges the sheet for first responders as it was printed on a day.
func SheetSince(w *Work, printed, day Day) Description {
	s := newStalener(w, day)
	return s.judge(Description{Name: "sheet for first responders", What: "sheet", On: record.Date(printed.String())}, SheetFacets())
}

func newStalener(w *Work, day Day) *stalener {
	s := &stalener{w: w, touches: TouchesOf(w), until: openFuture, clock: ZonesOf(w).clock}
	if !day.IsZero() {
		s.until = dayStart(day) + daySeconds
	}
	_, car := w.Car()
	if q, err := quantity.Parse(string(car.Wheelbase)); err == nil {
		s.wheelbase, _ = q.Float("m")
	}
	return s
}

// begun says that a description lies before the end of the day asked about.
func (s *stalener) begun(on record.Date) bool {
	from, _, ok := s.clock.bounds(on)
	return !ok || from < s.until
}

func (s *stalener) facetsOfReading(r *record.Reading) []Facet {
	if r.What != "function-test" {
		return readingFacets[r.What]
	}
	circuits := s.w.circuits()
	parts := slices.Clone(r.Parts)
	for _, c := range r.Checks {
		if c.Part != "" {
			parts = append(parts, c.Part)
		}
	}
	if len(parts) == 0 && len(r.Checks) > 0 {
		return []Facet{TractionCircuit} // checks are points of the conversion
	}
	var list []Facet
	for _, p := range parts {
		for _, f := range s.w.facetsOf(s.w.Name(p), circuits) {
			if !slices.Contains(list, f) {
				list = append(list, f)
			}
		}
	}
	return list
}

// facetsOfSignOff gathers what the covered readings describe and the covered work touched.
func (s *stalener) facetsOfSignOff(o *record.SignOff) []Facet {
	var list []Facet
	note := func(facets []Facet) {
		for _, f := range facets {
			if !slices.Contains(list, f) {
				list = append(list, f)
			}
		}
	}
	covered := map[record.Ref]bool{}
	for _, c := range o.Covers {
		covered[s.w.book.place(c.Record)] = true
		if r, ok := ledger.Get[record.Reading](s.w.book.snapshot, c.Record); ok {
			note(s.facetsOfReading(r.Body))
		}
	}
	for _, t := range s.touches {
		if covered[t.Line.Place.ID] {
			note(t.Facets)
		}
	}
	slices.SortFunc(list, func(a, b Facet) int { return slices.Index(Facets(), a) - slices.Index(Facets(), b) })
	return list
}

// judge holds a description against all work that is later than it, or perhaps later.
func (s *stalener) judge(d Description, facets []Facet) Description {
	from, to, dated := s.clock.bounds(d.On)
	for _, f := range facets {
		var later, perhaps []Touch
		for _, t := range s.touches {
			if !t.bears(f) || s.w.spanOf(t.Step).from >= s.until || f == StructureFacet && d.Zone != "" && t.Zone != "" && t.Zone != d.Zone {
				continue
			}
			switch span := s.w.spanOf(t.Step); {
			case dated && span.to <= from:
			case dated && span.from >= to:
				later = append(later, t)
			default:
				perhaps = append(perhaps, t)
			}
		}
		d.Facets = append(d.Facets, s.face(f, later, perhaps))
	}
	return d
}

// face judges one facet.
func (s *stalener) face(f Facet, later, perhaps []Touch) Facing {
	g := Facing{Facet: f}
	if f == Mass || f == Distribution {
		s.addUp(&g, later, perhaps)
	} else {
		g.Touches = append(slices.Clone(later), perhaps...)
		switch {
		case len(later) > 0:
			g.Fresh = Stale
		case len(perhaps) > 0:
			g.Fresh = PerhapsStale
		}
	}
	g.Text = s.text(g, len(later))
	return g
}

// text words a facet's finding.
func (s *stalener) text(g Facing, later int) string {
	if len(g.Touches) == 0 {
		return string(g.Facet) + ": still good, nothing on record has touched it since"
	}
	var what []string
	for i, t := range g.Touches {
		if i == 4 {
			what = append(what, fmt.Sprintf("and %d more", len(g.Touches)-i))
			break
		}
		what = append(what, s.touchText(t))
	}
	text := string(g.Facet) + ": " + g.Fresh.String()
	if g.Facet == Mass || g.Facet == Distribution {
		text += fmt.Sprintf(", %.1f kg have added up", g.Kilograms)
		if g.Unweighed > 0 {
			text += " and the mass of " + partsCounted(g.Unweighed) + " is not recorded"
		}
	}
	if later == 0 && g.Fresh == PerhapsStale {
		text += ", the order of the two is not stated"
	}
	return text + ": " + strings.Join(what, "; ")
}

func (s *stalener) touchText(t Touch) string {
	name := s.w.Called(t.Part)
	if t.Part == "" {
		name = s.w.Called(t.Line.Body.System)
	}
	word := touchWords[t.Line.Body.Act]
	switch {
	case t.Sign > 0:
		word = "came on"
	case t.Sign < 0:
		word = "came off"
	case t.Moved:
		word = "was moved"
	case word == "":
		word = "was worked on"
	}
	text := name + " " + word
	if day := s.w.DayOf(t.Step); !day.IsZero() {
		text += " (" + day.String() + ")"
	}
	return text
}

var touchWords = map[string]string{"tightening": "was tightened", "rectify": "was put right", "alteration": "was altered", "repair": "was repaired",
	"restoration": "was restored", "drain": "was drained", "fill": "was filled"}

func partsCounted(n int) string {
	if n == 1 {
		return "1 part"
	}
	return fmt.Sprintf("%d parts", n)
}
