package workings

import (
	"fmt"
	"math/big"
	"strings"

	"boltback/internal/quantity"
)

// WordingNoHeavier is what the verdict on that wording is of.
const WordingNoHeavier = "the wording “no heavier than found”"

// conditions says how the car stood, in a line.
func (w *Weighing) conditions() string {
	parts := []string{"condition " + orNot(w.Condition), "fuel " + orNot(w.Fuel), "driver " + orNot(w.Driver)}
	if w.Ballast != "" {
		parts = append(parts, "also aboard: "+w.Ballast)
	}
	return strings.Join(parts, ", ")
}

func orNot(text string) string {
	if text == "" {
		return "not recorded"
	}
	return text
}

// differences lists why two weighings do not describe the same state of a car:
// the kind of mass, the fuel, the driver, what else was aboard. What is not
// recorded is a difference too, as nobody can say that it was the same.
func differences(a, b Weighing) []string {
	var list []string
	for _, one := range []struct{ what, before, after string }{
		{"condition", a.Condition, b.Condition}, {"fuel", a.Fuel, b.Fuel}, {"driver", a.Driver, b.Driver},
	} {
		before, after := orNot(one.before), orNot(one.after)
		switch {
		case before == "not recorded" || after == "not recorded":
			list = append(list, fmt.Sprintf("%s not recorded (%s, then %s)", one.what, before, after))
		case before != after:
			list = append(list, fmt.Sprintf("%s: %s, then %s", one.what, before, after))
		}
	}
	if a.Ballast != b.Ballast {
		list = append(list, fmt.Sprintf("other things aboard: %s, then %s", noneOr(a.Ballast), noneOr(b.Ballast)))
	}
	return list
}

func noneOr(text string) string {
	if text == "" {
		return "none recorded"
	}
	return text
}

// MassChange compares two weighings: the change in total and per axle, in kg, in
// per cent and in share points of the total. Weighings in different conditions
// are not compared; an estimate corrected for what was aboard is given only
// where each of those masses is recorded.
func MassChange(id string, before, after Weighing) Working {
	s := begin(Mass, "change "+id, "Change in mass: "+before.Name+", then "+after.Name)
	s.w.Sources = []Source{goodHabits, addition, gumSum}
	s.assume("the two weighings do not depend on each other; an error that both share is counted twice")
	s.say("The car stood, before.", before.conditions())
	s.say("The car stood, after.", after.conditions())
	if before.hearsay() || after.hearsay() {
		s.missing("two weighed figures; one of these was only stated")
		return s.done()
	}
	why := differences(before, after)
	if len(why) > 0 {
		return corrected(s, before, after, why)
	}
	s.change(before, after)
	s.answer("D", "the total changed by {}")
	s.noHeavier(after.Name)
	return s.done()
}

// changeOf takes one figure before and after.
func (s *sheet) changeOf(what, symbol string, before, after Input) {
	s.take(symbol+"_b", what+" before", before, quantity.Mass)
	s.take(symbol+"_a", what+" after", after, quantity.Mass)
}

// change writes the lines of the comparison.
func (s *sheet) change(before, after Weighing) {
	s.changeOf("total", "m", before.reading(before.Total, 4), after.reading(after.Total, 4))
	s.changeOf("front axle", "m_F", before.reading(before.Front, 2), after.reading(after.Front, 2))
	s.changeOf("rear axle", "m_R", before.reading(before.Rear, 2), after.reading(after.Rear, 2))
	s.calc("D", "kg", "m_a-m_b", "Change of the whole car.")
	s.calc("D_rel", "%", "(m_a-m_b)/m_b", "The same relative to before.")
	s.calc("D_F", "kg", "m_F_a-m_F_b", "Change on the front axle.")
	s.calc("D_F_rel", "%", "(m_F_a-m_F_b)/m_F_b", "The same relative to the front axle before.")
	s.calc("D_R", "kg", "m_R_a-m_R_b", "Change on the rear axle.")
	s.calc("D_R_rel", "%", "(m_R_a-m_R_b)/m_R_b", "The same relative to the rear axle before.")
	s.calc("p_b", "%", "m_F_b/(m_F_b+m_R_b)", "Share of the front axle before.")
	s.calc("p_a", "%", "m_F_a/(m_F_a+m_R_a)", "Share of the front axle after.")
	if s.calc("D_p", "%", "m_F_a/(m_F_a+m_R_a)-m_F_b/(m_F_b+m_R_b)", "Change of that share, in points of the total (not relative to the share).") {
		s.note("A rule that limits the change of an axle may mean share points (%s) or a change relative to that axle (front %s, rear %s). Both are shown; the rule decides which it means.",
			s.show("D_p"), s.show("D_F_rel"), s.show("D_R_rel"))
	}
}

// noHeavier judges the wording "no heavier than found": only where the change
// lies below zero by its uncertainty may it be said.
func (s *sheet) noHeavier(name string) {
	if !s.has("D") {
		return
	}
	limit := quantity.AtMost(kilograms(new(big.Rat)))
	v := decide(WordingNoHeavier, s.get("D"), limit, quantity.GuardBand)
	v.Source, v.Why = guard, "a statement to a buyer must hold beyond the doubt of the scales"
	switch v.Outcome {
	case Met:
		v.Reason = "supported by " + name + ": the change is below zero by more than its uncertainty"
	case NotMet:
		v.Reason = "contradicted by " + name + ": the car is heavier by more than the scales can be wrong"
	case TooClose:
		v.Reason = "withheld: the change lies within the uncertainty of the two weighings"
	}
	s.verdict(v)
}

// corrected refuses the comparison and, where every correction is recorded,
// gives an estimate that is labelled as one.
func corrected(s *sheet, before, after Weighing, why []string) Working {
	s.verdict(Verdict{Of: "the two weighings", Against: "one and the same condition", Outcome: NotComparable,
		Reason: "they are not comparable as they stand: " + strings.Join(why, "; "), Source: goodHabits,
		Why: "dry, kerb and running-order mass are different kinds of mass; a rule of percentages may only use the kind it names"})
	s.verdict(Verdict{Of: WordingNoHeavier, Against: "two comparable weighings", Outcome: EvidenceMissing,
		Reason: "withheld: there are no two comparable weighings", Source: goodHabits})
	s.take("m_b", "total before, raw", before.reading(before.Total, 4), quantity.Mass)
	s.take("m_a", "total after, raw", after.reading(after.Total, 4), quantity.Mass)
	if before.Condition != after.Condition || !explained(before) || !explained(after) {
		s.missing("the mass of everything that was aboard at one weighing and not at the other, each recorded (fuel, driver, ballast)")
		return s.done()
	}
	formula := func(total, letter string, aboard []Load) string {
		for i, l := range aboard {
			symbol := fmt.Sprintf("%s_%d", letter, i+1)
			s.take(symbol, l.What+" aboard", l.Mass, quantity.Mass)
			total += "-" + symbol
		}
		return total
	}
	first := formula("m_b", "b", before.Aboard)
	second := formula("m_a", "a", after.Aboard)
	s.calc("B", "kg", first, "Estimate of the bare car before: what was aboard is taken off.")
	s.calc("A", "kg", second, "Estimate of the bare car after.")
	s.calc("D", "kg", "A-B", "Estimated change.")
	s.answer("D", "estimate, not a measurement: the total changed by about {}")
	return s.done()
}

// explained reports whether the mass of the fuel and of the driver stand in the
// list of what was aboard, as far as they were aboard.
func explained(w Weighing) bool {
	named := func(word string) bool {
		for _, l := range w.Aboard {
			if strings.Contains(strings.ToLower(l.What), word) && l.Mass.Value.IsPoint() {
				return true
			}
		}
		return false
	}
	fuel := strings.HasPrefix(w.Fuel, "no") && w.Fuel != "not recorded" || named("fuel") || named("petrol")
	driver := w.Driver == "not aboard" || named("driver")
	return fuel && driver && (w.Ballast == "" || named("ballast"))
}

// PercentageChange holds a change of mass against a rule in per cent of the kind
// of mass that the rule names. Figures of another kind are not used.
func PercentageChange(id, kind string, before, after Input, beforeKind, afterKind string, most Input, source Source) Working {
	s := begin(Mass, "percentage "+id, "Change of "+kind+" mass in per cent")
	s.w.Sources = []Source{source}
	for _, one := range []struct{ which, is string }{{"before", beforeKind}, {"after", afterKind}} {
		if orNot(one.is) != kind {
			s.missing(fmt.Sprintf("the %s mass %s; the figure there is of another kind (%s)", kind, one.which, orNot(one.is)))
		}
	}
	s.take("m_b", beforeKind+" mass before", before, quantity.Mass)
	s.take("m_a", afterKind+" mass after", after, quantity.Mass)
	if len(s.w.Missing) > 0 {
		s.verdict(Verdict{Of: "change in mass", Against: kind + " mass, before and after", Outcome: NotComparable, Source: source,
			Reason: "three kinds of mass go by the name of weight; this rule takes " + kind + " only"})
		return s.done()
	}
	s.take("p", "limit of the rule", most, quantity.Ratio)
	s.calc("c", "%", "abs(m_a-m_b)/m_b", "Change relative to before.")
	s.answer("c", "{}")
	if s.has("c") && s.has("p") {
		s.judge("change in mass", "c", quantity.AtMost(s.get("p")), quantity.SimpleAcceptance, "the rule names "+kind+" mass", source)
	}
	return s.done()
}
