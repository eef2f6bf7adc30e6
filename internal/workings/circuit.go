package workings

import (
	"fmt"

	"boltback/internal/quantity"
)

// Circuit is one electrical circuit with its protection.
type Circuit struct {
	Name                 string
	Voltage, Load        Input
	Fuse, Carries        Input // rating of the fuse; what the conductor may carry for good
	FuseVoltage          Input
	FuseBreaks, FuseFrom Input // largest and smallest current it can break
	Charged, Empty       Input // pack voltage, highest and lowest
	PackNew, PackWorst   Input // pack resistance, new; cold, empty and aged
	Wiring               Input // resistance of cables, links and contacts
	Conductor, Length    Input
	Temperature          Input // of the conductor
	Consumers            []Consumer
	Source               Input // rating of the converter that feeds it
}

// Consumer draws current; Steady ones may be on for as long as the car runs.
type Consumer struct {
	What    string
	Current Input
	Steady  bool
}

// FuseCheck holds a fuse against load, conductor and the largest and the
// smallest current that a short can make: a fuse that meets too small a fault
// current may burn on instead of breaking it.
func FuseCheck(id string, c Circuit) Working {
	s := begin(Pack, "fuse "+id, "Fuse: "+c.Name)
	s.w.Sources = []Source{fusePractice, {"Ohm's law", Physics}}
	s.w.Caution = hvCaution
	s.take("I_f", "fuse", c.Fuse, quantity.Current)
	if s.take("I_l", "load", c.Load, quantity.Current) && s.has("I_f") {
		s.judge("load", "I_l", quantity.AtMost(s.get("I_f")), quantity.SimpleAcceptance, "a fuse that carries less than the load opens in use", fusePractice)
	}
	if s.take("I_c", "conductor carries for good", c.Carries, quantity.Current) && s.has("I_f") {
		s.judge("fuse", "I_f", quantity.AtMost(s.get("I_c")), quantity.SimpleAcceptance, "the fuse protects the conductor, so it may not carry more", fusePractice)
	}
	s.take("U_a", "highest pack voltage", c.Charged, quantity.Voltage)
	if s.take("U_f", "voltage that the fuse may break", c.FuseVoltage, quantity.Voltage) && s.has("U_a") {
		s.judge("highest voltage", "U_a", quantity.AtMost(s.get("U_f")), quantity.SimpleAcceptance, "direct current does not pass through zero", fusePractice)
	}
	s.take("U_b", "lowest pack voltage", c.Empty, quantity.Voltage)
	s.take("R_a", "pack resistance, new and warm", c.PackNew, quantity.Resistance)
	s.take("R_b", "pack resistance, cold, empty and aged", c.PackWorst, quantity.Resistance)
	s.take("R_w", "cables, links and contacts", c.Wiring, quantity.Resistance)
	s.take("I_x", "largest current that the fuse can break", c.FuseBreaks, quantity.Current)
	s.take("I_y", "smallest current that the fuse can break", c.FuseFrom, quantity.Current)
	if s.calc("I_max", "A", "U_a/(R_a+R_w)", "Largest fault current: full, new, warm, shorted at the pack.") && s.has("I_x") {
		s.judge("largest fault current", "I_max", quantity.AtMost(s.get("I_x")), quantity.SimpleAcceptance, "above it the fuse may burst", fusePractice)
	}
	if s.calc("I_min", "A", "U_b/(R_b+R_w)", "Smallest fault current: empty, cold, aged, shorted at the far end.") && s.has("I_y") {
		s.judge("smallest fault current", "I_min", quantity.AtLeast(s.get("I_y")), quantity.SimpleAcceptance, "below it the fuse may arc on and not break", fusePractice)
	}
	switch {
	case s.has("I_max") && s.has("I_min"):
		s.conclude("a short makes from %s to %s", s.show("I_min"), s.show("I_max"))
	case s.has("I_f") && s.has("I_l"):
		s.conclude("fuse %s on a load of %s; fault currents not computed: needs %s", s.show("I_f"), s.show("I_l"), joinAnd(s.w.Missing))
	}
	return s.done()
}

func joinAnd(list []string) string {
	out := ""
	for i, one := range list {
		if i > 0 {
			out += "; "
		}
		out += one
	}
	return out
}

// VoltageDrop is the drop over a copper run, out and back, at the temperature of
// the conductor: ΔU = 2 · L · I · ρ / A, copper rising 0.393 % for each kelvin.
func VoltageDrop(id string, c Circuit) Working {
	s := begin(Pack, "drop "+id, "Voltage drop: "+c.Name)
	s.w.Sources = []Source{copper}
	s.assume("copper; the way back is as long and as thick as the way out; crimps and contacts are not in it")
	s.take("L", "length of the run", c.Length, quantity.Length)
	s.take("A", "conductor", c.Conductor, quantity.Area)
	s.take("I", "load", c.Load, quantity.Current)
	s.take("U", "working voltage", c.Voltage, quantity.Voltage)
	warm := c.Temperature
	if warm.Value.IsZero() {
		warm = published("20 °C", Source{"not recorded; 20 °C is taken, and a warm conductor drops more", Habit})
		s.assume("the conductor's temperature is not recorded; 20 °C is taken, and a warm conductor drops more")
	}
	s.take("T", "conductor temperature", warm, quantity.Temperature)
	s.take("r", "copper, 1 m of 1 mm² at 20 °C", published("0.017241 Ω", copper).exactly(), quantity.Resistance)
	s.take("l", "for this length", constant("1 m", "definition"), quantity.Length)
	s.take("a", "and this section", constant("1 mm²", "definition"), quantity.Area)
	s.take("k", "rise of copper", published("0.393 %", copper), quantity.Ratio)
	s.take("T_0", "at this temperature", constant("20 °C", "definition"), quantity.Temperature)
	s.take("T_1", "for each", constant("1 K", "definition"), quantity.TemperatureDifference)
	s.calc("R", "mΩ", "2*L/l*a/A*r*(1+k*(T-T_0)/T_1)", "Resistance out and back.")
	s.calc("D", "V", "I*R", "Drop at that load.")
	if s.calc("p", "%", "I*R/U", "Relative to the working voltage.") {
		s.w.Value = s.get("D")
		s.conclude("%s, that is %s", s.show("D"), s.show("p"))
		s.judge("drop", "p", quantity.AtMost(quantity.MustParse("3 %")), quantity.SimpleAcceptance, "a habit for what is sensitive to voltage; 5 to 10 % is usual elsewhere", Source{"workshop habit", Habit})
	}
	return s.done()
}

// DCDCBudget adds up what runs for as long as the car does and holds it against
// the converter.
func DCDCBudget(id string, c Circuit) Working {
	s := begin(Pack, "budget "+id, "Load budget: "+c.Name)
	s.source("the converter must carry what runs steadily; what runs for moments is left to the battery", Habit)
	sum, list := "", ""
	for i, one := range c.Consumers {
		if !one.Steady {
			list = appendList(list, one.What+" "+one.Current.Text)
			continue
		}
		symbol := fmt.Sprintf("I_%d", i+1)
		s.take(symbol, one.What, one.Current, quantity.Current)
		sum += "+" + symbol
	}
	if list != "" {
		s.note("For moments, and not counted: %s.", list)
	}
	switch {
	case sum == "" && !c.Load.Value.IsZero():
		s.take("I", "load as recorded for the circuit as a whole", c.Load, quantity.Current)
		s.assume("the consumers are not listed one by one; the recorded load is taken as all that runs steadily")
	case sum == "":
		s.missing("what the converter feeds, each with its current")
		return s.done()
	default:
		s.calc("I", "A", sum[1:], "All that runs steadily.")
	}
	s.answer("I", "{} steady")
	if s.take("I_r", "converter rated for", c.Source, quantity.Current) && s.has("I") {
		s.judge("steady load", "I", quantity.AtMost(s.get("I_r")), quantity.SimpleAcceptance, "more than that comes out of the 12 V battery", Source{"the converter's data sheet", Habit})
	}
	return s.done()
}

func appendList(list, one string) string {
	if list == "" {
		return one
	}
	return list + ", " + one
}
