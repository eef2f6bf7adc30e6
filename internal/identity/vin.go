package identity

import (
	"fmt"
	"strings"
)

// VINRule is the numbering rule that a record states for a car.
type VINRule string

// The rules that can be stated. NotStated leaves it to market and model year.
const (
	NotStated  VINRule = ""
	USRule     VINRule = "49 CFR 565.15" // 17 characters with a check digit at position 9
	ISORule    VINRule = "ISO 3779"      // 17 characters; position 9 need not be a check digit
	MakersRule VINRule = "maker's own"   // older than both: free text
)

// VINScope is what the records say about the rule a number stands under.
type VINScope struct {
	Rule      VINRule
	USMarket  bool // made for the United States market
	ModelYear int  // 0 when not recorded
}

// applies tells whether the check digit can be asked for, and why or why not.
// The fixed 17-character format with check digit began with model year 1981.
func (s VINScope) applies() (bool, string) {
	switch {
	case s.Rule == USRule:
		return true, "the record states 49 CFR 565.15"
	case s.Rule == ISORule:
		return false, "the record states ISO 3779, under which position 9 need not be a check digit"
	case s.Rule != NotStated:
		return false, "the record states the maker's own numbering, which is free text"
	case s.USMarket && s.ModelYear >= 1981:
		return true, "a car for the United States market of model year 1981 or later stands under 49 CFR 565.15"
	case s.USMarket && s.ModelYear > 0:
		return false, "before model year 1981 there was no check digit; the number is free text"
	case s.USMarket:
		return false, "the model year is not recorded, so the rule is not known"
	}
	return false, "no record says that 49 CFR 565.15 applies; outside it position 9 need not be a check digit"
}

// VINOutcome is the outcome of the transcription check.
type VINOutcome string

// The outcomes. None of them says anything about the identity of a car.
const (
	VINNotApplicable VINOutcome = "does not apply"
	VINIncomplete    VINOutcome = "cannot be computed" // a place was not made out
	VINRefused       VINOutcome = "refused"            // the field is damaged or no number
	VINMalformed     VINOutcome = "not in the form"    // length or letters
	VINDiffers       VINOutcome = "check digit differs"
	VINMatches       VINOutcome = "check digit matches"
)

// VINStep is one product of the sum: 49 CFR 565.15(c), tables III and IV.
type VINStep struct {
	Position, Value, Weight, Product int
	Char                             string
}

// VINCheck is the transcription check of one number, with its workings.
type VINCheck struct {
	Outcome   VINOutcome
	Key       string // 17 characters where the number has them
	Reason    string // why the check applies or does not, or what stands in its way
	Steps     []VINStep
	Sum       int    // of the products; 0 without steps
	Remainder int    // Sum modulo 11
	Computed  string // the check digit that follows: 0 to 9, X for a remainder of 10; "" without steps
	Found     string // what stands at position 9; Unknown when not made out
	Remarks   []string
}

const vinLength = 17

// VIN checks the transcription of a 17-character vehicle identification number
// under 49 CFR 565.15(c), where that rule applies. A number outside the rule is
// not failed, and a match proves nothing about identity.
func VIN(raw string, scope VINScope) VINCheck {
	f := Key(raw)
	applies, reason := scope.applies()
	c := VINCheck{Key: f.String(), Reason: reason}
	if reasons := reasonAgainst(raw, f); len(reasons) > 0 {
		c.Outcome, c.Reason = VINRefused, reasons[0]
		return c
	}
	if !applies {
		c.Outcome = VINNotApplicable
		if len(f.Places) == vinLength {
			c.Remarks = append(c.Remarks, "it has 17 characters; that alone does not bring it under the rule")
		}
		return c
	}
	if fault := vinFault(f); fault != "" {
		c.Outcome, c.Reason = VINMalformed, fault
		return c
	}
	c.compute(f)
	if year, ok := VINYear(raw); ok && scope.ModelYear > 0 && year != scope.ModelYear {
		c.Remarks = append(c.Remarks, fmt.Sprintf("position 10 stands for model year %d on a light vehicle, the record says %d", year, scope.ModelYear))
	}
	return c
}

// vinFault says what keeps a number out of the 17-character form, or nothing.
func vinFault(f Form) string {
	if n := len(f.Places); n != vinLength {
		return fmt.Sprintf("the rule asks for 17 characters, %d were read", n)
	}
	for i, p := range f.Places {
		if p.Char == Unknown {
			continue
		}
		if _, ok := vinValue(p.Char); !ok {
			return fmt.Sprintf("%s at position %d: %s", describe(p.Char), i+1, vinLetterFault(p.Char))
		}
		if i == 8 && !strings.Contains("0123456789X", p.Char) {
			return fmt.Sprintf("%s at position 9, where a digit or X has to stand", describe(p.Char))
		}
	}
	return ""
}

func vinLetterFault(char string) string {
	switch char {
	case "I":
		return "the letters I, O and Q are never used (I and 1 are look-alikes; read the original again)"
	case "O", "Q":
		return "the letters I, O and Q are never used (" + char + " and 0 are look-alikes; read the original again)"
	}
	return "only the digits and the plain Latin letters without I, O and Q are used"
}

// compute fills in the workings. The remainder is that of integer division; the
// printed decimal for 7/11 in table V is a misprint and is not used.
func (c *VINCheck) compute(f Form) {
	c.Found = f.Places[8].Char
	c.Outcome = VINIncomplete
	for i, p := range f.Places {
		if p.Char == Unknown && i != 8 {
			c.Steps, c.Sum = nil, 0
			c.Reason = fmt.Sprintf("position %d was not made out and is not filled in", i+1)
			return
		}
		step := VINStep{Position: i + 1, Char: p.Char, Weight: vinWeight(i + 1)}
		if i != 8 { // position 9 is the result, and has the weight 0
			step.Value, _ = vinValue(p.Char)
		}
		step.Product = step.Value * step.Weight
		c.Sum += step.Product
		c.Steps = append(c.Steps, step)
	}
	c.Remainder = c.Sum % 11
	c.Computed = "0123456789X"[c.Remainder : c.Remainder+1]
	switch c.Found {
	case Unknown:
		c.Reason = "position 9 was not made out; the computed digit is not filled in"
	case c.Computed:
		c.Outcome = VINMatches
	default:
		c.Outcome = VINDiffers
	}
}

// vinValue is the value of a character in 49 CFR 565.15(c)(1), table III.
func vinValue(char string) (int, bool) {
	if !plain(char) {
		return 0, false
	}
	if char[0] <= '9' {
		return int(char[0] - '0'), true
	}
	value := int("12345678012345070923456789"[char[0]-'A'] - '0') // A to Z; 0 where the letter is never used
	return value, value != 0
}

// vinWeight is the weight of a position from 1 in 49 CFR 565.15(c)(2), table IV.
func vinWeight(position int) int {
	return [vinLength]int{8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2}[position-1]
}

// Sentence says what the check found, and what it cannot say.
func (c VINCheck) Sentence() string {
	const limits = "a transcription check only: one wrong number in eleven passes it, and a match proves nothing about identity"
	s := "transcription check: "
	switch c.Outcome {
	case VINMatches:
		s += fmt.Sprintf("the check digit %s at position 9 matches (sum %d, remainder %d); %s", c.Found, c.Sum, c.Remainder, limits)
	case VINDiffers:
		s += fmt.Sprintf("position 9 is %s, the sum %d leaves %d and asks for %s; some character was copied wrongly, or the rule was not followed; %s",
			c.Found, c.Sum, c.Remainder, c.Computed, limits)
	default:
		s += fmt.Sprintf("%s: %s", c.Outcome, c.Reason)
	}
	for _, r := range c.Remarks {
		s += "; " + r
	}
	return s
}

// VINYear reads the model year letter at position 10 of a 17-character number,
// for a passenger car or another vehicle of 10,000 lb or less: with a digit at
// position 7 it stands for 1980 to 2009, with a letter for 2010 to 2039
// (49 CFR 565.15(d)(1), table VII). It is a note for the reader where the rule
// applies; ok is false when the letter means nothing.
func VINYear(raw string) (year int, ok bool) {
	f := Key(raw)
	if vinFault(f) != "" {
		return 0, false
	}
	seventh, tenth := f.Places[6].Char, f.Places[9].Char
	at := strings.Index("ABCDEFGHJKLMNPRSTVWXY123456789", tenth)
	if seventh == Unknown || at < 0 {
		return 0, false
	}
	if allDigits(seventh) {
		return 1980 + at, true
	}
	return 2010 + at, true
}
