package app

import (
	"errors"

	"boltback/internal/edtf"
	"boltback/internal/sheet"
)

// ClockSheet prints the page that is photographed beside a clock. It is of no car; a yard one stands in gives its name
// and its paper.
func (e Env) ClockSheet(paper string, day edtf.Day) (Printed, error) {
	habits, err := e.habitsHere()
	if err != nil {
		return Printed{}, err
	}
	sheetOf, err := paperFor(paper, habits)
	if err != nil {
		return Printed{}, err
	}
	p, err := sheet.NewClock(sheet.ClockPage{Slug: day.String(), Paper: sheetOf, Workshop: habits.Name})
	if err != nil {
		return Printed{}, sheetRefused(err)
	}
	return printed(p, nil)
}

// habitsHere are the habits of the yard one stands in, also within a car of it; none anywhere else.
func (e Env) habitsHere() (Habits, error) {
	here, err := e.Files.Absolute(".")
	if err != nil {
		return Habits{}, err
	}
	return e.habits(e.above(here, "yard.json"))
}

// carsHere are the car one stands in or the cars of the yard, and none where one stands in neither.
func (e Env) carsHere() ([]Car, error) {
	cars, err := e.Find("")
	var usage *Usage
	if errors.As(err, &usage) {
		return nil, nil
	}
	return cars, err
}
