package workings

import (
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Pictures draws what a subject shows better than it says; nil where there is
// nothing to draw.
func (c *Car) Pictures(subject Subject) []Picture {
	switch subject {
	case Mass:
		return c.massPictures()
	case Insulation:
		return c.insulationPictures()
	case Joints:
		return c.jointPictures()
	case Pack:
		return c.cellPictures()
	case Custody:
		return c.custodyPictures()
	}
	return nil
}

// massPictures draws the axle loads of the first and the last weighing that may
// be compared.
func (c *Car) massPictures() []Picture {
	all := c.weighings()
	for i, first := range all {
		for _, last := range slices.Backward(all[i+1:]) {
			if len(differences(first.w, last.w)) > 0 || first.w.hearsay() || last.w.hearsay() {
				continue
			}
			return []Picture{LoadPicture("picture-axles", "Axle loads, "+first.w.On+" and "+last.w.On+" ("+first.w.conditions()+")", []Bar{
				{"front axle", first.w.Front.Value, last.w.Front.Value, c.carRating("front axle mass").Value},
				{"rear axle", first.w.Rear.Value, last.w.Rear.Value, c.carRating("rear axle mass").Value},
				{"whole car", first.w.Total.Value, last.w.Total.Value, c.carRating("gross mass").Value},
			})}
		}
	}
	return nil
}

func (c *Car) insulationPictures() []Picture {
	var list []InsulationReading
	for _, r := range c.readings("insulation") {
		if r.Body.Insulation == nil || r.Body.Insulation.Resistor == "" {
			list = append(list, c.insulationReading(r))
		}
	}
	if len(list) == 0 {
		return nil
	}
	return []Picture{InsulationPicture("picture-insulation", "Insulation to chassis over time", list)}
}

func (c *Car) jointPictures() []Picture {
	var list []Working
	for _, w := range c.joints() {
		if strings.HasPrefix(w.ID, "tightened ") {
			list = append(list, w)
		}
	}
	if len(list) == 0 {
		return nil
	}
	return []Picture{JointPicture("picture-joints", list)}
}

func (c *Car) cellPictures() []Picture {
	var list []Picture
	for _, r := range c.readings("cell-survey") {
		list = append(list, CellPicture("picture-cells-"+short(r.ID), c.survey(r)))
	}
	return list
}

// custodyPictures follows every stored part through the lines of work that had
// it before somebody.
func (c *Car) custodyPictures() []Picture {
	stored := c.stored()
	if len(stored) == 0 {
		return nil
	}
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
	c.work.Each(func(step replay.Step, line replay.Line, state *replay.State, _ replay.Changed) {
		day, ok := dateOf(line.Work.Started).First()
		if !ok || !c.byToday(line.Work.Started) {
			return
		}
		for ref, i := range index {
			st, _ := state.Part(ref)
			if st.Seen == step && st.Where.Place != replay.OnCar && !slices.Contains(list[i].Seen, day) {
				list[i].Seen = append(list[i].Seen, day)
			}
			if st.Since == step && line.Body.Act == "removal" {
				list[i].Off = day
			}
		}
	})
	return []Picture{CustodyPicture("picture-custody", list, c.asOf())}
}
