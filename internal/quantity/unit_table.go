package quantity

// Sources of the factors. All are exact by definition.
//
//	SI     BIPM, The International System of Units (SI Brochure), 9th edition
//	WMA    Weights and Measures Act 1985 (UK), schedule 1
//	IYP    international yard and pound agreement of 1959: yd = 0.9144 m, lb = 0.45359237 kg
//	SP811  NIST Special Publication 811, 2008 edition, appendix B
//	H44    NIST Handbook 44, appendix C (customary units of the United States)
//	ISO4   ISO 80000-4:2019 (conventional millimetre of mercury, kilogram-force)
//	gn     standard acceleration of free fall, 9.80665 m/s² (3rd CGPM, 1901)
//
// The first units of a dimension are the ones named in messages. The first one
// whose factor is 1 is the unit in which products come out.
var unitTable = []Unit{
	{Symbol: "N.m", Dimension: Torque, Name: "newton metre", Factor: "1", Source: "SI"},
	{Symbol: "lbf.ft", Dimension: Torque, Name: "pound-force foot", Factor: "0.45359237*9.80665*0.3048", Source: "IYP, gn"},
	{Symbol: "lbf.in", Dimension: Torque, Name: "pound-force inch", Factor: "0.45359237*9.80665*0.0254", Source: "IYP, gn"},
	{Symbol: "kgf.m", Dimension: Torque, Name: "kilogram-force metre", Factor: "9.80665", Source: "gn, ISO4"},
	{Symbol: "kgf.cm", Dimension: Torque, Name: "kilogram-force centimetre", Factor: "9.80665/100", Source: "gn, ISO4"},
	{Symbol: "daN.m", Dimension: Torque, Name: "decanewton metre", Factor: "10", Source: "SI"},
	{Symbol: "cN.m", Dimension: Torque, Name: "centinewton metre", Factor: "1/100", Source: "SI"},
	{Symbol: "kN.m", Dimension: Torque, Name: "kilonewton metre", Factor: "1000", Source: "SI"},
	{Symbol: "ozf.in", Dimension: Torque, Name: "ounce-force inch", Factor: "0.45359237*9.80665*0.0254/16", Source: "IYP, gn"},

	{Symbol: "kg", Dimension: Mass, Name: "kilogram", Factor: "1", Source: "SI"},
	{Symbol: "lb", Dimension: Mass, Name: "pound", Factor: "0.45359237", Source: "IYP"},
	{Symbol: "g", Dimension: Mass, Name: "gram", Factor: "1/1000", Source: "SI"},
	{Symbol: "t", Dimension: Mass, Name: "metric tonne of 1000 kg", Factor: "1000", Source: "SI table 8"},
	{Symbol: "oz", Dimension: Mass, Name: "ounce", Factor: "0.45359237/16", Source: "IYP; WMA"},
	{Symbol: "st", Dimension: Mass, Name: "stone of 14 lb", Factor: "14*0.45359237", Source: "WMA part VI"},
	{Symbol: "cwt (UK)", Dimension: Mass, Name: "British hundredweight of 112 lb", Factor: "112*0.45359237", Source: "WMA part VI"},
	{Symbol: "cwt (US)", Dimension: Mass, Name: "American hundredweight of 100 lb", Factor: "100*0.45359237", Source: "H44"},
	{Symbol: "qr (UK)", Dimension: Mass, Name: "British quarter of 28 lb", Factor: "28*0.45359237", Source: "WMA part VI"},
	{Symbol: "qr (US)", Dimension: Mass, Name: "American quarter of 25 lb", Factor: "25*0.45359237", Source: "quarter of cwt (US)"},
	{Symbol: "ton (UK)", Dimension: Mass, Name: "British (long) ton of 2240 lb", Factor: "2240*0.45359237", Source: "WMA part VI"},
	{Symbol: "ton (US)", Dimension: Mass, Name: "American (short) ton of 2000 lb", Factor: "2000*0.45359237", Source: "H44"},

	{Symbol: "mm", Dimension: Length, Name: "millimetre", Factor: "1/1000", Source: "SI"},
	{Symbol: "m", Dimension: Length, Name: "metre", Factor: "1", Source: "SI"},
	{Symbol: "km", Dimension: Length, Name: "kilometre", Factor: "1000", Source: "SI"},
	{Symbol: "in", Dimension: Length, Name: "inch", Factor: "0.0254", Source: "IYP"},
	{Symbol: "ft", Dimension: Length, Name: "foot", Factor: "0.3048", Source: "IYP"},
	{Symbol: "mi", Dimension: Length, Name: "mile", Factor: "1609.344", Source: "IYP, 1760 yd"},
	{Symbol: "cm", Dimension: Length, Name: "centimetre", Factor: "1/100", Source: "SI"},
	{Symbol: "µm", Dimension: Length, Name: "micrometre", Factor: "1/1000000", Source: "SI"},
	{Symbol: "yd", Dimension: Length, Name: "yard", Factor: "0.9144", Source: "IYP"},
	{Symbol: "thou", Dimension: Length, Name: "thousandth of an inch", Factor: "0.0254/1000", Source: "IYP"},

	{Symbol: "mm²", Dimension: Area, Name: "square millimetre", Factor: "1/1000000", Source: "SI"},
	{Symbol: "cm²", Dimension: Area, Name: "square centimetre", Factor: "1/10000", Source: "SI"},
	{Symbol: "m²", Dimension: Area, Name: "square metre", Factor: "1", Source: "SI"},
	{Symbol: "in²", Dimension: Area, Name: "square inch", Factor: "0.0254*0.0254", Source: "IYP"},
	{Symbol: "ft²", Dimension: Area, Name: "square foot", Factor: "0.3048*0.3048", Source: "IYP"},

	{Symbol: "L", Dimension: Volume, Name: "litre", Factor: "1/1000", Source: "SI table 8"},
	{Symbol: "mL", Dimension: Volume, Name: "millilitre", Factor: "1/1000000", Source: "SI table 8"},
	{Symbol: "cm³", Dimension: Volume, Name: "cubic centimetre", Factor: "1/1000000", Source: "SI"},
	{Symbol: "m³", Dimension: Volume, Name: "cubic metre", Factor: "1", Source: "SI"},
	{Symbol: "gal (UK)", Dimension: Volume, Name: "British gallon of 4.54609 L", Factor: "4.54609/1000", Source: "WMA part IV"},
	{Symbol: "qt (UK)", Dimension: Volume, Name: "British quart", Factor: "4.54609/4000", Source: "WMA part IV"},
	{Symbol: "pt (UK)", Dimension: Volume, Name: "British pint", Factor: "4.54609/8000", Source: "WMA part IV"},
	{Symbol: "fl oz (UK)", Dimension: Volume, Name: "British fluid ounce", Factor: "4.54609/160000", Source: "WMA part IV"},
	{Symbol: "gal (US)", Dimension: Volume, Name: "American gallon of 231 in³", Factor: "231*0.0254*0.0254*0.0254", Source: "H44"},
	{Symbol: "qt (US)", Dimension: Volume, Name: "American quart", Factor: "231*0.0254*0.0254*0.0254/4", Source: "H44"},
	{Symbol: "pt (US)", Dimension: Volume, Name: "American pint", Factor: "231*0.0254*0.0254*0.0254/8", Source: "H44"},
	{Symbol: "fl oz (US)", Dimension: Volume, Name: "American fluid ounce", Factor: "231*0.0254*0.0254*0.0254/128", Source: "H44"},
	{Symbol: "in³", Dimension: Volume, Name: "cubic inch", Factor: "0.0254*0.0254*0.0254", Source: "IYP"},

	// The radian is left out: pi is not rational. The reference is the degree.
	{Symbol: "°", Dimension: Angle, Name: "degree", Factor: "1", Source: "SI table 8"},
	{Symbol: "′", Dimension: Angle, Name: "minute of angle", Factor: "1/60", Source: "SI table 8"},
	{Symbol: "″", Dimension: Angle, Name: "second of angle", Factor: "1/3600", Source: "SI table 8"},

	{Symbol: "s", Dimension: Duration, Name: "second", Factor: "1", Source: "SI"},
	{Symbol: "min", Dimension: Duration, Name: "minute", Factor: "60", Source: "SI table 8"},
	{Symbol: "h", Dimension: Duration, Name: "hour", Factor: "3600", Source: "SI table 8"},
	{Symbol: "d", Dimension: Duration, Name: "day of 24 h", Factor: "86400", Source: "SI table 8"},
	{Symbol: "ms", Dimension: Duration, Name: "millisecond", Factor: "1/1000", Source: "SI"},

	{Symbol: "km/h", Dimension: Speed, Name: "kilometre per hour", Factor: "1000/3600", Source: "SI"},
	{Symbol: "mph", Dimension: Speed, Name: "mile per hour", Factor: "1609.344/3600", Source: "IYP"},
	{Symbol: "m/s", Dimension: Speed, Name: "metre per second", Factor: "1", Source: "SI"},

	{Symbol: "m/s²", Dimension: Acceleration, Name: "metre per second squared", Factor: "1", Source: "SI"},
	{Symbol: "gn", Dimension: Acceleration, Name: "standard acceleration of free fall", Factor: "9.80665", Source: "gn"},

	{Symbol: "N", Dimension: Force, Name: "newton", Factor: "1", Source: "SI"},
	{Symbol: "kN", Dimension: Force, Name: "kilonewton", Factor: "1000", Source: "SI"},
	{Symbol: "daN", Dimension: Force, Name: "decanewton", Factor: "10", Source: "SI"},
	{Symbol: "kgf", Dimension: Force, Name: "kilogram-force", Factor: "9.80665", Source: "gn, ISO4"},
	{Symbol: "lbf", Dimension: Force, Name: "pound-force", Factor: "0.45359237*9.80665", Source: "IYP, gn"},

	{Symbol: "bar", Dimension: Pressure, Name: "bar", Factor: "100000", Source: "SP811 B.8"},
	{Symbol: "psi", Dimension: Pressure, Name: "pound-force per square inch", Factor: "0.45359237*9.80665/0.0254/0.0254", Source: "IYP, gn"},
	{Symbol: "kPa", Dimension: Pressure, Name: "kilopascal", Factor: "1000", Source: "SI"},
	{Symbol: "MPa", Dimension: Pressure, Name: "megapascal", Factor: "1000000", Source: "SI"},
	{Symbol: "Pa", Dimension: Pressure, Name: "pascal", Factor: "1", Source: "SI"},
	{Symbol: "hPa", Dimension: Pressure, Name: "hectopascal", Factor: "100", Source: "SI"},
	{Symbol: "GPa", Dimension: Pressure, Name: "gigapascal", Factor: "1000000000", Source: "SI"},
	{Symbol: "mbar", Dimension: Pressure, Name: "millibar", Factor: "100", Source: "SP811 B.8"},
	{Symbol: "N/mm²", Dimension: Pressure, Name: "newton per square millimetre", Factor: "1000000", Source: "SI"},
	{Symbol: "kgf/cm²", Dimension: Pressure, Name: "kilogram-force per square centimetre", Factor: "98066.5", Source: "gn, ISO4"},
	{Symbol: "kgf/mm²", Dimension: Pressure, Name: "kilogram-force per square millimetre", Factor: "9806650", Source: "gn, ISO4"},
	{Symbol: "ksi", Dimension: Pressure, Name: "thousand pounds-force per square inch", Factor: "1000*0.45359237*9.80665/0.0254/0.0254", Source: "IYP, gn"},
	{Symbol: "tonf/in² (UK)", Dimension: Pressure, Name: "British ton-force per square inch", Factor: "2240*0.45359237*9.80665/0.0254/0.0254", Source: "WMA, IYP, gn"},
	{Symbol: "mmHg", Dimension: Pressure, Name: "conventional millimetre of mercury", Factor: "13.5951*9.80665", Source: "ISO4"},
	{Symbol: "inHg", Dimension: Pressure, Name: "conventional inch of mercury", Factor: "25.4*13.5951*9.80665", Source: "ISO4, IYP"},

	{Symbol: "V", Dimension: Voltage, Name: "volt", Factor: "1", Source: "SI"},
	{Symbol: "mV", Dimension: Voltage, Name: "millivolt", Factor: "1/1000", Source: "SI"},
	{Symbol: "kV", Dimension: Voltage, Name: "kilovolt", Factor: "1000", Source: "SI"},
	{Symbol: "µV", Dimension: Voltage, Name: "microvolt", Factor: "1/1000000", Source: "SI"},

	{Symbol: "A", Dimension: Current, Name: "ampere", Factor: "1", Source: "SI"},
	{Symbol: "mA", Dimension: Current, Name: "milliampere", Factor: "1/1000", Source: "SI"},
	{Symbol: "µA", Dimension: Current, Name: "microampere", Factor: "1/1000000", Source: "SI"},
	{Symbol: "kA", Dimension: Current, Name: "kiloampere", Factor: "1000", Source: "SI"},

	{Symbol: "Ω", Dimension: Resistance, Name: "ohm", Factor: "1", Source: "SI"},
	{Symbol: "mΩ", Dimension: Resistance, Name: "milliohm (a thousandth of an ohm)", Factor: "1/1000", Source: "SI"},
	{Symbol: "kΩ", Dimension: Resistance, Name: "kilohm (a thousand ohms)", Factor: "1000", Source: "SI"},
	{Symbol: "MΩ", Dimension: Resistance, Name: "megohm (a million ohms)", Factor: "1000000", Source: "SI"},
	{Symbol: "GΩ", Dimension: Resistance, Name: "gigohm (a thousand million ohms)", Factor: "1000000000", Source: "SI"},
	{Symbol: "TΩ", Dimension: Resistance, Name: "terohm (a million million ohms)", Factor: "1000000000000", Source: "SI"},
	{Symbol: "µΩ", Dimension: Resistance, Name: "microhm (a millionth of an ohm)", Factor: "1/1000000", Source: "SI"},

	{Symbol: "Ω/V", Dimension: ResistancePerVoltage, Name: "ohm per volt", Factor: "1", Source: "SI"},
	{Symbol: "kΩ/V", Dimension: ResistancePerVoltage, Name: "kilohm per volt", Factor: "1000", Source: "SI"},
	{Symbol: "MΩ/V", Dimension: ResistancePerVoltage, Name: "megohm per volt", Factor: "1000000", Source: "SI"},

	{Symbol: "µF", Dimension: Capacitance, Name: "microfarad", Factor: "1/1000000", Source: "SI"},
	{Symbol: "nF", Dimension: Capacitance, Name: "nanofarad", Factor: "1/1000000000", Source: "SI"},
	{Symbol: "pF", Dimension: Capacitance, Name: "picofarad", Factor: "1/1000000000000", Source: "SI"},
	{Symbol: "mF", Dimension: Capacitance, Name: "millifarad", Factor: "1/1000", Source: "SI"},
	{Symbol: "F", Dimension: Capacitance, Name: "farad", Factor: "1", Source: "SI"},

	{Symbol: "Ah", Dimension: Charge, Name: "ampere hour", Factor: "3600", Source: "SI"},
	{Symbol: "mAh", Dimension: Charge, Name: "milliampere hour", Factor: "3600/1000", Source: "SI"},
	{Symbol: "A.s", Dimension: Charge, Name: "ampere second (coulomb)", Factor: "1", Source: "SI"},

	{Symbol: "kWh", Dimension: Energy, Name: "kilowatt hour", Factor: "3600000", Source: "SI"},
	{Symbol: "Wh", Dimension: Energy, Name: "watt hour", Factor: "3600", Source: "SI"},
	{Symbol: "J", Dimension: Energy, Name: "joule", Factor: "1", Source: "SI"},
	{Symbol: "kJ", Dimension: Energy, Name: "kilojoule", Factor: "1000", Source: "SI"},
	{Symbol: "MJ", Dimension: Energy, Name: "megajoule", Factor: "1000000", Source: "SI"},

	{Symbol: "kW", Dimension: Power, Name: "kilowatt", Factor: "1000", Source: "SI"},
	{Symbol: "hp", Dimension: Power, Name: "mechanical horsepower of 550 ft.lbf/s", Factor: "550*0.3048*0.45359237*9.80665", Source: "SP811 B.8; IYP, gn"},
	{Symbol: "PS", Dimension: Power, Name: "metric horsepower of 75 kgf.m/s", Factor: "75*9.80665", Source: "SP811 B.8; gn"},
	{Symbol: "W", Dimension: Power, Name: "watt", Factor: "1", Source: "SI"},

	{Symbol: "°C", Dimension: Temperature, Name: "degree Celsius", Factor: "1", Source: "SI 2.3.1; offset 273.15"},
	{Symbol: "°F", Dimension: Temperature, Name: "degree Fahrenheit", Factor: "5/9", Source: "SP811 B.8; offset 459.67"},

	{Symbol: "K", Dimension: TemperatureDifference, Name: "kelvin (difference)", Factor: "1", Source: "SI"},
	{Symbol: "Δ°F", Dimension: TemperatureDifference, Name: "degree Fahrenheit (difference)", Factor: "5/9", Source: "SP811 B.8"},

	{Symbol: "%", Dimension: Ratio, Name: "percent", Factor: "1/100", Source: "SI 5.4.7"},
	{Symbol: ":1", Dimension: Ratio, Name: "to one", Factor: "1", Source: "by definition"},

	{Symbol: "", Dimension: Count, Name: "number of things", Factor: "1", Source: "SI 2.3.3"},

	{Symbol: "Hz", Dimension: Frequency, Name: "hertz", Factor: "1", Source: "SI"},
	{Symbol: "kHz", Dimension: Frequency, Name: "kilohertz", Factor: "1000", Source: "SI"},
	{Symbol: "MHz", Dimension: Frequency, Name: "megahertz", Factor: "1000000", Source: "SI"},

	{Symbol: "r/min", Dimension: RotationalSpeed, Name: "revolution per minute", Factor: "1/60", Source: "by definition"},
	{Symbol: "r/s", Dimension: RotationalSpeed, Name: "revolution per second", Factor: "1", Source: "by definition"},

	{Symbol: "Wh/km", Dimension: EnergyPerDistance, Name: "watt hour per kilometre", Factor: "3600/1000", Source: "SI"},
	{Symbol: "kWh/100 km", Dimension: EnergyPerDistance, Name: "kilowatt hour per 100 kilometres", Factor: "3600000/100000", Source: "SI"},
	{Symbol: "Wh/mi", Dimension: EnergyPerDistance, Name: "watt hour per mile", Factor: "3600/1609.344", Source: "SI, IYP"},
	{Symbol: "J/m", Dimension: EnergyPerDistance, Name: "joule per metre", Factor: "1", Source: "SI"},

	{Symbol: "km/kWh", Dimension: DistancePerEnergy, Name: "kilometre per kilowatt hour", Factor: "1000/3600000", Source: "SI"},
	{Symbol: "mi/kWh", Dimension: DistancePerEnergy, Name: "mile per kilowatt hour", Factor: "1609.344/3600000", Source: "SI, IYP"},
	{Symbol: "m/J", Dimension: DistancePerEnergy, Name: "metre per joule", Factor: "1", Source: "SI"},

	{Symbol: "km/L", Dimension: DistancePerVolume, Name: "kilometre per litre", Factor: "1000000", Source: "SI"},
	{Symbol: "mpg (UK)", Dimension: DistancePerVolume, Name: "mile per British gallon", Factor: "1609.344*1000/4.54609", Source: "IYP, WMA"},
	{Symbol: "mpg (US)", Dimension: DistancePerVolume, Name: "mile per American gallon", Factor: "1609.344/231/0.0254/0.0254/0.0254", Source: "IYP, H44"},
	{Symbol: "m/m³", Dimension: DistancePerVolume, Name: "metre per cubic metre", Factor: "1", Source: "SI"},

	{Symbol: "L/100 km", Dimension: VolumePerDistance, Name: "litre per 100 kilometres", Factor: "1/100000000", Source: "SI"},
	{Symbol: "m³/m", Dimension: VolumePerDistance, Name: "cubic metre per metre", Factor: "1", Source: "SI"},

	{Symbol: "Wh/kg", Dimension: EnergyPerMass, Name: "watt hour per kilogram", Factor: "3600", Source: "SI"},
	{Symbol: "J/kg", Dimension: EnergyPerMass, Name: "joule per kilogram", Factor: "1", Source: "SI"},

	{Symbol: "Wh/L", Dimension: EnergyPerVolume, Name: "watt hour per litre", Factor: "3600000", Source: "SI"},
	{Symbol: "J/m³", Dimension: EnergyPerVolume, Name: "joule per cubic metre", Factor: "1", Source: "SI"},

	{Symbol: "kg/kWh", Dimension: MassPerEnergy, Name: "kilogram per kilowatt hour", Factor: "1/3600000", Source: "SI"},
	{Symbol: "kg/J", Dimension: MassPerEnergy, Name: "kilogram per joule", Factor: "1", Source: "SI"},

	{Symbol: "g/km", Dimension: MassPerDistance, Name: "gram per kilometre", Factor: "1/1000000", Source: "SI"},
	{Symbol: "kg/m", Dimension: MassPerDistance, Name: "kilogram per metre", Factor: "1", Source: "SI"},

	{Symbol: "W/kg", Dimension: PowerPerMass, Name: "watt per kilogram", Factor: "1", Source: "SI"},
	{Symbol: "kW/kg", Dimension: PowerPerMass, Name: "kilowatt per kilogram", Factor: "1000", Source: "SI"},
	{Symbol: "kW/t", Dimension: PowerPerMass, Name: "kilowatt per tonne", Factor: "1", Source: "SI"},

	{Symbol: "N/mm", Dimension: ForcePerLength, Name: "newton per millimetre", Factor: "1000", Source: "SI"},
	{Symbol: "lbf/in", Dimension: ForcePerLength, Name: "pound-force per inch", Factor: "0.45359237*9.80665/0.0254", Source: "IYP, gn"},
	{Symbol: "kgf/mm", Dimension: ForcePerLength, Name: "kilogram-force per millimetre", Factor: "9806.65", Source: "gn, ISO4"},
	{Symbol: "N/m", Dimension: ForcePerLength, Name: "newton per metre", Factor: "1", Source: "SI"},

	{Symbol: "kg.m", Dimension: MassMoment, Name: "kilogram metre (mass moment)", Factor: "1", Source: "SI"},
	{Symbol: "kg.mm", Dimension: MassMoment, Name: "kilogram millimetre (mass moment)", Factor: "1/1000", Source: "SI"},

	{Symbol: "kg/L", Dimension: Density, Name: "kilogram per litre", Factor: "1000", Source: "SI"},
	{Symbol: "g/cm³", Dimension: Density, Name: "gram per cubic centimetre", Factor: "1000", Source: "SI"},
	{Symbol: "kg/m³", Dimension: Density, Name: "kilogram per cubic metre", Factor: "1", Source: "SI"},
}
