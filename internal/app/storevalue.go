package app

import (
	"maps"
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/workings"
)

// storeAsked gathers what the stores that a word means hold, over several cars.
type storeAsked struct {
	word  string
	names map[record.Ref]string
	held  map[record.Ref][]workings.Held
	// others are stores with something in them that the word does not mean.
	others []string
}

// StoreValue adds up what a store holds on a day over all the cars that were asked about. Store is the end of a store's
// name; where two stores end alike, each has its own sum. private opens the values whose disclosures are here.
func (e Env) StoreValue(cars []Car, store, at string, on edtf.Day, private bool) (Sums, error) {
	asked := storeAsked{store, map[record.Ref]string{}, map[record.Ref][]workings.Held{}, nil}
	sums := Sums{Heading: workings.Heading{Day: on.String(), Program: e.Program}}
	for _, car := range cars {
		s, commit, err := e.At(car, at)
		if err != nil {
			return Sums{}, err
		}
		sums.Heading.Workshop = s.Head().Workshop
		sums.Heading.Cars = append(sums.Heading.Cars, workings.CarHeading{Car: car.Name, Commit: commit})
		asked.in(car, workings.Of(replay.Of(s), on, e.disclosedIf(private, car, s)))
		for _, ref := range e.workshopNames(car.Yard, "stores") {
			asked.knows(ref, lastOf(ref))
		}
	}
	for _, ref := range slices.Sorted(maps.Keys(asked.names)) {
		sums.Workings = append(sums.Workings, workings.StoreValue(strings.TrimPrefix(string(ref), "stores/"), asked.names[ref], on, asked.held[ref]))
	}
	if len(sums.Workings) == 0 {
		return Sums{}, asked.noSuchStore()
	}
	return sums, nil
}

// knows notes a store by what people call it, if the word means it; the first name counts.
func (a *storeAsked) knows(ref record.Ref, name string) {
	if storeIs(a.word, ref) && a.names[ref] == "" {
		a.names[ref] = name
	}
}

// in adds what the stores hold of one car; its inputs then say which car they are of.
func (a *storeAsked) in(car Car, c *workings.Car) {
	for _, ref := range c.Stores() {
		if !storeIs(a.word, ref) {
			if ref != "" {
				a.others = append(a.others, lastOf(ref))
			}
			continue
		}
		a.knows(ref, c.StoreName(ref))
		list := c.HeldIn(ref)
		for i := range list {
			if list[i].From.Path != "" {
				list[i].From.Path = car.Name + "/" + list[i].From.Path
			}
		}
		a.held[ref] = append(a.held[ref], workings.Held{Car: car.Name, List: list})
	}
}

func lastOf(ref record.Ref) string {
	return string(ref)[strings.LastIndexByte(string(ref), '/')+1:]
}

func (a *storeAsked) noSuchStore() error {
	slices.Sort(a.others)
	hint := "no store of these cars holds anything on that day"
	if others := slices.Compact(a.others); len(others) > 0 {
		hint = "stores that hold something: " + strings.Join(others, ", ")
	}
	return &Usage{Message: "nobody knows a store called " + a.word, Hint: hint}
}
