package steps

import (
	"strings"
	"testing"
)

func TestEachLineIsSaidBackAsItWasUnderstood(t *testing.T) {
	for _, tc := range []struct{ line, says, notes, open string }{
		{"off 0200 heater, 4x M8, bag 0201, loft crate 3, 8.3 kgs, heavy", "removal of parts/heater (new); tag 0200; 4 × M8; joint joints/heater (new); in bag 0201; put in stores/tallow-lane/loft, crate 3; mass 8.3 kg; hazard heavy", `"kgs" is written "kg"`, ""},
		{"0201 pipe", "", "", ""}, // nothing was done before it
		{"tight tank straps, 47 N.m, wrench wrench-medium", "tightening of parts/fuel-tank; joint joints/tank-straps; set 47 N.m; with instruments/tallow-lane/wrench-medium", "", ""},
		{"tight tank strap, 47 N.m", "tightening of tank strap; set 47 N.m", "", "no joint is called tank strap; did you mean tank-straps?"},
		{"seen loft crate 3, unbroken", "sighting of parts/fuel-tank; put in stores/tallow-lane/loft, crate 3; seal unbroken", "named: parts/fuel-tank", ""},
		{"seen loft crate 9, unbroken", "put in stores/tallow-lane/loft, crate 9", "", "by the records nothing lies there"},
		{"seen loft", "put in stores/tallow-lane/loft", "", "nothing says to which part it was done"},
		{"seen loft crate 3, all", "looked for everything there", "", "nothing says which parts were there: name them, or say: seen nothing, loft crate 3"},
		{"seen nothing, loft crate 9", "nothing was seen at stores/tallow-lane/loft, crate 9; everything there was looked for", "", ""},
		{"seen nothing, loft crate 9, swept", "everything there was looked for; note: swept", "", ""},
		{"seen nothing", "sighting of", "", "nothing says in which store nothing was seen"},
		{"seen nothing, loft crate 9, fuel tank", "sighting of parts/fuel-tank", "", "it names what was seen, and says that nothing was"},
		{"move box, loft", "move of parts/box (new)", "no part box is on record", ""},
		{"out starter, with the plater, until 2026-04-01", "out of parts/starter; who has it: the plater; due 2026-04-01", "", ""},
		{"seen starter fuel tank, 3 bolts", "sighting of parts/starter-fuel-tank (new)", "", ""},
		{"off 0111 0147, 3 bolts", "removal of parts/fuel-tank, parts/starter; tag 0111; 3 bolts", "name one part, or the joint", ""},
		{"off starter, 12 V", "removal of parts/starter; note: 12 V", "kept as a note", ""},
		{"off starter, 30°", "removal of parts/starter; angle 30°", "", ""},
		{"off 0112 fuel tank", "removal of parts/fuel-tank; tag 0112", "bears tag 0111 on record", ""},
	} {
		t.Run(tc.line, func(t *testing.T) {
			told, err := New(bench(t)).Tell(tc.line)
			if tc.says == "" {
				if err == nil {
					t.Error("it was taken")
				}
				return
			}
			if err != nil || !strings.Contains(told.Says, tc.says) || !strings.Contains(strings.Join(told.Notes, "; "), tc.notes) || told.Open != tc.open {
				t.Errorf("%v\nsays %s\nnotes %q\nopen %s", err, told.Says, told.Notes, told.Open)
			}
		})
	}
}

func TestTheGrammarThatHelpPrintsNamesEveryWord(t *testing.T) {
	for _, word := range append([]string{"undo", "list", "done", "stop"}, settings...) {
		if !strings.Contains(Grammar, word+" ") && !strings.Contains(Grammar, word+",") && word != "helper" {
			t.Errorf("help does not say %s", word)
		}
	}
}
