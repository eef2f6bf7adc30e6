package code

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
)

// Kind says what a code of ours is stuck to.
type Kind string

// The kinds.
const (
	// TagKind is the tag of a part: its name is the tag number, and so it is for
	// the labels of bags, crates and wires.
	TagKind   Kind = "TAG"
	BagKind   Kind = "BAG"
	CrateKind Kind = "CRATE"
	WireKind  Kind = "WIRE"
	// SheetKind is a bench sheet: its name is the job, then the car, the
	// session and the page, as far as they are known.
	SheetKind Kind = "SHEET"
	// ClockKind is the page that is photographed beside a clock.
	ClockKind Kind = "CLOCK"
	// StampKind is a stamp on paper: its names are the digest of its message, the
	// commit and the car.
	StampKind Kind = "STAMP"
)

// Payload is what a code of ours says, such as "BENCH:SHEET/STRIP-DOWN/TERN-1500/2025-09-16/2".
// Capitals, digits and the few signs between them are what a QR code packs
// most tightly (ISO/IEC 18004, alphanumeric mode), so names are folded to
// capitals on paper; slugs are lower case and lose nothing by it.
type Payload struct {
	Kind Kind
	// Names are the parts behind the kind, as slugs: lower-case letters,
	// digits and hyphens. A tag's only name is its number, such as "0109-8".
	Names []string
}

const (
	scheme     = "BENCH:"
	maxPayload = 160 // characters: at level M a code of 49 modules and no more
	maxNames   = 6
)

// ErrNotOurs says that a code is somebody else's: a box of spares bears one too.
var ErrNotOurs = errors.New("the code is not one of this program's")

var nameForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// labelled says that a code stands on a tag or label, and names its number.
func (k Kind) labelled() bool {
	return k == TagKind || k == BagKind || k == CrateKind || k == WireKind
}

// Text is what the code says. It is an error for a name to be no slug.
func (p Payload) Text() (string, error) {
	if !p.Kind.labelled() && p.Kind != SheetKind && p.Kind != ClockKind && p.Kind != StampKind {
		return "", fmt.Errorf("%q is no kind of code", p.Kind)
	}
	if len(p.Names) == 0 || len(p.Names) > maxNames {
		return "", fmt.Errorf("a code has from 1 to %d names, not %d", maxNames, len(p.Names))
	}
	for _, name := range p.Names {
		if !nameForm.MatchString(name) {
			return "", fmt.Errorf("%q cannot stand in a code: only a-z, 0-9 and single hyphens between them", shown(name))
		}
	}
	text := scheme + string(p.Kind) + "/" + strings.ToUpper(strings.Join(p.Names, "/"))
	if len(text) > maxPayload {
		return "", fmt.Errorf("a code of %d characters is too long: %d at most", len(text), maxPayload)
	}
	return text, nil
}

// TagPayload is the payload of a part's tag.
func TagPayload(t Tag) Payload { return LabelPayload(TagKind, t) }

// LabelPayload is the payload of a tag or label.
func LabelPayload(kind Kind, t Tag) Payload {
	return Payload{Kind: kind, Names: []string{strings.ToLower(string(t))}}
}

// Tag gives the number on a tag or label, and whether the payload is that of one.
func (p Payload) Tag() (Tag, bool) {
	if !p.Kind.labelled() || len(p.Names) != 1 {
		return "", false
	}
	tag, err := ParseTag(p.Names[0])
	return tag, err == nil
}

// ParsePayload recognises what [Payload.Text] wrote. Anything else is
// [ErrNotOurs], or an error that says what is wrong with one that is nearly
// ours. Nothing in a payload is a path, a command or an address.
func ParsePayload(text string) (Payload, error) {
	rest, ours := strings.CutPrefix(text, scheme)
	if !ours || len(text) > maxPayload {
		return Payload{}, ErrNotOurs
	}
	fields := strings.Split(strings.ToLower(rest), "/")
	p := Payload{Kind: Kind(strings.ToUpper(fields[0])), Names: fields[1:]}
	again, err := p.Text()
	if err != nil {
		return Payload{}, fmt.Errorf("the code begins like ours and goes on otherwise: %w", err)
	}
	if again != text {
		return Payload{}, ErrNotOurs
	}
	if _, ok := p.Tag(); p.Kind.labelled() && !ok {
		return Payload{}, fmt.Errorf("the code names the tag %q, which does not add up", p.Names[0])
	}
	return p, nil
}
