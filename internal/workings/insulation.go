package workings

import (
	"fmt"

	"boltback/internal/quantity"
)

// InsulationReading is one insulation test.
type InsulationReading struct {
	Name string
	// Plus and Minus are from that pole to chassis, Bridged from both poles
	// joined. A pole that was not measured is empty.
	Plus, Minus, Bridged Input
	Circuit              string // pack side, load side, joined, charge inlet
	State                string // live, dead
	TestVoltage, Working Input
	// Protection is what the record says protects the alternating-current side
	// besides basic insulation; empty keeps the stricter limit.
	Protection string
	// RatedForLive says whether the instrument may be joined to a live pole.
	RatedForLive string
	// BMS says whether the battery monitor was joined; empty where not recorded.
	BMS                   string
	Temperature, Humidity Input
	On                    string
}

var (
	parallel = Source{"resistances in parallel", Physics}
	leakage  = Source{"a 20 mA leakage rule of workshops", Habit}
)

const hvCaution = "Proved dead and locked off by a person trained for it before anything is touched. Local law and licensed practice decide who may measure."

// IsolationLimit is the least resistance per volt that applies, and why.
type IsolationLimit struct {
	PerVolt Input
	Why     string
	Source  Source
}

// LimitFor chooses the limit: an inverter drive joins direct and alternating
// current, so 500 Ω/V applies to it unless a protection of the
// alternating-current side is recorded; a direct-current side that is apart
// keeps 100 Ω/V. What is joined to the charge inlet is on alternating current
// from the mains, and no protection lowers its limit.
func LimitFor(circuit, protection string) IsolationLimit {
	switch {
	case circuit == "pack side":
		return IsolationLimit{published("100 Ω/V", r100Separate).exactly(), "the pack side was measured apart from the inverter, so it is a direct-current circuit by itself; joined to the drive the stricter limit applies", r100Separate}
	case circuit == "charge inlet":
		return IsolationLimit{published("500 Ω/V", fmvssInlet).exactly(), "the live parts joined to an inlet for alternating current, with the plug out", fmvssInlet}
	case protection != "":
		return IsolationLimit{published("100 Ω/V", r100Joined).exactly(), "direct and alternating current are joined and the alternating-current side is recorded as protected: " + protection, r100Joined}
	}
	return IsolationLimit{published("500 Ω/V", r100Joined).exactly(), "an inverter joins direct and alternating current, and no further protection of the alternating-current side is recorded", r100Joined}
}

// Isolation takes one test to ohms per volt of the working voltage and holds it
// against the limits. A bridged reading is complete; otherwise both poles are
// needed and the worse counts.
func Isolation(id string, r InsulationReading) Working {
	s := begin(Insulation, "isolation "+id, "Insulation: "+r.Name)
	s.w.Sources = []Source{r100Joined, r100Separate, fmvssIsolation}
	s.w.Caution = hvCaution
	s.take("U", "highest working voltage", r.Working.exactly(), quantity.Voltage)
	s.adequate(r)
	if unit := r.milliohms(); unit != "" {
		s.missing("whether " + unit + " was meant as megohms: no insulation is measured in milliohms, and milli and mega differ by a thousand million; look at the sheet and at the tester")
		s.verdict(Verdict{Of: "the circuit as a whole", Against: "a reading that can be of insulation", Outcome: EvidenceMissing, Reason: "a figure in milliohms is kept as it was read and not judged", Source: testVoltage})
		return s.done()
	}
	if r.BMS == "joined" {
		s.note("The battery monitor was joined to the circuit: its own paths to chassis are in the reading, which is lower for it.")
	}
	if !s.worstPole(r) {
		return s.done()
	}
	if !s.calc("r", "Ω/V", "R/U", "For each volt of the working voltage.") {
		return s.done()
	}
	s.answer("r", "{}")
	if !s.evidence(r) {
		return s.done()
	}
	s.isolationVerdicts(LimitFor(r.Circuit, r.Protection))
	return s.done()
}

// milliohms gives the first figure that is written in milliohms or less.
func (r InsulationReading) milliohms() string {
	for _, in := range []Input{r.Plus, r.Minus, r.Bridged} {
		if u := in.Value.Unit(); u == "mΩ" || u == "µΩ" {
			return in.Text
		}
	}
	return ""
}

// worstPole chooses R: the bridged reading, or the worse of both poles.
func (s *sheet) worstPole(r InsulationReading) bool {
	switch {
	case r.Bridged.Text != "":
		s.say("Both poles bridged, to chassis: the whole circuit in one reading.", r.Bridged.Text)
		ok := s.take("R", "both poles bridged to chassis", r.Bridged, quantity.Resistance)
		s.plausible(r)
		return ok
	case r.Plus.Text == "" && r.Minus.Text == "":
		s.lack("R", "a reading of both poles to chassis, or of both bridged")
		return false
	case r.Plus.Text == "" || r.Minus.Text == "":
		have, lacks := "positive", "negative"
		in := r.Plus
		if r.Plus.Text == "" {
			have, lacks, in = "negative", "positive", r.Minus
		}
		s.take("R_1", have+" pole to chassis", in, quantity.Resistance)
		s.lack("R", "the "+lacks+" pole to chassis, or a reading with both poles bridged")
		s.verdict(Verdict{Of: "the circuit as a whole", Against: "both poles", Outcome: EvidenceMissing, Reason: "the " + lacks + " pole was not measured: incomplete, and no overall verdict", Source: r100Joined})
		return false
	}
	p := s.take("R_p", "positive pole to chassis", r.Plus, quantity.Resistance)
	n := s.take("R_n", "negative pole to chassis", r.Minus, quantity.Resistance)
	if !p || !n {
		s.lacks["R"] = true
		return false
	}
	return s.calc("R", r.Plus.Value.Unit(), "min(R_p, R_n)", "The worse pole counts.")
}

// plausible notes a bridged reading above a single pole, which cannot be.
func (s *sheet) plausible(r InsulationReading) {
	for _, pole := range []Input{r.Plus, r.Minus} {
		if order, err := quantity.Compare(r.Bridged.Value, pole.Value); err == nil && order == quantity.More {
			s.note("%s bridged is more than %s of a single pole; two paths side by side cannot insulate better than one of them: one of the figures is wrong.", r.Bridged.Text, pole.Text)
		}
	}
}

// adequate holds the test voltage against the working voltage.
func (s *sheet) adequate(r InsulationReading) {
	s.take("U_t", "test voltage", r.TestVoltage, quantity.Voltage)
	if s.has("U_t") && s.has("U") {
		s.judge("test voltage", "U_t", quantity.AtLeast(s.get("U")), quantity.SimpleAcceptance,
			"a test below the highest working voltage does not show what the insulation holds", testVoltage)
	}
}

// evidence refuses what shows nothing.
func (s *sheet) evidence(r InsulationReading) bool {
	reason := r.noEvidence()
	if reason != "" {
		s.verdict(Verdict{Of: "the circuit as a whole", Against: "a test that is evidence", Outcome: EvidenceMissing, Reason: reason, Source: testVoltage})
	}
	return reason == ""
}

// noEvidence says why a test shows nothing: a test voltage that is too low or not
// given, or an instrument that is not rated for the voltage of a live pole; empty
// for a test that is evidence.
func (r InsulationReading) noEvidence() string {
	switch order, err := quantity.Compare(r.TestVoltage.Value, r.Working.Value); {
	case r.milliohms() != "":
		return r.milliohms() + " is no figure of insulation"
	case r.TestVoltage.Value.IsZero():
		return "no test voltage is recorded"
	case err != nil || order == quantity.Less || order == quantity.Unsettled:
		return "the test voltage is not known to reach the highest working voltage; repeat it with at least that"
	case r.State == "live" && r.RatedForLive != "yes":
		return "the circuit was live and the instrument is not recorded as rated for external voltage, so what it showed is no evidence"
	case r.State != "live" && r.State != "dead":
		return "whether the circuit was live or dead is not recorded"
	}
	return ""
}

// complete reports whether a test covers the circuit: both poles bridged, or both
// of them by themselves.
func (r InsulationReading) complete() bool {
	return r.Bridged.Text != "" || r.Plus.Text != "" && r.Minus.Text != ""
}

// asBridged is what the circuit reads with both poles bridged: as it was read, or
// from the single poles as paths side by side, which is the least it can be.
func (r InsulationReading) asBridged() Input {
	if r.Bridged.Text != "" {
		return r.Bridged
	}
	return From(Bridged("", r.Plus, r.Minus).Value, Source{"both poles bridged, from " + r.Plus.Text + " and " + r.Minus.Text, Physics})
}

// isolationVerdicts holds Ω/V against the limit that applies and shows the
// others, each under its own name.
func (s *sheet) isolationVerdicts(limit IsolationLimit) {
	s.judge("insulation", "r", quantity.AtLeast(limit.PerVolt.Value), ruleFor(s.get("r")), limit.Why, limit.Source)
	for _, other := range []struct{ text, of string }{{"100 Ω/V", "for comparison, direct current alone"}, {"500 Ω/V", "for comparison, alternating or joined"}} {
		if other.text == limit.PerVolt.Text {
			continue
		}
		v := decide(other.of, s.get("r"), quantity.AtLeast(quantity.MustParse(other.text)), ruleFor(s.get("r")))
		v.Why, v.Source = "not the limit that applies here; shown because many quote it", fmvssIsolation
		s.verdict(v)
	}
	if s.calc("I", "mA", "U/R", "Leakage current that this resistance allows.") {
		s.judge("leakage", "I", quantity.AtMost(quantity.MustParse("20 mA")), ruleFor(s.get("I")), "some workshops quote a leakage instead of ohms per volt", leakage)
	}
}

// Bridged combines two poles, each measured to chassis by itself, to what both
// bridged would read, if nothing but chassis joins them.
func Bridged(id string, plus, minus Input) Working {
	s := begin(Insulation, "bridged "+id, "Both poles bridged, from the single poles")
	s.w.Caution = hvCaution
	s.w.Sources = []Source{parallel}
	unit := plus.Value.Unit()
	if plus.Value.Dimension() != quantity.Resistance {
		unit = "Ω"
	}
	s.take("R_p", "positive pole to chassis", plus, quantity.Resistance)
	s.take("R_n", "negative pole to chassis", minus, quantity.Resistance)
	s.calc("R", unit, "R_p*R_n/(R_p+R_n)", "Two paths to chassis side by side.")
	s.answer("R", "{}")
	return s.done()
}

// Side is a side of the traction circuit that was measured by itself.
type Side struct {
	Name  string
	Value Input
}

// JoinedSides combines pack side and load side, measured apart, before the limit
// is applied: joined, their paths to chassis lie side by side.
func JoinedSides(id string, pack, load, working Input, protection string) Working {
	return Joined(id, []Side{{"pack side to chassis", pack}, {"load side to chassis", load}}, working, protection)
}

// Joined is JoinedSides for any number of sides: 1/R = 1/R₁ + 1/R₂ + ...
func Joined(id string, sides []Side, working Input, protection string) Working {
	s := begin(Insulation, "joined "+id, "Sides measured apart, joined")
	s.w.Caution = hvCaution
	s.w.Sources = []Source{parallel, r100Joined, fmvssIsolation}
	s.take("U", "highest working voltage", working.exactly(), quantity.Voltage)
	sum, unit := "", "MΩ"
	for i, side := range sides {
		symbol := fmt.Sprintf("R_%d", i+1)
		s.take(symbol, side.Name, side.Value, quantity.Resistance)
		sum += "+1/" + symbol
		if order, err := quantity.Compare(side.Value.Value, quantity.MustParse("1 MΩ")); err == nil && order == quantity.Less {
			unit = "kΩ"
		}
	}
	if len(sides) < 2 {
		s.missing("pack side and load side, each measured by itself")
		return s.done()
	}
	if s.calc("R", unit, "1/("+sum[1:]+")", "Paths to chassis side by side.") && s.calc("r", "Ω/V", "R/U", "For each volt of the working voltage.") {
		s.answer("r", "{} when the sides are joined")
		s.isolationVerdicts(LimitFor("joined", protection))
	}
	return s.done()
}
