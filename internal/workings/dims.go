package workings

import (
	"fmt"
	"math/big"
	"strings"

	"boltback/internal/quantity"
)

// dims are the exponents of the base units kg, m, s, A, K and degree.
type dims [6]int8

// coherent gives for each dimension of the trade its base units and the unit in
// which one of them is 1.
var coherent = map[quantity.Dimension]struct {
	unit string
	dims dims
}{
	quantity.Mass:                  {"kg", dims{1}},
	quantity.Length:                {"m", dims{0, 1}},
	quantity.Area:                  {"m²", dims{0, 2}},
	quantity.Volume:                {"m³", dims{0, 3}},
	quantity.Angle:                 {"°", dims{5: 1}},
	quantity.Duration:              {"s", dims{0, 0, 1}},
	quantity.Speed:                 {"m/s", dims{0, 1, -1}},
	quantity.Acceleration:          {"m/s²", dims{0, 1, -2}},
	quantity.Force:                 {"N", dims{1, 1, -2}},
	quantity.Torque:                {"N.m", dims{1, 2, -2}},
	quantity.Pressure:              {"Pa", dims{1, -1, -2}},
	quantity.Voltage:               {"V", dims{1, 2, -3, -1}},
	quantity.Current:               {"A", dims{0, 0, 0, 1}},
	quantity.Resistance:            {"Ω", dims{1, 2, -3, -2}},
	quantity.ResistancePerVoltage:  {"Ω/V", dims{0, 0, 0, -1}},
	quantity.Capacitance:           {"F", dims{-1, -2, 4, 2}},
	quantity.Charge:                {"A.s", dims{0, 0, 1, 1}},
	quantity.Energy:                {"J", dims{1, 2, -2}},
	quantity.Power:                 {"W", dims{1, 2, -3}},
	quantity.Temperature:           {"°C", dims{4: 1}},
	quantity.TemperatureDifference: {"K", dims{4: 1}},
	quantity.Ratio:                 {":1", dims{}},
	quantity.Count:                 {"", dims{}},
	quantity.Frequency:             {"Hz", dims{0, 0, -1}},
	quantity.RotationalSpeed:       {"r/s", dims{0, 0, -1}},
	quantity.EnergyPerDistance:     {"J/m", dims{1, 1, -2}},
	quantity.DistancePerEnergy:     {"m/J", dims{-1, -1, 2}},
	quantity.DistancePerVolume:     {"m/m³", dims{0, -2}},
	quantity.VolumePerDistance:     {"m³/m", dims{0, 2}},
	quantity.EnergyPerMass:         {"J/kg", dims{0, 2, -2}},
	quantity.EnergyPerVolume:       {"J/m³", dims{1, -1, -2}},
	quantity.MassPerEnergy:         {"kg/J", dims{0, -2, 2}},
	quantity.MassPerDistance:       {"kg/m", dims{1, -1}},
	quantity.PowerPerMass:          {"W/kg", dims{0, 2, -3}},
	quantity.ForcePerLength:        {"N/m", dims{1, 0, -2}},
	quantity.MassMoment:            {"kg.m", dims{1, 1}},
	quantity.Density:               {"kg/m³", dims{1, -3}},
}

// amount is a number in coherent units with its dimensions.
type amount struct {
	v    *big.Rat
	dims dims
}

// String names the dimensions in base units, for messages.
func (d dims) String() string {
	var parts []string
	for i, name := range []string{"kg", "m", "s", "A", "K", "°"} {
		switch {
		case d[i] == 1:
			parts = append(parts, name)
		case d[i] != 0:
			parts = append(parts, fmt.Sprintf("%s^%d", name, d[i]))
		}
	}
	if parts == nil {
		return "a plain number"
	}
	return strings.Join(parts, ".")
}

// amountOf is the number of a quantity in coherent units. A bound gives the
// number written; over-range and nothing are an error.
func amountOf(q quantity.Quantity) (amount, error) {
	c, ok := coherent[q.Dimension()]
	if !ok {
		return amount{}, &quantity.NotAPoint{Quantity: q}
	}
	inUnit, err := q.In(c.unit)
	if err != nil {
		return amount{}, err
	}
	v, ok := inUnit.Rat()
	if !ok {
		return amount{}, &quantity.NotAPoint{Quantity: q}
	}
	return amount{v, c.dims}, nil
}

// quantityOf turns an amount into a quantity of a unit. An amount of other
// dimensions than the unit's is an error.
func quantityOf(a amount, unit string) (quantity.Quantity, error) {
	one, err := quantity.New(big.NewRat(1, 1), unit)
	if err != nil {
		return quantity.Quantity{}, err
	}
	c := coherent[one.Dimension()]
	if c.dims != a.dims {
		return quantity.Quantity{}, fmt.Errorf("the result is %s and cannot be given in %s", a.dims, unit)
	}
	q, err := quantity.New(a.v, c.unit)
	if err != nil {
		return quantity.Quantity{}, err
	}
	return q.In(unit)
}
