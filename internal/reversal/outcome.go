package reversal

import (
	"fmt"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Outcome is what a line of the statement says. The greater is the worse.
type Outcome uint8

// The outcomes, from the best. CannotSay is the worst: missing evidence outranks every verdict.
const (
	Nothing Outcome = iota
	Consumables
	Replacements
	Traces
	NotFully
	CannotSay
)

var outcomeWords = [...]string{
	"on the records, can be put back with nothing but work",
	"on the records, can be put back with consumables",
	"on the records, can be put back with the replacements named",
	"on the records, can be put back with the traces named",
	"on the records, cannot be fully put back",
	"cannot be said, the records are too thin",
}

// String is the sentence of an outcome, lower case, no full stop.
func (o Outcome) String() string { return outcomeWords[o] }

var outcomeNames = [...]string{"nothing", "consumables", "replacements", "traces", "not-fully", "cannot-say"}

// MarshalText writes the short name of an outcome.
func (o Outcome) MarshalText() ([]byte, error) {
	if int(o) >= len(outcomeNames) {
		return nil, fmt.Errorf("there is no outcome %d", o)
	}
	return []byte(outcomeNames[o]), nil
}

// UnmarshalText reads what MarshalText writes.
func (o *Outcome) UnmarshalText(text []byte) error {
	i := slices.Index(outcomeNames[:], string(text))
	if i < 0 {
		return fmt.Errorf("there is no outcome %q", text)
	}
	*o = Outcome(i)
	return nil
}

// Topic is one of the three lines of a statement.
type Topic string

// The lines.
const (
	FoundParts Topic = "found parts"
	Structure  Topic = "shell and structure"
	Consumable Topic = "consumables"
)

// Reason is one thing that makes a line worse than "nothing but work".
type Reason struct {
	Code    string  `json:"code"`
	Topic   Topic   `json:"topic"`
	Outcome Outcome `json:"outcome"`
	// Thing is the part, joint, system or feature it is about.
	Thing record.Ref `json:"thing,omitempty"`
	// Text is the reason in a sentence, Settle what would settle it where something is missing: lower case, no full stop.
	Text   string `json:"text"`
	Settle string `json:"settle,omitempty"`
	// Safety marks an alteration that somebody required for a load path: it is shown first, as a safety decision.
	Safety bool `json:"safety,omitempty"`
	// Records are all the records without any of which this reason might not be seen: the records against.
	Records []record.Ref `json:"records"`
}

// Support is a record that holds a line up.
type Support struct {
	Topic  Topic      `json:"topic"`
	Record record.Ref `json:"record"`
	Text   string     `json:"text"`
}

// Line is one of the three lines with its reasons, the worst first.
type Line struct {
	Topic   Topic     `json:"topic"`
	Outcome Outcome   `json:"outcome"`
	Text    string    `json:"text"`
	Reasons []Reason  `json:"reasons,omitempty"`
	For     []Support `json:"for,omitempty"`
}

// Floor is one of the program's lower limits of evidence: what is asked, what the records have.
type Floor struct {
	What  string `json:"what"`
	Asked string `json:"asked"`
	Have  string `json:"have"`
	Met   bool   `json:"met"`
	// Empty says that there is nothing to be counted, which is met and shows nothing.
	Empty bool `json:"empty,omitempty"`
}

// Floors are the limits below which nothing is said. A ledger may only tighten them.
type Floors struct {
	FoundParts     int // fewest parts found on the car
	SightingMonths int // longest time since a stored part was last seen
	Attachments    int // percent of fitted parts whose joints are recorded
	Fasteners      int // percent of joints to be done up whose fasteners are recorded
	Evidence       int // percent of found parts seen or photographed at the baseline, not told or inferred
}

// ProgramFloors are the limits of this edition of the program.
func ProgramFloors() Floors {
	return Floors{FoundParts: 20, SightingMonths: 24, Attachments: 90, Fasteners: 50, Evidence: 50}
}

// FloorsOf are the limits that hold for a car: the program's, where its ledger does not ask for more.
func FloorsOf(s *ledger.Snapshot) Floors { return ProgramFloors().tightened(s.Head().Limits) }

// tightened applies the limits of a ledger where they ask for more.
func (f Floors) tightened(l *record.Limits) Floors {
	if l == nil {
		return f
	}
	f.FoundParts = max(f.FoundParts, int(min(l.FoundParts, 1_000_000)))
	if l.SightingAge > 0 {
		f.SightingMonths = min(f.SightingMonths, int(min(l.SightingAge, 1_000_000)))
	}
	f.Attachments = max(f.Attachments, int(min(l.Attachments, 100)))
	return f
}
