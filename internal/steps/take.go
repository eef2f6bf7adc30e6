package steps

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"boltback/internal/code"
	"boltback/internal/edtf"
	"boltback/internal/entry"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// take turns a step into a line of work and the records that it names for the first time. After an error the session is as
// it was: everything new is put into it at the end.
func (s *Session) take(line string, step Step) (Told, error) {
	t := &taking{s: s, step: step, told: Told{Line: line}, line: &record.Line{Act: step.Act, Bag: step.Bag, Note: step.Note}}
	if purposeful[step.Act] {
		t.line.Purpose = s.purpose
	}
	for _, do := range []func() error{t.tags, t.parts, t.places, t.members, t.measures, t.fasteners, t.system, t.implied} {
		if err := do(); err != nil {
			return Told{}, err
		}
	}
	t.describe()
	if t.told.Open == "" {
		t.lacking()
	}
	t.told.step = t.line
	t.told.Hazards = t.hazards()
	t.told.Says = t.says()
	if t.told.Open == "" {
		t.keep()
	}
	s.told = append(s.told, t.told)
	s.remember(step)
	return t.told, nil
}

// taking is a step on its way.
type taking struct {
	s    *Session
	step Step
	told Told
	line *record.Line
	// named are the parts of the step, as they are or as they will be; fresh those that the step names first.
	named []record.Ref
	fresh []NewRecord
	// changed are parts and joints of this session that the step adds to.
	changed []NewRecord
	mass    record.Measure
	// sideNamed says that the side stands in the part's name, where it stays as told.
	sideNamed bool
}

func (t *taking) note(format string, args ...any) {
	t.told.Notes = append(t.told.Notes, fmt.Sprintf(format, args...))
}

// tags holds each tag against its check character. A number alone is taken as it is.
func (t *taking) tags() error {
	for _, thing := range t.step.Things {
		if !strings.Contains(thing.Tag, "-") {
			continue
		}
		bare := strings.TrimRight(thing.Tag, "abcdefghijklmnopqrstuvw")
		if _, err := code.ParseTag(bare); err != nil {
			hint := "write it again, or the digits without the check character"
			if guesses := code.WhereMistyped(bare, t.s.knownTags()); len(guesses) > 0 {
				hint = "perhaps " + guesses[0].String()
			}
			return &entry.Fault{Word: thing.Tag, Message: err.Error(), Hint: hint}
		}
	}
	return nil
}

// parts finds the parts that the step is about: by name, else by tag; one that nobody named before is new.
func (t *taking) parts() error {
	if t.step.Act == "drain" || t.step.Act == "fill" {
		return nil
	}
	for _, thing := range t.step.Things {
		if err := t.part(thing.Tag, thing.Name); err != nil {
			return err
		}
	}
	return nil
}

func (t *taking) part(tag, name string) error {
	if unread(name) {
		t.told.Open = fmt.Sprintf("%q is only partly legible%s", name, t.s.candidates(name))
		return nil
	}
	ref := record.Ref("")
	bears := t.s.bearing(tag)
	switch {
	case name != "":
		ref = t.s.known(name)
	case len(bears) == 1:
		ref = bears[0]
	case len(bears) > 1:
		t.told.Open = fmt.Sprintf("%s is on %s: name the part", tag, join(bears))
		return nil
	}
	if ref == "" {
		fresh, err := t.new(tag, name)
		if err != nil {
			return err
		}
		ref = fresh
	}
	t.sameTag(tag, ref, bears)
	if !slices.Contains(t.named, ref) {
		t.named = append(t.named, ref)
	}
	if tag != "" && t.line.Tag == "" {
		t.line.Tag = tag
	}
	return nil
}

// sameTag says that a tag is on two parts, or that a part bears two; both stay, and nothing is numbered anew.
func (t *taking) sameTag(tag string, ref record.Ref, bears []record.Ref) {
	if tag == "" {
		return
	}
	others := slices.DeleteFunc(slices.Clone(bears), func(r record.Ref) bool { return r == ref })
	if len(others) > 0 {
		t.note("tag %s is on %s already; both stay: write %sa and %sb on the tags, and say so in a note", tag, join(others), tag, tag)
	}
	if p := t.s.partOf(ref); p != nil && p.Tag != "" && !strings.EqualFold(p.Tag, tag) {
		t.note("%s bears tag %s on record; this line keeps %s beside it", ref, p.Tag, tag)
	}
}

// new makes the record of a part that nobody named before.
func (t *taking) new(tag, name string) (record.Ref, error) {
	slug := entry.Slug(name)
	if name == "" {
		slug = "tag-" + entry.Slug(tag)
	}
	if slug == "" || slug == "tag-" {
		return "", &entry.Fault{Word: name, Message: "a part needs a name with letters or digits", Hint: "off 0147 fuel tank"}
	}
	t.sideIn(name)
	body := &record.Part{Head: record.Head{Kind: record.KindPart, Name: name}, Tag: tag}
	switch t.step.Act {
	case "removal":
		body.Found = "inferred"
	case "fitting":
		body.Found = "no"
	case "sighting", "move", "out", "in":
		t.note("no part %sis on record: it is written down as seen, and nothing is said of where it belongs", strings.TrimLeft(name+" ", " "))
	}
	ref := t.s.freeRef("parts/"+slug, t.fresh)
	t.fresh = append(t.fresh, NewRecord{ref, body})
	return ref, nil
}

// sideIn takes the side that ends the name of a new part, "horn LH", for the side it sat on, where the step names no other.
func (t *taking) sideIn(name string) {
	word := name[strings.LastIndexByte(name, ' ')+1:]
	if t.step.Side == "" && len(t.step.Things) == 1 && word != name && slices.Contains(sides, strings.ToLower(word)) {
		t.step.Side, t.sideNamed = word, true
	}
}

// places fills in where the parts were put, and where they sat.
func (t *taking) places() error {
	t.line.Parts, t.line.Position = t.named, t.step.Position
	t.line.Store, t.line.Place = t.step.Store, t.step.Place
	if t.step.newStore != "" {
		t.fresh = append(t.fresh, newStore(t.step.Store, t.step.newStore))
	}
	if t.step.doubt != "" {
		t.note("%s", t.step.doubt)
	}
	if t.step.Nothing {
		t.line.Counted = "everything there"
	}
	if t.line.Store == "" && t.line.Place == "" && t.step.Act == "removal" {
		t.line.Store, t.line.Place = t.s.store, t.s.place
	}
	return nil
}

// members fills further members of the line in the words of the bench.
func (t *taking) members() error {
	for _, name := range []string{"with", "due", "method", "instrument", "seal", "counted", "gone", "waste", "product", "indicated", "second-check", "purpose"} {
		value := t.step.Fields[name]
		if value == "" {
			continue
		}
		if name == "instrument" {
			ref, err := t.s.find(value, t.s.bench.Instruments, "instrument")
			if err != nil {
				return err
			}
			t.line.Instrument = ref
			continue
		}
		if name == "due" {
			date, err := edtf.ReadDocument(value, t.s.context.Country)
			if err == nil && !date.Settled() {
				return &entry.Fault{Word: value, Message: "this can be several days", Hint: "write one of: " + readings(date)}
			}
			if err == nil {
				value = date.Date.Text()
			}
		}
		scratch := &record.Session{Head: record.Head{Kind: record.KindSession}, Lines: []record.Line{*t.line}}
		notes, err := t.s.context.Apply(scratch, []string{"lines.0." + name + "=" + value})
		if err != nil {
			return err
		}
		*t.line = scratch.Lines[0]
		t.told.Notes = append(t.told.Notes, notes...)
	}
	return nil
}

// measures puts each quantity where its dimension belongs.
func (t *taking) measures() error {
	for _, text := range t.step.Measures {
		q, notes, err := t.s.quantity(text, usual[t.step.Act])
		if err != nil {
			return err
		}
		t.told.Notes = append(t.told.Notes, notes...)
		m := record.Measure(q.Canonical())
		switch q.Dimension() {
		case quantity.Mass:
			t.mass = m
		case quantity.Torque:
			t.line.Set = m
		case quantity.Angle:
			t.line.Angle = m
		case quantity.Volume:
			t.line.Quantity = m
		case quantity.Length:
			t.line.Station = m
		default:
			t.step.note(text)
			t.line.Note = t.step.Note
			t.note("%s belongs to no member of a line and is kept as a note", text)
		}
	}
	return nil
}

// purposeful are the acts that are done for a purpose; seeing and moving a part is not.
var purposeful = map[string]bool{"removal": true, "fitting": true, "tightening": true, "drain": true, "fill": true}

// usual is what is measured where something is done; other dimensions are taken where the unit leaves no doubt.
var usual = map[string]quantity.Dimension{"removal": quantity.Mass, "fitting": quantity.Mass, "tightening": quantity.Torque, "drain": quantity.Volume, "fill": quantity.Volume}

// quantity reads a measure: of the dimension that is usual, or else of any that a line may hold.
func (s *Session) quantity(text string, usual quantity.Dimension) (quantity.Quantity, []string, error) {
	hints := quantity.Hints{Dimension: usual, DecimalComma: s.context.DecimalComma, Country: s.context.Country}
	r, err := quantity.Read(text, hints)
	var other *quantity.Mismatch
	if errors.As(err, &other) {
		hints.Dimension = quantity.Unknown
		r, err = quantity.Read(text, hints)
	}
	var either *quantity.Ambiguous
	switch {
	case errors.As(err, &either):
		var words []string
		for _, c := range either.Candidates {
			words = append(words, c.Words)
		}
		return quantity.Quantity{}, nil, &entry.Fault{Word: text, Message: fmt.Sprintf("this can be read in %d ways", len(words)), Hint: "write one of: " + strings.Join(words, "; ")}
	case err != nil:
		return quantity.Quantity{}, nil, &entry.Fault{Word: text, Message: err.Error(), Hint: "a text that is no measure goes behind the word note"}
	}
	var notes []string
	for _, n := range r.Notes {
		notes = append(notes, n.Text)
	}
	return r.Quantity, notes, nil
}
