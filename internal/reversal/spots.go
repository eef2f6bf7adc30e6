package reversal

import (
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// Spot is one part in the plan view of the car.
type Spot struct {
	Part  record.Ref `json:"part"`
	Name  string     `json:"name"`
	Found bool       `json:"found"`
	// Station is how far behind the front axle line it sits, Side where across; "" where not recorded.
	Station  record.Measure `json:"station,omitempty"`
	Side     string         `json:"side,omitempty"`
	Position string         `json:"position,omitempty"`
	Zone     string         `json:"zone,omitempty"`
	Mass     record.Measure `json:"mass,omitempty"`
	Hazards  []string       `json:"hazards,omitempty"`
	// What says what it is for a person with tools in hand.
	What SpotKind `json:"what"`
	// Role is what the record says it does, such as "service disconnect" or "charge inlet"; "" where it says nothing.
	Role string `json:"role,omitempty"`
	// Joins is set for a loom, a hose or a traction cable: the parts that it is fastened to by joints that are done up. Its route is not known.
	Joins []record.Ref `json:"joins,omitempty"`
}

// SpotKind tells apart what a plan view draws differently.
type SpotKind string

// The kinds of spots. A part of the traction circuit is one by its facet, its hazard or its role.
const (
	TractionBattery SpotKind = "traction battery"
	TractionPart    SpotKind = "traction circuit"
	LowVoltage      SpotKind = "12 V battery"
	FittedPart      SpotKind = "fitted"
	FoundPart       SpotKind = "found part"
)

// kindOf sorts a part for the plan view: what can hurt comes before where it is from.
func kindOf(p *record.Part, found bool) SpotKind {
	traction := slices.Contains(p.Facets, "traction circuit") || slices.Contains(p.Hazards, "high voltage") || p.Role == "traction cable"
	switch {
	case p.Role == "traction battery" || p.Pack != nil || traction && slices.Contains(p.Hazards, "lithium"):
		return TractionBattery
	case traction:
		return TractionPart
	case p.Role == "auxiliary battery" || slices.Contains(p.Facets, "low voltage") && slices.Contains(p.Hazards, "acid"):
		return LowVoltage
	case found:
		return FoundPart
	}
	return FittedPart
}

// joined lists what a loom or hose is fastened to, in order.
func joined(w *replay.Work, s *replay.State, ref record.Ref) []record.Ref {
	var list []record.Ref
	for _, j := range s.MountedBy(ref) {
		info, _ := w.Joint(j.Ref)
		for _, other := range info.Clamps {
			other = w.Name(other)
			if other != ref && other != w.Root() && !slices.Contains(list, other) {
				list = append(list, other)
			}
		}
	}
	slices.Sort(list)
	return list
}

// PlanView lists what sits on the car in a state, for a plan view: from front to back as far as recorded, then by name.
func PlanView(w *replay.Work, s *replay.State) []Spot {
	var list []Spot
	start := w.Start()
	for _, p := range s.Parts() {
		if p.Where.Place != replay.OnCar || p.Ref == w.Root() || p.Inside != "" {
			continue
		}
		info, _ := w.Part(p.Ref)
		was, _ := start.Part(p.Ref)
		found := was.Where.Place == replay.OnCar
		spot := Spot{Part: p.Ref, Name: w.Called(p.Ref), Found: found, Station: p.Station,
			Side: info.Body.Side, Position: p.Where.Position, Zone: info.Body.Zone, Mass: info.Body.Mass, Hazards: info.Body.Hazards,
			What: kindOf(info.Body, found), Role: info.Body.Role}
		if info.Body.Class == "loom" || info.Body.Class == "hose" || info.Body.Role == "traction cable" {
			spot.Joins = joined(w, s, p.Ref)
		}
		list = append(list, spot)
	}
	slices.SortStableFunc(list, frontFirst)
	return list
}

// frontFirst orders spots by their place along the car; those without one come last.
func frontFirst(a, b Spot) int {
	x, okX := metres(a.Station)
	y, okY := metres(b.Station)
	switch {
	case okX != okY:
		if okX {
			return -1
		}
		return 1
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return 0
}
