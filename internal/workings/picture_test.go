package workings

import (
	"regexp"
	"strings"
	"testing"

	"boltback/internal/quantity"
)

// everyPicture is the set of pictures of the sample car.
func everyPicture(t *testing.T) map[string]Picture {
	c := sampleCar(t)
	all := map[string]Picture{}
	for _, subject := range Subjects() {
		for _, p := range c.Pictures(subject) {
			if _, twice := all[p.ID]; twice {
				t.Errorf("two pictures are called %s", p.ID)
			}
			all[p.ID] = p
		}
	}
	return all
}

func TestEveryPictureHasASizeAndSaysInWordsWhatItShows(t *testing.T) {
	all := everyPicture(t)
	for _, id := range []string{"picture-axles", "picture-insulation", "picture-joints", "picture-cells-2026-02-11-ines-cells", "picture-custody"} {
		p, ok := all[id]
		if !ok {
			t.Errorf("no %s", id)
			continue
		}
		width, height := p.Drawing.Size()
		if width <= 0 || height <= 0 || width > 190 || height > 277 {
			t.Errorf("%s is %g by %g mm", id, width, height)
		}
		if len(p.Alt) < 40 || !strings.HasSuffix(p.Alt, ".") || p.Title == "" {
			t.Errorf("%s: %q", id, p.Alt)
		}
		if svg := p.Drawing.SVG(); !strings.HasPrefix(svg, "<svg") || strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
			t.Errorf("%s is no sound drawing", id)
		}
	}
}

func TestPicturesHaveNoColour(t *testing.T) {
	for id, p := range everyPicture(t) {
		for _, m := range colour.FindAllStringSubmatch(p.Drawing.SVG(), -1) {
			if hex := m[1]; hex[0:2] != hex[2:4] || hex[2:4] != hex[4:6] {
				t.Errorf("%s paints in #%s", id, hex)
			}
		}
	}
}

var colour = regexp.MustCompile(`"#([0-9a-f]{6})"`)

func TestTheLoadPictureNamesBeforeAfterAndLimit(t *testing.T) {
	q := quantity.MustParse
	p := LoadPicture("x", "loads", []Bar{{"front", q("473 kg"), q("432 kg"), q("590 kg")}, {"rear", q("393 kg"), q("469 kg"), quantity.Quantity{}}})
	says(t, p.Alt, "front: before 473 kg, after 432 kg, limit 590 kg", "rear: before 393 kg, after 469 kg, limit not recorded")
}

func TestABoundIsDrawnAsAnArrowAndNotAsADot(t *testing.T) {
	at := func(r InsulationReading, on string) InsulationReading { r.On = on; return r }
	point := InsulationPicture("x", "one", []InsulationReading{at(dead("", "", "38 MΩ"), "2026-03-05")})
	bound := InsulationPicture("x", "one", []InsulationReading{at(dead("", "", ">38 MΩ"), "2026-03-05")})
	if point.Drawing.SVG() == bound.Drawing.SVG() {
		t.Error("a bound looks like a point")
	}
	says(t, bound.Alt, "2026-03-05 test, >38 MΩ")
	says(t, InsulationPicture("x", "none", nil).Alt, "No reading with a day and a number")
	says(t, InsulationPicture("x", "slip", []InsulationReading{at(dead("1.2 mΩ", "4 MΩ", ""), "2026-03-05"), dead("", "", "4 MΩ")}).Alt,
		"Not drawn: 1.2 mΩ of 2026-03-05, which is no figure of insulation; 4 MΩ of not recorded")
}

func TestARefusedCellIsCountedAndNotScaled(t *testing.T) {
	p := CellPicture("x", Survey{Name: "s", Readings: []CellReading{{"a", Given("3.61 V")}, {"b", Given("65.535 V")}, {"c", Given("3.60 V")}}})
	says(t, p.Alt, "2 readings from 3.600 V to 3.610 V, 1 refused")
	says(t, CellPicture("x", Survey{Name: "s"}).Alt, "No reading that can be of a cell")
}

func TestAJointIsInTheStripByItsEvidence(t *testing.T) {
	feel := Tightening{Joint: "inlet", Method: "by feel"}
	p := JointPicture("x", []Working{JointTightened("a", tightened("20 N.m", "20 N.m")), JointTightened("b", feel), JointTightened("c", Tightening{Joint: "lid"})})
	says(t, p.Alt, "1 evidenced, 1 not evidenced, 1 with evidence missing", "inlet: not evidenced", "lid: evidence missing")
}

func TestTheCustodyPictureSaysWhenAPartWasLastSeen(t *testing.T) {
	alt := everyPicture(t)["picture-custody"].Alt
	says(t, alt, "Radiator: off on 2025-09-22", "last on 2026-05-26", "by its unbroken seal")
}
