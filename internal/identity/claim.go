package identity

import (
	"cmp"
	"slices"
	"strings"
)

// Kind is what a number numbers.
type Kind string

// The kinds. Title and Archive are the numbers that a title or an archive paper
// gives the car without saying where they are stamped.
const (
	Chassis      Kind = "chassis"
	Engine       Kind = "engine"
	Gearbox      Kind = "gearbox"
	Body         Kind = "body"
	Plate        Kind = "plate"
	Title        Kind = "title"
	ArchivePaper Kind = "archive"
	Registration Kind = "registration"
)

// kinds is the order in which matrices are shown; other kinds follow by name.
var kinds = []Kind{Chassis, Plate, Title, ArchivePaper, Body, Engine, Gearbox, Registration}

// Source is where a number was read.
type Source string

// The usual sources. Any other text is a source of its own.
const (
	FromStamping     Source = "stamping"
	FromPlate        Source = "plate"
	FromTitle        Source = "title"
	FromArchive      Source = "archive certificate"
	FromRegistration Source = "registration"
	FromTest         Source = "test certificate"
)

// Answer is a yes, a no, or neither on record. The zero value is not known.
type Answer string

// The answers.
const (
	NotKnown Answer = ""
	Yes      Answer = "yes"
	No       Answer = "no"
)

// Legibility is how well a number could be read.
type Legibility string

// The degrees; the zero value is not recorded.
const (
	Legible       Legibility = "legible"
	PartlyLegible Legibility = "partly legible"
	Illegible     Legibility = "illegible"
)

// Claim is one number as read from one source, with what the record says about
// the reading. Every field but Number may be empty.
type Claim struct {
	Kind       Kind
	Number     Number
	Source     Source
	Record     string // path of the record that holds it
	Part       string // path of the part that bears it, when known
	ReadBy     string
	Date       string // as recorded (EDTF)
	Legibility Legibility
	Factory    Answer // put there by the method the factory used
	OnCar      Answer // what bears it is on the car now
	FromTable  bool   // the field came through a spreadsheet
}

// usable tells whether the number can be compared at all.
func (c Claim) usable() bool { return len(c.faults()) == 0 }

// faults says why the number is no evidence.
func (c Claim) faults() []string { return reasonAgainst(c.Number.Raw, Key(c.Number.Raw)) }

// place names the reading for a sentence: its source and its record.
func (c Claim) place() string {
	source := string(c.Source)
	if source == "" {
		source = "source not stated"
	}
	if c.Record == "" {
		return source
	}
	return source + " (" + c.Record + ")"
}

// sorted returns the claims in the order in which they are shown, so that the
// order of the records does not show: by kind, source, record, then number.
func sorted(claims []Claim) []Claim {
	out := slices.Clone(claims)
	slices.SortStableFunc(out, func(a, b Claim) int {
		return cmp.Or(cmp.Compare(a.Kind.rank(), b.Kind.rank()), strings.Compare(string(a.Kind), string(b.Kind)),
			strings.Compare(string(a.Source), string(b.Source)), strings.Compare(a.Record, b.Record),
			strings.Compare(a.Number.Raw, b.Number.Raw), strings.Compare(a.Date, b.Date), strings.Compare(a.ReadBy, b.ReadBy))
	})
	return out
}

func (k Kind) rank() int {
	if i := slices.Index(kinds, k); i >= 0 {
		return i
	}
	return len(kinds)
}

// Label is the kind for a sentence.
func (k Kind) Label() string {
	switch k {
	case "":
		return "number of no stated kind"
	case Registration:
		return "registration mark"
	case ArchivePaper:
		return "number in the archive paper"
	}
	return string(k) + " number"
}

// Candidates lists the claims whose number, made out in full, a partly legible
// number could stand for. They are candidates; none of them is chosen. A number
// that was made out in full has none.
func Candidates(pattern Number, among []Claim) []Claim {
	var out []Claim
	for _, c := range sorted(among) {
		if !Key(c.Number.Raw).Pattern() && Compare(pattern, c.Number).Verdict == Compatible {
			out = append(out, c)
		}
	}
	return out
}
