package workings

import (
	"boltback/internal/quantity"
)

// VoltmeterReading is an isolation test of a live circuit by voltmeter: the pack
// voltage, each pole to chassis, and the higher of both again with a known
// resistor beside it.
type VoltmeterReading struct {
	Name                               string
	Pack, Higher, Lower, WithResistor  Input
	Resistor, MeterResistance, Working Input
	RatedForLive                       string
	Protection                         string
}

// ByVoltmeter is the isolation by voltmeter. R_i = R_o · U_b · (1/U₁′ - 1/U₁)
// gives the resistance of the pole with the lower voltage, whatever the meter's
// own resistance. The other usual form, R_o · (1 + U₂/U₁) · (U₁ - U₁′)/U₁′,
// equals it only for a meter that takes no current; with a real one it lies
// below, so it is a lower bound.
func ByVoltmeter(id string, r VoltmeterReading) Working {
	s := begin(Insulation, "voltmeter "+id, "Insulation by voltmeter: "+r.Name)
	s.w.Sources = []Source{r100Voltmeter, fmvssVoltmeter}
	s.w.Caution = "The circuit is live in this test. " + hvCaution
	if r.RatedForLive != "yes" {
		s.missing("a voltmeter that is recorded as rated for the voltage of a live pole; what another one shows is no evidence")
		return s.done()
	}
	s.take("U_b", "pack voltage", r.Pack, quantity.Voltage)
	s.take("U_1", "pole with the higher voltage to chassis", r.Higher, quantity.Voltage)
	s.take("U_2", "other pole to chassis", r.Lower, quantity.Voltage)
	s.take("U_1′", "the first again, resistor beside it", r.WithResistor, quantity.Voltage)
	s.take("R_o", "known resistor", r.Resistor, quantity.Resistance)
	s.take("U", "highest working voltage", r.Working.exactly(), quantity.Voltage)
	if s.take("R_m", "meter's own resistance", r.MeterResistance, quantity.Resistance) {
		s.judge("meter", "R_m", quantity.AtLeast(quantity.MustParse("10 MΩ")), quantity.SimpleAcceptance, "a meter that draws current pulls the voltages down", fmvssVoltmeter)
	}
	if order, err := quantity.Compare(r.Higher.Value, r.Lower.Value); err == nil && order == quantity.Less {
		s.missing("the resistor beside the pole with the higher voltage; here it stood at the lower one")
		return s.done()
	}
	if order, err := quantity.Compare(r.WithResistor.Value, r.Higher.Value); err == nil && order != quantity.Less {
		s.missing("a voltage that falls when the resistor is put in; this one did not, so the insulation is beyond what this test can show")
		return s.done()
	}
	s.calc("R_i", "kΩ", "R_o*U_b*(1/U_1′-1/U_1)", "Resistance of the pole with the lower voltage.")
	s.calc("R_low", "kΩ", "R_o*(1+U_2/U_1)*(U_1-U_1′)/U_1′", "The other form of the same, which a real meter pulls down: a lower bound.")
	if s.calc("r", "Ω/V", "R_low/U", "The lower of both, for each volt of the working voltage.") {
		switch s.get("r").Bound() {
		case quantity.Point:
			s.answer("r", "at least {}, by the lower of both forms")
		case quantity.Above, quantity.AtOrAbove:
			s.answer("r", "{}, by the lower of both forms")
		default:
			s.missing("a figure in place of the bound: with it nothing is left that the insulation is known to hold")
			return s.done()
		}
		limit := LimitFor("joined", r.Protection)
		s.judge("insulation", "r", quantity.AtLeast(limit.PerVolt.Value), ruleFor(s.get("r")), limit.Why, limit.Source)
	}
	return s.done()
}
