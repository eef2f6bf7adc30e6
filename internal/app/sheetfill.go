package app

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/sheet"
)

// The units that boxes may bear, by the ways in which they are typed.
var (
	torqueUnits = map[string]string{"n·m": "N·m", "n.m": "N·m", "nm": "N·m", "lbf·ft": "lbf·ft", "lbf.ft": "lbf·ft", "lb-ft": "lbf·ft", "ft-lb": "lbf·ft"}
	massUnits   = map[string]string{"kg": "kg", "lb": "lb"}
)

func unitOr(word string, units map[string]string, usual string) string {
	if unit, ok := units[strings.ToLower(word)]; ok {
		return unit
	}
	return usual
}

// fits refuses words that say nothing on this sheet: somebody meant another sheet by them.
func (w *bench) fits() error {
	job, units := w.order.Job, map[string]map[string]string{sheet.Tightening.Name(): torqueUnits, sheet.Weighing.Name(): massUnits}[w.order.Job]
	zoned := []string{sheet.StripDown.Name(), sheet.Fitting.Name(), sheet.Tightening.Name(), sheet.HoleSurvey.Name()}
	switch {
	case w.order.Store != "" && job != sheet.StockTake.Name():
		return &Usage{Message: "--store is for a stock-take, not for a sheet for " + job}
	case w.order.Zone != "" && !slices.Contains(zoned, job):
		return &Usage{Message: "a sheet for " + job + " is of no zone", Hint: "--zone is for: " + strings.Join(zoned, ", ")}
	case w.order.Zone == "" && job == sheet.HoleSurvey.Name():
		return &Usage{Message: "a hole survey is of one zone, and none is named", Hint: "--zone 'boot floor'; " + w.zonesOnRecord()}
	case w.order.Unit != "" && units == nil:
		return &Usage{Message: "a sheet for " + job + " has no unit to choose", Hint: "--unit is for tightening (N·m, lbf·ft) and weighing (kg, lb)"}
	case w.order.Unit != "" && units[strings.ToLower(w.order.Unit)] == "":
		return &Usage{Message: fmt.Sprintf("boxes for %s cannot be in %s", job, w.order.Unit), Hint: "--unit N·m or lbf·ft for tightening, kg or lb for weighing"}
	}
	return nil
}

// lookAtZone notes a zone that no record names: it may be new, or mistyped.
func (w *bench) lookAtZone() {
	zones := w.zones()
	known := func(z string) bool { return strings.EqualFold(z, w.order.Zone) }
	if w.order.Zone == "" || slices.ContainsFunc(zones, known) {
		return
	}
	note := fmt.Sprintf("no record is of the zone %q, so nothing is filled in", w.order.Zone)
	if near := finding.Nearest(w.order.Zone, zones); near != "" {
		note += "; did you mean " + near + "?"
	}
	w.notes = append(w.notes, note)
}

// zones lists the zones that parts, joints and what was there before are of.
func (w *bench) zones() []string {
	seen := map[string]bool{}
	for _, p := range ledger.All[record.Part](w.s) {
		seen[p.Body.Zone] = true
	}
	for _, j := range ledger.All[record.Joint](w.s) {
		seen[j.Body.Zone] = true
	}
	for _, x := range ledger.All[record.Existing](w.s) {
		seen[x.Body.Zone] = true
	}
	delete(seen, "")
	return slices.Sorted(maps.Keys(seen))
}

func (w *bench) zonesOnRecord() string {
	if zones := w.zones(); len(zones) > 0 {
		return "on record are: " + strings.Join(zones, ", ")
	}
	return "no zone is on record yet"
}

func (w *bench) onCar(id record.Ref) bool {
	p, ok := w.state.Part(id)
	return ok && p.Where.Place == replay.OnCar
}

// toGoOn says that a part is off the car and waits for being fitted: a new one, or one that was taken off for another
// purpose than the conversion and may go back. What the conversion took off is kept, and stays off.
func (w *bench) toGoOn(id record.Ref) bool {
	p, ok := w.state.Part(id)
	if !ok {
		return false
	}
	switch p.Where.Place {
	case replay.OnCar, replay.Gone, replay.BecameAnother:
		return false
	}
	if p.Found == "no" {
		return true
	}
	if info, ok := w.work.Part(id); ok && strings.HasPrefix(info.Body.MayGoBack, "no") {
		return false
	}
	purpose := w.takenOffFor(id)
	return purpose != "" && purpose != "conversion" && purpose != "not stated"
}

// takenOffFor is the purpose of the last removal of a part; "" where no line took it off.
func (w *bench) takenOffFor(id record.Ref) (purpose string) {
	name := w.work.Name(id)
	for n := range w.work.Len() {
		line := w.work.Line(replay.Step(n)).Body
		if line.Act != "removal" {
			continue
		}
		for _, part := range line.Parts {
			if w.work.Name(part) == name {
				purpose = line.Purpose
			}
		}
	}
	return purpose
}

// store finds the store of a stock-take by the end of its name; a car that uses one store needs no name.
func (w *bench) store() (record.Ref, error) {
	var names []string
	var hits []record.Ref
	for _, r := range ledger.All[record.Store](w.s) {
		names = append(names, string(r.ID))
		if w.order.Store == "" || string(r.ID) == w.order.Store || strings.HasSuffix(string(r.ID), "/"+w.order.Store) {
			hits = append(hits, r.ID)
		}
	}
	hint := "--store takes one of: " + strings.Join(names, ", ")
	switch {
	case len(hits) == 1:
		return hits[0], nil
	case len(names) == 0:
		return "", &Usage{Message: "no store is on record in this car", Hint: "a store is copied into the car when a line of work first names it"}
	case w.order.Store == "":
		return "", &Usage{Message: "a stock-take is of one store, and the car uses several", Hint: hint}
	case len(hits) > 1:
		return "", &Usage{Message: w.order.Store + " could be any of several stores", Hint: hint}
	}
	return "", &Usage{Message: "there is no store " + w.order.Store, Hint: hint}
}

// stored lists what should lie in a store, place by place.
func (w *bench) stored(store record.Ref) []sheet.Stored {
	state := w.state
	var list []sheet.Stored
	for _, p := range state.Parts() {
		if p.Where.Place != replay.InStore || w.work.Name(p.Where.Store) != w.work.Name(store) {
			continue
		}
		one := sheet.Stored{Part: w.work.Called(p.Ref), Place: p.Where.Shelf}
		if info, ok := w.work.Part(p.Ref); ok {
			one.Tag = info.Body.Tag
		}
		if seen, _, _ := state.LastSeen(p.Ref); seen != replay.NoStep {
			one.LastSeen = w.work.DayOf(seen).String()
			one.Seal = w.work.Line(seen).Body.Seal
		}
		list = append(list, one)
	}
	slices.SortStableFunc(list, func(a, b sheet.Stored) int {
		return cmp.Or(cmp.Compare(a.Place, b.Place), cmp.Compare(a.Tag, b.Tag))
	})
	return list
}
