package requirement

import (
	"strings"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

var labelsSubject = Subject{Name: "labels", Words: "labels on the number plates, as they were measured", Facts: append(labelFacts("front"), labelFacts("rear")...)}

func labelFacts(plate string) []Fact {
	want := "the check “plate label, " + plate + "” of a function test, with its label measured"
	return []Fact{
		{Name: plate + "_side", Kind: Figure, Unit: "mm", Words: "the side of the label on the " + plate + " plate", Want: want},
		{Name: plate + "_letters", Kind: Figure, Unit: "mm", Words: "the height of the letters on the " + plate + " plate's label", Want: want},
		{Name: plate + "_thickness", Kind: Figure, Unit: "mm", Words: "the thickness of the label on the " + plate + " plate", Want: want},
	}
}

// gatherLabels takes the measures from the checks of the labels. A label stays as it is until somebody measures it again, so
// each measuring is evidence.
func (f *Facts) gatherLabels(t *thing) {
	found := map[string][]figure{}
	for _, r := range f.readings("function-test") {
		for _, c := range r.Body.Checks {
			plate, ok := strings.CutPrefix(c.Check, "plate label, ")
			if !ok || c.Label == nil {
				continue
			}
			for name, m := range map[string]record.Measure{"side": c.Label.Side, "letters": c.Label.Letters, "thickness": c.Label.Thickness} {
				if q, err := quantity.Parse(string(m)); m != "" && err == nil {
					found[plate+"_"+name] = append(found[plate+"_"+name], figure{q: q, records: []record.Ref{r.ID}})
				}
			}
		}
	}
	for name, list := range found {
		t.figures(name, list...)
	}
}
