package replay

import (
	"slices"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

// StaleLimits says the limits in a sentence, for print.
func StaleLimits() string { return limitsText }

// addUp sums what came on, came off and moved since. A part that came off and went on again has at most moved: the total is what it
// was. One that came and went again counts both times: no weighing saw it.
func (s *stalener) addUp(g *Facing, later, perhaps []Touch) {
	g.Touches = paired(g.Facet, append(slices.Clone(later), perhaps...))
	sure := 0.0
	for _, t := range g.Touches {
		kg, ok := s.kilograms(g.Facet, t)
		if !ok {
			g.Unweighed++
			continue
		}
		g.Kilograms += kg
		if !slices.ContainsFunc(perhaps, func(p Touch) bool { return p.Step == t.Step && p.Part == t.Part }) {
			sure += kg
		}
	}
	limit := MassLimit
	if g.Facet == Distribution {
		limit = AxleLimit
	}
	switch {
	case sure > limit:
		g.Fresh = Stale
	case g.Kilograms > limit || g.Unweighed > 0:
		g.Fresh = PerhapsStale
	}
}

// paired joins each coming off with the next going on of the same part: nothing where it is back at its place, and for the
// distribution a move where it is not.
func paired(f Facet, touches []Touch) []Touch {
	var list []Touch
	off := map[record.Ref]int{} // part that came off: its place in list
	for _, t := range touches {
		i, wasOff := off[t.Part]
		if t.Sign > 0 && wasOff {
			left := list[i]
			list[i].Part = "" // taken out below
			delete(off, t.Part)
			if f == Distribution && (left.FromSpot != t.ToSpot || left.From != t.To) {
				t.Sign, t.Moved, t.From, t.FromSpot = 0, true, left.From, left.FromSpot
				list = append(list, t)
			}
			continue
		}
		if t.Sign < 0 {
			if came := slices.ContainsFunc(list, func(o Touch) bool { return o.Part == t.Part && o.Sign > 0 }); !came {
				off[t.Part] = len(list)
			}
		}
		list = append(list, t)
	}
	return slices.DeleteFunc(list, func(t Touch) bool { return t.Part == "" })
}

// kilograms is the mass that a touch brings into account. What moves along the car counts for its distribution with the share
// that goes from one axle to the other, or whole where that cannot be worked out.
func (s *stalener) kilograms(f Facet, t Touch) (float64, bool) {
	q, err := quantity.Parse(string(t.Mass))
	if err != nil {
		return 0, false
	}
	kg, err := q.Float("kg")
	if err != nil {
		return 0, false
	}
	if f == Mass || !t.Moved {
		return kg, true
	}
	a, err1 := quantity.Parse(string(t.From))
	b, err2 := quantity.Parse(string(t.To))
	if err1 != nil || err2 != nil || s.wheelbase <= 0 || t.From == t.To {
		return kg, true
	}
	from, err1 := a.Float("m")
	to, err2 := b.Float("m")
	if err1 != nil || err2 != nil {
		return kg, true
	}
	return kg * max(to-from, from-to) / s.wheelbase, true
}
