package workings

import (
	"fmt"

	"boltback/internal/quantity"
)

// PowerFigure is a power with the basis on which it was counted.
type PowerFigure struct {
	What, Basis string
	Power       Input
}

// PowerRatio gives the motor's power over the engine's, for each basis that a
// source states. Net and gross horsepower are different measurements: a rule in
// per cent is judged on each, and where they differ the basis has to be settled.
func PowerRatio(id string, motor PowerFigure, engines []PowerFigure, least, most Input, rule Source) Working {
	s := begin(Pack, "power "+id, "Power of the motor over that of the engine: "+motor.What)
	s.w.Sources = []Source{powerMeasure}
	if rule.Text != "" {
		s.w.Sources = append(s.w.Sources, rule)
	}
	s.take("P", motor.What+" ("+orNot(motor.Basis)+")", motor.Power, quantity.Power)
	if least.Text != "" || most.Text != "" {
		s.take("a", "least", least.exactly(), quantity.Ratio)
		s.take("b", "most", most.exactly(), quantity.Ratio)
	}
	outcomes := map[Outcome]bool{}
	var answer string
	for i, e := range engines {
		p, r := fmt.Sprintf("P_%d", i+1), fmt.Sprintf("r_%d", i+1)
		s.take(p, e.What+" ("+orNot(e.Basis)+")", e.Power, quantity.Power)
		s.calc(fmt.Sprintf("K_%d", i+1), "kW", p, "In kilowatts, "+e.What+".")
		if !s.calc(r, "%", "P/"+p, "Motor over engine, "+e.What+".") {
			continue
		}
		answer = appendList(answer, fmt.Sprintf("%s of %s (%s)", s.show(r), Show(e.Power.Value), orNot(e.Basis)))
		if s.has("a") && s.has("b") {
			v := decide(fmt.Sprintf("power against %s, %s", e.What, orNot(e.Basis)), s.get(r), quantity.Between(s.get("a"), s.get("b")), quantity.SimpleAcceptance)
			v.Source, v.Why = rule, "the rule compares like with like; the engine's figure counts on the basis that the rule names"
			if orNot(e.Basis) == "not recorded" || e.Basis == "not stated" {
				v.Why = "on the assumption that this is the basis that the rule names, as none is recorded"
			}
			outcomes[v.Outcome] = true
			s.verdict(v)
		}
	}
	if len(outcomes) > 1 {
		s.note("The figures for the engine stand on different bases and give different answers. Which of them counts is settled by the basis the rule names, and by a paper that shows it.")
	}
	if answer != "" {
		s.conclude("%s", answer)
	}
	if len(engines) == 0 {
		s.missing("the power of the engine with its basis")
	}
	return s.done()
}

// InputTorque holds the motor's torque against what the gearbox may take. Where
// nothing is published there is no limit to hold it against, and the engine's own
// torque is shown beside it as what the gearbox bore before.
func InputTorque(id string, motor, gearbox, engine Input) Working {
	s := begin(Pack, "input torque "+id, "Torque into the gearbox")
	s.source("the gearbox's published rating", Habit)
	s.take("T_m", "motor, as limited", motor, quantity.Torque)
	s.take("T_g", "gearbox rating", gearbox, quantity.Torque)
	if s.take("T_e", "engine as built", engine, quantity.Torque) {
		s.calc("r", "%", "T_m/T_e", "Motor over engine.")
	}
	switch {
	case s.has("T_m") && s.has("T_g"):
		s.calc("c", "N.m", "T_g-T_m", "What is left.")
		s.answer("c", "{} left of the rating")
		s.judge("motor torque", "T_m", quantity.AtMost(s.get("T_g")), quantity.SimpleAcceptance, "the gearbox's rating", Source{"published rating", Habit})
	case s.has("r"):
		s.conclude("the gearbox has no rating on record (%s); the motor makes %s of what the engine made", orNot(gearbox.Text), s.show("r"))
		s.verdict(Verdict{Of: "motor torque", Against: "the gearbox's rating", Outcome: EvidenceMissing,
			Reason: "no rating is published; that the engine's torque is not exceeded is a comparison and no rating, and a motor gives it from standstill"})
	}
	return s.done()
}
