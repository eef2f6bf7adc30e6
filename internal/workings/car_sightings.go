package workings

import (
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// custodyPictures follows every stored part through the lines of work that had
// it before somebody.
func (c *Car) custodyPictures() []Picture {
	list, today := c.sightings(c.stored()), c.asOf()
	return sheets("picture-custody", len(list), 48, func(id string, from, to int) Picture { return CustodyPicture(id, list[from:to], today) })
}

// sightings tells the story of stored parts: when each came off, and when somebody
// had it before them, or the assembly that it is in.
func (c *Car) sightings(stored []replay.PartState) []Custodian {
	index := map[record.Ref]int{}
	list := make([]Custodian, len(stored))
	for i, st := range stored {
		index[st.Ref] = i
		list[i] = Custodian{What: c.name(st.Ref), SealedSince: st.Sealed}
		if line, ok := c.state.Line(st.Missed); ok {
			if day, ok := dateOf(line.Work.Started).First(); ok {
				list[i].Missed = []edtf.Day{day}
			}
		}
	}
	c.work.Each(func(step replay.Step, line replay.Line, state *replay.State, changed replay.Changed) {
		day, ok := dateOf(line.Work.Started).First()
		if !ok || !c.byToday(line.Work.Started) {
			return
		}
		for _, ref := range changed.Parts {
			if i, kept := index[ref]; kept && line.Body.Act == "removal" {
				list[i].Off = day
			}
		}
		for _, ref := range changed.Seen {
			c.seenOn(day, ref, state, index, list)
		}
	})
	return list
}

// seenOn notes a sighting of a part and of those that it holds and nobody has seen
// by themselves.
func (c *Car) seenOn(day edtf.Day, ref record.Ref, state *replay.State, index map[record.Ref]int, list []Custodian) {
	if i, kept := index[ref]; kept {
		if st, _ := state.Part(ref); st.Where.Place != replay.OnCar {
			list[i].seen(day)
		}
	}
	holder, ok := ledger.Get[record.Part](c.s, ref)
	if !ok {
		return
	}
	for _, part := range holder.Body.Contains {
		i, kept := index[part]
		if st, _ := state.Part(part); kept && st.Inside == ref && st.Seen == replay.NoStep && st.Where.Place != replay.OnCar {
			list[i].seen(day)
		}
	}
}

// seen notes a day once; lines come in the order of the work.
func (c *Custodian) seen(day edtf.Day) {
	if n := len(c.Seen); n == 0 || c.Seen[n-1] != day {
		c.Seen = append(c.Seen, day)
	}
}
