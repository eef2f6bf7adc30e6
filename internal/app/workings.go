package app

import (
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/workings"
)

// Sums are the workings of a car, with what they were made from.
type Sums struct {
	Workings []workings.Working
	// Pictures gives the drawings of a subject; nil where there are none.
	Pictures func(workings.Subject) []workings.Picture
	Heading  workings.Heading
}

// Workings makes the sums of a car on a day: all, or those of one subject; private counts in the private values whose
// disclosures are here.
func (e Env) Workings(car Car, at string, on edtf.Day, subject workings.Subject, private bool) (Sums, error) {
	s, commit, err := e.At(car, at)
	if err != nil {
		return Sums{}, err
	}
	c := workings.Of(replay.Of(s), on, e.disclosedIf(private, car, s))
	sums := Sums{Pictures: c.Pictures, Heading: e.over(car, s, commit, on)}
	if subject == "" {
		sums.Workings = c.All()
	} else {
		sums.Workings = c.About(subject)
	}
	return sums, nil
}

// over is what stands over workings: of which car, day and revision they are.
func (e Env) over(car Car, s *ledger.Snapshot, commit string, on edtf.Day) workings.Heading {
	return workings.Heading{Car: car.Name, Workshop: s.Head().Workshop, Commit: commit, Day: on.String(), Program: e.Program}
}

// Subject finds the subject of workings that a word means.
func Subject(word string) (workings.Subject, error) {
	if slices.Contains(workings.Subjects(), workings.Subject(word)) {
		return workings.Subject(word), nil
	}
	var words []string
	for _, s := range workings.Subjects() {
		words = append(words, string(s))
	}
	hint := "the subjects are: " + strings.Join(words, ", ")
	if near := finding.Nearest(word, words); near != "" {
		hint = "did you mean " + near + "? " + hint
	}
	return "", &Usage{Message: "there are no workings of " + word, Hint: hint}
}
