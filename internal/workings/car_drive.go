package workings

import (
	"regexp"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/quantity"
)

// brakes gives the workings of brake tests and of toe.
func (c *Car) brakes() []Working {
	var list []Working
	weighings := c.weighings()
	for _, r := range c.readings("brake-test") {
		list = append(list, Brake(short(r.ID), c.brakeTest(r, weighings)))
	}
	if len(list) == 0 {
		s := begin(Brakes, "brakes", "Brake test")
		s.missing("a brake test")
		list = append(list, s.done())
	}
	for _, r := range c.readings("alignment") {
		for i, v := range r.Body.Values {
			if strings.Contains(strings.ToLower(v.Of), "toe") {
				in := Recorded(r.Record, canon.ElementPointer("/values", i)+"/value", v.Value)
				w := Toe(short(r.ID), in, diameterIn(v.Of))
				w.Title = "Toe: " + r.Name()
				list = append(list, w)
			}
		}
	}
	return list
}

var atDiameter = regexp.MustCompile(`at ([0-9.]+ (?:mm|in))`)

// diameterIn finds "at 356 mm" in the words of a toe reading.
func diameterIn(of string) Input {
	if m := atDiameter.FindStringSubmatch(of); m != nil {
		return Given(m[1])
	}
	return Input{}
}

// brakeTest takes a test, and the mass that was last weighed by its day.
func (c *Car) brakeTest(r reading, weighings []weighed) BrakeTest {
	b := BrakeTest{Name: r.Name(), MassUsed: taken(r, "mass used"), Efficiency: taken(r, "efficiency", "efficiency, printed"),
		ImbalanceFront: taken(r, "imbalance front", "imbalance front, printed"), ImbalanceRear: taken(r, "imbalance rear", "imbalance rear, printed")}
	accuracy, top, _ := c.instrument(r.Body.Instrument)
	for i, name := range []string{"front left", "front right", "rear left", "rear right"} {
		b.Wheels[i] = Wheel{Name: name, Force: Measured(taken(r, name), accuracy, top)}
		for _, v := range r.Body.Values {
			if strings.EqualFold(v.Of, name) {
				b.Wheels[i].Locked = v.Locked
			}
		}
	}
	for _, w := range weighings {
		order := edtf.Compare(dateOf(w.Body.On).Calendar(), dateOf(r.Body.On).Calendar())
		if (order == edtf.Before || order == edtf.Equal) && !w.w.hearsay() && w.w.Total.Text != "" {
			b.Weighed, b.WeighedBy = w.w.reading(w.w.Total, 4), w.w.Name+", "+w.w.conditions()
		}
	}
	return b
}

// distance gives the odometer series.
func (c *Car) distance() []Working { return []Working{OdometerSeries("series", c.odometer())} }

// odometer lists the readings of the odometer by day.
func (c *Car) odometer() []OdometerReading {
	var list []OdometerReading
	for _, r := range c.readings("distance") {
		in := takenLike(r, "odometer")
		if in.Text == "" && len(r.Body.Values) > 0 {
			in = Recorded(r.Record, "/values/0/value", r.Body.Values[0].Value)
		}
		one := OdometerReading{On: string(r.Body.On), Value: in, Counts: r.Body.Counts, Digits: r.Body.Digits}
		if unit := in.Value.Unit(); one.Counts == "" && (unit == "km" || unit == "mi") {
			one.Counts = unit
		}
		list = append(list, one)
	}
	return list
}

// driving gives consumption, range and charging.
func (c *Car) driving() []Working {
	var runs []Run
	for _, r := range c.readings("road-run") {
		run := Run{Name: r.Name() + ", " + string(r.Body.On), Distance: taken(r, "distance"), Energy: taken(r, "energy from the pack"),
			ChargeBefore: taken(r, "state of charge at the start"), ChargeAfter: taken(r, "state of charge at the end"), Conditions: r.Body.Note, Sign: r.Body.Sign}
		if a := r.Body.Surroundings; a != nil {
			run.Weather, run.Temperature = a.Weather, measure(r.Record, "/surroundings/temperature", a.Temperature)
		}
		runs = append(runs, run)
	}
	list := []Working{Consumption("runs", runs, c.carRating("energy", "continuous"))}
	if logs := c.logs(); len(logs) > 0 {
		list = append(list, EnergyTotals("logs", logs))
	}
	for _, r := range c.readings("charging") {
		list = append(list, ChargingLoss(short(r.ID), Charge{r.Name(), taken(r, "energy from the wall"), taken(r, "energy into the pack"), dateOf(r.Body.On)}))
	}
	return list
}

// logs groups the energies of readings that state a sign by how they were
// logged and which way is positive.
func (c *Car) logs() []EnergyLog {
	var list []EnergyLog
	for _, what := range []string{"road-run", "charging"} {
		for _, r := range c.readings(what) {
			if r.Body.Sign == "" {
				continue
			}
			for i, v := range r.Body.Values {
				in := Recorded(r.Record, canon.ElementPointer("/values", i)+"/value", v.Value)
				if in.Value.Dimension() == quantity.Energy {
					list = appendLog(list, orNot(r.Body.Method), r.Body.Sign, in)
				}
			}
		}
	}
	return list
}

func appendLog(list []EnergyLog, name, sign string, in Input) []EnergyLog {
	for i := range list {
		if list[i].Name == name && list[i].Sign == sign {
			list[i].Energies = append(list[i].Energies, in)
			return list
		}
	}
	return append(list, EnergyLog{name, sign, []Input{in}})
}
