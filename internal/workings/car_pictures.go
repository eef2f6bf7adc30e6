package workings

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
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
// be compared, and what the parts since the last weighing make of it.
func (c *Car) massPictures() []Picture {
	all := c.weighings()
	return append(c.comparedPictures(all), c.sincePictures(all)...)
}

func (c *Car) comparedPictures(all []weighed) []Picture {
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

// sincePictures draws what came, went and moved since the last weighing that has
// both axles, and what the axles carry with that worked in.
func (c *Car) sincePictures(all []weighed) []Picture {
	for _, last := range slices.Backward(all) {
		if last.w.hearsay() || last.w.Front.Value.IsZero() || last.w.Rear.Value.IsZero() {
			continue
		}
		changes := c.since(last)
		if len(changes) == 0 {
			return nil
		}
		now := PredictedLoads("", last.w, c.wheelbase(), changes, nil)
		title := "Axle loads as weighed on " + orNot(last.w.On) + ", and with the parts since worked in: computed, not weighed (" + last.w.conditions() + ")"
		return []Picture{MovePicture("picture-axles-since", title, c.wheelbase().Value, shiftsOf(changes), c.axleBars(last.w, now))}
	}
	return nil
}

// axleBars holds the axles of a weighing beside those of a sum, with their ratings.
func (c *Car) axleBars(before Weighing, after Working) []Bar {
	return []Bar{
		{"front axle", before.Front.Value, resultOf(after, "l_F"), c.carRating("front axle mass").Value},
		{"rear axle", before.Rear.Value, resultOf(after, "l_R"), c.carRating("rear axle mass").Value},
	}
}

// shiftsOf puts the two halves of a part that moved together again.
func shiftsOf(changes []Fitted) []Shift {
	var list []Shift
	for i, f := range changes {
		name, left := strings.CutSuffix(f.What, fromOldPlace)
		_, came := strings.CutSuffix(f.What, toNewPlace)
		switch {
		case left && i+1 < len(changes):
			list = append(list, Shift{What: name, Mass: f.Mass.Value, From: f.Station.Value, To: changes[i+1].Station.Value})
		case came: // with its other half already
		case f.Sign < 0:
			list = append(list, Shift{What: f.What, Mass: f.Mass.Value, From: f.Station.Value})
		default:
			list = append(list, Shift{What: f.What, Mass: f.Mass.Value, To: f.Station.Value})
		}
	}
	return list
}

// MovedPictures draws a move that somebody thinks of; nothing where the axle
// loads after it are not known.
func (c *Car) MovedPictures(m Move) []Picture {
	before, _, ok := c.loadsToday()
	list := c.Moved(m)
	if !ok || !list[1].Computed() {
		return nil
	}
	one := Shift{What: "the mass", Mass: m.Mass.Value, By: m.By.Value}
	if p, isPart := ledger.Get[record.Part](c.s, m.Part); isPart {
		one = c.shiftOf(p, m)
	}
	const title = "What the axles carry before and after the move: worked out, and nothing was moved"
	return []Picture{MovePicture("picture-move", title, c.wheelbase().Value, []Shift{one}, c.axleBars(before, list[1]))}
}

// shiftOf is where a part goes in a move; its place may be unknown.
func (c *Car) shiftOf(p ledger.Entry[record.Part], m Move) Shift {
	one := Shift{What: p.Name(), Mass: measure(p.Record, "/mass", p.Body.Mass).Value, From: placeIn(c.state, p).Value, To: m.To.Value, By: m.By.Value}
	if m.Mass.Text != "" {
		one.Mass = m.Mass.Value
	}
	if to, err := quantity.Add(one.From, one.By); err == nil && !one.From.IsZero() && m.To.Text == "" {
		one.To, one.By = to, quantity.Quantity{}
	}
	return one
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
	list := c.tightened(c.lastTightenings())
	return sheets("picture-joints", len(list), 80, func(id string, from, to int) Picture { return JointPicture(id, list[from:to]) })
}

// sheets draws a long list as several pictures, each of which fits on a page.
func sheets(id string, n, most int, draw func(id string, from, to int) Picture) []Picture {
	var list []Picture
	for from := 0; from < n; from += most {
		name := id
		if from > 0 {
			name = fmt.Sprintf("%s-%d", id, from/most+1)
		}
		p := draw(name, from, min(from+most, n))
		if n > most {
			p.Title += fmt.Sprintf(", %d to %d of %d", from+1, min(from+most, n), n)
		}
		list = append(list, p)
	}
	return list
}

func (c *Car) cellPictures() []Picture {
	var list []Picture
	for _, r := range c.readings("cell-survey") {
		list = append(list, CellPicture("picture-cells-"+short(r.ID), c.survey(r)))
	}
	return list
}
