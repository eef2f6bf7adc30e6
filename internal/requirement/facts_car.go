package requirement

import (
	"boltback/internal/edtf"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

var carSubject = Subject{Name: "car", Words: "the car itself", Facts: []Fact{
	{Name: "today", Kind: OnDay, Words: "the day asked for", Want: "a day"},
	{Name: "year", Kind: OnDay, Words: "when the car was built or first used", Want: "the year of the car, with its source"},
	{Name: "model_year", Kind: Whole, Words: "the model year of the car", Want: "the model year of the car, as its maker counted it"},
	{Name: "market", Kind: Text, Words: "the country the car was made for", Want: "the market of the car"},
	{Name: "seats", Kind: Whole, Words: "the number of seats", Want: "the number of seats"},
	{Name: "power_before", Kind: Figure, Unit: "kW", Words: "the power of the engine as built, net", Want: "the net power of the engine as its maker published it"},
	{Name: "power_strongest", Kind: Figure, Unit: "kW", Words: "the power of the strongest engine that the maker offered in the car, net", Want: "the net power of the strongest engine that the maker offered in the car"},
	{Name: "gross_mass", Kind: Figure, Unit: "kg", Words: "the gross mass that the car is rated for", Want: "the gross mass of the car from its plate, handbook or papers"},
	{Name: "front_axle_mass", Kind: Figure, Unit: "kg", Words: "the mass that the front axle is rated for", Want: "the rated mass of the front axle"},
	{Name: "rear_axle_mass", Kind: Figure, Unit: "kg", Words: "the mass that the rear axle is rated for", Want: "the rated mass of the rear axle"},
	{Name: "top_speed", Kind: Figure, Unit: "km/h", Words: "the top speed of the car", Want: "the top speed of the car"},
	{Name: "power", Kind: Figure, Unit: "kW", Words: "the power of the drive that it can keep up, from its maker", Want: "the 30-minute or continuous power of the motor"},
}}

func (f *Facts) gatherCar(t *thing) {
	rec, car := f.s.Car()
	if !f.day.IsZero() {
		t.is("today", edtf.Of(f.day))
	}
	if d := dateOf(car.Year); !d.IsZero() {
		t.is("year", d, rec.ID)
	}
	if car.ModelYear > 0 {
		t.is("model_year", car.ModelYear, rec.ID)
	}
	if car.Market != "" {
		t.is("market", car.Market, rec.ID)
	}
	if car.Seats > 0 {
		t.is("seats", car.Seats, rec.ID)
	}
	ratings := []struct{ fact, of, basis string }{
		{"power_before", "power", "net"}, {"power_strongest", "power of the strongest engine offered", "net"}, {"gross_mass", "gross mass", ""}, {"front_axle_mass", "front axle mass", ""},
		{"rear_axle_mass", "rear axle mass", ""}, {"top_speed", "top speed", ""}}
	for _, r := range ratings {
		t.rated(r.fact, rec, car.Ratings, r.of, r.basis)
	}
	f.drivePower(t)
}

// rated sets a fact from a rating of a record; a rating that says that there is none is a gap with those words.
func (t *thing) rated(name string, rec *record.Record, list []record.Rating, of string, bases ...string) {
	for _, basis := range bases {
		for _, r := range list {
			if r.Of != of || basis != "" && r.Basis != basis {
				continue
			}
			if q, err := quantity.Parse(r.Value); err == nil {
				t.figures(name, figure{q: q, records: []record.Ref{rec.ID}})
			} else {
				t.lacks(name, Absent, "the rating is recorded as “"+r.Value+"”", rec.ID)
			}
			return
		}
	}
}

// drivePower adds up what the motors on the car can keep up.
func (f *Facts) drivePower(t *thing) {
	var sum quantity.Quantity
	var refs []record.Ref
	for _, p := range f.onCar() {
		if p.Body.Role != "motor" {
			continue
		}
		one := &thing{subject: &carSubject, facts: map[string]known{}}
		one.rated("power", p.Record, p.Body.Ratings, "power", "30-minute", "continuous")
		k, ok := one.facts["power"]
		if !ok || k.gap != nil {
			t.lacks("power", Absent, "not recorded of "+p.Name(), p.ID)
			return
		}
		q := k.value.([]figure)[0].q
		if refs = append(refs, p.ID); len(refs) == 1 {
			sum = q
		} else if total, err := quantity.Add(sum, q); err == nil {
			sum = total
		}
	}
	if len(refs) > 0 {
		t.figures("power", figure{q: sum, records: refs})
	}
}
