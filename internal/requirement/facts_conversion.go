package requirement

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/replay"
)

var conversionSubject = Subject{Name: "conversion", Words: "what the conversion put on the car", Facts: []Fact{
	{Name: "components", Kind: Several, Of: "component", Words: "parts on the car that were not found on it and have a role", Want: "the fitted parts with their roles, and the work that fitted them"},
	{Name: "batteries", Kind: Several, Of: "component", Words: "traction batteries on the car", Want: "the traction battery with its role, and the work that fitted it"},
}}

// What is asked of a component is the record itself, so that its absence is an answer.
var componentSubject = Subject{Name: "component", Entry: true, Words: "a part that the conversion put on the car", Facts: []Fact{
	{Name: "name", Kind: Text, Words: "its name", Want: "a name"},
	{Name: "energy_recorded", Kind: YesNo, Words: "whether its energy is recorded, or follows from its cells", Want: "the energy from the data sheet"},
	{Name: "chemistry_recorded", Kind: YesNo, Words: "whether the kind of its cells is recorded", Want: "the kind of its cells from the data sheet"},
	{Name: "liquid_electrolyte", Kind: YesNo, Words: "whether its cells hold liquid electrolyte that gases", Want: "the kind of its cells from the data sheet"},
	{Name: "place_recorded", Kind: YesNo, Words: "whether its place on the car is recorded", Want: "its position"},
	{Name: "origin_recorded", Kind: YesNo, Words: "whether it is recorded as new or used, and of what origin", Want: "its origin"},
	{Name: "source_recorded", Kind: YesNo, Words: "whether it is recorded where it came from", Want: "where it came from, in words"},
	{Name: "photographed", Kind: YesNo, Words: "whether a photo shows it", Want: "a photo that names it"},
}}

// gatherConversion lists what is on the car and was not found on it. A part without a role is a bracket or a bolt.
func (f *Facts) gatherConversion(t *thing) {
	var all, batteries []*thing
	for _, p := range f.onCar() {
		st, _ := f.state.Part(p.ID)
		if p.Body.Role == "" || st.Found != "no" {
			continue
		}
		one := f.component(p, st)
		all = append(all, one)
		if p.Body.Role == "traction battery" {
			batteries = append(batteries, one)
		}
	}
	if len(all) > 0 {
		t.set("components", known{value: all})
	}
	if len(batteries) > 0 {
		t.set("batteries", known{value: batteries})
	}
}

func (f *Facts) component(p ledger.Entry[record.Part], st replay.PartState) *thing {
	one := &thing{subject: &componentSubject, name: p.Name(), facts: map[string]known{}}
	one.is("name", p.Name(), p.ID)
	cells := p.Body.Pack
	one.is("energy_recorded", slices.ContainsFunc(p.Body.Ratings, isEnergy) || cells != nil && cells.Cells > 0 && cells.CellNominal != "" && cells.CellCapacity != "", p.ID)
	one.is("chemistry_recorded", cells != nil && cells.Chemistry != "", p.ID)
	switch {
	case cells != nil && cells.Chemistry == "other":
		one.lacks("liquid_electrolyte", Doubtful, "its cells are recorded as of another kind", p.ID)
	case cells != nil && cells.Chemistry != "":
		one.is("liquid_electrolyte", cells.Chemistry == "lead-acid, liquid electrolyte", p.ID)
	}
	one.is("place_recorded", st.Where.Position != "" || p.Body.Position != "", p.ID)
	one.is("origin_recorded", p.Body.Origin != "" && p.Body.Origin != "unknown", p.ID)
	one.is("source_recorded", p.Body.Source != "", p.ID)
	one.is("photographed", false, p.ID)
	if photo := f.photoOf(p); photo != "" {
		one.is("photographed", true, p.ID, photo)
	}
	return one
}

func isEnergy(r record.Rating) bool {
	_, err := quantity.Parse(r.Value)
	return r.Of == "energy" && err == nil
}
