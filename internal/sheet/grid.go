package sheet

import (
	"fmt"
	"strings"

	"boltback/internal/page"
)

// Grid is how labels lie on a sheet of paper, in millimetres.
type Grid struct {
	Name          string
	Paper         page.Paper
	Across, Down  int
	Left, Top     float64 // of the first label
	Width, Height float64 // of a label
	StepX, StepY  float64 // from one label to the next
	// Cut says that the sheet is plain paper, and lines are printed to cut along.
	Cut bool
	// Hole says that there is room for a punched hole at the left end.
	Hole bool
}

// Grids lists the sheets of labels that are sold everywhere under many names,
// by their dimensions, and plain paper to cut up.
func Grids() []Grid {
	return []Grid{
		{Name: "a4-2x7", Paper: page.A4, Across: 2, Down: 7, Left: 4.65, Top: 15.15, Width: 99.1, Height: 38.1, StepX: 101.6, StepY: 38.1},
		{Name: "a4-3x7", Paper: page.A4, Across: 3, Down: 7, Left: 7.25, Top: 15.15, Width: 63.5, Height: 38.1, StepX: 66, StepY: 38.1},
		{Name: "a4-3x8", Paper: page.A4, Across: 3, Down: 8, Left: 0, Top: 0.5, Width: 70, Height: 37, StepX: 70, StepY: 37},
		{Name: "a4-4x10", Paper: page.A4, Across: 4, Down: 10, Left: 8, Top: 21.5, Width: 48.5, Height: 25.4, StepX: 48.5, StepY: 25.4},
		{Name: "letter-2x5", Paper: page.Letter, Across: 2, Down: 5, Left: 4, Top: 12.7, Width: 101.6, Height: 50.8, StepX: 106.3, StepY: 50.8},
		{Name: "letter-3x10", Paper: page.Letter, Across: 3, Down: 10, Left: 4.75, Top: 12.7, Width: 66.7, Height: 25.4, StepX: 69.85, StepY: 25.4},
		{Name: "a4-plain", Paper: page.A4, Across: 2, Down: 6, Left: 10, Top: 13.5, Width: 95, Height: 45, StepX: 95, StepY: 45, Cut: true, Hole: true},
		{Name: "letter-plain", Paper: page.Letter, Across: 2, Down: 5, Left: 12.95, Top: 12.2, Width: 95, Height: 51, StepX: 95, StepY: 51, Cut: true, Hole: true},
	}
}

// GridCalled returns the grid of that name.
func GridCalled(name string) (Grid, error) {
	var names []string
	for _, g := range Grids() {
		if g.Name == name {
			return g, nil
		}
		names = append(names, g.Name)
	}
	return Grid{}, fmt.Errorf("%q is no sheet of labels that is known here: one of %s", name, strings.Join(names, ", "))
}

// PerSheet is the number of labels on a sheet.
func (g Grid) PerSheet() int { return g.Across * g.Down }

// corner is the upper left corner of a label, counted along the rows from 0.
func (g Grid) corner(i int) (x, y float64) {
	return g.Left + float64(i%g.Across)*g.StepX, g.Top + float64(i/g.Across)*g.StepY
}
