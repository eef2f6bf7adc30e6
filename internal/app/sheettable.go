package app

import (
	"bytes"
	"fmt"

	"boltback/internal/code"
	"boltback/internal/sheet"
	"boltback/internal/table"
)

// tableRows is how many empty rows a table has where nobody asks for another number.
const tableRows = 100

// SheetTable fills a table in with what the records know, for whoever types the day into a spreadsheet: record --csv takes it. Empty
// rows of a strip-down bear the numbers of the tags that come next.
func (e Env) SheetTable(car Car, o SheetOrder) (Printed, error) {
	if err := e.SheetJob(o.Job); err != nil {
		return Printed{}, err
	}
	w, err := e.benchFor(car, o)
	if err != nil {
		return Printed{}, err
	}
	if err := w.fits(); err != nil {
		return Printed{}, err
	}
	var header []string
	var rows [][]string
	switch o.Job {
	case sheet.StripDown.Name():
		w.lookAtZone()
		used, err := e.numbersInUse()
		if err != nil {
			return Printed{}, err
		}
		header, rows, err = w.stripDownTable(nextNumber(used))
		if err != nil {
			return Printed{}, err
		}
	case sheet.StockTake.Name():
		if header, rows, err = w.stockTakeTable(); err != nil {
			return Printed{}, err
		}
	default:
		return Printed{}, &Usage{Message: "no table is filled in beforehand for " + o.Job, Hint: "--table is for strip-down and stock-take"}
	}
	var file bytes.Buffer
	if _, err := table.Write(&file, header, rows); err != nil {
		return Printed{}, fmt.Errorf("write the table: %w", err)
	}
	return Printed{File: file.Bytes(), Notes: w.notes}, nil
}

// stripDownTable has a row for each part on the car, to be marked, and then one for each tag that comes next, to be named.
func (w *bench) stripDownTable(next int) (header []string, rows [][]string, err error) {
	header = []string{"Done", "Tag", "Part", "Where it sat", "Side", "Fasteners", "Bag", "Crate", "Date", "By"}
	for _, p := range sheet.RemovalsFrom(w.s, w.order.Zone, w.onCar) {
		rows = append(rows, []string{"", p.Tag, p.Part, p.Position, p.Side, "", "", "", w.order.Day.String(), w.order.Who})
	}
	blank := w.order.Blank
	if blank < 0 {
		blank = tableRows
	}
	for n := range blank {
		tag, err := code.NewTag(next + n)
		if err != nil {
			return nil, nil, err
		}
		rows = append(rows, []string{"", string(tag), "", "", "", "", "", "", w.order.Day.String(), w.order.Who})
	}
	return header, rows, nil
}

// stockTakeTable has a row for each part that should lie in a store.
func (w *bench) stockTakeTable() (header []string, rows [][]string, err error) {
	store, err := w.store()
	if err != nil {
		return nil, nil, err
	}
	header = []string{"Tag", "Part", "Store", "Crate", "Today", "Seal", "Date", "By"}
	for _, p := range w.stored(store) {
		rows = append(rows, []string{p.Tag, p.Part, w.work.Called(store), p.Place, "", "", w.order.Day.String(), w.order.Who})
	}
	return header, rows, nil
}
