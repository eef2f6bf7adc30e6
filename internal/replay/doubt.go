package replay

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/finding"
	"boltback/internal/record"
)

// Doubt is something that the records leave open or in which they contradict each other. Replay carries the worse outcome.
type Doubt struct {
	// Code names the rule in RULES.md, such as order-not-stated.
	Code string
	// Thing is the part, joint or system it is about, and End the end of a loom; empty where it is about whole sessions.
	Thing record.Ref
	End   string
	// About says what of the thing is in doubt: whereabouts, joint, end, alteration, fill; empty where that is plain.
	About string
	// Lines are the lines that leave it open, in the order of replay.
	Lines []Line
	// Text is the doubt in a sentence, and Hint what would settle it: lower case, no full stop.
	Text, Hint string
}

// Finding gives the doubt as a diagnosis at its last line.
func (d Doubt) Finding() finding.Finding {
	f := finding.Finding{Severity: finding.Warning, Code: d.Code, Message: d.Text, Hint: d.Hint}
	if n := len(d.Lines); n > 0 && d.Lines[n-1].Session != nil {
		at := d.Lines[n-1]
		f.File, f.Pointer = at.Session.Path, at.Pointer()
		position := at.Session.Doc.Locate(f.Pointer)
		f.Line, f.Column = position.Line, position.Column
	}
	if d.Code == "order-impossible" {
		f.Severity = finding.Error
	}
	return f
}

// impossible is the doubt of sessions that wait for each other in a ring.
func (b *book) impossible(ring []int32) Doubt {
	d := Doubt{Code: "order-impossible", Hint: "correct the times or the stated order of one of them"}
	var names []string
	for _, s := range ring {
		d.Lines = append(d.Lines, b.lineOf(&b.sessions[s].lines[0]))
		names = append(names, string(b.sessions[s].place.ID))
	}
	slices.Sort(names)
	d.Text = "no order is possible in which all of this was done: " + strings.Join(names, ", ") + " each come after another of them"
	return d
}

// unordered is the doubt of two lines on one thing whose order nothing states.
func (b *book) unordered(thing carry, first, second int32, steps []step) Doubt {
	x, y := b.lineOf(&steps[first]), b.lineOf(&steps[second])
	d := Doubt{Code: "order-not-stated", End: thing.end, Lines: []Line{x, y},
		Hint: fmt.Sprintf("state which came first: %q in \"after\", or the times of both", string(x.Place.ID))}
	what, worse := "", ""
	d.About = [...]string{"whereabouts", "joint", "end", "alteration", "fill"}[thing.kind]
	switch thing.kind {
	case whereabouts:
		d.Thing, worse = b.parts[thing.index].ref, "where it is counts as not known"
	case jointThing:
		d.Thing, worse = b.joints[thing.index].ref, "it counts as not tightened"
	case endThing:
		d.Thing, worse = b.parts[thing.index].ref, "what the end is counts as not known"
		what = " at its end " + strconv.Quote(thing.end)
	case markThing:
		d.Thing, worse = b.parts[thing.index].ref, "the alteration counts as still there"
	case fillThing:
		d.Thing, worse = b.systems[thing.index], "its fill counts as not known"
	}
	d.Text = fmt.Sprintf("%s%s was worked on in %s and in %s, and nothing states which came first: %s",
		b.called(d.Thing), what, x.Place.ID, y.Place.ID, worse)
	return d
}

// called is what people call the record of a name.
func (b *book) called(ref record.Ref) string {
	if r := b.snapshot.Current(ref); r != nil {
		return r.Name()
	}
	return string(ref)
}

func compareRef(a, b record.Ref) int { return cmp.Compare(a, b) }

func itoa(n int) string { return strconv.Itoa(n) }
