package workings

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/quantity"
)

// otherUnit gives for a dimension another unit with a factor that decimal
// fractions hold, so that a value can be written in it without rounding.
var otherUnit = map[quantity.Dimension][]string{
	quantity.Mass: {"g", "kg"}, quantity.Length: {"mm", "m", "km"}, quantity.Area: {"mm²", "m²"}, quantity.Voltage: {"mV", "V", "kV"}, quantity.Current: {"mA", "A"},
	quantity.Resistance: {"Ω", "kΩ", "MΩ"}, quantity.Capacitance: {"µF", "F"}, quantity.Duration: {"ms", "s"}, quantity.Energy: {"Wh", "kWh", "J"}, quantity.Force: {"N", "kN"},
	quantity.Torque: {"N.m"}, quantity.Power: {"W", "kW"}, quantity.Pressure: {"kPa", "MPa"}, quantity.Ratio: {"%", ":1"}, quantity.Acceleration: {"m/s²"}, quantity.Charge: {"A.s"},
}

// inAnother writes a text that is a point in another unit of its dimension.
func inAnother(t *rapid.T, text string) string {
	q, err := quantity.Parse(text)
	if err != nil || !q.IsPoint() {
		return text
	}
	units := otherUnit[q.Dimension()]
	if len(units) == 0 {
		return text
	}
	same, err := q.In(rapid.SampledFrom(units).Draw(t, text))
	if err != nil {
		t.Fatal(err)
	}
	v, ok := same.Rat()
	digits, finite := v.FloatPrec()
	if !ok || !finite || digits > 14 {
		return text
	}
	number := v.FloatString(digits)
	for _, gap := range []string{" ", ""} {
		if r, err := quantity.Parse(number + gap + same.Unit()); err == nil && r.Equal(q) {
			return number + gap + same.Unit()
		}
	}
	return text
}

// inAnyUnits holds for each sum that takes quantities a way to make it, with in for
// every value: the units of what goes in are then free.
var inAnyUnits = map[string]func(in func(string) Input) Working{
	"AfterMove": func(in func(string) Input) Working {
		return AfterMove("x", Weighing{Front: in("480 kg"), Rear: in("520 kg")}, "as it stood", in("42 kg"))
	},
	"Bonding": func(in func(string) Input) Working {
		return Bonding("x", BondingReading{Name: "case", Value: in("0.08 Ω"), Current: in("0.5 A"), Resolution: in("0.001 Ω")})
	},
	"Brake": func(in func(string) Input) Working {
		return Brake("x", BrakeTest{Wheels: [4]Wheel{{"a", in("1.72 kN"), ""}, {"b", in("1.60 kN"), ""}, {"c", in("1.1 kN"), ""}, {"d", in("0.9 kN"), ""}}, MassUsed: in("900 kg"), Weighed: in("1000 kg")})
	},
	"Bridged": func(in func(string) Input) Working { return Bridged("x", in("0.5 MΩ"), in("5 MΩ")) },
	"ByVoltmeter": func(in func(string) Input) Working {
		return ByVoltmeter("x", VoltmeterReading{Pack: in("360 V"), Higher: in("200 V"), Lower: in("160 V"), WithResistor: in("120 V"), Resistor: in("180 kΩ"), MeterResistance: in("10 MΩ"), Working: in("403.2 V"), RatedForLive: "yes"})
	},
	"CellSurvey": func(in func(string) Input) Working {
		return CellSurvey("x", Survey{Readings: []CellReading{{"a", in("3.61 V")}, {"b", in("3.52 V")}}, State: "at rest"})
	},
	"CentreAcross": func(in func(string) Input) Working {
		return CentreAcross("x", Weighing{Corners: [4]Input{in("210 kg"), in("220 kg"), in("230 kg"), in("240 kg")}}, in("1260 mm"), in("1250 mm"))
	},
	"CentreAlong": func(in func(string) Input) Working {
		return CentreAlong("x", Weighing{Front: in("480 kg"), Rear: in("520 kg")}, in("2310 mm"))
	},
	"CentreOnLift": func(in func(string) Input) Working {
		return CentreOnLift("x", in("900 kg"), in("1.15 m"), []LiftStep{{"engine", in("160 kg"), in("0.10 m")}})
	},
	"ChargingLoss": func(in func(string) Input) Working {
		return ChargingLoss("x", Charge{Wall: in("31.4 kWh"), Pack: in("27.6 kWh")})
	},
	"Consumption": func(in func(string) Input) Working {
		return Consumption("x", []Run{{Name: "run", Distance: in("96 km"), Energy: in("13.2 kWh"), ChargeBefore: in("100 %"), ChargeAfter: in("36 %"), Weather: "dry", Conditions: "mixed roads", Sign: "positive is discharge"}}, in("19 kWh"))
	},
	"DCDCBudget": func(in func(string) Input) Working {
		return DCDCBudget("x", Circuit{Consumers: []Consumer{{"lamps", in("12 A"), true}, {"heater fan", in("8.5 A"), true}}, Source: in("40 A")})
	},
	"EnergyTotals": func(in func(string) Input) Working {
		return EnergyTotals("x", []EnergyLog{{"log", "positive is charge", []Input{in("1 kWh"), in("2.5 kWh")}}})
	},
	"FuseCheck": func(in func(string) Input) Working {
		return FuseCheck("x", Circuit{Load: in("165 A"), Fuse: in("200 A"), Carries: in("220 A"), FuseVoltage: in("500 V"), Charged: in("400 V"), Empty: in("288 V"), PackNew: in("0.08 Ω"), PackWorst: in("0.3 Ω"), Wiring: in("0.02 Ω"), FuseBreaks: in("20000 A"), FuseFrom: in("1000 A")})
	},
	"InputTorque": func(in func(string) Input) Working {
		return InputTorque("x", in("110 N.m"), in("120 N.m"), in("111 N.m"))
	},
	"Isolation": func(in func(string) Input) Working {
		return Isolation("x", InsulationReading{Plus: in("120 kΩ"), Minus: in("95 kΩ"), Circuit: "joined", State: "dead", TestVoltage: in("500 V"), Working: in("360 V")})
	},
	"Joined": func(in func(string) Input) Working {
		return Joined("x", []Side{{"a", in("300 kΩ")}, {"b", in("600 kΩ")}, {"c", in("1.2 MΩ")}}, in("400 V"), "")
	},
	"JoinedSides": func(in func(string) Input) Working {
		return JoinedSides("x", in("300 kΩ"), in("300 kΩ"), in("400 V"), "")
	},
	"JointTightened": func(in func(string) Input) Working {
		one := tightened("90 lbf.in", "10.2 N.m")
		one.Tolerance, one.Set = in("10 %"), in("10.2 N.m")
		return JointTightened("x", one)
	},
	"LadenAxles": func(in func(string) Input) Working {
		return LadenAxles("x", Weighing{Name: "ticket", Front: in("432 kg"), Rear: in("469 kg"), Condition: "kerb", Driver: "not aboard"}, in("2311 mm"), []SeatRow{{2, in("1155.5 mm")}, {2, in("2311 mm")}}, OccupantsOf("GB"))
	},
	"MassChange": func(in func(string) Input) Working {
		before, after := ticket("", "", "", ""), ticket("", "", "", "")
		before.Front, before.Rear, before.Total, before.Division = in("480 kg"), in("520 kg"), in("1000 kg"), in("1 kg")
		after.Front, after.Rear, after.Total, after.Division = in("440 kg"), in("590 kg"), in("1030 kg"), in("1 kg")
		return MassChange("x", before, after)
	},
	"MoveBetween": func(in func(string) Input) Working {
		return MoveBetween("x", "m", in("51 kg"), in("0.4 m"), in("2.3 m"), in("2310 mm"))
	},
	"MoveMass": func(in func(string) Input) Working {
		return MoveMass("x", "m", in("51 kg"), in("1.90 m"), in("2310 mm"))
	},
	"PackOf": func(in func(string) Input) Working {
		return PackOf("x", PackCells{Series: 96, Parallel: 2, Nominal: in("3.65 V"), Charged: in("4.2 V"), Empty: in("3.0 V"), Capacity: in("50 Ah"), Mass: in("245 kg")})
	},
	"PercentageChange": func(in func(string) Input) Working {
		return PercentageChange("x", "kerb", in("980 kg"), in("1100 kg"), "kerb", "kerb", in("20 %"), Source{"a rule", Habit})
	},
	"PowerRatio": func(in func(string) Input) Working {
		return PowerRatio("x", PowerFigure{"motor", "30-minute", in("46 kW")}, []PowerFigure{{"engine", "net", in("66.2 kW")}}, in("65 %"), in("100 %"), Source{"a rule", Habit})
	},
	"PreChargeCurve": func(in func(string) Input) Working {
		return PreChargeCurve("x", PreCharge{Voltage: in("350 V"), Resistance: in("50 Ω"), Capacitance: in("1000 µF"), Time: in("150 ms"), ContactorVoltage: in("20 V"), ResistorEnergy: in("200 J"), Retries: 3})
	},
	"PredictedLoads": func(in func(string) Input) Working {
		w := ticket("", "", "", "")
		w.Front, w.Rear, w.Division = in("480 kg"), in("520 kg"), in("1 kg")
		return PredictedLoads("x", w, in("2310 mm"), []Fitted{{"box", 1, in("65 kg"), in("2760 mm")}, {"engine", -1, in("131 kg"), in("70 mm")}}, nil)
	},
	"Preload": func(in func(string) Input) Working {
		return Preload("x", in("25 N.m"), Fastener{Size: "M8 x 1.25 x 20", Class: "8.8"})
	},
	"ProvedDead": func(in func(string) Input) Working {
		return ProvedDead("x", DeadReading{BetweenPoles: in("0.4 V"), PlusToChassis: in("0.1 V"), MinusToChassis: in("61 V"), Before: in("12.6 V"), After: in("12.6 V"), RatedForLive: "yes"})
	},
	"RatedEnergy": func(in func(string) Input) Working {
		return RatedEnergy("x", "box", in("175.2 V"), in("60 Ah"), in("10.5 kWh"), []Side{{"box", in("62.6 kg")}})
	},
	"Reserve":  func(in func(string) Input) Working { return Reserve("x", "front axle", in("432 kg"), in("590 kg")) },
	"Residual": func(in func(string) Input) Working { return Residual("x", in("9.6 V"), in("352.1 V"), in("20 V")) },
	"RestraintIn": func(in func(string) Input) Working {
		return RestraintIn("x", Mount{Mass: in("200 kg"), Bolts: 4, Size: "M8 x 1.25 x 25", Class: "8.8", Thickness: in("1.0 mm"), Strength: in("270 MPa"), Condition: "sound"}, DirectionsUN()[0])
	},
	"Sections": func(in func(string) Input) Working {
		return Sections("x", []Section{{"front", in("201.6 V")}, {"rear", in("48 V")}}, in("249.6 V"))
	},
	"TicketSum": func(in func(string) Input) Working {
		w := ticket("", "", "", "")
		w.Front, w.Rear, w.Total, w.Division = in("480 kg"), in("520 kg"), in("1020 kg"), in("20 kg")
		return TicketSum("x", w)
	},
	"TicketToday": func(in func(string) Input) Working {
		return TicketToday("x", ticket("480 kg", "520 kg", "1000 kg", "1 kg"), []MassEvent{{What: "modules", Mass: in("51 kg"), From: in("0.4 m"), To: in("2.3 m")}}, in("2310 mm"), nil)
	},
	"Toe": func(in func(string) Input) Working { return Toe("x", in("1.6 mm"), in("356 mm")) },
	"Trend": func(in func(string) Input) Working {
		cold, hot := dead("", "", ""), dead("", "", "")
		cold.Bridged, hot.Bridged, cold.Temperature, hot.Temperature = in("200 MΩ"), in("40 MΩ"), Given("20 °C"), Given("45 °C")
		return Trend("x", []InsulationReading{cold, hot}, true)
	},
	"TyreLoad": func(in func(string) Input) Working {
		return TyreLoad("x", "rear axle", in("812 kg"), Tyre{Load: in("400 kg")})
	},
	"TyreSpeed": func(in func(string) Input) Working { return TyreSpeed("x", in("135 km/h"), Tyre{SpeedSymbol: "N"}) },
	"VoltageDrop": func(in func(string) Input) Working {
		return VoltageDrop("x", Circuit{Length: in("5 m"), Conductor: in("16 mm²"), Load: in("50 A"), Voltage: in("14.2 V"), Temperature: Given("70 °C")})
	},
	"WaitingTime": func(in func(string) Input) Working { return WaitingTime("x", in("400 V"), in("10 µF"), in("100 kΩ")) },
}

// Whatever units a figure was read in, every line and every verdict is the same.
func TestTheUnitsOfWhatGoesInChangeNothing(t *testing.T) {
	for name, sum := range inAnyUnits {
		t.Run(name, func(t *testing.T) {
			plain := sum(Given)
			if !plain.Computed() || len(plain.Steps) == 0 && len(plain.Verdicts) == 0 {
				t.Fatalf("the case computes nothing: %s", plain.Answer)
			}
			rapid.Check(t, func(rt *rapid.T) {
				other := sum(func(text string) Input { return Given(inAnother(rt, text)) })
				if problem := unlike(plain, other); problem != "" {
					rt.Fatal(problem)
				}
			})
		})
	}
}

// unlike says where two workings differ by more than the units they are shown in.
func unlike(a, b Working) string {
	if a.Computed() != b.Computed() || len(a.Verdicts) != len(b.Verdicts) {
		return fmt.Sprintf("%s\n%s", a.Answer, b.Answer)
	}
	if !sameAmount(a.Value, b.Value) {
		return fmt.Sprintf("%s is not %s", a.Value, b.Value)
	}
	for symbol, q := range a.values {
		if !sameAmount(q, b.values[symbol]) {
			return fmt.Sprintf("%s: %s is not %s", symbol, q, b.values[symbol])
		}
	}
	for i, v := range a.Verdicts {
		if !strings.HasPrefix(v.Of, "torque") && v.Outcome != b.Verdicts[i].Outcome {
			return fmt.Sprintf("%s: %s and %s", v.Of, v.Outcome, b.Verdicts[i].Outcome)
		}
	}
	return ""
}

func sameAmount(a, b quantity.Quantity) bool {
	x, err1 := amountOf(a)
	y, err2 := amountOf(b)
	if err1 != nil || err2 != nil {
		return a.IsZero() == b.IsZero()
	}
	if x.dims != y.dims || a.Bound() != b.Bound() {
		return false
	}
	gap := new(big.Rat).Sub(x.v, y.v)
	size := new(big.Rat).Abs(x.v)
	return gap.Abs(gap).Cmp(size.Mul(size, big.NewRat(1, 1_000_000_000))) <= 0
}
