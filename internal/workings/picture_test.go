package workings

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"boltback/internal/figure"
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
	for _, p := range heron(t).MovedPictures(Move{Part: "parts/pack", By: Given("-400 mm")}) {
		all[p.ID] = p
	}
	return all
}

func TestEveryPictureHasASizeAndSaysInWordsWhatItShows(t *testing.T) {
	all := everyPicture(t)
	for _, id := range []string{"picture-axles", "picture-insulation", "picture-joints", "picture-cells-2026-02-11-ines-cells", "picture-custody", "picture-move"} {
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
	says(t, alt, "Cylinder head: off on 2025-09-24, seen 4 times", "Radiator: off on 2025-09-22", "last on 2026-05-26", "by its unbroken seal")
}

// onPaper notes what is written outside a drawing.
type onPaper struct {
	t     *testing.T
	id    string
	width float64
}

func (onPaper) Path(figure.Path, figure.Paint) {}

func (p onPaper) Label(x, _ float64, l figure.Label) {
	if end := x + figure.Width(l.Face, l.Size, l.Text); x < 0 || end > p.width {
		p.t.Errorf("%s: %q goes from %.1f to %.1f mm on %.0f mm", p.id, l.Text, x, end, p.width)
	}
}

func TestNoWordOfAPictureRunsOffThePaper(t *testing.T) {
	for id, p := range everyPicture(t) {
		width, _ := p.Drawing.Size()
		p.Drawing.Paint(onPaper{t, id, width}, 0, 0)
	}
}

func TestAMoveIsDrawnBetweenTheAxlesAboveWhatTheyCarry(t *testing.T) {
	c := heron(t)
	there := c.MovedPictures(Move{Part: "parts/pack", By: Given("400 mm")})[0]
	back := c.MovedPictures(Move{Part: "parts/pack", To: Given("1700 mm")})[0]
	says(t, there.Alt, "worked out, and nothing was moved", "Pack, 230 ±1 kg, from 2100 mm, to 2500 mm behind the front axle", "rear axle: before 598.0 ±2.4 kg, after 637.8 kg, limit 690 kg")
	says(t, back.Alt, "from 2100 mm, to 1700 mm behind the front axle", "rear axle: before 598.0 ±2.4 kg, after 558.2 kg")
	bare := c.MovedPictures(Move{Mass: Given("51 kg"), By: Given("-1.90 m")})[0]
	says(t, bare.Alt, "the mass, 51 kg by 1.90 m forward.")
	if strings.Contains(bare.Alt, "behind the front axle") {
		t.Errorf("a place is claimed for a mass of which nobody said it: %s", bare.Alt)
	}
	if got := c.MovedPictures(Move{Part: "parts/gearbox", To: Given("1 m")}); got != nil {
		t.Errorf("a part without mass is drawn: %s", got[0].Alt)
	}
}

func TestTheHeaviestMassesAreDrawnAndTheOthersCounted(t *testing.T) {
	q := quantity.MustParse
	var shifts []Shift
	for i := range 10 {
		shifts = append(shifts, Shift{What: fmt.Sprint("part ", i), Mass: q(fmt.Sprintf("%d kg", i+1)), To: q("1 m")})
	}
	shifts = append(shifts, Shift{What: "engine", Mass: q("150 kg"), From: q("0.1 m")})
	p := MovePicture("x", "many", q("2.3 m"), shifts, nil)
	says(t, p.Alt, "many. engine, 150 kg off, from 0.1 m behind the front axle; part 9, 10 kg on, to 1 m behind the front axle", "and 3 lighter, not drawn")
	if strings.Contains(p.Alt, "part 2,") {
		t.Error("a light one is drawn")
	}
}

func TestPartsThatMovedSinceTheWeighingAreOneShiftEach(t *testing.T) {
	got := shiftsOf([]Fitted{{"Pack" + fromOldPlace, -1, Given("230 kg"), Given("2 m")}, {"Pack" + toNewPlace, 1, Given("230 kg"), Given("1 m")}, {"Tank", -1, Given("8 kg"), Given("3 m")}, {"Charger", 1, Given("6 kg"), Input{}}})
	if len(got) != 3 || got[0].words() != "Pack, 230 kg, from 2 m, to 1 m behind the front axle" || got[1].words() != "Tank, 8 kg off, from 3 m behind the front axle" || got[2].words() != "Charger, 6 kg, its place is not recorded" {
		t.Errorf("%v", got)
	}
}

func TestWhatMovedSinceTheWeighingIsDrawnAsComputedAndNotAsWeighed(t *testing.T) {
	p := carOf(t, resplit).Pictures(Mass)
	if len(p) != 1 {
		t.Fatalf("%d pictures", len(p))
	}
	says(t, p[0].Alt, "as weighed on 2026-02-01, and with the parts since worked in: computed, not weighed", "Modules, 51 ±0.2 kg, from 400 mm, to 2300 mm behind the front axle",
		"front axle: before 480 kg, after 438.1", "rear axle: before 520 kg, after 561.9", "limit 700 kg")
}

func TestALimitInPoundsIsAlsoSaidInKilograms(t *testing.T) {
	q := quantity.MustParse
	says(t, LoadPicture("x", "loads", []Bar{{"rear", q("806 kg"), q("620 kg"), q("1980 lb")}}).Alt, "limit 1980 lb (898.1 kg)")
}

func TestALongListIsDrawnOnSeveralSheetsThatFitAPage(t *testing.T) {
	c := worked(t, 400) // 100 joints and 100 stored parts
	for subject, want := range map[Subject][]string{
		Joints:  {"Joints evidenced or not, 1 to 80 of 100", "Joints evidenced or not, 81 to 100 of 100"},
		Custody: {"Custody of the stored parts, 1 to 48 of 100", "Custody of the stored parts, 49 to 96 of 100", "Custody of the stored parts, 97 to 100 of 100"},
	} {
		var titles, ids []string
		for _, p := range c.Pictures(subject) {
			titles = append(titles, p.Title)
			ids = append(ids, p.ID)
			if _, height := p.Drawing.Size(); height > 277 {
				t.Errorf("%s is %.0f mm high", p.ID, height)
			}
		}
		if !slices.Equal(titles, want) || len(ids) != len(slices.Compact(slices.Sorted(slices.Values(ids)))) {
			t.Errorf("%q, %q", titles, ids)
		}
	}
}
