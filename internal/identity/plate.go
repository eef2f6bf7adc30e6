package identity

import (
	"fmt"
	"strings"
)

// PlateEntry is one identity plate: the one on the car, or one kept elsewhere.
type PlateEntry struct {
	Number       Number
	Record       string
	OnCar        Answer
	Original     Answer // Yes: the factory's; No: a copy
	Where        string // where it is when it is not on the car
	PhotoInPlace string // path of the photo taken before it was removed
	Reason       string // why it was removed or copied
	Witness      string
}

// legalCaution goes with every plate that was removed or copied.
const legalCaution = "removing, copying or replacing an identity plate is restricted or forbidden in many places: ask the authority, and show it both plates"

// Plates draws what follows from the plates on record: each is an entry of its
// own, and a copy on the car never stands in for the original.
func Plates(plates []PlateEntry) []Statement {
	var out []Statement
	var originals, copies, onCar []PlateEntry
	for _, p := range plates {
		switch p.Original {
		case Yes:
			originals = append(originals, p)
		case No:
			copies = append(copies, p)
		default:
			out = append(out, plateStatement("plate-origin-unknown", Note, "whether the plate %s is the factory's is not recorded", p))
		}
		if p.OnCar == Yes {
			onCar = append(onCar, p)
		}
	}
	for _, c := range copies {
		if c.OnCar != No {
			out = append(out, copyOnCar(c, originals)...)
		}
	}
	for _, o := range originals {
		if o.OnCar != Yes {
			out = append(out, originalOff(o))
		}
	}
	if len(onCar) > 1 {
		out = append(out, severalOnCar(onCar))
	}
	return arrange(out)
}

func plateStatement(code string, severity Severity, format string, p PlateEntry) Statement {
	return Statement{Code: code, Severity: severity, Records: paths(p.Record, p.PhotoInPlace),
		Sentence: fmt.Sprintf(format, quote(p.Number.Raw))}
}

// copyOnCar weighs a copy on the car against the originals on record.
func copyOnCar(c PlateEntry, originals []PlateEntry) []Statement {
	if len(originals) == 0 {
		s := plateStatement("plate-copy-alone", High, "the plate %s on the car is a copy, and no record tells of the original; "+legalCaution, c)
		s.Asks = []string{"the original plate, or what became of it", "a photo of the original in place"}
		return []Statement{s}
	}
	out := []Statement{plateStatement("plate-copy-on-car", Caution,
		"the plate %s on the car is a copy, the original is an entry of its own; say so to every buyer and inspector; "+legalCaution, c)}
	for _, o := range originals {
		g := Compare(c.Number, o.Number)
		if g.Verdict != Agree {
			out = append(out, Statement{Code: "plate-copy-differs", Severity: High, Records: paths(c.Record, o.Record),
				Sentence: "the copy does not bear the original's number in full: " + g.Sentence(),
				Asks:     []string{"a photo of the original in place"}})
		}
	}
	return out
}

// originalOff says where the factory's plate is, and what its removal lacks.
func originalOff(o PlateEntry) Statement {
	s := plateStatement("plate-original-off-car", Caution, "the factory's plate %s is not on the car", o)
	if o.OnCar == NotKnown {
		s.Sentence = fmt.Sprintf("whether the factory's plate %s is on the car is not recorded", quote(o.Number.Raw))
	}
	if o.Where != "" {
		s.Sentence += ": kept " + o.Where
	} else {
		s.Severity = High
	}
	for _, need := range []struct{ have, ask string }{{o.Where, "where the original is kept"},
		{o.PhotoInPlace, "a photo of it in place, taken before it was removed"},
		{o.Reason, "why it was removed"}, {o.Witness, "who saw it removed"}} {
		if need.have == "" {
			s.Asks = append(s.Asks, need.ask)
		}
	}
	if len(s.Asks) > 0 {
		s.Sentence += "; not recorded: " + strings.Join(s.Asks, ", ")
	}
	s.Sentence += "; " + legalCaution
	return s
}

func severalOnCar(onCar []PlateEntry) Statement {
	var records, numbers []string
	for _, p := range onCar {
		records = append(records, p.Record)
		numbers = append(numbers, quote(p.Number.Raw))
	}
	return Statement{Code: "plates-several-on-car", Severity: Caution, Records: paths(records...),
		Sentence: fmt.Sprintf("%d identity plates are said to be on the car at once: %s", len(onCar), list(numbers)),
		Asks:     []string{"which plate is on the car, with a photo of it in place"}}
}
