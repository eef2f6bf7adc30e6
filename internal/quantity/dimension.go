package quantity

import "slices"

// Dimension is what kind of thing a quantity measures. Quantities of different
// dimensions cannot be compared, added or converted into each other. Its string
// is the name used in schemas: "torque", "resistance per voltage".
type Dimension string

// The dimensions of the trade. Unknown is the zero value: of "over-range", and
// in [Hints] when nothing is expected.
const (
	Unknown               Dimension = ""
	Torque                Dimension = "torque"
	Mass                  Dimension = "mass"
	Length                Dimension = "length"
	Area                  Dimension = "area"
	Volume                Dimension = "volume"
	Angle                 Dimension = "angle"
	Duration              Dimension = "duration"
	Speed                 Dimension = "speed"
	Acceleration          Dimension = "acceleration"
	Force                 Dimension = "force"
	Pressure              Dimension = "pressure"
	Voltage               Dimension = "voltage"
	Current               Dimension = "current"
	Resistance            Dimension = "resistance"
	ResistancePerVoltage  Dimension = "resistance per voltage"
	Capacitance           Dimension = "capacitance"
	Charge                Dimension = "charge"
	Energy                Dimension = "energy"
	Power                 Dimension = "power"
	Temperature           Dimension = "temperature"
	TemperatureDifference Dimension = "temperature difference"
	Ratio                 Dimension = "ratio"
	Count                 Dimension = "count"
	Frequency             Dimension = "frequency"
	RotationalSpeed       Dimension = "rotational speed"
	EnergyPerDistance     Dimension = "energy per distance"
	DistancePerEnergy     Dimension = "distance per energy"
	DistancePerVolume     Dimension = "distance per volume"
	VolumePerDistance     Dimension = "volume per distance"
	EnergyPerMass         Dimension = "energy per mass"
	EnergyPerVolume       Dimension = "energy per volume"
	MassPerEnergy         Dimension = "mass per energy"
	MassPerDistance       Dimension = "mass per distance"
	PowerPerMass          Dimension = "power per mass"
	ForcePerLength        Dimension = "force per length"
	MassMoment            Dimension = "mass moment"
	Density               Dimension = "density"
)

// Stress is force on an area and shares the units of pressure (SI Brochure,
// 9th edition, table 4: the pascal is the unit of both).
const Stress = Pressure

var dimensions = []Dimension{
	Torque, Mass, Length, Area, Volume, Angle, Duration, Speed, Acceleration, Force, Pressure,
	Voltage, Current, Resistance, ResistancePerVoltage, Capacitance, Charge, Energy, Power,
	Temperature, TemperatureDifference, Ratio, Count, Frequency, RotationalSpeed,
	EnergyPerDistance, DistancePerEnergy, DistancePerVolume, VolumePerDistance, EnergyPerMass,
	EnergyPerVolume, MassPerEnergy, MassPerDistance, PowerPerMass, ForcePerLength, MassMoment, Density,
}

// Dimensions lists every dimension in the order of the unit table.
func Dimensions() []Dimension { return slices.Clone(dimensions) }

// otherNames are accepted by DimensionNamed beside the names themselves.
var otherNames = map[string]Dimension{"stress": Stress, "time": Duration, "percent": Ratio, "distance": Length}

// DimensionNamed finds a dimension by its name ("torque"), or by one of the
// names "stress", "time", "percent" and "distance".
func DimensionNamed(name string) (Dimension, bool) {
	if d, ok := otherNames[name]; ok {
		return d, true
	}
	d := Dimension(name)
	return d, d != Unknown && slices.Contains(dimensions, d)
}

// product says that a quantity of dimension a times one of dimension b has
// dimension c. Force times length is a torque here: the trade's energies come
// from power and time. Rotational speed times torque is left out because the
// factor holds pi and would not be exact.
type product struct{ a, b, c Dimension }

var products = []product{
	{Force, Length, Torque},
	{ForcePerLength, Length, Force},
	{Pressure, Area, Force},
	{Mass, Acceleration, Force},
	{Mass, Length, MassMoment},
	{Density, Volume, Mass},
	{Length, Length, Area},
	{Area, Length, Volume},
	{Speed, Duration, Length},
	{Acceleration, Duration, Speed},
	{Frequency, Duration, Count},
	{Current, Resistance, Voltage},
	{ResistancePerVoltage, Voltage, Resistance},
	{Voltage, Current, Power},
	{Voltage, Charge, Energy},
	{Current, Duration, Charge},
	{Capacitance, Voltage, Charge},
	{Capacitance, Resistance, Duration},
	{Power, Duration, Energy},
	{EnergyPerDistance, Length, Energy},
	{DistancePerEnergy, Energy, Length},
	{DistancePerVolume, Volume, Length},
	{VolumePerDistance, Length, Volume},
	{EnergyPerMass, Mass, Energy},
	{EnergyPerVolume, Volume, Energy},
	{MassPerEnergy, Energy, Mass},
	{MassPerDistance, Length, Mass},
	{PowerPerMass, Mass, Power},
}

// timesDimension gives the dimension of a product. A ratio or a count leaves the
// other dimension as it is.
func timesDimension(a, b Dimension) (Dimension, bool) {
	switch {
	case a == Temperature || b == Temperature:
		return Unknown, false
	case a == Ratio || a == Count && b != Ratio:
		return b, b != Unknown
	case b == Ratio || b == Count:
		return a, a != Unknown
	}
	for _, p := range products {
		if p.a == a && p.b == b || p.a == b && p.b == a {
			return p.c, true
		}
	}
	return Unknown, false
}

// overDimension gives the dimension of a quotient; like over like is a ratio.
func overDimension(a, b Dimension) (Dimension, bool) {
	switch {
	case a == Temperature || b == Temperature || a == Unknown:
		return Unknown, false
	case a == b:
		return Ratio, true
	case b == Ratio || b == Count:
		return a, true
	}
	for _, p := range products {
		if p.c == a && p.a == b {
			return p.b, true
		}
		if p.c == a && p.b == b {
			return p.a, true
		}
	}
	return Unknown, false
}
