package columns

import (
	"strings"
	"testing"
)

func TestTheUsualWordOverEachColumnIsKnownAndTheirOrderIsFree(t *testing.T) {
	for _, kind := range Kinds() {
		for _, words := range Words(kind) {
			for _, w := range words {
				if col, ok := columnFor(kind, " "+strings.ToUpper(w)+": "); !ok || col.key == "" {
					t.Errorf("a table of %s does not know its own word %q", kind, w)
				}
			}
		}
	}
	forwards := plan(t, "Tag,Part,Fasteners,Size,Crate\n0200,Heater,4,M8,loft crate 1\n")
	backwards := plan(t, "Crate,Size,Fasteners,Part,Tag\nloft crate 1,M8,4,Heater,0200\n")
	if rows(forwards) != rows(backwards) {
		t.Errorf("%s\n%s", rows(forwards), rows(backwards))
	}
}

func TestTheKindOfATableFollowsFromItsColumns(t *testing.T) {
	for text, want := range map[string]Kind{
		"Part,Tag,Mass\na,1,2\n": Parts, "Joint,Parts,Size,Count\na,b,M8,1\n": Joints, "Tag,Part,Bag,Crate\n1,a,2,c\n": StripDown,
		"Joint,Set,Method,Wrench\na,1,click,w\n": Tightening, "What,Where,Value\na,b,c\n": Readings, "Tag,Part,Crate,Seen\n1,a,c,yes\n": StockTake,
	} {
		if p := plan(t, text); p.Kind != want {
			t.Errorf("%q is a table of %s, want %s", text, p.Kind, want)
		}
	}
}

func TestFastenersStandInOneCellOrInTwo(t *testing.T) {
	for cells, want := range map[string]string{"4,M8": "4 × M8", "4 x M8 bolts,": "4 × M8 bolts", "4xM8; 2xM6,": "4 × M8; 2 × M6", "3,": "3 fasteners", "4 x M8,M10": "4 × M8", "four,M8": "this is no number of fasteners"} {
		p := plan(t, "Tag,Part,Fasteners,Size,Crate\n0200,Heater,"+cells+",loft crate 1\n")
		if !strings.Contains(rows(p), want) {
			t.Errorf("%q gives\n%s, want %s", cells, rows(p), want)
		}
	}
}

func TestARowSaysByWhatItCanHurt(t *testing.T) {
	p := plan(t, "Tag,Part,Hazard,Crate\n0200,Brake shoe,asbestos,loft crate 1\n0201,Lamp,,loft crate 1\n")
	if len(p.Fates[0].Hazards) != 1 || p.Fates[0].Hazards[0] != "asbestos" || len(p.Fates[1].Hazards) != 0 {
		t.Errorf("%+v", p.Fates)
	}
}
