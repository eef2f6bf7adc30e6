package workings

import (
	"fmt"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/figure"
)

// evidenceMark is how an outcome looks in a strip, without colour.
func evidenceMark(o Outcome) (word string, paint figure.Paint, hatch bool) {
	switch o {
	case Met:
		return "evidenced", solid, false
	case EvidenceMissing, TooClose:
		return "evidence missing", figure.Paint{Width: 0.2, Edge: figure.Black}, false
	}
	return "not evidenced", figure.Paint{Width: 0.2, Edge: figure.Black}, true
}

// JointPicture is a box for each joint: grey where the tightening is evidenced,
// hatched where it is not, empty where evidence is missing.
func JointPicture(id string, joints []Working) Picture {
	const across, boxWidth, boxHeight = 4, 37.0, 10.0
	rows := (len(joints) + across - 1) / across
	d := figure.New(pictureWidth, float64(rows)*(boxHeight+2)+12)
	count := map[string]int{}
	var words []string
	for i := range joints {
		w := &joints[i]
		word, paint, hatched := evidenceMark(w.Worst())
		count[word]++
		x, y := 3+float64(i%across)*(boxWidth+2), 3+float64(i/across)*(boxHeight+2)
		d.Rect(x, y, 4, boxHeight, paint)
		if hatched {
			d.Hatch(figure.Box(x, y, 4, boxHeight), figure.Rising)
		}
		name := strings.TrimPrefix(w.Title, "Tightening: ")
		for n, line := range figure.Lines(figure.Regular, 2.3, boxWidth-6, name) {
			if n < 3 {
				d.Label(x+5.2, y+2.6+float64(n)*2.9, figure.After, figure.Label{Text: line, Size: 2.3, Shade: figure.Black})
			}
		}
		if word != "evidenced" {
			words = append(words, name+": "+word)
		}
	}
	y := float64(rows)*(boxHeight+2) + 8
	label(d, 3, y, figure.After, "grey: evidenced; hatched: recorded, not evidenced; empty: evidence missing")
	alt := fmt.Sprintf("Joints: %d evidenced, %d not evidenced, %d with evidence missing.", count["evidenced"], count["not evidenced"], count["evidence missing"])
	if len(words) > 0 {
		alt += " " + strings.Join(words, "; ") + "."
	}
	return Picture{ID: id, Title: "Joints evidenced or not", Alt: alt, Drawing: d}
}

// Custodian is the known story of one stored part: when it came off, when it was
// seen, when a stock-take missed it.
type Custodian struct {
	What        string
	Off         edtf.Day
	Seen        []edtf.Day
	Missed      []edtf.Day
	SealedSince bool // the last sighting was of an unbroken seal
}

// CustodyPicture is a line for each stored part from the day it came off: a dot
// where somebody had it before them, a cross where a stock-take missed it, and
// nothing drawn in between, since nobody saw it there.
func CustodyPicture(id string, list []Custodian, today edtf.Day) Picture {
	const row = 5.0
	d := figure.New(pictureWidth, float64(len(list))*row+16)
	first := today
	for _, c := range list {
		if !c.Off.IsZero() && c.Off.Compare(first) < 0 {
			first = c.Off
		}
	}
	const left = 62.0
	s := scale{0, float64(max(today.Sub(first), 1)), left, pictureWidth - 12}
	bottom := float64(len(list))*row + 4
	d.Line(s.to, 2, s.to, bottom, dashed)
	var words []string
	for i, c := range list {
		y := 5 + float64(i)*row
		d.Label(left-3, y+0.9, figure.Before, figure.Label{Text: figure.Fit(figure.Regular, 2.5, left-6, c.What), Size: 2.5, Shade: figure.Black})
		if !c.Off.IsZero() {
			x := s.at(float64(c.Off.Sub(first)))
			d.Line(x, y, s.to, y, figure.Paint{Width: 0.15, Edge: figure.Grey, Dash: []float64{0.6, 1.2}})
			d.Line(x, y-1.3, x, y+1.3, thin)
		}
		for _, day := range c.Seen {
			d.Circle(s.at(float64(day.Sub(first))), y, 0.8, black)
		}
		for _, day := range c.Missed {
			x := s.at(float64(day.Sub(first)))
			d.Line(x-1, y-1, x+1, y+1, thin)
			d.Line(x-1, y+1, x+1, y-1, thin)
		}
		words = append(words, custodyWords(c))
	}
	label(d, left, bottom+4, figure.Around, first.String())
	label(d, s.to, bottom+4, figure.Around, today.String())
	label(d, 3, bottom+9, figure.After, "stroke: came off; dot: somebody had it before them; cross: a stock-take did not find it; between them nobody saw it")
	return Picture{ID: id, Title: "Custody of the stored parts", Alt: "Custody of the stored parts. " + strings.Join(words, "; ") + ".", Drawing: d}
}

func custodyWords(c Custodian) string {
	text := c.What + ": off " + dayOrNot(c.Off)
	if n := len(c.Seen); n > 0 {
		text += fmt.Sprintf(", seen %s, last on %s", counted(n, "time", "times"), c.Seen[n-1])
		if c.SealedSince {
			text += " by its unbroken seal"
		}
	} else {
		text += ", not seen since"
	}
	if n := len(c.Missed); n > 0 {
		text += fmt.Sprintf(", missed by a stock-take on %s", c.Missed[n-1])
	}
	return text
}

func dayOrNot(d edtf.Day) string {
	if d.IsZero() {
		return "on a day not recorded"
	}
	return "on " + d.String()
}
