package quantity

import (
	"slices"
	"strings"
)

// spelling maps what people write to a canonical unit. Why is empty for a mere
// variant; otherwise it is a sentence that the person should read.
type spelling struct {
	written string
	symbols string // canonical symbols, separated by "|": several readings
	why     string
}

// option is one reading of a written unit.
type option struct {
	unit *Unit
	why  string
}

const (
	oldKilogram  = "an old name: the kilogram in it is a force (1 kgf = 9.80665 N)"
	poundIsForce = "the pound in a torque is a force"
	strokeIsDot  = "read as a product, which a torque is, and not as a quotient"
	ohmMissing   = "the ohm is not written"
)

// exactSpellings are matched letter for letter: where a capital makes the
// difference between milli and mega, or gram and standard gravity, nothing is
// folded. Separators between letters are written "." here; see unitKey.
var exactSpellings = []spelling{
	{"Nm", "N.m", ""}, {"NM", "N.m", ""}, {"nm", "N.m", ""}, {"m.N", "N.m", ""}, {"n.m", "N.m", ""},
	{"N.cm", "cN.m", ""}, {"Ncm", "cN.m", ""}, {"cNm", "cN.m", ""}, {"kNm", "kN.m", ""},
	{"daNm", "daN.m", ""}, {"mdaN", "daN.m", ""}, {"m.daN", "daN.m", ""},
	{"kgm", "kgf.m", oldKilogram}, {"mkg", "kgf.m", oldKilogram}, {"m.kg", "kgf.m", oldKilogram}, {"kg.m", "kgf.m", oldKilogram},
	{"mkp", "kgf.m", oldKilogram}, {"m.kp", "kgf.m", oldKilogram}, {"kpm", "kgf.m", oldKilogram}, {"kp.m", "kgf.m", oldKilogram},
	{"mkgf", "kgf.m", oldKilogram}, {"m.kgf", "kgf.m", oldKilogram}, {"kgfm", "kgf.m", oldKilogram},
	{"kg.cm", "kgf.cm", oldKilogram}, {"kgcm", "kgf.cm", oldKilogram}, {"cm.kg", "kgf.cm", oldKilogram}, {"cmkg", "kgf.cm", oldKilogram}, {"kgfcm", "kgf.cm", oldKilogram},
	{"kp", "kgf", oldKilogram}, {"kg", "kgf", oldKilogram}, {"lb", "lbf", "the pound here is a force"},
	{"kp/cm²", "kgf/cm²", oldKilogram}, {"kg/cm²", "kgf/cm²", oldKilogram}, {"kg/mm²", "kgf/mm²", oldKilogram}, {"kp/mm²", "kgf/mm²", oldKilogram},
	{"kg/mm", "kgf/mm", oldKilogram}, {"at", "kgf/cm²", "an old name: technical atmosphere"},
	{"g", "gn", "standard gravity"}, {"G", "gn", "standard gravity"},
	{"ohm", "Ω", ""}, {"Ohm", "Ω", ""}, {"ohms", "Ω", ""}, {"Ohms", "Ω", ""}, {"OHM", "Ω", ""}, {"R", "Ω", ""},
	{"mohm", "mΩ", ""}, {"mOhm", "mΩ", ""}, {"milliohm", "mΩ", ""}, {"milliohms", "mΩ", ""}, {"m", "mΩ|MΩ", ohmMissing},
	{"kohm", "kΩ", ""}, {"kOhm", "kΩ", ""}, {"Kohm", "kΩ", ""}, {"KΩ", "kΩ", ""}, {"kilohm", "kΩ", ""}, {"kilohms", "kΩ", ""}, {"k", "kΩ", ohmMissing}, {"K", "kΩ", ohmMissing},
	{"Mohm", "MΩ", ""}, {"MOhm", "MΩ", ""}, {"Mohms", "MΩ", ""}, {"Megohm", "MΩ", ""}, {"megohm", "MΩ", ""}, {"megohms", "MΩ", ""}, {"Meg", "MΩ", ""}, {"meg", "MΩ", ""}, {"MEG", "MΩ", ""}, {"MegΩ", "MΩ", ""}, {"M", "MΩ", ohmMissing},
	{"Gohm", "GΩ", ""}, {"GOhm", "GΩ", ""}, {"Gig", "GΩ", ""}, {"gigohm", "GΩ", ""}, {"G", "GΩ", ohmMissing}, {"Tohm", "TΩ", ""}, {"TOhm", "TΩ", ""}, {"T", "TΩ", ohmMissing},
	{"uohm", "µΩ", ""}, {"uΩ", "µΩ", ""}, {"µohm", "µΩ", ""}, {"microhm", "µΩ", ""},
	{"ohm/V", "Ω/V", ""}, {"Ohm/V", "Ω/V", ""}, {"ohms/V", "Ω/V", ""}, {"ohm/volt", "Ω/V", ""}, {"ohms/volt", "Ω/V", ""}, {"ohms.per.volt", "Ω/V", ""}, {"Ω/volt", "Ω/V", ""}, {"Ω.per.volt", "Ω/V", ""},
	{"kohm/V", "kΩ/V", ""}, {"kOhm/V", "kΩ/V", ""}, {"Mohm/V", "MΩ/V", ""},
	{"volt", "V", ""}, {"volts", "V", ""}, {"Volt", "V", ""}, {"Volts", "V", ""}, {"v", "V", ""}, {"VDC", "V", "direct or alternating current is not part of the unit"}, {"Vdc", "V", "direct or alternating current is not part of the unit"}, {"VAC", "V", "direct or alternating current is not part of the unit"}, {"Vac", "V", "direct or alternating current is not part of the unit"}, {"KV", "kV", ""}, {"uV", "µV", ""},
	{"amp", "A", ""}, {"amps", "A", ""}, {"Amp", "A", ""}, {"Amps", "A", ""}, {"a", "A", ""}, {"uA", "µA", ""},
	{"uF", "µF", ""}, {"MFD", "µF", "an old name: microfarad"}, {"mfd", "µF", "an old name: microfarad"},
	{"AH", "Ah", ""}, {"ah", "Ah", ""}, {"A.h", "Ah", ""}, {"A.hr", "Ah", ""}, {"mAH", "mAh", ""}, {"As", "A.s", ""},
	{"KWh", "kWh", ""}, {"KWH", "kWh", ""}, {"kWH", "kWh", ""}, {"kwh", "kWh", ""}, {"Kwh", "kWh", ""}, {"kW.h", "kWh", ""}, {"WH", "Wh", ""}, {"wh", "Wh", ""}, {"W.h", "Wh", ""}, {"KJ", "kJ", ""},
	{"KW", "kW", ""}, {"kw", "kW", ""}, {"Kw", "kW", ""}, {"w", "W", ""}, {"watt", "W", ""}, {"watts", "W", ""},
	{"°c", "°C", ""}, {"C", "°C", ""}, {"degC", "°C", ""}, {"deg.C", "°C", ""}, {"ºC", "°C", ""}, {"F", "°F", ""}, {"degF", "°F", ""}, {"deg.F", "°F", ""}, {"ºF", "°F", ""},
	{"°C", "K", "a difference of 1 °C is 1 K"}, {"°F", "Δ°F", "read as a difference"},
	{"'", "′|ft", ""}, {"\"", "″|in", ""}, {"′", "ft", ""}, {"″", "in", ""}, {"''", "″|in", ""},
	{"deg", "°", ""}, {"degrees", "°", ""}, {"º", "°", ""}, {"arcmin", "′", ""}, {"arcsec", "″", ""}, {"min", "′", ""},
	{"um", "µm", ""}, {"l", "L", ""}, {"ml", "mL", ""}, {"cc", "cm³", ""}, {"ccm", "cm³", ""}, {"dm³", "L", ""},
	{"Lbs", "lb", ""}, {"KG", "kg", ""}, {"Kg", "kg", ""}, {"T", "t", ""}, {"gr", "g", "grams; a grain would be 0.0648 g"}, {"gm", "g", ""}, {"gms", "g", ""},
	{"KM", "km", ""}, {"Km", "km", ""}, {"mtr", "m", ""},
	{"kph", "km/h", ""}, {"KPH", "km/h", ""}, {"kmh", "km/h", ""}, {"km/hr", "km/h", ""}, {"Km/h", "km/h", ""},
	{"Kpa", "kPa", ""}, {"KPa", "kPa", ""}, {"kpa", "kPa", ""}, {"Mpa", "MPa", ""}, {"lb/in²", "psi", ""}, {"lbf/in²", "psi", ""}, {"lbs/in²", "psi", ""}, {"lb/sq.in", "psi", ""}, {"PSI", "psi", ""}, {"in.Hg", "inHg", ""}, {"mm.Hg", "mmHg", ""},
	{"lb/in", "lbf/in", "the pound here is a force"}, {"lbs/in", "lbf/in", "the pound here is a force"},
	{"cv", "PS", "read as metric horsepower; a French fiscal rating in CV is not a power"}, {"CV", "PS", "read as metric horsepower; a French fiscal rating in CV is not a power"}, {"ch", "PS", "metric horsepower"}, {"pk", "PS", "metric horsepower"}, {"ps", "PS", ""}, {"Ps", "PS", ""},
	{"hz", "Hz", ""}, {"HZ", "Hz", ""}, {"wh/km", "Wh/km", ""}, {"Wh/mile", "Wh/mi", ""}, {"kWh/100km", "kWh/100 km", ""}, {"kWh/100.km", "kWh/100 km", ""}, {"l/100km", "L/100 km", ""}, {"l/100.km", "L/100 km", ""}, {"L/100km", "L/100 km", ""}, {"L/100.km", "L/100 km", ""}, {"miles/kWh", "mi/kWh", ""}, {"km/l", "km/L", ""},
	{"kg/l", "kg/L", ""}, {"tonf/in²", "tonf/in² (UK)", "British long ton"}, {"tons/sq.in", "tonf/in² (UK)", "British long ton"},
	{"pc", "", ""}, {"pcs", "", ""}, {"pieces", "", ""}, {"off", "", ""}, {"x", "", ""},
}

// wordSpellings are matched without regard to capitals; none of them can be
// mistaken for another prefix.
var wordSpellings = []spelling{
	{"ft.lb", "lbf.ft", poundIsForce}, {"ft.lbs", "lbf.ft", poundIsForce}, {"ftlb", "lbf.ft", poundIsForce}, {"ftlbs", "lbf.ft", poundIsForce}, {"lb.ft", "lbf.ft", poundIsForce}, {"lbs.ft", "lbf.ft", poundIsForce}, {"lbft", "lbf.ft", poundIsForce}, {"lbsft", "lbf.ft", poundIsForce},
	{"lbf.ft", "lbf.ft", ""}, {"ft.lbf", "lbf.ft", ""}, {"lbfft", "lbf.ft", ""}, {"ftlbf", "lbf.ft", ""}, {"foot.pounds", "lbf.ft", poundIsForce}, {"foot.pound", "lbf.ft", poundIsForce}, {"pounds.feet", "lbf.ft", poundIsForce}, {"pound.feet", "lbf.ft", poundIsForce},
	{"lb/ft", "lbf.ft", strokeIsDot}, {"lbs/ft", "lbf.ft", strokeIsDot}, {"ft/lb", "lbf.ft", strokeIsDot}, {"ft/lbs", "lbf.ft", strokeIsDot}, {"in/lb", "lbf.in", strokeIsDot}, {"in/lbs", "lbf.in", strokeIsDot},
	{"in.lb", "lbf.in", poundIsForce}, {"in.lbs", "lbf.in", poundIsForce}, {"inlb", "lbf.in", poundIsForce}, {"inlbs", "lbf.in", poundIsForce}, {"lb.in", "lbf.in", poundIsForce}, {"lbs.in", "lbf.in", poundIsForce}, {"lbin", "lbf.in", poundIsForce},
	{"lbf.in", "lbf.in", ""}, {"in.lbf", "lbf.in", ""}, {"lbfin", "lbf.in", ""}, {"inlbf", "lbf.in", ""}, {"inch.pounds", "lbf.in", poundIsForce}, {"inch.pound", "lbf.in", poundIsForce}, {"in.oz", "ozf.in", ""}, {"oz.in", "ozf.in", ""},
	{"lbs", "lb|lbf", ""}, {"pound", "lb", ""}, {"pounds", "lb", ""}, {"kgs", "kg|kgf", ""}, {"kilo", "kg", ""}, {"kilos", "kg", ""}, {"kilogram", "kg", ""}, {"kilograms", "kg", ""}, {"gram", "g", ""}, {"grams", "g", ""}, {"ounces", "oz", ""}, {"lb", "lb", ""}, {"oz", "oz", ""}, {"st", "st", ""}, {"stone", "st", ""}, {"stones", "st", ""},
	{"tonne", "t", ""}, {"tonnes", "t", ""}, {"metric.ton", "t", ""}, {"metric.tons", "t", ""}, {"long.ton", "ton (UK)", ""}, {"long.tons", "ton (UK)", ""}, {"short.ton", "ton (US)", ""}, {"short.tons", "ton (US)", ""},
	{"ton", "t|ton (UK)|ton (US)", ""}, {"tons", "t|ton (UK)|ton (US)", ""}, {"cwt", "cwt (UK)|cwt (US)", ""}, {"cwts", "cwt (UK)|cwt (US)", ""}, {"hundredweight", "cwt (UK)|cwt (US)", ""}, {"qr", "qr (UK)|qr (US)", ""}, {"qrs", "qr (UK)|qr (US)", ""},
	{"gal", "gal (UK)|gal (US)", ""}, {"gals", "gal (UK)|gal (US)", ""}, {"gallon", "gal (UK)|gal (US)", ""}, {"gallons", "gal (UK)|gal (US)", ""}, {"qt", "qt (UK)|qt (US)", ""}, {"qts", "qt (UK)|qt (US)", ""}, {"quart", "qt (UK)|qt (US)", ""}, {"quarts", "qt (UK)|qt (US)", ""}, {"pt", "pt (UK)|pt (US)", ""}, {"pts", "pt (UK)|pt (US)", ""}, {"pint", "pt (UK)|pt (US)", ""}, {"pints", "pt (UK)|pt (US)", ""}, {"fl.oz", "fl oz (UK)|fl oz (US)", ""}, {"floz", "fl oz (UK)|fl oz (US)", ""}, {"mpg", "mpg (UK)|mpg (US)", ""},
	{"imp.gal", "gal (UK)", ""}, {"imperial.gallon", "gal (UK)", ""}, {"imperial.gallons", "gal (UK)", ""}, {"imp.pint", "pt (UK)", ""}, {"imperial.pint", "pt (UK)", ""}, {"imperial.pints", "pt (UK)", ""},
	{"in", "in", ""}, {"ft", "ft", ""}, {"yd", "yd", ""}, {"mi", "mi", ""}, {"inch", "in", ""}, {"inches", "in", ""}, {"foot", "ft", ""}, {"feet", "ft", ""}, {"mile", "mi", ""}, {"miles", "mi", ""}, {"yard", "yd", ""}, {"yards", "yd", ""}, {"metre", "m", ""}, {"metres", "m", ""}, {"meter", "m", ""}, {"meters", "m", ""}, {"millimetre", "mm", ""}, {"millimetres", "mm", ""}, {"millimeters", "mm", ""}, {"kilometre", "km", ""}, {"kilometres", "km", ""}, {"kilometers", "km", ""}, {"kms", "km", ""}, {"mil", "thou", ""}, {"thous", "thou", ""},
	{"litre", "L", ""}, {"litres", "L", ""}, {"liter", "L", ""}, {"liters", "L", ""}, {"ltr", "L", ""}, {"ltrs", "L", ""}, {"cu.in", "in³", ""}, {"cubic.inches", "in³", ""}, {"sq.in", "in²", ""}, {"sq.mm", "mm²", ""}, {"sq.ft", "ft²", ""},
	{"p.s.i", "psi", ""}, {"bar", "bar", ""}, {"bars", "bar", ""}, {"psi", "psi", ""}, {"psig", "psi", "gauge or absolute is not part of the unit"}, {"hp", "hp", ""}, {"bhp", "hp", "how it was measured (gross, net, at the brake) is not part of the unit; record it as the basis"}, {"horsepower", "hp", ""},
	{"amp.hour", "Ah", ""}, {"amp.hours", "Ah", ""}, {"ampere.hours", "Ah", ""}, {"hr", "h", ""}, {"hrs", "h", ""}, {"hour", "h", ""}, {"hours", "h", ""}, {"mins", "min", ""}, {"minute", "min", ""}, {"minutes", "min", ""}, {"sec", "s", ""}, {"secs", "s", ""}, {"second", "s", ""}, {"seconds", "s", ""}, {"day", "d", ""}, {"days", "d", ""},
	{"rpm", "r/min", ""}, {"rev/min", "r/min", ""}, {"revs/min", "r/min", ""}, {"mi/h", "mph", ""}, {"mph", "mph", ""}, {"percent", "%", ""}, {"per.cent", "%", ""}, {"pct", "%", ""}, {"newton", "N", ""}, {"newtons", "N", ""}, {"newton.metres", "N.m", ""}, {"newton.meters", "N.m", ""},
}

// spellings gives the readings of a written unit within a dimension, or within
// all of them for Unknown. A canonical symbol has itself as its only reading.
func spellings(written string, d Dimension) []option {
	if u, ok := index().bySymbol[written]; ok && (d == Unknown || u.Dimension == d) {
		return []option{{unit: u}}
	}
	key := unitKey(written)
	if base, country, ok := cutCountry(key); ok {
		return slices.DeleteFunc(spellings(base, d), func(o option) bool { return o.unit.country() != country })
	}
	options := lookUp(exactSpellings, key, d, nil)
	if u, ok := index().bySymbol[key]; ok && (d == Unknown || u.Dimension == d) {
		options = []option{{unit: u}}
	}
	if len(options) > 0 {
		return options
	}
	return lookUp(wordSpellings, strings.ToLower(key), d, options)
}

// lookUp adds the units that a list gives for a key to the options.
func lookUp(list []spelling, key string, d Dimension, options []option) []option {
	add := func(symbol, why string) {
		u, ok := index().bySymbol[symbol]
		known := slices.ContainsFunc(options, func(o option) bool { return o.unit == u })
		if ok && !known && (d == Unknown || u.Dimension == d) {
			options = append(options, option{u, why})
		}
	}
	for _, s := range list {
		if s.written == key {
			if s.why == ohmMissing && d == Unknown {
				continue
			}
			for symbol := range strings.SplitSeq(s.symbols, "|") {
				add(symbol, s.why)
			}
		}
	}
	return options
}

// unitKey writes a unit with one separator and real superscripts, so that the
// tables need not list "ft-lb", "ft·lb", "ft lb" and "ft*lb" one by one.
func unitKey(written string) string {
	key := unitSigns.Replace(strings.TrimSpace(written))
	for strings.Contains(key, "..") { // "ft. lbs." has points of its own
		key = strings.ReplaceAll(key, "..", ".")
	}
	key = strings.TrimSuffix(key, ".")
	for _, country := range []struct{ said, suffix string }{
		{"(UK)", " (UK)"}, {"(US)", " (US)"}, {".UK", " (UK)"}, {".US", " (US)"}, {".imp", " (UK)"},
	} {
		if base, ok := strings.CutSuffix(key, country.said); ok {
			return strings.TrimSuffix(base, ".") + country.suffix
		}
	}
	for _, prefix := range []struct{ said, suffix string }{{"UK.", " (UK)"}, {"US.", " (US)"}} {
		if base, ok := strings.CutPrefix(key, prefix.said); ok {
			return base + prefix.suffix
		}
	}
	return key
}

var unitSigns = strings.NewReplacer(
	"\u2126", "Ω", "\u03bc", "µ", " ", ".", "-", ".", "·", ".", "⋅", ".", "∙", ".", "•", ".", "*", ".", "×", ".",
	"mm2", "mm²", "cm2", "cm²", "in2", "in²", "ft2", "ft²", "m2", "m²", "s2", "s²",
	"mm^2", "mm²", "cm^2", "cm²", "m^2", "m²", "cm3", "cm³", "m3", "m³", "in3", "in³", "cm^3", "cm³", "m^3", "m³",
)

// countries maps a country to the customary units it uses; "" means metric.
var countries = map[string]string{
	"GB": "UK", "UK": "UK", "IE": "UK", "AU": "UK", "NZ": "UK", "ZA": "UK", "IN": "UK", "US": "US",
	"AT": "", "BE": "", "CH": "", "CZ": "", "DE": "", "DK": "", "ES": "", "FI": "", "FR": "", "IT": "", "JP": "",
	"NL": "", "NO": "", "PL": "", "PT": "", "SE": "",
}

// forCountry narrows readings by the country of the paper: to its own customary
// unit, or to the metric one. Where that leaves nothing the question stays open.
func forCountry(options []option, country string) []option {
	custom, known := countries[country]
	if !known || len(options) < 2 {
		return options
	}
	var own []option
	for _, o := range options {
		if o.unit.country() == custom {
			own = append(own, o)
		}
	}
	if len(own) == 0 {
		return options
	}
	return own
}
