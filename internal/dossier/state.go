package dossier

import (
	"strings"

	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// stateBook writes what replay says of a day.
type stateBook struct {
	*book
	work  *replay.Work
	state *replay.State
}

// State tells the state of a car on a day, as the records of work leave it: where the car and each part is, which joints
// are open or not tightened since, what the ends of looms are, what is filled, and what the records leave open.
func State(work *replay.Work, state *replay.State) *doc.Section {
	b := stateBook{open(Input{Snapshot: work.Snapshot()}), work, state}
	day := "by all that is recorded"
	if !state.Day.IsZero() {
		day = "on " + state.Day.String()
	}
	s := doc.NewSection("state", "The car "+day,
		doc.Lead("{} {}", doc.NotExamined, b.carIs()),
		b.doubts(), b.parts(), b.joints(), b.ends(), b.fills())
	if hv := b.liveParts(); len(hv) > 0 {
		s.Add(doc.Warn("High voltage", "Fitted: {}. Isolate, lock off and prove dead before work; what lies ahead of the disconnect stays live. Local codes and licensed practice decide.", b.callThem(hv)))
	}
	return oneLined(s)[0]
}

// carIs says where the car itself is.
func (b stateBook) carIs() doc.Text {
	if b.state.CarAt == replay.NoStep {
		return doc.Say("No line moves the car itself.")
	}
	where := b.where(b.state.Car)
	if b.state.Car.Place == replay.OnCar { // it is not on itself
		if where = doc.Say("at the workshop"); b.state.Car.Position != "" {
			where = where.And(", {}", b.state.Car.Position)
		}
	}
	return doc.Say("The car itself: {}.", where).From(b.at(b.state.CarAt))
}

// at is the quiet reference to a line of work.
func (b stateBook) at(n replay.Step) doc.Span {
	line, ok := b.state.Line(n)
	if !ok {
		return doc.FromRecord("car.json", 0)
	}
	return b.source(line.Session, line.Pointer())
}

// where says where something is.
func (b stateBook) where(w replay.Where) doc.Text {
	switch w.Place {
	case replay.OnCar:
		return doc.Say("{}: {}", w.Place.String(), stated(w.Position))
	case replay.InStore:
		t := doc.Say("{}: {}", w.Place.String(), b.called(w.Store))
		if w.Shelf != "" {
			t = t.And(", {}", w.Shelf)
		}
		return t
	case replay.WithSomeone:
		return doc.Say("{}: {}, due back {}", w.Place.String(), stated(w.With), stated(w.Due))
	case replay.Gone:
		return doc.Say("{}: {}", w.Place.String(), stated(w.How))
	case replay.BecameAnother:
		return doc.Say("{}: {}", w.Place.String(), b.called(w.Became))
	default:
		return doc.Say("{}", w.Place.String())
	}
}

// doubts lists what the records leave open, first, since everything after it rests on it.
func (b stateBook) doubts() doc.Block {
	doubts := b.state.Doubts()
	if len(doubts) == 0 {
		return doc.Para("The records leave no order and no whereabouts open.")
	}
	f := &doc.Findings{Caption: "What the records leave open"}
	for _, d := range doubts {
		f.Items = append(f.Items, findingItem(d.Finding()))
	}
	return f
}

// parts is one table of every part, those whose whereabouts nobody knows first.
func (b stateBook) parts() doc.Block {
	t := doc.NewTable("Parts", doc.Col("Part", 6), doc.Col("Found", 2), doc.Col("Where", 6), doc.Col("Last seen", 5))
	groups := []string{"Not known", "In store, or with somebody", "On the car", "Gone, or become another", "Not fitted yet: no line names them"}
	for i, title := range groups {
		begun := false
		for _, p := range b.state.Parts() {
			if groupOf(p) != i {
				continue
			}
			if !begun {
				t.Group(title)
				begun = true
			}
			t.Row(b.name(p.Ref), stated(p.Found), b.where(p.Where).From(b.sourceOf(p.Since)...), b.lastSeen(p))
		}
	}
	if t.Rows() == 0 {
		return doc.Para("No part is on record.")
	}
	return t
}

// groupOf says under which heading of the table a part stands.
func groupOf(p replay.PartState) int {
	switch p.Where.Place {
	case replay.InStore, replay.WithSomeone:
		return 1
	case replay.OnCar:
		return 2
	case replay.Gone, replay.BecameAnother:
		return 3
	case replay.NotLocated:
		if p.Found == "no" && p.Touched == replay.NoStep {
			return 4
		}
	}
	return 0
}

// sourceOf is the reference to a line, or none where no line says so.
func (b stateBook) sourceOf(n replay.Step) []doc.Span {
	if n == replay.NoStep {
		return nil
	}
	return []doc.Span{b.at(n)}
}

// lastSeen says when somebody last had the part before them, and whether it was missed since.
func (b stateBook) lastSeen(p replay.PartState) doc.Text {
	step, sealed, within := b.state.LastSeen(p.Ref)
	if step == replay.NoStep {
		return doc.Text{doc.Missing("no line")}
	}
	t := doc.Say("{}", b.work.DayOf(step).String())
	switch {
	case sealed:
		t = t.And(", the seal of its place was seen unbroken")
	case within:
		t = t.And(", as part of what holds it")
	}
	t = t.From(b.at(step))
	if missed := b.state.MissedBy(p.Ref); missed != replay.NoStep {
		t = t.And("; {}", doc.Strong("not found by the stock-take of "+b.work.DayOf(missed).String())).From(b.at(missed))
	}
	return t
}

// joints lists the joints that are not done up and tightened.
func (b stateBook) joints() doc.Block {
	t := doc.NewTable("Joints that are not tight on the records", doc.Col("Joint", 6), doc.Col("State", 3), doc.Col("Since", 4), doc.Col("Fasteners kept in", 4))
	for _, j := range b.state.Joints() {
		if j.Done == replay.Tight || j.Original && j.Since == replay.NoStep {
			continue
		}
		t.Row(b.name(j.Ref), j.Done.String(), b.since(j.Since), fastenersIn(j))
	}
	if t.Rows() == 0 {
		return doc.Para("Every joint that work has touched is tight on the records.")
	}
	return t
}

// fastenersIn says where the fasteners of a joint are.
func fastenersIn(j replay.JointState) doc.Text {
	switch {
	case j.Done != replay.Undone:
		return doc.Say("the joint")
	case j.Bag == "":
		return doc.Text{doc.Missing("")}
	case !j.Counted:
		return doc.Say("bag {}", j.Bag)
	}
	return doc.Say("bag {}, {}", j.Bag, count(int(j.Fasteners), "fastener"))
}

func (b stateBook) since(n replay.Step) doc.Text {
	if n == replay.NoStep {
		return doc.Text{doc.Missing("no line")}
	}
	return doc.Say("{}", b.work.DayOf(n).String()).From(b.at(n))
}

// ends lists the ends of looms and hoses that are not connected.
func (b stateBook) ends() doc.Block {
	t := doc.NewTable("Ends of looms and hoses", doc.Col("Of", 5), doc.Col("End", 4), doc.Col("State", 3), doc.Col("Since", 4))
	for _, p := range b.state.Parts() {
		for _, e := range p.Ends {
			if e.State != "connected" {
				t.Row(b.name(p.Ref), e.End, stated(e.State), b.since(e.Since))
			}
		}
	}
	if t.Rows() == 0 {
		return doc.Para("No end of a loom or hose is on record as anything but connected.")
	}
	return t
}

// fills lists the fluids.
func (b stateBook) fills() doc.Block {
	t := doc.NewTable("Fills", doc.Col("System", 6), doc.Col("State", 3), doc.Col("Since", 4))
	for _, f := range b.state.Fills() {
		word := map[string]string{"fill": "filled", "drain": "drained"}[f.State]
		if word == "" {
			word = f.State
		}
		t.Row(b.name(f.Ref), stated(word), b.since(f.Since))
	}
	if t.Rows() == 0 {
		return doc.Para("No fill is on record.")
	}
	return t
}

// liveParts lists the fitted parts that carry high voltage.
func (b stateBook) liveParts() []record.Ref {
	var list []record.Ref
	for _, p := range b.state.Parts() {
		info, ok := b.work.Part(p.Ref)
		if ok && p.Where.Place == replay.OnCar && strings.Contains(strings.Join(info.Body.Hazards, ","), "high voltage") {
			list = append(list, p.Ref)
		}
	}
	return list
}
