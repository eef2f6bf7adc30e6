package workings

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// restraint gives a screening sum for every joint by which a battery is held to
// the car, in every direction of the rules that the market looks at.
func (c *Car) restraint() []Working {
	directions := DirectionsUN()
	if c.car.Market == "AU" {
		directions = DirectionsCode()
	}
	var list []Working
	for _, j := range ledger.All[record.Joint](c.s) {
		st, ok := c.state.Joint(j.ID)
		held := c.held(j)
		if !ok || st.Done == replay.Undone || len(held) == 0 {
			continue
		}
		m := c.mount(j, held)
		for _, d := range directions {
			w := RestraintIn(short(j.ID), m, d)
			w.About = append(w.About, j.ID)
			w.Assumptions = append(w.Assumptions, "this joint holds all of it alone; a second joint that shares the load is not counted")
			list = append(list, w)
		}
	}
	if len(list) == 0 {
		s := begin(Restraint, "restraint", "Restraint of the pack")
		s.missing("a joint between a battery, or what carries it, and the car")
		list = append(list, s.done())
	}
	return list
}

// held lists what a joint with the car holds: the batteries it clamps, and what
// carries them with the batteries bolted to it. Nothing where the joint does not
// reach the car, or holds no battery.
func (c *Car) held(j ledger.Entry[record.Joint]) []record.Ref {
	if j.Body.Restrains == "no" || j.Body.Host == "" && j.Body.Sheet == nil && j.Body.Restrains != "yes" {
		return nil
	}
	var list []record.Ref
	add := func(ref record.Ref) {
		if !slices.Contains(list, ref) {
			list = append(list, ref)
		}
	}
	holds := false
	for _, ref := range j.Body.Clamps {
		p, ok := ledger.Get[record.Part](c.s, ref)
		if !ok || p.ID == c.car.Root {
			continue
		}
		add(p.ID)
		holds = holds || battery(p.Body)
		for _, other := range c.boltedTo(p.ID, j.ID) {
			add(other)
			if o, ok := ledger.Get[record.Part](c.s, other); ok && battery(o.Body) {
				holds = true
			}
		}
	}
	if !holds {
		return nil
	}
	return list
}

// boltedTo lists the parts on the car that a joint without a host of its own
// bolts to a part.
func (c *Car) boltedTo(part, except record.Ref) []record.Ref {
	var list []record.Ref
	for _, st := range c.state.MountedBy(part) {
		if st.Ref == except {
			continue
		}
		j, ok := ledger.Get[record.Joint](c.s, st.Ref)
		if !ok || j.Body.Host != "" {
			continue
		}
		for _, ref := range j.Body.Clamps {
			p, ok := ledger.Get[record.Part](c.s, ref)
			if ok && p.ID != part && p.Body.Class != "set" && p.Body.Class != "loom" && p.ID != c.car.Root {
				list = append(list, p.ID)
			}
		}
	}
	return list
}

func (c *Car) mount(j ledger.Entry[record.Joint], held []record.Ref) Mount {
	m := Mount{Name: j.Name(), Mass: c.massOf(held), Bracket: measure(j.Record, "/bears", j.Body.Bears)}
	if len(j.Body.Fasteners) > 0 {
		f := j.Body.Fasteners[0]
		m.Bolts, m.Size, m.Class = f.Count, f.Size, f.Class
	}
	if sheet := j.Body.Sheet; sheet != nil {
		m.Thickness = measure(j.Record, "/sheet/thickness", sheet.Thickness)
		m.Strength = measure(j.Record, "/sheet/strength", sheet.Strength)
		m.Spread = measure(j.Record, "/sheet/spread", sheet.Spread)
		m.Condition = sheet.Condition
	}
	return m
}

// massOf adds up masses; one that is not recorded leaves the sum unknown.
func (c *Car) massOf(refs []record.Ref) Input {
	s := begin(Restraint, "", "")
	sum, words := "", ""
	for i, ref := range refs {
		p, ok := ledger.Get[record.Part](c.s, ref)
		if !ok {
			continue
		}
		symbol := "m_" + string(rune('a'+i%26))
		s.take(symbol, "mass of "+p.Name(), measure(p.Record, "/mass", p.Body.Mass), quantity.Mass)
		sum += "+" + symbol
		words = appendList(words, p.Name()+" "+orNot(string(p.Body.Mass)))
	}
	if sum == "" || !s.calc("m", "kg", sum[1:], "") {
		return Input{Text: "not recorded", Err: words}
	}
	return From(s.get("m"), Source{words, Physics})
}
