package app

import (
	"fmt"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/workings"
)

// moveForm shows how a move is asked about.
const moveForm = "for example '51 kg by 1.90 m', 'rear-pack by 400 mm forward' or 'rear-pack to 2050 mm', which is behind the front axle"

// Move works out what a move does before it is made. words are a mass or a part that is on the car, then "by" and how far
// ("forward" or "rearward", which is meant without a word), or "to" and how far behind the front axle its centre would sit.
func (e Env) Move(car Car, at string, on edtf.Day, words string) (Sums, error) {
	s, commit, err := e.At(car, at)
	if err != nil {
		return Sums{}, err
	}
	work := replay.Of(s)
	m, err := readMove(work.On(on), s, words)
	if err != nil {
		return Sums{}, err
	}
	c := workings.Of(work, on, nil)
	drawn := func(subject workings.Subject) []workings.Picture {
		if subject != workings.Mass {
			return nil
		}
		return c.MovedPictures(m)
	}
	return Sums{Workings: c.Moved(m), Pictures: drawn, Heading: e.over(car, s, commit, on)}, nil
}

// readMove reads what is asked.
func readMove(state *replay.State, s *ledger.Snapshot, words string) (m workings.Move, err error) {
	what, far, by := strings.Cut(words, " by ")
	if !by {
		var to bool
		if what, far, to = strings.Cut(words, " to "); !to {
			return m, &Usage{Message: fmt.Sprintf("%q does not say what moves and how far", words), Hint: moveForm}
		}
	}
	if m.Mass, m.Part, err = readMoved(state, s, strings.TrimSpace(what)); err != nil {
		return m, err
	}
	if !by && m.Part == "" {
		return m, &Usage{Message: "where a bare mass sits is not on record, so it cannot be moved to a place", Hint: "say how far it moves, " + moveForm}
	}
	if rest, forward := strings.CutSuffix(far, " forward"); by && forward {
		far = "-" + strings.TrimSpace(rest)
	}
	length, err := readAsked(strings.TrimSuffix(far, " rearward"), quantity.Length)
	if by {
		m.By = length
	} else {
		m.To = length
	}
	return m, err
}

// readMoved reads what moves: a mass, or a part that is on the car.
func readMoved(state *replay.State, s *ledger.Snapshot, what string) (mass workings.Input, part record.Ref, err error) {
	if strings.IndexAny(what, "0123456789") == 0 {
		mass, err = readAsked(what, quantity.Mass)
		return mass, "", err
	}
	if s.Record(record.Ref("parts/"+what)) != nil {
		what = "parts/" + what // and not the joint of that name
	}
	r, err := Record(s, what)
	if err != nil {
		return mass, "", err
	}
	if p, known := state.Part(r.ID); !known || p.Where.Place != replay.OnCar {
		return mass, "", &Usage{Message: r.Name() + " is no part that is on the car on that day", Hint: "moving takes a part that is on the car, or a mass: " + moveForm}
	}
	return mass, r.ID, nil
}

// readAsked reads a figure that somebody asks about, in the spellings that entry takes.
func readAsked(text string, want quantity.Dimension) (workings.Input, error) {
	reading, err := quantity.Read(strings.TrimSpace(text), quantity.Hints{Dimension: want})
	if err != nil {
		return workings.Input{}, &Usage{Message: err.Error(), Hint: moveForm}
	}
	return workings.Given(reading.Quantity.Canonical()), nil
}
