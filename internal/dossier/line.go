package dossier

import (
	"fmt"

	"boltback/internal/doc"
	"boltback/internal/record"
)

// verbs say what was done, by the act that a line names.
var verbs = map[string]string{
	"removal":     "Took off",
	"fitting":     "Fitted",
	"tightening":  "Tightened at",
	"alteration":  "Altered",
	"repair":      "Repaired",
	"restoration": "Undid an alteration of",
	"drain":       "Drained",
	"fill":        "Filled",
	"move":        "Moved",
	"sighting":    "Saw",
	"out":         "Sent out",
	"in":          "Took back in",
	"preserve":    "Preserved",
	"rectify":     "Rectified at",
}

// clauses builds a sentence of what is stated, clause by clause.
type clauses struct{ text doc.Text }

func (c *clauses) add(sentence string, args ...any) {
	c.text = c.text.And("; ").And(sentence, args...)
}

// say adds a clause for a text that is stated.
func (c *clauses) say(label, value string) {
	if value != "" {
		c.add(label+" {}", stated(value))
	}
}

// need adds a clause in any case: where the text is empty it is not stated.
func (c *clauses) need(label, value string) { c.add(label+" {}", stated(value)) }

// line says one line of a session in words, as recorded and in a fixed order.
func (b *book) line(l *record.Line) doc.Text {
	verb := verbs[l.Act]
	if verb == "" {
		verb = joinWords("Did", fmt.Sprintf("%q", l.Act), "to")
	}
	parts := doc.Text{doc.Missing("a part not stated")}
	switch nothing := l.Act == "sighting" && l.Counted == "everything there"; {
	case len(l.Parts) > 0:
		parts = b.names(l.Parts)
	case nothing && l.Seal == "unbroken":
		parts = doc.Say("a place that was not opened")
	case nothing:
		parts = doc.Say("nothing")
	}
	c := &clauses{doc.Say("{} {}", doc.Strong(verb), parts)}
	b.whereClauses(c, l)
	b.tighteningClauses(c, l)
	if l.Alteration != nil {
		b.holeClauses(c, l.Alteration)
	}
	b.otherClauses(c, l)
	if l.Note != "" {
		return c.text.And("; note: {}", quoted(l.Note))
	}
	return c.text.And(".")
}

// whereClauses say from where, to where, and what became of the fasteners.
func (b *book) whereClauses(c *clauses, l *record.Line) {
	if l.Position != "" {
		label := "at"
		if l.Act == "removal" {
			label = "from"
		}
		c.say(label, l.Position)
	}
	if len(l.Joints) > 0 {
		c.add("joints {}", b.callThem(l.Joints))
	}
	put := "put "
	if l.Act != "removal" && l.Act != "move" && l.Act != "in" {
		put = ""
	}
	switch {
	case l.Store != "":
		c.add(put+"in {}, {}", b.called(l.Store), placeOr(l.Place))
	case l.Place != "":
		c.say(put+"at", l.Place)
	case l.Gone == "" && (l.Act == "removal" || l.Act == "move" || l.Act == "in"):
		c.need("where it was put:", "")
	}
	c.say("station", string(l.Station))
	c.say("looked for:", l.Counted)
	c.say("seal of that place:", l.Seal)
	c.say("left for good:", l.Gone)
	if l.OtherCar != "" {
		c.add("the other car: {}", b.sealed(l.OtherCar))
	}
	c.say("with", l.With)
	c.say("tag", l.Tag)
	b.bagClauses(c, l)
}

func (b *book) bagClauses(c *clauses, l *record.Line) {
	switch {
	case l.Act == "fitting" && l.Bag != "":
		c.add("fasteners from bag {}", l.Bag)
	case l.Bag != "" && l.Fasteners > 0:
		c.add("bag {} with {}", l.Bag, count(int(l.Fasteners), "fastener"))
	case l.Bag != "":
		c.add("bag {}, fasteners {}", l.Bag, doc.Missing("not counted"))
	case l.Fasteners > 0:
		c.add("{}, bag {}", count(int(l.Fasteners), "fastener"), doc.Missing(""))
	}
}

// tighteningClauses say how it was tightened; on a tightening what is missing shows.
func (b *book) tighteningClauses(c *clauses, l *record.Line) {
	if l.Act == "tightening" {
		if len(l.Joints) == 0 {
			c.need("joint", "")
		}
		c.need("method", l.Method)
		c.need("set to", string(l.Set))
	} else {
		c.say("method", l.Method)
		c.say("set to", string(l.Set))
	}
	c.say("indicated", string(l.Indicated))
	c.say("then turned", string(l.Angle))
	if l.Instrument != "" {
		c.add("with {}", b.called(l.Instrument))
	}
	if l.SecondCheck != "" {
		c.add("checked a second time by {}", b.called(l.SecondCheck))
	}
}

// holeClauses say what was done to the material, and what is not stated of it.
func (b *book) holeClauses(c *clauses, h *record.Hole) {
	c.need("zone", h.Zone)
	c.need("where", h.Where)
	c.need("size", string(h.Size))
	if h.Count > 0 {
		c.add("count {}", h.Count)
	}
	c.need("material removed:", h.MaterialRemoved)
	if h.Of != "" {
		c.add("changes {}", b.name(h.Of))
	}
	c.need("required by", h.RequiredBy)
	c.say("under", h.Clause)
	c.need("would be undone by:", h.Undo)
	c.need("undoing would leave:", h.Leaves)
	c.say("for a load path or another safety reason:", h.Safety)
}

func (b *book) otherClauses(c *clauses, l *record.Line) {
	if l.Undoes != "" {
		c.add("undoes what was done in {}", b.name(l.Undoes))
	}
	if len(l.Facets) > 0 {
		c.add("bears on {}", listed(l.Facets))
	}
	for _, e := range l.Ends {
		c.add("end {} left {}", e.End, e.State)
	}
	if l.System != "" {
		c.add("system {}", b.name(l.System))
	}
	c.say("quantity", string(l.Quantity))
	c.say("waste:", l.Waste)
	c.say("product", l.Product)
	c.say("due", string(l.Due))
	if l.Became != "" {
		c.add("became {}", b.name(l.Became))
	}
	if l.Concern != "" {
		c.add("for the concern {}", b.name(l.Concern))
	}
	if len(l.Uses) > 0 {
		c.add("picks up {}", b.names(l.Uses))
	}
	if len(l.Papers) > 0 {
		c.add("see {}", b.names(l.Papers))
	}
	switch {
	case l.Purpose != "":
		c.say("purpose:", l.Purpose)
	case l.Act == "removal", l.Act == "fitting", l.Act == "alteration":
		c.need("purpose:", "")
	}
}
