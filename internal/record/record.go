// Package record holds the kinds of record a car's ledger is made of: their Go types, where each kind lies, how a path
// becomes the name by which other records refer to it, and how one record is decoded and encoded. It knows one record at
// a time; what records mean together is the business of package ledger and those above it.
package record

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/canon"
)

// Kind names a kind of record, as its member "kind" writes it.
type Kind string

// The kinds of record, in the order in which lists show them.
const (
	KindLedger      Kind = "ledger"
	KindCar         Kind = "car"
	KindPart        Kind = "part"
	KindJoint       Kind = "joint"
	KindSystem      Kind = "system"
	KindExisting    Kind = "existing"
	KindSession     Kind = "session"
	KindReading     Kind = "reading"
	KindConcern     Kind = "concern"
	KindSetting     Kind = "setting"
	KindCode        Kind = "code"
	KindPaper       Kind = "paper"
	KindSignOff     Kind = "sign-off"
	KindTransfer    Kind = "transfer"
	KindPerson      Kind = "person"
	KindLicence     Kind = "licence"
	KindKey         Kind = "key"
	KindRevocation  Kind = "revocation"
	KindInstrument  Kind = "instrument"
	KindCalibration Kind = "calibration"
	KindStore       Kind = "store"

	KindRequirementSet Kind = "requirement-set"
)

// Ref is the name of a record: its path without ".json" (parts/fuel-tank). People, instruments and stores are folders and
// are named by the folder (people/tallow-lane/ines-okafor).
type Ref string

// Measure is a quantity as it stands in a record, number and unit; package quantity reads it.
type Measure string

// Date is a date or moment as it stands in a record; package edtf reads it.
type Date string

// Digest is a SHA-256 in lower-case hex.
type Digest string

// Sealed is the digest of a private value, whose disclosure lies beside the ledger.
type Sealed string

// Head is what every record may carry. Corrects and Withdraws make a record stand over another of the same kind, which
// itself is never edited.
type Head struct {
	Kind      Kind   `json:"kind"`
	Name      string `json:"name,omitempty"`
	Corrects  Ref    `json:"corrects,omitempty" refers:"same"`
	Withdraws Ref    `json:"withdraws,omitempty" refers:"same"`
	Reason    string `json:"reason,omitempty"`
}

// Heading returns the head itself, so that any Body gives access to it.
func (h *Head) Heading() *Head { return h }

// Body is a pointer to one of the record types of this package.
type Body interface{ Heading() *Head }

// Record is one decoded record with the document it was read from.
type Record struct {
	ID     Ref
	Path   string
	Kind   Kind
	Body   Body
	Doc    *canon.Document
	Digest Digest
}

// Name is what people call the record, or its ID where it has no name.
func (r *Record) Name() string {
	if n := r.Body.Heading().Name; n != "" {
		return n
	}
	return string(r.ID)
}

// definition ties a kind to its Go type and its place in the ledger.
type definition struct {
	kind  Kind
	place string
	new   func() Body
}

// definitions is the one list of kinds. In a place, <name> stands for a slug and <date> for a day.
var definitions = []definition{
	{KindLedger, "ledger.json", func() Body { return new(Ledger) }},
	{KindCar, "car.json", func() Body { return new(Car) }},
	{KindPart, "parts/<slug>.json", func() Body { return new(Part) }},
	{KindJoint, "joints/<slug>.json", func() Body { return new(Joint) }},
	{KindSystem, "systems/<slug>.json", func() Body { return new(System) }},
	{KindExisting, "existing/<slug>.json", func() Body { return new(Existing) }},
	{KindSession, "work/<date>-<slug>.json", func() Body { return new(Session) }},
	{KindReading, "readings/<date>-<slug>.json", func() Body { return new(Reading) }},
	{KindConcern, "concerns/<slug>.json", func() Body { return new(Concern) }},
	{KindSetting, "settings/<slug>.json", func() Body { return new(Setting) }},
	{KindCode, "codes/<slug>.json", func() Body { return new(Code) }},
	{KindPaper, "papers/<slug>.json", func() Body { return new(Paper) }},
	{KindSignOff, "signoffs/<date>-<slug>.json", func() Body { return new(SignOff) }},
	{KindTransfer, "transfers/<date>-<slug>.json", func() Body { return new(Transfer) }},
	{KindPerson, "people/<slug>/<slug>/person.json", func() Body { return new(Person) }},
	{KindLicence, "people/<slug>/<slug>/<slug>.json", func() Body { return new(Licence) }},
	{KindKey, "people/<slug>/<slug>/<slug>.json", func() Body { return new(Key) }},
	{KindRevocation, "people/<slug>/<slug>/<slug>.json", func() Body { return new(Revocation) }},
	{KindInstrument, "instruments/<slug>/<slug>/instrument.json", func() Body { return new(Instrument) }},
	{KindCalibration, "instruments/<slug>/<slug>/<slug>.json", func() Body { return new(Calibration) }},
	{KindStore, "stores/<slug>/<slug>/store.json", func() Body { return new(Store) }},
	{KindRequirementSet, "requirements/<slug>.json", func() Body { return new(RequirementSet) }},
}

// Kinds lists all kinds in their fixed order.
func Kinds() []Kind {
	kinds := make([]Kind, len(definitions))
	for i, d := range definitions {
		kinds[i] = d.kind
	}
	return kinds
}

// New returns an empty record body of a kind, its Kind set, or nil for a kind that does not exist.
func New(kind Kind) Body {
	for _, d := range definitions {
		if d.kind == kind {
			body := d.new()
			body.Heading().Kind = kind
			return body
		}
	}
	return nil
}

// Decode reads one record that lies at path. A fault in the text is a *canon.SyntaxError with its line and column.
func Decode(path string, src []byte) (*Record, error) {
	doc, err := canon.Parse(src, canon.DefaultLimits())
	if err != nil {
		return nil, err
	}
	return FromDocument(path, doc)
}

// FromDocument turns a parsed document that lies at path into a record. The kind must exist and belong at that path.
func FromDocument(path string, doc *canon.Document) (*Record, error) {
	kind, err := kindOf(path, doc)
	if err != nil {
		return nil, err
	}
	body := New(kind)
	if err := canon.Unmarshal(doc, body); err != nil {
		return nil, err
	}
	id, _ := IDOf(path)
	return &Record{ID: id, Path: path, Kind: kind, Body: body, Doc: doc, Digest: Digest(canon.Digest(doc.Source))}, nil
}

// kindOf reads the member "kind" and holds it against what may lie at path.
func kindOf(path string, doc *canon.Document) (Kind, error) {
	fault := func(pointer, message, hint string) error {
		at := doc.Locate(pointer)
		return &canon.SyntaxError{Line: at.Line, Column: at.Column, Pointer: pointer, Message: message, Hint: hint}
	}
	if doc.Root.Kind != canon.Object {
		return "", fault("", "a record is an object, in braces", `begin with { "kind": ... }`)
	}
	may := KindsAt(path)
	member := doc.Root.Get("kind")
	if member == nil || member.Kind != canon.String {
		return "", fault("/kind", "the record does not say what kind it is", suggestKind(may))
	}
	kind := Kind(member.Text)
	if New(kind) == nil {
		return "", fault("/kind", fmt.Sprintf("there is no kind of record called %q", member.Text), suggestKind(may))
	}
	if !slices.Contains(may, kind) {
		return "", fault("/kind", fmt.Sprintf("a %s does not lie at %s", kind, path), "a "+string(kind)+" lies at "+PlaceOf(kind))
	}
	return kind, nil
}

func suggestKind(may []Kind) string {
	var quoted []string
	for _, k := range may {
		quoted = append(quoted, `"kind": "`+string(k)+`"`)
	}
	return "here it would be " + strings.Join(quoted, " or ")
}

// Encode writes a record body as the bytes of its file: members in schema order, the ledger's layout.
func Encode(body Body) ([]byte, error) { return canon.Marshal(body) }
