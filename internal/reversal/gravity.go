package reversal

import (
	"fmt"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// balance follows the mass of the car and where it is centred through the steps of a work order, from the last weighing by
// axles that later work has not made stale. Moments are taken about the front axle line: x = F_rear · L / M.
type balance struct {
	known      bool
	why        string  // where it is not known
	kg, moment float64 // kilograms; kilogram metres about the front axle line
	leftOut    int     // parts without a mass or a place on record that the steps moved so far
	weighing   string
}

// balanceOf finds the weighing to start from.
func (m *maker) balanceOf() *balance {
	_, car := m.w.Car()
	wheelbase, ok := metres(car.Wheelbase)
	if !ok || wheelbase <= 0 {
		return &balance{why: "the wheelbase is not recorded"}
	}
	b := &balance{why: "no weighing by axles is on record that still describes the car"}
	for _, d := range replay.Staleness(m.w, m.opts.On) {
		r, isReading := ledger.Get[record.Reading](m.w.Snapshot(), d.Record)
		if !isReading || r.Body.What != "weighing" || d.Fresh() != replay.StillGood {
			continue
		}
		front, okF := axle(r.Body, "front")
		rear, okR := axle(r.Body, "rear")
		if okF && okR && front+rear > 0 {
			*b = balance{known: true, kg: front + rear, moment: rear * wheelbase, weighing: m.called(r.ID)}
		}
	}
	return b
}

// axle reads the load of an axle from a weighing.
func axle(r *record.Reading, which string) (float64, bool) {
	for _, v := range r.Values {
		if of := strings.ToLower(strings.TrimSpace(v.Of)); of == which+" axle" || of == which {
			q, err := quantity.Parse(v.Value)
			if err != nil || !q.IsPoint() {
				return 0, false
			}
			kg, err := q.Float("kg")
			return kg, err == nil
		}
	}
	return 0, false
}

// step takes a step into account: what it takes off or puts on. What lies inside an assembly is in the mass of that.
func (b *balance) step(m *maker, p planned) {
	sign := map[StepKind]float64{TakeOff: -1, PutBack: 1}[p.kind]
	if sign == 0 {
		return
	}
	for _, ref := range p.line.Parts {
		info, _ := m.w.Part(ref)
		s, _ := m.now.Part(ref)
		kg, okMass := kilograms(info.Body.Mass)
		at, okAt := metres(s.Station)
		if p.kind == PutBack {
			at, okAt = metres(info.Body.Station)
		}
		if !okMass || !okAt {
			b.leftOut++
			continue
		}
		b.kg += sign * kg
		b.moment += sign * kg * at
	}
}

// text says where the centre is, or why that is not known.
func (b *balance) text() string {
	if !b.known || b.kg <= 0 {
		return "not known: " + b.why
	}
	text := fmt.Sprintf("%.0f mm behind the front axle line, %.0f kg", b.moment/b.kg*1000, b.kg)
	if b.leftOut > 0 {
		text += fmt.Sprintf(", without %d parts whose mass or place is not recorded", b.leftOut)
	}
	return text + "; from " + b.weighing
}
