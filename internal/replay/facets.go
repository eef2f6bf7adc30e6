package replay

import (
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Facet is one side of the car that readings, sign-offs and certificates describe and that work touches.
type Facet string

// The facets, as records write them.
const (
	Mass            Facet = "mass"
	Distribution    Facet = "mass distribution"
	TractionCircuit Facet = "traction circuit"
	LowVoltage      Facet = "low voltage"
	Brakes          Facet = "brakes"
	Suspension      Facet = "suspension and steering"
	Cooling         Facet = "cooling"
	StructureFacet  Facet = "structure"
	Dimensions      Facet = "dimensions"
	Identity        Facet = "identity"
	Software        Facet = "software"
)

// Facets lists all facets in their fixed order.
func Facets() []Facet {
	return []Facet{Mass, Distribution, TractionCircuit, LowVoltage, Brakes, Suspension, Cooling, StructureFacet, Dimensions, Identity, Software}
}

// Touch is one line of work that touched a facet of the car.
type Touch struct {
	Step   Step
	Line   Line
	Facets []Facet
	// Part is what was fitted, taken off, moved or worked on; "" where no part is named.
	Part record.Ref
	// Sign is +1 for what came on the car, -1 for what came off, 0 for what was moved or worked on.
	Sign int
	// Mass is the part's own, "" where not recorded; From and To are places behind the front axle line.
	Mass     record.Measure
	From, To record.Measure
	// FromSpot and ToSpot are the positions it left and came to.
	FromSpot, ToSpot string
	// Moved says that mass changed its place along the car.
	Moved bool
	// Zone is where material was altered.
	Zone string
}

// bears says that a touch bears on a facet.
func (t Touch) bears(f Facet) bool { return slices.Contains(t.Facets, f) }

// TouchesOf lists what all recorded work touched, in the order of replay. Facets are those that lines and parts state, and those
// that follow: mass where something came on, came off or moved; structure where the shell was altered; the circuit that a
// system names; low voltage for looms.
func TouchesOf(w *Work) []Touch {
	circuits := w.circuits()
	on := make(map[record.Ref]PartState, len(w.book.parts))
	for _, p := range w.Start().parts {
		on[p.Ref] = p
	}
	var list []Touch
	w.Each(func(n Step, l Line, s *State, c Changed) {
		for _, ref := range c.Parts {
			now, _ := s.Part(ref)
			if t, ok := w.placed(on[ref], now, circuits); ok {
				t.Step, t.Line = n, l
				list = append(list, t)
			}
			on[ref] = now
		}
		for _, ref := range l.Body.Parts {
			t := w.worked(w.Name(ref), l, circuits)
			if t.Step, t.Line = n, l; len(t.Facets) > 0 {
				list = append(list, t)
			}
		}
		if t, ok := w.filled(l); ok {
			t.Step, t.Line = n, l
			list = append(list, t)
		}
	})
	return list
}

// circuits tells for each part the facets of the circuits it belongs to.
func (w *Work) circuits() map[record.Ref][]Facet {
	m := map[record.Ref][]Facet{}
	for _, y := range standing[record.System](w.book.snapshot) {
		if y.Body.Circuit == nil {
			continue
		}
		f := LowVoltage
		if y.Body.Circuit.Sort == "traction" || y.Body.Circuit.Sort == "charging" {
			f = TractionCircuit
		}
		for _, p := range y.Body.Parts {
			m[w.Name(p)] = append(m[w.Name(p)], f)
		}
	}
	return m
}

// facetsOf lists what a part bears on.
func (w *Work) facetsOf(ref record.Ref, circuits map[record.Ref][]Facet) []Facet {
	var list []Facet
	note := func(f Facet) {
		if !slices.Contains(list, f) {
			list = append(list, f)
		}
	}
	info, _ := w.Part(ref)
	for _, f := range info.Body.Facets {
		note(Facet(f))
	}
	for _, f := range circuits[ref] {
		note(f)
	}
	if slices.Contains(info.Body.Hazards, "high voltage") || slices.Contains(info.Body.Hazards, "lithium") {
		note(TractionCircuit)
	}
	if info.Body.Class == "loom" && !slices.Contains(list, TractionCircuit) {
		note(LowVoltage)
	}
	for _, n := range info.Body.Numbers {
		if n.What == "chassis" || n.What == "plate" || n.What == "body" {
			note(Identity)
		}
	}
	return list
}

// placed is the touch of a part that came on, came off, or changed its place on the car.
func (w *Work) placed(was, now PartState, circuits map[record.Ref][]Facet) (Touch, bool) {
	t := Touch{Part: now.Ref, Facets: append([]Facet{Mass, Distribution}, w.facetsOf(now.Ref, circuits)...)}
	info, _ := w.Part(now.Ref)
	t.Mass = info.Body.Mass
	t.From, t.To = was.Station, now.Station
	t.FromSpot, t.ToSpot = was.Where.Position, now.Where.Position
	before, after := was.Where.Place == OnCar, now.Where.Place == OnCar
	switch {
	case after && !before:
		t.Sign = 1
	case before && !after:
		t.Sign = -1
	case before && after && (was.Where.Position != now.Where.Position || was.Station != now.Station):
		t.Moved = true
		t.Facets = slices.DeleteFunc(t.Facets, func(f Facet) bool { return f == Mass })
	default:
		return Touch{}, false
	}
	return t, true
}

// worked is the touch of work on a part in its place, and of what a line states.
func (w *Work) worked(ref record.Ref, l Line, circuits map[record.Ref][]Facet) Touch {
	t := Touch{Part: ref}
	for _, f := range l.Body.Facets {
		t.Facets = append(t.Facets, Facet(f))
	}
	add := func(list ...Facet) {
		for _, f := range list {
			if !slices.Contains(t.Facets, f) {
				t.Facets = append(t.Facets, f)
			}
		}
	}
	switch l.Body.Act {
	case "alteration", "repair", "restoration":
		add(w.facetsOf(ref, circuits)...)
		if ref == w.Root() || ref == "" {
			add(StructureFacet)
		}
		if l.Body.Alteration != nil {
			t.Zone = l.Body.Alteration.Zone
		}
	case "tightening", "rectify":
		add(w.facetsOf(ref, circuits)...)
	}
	if len(l.Body.Ends) > 0 {
		add(w.facetsOf(ref, circuits)...)
	}
	if ref == w.Root() && l.Body.Act != "alteration" && l.Body.Act != "repair" && l.Body.Act != "restoration" {
		t.Facets = nil // the shell is named for want of a part: only what the line states counts
		for _, f := range l.Body.Facets {
			t.Facets = append(t.Facets, Facet(f))
		}
	}
	return t
}

// filled is the touch of a drain or fill: the mass of a fluid is part of the condition in which a car is weighed.
func (w *Work) filled(l Line) (Touch, bool) {
	if l.Body.System == "" || l.Body.Act != "drain" && l.Body.Act != "fill" {
		return Touch{}, false
	}
	e, ok := ledger.Get[record.System](w.book.snapshot, l.Body.System)
	if !ok || e.Body.Fill == nil {
		return Touch{}, false
	}
	of := strings.ToLower(e.Body.Fill.Of)
	switch {
	case strings.Contains(of, "coolant"):
		return Touch{Facets: []Facet{Cooling}}, true
	case strings.Contains(of, "brake"):
		return Touch{Facets: []Facet{Brakes}}, true
	}
	return Touch{}, false
}

// readingFacets says what of the car each kind of reading describes. A cell survey or a compression test describes parts, wherever
// they are.
var readingFacets = map[string][]Facet{
	"weighing": {Mass, Distribution}, "insulation": {TractionCircuit}, "bonding": {TractionCircuit}, "proved-dead": {TractionCircuit},
	"charging": {TractionCircuit}, "polarity": {LowVoltage}, "brake-test": {Brakes},
	"alignment": {Suspension}, "ride-height": {Dimensions, Suspension}, "hole-survey": {StructureFacet},
}

// SheetFacets are what the sheet for first responders describes; work on any of them ends it.
func SheetFacets() []Facet { return []Facet{TractionCircuit, LowVoltage, Distribution, Identity} }

// certificateFacets are what a certificate of the whole car describes.
func certificateFacets() []Facet {
	return []Facet{Mass, Distribution, TractionCircuit, LowVoltage, Brakes, Suspension, StructureFacet, Dimensions, Identity}
}
