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
