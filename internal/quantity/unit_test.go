package quantity

import (
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"
)

// printed holds, for every unit, its value in another unit as standards print it
// (NIST SP 811 appendix B, NIST Handbook 44 appendix C, the Weights and Measures
// Act) or as anybody can count it, apart from the factors of the table.
var printed = []struct {
	symbol string
	value  float64
	unit   string
}{
	{"N.m", 0.1019716, "kgf.m"}, {"lbf.ft", 1.355818, "N.m"}, {"lbf.in", 0.1129848, "N.m"}, {"kgf.m", 9.80665, "N.m"},
	{"kgf.cm", 0.0980665, "N.m"}, {"daN.m", 10, "N.m"}, {"cN.m", 0.01, "N.m"}, {"kN.m", 1000, "N.m"}, {"ozf.in", 7.061552e-3, "N.m"},
	{"kg", 2.204623, "lb"}, {"lb", 0.45359237, "kg"}, {"g", 0.03527396, "oz"}, {"t", 2204.623, "lb"}, {"oz", 28.34952, "g"}, {"st", 6.350293, "kg"},
	{"cwt (UK)", 50.80235, "kg"}, {"cwt (US)", 45.35924, "kg"}, {"qr (UK)", 12.70059, "kg"}, {"qr (US)", 11.33981, "kg"},
	{"ton (UK)", 1016.047, "kg"}, {"ton (US)", 907.1847, "kg"},
	{"mm", 0.03937008, "in"}, {"m", 39.37008, "in"}, {"km", 0.6213712, "mi"}, {"in", 25.4, "mm"}, {"ft", 304.8, "mm"}, {"mi", 1609.344, "m"},
	{"cm", 10, "mm"}, {"µm", 0.03937008, "thou"}, {"yd", 0.9144, "m"}, {"thou", 25.4, "µm"},
	{"mm²", 0.01, "cm²"}, {"cm²", 100, "mm²"}, {"m²", 10.76391, "ft²"}, {"in²", 645.16, "mm²"}, {"ft²", 0.09290304, "m²"},
	{"L", 0.2641721, "gal (US)"}, {"mL", 1, "cm³"}, {"cm³", 0.06102374, "in³"}, {"m³", 1000, "L"}, {"gal (UK)", 4.54609, "L"}, {"qt (UK)", 1.1365225, "L"},
	{"pt (UK)", 568.26125, "mL"}, {"fl oz (UK)", 28.41306, "mL"}, {"gal (US)", 3.785412, "L"}, {"qt (US)", 946.3529, "mL"}, {"pt (US)", 473.1765, "mL"},
	{"fl oz (US)", 29.57353, "mL"}, {"in³", 16.387064, "cm³"},
	{"°", 60, "′"}, {"′", 60, "″"}, {"″", 2.777778e-4, "°"},
	{"s", 1000, "ms"}, {"min", 60, "s"}, {"h", 3600, "s"}, {"d", 86400, "s"}, {"ms", 0.001, "s"},
	{"km/h", 0.2777778, "m/s"}, {"mph", 0.44704, "m/s"}, {"m/s", 3.6, "km/h"},
	{"m/s²", 0.1019716, "gn"}, {"gn", 9.80665, "m/s²"},
	{"N", 0.2248089, "lbf"}, {"kN", 224.8089, "lbf"}, {"daN", 10, "N"}, {"kgf", 9.80665, "N"}, {"lbf", 4.448222, "N"},
	{"bar", 14.50377, "psi"}, {"psi", 6894.757, "Pa"}, {"kPa", 0.01, "bar"}, {"MPa", 10, "bar"}, {"Pa", 1e-5, "bar"}, {"hPa", 1, "mbar"}, {"GPa", 10000, "bar"},
	{"mbar", 100, "Pa"}, {"N/mm²", 1, "MPa"}, {"kgf/cm²", 98066.5, "Pa"}, {"kgf/mm²", 9.80665, "MPa"}, {"ksi", 6.894757, "MPa"},
	{"tonf/in² (UK)", 15.44426, "MPa"}, {"mmHg", 133.3224, "Pa"}, {"inHg", 3386.389, "Pa"},
	{"V", 1000, "mV"}, {"mV", 0.001, "V"}, {"kV", 1000, "V"}, {"µV", 1e-6, "V"},
	{"A", 1000, "mA"}, {"mA", 0.001, "A"}, {"µA", 1e-6, "A"}, {"kA", 1000, "A"},
	{"Ω", 1000, "mΩ"}, {"mΩ", 1e-3, "Ω"}, {"kΩ", 1e3, "Ω"}, {"MΩ", 1e6, "Ω"}, {"GΩ", 1e9, "Ω"}, {"TΩ", 1e12, "Ω"}, {"µΩ", 1e-6, "Ω"},
	{"Ω/V", 0.001, "kΩ/V"}, {"kΩ/V", 1000, "Ω/V"}, {"MΩ/V", 1e6, "Ω/V"},
	{"µF", 1e-6, "F"}, {"nF", 1e-9, "F"}, {"pF", 1e-12, "F"}, {"mF", 1e-3, "F"}, {"F", 1000, "mF"},
	{"Ah", 3600, "A.s"}, {"mAh", 3.6, "A.s"}, {"A.s", 2.777778e-4, "Ah"},
	{"kWh", 3.6, "MJ"}, {"Wh", 3600, "J"}, {"J", 2.777778e-4, "Wh"}, {"kJ", 1000, "J"}, {"MJ", 0.2777778, "kWh"},
	{"kW", 1.341022, "hp"}, {"hp", 745.6999, "W"}, {"PS", 735.4988, "W"}, {"W", 0.001, "kW"},
	{"K", 1.8, "Δ°F"}, {"Δ°F", 0.5555556, "K"},
	{"%", 0.01, ":1"}, {":1", 100, "%"}, {"", 1, ""},
	{"Hz", 0.001, "kHz"}, {"kHz", 1000, "Hz"}, {"MHz", 1e6, "Hz"}, {"r/min", 0.01666667, "r/s"}, {"r/s", 60, "r/min"},
	{"Wh/km", 0.1, "kWh/100 km"}, {"kWh/100 km", 10, "Wh/km"}, {"Wh/mi", 0.6213712, "Wh/km"}, {"J/m", 0.2777778, "Wh/km"},
	{"km/kWh", 0.6213712, "mi/kWh"}, {"mi/kWh", 1.609344, "km/kWh"}, {"m/J", 3600, "km/kWh"},
	{"km/L", 2.352146, "mpg (US)"}, {"mpg (UK)", 0.3540062, "km/L"}, {"mpg (US)", 0.4251437, "km/L"}, {"m/m³", 1e-6, "km/L"},
	{"L/100 km", 1e-8, "m³/m"}, {"m³/m", 1e8, "L/100 km"},
	{"Wh/kg", 3600, "J/kg"}, {"J/kg", 2.777778e-4, "Wh/kg"}, {"Wh/L", 3.6e6, "J/m³"}, {"J/m³", 2.777778e-7, "Wh/L"},
	{"kg/kWh", 2.777778e-7, "kg/J"}, {"kg/J", 3.6e6, "kg/kWh"}, {"g/km", 1e-6, "kg/m"}, {"kg/m", 1e6, "g/km"},
	{"W/kg", 1, "kW/t"}, {"kW/kg", 1000, "W/kg"}, {"kW/t", 1, "W/kg"},
	{"N/mm", 5.710147, "lbf/in"}, {"lbf/in", 175.1268, "N/m"}, {"kgf/mm", 9.80665, "N/mm"}, {"N/m", 0.001, "N/mm"},
	{"kg.m", 1000, "kg.mm"}, {"kg.mm", 0.001, "kg.m"}, {"kg/L", 1, "g/cm³"}, {"g/cm³", 1000, "kg/m³"}, {"kg/m³", 0.001, "kg/L"},
	{"°C", 33.8, "°F"}, {"°F", -17.22222, "°C"},
}

func TestEveryFactorAgreesWithAnIndependentValue(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range printed {
		seen[p.symbol] = true
		got, err := mustNew(t, 1, p.symbol).Float(p.unit)
		if err != nil || math.Abs(got/p.value-1) > 5e-7 {
			t.Errorf("1 %s = %.9g %s, want %.9g (%v)", p.symbol, got, p.unit, p.value, err)
		}
	}
	for _, u := range unitTable {
		if !seen[u.Symbol] {
			t.Errorf("%q has no independent value", u.Symbol)
		}
	}
}

func mustNew(t *testing.T, v int64, unit string) Quantity {
	t.Helper()
	q, err := New(big.NewRat(v, 1), unit)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func TestTemperaturesOnAScale(t *testing.T) {
	for _, c := range []struct{ from, unit, want string }{
		{"0 °C", "°F", "32 °F"}, {"100 °C", "°F", "212 °F"}, {"-40 °C", "°F", "-40 °F"}, {"68 °F", "°C", "20 °C"}, {"-459.67 °F", "°C", "-273.15 °C"},
	} {
		if got := mustConvert(t, MustParse(c.from), c.unit); !got.Equal(MustParse(c.want)) {
			t.Errorf("%s = %s, want %s", c.from, got, c.want)
		}
	}
	u, _, _ := mustConvert(t, MustParse("20 ±1 °C"), "°F").Uncertainty()
	if u.Canonical() != "1.8 Δ°F" {
		t.Errorf("±1 °C is ±%s, want 1.8 Δ°F: no offset in an uncertainty", u)
	}
}

func TestTableIsSound(t *testing.T) {
	symbols := map[string]bool{}
	for _, u := range unitTable {
		if symbols[u.Symbol] {
			t.Errorf("%q stands twice in the table", u.Symbol)
		}
		symbols[u.Symbol] = true
		if !slices.Contains(dimensions, u.Dimension) || u.Name == "" || u.Source == "" {
			t.Errorf("%q lacks its dimension, name or source", u.Symbol)
		}
		if evaluate(u.Factor).Sign() <= 0 {
			t.Errorf("%q has a factor that is not positive", u.Symbol)
		}
	}
	for _, d := range Dimensions() {
		if len(d.Units()) == 0 || index().reference[d] == nil {
			t.Errorf("%s has no unit, or none in which a result can be given", d)
		}
		if named, ok := DimensionNamed(string(d)); !ok || named != d {
			t.Errorf("%s is not found by its name", d)
		}
	}
	if len(index().byDim) != len(dimensions) {
		t.Error("the table uses a dimension that is not listed")
	}
}

func TestDimensionNames(t *testing.T) {
	for name, want := range map[string]Dimension{"torque": Torque, "stress": Pressure, "time": Duration, "percent": Ratio, "resistance per voltage": ResistancePerVoltage} {
		if d, ok := DimensionNamed(name); !ok || d != want {
			t.Errorf("%q is %q, want %q", name, d, want)
		}
	}
	for _, name := range []string{"", "Torque", "moment"} {
		if d, ok := DimensionNamed(name); ok {
			t.Errorf("%q is %q", name, d)
		}
	}
}

func TestEverySpellingLeadsToAUnit(t *testing.T) {
	for _, list := range [][]spelling{exactSpellings, wordSpellings} {
		for _, s := range list {
			for symbol := range strings.SplitSeq(s.symbols, "|") {
				u, ok := index().bySymbol[symbol]
				if !ok {
					t.Errorf("%q is spelled as %q, which is no unit", s.written, symbol)
					continue
				}
				found := slices.ContainsFunc(spellings(s.written, u.Dimension), func(o option) bool { return o.unit == u })
				if !found && index().bySymbol[s.written] == nil {
					t.Errorf("%q is not read as %q", s.written, symbol)
				}
			}
		}
	}
	for _, s := range wordSpellings {
		if s.written != strings.ToLower(s.written) {
			t.Errorf("%q can never match: words are looked up in lower case", s.written)
		}
	}
}

func TestCapitalsAreNeverFoldedBetweenMilliAndMega(t *testing.T) {
	for _, pair := range [][2]string{{"mΩ", "MΩ"}, {"mV", "MV"}, {"mA", "MA"}, {"mbar", "Mbar"}, {"mm", "MM"}, {"mL", "ML"}, {"ms", "MS"}, {"mF", "MF"}, {"mPa", "MPa"}, {"mW", "MW"}, {"mWh", "MWh"}, {"mHz", "MHz"}, {"mJ", "MJ"}, {"mohm", "Mohm"}, {"mAh", "MAh"}} {
		small, large := spellings(pair[0], Unknown), spellings(pair[1], Unknown)
		for _, a := range small {
			for _, b := range large {
				if a.unit == b.unit {
					t.Errorf("%q and %q are both read as %q", pair[0], pair[1], a.unit.Symbol)
				}
			}
		}
	}
	if o := spellings("M", Unknown); len(o) != 0 {
		t.Errorf("M without a hint is read as %q", o[0].unit.Symbol)
	}
}
