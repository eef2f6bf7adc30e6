package steps

import (
	"regexp"

	"boltback/internal/record"
)

// Thing is a part by the tag on it, by what it is called, or by both.
type Thing struct{ Tag, Name string }

// Step is one thing told, in the words of whoever told it.
type Step struct {
	// Act is what was done, as a line of work names it.
	Act string
	// Things are the parts it was done to.
	Things []Thing
	// Nothing says that everything in a place was looked for and nothing was there.
	Nothing bool
	// Fasteners came off or went on, kind by kind; Bag is what they were put into; Joint is the joint they belong to.
	Fasteners  []record.Fastener
	Bag, Joint string
	// Store and Place are where the parts were put, Position where they sat on the car, Side its side as somebody calls it.
	Store                 record.Ref
	Place, Position, Side string
	// Measures are quantities of any dimension: a mass, a torque, an angle, a volume.
	Measures []string
	Hazards  []string
	// Fields are further members of the line by name: with, due, method, instrument, seal, counted ...
	Fields map[string]string
	Note   string
	// newStore is what a store is called that nobody named before, and doubt what is to be said of how a clause was taken.
	newStore, doubt string
}

// verbs are the words for what was done.
var verbs = map[string]string{
	"off": "removal", "removed": "removal", "remove": "removal",
	"on": "fitting", "fitted": "fitting", "fit": "fitting",
	"tight": "tightening", "tightened": "tightening", "torque": "tightening",
	"seen": "sighting", "saw": "sighting",
	"move": "move", "moved": "move", "put": "move",
	"out": "out", "sent": "out",
	"in": "in", "back": "in",
	"preserve": "preserve", "preserved": "preserve",
	"drain": "drain", "drained": "drain",
	"fill": "fill", "filled": "fill",
}

// hazardWords are those of the schema for parts.
var hazardWords = []string{"asbestos", "fuel", "refrigerant", "high voltage", "heavy", "pressure", "acid", "lithium", "spring"}

// placeWords begin the name of a place in a store.
var placeWords = []string{"crate", "shelf", "pallet", "rack", "hook", "bay", "bin", "box", "drawer", "rail", "cabinet"}

// fieldWords are clauses that begin with a word and fill a member of the line.
var fieldWords = map[string]string{"with": "with", "due": "due", "until": "due", "wrench": "instrument", "instrument": "instrument", "gone": "gone",
	"waste": "waste", "method": "method"}

// plainWords are clauses that are a single word and fill a member of the line.
var plainWords = map[string][2]string{
	"sealed": {"seal", "sealed"}, "unbroken": {"seal", "unbroken"}, "broken": {"seal", "broken"},
	"all": {"counted", "everything there"}, "everything": {"counted", "everything there"},
	"click": {"method", "click"}, "dial": {"method", "indicating"}, "indicating": {"method", "indicating"}, "feel": {"method", "by feel"},
	"sold": {"gone", "sold"}, "scrapped": {"gone", "scrapped"}, "lost": {"gone", "lost"},
}

var (
	tagPattern     = regexp.MustCompile(`^\d{3,9}(-?[0-9xX])?[a-z]?$`)
	measurePattern = regexp.MustCompile(`^[<>±~]?\s*\d[\d.,/ ]*\s*(±.*)?[A-Za-zµΩ°%].*$`)
)
