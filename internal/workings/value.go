package workings

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"

	"boltback/internal/edtf"
)

// Money is what a part is worth, as written: "450.00 GBP".
type Money struct {
	What, Amount string
	// Sealed says that the amount is a private value that is not here.
	Sealed bool
	// In is the place in a store: a crate, a shelf.
	In string
	// Missed is the stock-take since which nobody saw it; none where there is none.
	Missed edtf.Date
	// With is the assembly it goes with, where that is valued by itself too.
	With string
	// From is where the value is recorded; empty where it is not.
	From Input
}

// Held is what one car has in a store.
type Held struct {
	Car  string
	List []Money
}

// read gives the number and the currency, ISO 4217.
func (m Money) read() (amount *big.Rat, currency string, ok bool) {
	number, currency, found := strings.Cut(strings.TrimSpace(m.Amount), " ")
	amount, ok = new(big.Rat).SetString(number)
	return amount, currency, ok && found && len(currency) == 3 && strings.ToUpper(currency) == currency && !strings.ContainsAny(number, "/eE")
}

// Value adds up money, currency by currency: never one into the other, as the
// records hold no rate of exchange. What is sealed or not valued is counted, and
// the sum is then the least that it may be.
func Value(id, title string, list []Money) Working {
	s := begin(Custody, "value "+id, title)
	return s.value([]Held{{List: list}})
}

// StoreValue adds up what a store holds on a day, over the cars whose parts lie
// in it.
func StoreValue(id, store string, day edtf.Day, cars []Held) Working {
	s := begin(Custody, "value of "+id, "Value of what "+store+" holds on "+day.String())
	s.assume("parts lie where the records of their cars put them at the end of that day; what no car's records put there is not in it",
		"the value of a part is the one on record, whatever the day it was set")
	if len(cars) == 0 {
		s.conclude("nothing lies there by the records of these cars")
		return s.done()
	}
	return s.value(cars)
}

// purse holds sums by currency.
type purse map[string]*big.Rat

func (p purse) add(currency string, v *big.Rat) {
	if p[currency] == nil {
		p[currency] = new(big.Rat)
	}
	p[currency].Add(p[currency], v)
}

func (p purse) String() string {
	var parts []string
	for _, c := range slices.Sorted(maps.Keys(p)) {
		parts = append(parts, p[c].FloatString(2)+" "+c)
	}
	return strings.Join(parts, " and ")
}

// tally counts what a sum of money is made of.
type tally struct {
	sums                    purse
	parts                   int
	valued, sealed, wanting []string
}

// value writes the lines of the sum, car by car.
func (s *sheet) value(cars []Held) Working {
	s.source("addition, one currency at a time", Physics)
	all, missed := tally{sums: purse{}}, purse{}
	for _, car := range cars {
		own := purse{}
		for _, m := range car.List {
			s.price(car.Car, m, &all, own, missed)
		}
		if len(cars) > 1 && len(own) > 0 {
			s.say("All of "+car.Car+".", own.String())
		}
	}
	if len(missed) > 0 {
		s.note("Of this, %s is of parts that a stock-take did not find and nobody has seen since.", missed)
	}
	if len(all.sums) > 1 {
		s.note("Several currencies are kept apart: no rate of exchange is recorded.")
	}
	s.total(all)
	return s.done()
}

// price adds one part.
func (s *sheet) price(car string, m Money, all *tally, own, missed purse) {
	all.parts++
	where := m.What
	if car != "" {
		where = car + ": " + m.What
	}
	if m.From.Path != "" {
		m.From.Name = where
		s.w.Inputs = append(s.w.Inputs, m.From)
	}
	v, currency, ok := m.read()
	switch {
	case m.Sealed:
		all.sealed = append(all.sealed, where)
	case m.Amount == "":
		all.wanting = append(all.wanting, where)
	case !ok:
		all.wanting = append(all.wanting, where)
		s.note("%s: “%s” is no amount with a currency, such as 450.00 GBP, and is not counted.", where, m.Amount)
	default:
		all.valued = append(all.valued, where)
		all.sums.add(currency, v)
		own.add(currency, v)
		if m.In != "" {
			where += ", " + m.In
		}
		s.say(where+".", m.Amount)
		if m.With != "" {
			s.note("%s goes with %s, and both have a value of their own: see that the one does not hold the other.", m.What, m.With)
		}
		if !m.Missed.IsZero() {
			s.note("%s: not found at the stock-take of %s, and counted all the same.", m.What, m.Missed)
			missed.add(currency, v)
		}
	}
}

// total gives the answer: the sum, or the least that it may be.
func (s *sheet) total(all tally) {
	parts := counted(all.parts, "part", "parts")
	switch valued := len(all.valued); {
	case all.parts == 0:
		s.missing("a part with a value")
	case valued == all.parts:
		s.conclude("%s for %s", all.sums, parts)
	case valued > 0:
		s.conclude("at least %s: %d of %s with a value", all.sums, valued, parts)
	}
	if n := len(all.sealed); n > 0 {
		s.missing(fmt.Sprintf("the private values of %d of %s, which are sealed and not shown (%s)", n, parts, fewOf(all.sealed)))
	}
	if n := len(all.wanting); n > 0 {
		s.missing(fmt.Sprintf("a value for %d of %s (%s)", n, parts, fewOf(all.wanting)))
	}
}

// fewOf names the first few of a list and counts the rest.
func fewOf(list []string) string {
	const most = 6
	if len(list) <= most {
		return strings.Join(list, "; ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(list[:most], "; "), len(list)-most)
}
