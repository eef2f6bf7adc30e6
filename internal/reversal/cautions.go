package reversal

import (
	"fmt"
	"slices"

	"boltback/internal/record"
)

// cautions are the usual ones for each hazard that a part is recorded with. They do not replace training, a licence or local
// rules, and say so.
var cautions = map[string]string{
	"high voltage": "high voltage: only by a person with the licence and training that apply, the circuit isolated, locked off and proved dead first",
	"lithium":      "lithium battery: no damage, no crushing, no metal tools across terminals; away from heat; a damaged or hot pack goes outdoors and the fire service is called",
	"fuel":         "fuel vapour: no spark or flame, in the open air; gas-free reading before any work on the tank",
	"asbestos":     "may hold asbestos: no brushing, no air line; kept wet, masked and sealed; local rules decide who may handle it",
	"refrigerant":  "refrigerant: only by a certified person, recovered and not vented",
	"heavy":        "heavy: lifting gear of known rating, nobody beneath, the car secured on its stands as its balance changes",
	"pressure":     "under pressure: release it first, eyes protected",
	"acid":         "acid: eyes and hands protected",
	"fluid":        "fluids: eyes and hands protected; what runs out is caught, and goes to whoever may take it",
	"structure":    "work on the structure: a person who may judge it decides how it is done; flame, heat and dust only with fuel, cells and trim out of reach",
	"spring":       "stored spring force: compressor of the right kind, out of the line of travel",
}

// liftOnly are the hazards that tightening and connecting do not bring near.
var liftOnly = []string{"heavy"}

// fluidOnly are the hazards of parts that come with what is drained from them or filled into them.
var fluidOnly = []string{"fuel", "refrigerant", "pressure", "acid"}

// hazardsIn lists the hazards of a step: of its parts, as far as the step brings them near, and of the kind of work it is.
func (m *maker) hazardsIn(s *Step) []string {
	var list []string
	switch s.Kind {
	case UndoStep:
		list = append(list, "structure")
	case DrainStep, FillStep:
		list = append(list, "fluid")
		for _, ref := range m.system(s.Line.System).Parts {
			for _, h := range m.hazardsOf(ref) {
				if slices.Contains(fluidOnly, h) {
					list = append(list, h)
				}
			}
		}
	}
	for _, ref := range s.Line.Parts {
		for _, h := range m.hazardsOf(ref) {
			if s.Kind != TightenStep && s.Kind != ConnectStep || !slices.Contains(liftOnly, h) {
				list = append(list, h)
			}
		}
	}
	return list
}

// hazardsOf lists the hazards of a part: those on its record, and those that its mass and its facets bring.
func (m *maker) hazardsOf(ref record.Ref) []string {
	info, _ := m.w.Part(ref)
	hazards := slices.Clone(info.Body.Hazards)
	if m.isHeavy(ref) && !slices.Contains(hazards, "heavy") {
		hazards = append(hazards, "heavy")
	}
	if slices.Contains(info.Body.Facets, "traction circuit") && !slices.Contains(hazards, "high voltage") {
		hazards = append(hazards, "high voltage")
	}
	return hazards
}

// warn adds the cautions, each once, and what the law may forbid.
func (m *maker) warn(s *Step) {
	for _, h := range m.hazardsIn(s) {
		if c := cautions[h]; c != "" && !slices.Contains(s.Cautions, c) {
			s.Cautions = append(s.Cautions, c)
		}
	}
	if s.Kind != PutBack {
		return
	}
	for _, ref := range s.Line.Parts {
		info, _ := m.w.Part(ref)
		law, hazards := info.Body.MayGoBack, info.Body.Hazards
		switch {
		case law == "unknown", law == "" && slices.Contains(hazards, "asbestos"), law == "" && slices.Contains(hazards, "refrigerant"):
			s.Law = append(s.Law, "whether "+m.called(ref)+" may be fitted again is not known: ask before fitting it")
		case barred(law):
			s.Law = append(s.Law, fmt.Sprintf("%s: the one taken off may not go back (%s): fit a new one", m.called(ref), law))
		}
	}
}
