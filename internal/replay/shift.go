package replay

import (
	"fmt"
	"strings"
)

// shift moves parts that are off the car, with all that is bolted to them if bolted is set. A part that was on the car has
// come off without a record of it. The root moves the car itself.
func (e *engine) shift(t *step, bolted bool) {
	where, stated := e.away(t)
	var off, on []int32
	for _, p := range t.parts {
		switch {
		case p == e.book.root:
			e.moveCar(t, where, stated)
		case t.act == in && e.otherCameBack(p):
		case t.act == sighting && t.body.Place == "" && e.state.parts[p].Where.Place == InStore && e.state.parts[p].Where.Store == t.body.Store:
			// seen in the store where it is, the shelf not named: it lies where it lay
		case e.state.parts[p].Where.Place != OnCar:
			off = append(off, p)
		case stated:
			on = append(on, p)
		case t.body.Position != "":
			e.put(p, Where{Place: OnCar, Position: t.body.Position})
			if t.body.Station != "" {
				e.state.parts[p].Station = t.body.Station
			}
		}
	}
	if stated && len(on) > 0 {
		e.takeOffUnrecorded(on, where)
	}
	if !stated || len(off) == 0 {
		return
	}
	e.clear()
	for _, p := range off {
		e.add(p)
	}
	e.close(bolted)
	for _, p := range e.set {
		e.put(p, where)
	}
	for _, p := range off {
		e.leave(p)
	}
}

// takeOffUnrecorded moves parts off the car that a line shows elsewhere.
func (e *engine) takeOffUnrecorded(parts []int32, where Where) {
	e.clear()
	for _, p := range parts {
		e.add(p)
		e.doubt("removal-not-recorded", e.book.parts[p].ref, fmt.Sprintf("%s is %s here, but by the records it was on the car: when and how it came off is not recorded",
			e.book.called(e.book.parts[p].ref), where.Place), "record its removal, as late as it may be known")
	}
	e.close(false)
	e.open(nil)
	for _, p := range e.set {
		e.put(p, where)
	}
	for _, p := range parts {
		e.leave(p)
	}
}

// moveCar notes where the car itself is.
func (e *engine) moveCar(t *step, where Where, stated bool) {
	switch {
	case t.act == in:
		e.state.Car, e.state.CarAt = Where{Place: OnCar}, e.now
	case stated:
		e.state.Car, e.state.CarAt = where, e.now
	case t.body.Position != "":
		e.state.Car, e.state.CarAt = Where{Place: OnCar, Position: t.body.Position}, e.now
	}
}

// otherCameBack says that what came in carries another tag than the part that went out: the part is still out.
func (e *engine) otherCameBack(p int32) bool {
	info, tag := &e.book.parts[p], strings.TrimSpace(e.line.Tag)
	if tag == "" || info.body == nil || info.body.Tag == "" || strings.EqualFold(tag, strings.TrimSpace(info.body.Tag)) || e.state.parts[p].Where.Place != WithSomeone {
		return false
	}
	e.doubt("returned-as-another", info.ref, fmt.Sprintf("what came back as %s carries tag %s, and what went out carried %s: the part sent counts as still out with %s",
		e.book.called(info.ref), tag, info.body.Tag, orUnnamed(e.state.parts[p].Where.With)), "raise it with both jobs; record what came back as a part of its own")
	return true
}

func orUnnamed(with string) string {
	if with == "" {
		return "whoever has it"
	}
	return with
}
