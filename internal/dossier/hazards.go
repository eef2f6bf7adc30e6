package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/record"
)

// hazard is a way to be hurt: the word by which a part record names it, the
// short caution beside a step or a part, and the long one.
type hazard struct {
	word, kind  string
	short, long string
	always      bool // stands in every dossier, recorded or not
}

// local ends every caution: the program is no authority on how work is done.
const local = "Local codes and licensed practice decide."

// hazards in the order in which cautions stand.
var hazards = []hazard{
	{"high voltage", "High voltage",
		"Isolate, lock off, wait for the capacitors, prove dead. What is joined to the battery stays live.",
		"Before any cover of the traction circuit is opened: isolate, lock off and keep the key, wait until the capacitors have discharged, " +
			"and prove dead with an instrument that was itself proved before and after. The cells, the battery's own terminals and everything on the " +
			"battery's side of its contactors stay live whatever is switched off. A record of an earlier test says nothing of today. " +
			"This is work for persons trained and licensed for it.", true},
	{"heavy", "Lifting",
		"Know the mass before lifting; nobody stands under a load.",
		"Know the mass and the centre of gravity before a lift, use tested gear and rated points, and put the car on stands that stand on firm ground: " +
			"nobody works under what only a jack or a hoist holds. A car from which a heavy part was taken can tip.", true},
	{"fuel", "Fuel vapour",
		"Vapour burns, also from an empty tank: ventilate, no flame or spark, test for gas before hot work.",
		"Tanks, lines and carburettors hold vapour that burns long after they were drained. Ventilate, keep flames, sparks and chargers away, catch and " +
			"label what runs out, and have the tank tested free of gas before any hot work near it. A recorded test holds for the moment it was made.", true},
	{"asbestos", "Suspect asbestos",
		"Friction linings and gaskets of the period can hold asbestos: no blowing out, no grinding, keep wet and bagged.",
		"Friction linings, gaskets, heat shields and sound deadening of the period can hold asbestos, and only a laboratory can tell. Do not blow out, " +
			"grind or sand; keep it wet, bag and label it, and leave what must be disturbed to those licensed for it. Refitting such a part may be forbidden.", true},
	{"lithium", "Lithium fire",
		"A damaged or overheated cell can burn hours or days later, and again after it was put out.",
		"A cell that was crushed, pierced, flooded, overcharged or overheated can catch fire hours or days later and again after it was put out; the smoke " +
			"is poisonous. Store and move it as the maker and the carriage rules demand, in the open and away from buildings when in doubt, and call the fire service.", true},
	{"refrigerant", "Refrigerant",
		"The circuit is under pressure; opening it is licensed work.",
		"The circuit is under pressure, and its gas freezes skin and drives out air. Opening it, and catching the gas, is licensed work.", false},
	{"pressure", "Pressure",
		"Let the pressure off before a joint is opened.",
		"Dampers, accumulators, cooling and air systems stay under pressure when the car stands. Let it off as their maker says before a joint is opened.", false},
	{"acid", "Acid",
		"Protect eyes and skin; the gas of a charging battery explodes.",
		"Battery acid burns eyes and skin, and the gas of a charging battery explodes. Protect both, ventilate, and keep water at hand.", false},
	{"spring", "Springs under load",
		"Restrain a loaded spring before its fasteners are undone.",
		"A loaded spring throws its parts when its fasteners are undone. Restrain it with the tool meant for it, and stand beside, not before it.", false},
}

func (h hazard) beside() *doc.Caution { return doc.Warn(h.kind, "{} {}", h.short, local) }

// Beside gives the short cautions of hazards, named by the words of part records, for whoever is told of one at the bench.
func Beside(words []string) []doc.Block {
	var list []doc.Block
	for _, h := range hazards {
		if slices.Contains(words, h.word) {
			list = append(list, h.beside())
		}
	}
	return list
}

// hazardsOf lists the hazards of a part, in the order of the cautions: those that
// its record names, and high voltage where it bears on the traction circuit.
func (b *book) hazardsOf(id record.Ref) []hazard {
	r := b.s.Current(id)
	if r == nil {
		return nil
	}
	part, ok := r.Body.(*record.Part)
	if !ok {
		return nil
	}
	var list []hazard
	for _, h := range hazards {
		if slices.Contains(part.Hazards, h.word) || h.word == "high voltage" && slices.Contains(part.Facets, "traction circuit") {
			list = append(list, h)
		}
	}
	return list
}

// hazardsOfLine lists the hazards of what a line touches: its parts, and the
// parts of the system that it drains or fills. Looking at a part hurts nobody,
// and a mass hurts where it is moved.
func (b *book) hazardsOfLine(l *record.Line) []hazard {
	if l.Act == "sighting" {
		return nil
	}
	found := map[string]bool{}
	touch := func(ids []record.Ref) {
		for _, id := range ids {
			for _, h := range b.hazardsOf(id) {
				found[h.word] = true
			}
		}
	}
	touch(l.Parts)
	if r := b.s.Current(l.System); r != nil {
		if system, ok := r.Body.(*record.System); ok {
			touch(system.Parts)
			found["high voltage"] = found["high voltage"] || system.Circuit != nil && system.Circuit.Sort == "traction"
		}
	}
	switch l.Act {
	case "removal", "fitting", "move", "out", "in":
	default:
		delete(found, "heavy")
	}
	return hazardsNamed(found)
}

func hazardsNamed(found map[string]bool) []hazard {
	var list []hazard
	for _, h := range hazards {
		if found[h.word] {
			list = append(list, h)
		}
	}
	return list
}
