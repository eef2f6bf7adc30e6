package identity

import (
	"fmt"
	"strings"
)

// Description is what tells one vehicle from another that bears the same short
// number. An empty field is not stated.
type Description struct {
	Make string
	Type string // car, trailer, motorcycle, or the maker's type
	Year string // as recorded (EDTF); only a plain year can be compared
}

// RegisterEntry is one entry of a register of stolen vehicles, as somebody read it.
type RegisterEntry struct {
	Number      string
	Description Description
	Register    string // which register, as it calls itself
	Record      string // path of the record that holds the enquiry
	Clearance   string // path of the paper that clears the car, if there is one
}

// RegisterOutcome is what an entry in a register means for the car.
type RegisterOutcome string

// The outcomes. Only RegisterMatch is to be treated as a match, and even that
// is for the authority to judge.
const (
	RegisterNone      RegisterOutcome = "no match"
	RegisterCollision RegisterOutcome = "collision" // the same number on another vehicle
	RegisterOpen      RegisterOutcome = "not settled"
	RegisterMatch     RegisterOutcome = "match"
)

// Stolen weighs an entry in a register of stolen vehicles. Short numbers occur
// on many vehicles: the same number is a collision unless make, year and type
// are stated on both sides and agree.
func Stolen(car Claim, is Description, entry RegisterEntry) (RegisterOutcome, Statement) {
	agreement := Compare(car.Number, Plain(entry.Number))
	s := Statement{Records: paths(car.Record, entry.Record, entry.Clearance)}
	lead := fmt.Sprintf("%s: %s", registerName(entry), agreement.Sentence())
	differ, missing := is.against(entry.Description)
	switch {
	case agreement.Verdict == Conflict, len(differ) > 0 && agreement.Verdict == NearMiss:
		s.Code, s.Sentence = "register-no-match", lead
		return RegisterNone, s
	case len(differ) > 0 && agreement.Verdict != NotCompared:
		s.Code, s.Severity = "register-collision", Caution
		s.Sentence = lead + fmt.Sprintf("; a collision and no match: %s not agree%s", do(differ), shortness(entry.Number))
		return RegisterCollision, s.clear(entry)
	case len(missing) > 0 || !soundly(agreement):
		s.Code, s.Severity = "register-not-settled", Caution
		s.Sentence = lead + "; not settled, and no match until number, make, year and type all agree"
		if len(missing) > 0 {
			s.Sentence += fmt.Sprintf(" (%s not stated on both sides)", list(missing))
		}
		s.Asks = []string{"the entry's make, year and type, from the register"}
		return RegisterOpen, s.clear(entry)
	}
	s.Code, s.Severity = "register-match", High
	s.Sentence = lead + "; make, year and type agree too: take it to the authority before any work or sale, which alone can judge it"
	return RegisterMatch, s.clear(entry)
}

func registerName(entry RegisterEntry) string {
	if entry.Register == "" {
		return "register of stolen vehicles"
	}
	return entry.Register
}

// clear adds the paper that clears the car, or asks for one.
func (s Statement) clear(entry RegisterEntry) Statement {
	if entry.Clearance == "" {
		s.Asks = append(s.Asks, "a clearance letter of the authority, kept with the car's papers")
		return s
	}
	s.Sentence += "; a clearance letter is on record (" + entry.Clearance + "), keep it with the car"
	return s
}

// against names the fields that differ, and those that one side does not state.
func (d Description) against(o Description) (differ, missing []string) {
	for _, f := range []struct{ name, a, b string }{{"make", d.Make, o.Make}, {"year", d.Year, o.Year}, {"type", d.Type, o.Type}} {
		a, b := fold(f.a), fold(f.b)
		switch {
		case a == "" || b == "" || f.name == "year" && (!plainYear(a) || !plainYear(b)):
			missing = append(missing, f.name)
		case a != b:
			differ = append(differ, f.name)
		}
	}
	return differ, missing
}

// fold takes a text to the form in which texts are compared: case and spacing do not count.
func fold(s string) string {
	return strings.Join(strings.Fields(strings.ToLower(s)), " ")
}

func plainYear(s string) bool { return len(s) == 4 && allDigits(s) }

func do(words []string) string {
	if len(words) == 1 {
		return words[0] + " does"
	}
	return list(words) + " do"
}

// shortness says why a short number collides easily.
func shortness(number string) string {
	n := len(Key(number).Places)
	if n > 7 { // longer numbers seldom meet by chance
		return ""
	}
	return fmt.Sprintf("; a number of %s may stand on many vehicles", count(n, "place"))
}
