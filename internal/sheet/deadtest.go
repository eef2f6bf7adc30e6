package sheet

// Isolation is a point at which a circuit is to be proved dead.
type Isolation struct {
	// Where is such as "inverter terminals"; Voltage what it carries when live.
	Where, Voltage string
}

// NewDeadTest makes the sheet for proving the high-voltage circuit dead. The
// tester is proved before and after, and each point is measured between both
// poles and from each pole to the chassis.
func NewDeadTest(h Head, points []Isolation) (*Printout, error) {
	f := newForm(DeadTest, h)
	w := f.width()
	f.steps([][]field{
		{{label: "1  Isolated: by what", width: w * 0.5}, {label: "at", unit: "h", width: w * 0.16}, {label: "by", width: w * 0.34}},
		{{label: "2  Locked off: whose lock, number", width: w * 0.5}, {label: "Key is with", width: w * 0.5}},
		{{label: "3  Waited, as the maker says", unit: "min", width: w * 0.5}, {label: "Source of that time", width: w * 0.5}},
		{{label: "4  Tester, number", width: w * 0.3}, {label: "Category, voltage", unit: "V", width: w * 0.2}, {label: "Proved BEFORE on", width: w * 0.3}, {label: "read", unit: "V", width: w * 0.2}},
	})
	rows := make([]row, len(points))
	for i, p := range points {
		rows[i] = row{p.Where, p.Voltage}
	}
	f.head.Blank = f.fewBlank(h.Blank, len(points))
	f.rows("5  Measured", []column{
		{head: "Where", share: 48}, {head: "When live", share: 22}, {head: "+ to −", share: 24, unit: "V"},
		{head: "+ to chassis", share: 24, unit: "V"}, {head: "− to chassis", share: 24, unit: "V"}, {head: "Side", share: 32, choices: []string{"pack", "load"}},
	}, rows, 0)
	f.steps([][]field{
		{{label: "6  Proved AFTER on the same", width: w * 0.5}, {label: "read", unit: "V", width: w * 0.2}, {label: "at", unit: "h", width: w * 0.3}},
		{{label: "7  Stays live (where)", width: w}},
		{{label: "Proved dead by, licence", width: w * 0.5}, {label: "Second person", width: w * 0.5}},
	})
	return f.finish()
}

// steps prints lines of boxes.
func (f *form) steps(lines [][]field) {
	for _, l := range lines {
		f.fields(l)
	}
	f.y += 2.5
}

// fewBlank keeps a table short where boxes follow below it.
func (f *form) fewBlank(asked, known int) int {
	if asked != 0 {
		return asked
	}
	return max(4-known, fewest)
}
