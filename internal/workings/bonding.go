package workings

import (
	"fmt"

	"boltback/internal/quantity"
)

var ()

// BondingReading is one path from a case to chassis, or between two cases.
type BondingReading struct {
	Name                string
	Value               Input
	Current, Resolution Input
	// BetweenCases is a pair of touchable cases within 2.5 m, for which 0.2 Ω
	// applies; otherwise the path runs to chassis.
	BetweenCases bool
}

// Bonding holds a path against 0.1 Ω (0.2 Ω between two touchable cases) with
// the current and resolution that make the reading evidence.
func Bonding(id string, r BondingReading) Working {
	s := begin(Insulation, "bonding "+id, "Bonding: "+r.Name)
	s.w.Sources = []Source{r100Bonding}
	most, why := "0.1 Ω", "a touchable conductive case of a high-voltage part, to chassis"
	if r.BetweenCases {
		most, why = "0.2 Ω", "two touchable cases within 2.5 m of each other"
	}
	s.take("R", "resistance, "+r.Name, r.Value, quantity.Resistance)
	s.take("I", "test current", r.Current, quantity.Current)
	s.take("q", "resolution of the meter", r.Resolution, quantity.Resistance)
	s.answer("R", "{}")
	ok := true
	if s.has("I") {
		ok = s.judge("test current", "I", quantity.AtLeast(quantity.MustParse("0.2 A")), quantity.SimpleAcceptance, "a weaker current does not show that a strap carries", r100Bonding).Outcome == Met
		s.calc("U", "mV", "R*I", "What the meter had to tell apart.")
		strong := decide("test current by the stronger practice", s.get("I"), quantity.AtLeast(quantity.MustParse("25 A")), quantity.SimpleAcceptance)
		strong.Source, strong.Why = bondingStrong, "for information: the standard's own test is stronger than the limit of the regulation"
		if strong.Outcome == NotMet {
			strong.Outcome = NoVerdict
		}
		s.verdict(strong)
	}
	if s.has("q") {
		ok = s.judge("resolution", "q", quantity.AtMost(quantity.MustParse("0.01 Ω")), quantity.SimpleAcceptance, "a tenth of the limit", r100Bonding).Outcome == Met && ok
	}
	if !s.has("I") || !s.has("q") || !ok {
		s.verdict(Verdict{Of: "bonding of " + r.Name, Against: "less than " + most, Outcome: EvidenceMissing, Source: r100Bonding, Why: why,
			Reason: "test current of at least 0.2 A and a resolution of 0.01 Ω or finer must be recorded for the reading to be evidence"})
		return s.done()
	}
	s.judge("bonding of "+r.Name, "R", quantity.LessThan(quantity.MustParse(most)), ruleFor(s.get("R")), why, r100Bonding)
	return s.done()
}

// DeadReading is one proving of a circuit as dead.
type DeadReading struct {
	Name string
	// BetweenPoles, PlusToChassis and MinusToChassis are the three readings;
	// Before and After are the tester tried on a known source.
	BetweenPoles, PlusToChassis, MinusToChassis Input
	Before, After                               Input
	RatedForLive                                string
}

// ProvedDead holds the three readings against 60 V and asks that the tester was
// tried on a known source before and after: without that, a low reading may be a
// dead tester.
func ProvedDead(id string, r DeadReading) Working {
	s := begin(Insulation, "dead "+id, "Proved dead: "+r.Name)
	limit := fmvssOpened
	s.w.Sources = []Source{limit, {"three-point proving of the tester", Habit}}
	s.w.Caution = hvCaution
	list := []struct {
		symbol, name string
		in           Input
	}{{"U_pn", "+ to -", r.BetweenPoles}, {"U_p", "+ to chassis", r.PlusToChassis}, {"U_n", "- to chassis", r.MinusToChassis}}
	complete := true
	for _, one := range list {
		complete = s.take(one.symbol, one.name, one.in, quantity.Voltage) && complete
		if s.has(one.symbol) {
			s.judge(one.name, one.symbol, quantity.AtMost(quantity.MustParse("60 V")), ruleFor(s.get(one.symbol)), "below it touching is not called high voltage", limit)
		}
	}
	before := s.take("U_a", "tester on a known source, before", r.Before, quantity.Voltage)
	after := s.take("U_z", "tester on the known source, after", r.After, quantity.Voltage)
	switch {
	case r.RatedForLive != "yes":
		s.verdict(Verdict{Of: "the circuit", Against: "proved dead", Outcome: EvidenceMissing, Reason: "the tester is not recorded as rated for the voltage that might have been there, so its reading is no evidence"})
	case !before || !after:
		s.verdict(Verdict{Of: "the circuit", Against: "proved dead", Outcome: EvidenceMissing, Reason: "the tester was not tried on a known source before and after; a low reading may be a dead tester"})
	case complete:
		worst := Met
		for _, v := range s.w.Verdicts {
			if v.Outcome != Met {
				worst = v.Outcome
			}
		}
		s.verdict(Verdict{Of: "the circuit", Against: "proved dead", Outcome: worst, Reason: "all three readings and the tester before and after"})
	}
	if complete {
		s.conclude("%s between the poles, %s and %s to chassis", s.show("U_pn"), s.show("U_p"), s.show("U_n"))
	}
	return s.done()
}

// Section is a run of cells between two breaks of a split pack.
type Section struct {
	Name    string
	Charged Input // its highest voltage
}

// Sections says what each part of a pack still carries when the disconnect is
// out: whatever is above 60 V stays live at the poles of its own box.
func Sections(id string, list []Section, pack Input) Working {
	s := begin(Insulation, "sections "+id, "What stays live when the disconnect is out")
	s.w.Sources = []Source{fmvssScope, crashVoltage}
	s.w.Caution = "A disconnect parts the pack; it does not discharge it. Each section keeps its own voltage at its poles. " + hvCaution
	sum := ""
	for i, one := range list {
		symbol := fmt.Sprintf("U_%d", i+1)
		s.take(symbol, one.Name+", charged", one.Charged, quantity.Voltage)
		sum += "+" + symbol
		if s.has(symbol) {
			v := s.judge(one.Name, symbol, quantity.AtMost(quantity.MustParse("60 V")), quantity.SimpleAcceptance, "above it the section stays live at its own poles", fmvssScope)
			last := &s.w.Verdicts[len(s.w.Verdicts)-1]
			if v.Outcome == NotMet {
				last.Outcome, last.Reason = NoVerdict, "stays live at "+s.show(symbol)+" at its own poles"
			}
		}
	}
	if len(list) < 2 {
		s.missing("the sections of the pack: which cells lie on which side of the disconnect")
		return s.done()
	}
	if s.calc("S", "V", sum[1:], "The sections in series.") {
		s.answer("S", "the sections together give {}; each keeps its own when they are parted")
	}
	if s.take("U", "pack as rated", pack, quantity.Voltage) && s.calc("g", "V", "S-U", "Against the pack as it is rated.") {
		if a, _ := amountOf(s.get("g")); a.v.Sign() != 0 {
			s.note("The sections do not add up to the rated pack: %s. A section is missing, or one of the figures is wrong.", s.show("g"))
		}
	}
	return s.done()
}

// WaitingTime is how long the capacitors behind an open contactor take to fall to
// 60 V through their discharge resistor: t = R · C · ln(U / 60 V), and the energy
// they hold until then.
func WaitingTime(id string, working, capacitance, discharge Input) Working {
	s := begin(Insulation, "waiting "+id, "Waiting for the capacitors")
	s.source("discharge of a capacitor through a resistor", Physics)
	s.w.Sources = append(s.w.Sources, crashEnergy)
	s.w.Caution = hvCaution + " A waiting time is no proof: prove it dead."
	s.take("U", "highest working voltage", working, quantity.Voltage)
	s.take("C", "capacitance behind the contactors", capacitance, quantity.Capacitance)
	s.take("U_s", "voltage below which touching is not called high voltage", published("60 V", fmvssScope).exactly(), quantity.Voltage)
	if s.calc("E", "J", "1/2*C*U^2", "Energy held.") {
		s.judge("energy held", "E", quantity.LessThan(quantity.MustParse("0.2 J")), quantity.SimpleAcceptance, "less than this is taken as harmless after a crash; more has to be discharged", crashEnergy)
		last := &s.w.Verdicts[len(s.w.Verdicts)-1]
		if last.Outcome == NotMet {
			last.Outcome, last.Reason = NoVerdict, "so the capacitors have to be discharged and waited for"
		}
	}
	s.take("R", "discharge resistor", discharge, quantity.Resistance)
	s.calc("t", "s", "R*C*ln(U/U_s)", "Time to fall to it.")
	s.answer("t", "{} to 60 V through the discharge resistor, if it is whole")
	return s.done()
}
