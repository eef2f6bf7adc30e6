package workings

import (
	"boltback/internal/quantity"
)

// PreCharge is how the capacitors behind the contactors are brought up to
// voltage.
type PreCharge struct {
	Voltage                       Input // of the pack
	Resistance, Capacitance, Time Input
	ContactorVoltage              Input // most that the main contactor may close onto
	ResistorEnergy                Input // that the resistor takes in one go
	Retries                       int64
}

// PreChargeCurve follows the voltage behind the contactors: U(t) = U₀ · (1 -
// exp(-t / RC)). What is left across the main contactor when it closes is held
// against its rating, the energy in the resistor against the resistor's, for one
// attempt, for all attempts before lockout, and for a circuit that is shorted.
func PreChargeCurve(id string, p PreCharge) Working {
	s := begin(Pack, "pre-charge "+id, "Pre-charge")
	s.w.Sources = []Source{rcCharge}
	s.w.Caution = hvCaution
	s.take("U_0", "pack voltage, charged", p.Voltage, quantity.Voltage)
	s.take("R", "pre-charge resistor", p.Resistance, quantity.Resistance)
	s.take("C", "capacitance behind the contactors", p.Capacitance, quantity.Capacitance)
	s.take("t", "time allowed", p.Time, quantity.Duration)
	s.calc("τ", "ms", "R*C", "Time constant.")
	s.calc("I_0", "A", "U_0/R", "Current at the start.")
	s.calc("W", "J", "1/2*C*U_0^2", "Energy that the resistor takes, whatever its size.")
	s.calc("p", "%", "1-exp(-t/(R*C))", "Share of the pack voltage reached in the time allowed.")
	if s.calc("U_r", "V", "U_0*exp(-t/(R*C))", "Voltage left across the main contactor when it closes.") {
		s.answer("U_r", "{} left across the main contactor")
		s.judge("share reached", "p", quantity.AtLeast(quantity.MustParse("95 %")), quantity.SimpleAcceptance, "after three time constants; a common threshold", Source{"practice", Habit})
	}
	if s.take("U_k", "most that the contactor may close onto", p.ContactorVoltage, quantity.Voltage) && s.has("U_r") {
		s.judge("voltage at closing", "U_r", quantity.AtMost(s.get("U_k")), ruleFor(s.get("U_r")), "a contactor that closes onto more may weld", Source{"the contactor's data sheet", Habit})
	}
	s.resistor(p)
	return s.done()
}

// resistor holds the energies against what the resistor takes.
func (s *sheet) resistor(p PreCharge) {
	have := s.take("W_R", "energy the resistor takes in one go", p.ResistorEnergy, quantity.Energy)
	s.calc("W_s", "J", "U_0^2*t/R", "Into a shorted circuit: full voltage on the resistor for the time allowed.")
	all := false
	if s.takeCount("n", "attempts before it locks out", p.Retries, Input{}) {
		all = s.calc("W_n", "J", "n*U_0^2*t/R", "All attempts into a short, one after the other without time to cool.")
	}
	if !have {
		return
	}
	sheet := Source{"the resistor's data sheet", Habit}
	s.judge("resistor, one pre-charge", "W", quantity.AtMost(s.get("W_R")), quantity.SimpleAcceptance, "", sheet)
	s.judge("resistor, shorted circuit", "W_s", quantity.AtMost(s.get("W_R")), quantity.SimpleAcceptance, "the fault that the resistor must outlive", sheet)
	if all {
		s.judge("resistor, all attempts into a short", "W_n", quantity.AtMost(s.get("W_R")), quantity.SimpleAcceptance, "attempts follow each other before it cools", sheet)
	}
}

// Residual is the voltage left across the contactor as it was measured.
func Residual(id string, left, pack, most Input) Working {
	s := begin(Pack, "residual "+id, "Voltage left across the main contactor, measured")
	s.w.Sources = []Source{{"the contactor's data sheet", Habit}}
	s.take("U_r", "left across the contactor", left, quantity.Voltage)
	s.take("U_0", "pack voltage", pack, quantity.Voltage)
	s.calc("p", "%", "1-U_r/U_0", "Share of the pack voltage reached.")
	s.answer("p", "closed at {} of the pack voltage")
	if s.has("p") {
		s.judge("share reached", "p", quantity.AtLeast(quantity.MustParse("95 %")), quantity.SimpleAcceptance, "a common threshold", Source{"practice", Habit})
	}
	if s.take("U_k", "most that the contactor may close onto", most, quantity.Voltage) && s.has("U_r") {
		s.judge("voltage at closing", "U_r", quantity.AtMost(s.get("U_k")), ruleFor(s.get("U_r")), "a contactor that closes onto more may weld", Source{"the contactor's data sheet", Habit})
	}
	return s.done()
}
