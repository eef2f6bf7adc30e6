package reversal

import (
	"slices"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// Graph is what the drawing of a work order shows: which step has to come before which. Nodes are the steps; an edge says that
// the later undoes, does up or moves something that hangs on what the earlier did.
type Graph struct {
	Nodes []Node `json:"nodes"`
	Edges []Edge `json:"edges"`
}

// Node is one step, in a row of its own kind. Level is the longest chain of steps before it.
type Node struct {
	Step  int      `json:"step"`
	Kind  StepKind `json:"kind"`
	Label string   `json:"label"`
	Level int      `json:"level"`
}

// Edge leads from a step to one that needs it.
type Edge struct {
	From int `json:"from"`
	To   int `json:"to"`
}

// Dependencies works out which steps of a work order need which: those that share a joint, and those whose parts are clamped by
// a joint of the other. Edges that follow from others are left out.
func (s *Statement) Dependencies(w *replay.Work) Graph {
	var g Graph
	last := map[record.Ref]int{} // thing: index of the last step that touched it
	level := make([]int, len(s.Steps))
	before := make([]map[int]bool, len(s.Steps))
	for i, step := range s.Steps {
		needs := map[int]bool{}
		for _, t := range thingsOf(w, step) {
			if j, ok := last[t]; ok && j != i {
				needs[j] = true
			}
			last[t] = i
		}
		before[i] = map[int]bool{}
		for j := range needs {
			before[i][j] = true
			for k := range before[j] {
				before[i][k] = true
			}
			level[i] = max(level[i], level[j]+1)
		}
		for _, j := range direct(needs, before) {
			g.Edges = append(g.Edges, Edge{s.Steps[j].Number, step.Number})
		}
		g.Nodes = append(g.Nodes, Node{step.Number, step.Kind, step.Text, level[i]})
	}
	return g
}

// thingsOf lists what a step works on: its parts, its joints and what these clamp, its system.
func thingsOf(w *replay.Work, step Step) []record.Ref {
	list := slices.Clone(step.Line.Parts)
	for _, j := range step.Line.Joints {
		info, _ := w.Joint(j)
		list = append(append(list, j), info.Clamps...)
	}
	if step.Line.System != "" {
		list = append(list, step.Line.System)
	}
	return list
}

// direct keeps the needs that do not follow from other needs, in order.
func direct(needs map[int]bool, before []map[int]bool) []int {
	var list []int
	for j := range needs {
		implied := false
		for k := range needs {
			implied = implied || k != j && before[k][j]
		}
		if !implied {
			list = append(list, j)
		}
	}
	slices.Sort(list)
	return list
}

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
		list = append(list, Spot{Part: p.Ref, Name: w.Called(p.Ref), Found: was.Where.Place == replay.OnCar, Station: p.Station,
			Side: info.Body.Side, Position: p.Where.Position, Zone: info.Body.Zone, Mass: info.Body.Mass, Hazards: info.Body.Hazards})
	}
	slices.SortStableFunc(list, func(a, b Spot) int {
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
	})
	return list
}
