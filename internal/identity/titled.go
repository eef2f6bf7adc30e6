package identity

import "fmt"

// Titled finds out what the number on a title is the number of, and whether
// that is on the car. A title may have been issued on the engine number; with
// the engine in a store, the titled number no longer rides on the car.
func Titled(claims []Claim) []Statement {
	all := sorted(claims)
	var out []Statement
	for _, title := range titles(all) {
		out = append(out, titledOn(title, all)...)
	}
	return arrange(out)
}

// titles picks the numbers that a title gives the car. A title that gives none
// but an engine's or a gearbox's was issued on that.
func titles(all []Claim) []Claim {
	var car, unit []Claim
	for _, c := range all {
		switch {
		case !c.usable() || c.Kind != Title && c.Source != FromTitle || c.Kind == Registration:
		case c.Kind == Engine || c.Kind == Gearbox:
			unit = append(unit, c)
		default:
			car = append(car, c)
		}
	}
	if len(car) == 0 {
		return unit
	}
	return car
}

// titledOn compares one titled number with the numbers that parts of the car
// bear. It is silent when a chassis, body or plate number bears it out.
func titledOn(title Claim, all []Claim) []Statement {
	var out []Statement
	borne, read, near := false, false, ""
	for _, c := range all {
		if !c.usable() || onPaper(c) {
			continue
		}
		read = true
		agreement := Compare(title.Number, c.Number)
		if !soundly(agreement) {
			if near == "" && agreement.Verdict != Conflict {
				near = "; nearest is the " + c.Kind.Label() + ": " + agreement.Sentence()
			}
			continue
		}
		switch c.Kind {
		case Chassis, Body, Plate:
			borne = borne || c.OnCar != No
		case Engine, Gearbox:
			out = append(out, titledOnUnit(title, c, agreement))
		}
	}
	if borne {
		return nil
	}
	if len(out) == 0 && read {
		out = append(out, Statement{Code: "titled-number-not-found", Severity: Caution, Records: paths(title.Record),
			Sentence: fmt.Sprintf("the titled number %s was read on no part of the car%s", quote(title.Number.Raw), near),
			Asks:     []string{"where the titled number is stamped", "correction papers, if the title is wrong"}})
	}
	return out
}

// onPaper tells whether a claim was read in a paper and not on a part. A photo
// shows the part.
func onPaper(c Claim) bool {
	switch c.Source {
	case FromTitle, FromArchive, FromRegistration, FromTest, "certificate", "calibration certificate", "invoice", "letter",
		"licence", "manual", "supplier instruction", "weigh ticket", "test sheet", "drawing":
		return true
	}
	return c.Kind == Title || c.Kind == ArchivePaper || c.Kind == Registration
}

// soundly tells whether two numbers agree, or share the base of a recorded split.
func soundly(g Agreement) bool {
	return g.Verdict == Agree || g.Verdict == Incomplete && g.OnBase && g.Longer == 0
}

func titledOnUnit(title, unit Claim, agreement Agreement) Statement {
	s := Statement{Records: paths(title.Record, unit.Record, unit.Part),
		Asks: []string{"correction papers of the authority, before the car is presented"}}
	lead := fmt.Sprintf("the title is issued on %s, which is the %s", quote(title.Number.Raw), unit.Kind.Label())
	switch unit.OnCar {
	case No:
		s.Code, s.Severity = "titled-number-off-car", High
		s.Sentence = lead + fmt.Sprintf(", and the %s is off the car: the titled number no longer rides on it; "+
			"keep the %s with the car, and ask the authority before presenting the car", unit.Kind, unit.Kind)
	case Yes:
		s.Code, s.Severity = "titled-number-on-unit", Caution
		s.Sentence = lead + fmt.Sprintf("; should the %s come off, the titled number comes off with it", unit.Kind)
	default:
		s.Code, s.Severity = "titled-number-on-unit", High
		s.Sentence = lead + fmt.Sprintf("; whether the %s is on the car is not recorded", unit.Kind)
		s.Asks = append(s.Asks, "where the "+string(unit.Kind)+" is now")
	}
	s.Sentence += "; " + agreement.Sentence()
	return s
}
