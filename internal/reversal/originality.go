package reversal

import (
	"math/big"
	"slices"

	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Amount sums parts three ways. Unweighed and Unvalued count what has no mass or value on record: sums leave them out and
// say so.
type Amount struct {
	Count     int64    `json:"count"`
	Kilograms float64  `json:"kilograms"`
	Unweighed int64    `json:"unweighed"`
	Value     *big.Rat `json:"-"`
	Unvalued  int64    `json:"unvalued"`
}

// Share is one row: how much of a group is on the car, kept off it, and no longer there or not verified.
type Share struct {
	Group  string `json:"group"`
	OnCar  Amount `json:"on-car"`
	Kept   Amount `json:"kept"`
	Absent Amount `json:"absent"`
}

// Originality tells what is on the car and what is kept, in terms of what was found on it and, apart from that, in terms of
// where parts come from. The two are never mixed: a part found on the car need not have left the works with it.
type Originality struct {
	// ByFound has the groups found and not found; ByOrigin one for each origin on record.
	ByFound  []Share `json:"by-found"`
	ByOrigin []Share `json:"by-origin"`
	// ByAssembly has, for the parts found on the car, a group for each assembly, else for each zone.
	ByAssembly []Share `json:"by-assembly"`
}

// OriginalityOf tallies the parts found on the car and the parts that are on it. Values are disclosed ones, in one currency; a
// part without one counts as unvalued. What is renewed each time is left out.
func OriginalityOf(w *replay.Work, opts Options, values map[record.Ref]*big.Rat) (Originality, error) {
	m, err := newMaker(w, opts)
	if err != nil {
		return Originality{}, err
	}
	var o Originality
	for _, p := range m.now.Parts() {
		info, _ := m.w.Part(p.Ref)
		found, on := m.atBase(p.Ref), p.Where.Place == replay.OnCar
		if !found && !on || p.Ref == m.root || isExpendable(info) {
			continue
		}
		a, keeping := amountOf(info, values), m.kept(info).Keeping
		tally(&o.ByFound, map[bool]string{true: "found on the car", false: "not found on the car"}[found], keeping, a)
		tally(&o.ByOrigin, originOf(info.Body), keeping, a)
		if found {
			tally(&o.ByAssembly, m.assemblyOf(info), keeping, a)
		}
	}
	for _, list := range [][]Share{o.ByFound, o.ByOrigin, o.ByAssembly} {
		slices.SortFunc(list, func(x, y Share) int { return compareRefs(record.Ref(x.Group), record.Ref(y.Group)) })
	}
	return o, nil
}

func originOf(p *record.Part) string {
	if p.Origin == "" {
		return "unknown"
	}
	return p.Origin
}

// assemblyOf names the assembly that a part was in at the baseline, else its zone.
func (m *maker) assemblyOf(info replay.PartInfo) string {
	was, _ := m.base.Part(info.Ref)
	switch {
	case was.Inside != "":
		return m.called(was.Inside)
	case info.Body.Class == "assembly":
		return m.called(info.Ref)
	case info.Body.Zone != "":
		return info.Body.Zone
	}
	return "no assembly or zone on record"
}

func amountOf(info replay.PartInfo, values map[record.Ref]*big.Rat) Amount {
	a := Amount{Count: max(info.Body.Count, 1), Value: new(big.Rat)}
	kg, ok := kilograms(info.Body.Mass)
	if a.Kilograms = kg; !ok {
		a.Unweighed = a.Count
	}
	if v := values[info.Ref]; v != nil {
		a.Value.Set(v)
	} else {
		a.Unvalued = a.Count
	}
	return a
}

func kilograms(m record.Measure) (float64, bool) {
	q, err := quantity.Parse(string(m))
	if err != nil {
		return 0, false
	}
	kg, err := q.Float("kg")
	return kg, err == nil
}

// metres reads a length.
func metres(m record.Measure) (float64, bool) {
	q, err := quantity.Parse(string(m))
	if err != nil {
		return 0, false
	}
	x, err := q.Float("m")
	return x, err == nil
}

func tally(list *[]Share, group string, k Keeping, a Amount) {
	i := slices.IndexFunc(*list, func(s Share) bool { return s.Group == group })
	if i < 0 {
		*list = append(*list, Share{Group: group, OnCar: Amount{Value: new(big.Rat)}, Kept: Amount{Value: new(big.Rat)}, Absent: Amount{Value: new(big.Rat)}})
		i = len(*list) - 1
	}
	s := &(*list)[i]
	into := map[Keeping]*Amount{OnTheCar: &s.OnCar, Stored: &s.Kept, NotVerified: &s.Absent, NotKept: &s.Absent}[k]
	into.Count += a.Count
	into.Kilograms += a.Kilograms
	into.Unweighed += a.Unweighed
	into.Unvalued += a.Unvalued
	into.Value.Add(into.Value, a.Value)
}
