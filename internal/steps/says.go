package steps

import (
	"slices"
	"strings"

	"boltback/internal/record"
)

// describe puts what the step says of the part itself, side, mass, hazards, where it sat, onto a part that this session
// made; of a recorded part it is kept as a note of the line, as records are not edited in passing.
func (t *taking) describe() {
	side := ""
	if t.step.Side != "" {
		was, assumed, _ := t.s.context.Side(t.step.Side)
		if side = was; assumed != "" {
			t.note("%s", assumed)
		}
		if side != strings.ToLower(t.step.Side) && !t.sideNamed {
			t.line.Note = strings.TrimPrefix(t.line.Note+"; side as told: "+t.step.Side, "; ")
		}
	}
	if side == "" && t.mass == "" && len(t.step.Hazards) == 0 && t.step.Position == "" || len(t.named) == 0 {
		return
	}
	if len(t.named) > 1 {
		t.line.Note = extra(t.line.Note, side, t.mass, t.step.Hazards)
		return
	}
	body := t.ownPart(t.named[0])
	if body == nil {
		t.line.Note = extra(t.line.Note, side, t.mass, t.step.Hazards)
		return
	}
	if side != "" {
		body.Side = side
	}
	if t.mass != "" {
		body.Mass = t.mass
	}
	if t.step.Position != "" && t.step.Act == "removal" {
		body.Position = t.step.Position
	}
	for _, h := range t.step.Hazards {
		if !slices.Contains(body.Hazards, h) {
			body.Hazards = append(slices.Clone(body.Hazards), h)
		}
	}
}

func extra(note, side string, mass record.Measure, hazards []string) string {
	words := append([]string{note, side, string(mass)}, hazards...)
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), "; ")
}

// ownPart gives a part that this step or this session made, ready to be changed; nil for a part on record.
func (t *taking) ownPart(ref record.Ref) *record.Part {
	for _, r := range t.fresh {
		if p, ok := r.Body.(*record.Part); ok && r.ID == ref {
			return p
		}
	}
	mine, ok := t.s.named.own(ref).(*record.Part)
	if !ok {
		return nil
	}
	copied := *mine
	t.changed = append(t.changed, NewRecord{ref, &copied})
	return &copied
}

// lacking says what a line cannot do without. That everything was looked for is no word on what was there.
func (t *taking) lacking() {
	switch l := t.line; {
	case t.step.Nothing && len(l.Parts) > 0:
		t.told.Open = "it names what was seen, and says that nothing was"
	case t.step.Nothing && l.Store == "":
		t.told.Open = "nothing says in which store nothing was seen"
	case t.step.Nothing:
		t.missed()
	case len(l.Parts) == 0 && l.Act == "sighting" && l.Counted != "":
		t.told.Open = "nothing says which parts were there: name them, or say: seen nothing, " + typed(l.Store, l.Place)
	case len(l.Parts) == 0 && l.System == "":
		t.told.Open = "nothing says to which part it was done"
	}
}

// typed is a place as somebody would type it.
func typed(store record.Ref, place string) string {
	return strings.TrimSpace(string(store[strings.LastIndexByte(string(store), '/')+1:]) + " " + place)
}

// missed names what should lie, by the records, where nothing was seen.
func (t *taking) missed() {
	if t.s.bench.Lies == nil {
		return
	}
	if parts := t.s.bench.Lies(t.line.Store, t.line.Place); len(parts) > 0 {
		t.note("missed, which does not say that it is lost: %s", join(parts))
	}
}

// implied names the parts of a step that names none: those that a joint clamps, those of a fill, or else the car; and those
// behind a seal that was found whole.
func (t *taking) implied() error {
	switch l := t.line; {
	case len(l.Parts) > 0 || t.told.Open != "":
	case len(l.Joints) > 0:
		l.Parts = t.s.clampedBy(l.Joints[0])
	case l.System != "":
		l.Parts = t.s.filled(l.System)
	case l.Seal == "unbroken" && !t.step.Nothing && (l.Store != "" || l.Place != "") && t.s.bench.Lies != nil:
		if l.Parts = t.s.bench.Lies(l.Store, l.Place); len(l.Parts) > 0 {
			t.note("the seal was whole, so what lies there by the records is named: %s", join(l.Parts))
		} else {
			t.told.Open = "by the records nothing lies there"
		}
	}
	return nil
}

// hazards are those that the step names and those of its parts.
func (t *taking) hazards() []string {
	if t.line.Act == "sighting" {
		return nil
	}
	words := slices.Clone(t.step.Hazards)
	for _, ref := range t.line.Parts {
		if p := t.s.partOf(ref); p != nil {
			words = append(words, p.Hazards...)
		}
	}
	slices.Sort(words)
	return slices.Compact(words)
}

// keep puts what the step made into the session.
func (t *taking) keep() {
	for _, r := range append(t.fresh, t.changed...) {
		t.s.named.keep(r)
	}
}

// says tells how a step was understood.
func (t *taking) says() string {
	l := t.line
	if t.step.Nothing && t.told.Open == "" {
		return strings.TrimSuffix("nothing was seen at "+spot(l.Store, l.Place)+"; everything there was looked for; note: "+l.Note, "; note: ")
	}
	words := []string{l.Act + " of " + t.things()}
	add := func(label, value string) {
		if value != "" {
			words = append(words, strings.TrimSpace(label+" "+value))
		}
	}
	add("tag", l.Tag)
	for _, f := range t.step.Fasteners {
		add("", fastenerText(f))
	}
	for _, j := range l.Joints {
		add("joint", t.called(j))
	}
	add("in bag", l.Bag)
	add("put in", spot(record.Ref(t.called(l.Store)), l.Place))
	add("sat at", l.Position)
	add("side", t.step.Side)
	add("mass", string(t.mass))
	add("set", string(l.Set))
	add("angle", string(l.Angle))
	add("quantity", string(l.Quantity))
	add("method", l.Method)
	add("with", string(l.Instrument))
	add("who has it:", l.With)
	add("product", l.Product)
	add("due", string(l.Due))
	add("gone:", l.Gone)
	add("seal", l.Seal)
	add("looked for", l.Counted)
	add("hazard", strings.Join(t.step.Hazards, ", "))
	add("for", l.Purpose)
	add("note:", l.Note)
	return strings.Join(words, "; ")
}

func (t *taking) things() string {
	var words []string
	for _, part := range t.line.Parts {
		words = append(words, t.called(part))
	}
	if t.line.System != "" {
		words = append(words, t.called(t.line.System))
	}
	if len(words) == 0 && len(t.line.Joints) == 0 {
		for _, thing := range t.step.Things {
			words = append(words, strings.TrimSpace(thing.Tag+" "+thing.Name))
		}
		return strings.TrimSpace(strings.Join(append(words, t.step.Joint), ", "))
	}
	if len(words) == 0 {
		return t.called(t.line.Joints[0])
	}
	return strings.Join(words, ", ")
}

// called names a record, and says so where it is new.
func (t *taking) called(ref record.Ref) string {
	for _, r := range t.fresh {
		if r.ID == ref {
			return string(ref) + " (new)"
		}
	}
	return string(ref)
}
