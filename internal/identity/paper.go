package identity

import "fmt"

// Paper is a paper that names the car it was made out for.
type Paper struct {
	Number Number // registration mark or chassis number, as it stands in the paper
	Kind   Kind
	Name   string // what the paper is, for the sentence
	Record string // path
}

// MadeOutFor tells whether a paper can be accepted as this car's, by one number
// of the car of the same kind. Only full agreement is accepted: a paper that is
// one slip away may be another car's, or may be worthless for this one.
func (p Paper) MadeOutFor(car Claim) (accepted bool, s Statement) {
	g := Compare(p.Number, car.Number)
	s = Statement{Records: paths(p.Record, car.Record)}
	lead := fmt.Sprintf("%s, %s: %s", p.name(), p.Kind.Label(), g.Sentence())
	const issuer = "a corrected paper from whoever issued it"
	switch g.Verdict {
	case Agree:
		s.Code, s.Sentence = "paper-accepted", lead
		return true, s
	case NearMiss:
		s.Code, s.Severity, s.Asks = "paper-near-miss", Caution, []string{issuer}
		s.Sentence = lead + "; it is not accepted as this car's paper"
	case Conflict:
		s.Code, s.Severity, s.Asks = "paper-of-another-car", Caution, []string{issuer, "the paper that belongs to this car"}
		s.Sentence = lead + "; it is not this car's paper as it stands"
	default:
		s.Code, s.Severity, s.Asks = "paper-not-settled", Caution, []string{"the number in full, from the original"}
		s.Sentence = lead + "; it is not accepted as this car's paper until the number is known in full"
	}
	return false, s
}

func (p Paper) name() string {
	if p.Name == "" {
		return "paper"
	}
	return p.Name
}
