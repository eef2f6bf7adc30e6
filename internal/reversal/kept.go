package reversal

import (
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Keeping says whether a part that was found on the car is still with it.
type Keeping uint8

// The keepings. NotVerified: the records do not know well enough.
const (
	OnTheCar Keeping = iota
	Stored
	NotVerified
	NotKept
)

// Kept is what became of one part that was on the car at a baseline, whatever it was taken off for.
type Kept struct {
	Part    replay.PartInfo
	Keeping Keeping
	// Seen is the day it was last seen where it is stored; OffOn the day it was last taken off the car, or no day.
	Seen, OffOn replay.Day
	// Text says where it is or what is missing: a sentence, lower case, no full stop.
	Text string
	// Records show it, or stand against it.
	Records []record.Ref
}

// KeptParts tells, for a baseline and a day, of every part found on the car where it is now. Purpose does not matter here. What
// is always renewed is left out, and so is the shell.
func KeptParts(w *replay.Work, opts Options) ([]Kept, error) {
	m, err := newMaker(w, opts)
	if err != nil {
		return nil, err
	}
	var list []Kept
	for _, info := range m.foundParts() {
		if !isExpendable(info) {
			list = append(list, m.kept(info))
		}
	}
	return list, nil
}

func (m *maker) kept(info replay.PartInfo) Kept {
	now, _ := m.now.Part(info.Ref)
	since, _ := m.now.Line(now.Since)
	k := Kept{Part: info, Records: append(sessions(since), m.recordsOf(info.Ref)...), Text: m.called(info.Ref) + " is " + whereText(m.w, now.Where)}
	if e, ok := m.takenBy[info.Ref]; ok {
		k.OffOn = m.w.DayOf(replay.Step(e.number))
	}
	switch now.Where.Place {
	case replay.OnCar:
		k.Keeping = OnTheCar
	case replay.Gone, replay.BecameAnother:
		k.Keeping = NotKept
	default:
		before, supports := len(m.reasons), len(m.support)
		m.judgeSighting(info, now)
		if len(m.reasons) > before {
			r := m.reasons[before]
			k.Keeping, k.Text, k.Records = NotVerified, r.Text, r.Records
		} else {
			k.Keeping = Stored
			seen, _, _ := m.now.LastSeen(info.Ref)
			k.Seen = m.w.DayOf(seen)
			for _, s := range m.support[supports:] {
				k.Records = append(k.Records, s.Record)
				k.Text = s.Text
			}
		}
	}
	return k
}
