package app

import (
	"errors"
	"fmt"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
	"boltback/internal/signoff"
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
		list = append(list, workings.Of(work, on, nil).DueAgain()...)
		if at == "" { // a stamp is no part of what the ledger knew at a revision
			stamps, err := e.stampsDue(car, on, days)
			if err != nil {
				return nil, err
			}
			list = append(list, stamps...)
		}
		all = append(all, CarDue{car, work, list})
	}
	return all, nil
}

// stampsDue lists the stamps of an outside clock that no later one covers, and that have to be covered within so many days. The
// history is verified only where there is a stamp.
func (e Env) stampsDue(car Car, on edtf.Day, days int) ([]replay.Due, error) {
	repo, err := e.Git.Open(car.Path)
	if errors.Is(err, ErrNoRepository) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	if tags, err := repo.Stamps(); err != nil || len(tags) == 0 {
		return nil, err
	}
	_, r, err := e.Verify(car, VerifyRequest{On: on})
	if err != nil {
		return nil, err
	}
	var list []replay.Due
	for _, v := range r.Stamps {
		by := edtf.DayOf(v.DueBy())
		if !v.OutsideClock() || signoff.Renewed(v, r.Stamps) || by.Compare(on.AddDays(days)) > 0 {
			continue
		}
		list = append(list, replay.Due{Sort: replay.StampAgain, Thing: record.Ref(v.Tag), Step: replay.NoStep, On: by, Overdue: signoff.Overdue(v, r.Stamps, on),
			Why: "the certificates behind its answer end on " + edtf.DayOf(v.Token.Expires).String()})
	}
	return list, nil
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
