package quantity

import (
	"fmt"
	"math"
	"math/big"
)

// Rule is a decision rule: how far inside a limit a reading must lie, as a share
// of its expanded uncertainty U (ILAC-G8:09/2019, 4.2 and table 1).
type Rule string

// The decision rules. The chances hold for a reading at the edge of acceptance
// and normally distributed errors, for a single limit.
const (
	SimpleAcceptance Rule = "simple acceptance" // w = 0; wrong accept up to 50 %
	GuardBand083     Rule = "guard band 0.83 U" // w = 0.83 U; below 5 %
	GuardBand        Rule = "guard band U"      // w = U; below 2.5 %
	GuardBand150     Rule = "guard band 1.5 U"  // w = 1.5 U; below 0.16 %
)

// Rules lists the decision rules from the most lenient to the strictest.
func Rules() []Rule { return []Rule{SimpleAcceptance, GuardBand083, GuardBand, GuardBand150} }

// RuleNamed finds a rule by the name used in requirement sets.
func RuleNamed(name string) (Rule, bool) {
	_, ok := Rule(name).share()
	return Rule(name), ok
}

// share is w/U.
func (r Rule) share() (*big.Rat, bool) {
	switch r {
	case SimpleAcceptance:
		return new(big.Rat), true
	case GuardBand083:
		return big.NewRat(83, 100), true
	case GuardBand:
		return big.NewRat(1, 1), true
	case GuardBand150:
		return big.NewRat(3, 2), true
	}
	return nil, false
}

// Outcome is the result of holding a reading against a limit.
type Outcome string

// The outcomes. TooClose: the limit lies within the guard band, so the reading
// shows neither. Undecidable: something needed for a decision is missing.
const (
	Met         Outcome = "met"
	NotMet      Outcome = "not met"
	TooClose    Outcome = "too close to call"
	Undecidable Outcome = "undecidable"
)

// Decision is an outcome with its reason.
type Decision struct {
	Outcome Outcome
	Rule    Rule
	Reason  string // one sentence without full stop
	// WrongAccept is the chance that the true value lies outside the limit
	// although the outcome is Met: the specific consumer's risk of JCGM 106:2012,
	// 9.3.2, for a normal distribution about the reading and no knowledge before
	// it. Known only for a point with a recorded uncertainty.
	WrongAccept      float64
	WrongAcceptKnown bool
}

// Decide holds a reading against a limit under a rule (ILAC-G8:09/2019, 4.2).
// Inside the limit by the guard band w or more is met, outside by more than w is
// not met, between the two is too close to call (4.2.3). It never fails: what
// cannot be decided is an outcome with its reason.
func Decide(measured Quantity, limit Limit, rule Rule) Decision {
	d := Decision{Rule: rule}
	share, ok := rule.share()
	if !ok {
		return d.undecidable(fmt.Sprintf("there is no decision rule called %q", clip(string(rule))))
	}
	if reason := notDecidable(measured, limit); reason != "" {
		return d.undecidable(reason)
	}
	if measured.bound != Point {
		return d.decideBound(measured, limit)
	}
	if measured.u == nil && share.Sign() > 0 {
		return d.undecidable(fmt.Sprintf("the uncertainty of %s is not recorded, and the rule %s needs it", measured, rule))
	}
	return d.decidePoint(measured, limit, share)
}

func (d Decision) undecidable(reason string) Decision {
	d.Outcome, d.Reason = Undecidable, reason
	return d
}

// notDecidable names what stands in the way of any decision, or "".
func notDecidable(measured Quantity, limit Limit) string {
	switch {
	case measured.IsZero():
		return "no reading is recorded"
	case limit.low.IsZero() && limit.high.IsZero():
		return "no limit is stated"
	case measured.value == nil:
		return fmt.Sprintf("the reading is %s and the end of the instrument's range is not recorded, so it can't be held against %s", measured.bound, limit)
	}
	for _, l := range []Quantity{limit.low, limit.high} {
		switch {
		case l.IsZero():
		case !l.IsPoint():
			return fmt.Sprintf("the limit %s is not a number", l)
		case l.unit.Dimension != measured.unit.Dimension:
			return fmt.Sprintf("%s is %s and can't be held against %s, %s", measured, withArticle(measured.unit.Dimension), l, withArticle(l.unit.Dimension))
		}
	}
	if !limit.low.IsZero() && !limit.high.IsZero() && limit.low.reference().Cmp(limit.high.reference()) > 0 {
		return fmt.Sprintf("the limits contradict each other: nothing is %s", limit)
	}
	return ""
}

// covers reports whether all of o lies in i.
func (i Interval) covers(o Interval) bool {
	if i.low != nil {
		if o.low == nil {
			return false
		}
		if c := o.low.Cmp(i.low); c < 0 || c == 0 && i.lowOpen && !o.lowOpen {
			return false
		}
	}
	if i.high != nil {
		if o.high == nil {
			return false
		}
		if c := o.high.Cmp(i.high); c > 0 || c == 0 && i.highOpen && !o.highOpen {
			return false
		}
	}
	return true
}

// decideBound: a bound decides only what holds for every value on its side.
func (d Decision) decideBound(measured Quantity, limit Limit) Decision {
	allowed, possible := limit.allowed(), measured.asWritten()
	switch {
	case allowed.covers(possible):
		d.Outcome, d.Reason = Met, fmt.Sprintf("every value that %s may stand for is %s", measured, limit)
	case allowed.before(possible) || possible.before(allowed):
		d.Outcome, d.Reason = NotMet, fmt.Sprintf("no value that %s may stand for is %s", measured, limit)
	default:
		d.Outcome, d.Reason = Undecidable, fmt.Sprintf("%s is a bound, and values on either side of the limit (%s) are possible", measured, limit)
	}
	return d
}

// decidePoint compares with the limit moved inwards and outwards by w.
func (d Decision) decidePoint(measured Quantity, limit Limit, share *big.Rat) Decision {
	guard := new(big.Rat)
	if share.Sign() > 0 {
		guard.Mul(share, measured.referenceU())
	}
	allowed := limit.allowed()
	point := measured.asWritten()
	switch {
	case allowed.moved(guard, 1).covers(point):
		d.Outcome = Met
		d.WrongAccept, d.WrongAcceptKnown = chanceOutside(measured, allowed)
	case !allowed.moved(guard, -1).covers(point):
		d.Outcome = NotMet
	default:
		d.Outcome = TooClose
	}
	d.Reason = d.pointReason(measured, limit, guard)
	return d
}

// moved shifts both ends inwards (sign 1) or outwards (-1) by w.
func (i Interval) moved(w *big.Rat, sign int64) Interval {
	shift := new(big.Rat).Mul(big.NewRat(sign, 1), w)
	if i.low != nil {
		i.low = new(big.Rat).Add(i.low, shift)
	}
	if i.high != nil {
		i.high = new(big.Rat).Sub(i.high, shift)
	}
	return i
}

func (d Decision) pointReason(measured Quantity, limit Limit, guard *big.Rat) string {
	band := ""
	if d.Rule != SimpleAcceptance {
		u := measured.unit.difference()
		w := Quantity{unit: u, value: new(big.Rat).Quo(guard, u.factor)}
		band = fmt.Sprintf(" by the guard band of %s", w)
	}
	switch {
	case d.Outcome == Met && d.WrongAcceptKnown:
		return fmt.Sprintf("%s is %s%s; the chance that this accepts wrongly is %s", measured, limit, band, percentText(d.WrongAccept))
	case d.Outcome == Met:
		return fmt.Sprintf("%s is %s%s; without an uncertainty the chance that this accepts wrongly is not known", measured, limit, band)
	case d.Outcome == NotMet && band != "":
		return fmt.Sprintf("%s misses the limit (%s)%s or more", measured, limit, band)
	case d.Outcome == NotMet:
		return fmt.Sprintf("%s is not %s", measured, limit)
	}
	return fmt.Sprintf("%s lies within the guard band of the limit (%s), so neither can be said", measured, limit)
}

func percentText(p float64) string {
	if p < 0.0001 {
		return "below 0.01 %"
	}
	return fmt.Sprintf("%.2g %%", p*100)
}

// chanceOutside is 1 - Φ((high-y)/u) + Φ((low-y)/u), JCGM 106:2012, 7.4.
func chanceOutside(measured Quantity, allowed Interval) (float64, bool) {
	if measured.u == nil {
		return 0, false
	}
	u := new(big.Rat).Mul(measured.u.standard(), measured.unit.factor)
	if u.Sign() == 0 {
		return 0, true
	}
	y := measured.reference()
	chance := 0.0
	if allowed.low != nil {
		chance += tail(new(big.Rat).Sub(y, allowed.low), u)
	}
	if allowed.high != nil {
		chance += tail(new(big.Rat).Sub(allowed.high, y), u)
	}
	return math.Min(chance, 1), true
}

// tail is the chance of a normal error beyond distance.
func tail(distance, u *big.Rat) float64 {
	z, _ := new(big.Rat).Quo(distance, u).Float64()
	return math.Erfc(z/math.Sqrt2) / 2
}
