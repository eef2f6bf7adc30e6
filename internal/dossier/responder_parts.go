package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/identity"
	"boltback/internal/replay"
	"boltback/internal/workings"
)

// mostNamed is how many things of one sort a sheet of one page names.
const mostNamed = 5

// aboard lists the parts in some roles that are on the car on the day of the sheet.
func (r sheetBook) aboard(roles ...string) []placed {
	return slices.DeleteFunc(r.inRole(roles...), func(p placed) bool { return !r.on(p) })
}

func (r sheetBook) on(p placed) bool {
	s, ok := r.state.Part(p.ID)
	return ok && s.Where.Place == replay.OnCar
}

// anywhere tells whether a part in one of these roles is on the car at a place that nobody recorded.
func (r sheetBook) anywhere(roles ...string) bool {
	return slices.ContainsFunc(r.aboard(roles...), func(p placed) bool { return blank(r.spotOf(p)) })
}

// spotOf is where on the car a part sits, "" where not recorded.
func (r sheetBook) spotOf(p placed) string {
	if s, ok := r.state.Part(p.ID); ok && !blank(s.Where.Position) {
		return s.Where.Position
	}
	if !blank(p.Body.Position) {
		return p.Body.Position
	}
	return p.Body.Zone
}

// zoneOf is the zone of the car where a part sits. Of one that sits elsewhere than its record says, the position stands for it.
func (r sheetBook) zoneOf(p placed) string {
	if spot := r.spotOf(p); p.Body.Zone == "" || spot != p.Body.Position && p.Body.Position != "" {
		return spot
	}
	return p.Body.Zone
}

// unsettled tells whether the records leave open where a part of the traction circuit is.
func (r sheetBook) unsettled() bool {
	return slices.ContainsFunc(r.inRole(tractionRoles...), func(p placed) bool {
		s, ok := r.state.Part(p.ID)
		return ok && s.Where.Place == replay.NotKnown
	})
}

// hazardous lists the parts on the car that bear a hazard.
func (r sheetBook) hazardous(word string) []placed {
	return slices.DeleteFunc(r.parts(), func(p placed) bool { return !r.on(p) || !slices.Contains(p.Body.Hazards, word) })
}

// kindOfCells is what is on record of the cells of a battery: their kind, that they are lithium cells, or "".
func kindOfCells(p placed) (kind string, lithium bool) {
	if p.Body.Pack != nil {
		kind = p.Body.Pack.Chemistry
	}
	return kind, slices.Contains(p.Body.Hazards, "lithium")
}

func noCells(p placed) bool {
	kind, lithium := kindOfCells(p)
	return kind == "" && !lithium
}

// placesOf names parts with where they sit.
func (r sheetBook) placesOf(list []placed) doc.Text {
	var texts []doc.Text
	for i, p := range list {
		if i == mostNamed {
			texts = append(texts, doc.Say("and {} more", len(list)-i))
			break
		}
		texts = append(texts, doc.Say("{}: {}", doc.Strong(titleOf(p.Record)), stated(r.spotOf(p))).From(r.source(p.Record, "")))
	}
	return orMissing(joinTexts(texts, "; "))
}

// cells says of which kind the cells of the batteries are, each kind once.
func (r sheetBook) cells(batteries []placed) doc.Text {
	var texts []doc.Text
	seen := map[string]bool{}
	for _, p := range batteries {
		kind, lithium := kindOfCells(p)
		one := doc.Say("{}", kind)
		switch {
		case kind == "" && lithium:
			one = doc.Say("lithium, of which kind: {}", doc.Missing("not recorded"))
		case kind == "":
			one = doc.Text{doc.Missing("not recorded")}
		}
		if !seen[one.String()] {
			seen[one.String()] = true
			texts = append(texts, one)
		}
	}
	return orMissing(joinTexts(texts, " and "))
}

// energy is the energy of the batteries: each as recorded, and nil where one has none.
func (r sheetBook) energy(batteries []placed) doc.Text {
	var texts []doc.Text
	for _, p := range batteries {
		one := r.figure(p, "energy")
		if one == nil {
			return nil
		}
		texts = append(texts, one)
	}
	return joinTexts(texts, " + ")
}

// figure is the first rating of a part for a quantity; a charged voltage goes before others.
func (r sheetBook) figure(p placed, of string) doc.Text {
	var text doc.Text
	for _, rating := range p.Body.Ratings {
		if rating.Of == of && !blank(rating.Value) && (text == nil || rating.Basis == "charged") {
			text = doc.Say("{}", asRead(rating.Value))
		}
	}
	return text
}

// numbersOf lists the numbers of a kind as read, each writing once, with where it stands.
func (r sheetBook) numbersOf(kind identity.Kind) doc.Text {
	var texts []doc.Text
	seen := map[string]bool{}
	for _, n := range r.numbersRead() {
		if n.Kind != kind || blank(n.number.Raw) || seen[n.number.Raw] || len(texts) == mostNamed {
			continue
		}
		seen[n.number.Raw] = true
		texts = append(texts, doc.Say("{} ({})", doc.Literal(n.number.Raw), stated(n.number.Where)))
	}
	return joinTexts(texts, ", ")
}

// wait says how long the capacitors take, where the records let it be computed.
func (r sheetBook) wait() doc.Text {
	for _, w := range r.in.Workings {
		if w.Subject == workings.Insulation && w.ID == "waiting capacitors" && !w.Value.IsZero() {
			return doc.Say("{}; computed, and no proof: prove it dead", w.Answer)
		}
	}
	return doc.Say("{}: treat as live", doc.Missing("not recorded"))
}
