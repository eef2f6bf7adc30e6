package app

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/code"
	"boltback/internal/page"
	"boltback/internal/sheet"
)

// LabelOrder says which labels are to be printed.
type LabelOrder struct {
	// Kind is part, bag, crate or wire.
	Kind string
	// From is the first number; less than 0 is the next one that the yard has not used. Count is how many; 0 fills a sheet.
	From, Count int
	// Grid is how they lie on the sheet; "" is plain paper to cut up. Paper is a4 or letter; "" is the yard's habit.
	Grid, Paper string
	// Skip is how many labels of the first sheet are used up.
	Skip int
	// Words are printed on the labels in order.
	Words []string
	// Right and Down shift the print, in millimetres, for a printer that is off.
	Right, Down float64
	// Again prints numbers that are in use already, for tags that were lost.
	Again bool
}

// LabelKinds lists what labels are for.
func LabelKinds() []string {
	var names []string
	for _, k := range sheet.LabelKinds() {
		names = append(names, string(k))
	}
	return names
}

// Labels prints labels. Nothing need be known yet, not even a car; where a car or a yard is at hand, no number that its
// cars use is printed a second time by mistake.
func (e Env) Labels(o LabelOrder) (Printed, error) {
	if !slices.Contains(LabelKinds(), o.Kind) {
		return Printed{}, &Usage{Message: "there is no label for a " + o.Kind, Hint: "labels are for: " + strings.Join(LabelKinds(), ", ")}
	}
	habits, err := e.habitsHere()
	if err != nil {
		return Printed{}, err
	}
	grid, err := gridFor(o, habits)
	if err != nil {
		return Printed{}, err
	}
	used, err := e.numbersInUse()
	if err != nil {
		return Printed{}, err
	}
	if o.From < 0 {
		o.From = nextNumber(used)
	}
	if o.Count == 0 {
		o.Count = max(grid.PerSheet()-o.Skip, len(o.Words), 1)
	}
	if !o.Again {
		if err := inUse(o, used); err != nil {
			return Printed{}, err
		}
	}
	p, err := sheet.NewLabels(sheet.Labels{Kind: sheet.LabelKind(o.Kind), Grid: grid, From: o.From, Count: o.Count, Skip: o.Skip, Words: o.Words, Right: o.Right, Down: o.Down, Workshop: habits.Name})
	if err != nil {
		return Printed{}, &Usage{Message: err.Error()}
	}
	note := fmt.Sprintf("numbers %04d to %04d; sheets of paper: %d", o.From, o.From+o.Count-1, p.Pages())
	return printed(p, []string{note})
}

// gridFor finds how the labels lie; plain paper where none is named.
func gridFor(o LabelOrder, habits Habits) (sheet.Grid, error) {
	if o.Grid == "" {
		paper, err := paperFor(o.Paper, habits)
		if err != nil {
			return sheet.Grid{}, err
		}
		name := "a4-plain"
		if paper == page.Letter {
			name = "letter-plain"
		}
		return sheet.GridCalled(name)
	}
	grid, err := sheet.GridCalled(o.Grid)
	if err != nil {
		return grid, &Usage{Message: err.Error()}
	}
	if o.Paper != "" {
		paper, err := paperFor(o.Paper, habits)
		if err == nil && paper != grid.Paper {
			err = &Usage{Message: fmt.Sprintf("labels of %s lie on other paper than %s", o.Grid, o.Paper), Hint: "--grid alone says which paper it is"}
		}
		return grid, err
	}
	return grid, nil
}

// numbersInUse are the tag numbers of the cars of the yard, also where one stands in one of them: a number is on one thing.
func (e Env) numbersInUse() (map[int]bool, error) {
	cars, err := e.carsHere()
	if err != nil {
		return nil, err
	}
	if len(cars) == 1 && cars[0].Yard != "" {
		if cars, err = e.carsOf(cars[0].Yard); err != nil {
			return nil, err
		}
	}
	used := map[int]bool{}
	for _, car := range cars {
		s, err := e.Snapshot(car)
		if err != nil {
			return nil, err
		}
		for n := range numbersIn(s) {
			used[n] = true
		}
	}
	return used, nil
}

// nextNumber is the one after the largest in use, so that gaps stay what they were: labels that may lie in a drawer.
func nextNumber(used map[int]bool) int {
	next := 1
	for n := range used {
		next = max(next, n+1)
	}
	return next
}

// mostNamed is how many numbers in use a refusal names.
const mostNamed = 5

// inUse refuses numbers that are on something already.
func inUse(o LabelOrder, used map[int]bool) error {
	var taken []string
	for n := range used {
		if tag, err := code.NewTag(n); err == nil && n >= o.From && n < o.From+o.Count {
			taken = append(taken, string(tag))
		}
	}
	if len(taken) == 0 {
		return nil
	}
	slices.Sort(taken)
	list := strings.Join(taken[:min(len(taken), mostNamed)], ", ")
	if more := len(taken) - mostNamed; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return &Usage{Message: "numbers that are in use already: " + list, Hint: fmt.Sprintf("the next free number is %d; --again prints lost ones a second time; boltback where says what they are on", nextNumber(used))}
}
