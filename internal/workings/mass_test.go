package workings

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/quantity"
)

func TestTheErrorInServiceFollowsTheClassOfTheScale(t *testing.T) {
	for _, c := range []struct {
		name, division, class, load, limit, want string
		pads                                     int64
	}{
		{"class III to 500 divisions", "20 kg", "", "480 kg", "", "20 kg", 2},
		{"class III at 500 divisions", "1 kg", "III", "500 kg", "", "1 kg", 2},
		{"class III above 500 divisions", "1 kg", "III", "501 kg", "", "2 kg", 2},
		{"class III above 2000 divisions", "0.5 kg", "III", "1001 kg", "", "1.5 kg", 2},
		{"class IIII above 50 divisions", "10 kg", "IIII", "900 kg", "", "20 kg", 2},
		{"the maker's figure beats the class", "1 kg", "III", "900 kg", "±0.3", "0.3 kg", 1},
		{"each pad counts", "0.5 kg", "", "900 kg", "each", "2 kg", 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := Weighing{Division: Given(c.division), Class: c.class}
			switch c.limit {
			case "±0.3":
				w.Limit = Given("0.3 kg")
			case "each":
				w.Limit, w.EachPad = Given("0.5 kg"), true
			}
			got, from, ok := w.scaleError(quantity.MustParse(c.load), c.pads)
			if !ok || !got.Equal(quantity.MustParse(c.want)) {
				t.Errorf("%s (%s), want %s", got, from, c.want)
			}
		})
	}
}

func TestAWeighedFigureCarriesScaleErrorAndRounding(t *testing.T) {
	w := ticket("480 kg", "520 kg", "1000 kg", "20 kg")
	in := w.reading(w.Front, 2)
	// a = 20 kg, d = 20 kg: U = 2 √(400/3 + 400/12) = 25.82 kg
	if got := uncertaintyOf(t, in.Value, "kg"); got < 25.81 || got > 25.83 {
		t.Errorf("±%g kg", got)
	}
	stated := Weighing{Division: Given("20 kg")}
	if got := uncertaintyOf(t, stated.reading(Given("480 ±3 kg"), 2).Value, "kg"); got != 3 {
		t.Errorf("a recorded uncertainty is kept: ±%g", got)
	}
}

// The units in which a car is measured do not change what comes out.
func TestUnitsDoNotChangeTheCentreOfGravity(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		front, rear := rapid.IntRange(200, 900).Draw(rt, "front"), rapid.IntRange(200, 900).Draw(rt, "rear")
		base := rapid.IntRange(1800, 3200).Draw(rt, "wheelbase")
		in := func(v int, from, to string) string {
			q, err := quantity.MustParse(fmt.Sprintf("%d %s", v, from)).In(to)
			if err != nil {
				rt.Fatal(err)
			}
			r, _ := q.Rat()
			return r.FloatString(12) + " " + to
		}
		metric := CentreAlong("x", Weighing{Front: Given(fmt.Sprintf("%d kg", front)), Rear: Given(fmt.Sprintf("%d kg", rear))}, Given(fmt.Sprintf("%d mm", base)))
		imperial := CentreAlong("x", Weighing{Front: Given(in(front, "kg", "lb")), Rear: Given(in(rear, "kg", "lb"))}, Given(in(base, "mm", "in")))
		a, errA := metric.Value.Float("mm")
		b, errB := imperial.Value.Float("mm")
		if errA != nil || errB != nil || a-b > 1e-6 || b-a > 1e-6 {
			rt.Fatalf("%g mm and %g mm", a, b)
		}
	})
}

// Whatever comes off and on: the axles together are the total, and what is moved
// keeps it.
func TestMassIsKeptWhenPartsComeAndGo(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := ticket("480 kg", "520 kg", "1000 kg", "1 kg")
		var changes []Fitted
		net := 0
		for i := range rapid.IntRange(1, 8).Draw(rt, "parts") {
			m := rapid.IntRange(1, 60).Draw(rt, "mass")
			sign := rapid.SampledFrom([]int{1, -1}).Draw(rt, "sign")
			x := rapid.IntRange(-500, 3500).Draw(rt, "place")
			net += sign * m
			changes = append(changes, Fitted{fmt.Sprint("part ", i), sign, Given(fmt.Sprintf("%d kg", m)), Given(fmt.Sprintf("%d mm", x))})
		}
		p := PredictedLoads("x", w, Given("2311 mm"), changes, nil)
		front, _ := p.Result("l_F")
		rear, _ := p.Result("l_R")
		f, _ := front.Float("kg")
		r, _ := rear.Float("kg")
		if got, want := f+r, float64(1000+net); got < want-1e-6 || got > want+1e-6 {
			rt.Fatalf("%g kg, want %g kg", got, want)
		}
	})
}

// A mass moved and moved back leaves nothing behind.
func TestAMassMovedBackUndoesItself(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, e := rapid.IntRange(1, 300).Draw(rt, "mass"), rapid.IntRange(1, 3000).Draw(rt, "distance")
		there := MoveMass("x", "m", Given(fmt.Sprintf("%d kg", m)), Given(fmt.Sprintf("%d mm", e)), Given("2311 mm"))
		back := MoveMass("x", "m", Given(fmt.Sprintf("%d kg", m)), Given(fmt.Sprintf("-%d mm", e)), Given("2311 mm"))
		sum, err := quantity.Add(there.Value, back.Value)
		if v, ok := sum.Rat(); err != nil || !ok || v.Sign() != 0 {
			rt.Fatalf("%s and %s", there.Value, back.Value)
		}
	})
}

// Taking parts out one by one or all at once ends at the same centre.
func TestTheCentreOnTheLiftDoesNotDependOnTheOrder(t *testing.T) {
	a, b := LiftStep{"a", Given("160 kg"), Given("0.10 m")}, LiftStep{"b", Given("60 kg"), Given("2.7 m")}
	one := CentreOnLift("x", Given("900 kg"), Given("1.15 m"), []LiftStep{a, b})
	two := CentreOnLift("x", Given("900 kg"), Given("1.15 m"), []LiftStep{b, a})
	x, _ := one.Result("x′2")
	y, _ := two.Result("x′2")
	if !x.Equal(y) {
		t.Errorf("%s and %s", x, y)
	}
}

func TestOccupantsLoadTheAxlesByMomentsInTheMarketsMass(t *testing.T) {
	rows := []SeatRow{{2, Given("1155.5 mm")}, {2, Given("2311 mm")}}
	w := Weighing{Name: "w", Front: Given("432 kg"), Rear: Given("469 kg"), Condition: "kerb", Driver: "not aboard"}
	for _, c := range []struct {
		market      string
		front, rear float64
	}{
		{"GB", 432 + 75, 469 + 75 + 150},
		{"AU", 432 + 81.6, 469 + 81.6 + 163.2},
		{"NZ", 432 + 80, 469 + 80 + 160},
		{"US", 432 + 150*0.45359237, 469 + 3*150*0.45359237},
	} {
		got := LadenAxles("x", w, Given("2311 mm"), rows, OccupantsOf(c.market))
		about(t, lineOf(t, got, "l_F"), c.front, "kg", 0.06)
		about(t, lineOf(t, got, "l_R"), c.rear, "kg", 0.06)
	}
	w.Driver = "aboard"
	got := LadenAxles("x", w, Given("2311 mm"), rows, OccupantsOf("GB"))
	about(t, lineOf(t, got, "l"), 901+3*75, "kg", 0.1)
	says(t, strings.Join(got.Assumptions, " "), "the driver was aboard at the weighing")
	says(t, got.Sources[1].String(), "recalled")
}

func TestTheChangeOfAnAxleIsShownInSharePointsAndRelative(t *testing.T) {
	before, after := ticket("500 kg", "500 kg", "1000 kg", "1 kg"), ticket("440 kg", "560 kg", "1000 kg", "1 kg")
	w := MassChange("x", before, after)
	about(t, lineOf(t, w, "D_p"), -6, "%", 0.01)
	about(t, lineOf(t, w, "D_F_rel"), -12, "%", 0.01)
	about(t, lineOf(t, w, "D_R_rel"), 12, "%", 0.01)
	says(t, strings.Join(w.Notes, " "), "the rule decides which it means")
}

func TestNoHeavierThanFoundNeedsAChangeBeyondTheDoubtOfTheScales(t *testing.T) {
	const wording = "the wording “no heavier than found”"
	for _, c := range []struct {
		after string
		want  Outcome
	}{{"950 kg", Met}, {"999 kg", TooClose}, {"1001 kg", TooClose}, {"1050 kg", NotMet}} {
		w := MassChange("x", ticket("480 kg", "520 kg", "1000 kg", "1 kg"), ticket("480 kg", "520 kg", c.after, "1 kg"))
		outcome(t, w, wording, c.want)
	}
}

func TestWhatIsNotRecordedIsADifferenceToo(t *testing.T) {
	before, after := ticket("1 kg", "1 kg", "2 kg", "1 kg"), ticket("1 kg", "1 kg", "2 kg", "1 kg")
	after.Fuel = ""
	says(t, outcome(t, MassChange("x", before, after), "the two weighings", NotComparable).Reason, "fuel not recorded (full tank, then not recorded)")
	after.Fuel, after.Ballast = before.Fuel, "two sandbags"
	says(t, outcome(t, MassChange("x", before, after), "the two weighings", NotComparable).Reason, "two sandbags")
}

func TestTyresCarryTwiceTheirLoadIndex(t *testing.T) {
	for index, want := range map[int64]int{60: 250, 75: 387, 82: 475, 91: 615, 100: 800, 121: 1450} {
		if got, ok := LoadOfIndex(index); !ok || got != want {
			t.Errorf("index %d: %d kg, want %d", index, got, want)
		}
	}
	if _, ok := LoadOfIndex(59); ok {
		t.Error("59 has no entry")
	}
	if _, ok := LoadOfIndex(122); ok {
		t.Error("122 has no entry")
	}
	w := TyreLoad("x", "rear axle", Given("812 ±2 kg"), Tyre{LoadIndex: 75})
	about(t, w.Value, 774, "kg", 0)
	outcome(t, w, "load of the rear axle", NotMet)
	cross := TyreLoad("x", "front axle", Given("400 kg"), Tyre{Size: "5.60-15", Construction: "cross-ply"})
	says(t, cross.Answer, "cross-ply", "5.60-15 has no load index")
	outcome(t, cross, "tyres of the front axle", EvidenceMissing)
}

func TestTheSpeedSymbolCoversTheTopSpeed(t *testing.T) {
	top := Given("84 mph") // 135.2 km/h
	outcome(t, TyreSpeed("x", top, Tyre{SpeedSymbol: "N"}), "top speed", Met)
	outcome(t, TyreSpeed("x", top, Tyre{SpeedSymbol: "M"}), "top speed", NotMet)
	if w := TyreSpeed("x", top, Tyre{}); w.Computed() {
		t.Error(w.Answer)
	}
}

func TestTheCentreAcrossFollowsTheHeavierSide(t *testing.T) {
	w := Weighing{Corners: [4]Input{Given("210 kg"), Given("220 kg"), Given("230 kg"), Given("240 kg")}}
	got := CentreAcross("x", w, Given("1260 mm"), Given("1250 mm"))
	about(t, got.Value, (10*630.0+10*625.0)/900, "mm", 0.001)
	about(t, lineOf(t, got, "k"), 50, "%", 0.001)
}

func TestScalesThatDisagreeWithThePartsAreAContradiction(t *testing.T) {
	before := ticket("480 kg", "520 kg", "1000 kg", "1 kg")
	after := ticket("480 kg", "560 kg", "1040 kg", "1 kg")
	w := PredictedLoads("x", before, Given("2311 mm"), []Fitted{{"box", 1, Given("20 ±0.5 kg"), Given("2311 mm")}}, &after)
	says(t, outcome(t, w, "total, measured against predicted", Contradiction).Reason, "not recorded")
	outcome(t, w, "front axle, measured against predicted", Met)
}
