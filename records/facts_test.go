package records

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

// facts are the car's records by type.
type facts struct {
	all      map[record.Ref]*record.Record
	parts    map[record.Ref]*record.Part
	joints   map[record.Ref]*record.Joint
	sessions map[record.Ref]*record.Session
	readings map[record.Ref]*record.Reading
}

func factsOf(t *testing.T) facts {
	all := recordsUnder(t, car)
	return facts{all, of[record.Part](all), of[record.Joint](all), of[record.Session](all), of[record.Reading](all)}
}

// lines visits every line of every session by date and order.
func (f facts) lines(visit func(session record.Ref, s *record.Session, l record.Line)) {
	ids := slices.Collect(maps.Keys(f.sessions))
	slices.SortFunc(ids, func(a, b record.Ref) int {
		return strings.Compare(string(f.sessions[a].Started)+string(a), string(f.sessions[b].Started)+string(b))
	})
	for _, id := range ids {
		for _, l := range f.sessions[id].Lines {
			visit(id, f.sessions[id], l)
		}
	}
}

// inUnit gives the number of a quantity in a unit.
func inUnit[T ~string](t *testing.T, text T, unit string) float64 {
	t.Helper()
	q, err := quantity.Parse(string(text))
	if err != nil {
		t.Fatal(err)
	}
	v, err := q.Float(unit)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return v
}

// whereabouts says which parts were last fitted, and which found parts came off and did not go back.
func (f facts) whereabouts() (fitted, stored map[record.Ref]bool) {
	fitted, stored = map[record.Ref]bool{}, map[record.Ref]bool{}
	f.lines(func(_ record.Ref, _ *record.Session, l record.Line) {
		for _, p := range l.Parts {
			switch {
			case l.Act == "fitting" && stored[p]:
				delete(stored, p)
			case l.Act == "fitting":
				fitted[p] = true
			case l.Act == "removal" && f.parts[p].Found != "no":
				stored[p] = true
			}
		}
	})
	return fitted, stored
}

func (f facts) weight(t *testing.T, reading record.Ref, of string) float64 {
	t.Helper()
	for _, v := range f.readings[reading].Values {
		if v.Of == of {
			return inUnit(t, v.Value, "kg")
		}
	}
	t.Fatalf("%s has no %s", reading, of)
	return 0
}

// The scales read to half a kilogram on each of four pads; that, and the parts' own doubt, is all that may be between
// what the parts say and what the scales say.
func TestThePartsAddUpToWhatTheScalesSay(t *testing.T) {
	f := factsOf(t)
	fitted, stored := f.whereabouts()
	const before, after = "readings/2025-09-12-bram-weighing-before", "readings/2026-05-06-bram-weighing"
	wheelbase := inUnit(t, f.all["car"].Body.(*record.Car).Wheelbase, "mm")
	total, rear := f.weight(t, before, "total"), f.weight(t, before, "rear axle")
	change := func(p record.Ref, sign float64) {
		part := f.parts[p]
		if part.Mass == "" {
			if part.Class != "expendable" {
				t.Errorf("%s came off or on and has no mass", p)
			}
			return
		}
		m := sign * inUnit(t, part.Mass, "kg")
		total += m
		rear += m * inUnit(t, part.Station, "mm") / wheelbase
	}
	for p := range stored {
		change(p, -1)
	}
	for p := range fitted {
		change(p, +1)
	}
	for _, c := range []struct {
		of   string
		want float64
	}{{"total", total}, {"rear axle", rear}, {"front axle", total - rear}} {
		if got := f.weight(t, after, c.of); got < c.want-2 || got > c.want+2 {
			t.Errorf("%s: the scales say %.1f kg, the parts make it %.1f kg", c.of, got, c.want)
		}
	}
}

func TestEveryWeighingAddsUpWithinItsDivision(t *testing.T) {
	f := factsOf(t)
	for id, r := range f.readings {
		if r.What != "weighing" || r.Weighing == nil {
			continue
		}
		gap := f.weight(t, id, "front axle") + f.weight(t, id, "rear axle") - f.weight(t, id, "total")
		if d := inUnit(t, r.Weighing.Division, "kg"); gap > d || gap < -d {
			t.Errorf("%s: the axles differ from the total by %.1f kg", id, gap)
		}
	}
}

func TestTheCarIsWithinItsRatings(t *testing.T) {
	f := factsOf(t)
	limit := map[string]float64{}
	for _, g := range f.all["car"].Body.(*record.Car).Ratings {
		if strings.HasSuffix(g.Of, "mass") {
			limit[g.Of] = inUnit(t, g.Value, "kg")
		}
	}
	const after = "readings/2026-05-07-lane-weighing"
	for of, rating := range map[string]string{"front axle": "front axle mass", "rear axle": "rear axle mass", "total": "unladen mass"} {
		if got := f.weight(t, after, of); limit[rating] == 0 || got > limit[rating] {
			t.Errorf("%s %.0f kg, rating %.0f kg", of, got, limit[rating])
		}
	}
}

// Energy is cells in parallel times capacity times nominal voltage.
func TestTheEnergyOfThePackFollowsFromItsCells(t *testing.T) {
	f := factsOf(t)
	energy := func(ratings []record.Rating) (v, ah, kwh float64) {
		for _, g := range ratings {
			switch {
			case g.Of == "voltage" && g.Basis == "nominal":
				v = inUnit(t, g.Value, "V")
			case g.Of == "capacity":
				ah = inUnit(t, g.Value, "Ah")
			case g.Of == "energy":
				kwh = inUnit(t, g.Value, "kWh")
			}
		}
		return v, ah, kwh
	}
	lists := map[string][]record.Rating{"car": f.all["car"].Body.(*record.Car).Ratings,
		"front": f.parts["parts/battery-box-front"].Ratings, "rear": f.parts["parts/battery-box-rear"].Ratings}
	for name, ratings := range lists {
		v, ah, kwh := energy(ratings)
		if gap := v*ah/1000 - kwh; kwh == 0 || gap > 0.0005 || gap < -0.0005 {
			t.Errorf("%s: %.1f V times %.0f Ah is not %.3f kWh", name, v, ah, kwh)
		}
	}
}

func TestTheBaselineNamesEveryFoundPartAtItsPosition(t *testing.T) {
	f := factsOf(t)
	position := map[record.Ref]string{}
	for _, b := range f.all["car"].Body.(*record.Car).Baseline.Parts {
		position[b.Part] = b.Position
	}
	for id, p := range f.parts {
		if got, named := position[id]; named != (p.Found != "no") || named && got != p.Position {
			t.Errorf("%s is found %s at %q, the baseline has it at %q", id, p.Found, p.Position, got)
		}
	}
}
