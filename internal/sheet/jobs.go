package sheet

// Removal is a part that is to come off, as far as it is known.
type Removal struct {
	Tag, Part, Position string
	// Side is "left", "right", "centre" or empty.
	Side string
	// Fasteners is their number and size, such as "4 × 5/16 UNF".
	Fasteners, Bag, Store string
	// Hazard is printed with the part, such as "asbestos" or "fuel".
	Hazard string
}

// NewStripDown makes the sheet for taking parts off.
func NewStripDown(h Head, known []Removal) (*Printout, error) {
	f := newForm(StripDown, h)
	rows := make([]row, len(known))
	for i, k := range known {
		rows[i] = row{k.Tag, warned(k.Part, k.Hazard), k.Position, sideLetter(k.Side), k.Fasteners, k.Bag, k.Store}
	}
	f.rows("", []column{
		{head: "Tag", share: 26, number: true}, {head: "Part", share: 42}, {head: "Where it sat", share: 30},
		{head: "Side", share: 27, choices: []string{"L", "C", "R"}}, {head: "Fasteners", share: 24, unit: "pcs"},
		{head: "Bag", share: 26, number: true}, {head: "Crate, shelf", share: 20},
	}, rows, 0)
	return f.finish()
}

// FittingLine is a part that is to go on, as far as it is known.
type FittingLine struct {
	Tag, Part, Position, Joint, Fasteners, Bag string
}

// NewFitting makes the sheet for putting parts on.
func NewFitting(h Head, known []FittingLine) (*Printout, error) {
	f := newForm(Fitting, h)
	rows := make([]row, len(known))
	for i, k := range known {
		rows[i] = row{k.Tag, k.Part, k.Position, k.Joint, k.Fasteners, "", k.Bag}
	}
	f.rows("", []column{
		{head: "Tag", share: 26, number: true}, {head: "Part", share: 35}, {head: "Where it goes", share: 24},
		{head: "Joint", share: 30}, {head: "Fasteners", share: 27, unit: "pcs"},
		{head: "Fasteners are", share: 22, choices: []string{"new", "old"}}, {head: "From bag", share: 26, number: true},
	}, rows, 0)
	return f.finish()
}

// TighteningLine is a joint that is to be tightened.
type TighteningLine struct {
	Joint, Fasteners string
	// Specified is the value with its unit, and Source who says so; without a
	// source no value is printed.
	Specified, Source string
	// SecondCheck says that a second person is to look.
	SecondCheck bool
}

// NewTightening makes the sheet for tightening joints. Unit is that of the
// boxes, normally "N·m".
func NewTightening(h Head, unit string, known []TighteningLine) (*Printout, error) {
	f := newForm(Tightening, h)
	f.fields([]field{{label: "Instrument, number", width: f.width() * 0.4}, {label: "Calibrated until", width: f.width() * 0.2}, {label: "Threads: dry, oiled, locking fluid", width: f.width() * 0.4}})
	f.y += 2.5
	rows := make([]row, len(known))
	for i, k := range known {
		specified := "no value with a source"
		if k.Specified != "" && k.Source != "" {
			specified = k.Specified + " (" + k.Source + ")"
		}
		second := ""
		if k.SecondCheck {
			second = "required:"
		}
		rows[i] = row{k.Joint, k.Fasteners, specified, "", "", "", "", second}
	}
	f.rows("", []column{
		{head: "Joint", share: 33}, {head: "Fasteners", share: 24}, {head: "Specified", share: 32},
		{head: "How", share: 43, choices: []string{"click", "dial", "angle", "feel"}}, {head: "Set", share: 19, unit: unit},
		{head: "Indicated", share: 19, unit: unit}, {head: "Angle", share: 14, unit: "°"}, {head: "Second check", share: 19},
	}, rows, 0)
	return f.finish()
}

// Stored is a part that the records hold to be in a store.
type Stored struct {
	Tag, Part, Place, LastSeen, Seal string
}

// NewStockTake makes the sheet for going through a store: what should be there,
// then room for what should not.
func NewStockTake(h Head, store string, known []Stored) (*Printout, error) {
	f := newForm(StockTake, h)
	f.fields([]field{{label: "Store", value: store, width: f.width() * 0.3}, {label: "Counted until row", width: f.width() * 0.2},
		{label: "Crates, shelves looked into where nothing was", width: f.width() * 0.5}})
	f.y += 2.5
	rows := make([]row, len(known))
	for i, k := range known {
		rows[i] = row{k.Tag, k.Part, k.Place, k.LastSeen, "", k.Seal}
	}
	columns := []column{
		{head: "Tag", share: 26, number: true}, {head: "Part", share: 50}, {head: "Crate, shelf", share: 26}, {head: "Last seen", share: 23},
		{head: "Today", share: 37, choices: []string{"seen", "missed", "worse"}}, {head: "Seal number; unbroken?", share: 30},
	}
	blank := f.head.Blank
	if len(rows) > 0 {
		f.head.Blank = -1
		f.rows("Should be here", columns, rows, 0)
	}
	f.head.Blank = blank
	columns[3] = column{head: "Where from", share: 23}
	columns[4] = column{head: "Photo", share: 15}
	columns[5] = column{head: "What it is, state", share: 52}
	f.rows("Is here and should not be, or has no tag", columns, nil, len(rows))
	return f.finish()
}

// warned prints a part's hazard with it.
func warned(part, hazard string) string {
	if hazard == "" {
		return part
	}
	return part + " ⚠ " + hazard
}

func sideLetter(side string) string {
	switch side {
	case "left":
		return "L"
	case "right":
		return "R"
	case "centre":
		return "C"
	}
	return ""
}
