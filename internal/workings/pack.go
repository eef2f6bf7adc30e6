package workings

import (
	"fmt"
	"math/big"

	"boltback/internal/quantity"
)

var (
	cellSums = Source{"cells in series add their voltages, cells side by side their capacities", Physics}
	rcCharge = Source{"charging of a capacitor through a resistor", Physics}
)

// PackCells is how a pack, or a box of it, is made of cells.
type PackCells struct {
	Name                    string
	Series, Parallel, Cells int64 // 0 where not recorded
	Nominal, Charged, Empty Input // of a cell
	Capacity                Input // of a cell
	Mass                    Input // of the pack
	RatedEnergy             Input // as somebody states it; may be empty
}

func (s *sheet) takeCount(symbol, name string, n int64, from Input) bool {
	if n <= 0 {
		s.lack(symbol, name)
		return false
	}
	in := from
	in.Text, in.Err = fmt.Sprint(n), ""
	return s.take(symbol, name, in.read(), quantity.Count)
}

// PackOf works out voltages and energy of a pack from its cells. The energy is
// nominal: cells side by side, times capacity of one, times the nominal voltage
// of all in series.
func PackOf(id string, p PackCells) Working {
	s := begin(Pack, "topology "+id, "Cells, voltages and energy: "+p.Name)
	s.w.Sources = []Source{cellSums}
	s.w.Caution = hvCaution
	from := Input{Record: p.Nominal.Record, Path: p.Nominal.Path, Pointer: p.Nominal.Pointer, Line: p.Nominal.Line}
	s.takeCount("N_s", "groups of cells in series", p.Series, from)
	s.takeCount("N_p", "cells side by side", p.Parallel, from)
	s.take("U_c", "nominal voltage of a cell", p.Nominal, quantity.Voltage)
	s.take("Q_c", "capacity of a cell", p.Capacity, quantity.Charge)
	s.calc("N", "", "N_s*N_p", "Cells in all.")
	s.counted(p)
	s.calc("U_nom", "V", "N_s*U_c", "Nominal voltage.")
	if s.calc("E", "kWh", "N_p*Q_c*U_nom", "Energy on the nominal basis, full to empty as the cell's maker counts it; what may be used is less.") {
		s.answer("E", "{} nominal")
	}
	if s.take("U_x", "highest voltage of a cell", p.Charged, quantity.Voltage) {
		s.calc("U_max", "V", "N_s*U_x", "Highest working voltage: all cells charged.")
	}
	if s.take("U_y", "lowest voltage of a cell", p.Empty, quantity.Voltage) {
		s.calc("U_min", "V", "N_s*U_y", "Lowest: all cells empty.")
	}
	if p.Mass.Text != "" && s.take("m", "mass of the pack", p.Mass, quantity.Mass) {
		s.calc("k", "kg/kWh", "m/E", "Mass for each kilowatt hour, cells and box.")
	}
	if p.RatedEnergy.Text != "" && s.take("E_r", "energy as stated", p.RatedEnergy, quantity.Energy) && s.calc("g", "%", "E_r/E-1", "Stated energy against the sum.") {
		if beyond(s.get("g"), "1 %") {
			s.note("The stated energy differs from the cells by %s: it stands on another basis, or one of the figures is wrong.", s.show("g"))
		}
	}
	return s.done()
}

// counted holds the cells counted against series times parallel.
func (s *sheet) counted(p PackCells) {
	if p.Cells <= 0 || !s.has("N") {
		return
	}
	v := Verdict{Of: "cells counted", Against: "series times side by side", Outcome: Met, Reason: fmt.Sprintf("%d counted", p.Cells), Source: cellSums}
	if p.Cells != p.Series*p.Parallel {
		v.Outcome, v.Reason = Contradiction, fmt.Sprintf("%d counted and %s by the way they are joined: one of the two is wrong", p.Cells, s.show("N"))
	}
	s.verdict(v)
}

// RatedEnergy works the energy out from the rated voltage and capacity, for a
// pack whose cells are not recorded, and the mass for each kilowatt hour.
func RatedEnergy(id, name string, voltage, capacity, stated Input, parts []Side) Working {
	s := begin(Pack, "energy "+id, "Energy from its ratings: "+name)
	s.source("energy is charge times voltage", Physics)
	s.take("U_nom", "nominal voltage", voltage, quantity.Voltage)
	s.take("Q", "capacity", capacity, quantity.Charge)
	if s.calc("E", "kWh", "Q*U_nom", "Energy on the nominal basis; what may be used is less.") {
		s.answer("E", "{} nominal")
	}
	if stated.Text != "" && s.take("E_r", "energy as stated", stated, quantity.Energy) && s.calc("g", "%", "E_r/E-1", "Stated energy against the product.") && beyond(s.get("g"), "1 %") {
		s.note("The stated energy differs from voltage times capacity by %s: it stands on another basis, or one of the figures is wrong.", s.show("g"))
	}
	sum := ""
	for i, p := range parts {
		symbol := fmt.Sprintf("m_%d", i+1)
		s.take(symbol, "mass of "+p.Name, p.Value, quantity.Mass)
		sum += "+" + symbol
	}
	if sum != "" {
		total := sum[1:]
		if len(parts) > 1 {
			total = "(" + total + ")"
		}
		s.calc("k", "kg/kWh", total+"/E", "Mass for each kilowatt hour, cells and box.")
	}
	return s.done()
}

// CellReading is one cell, or the lowest or highest of a module.
type CellReading struct {
	Of    string
	Value Input
}

// Survey is a survey of cells.
type Survey struct {
	Name         string
	Readings     []CellReading
	State, Taken string
	Words        string // the method's own words, where the state is taken from them
	Cells        int64  // cells that the readings cover, 0 where not recorded
}

// CellSurvey gives the spread of the cells. A reading that no lithium cell can
// have is a broken channel and not a cell: it is refused and named. The spread
// speaks of balance only when the pack was at rest, or all cells were read at one
// moment.
func CellSurvey(id string, v Survey) Working {
	s := begin(Pack, "cells "+id, "Cell survey: "+v.Name)
	s.source("largest less smallest", Physics)
	s.w.Caution = hvCaution
	var low, high Input
	used := 0
	for _, r := range v.Readings {
		if why := refuseCell(r.Value); why != "" {
			s.note("%s: %s is not taken for a cell, %s", r.Of, orNot(r.Value.Text), why)
			continue
		}
		used++
		if order, err := quantity.Compare(r.Value.Value, low.Value); err != nil || order == quantity.Less {
			low = r.Value
			low.Name = r.Of
		}
		if order, err := quantity.Compare(r.Value.Value, high.Value); err != nil || order == quantity.More {
			high = r.Value
			high.Name = r.Of
		}
	}
	if used < 2 {
		s.missing("two readings or more that can be of a cell")
		return s.done()
	}
	s.take("U_a", "lowest ("+low.Name+")", low, quantity.Voltage)
	s.take("U_b", "highest ("+high.Name+")", high, quantity.Voltage)
	if !s.calc("D", "mV", "U_b-U_a", spreadOver(used, v.Cells)) {
		return s.done()
	}
	s.answer("D", "spread {}")
	if v.Words != "" {
		s.assume("that the pack was at rest is taken from the words of the method: “" + v.Words + "”")
	}
	s.verdict(balance(v))
	return s.done()
}

// spreadOver says how much a spread covers.
func spreadOver(readings int, cells int64) string {
	if cells > 0 {
		return fmt.Sprintf("Spread over %d readings of %d cells.", readings, cells)
	}
	return fmt.Sprintf("Spread over %d readings.", readings)
}

// refuseCell says why a reading is no cell voltage: empty text for a plausible one.
func refuseCell(in Input) string {
	if !in.Value.IsPoint() || in.Value.Dimension() != quantity.Voltage {
		return "it is no single voltage"
	}
	a, err := amountOf(in.Value)
	switch {
	case err != nil:
		return err.Error()
	case a.v.Cmp(big.NewRat(1, 2)) < 0:
		return "no cell that works stands below 0.5 V: a broken sense wire, or a word for “no reading”"
	case a.v.Cmp(big.NewRat(9, 2)) > 0:
		return "no cell stands above 4.5 V: the value is a word for “no reading”, or of several cells"
	}
	return ""
}

// balance says whether a spread may be read as imbalance.
func balance(v Survey) Verdict {
	r := Verdict{Of: "balance", Against: "cells at rest, or read at one moment", Outcome: NotComparable, Source: Source{"comparison of cells", Habit}}
	switch {
	case v.State == "at rest":
		r.Outcome, r.Reason = Met, "the pack was at rest, so the spread is one of the cells"
	case v.State == "" || v.State == "not recorded":
		r.Outcome, r.Reason = EvidenceMissing, "whether the pack was at rest is not recorded; unsynchronised readings under a changing load show a spread that is none"
	case v.Taken == "together":
		r.Outcome, r.Reason = NoVerdict, "read at one moment under load: the spread is of voltage under load, with each cell's resistance in it, and not of charge"
	default:
		r.Reason = "unsynchronised: the cells were read one after another while the load changed, so the spread is false; survey them at rest"
	}
	return r
}
