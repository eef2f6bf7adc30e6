package app

import (
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
	"boltback/internal/workings"
)

// CarDue is what is due in one car.
type CarDue struct {
	Car  Car
	Work *replay.Work
	List []replay.Due
}

// Due lists what is overdue on a day or falls due within so many days, car by car.
func (e Env) Due(cars []Car, at string, on edtf.Day, days int) ([]CarDue, error) {
	var all []CarDue
	for _, car := range cars {
		work, err := e.Work(car, at)
		if err != nil {
			return nil, err
		}
		floors := reversal.FloorsOf(work.Snapshot())
		list := replay.DueBy(work, on, replay.Horizon{Days: days, SightingMonths: floors.SightingMonths})
		all = append(all, CarDue{car, work, append(list, workings.Of(work, on, nil).DueAgain()...)})
	}
	return all, nil
}

// CarStores is what lies in the stores of one car, and what stock-takes found.
type CarStores struct {
	Car     Car
	Work    *replay.Work
	Shelves []replay.Shelf
}

// StockTake tells what should lie where on a day and what the last stock-takes found, car by car. Store is the end of a
// store's name; "" is every store.
func (e Env) StockTake(cars []Car, store, at string, on edtf.Day) ([]CarStores, error) {
	var all []CarStores
	known := store == ""
	for _, car := range cars {
		work, err := e.Work(car, at)
		if err != nil {
			return nil, err
		}
		one := CarStores{Car: car, Work: work}
		for _, shelf := range replay.Shelves(work, on) {
			if storeIs(store, shelf.Store) {
				one.Shelves, known = append(one.Shelves, shelf), true
			}
		}
		all = append(all, one)
	}
	if !known {
		return nil, &Usage{Message: "nothing lies in a store called " + store + ", and no stock-take was made of one", Hint: "boltback stock-take without --store names them all"}
	}
	return all, nil
}

// storeIs says that a word means a store: its whole name or the end of it; no word means any.
func storeIs(word string, store record.Ref) bool {
	return word == "" || string(store) == word || strings.HasSuffix(string(store), "/"+word)
}
