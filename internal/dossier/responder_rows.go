package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/identity"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// table is the sheet below its drawing: a row for each heading of ISO 17840-3, in its order. What the records do not say is
// shown as missing; what is good practice everywhere stands as a reminder.
func (r sheetBook) table() *doc.Table {
	t := doc.NewTable("In the order of ISO 17840", doc.Col("Heading", 3), doc.Col("What the records say; reminders are in general words", 14))
	for i, row := range []struct {
		heading string
		say     func() doc.Text
	}{
		{"Identify", r.identify}, {"Immobilise and lift", r.immobilise}, {"Isolate", r.isolate}, {"Reach the occupants", r.reach}, {"Still aboard", r.stillAboard},
		{"Fire", r.fire}, {"Under water", r.water}, {"Tow and store", r.tow}, {"This sheet", r.thisSheet},
	} {
		t.Row(doc.Say("{} {}", i+1, doc.Strong(row.heading)), row.say())
	}
	return t
}

func (r sheetBook) identify() doc.Text {
	t := doc.Say("{} {}, {}, {}, {}. ", stated(r.car.Make), stated(r.car.Model), stated(r.car.Year), stated(r.car.Body), doc.Text{stated(r.car.Colour)}.From(r.source(r.carRecord, "")))
	t = t.And("Chassis number: {}. Plate: {}. ", orMissing(r.numbersOf(identity.Chassis)), orMissing(r.numbersOf(identity.Registration)))
	if len(r.aboard("traction battery", "motor")) == 0 {
		return t.And("Whether it drives on electricity: {}.", doc.Missing("no traction battery or motor on record as on the car"))
	}
	return t.And("{} that was built for an engine: it makes no sound when it is on.", doc.Strong("Electric drive in a car"))
}

func (r sheetBook) immobilise() doc.Text {
	return doc.Say("Reminder: chock the wheels, parking brake on, drive selector to neutral, switch off, and keep the key away from the car. Where to lift, and how to hold it: {}.", doc.Missing("not recorded"))
}

func (r sheetBook) isolate() doc.Text {
	t := doc.Say("Cut off at: {}. Then part the 12 V battery: {}. ", r.placesOf(r.aboard("service disconnect", "master switch")), r.placesOf(r.aboard("auxiliary battery")))
	t = t.And("Wait: {}. ", r.wait())
	return t.And("{} whatever is switched off: {}, and the cables on the battery's side of the disconnect and of the contactors.", doc.Strong("Stays live"), orMissing(r.titles(r.aboard("traction battery"))))
}

func (r sheetBook) titles(list []placed) doc.Text {
	var texts []doc.Text
	for i, p := range list {
		if i == mostNamed {
			texts = append(texts, doc.Say("and {} more", len(list)-i))
			break
		}
		texts = append(texts, doc.Say("{}", titleOf(p.Record)))
	}
	return joinTexts(texts, ", ")
}

func (r sheetBook) reach() doc.Text {
	t := doc.Say("Do not cut: {}; colour {}. ", r.placesOf(r.aboard("traction cable", "junction box", "inverter", "motor")), r.cableColour())
	var zones []string
	for _, p := range r.aboard(tractionRoles...) {
		if z := r.zoneOf(p); z != "" && !slices.Contains(zones, z) {
			zones = append(zones, z)
		}
	}
	slices.Sort(zones)
	return t.And("High voltage is on record in: {}. Airbags, belt tensioners, glass and strengthened pillars: {}.", listed(zones), doc.Missing("not recorded"))
}

// cableColour is the colour that the traction circuits are recorded with.
func (r sheetBook) cableColour() doc.Span {
	for _, sys := range ledger.All[record.System](r.s) {
		if c := sys.Body.Circuit; c != nil && c.Sort == "traction" {
			return stated(c.Colour)
		}
	}
	return doc.Missing("")
}

func (r sheetBook) stillAboard() doc.Text {
	batteries := r.aboard("traction battery")
	t := doc.Say("Traction battery: {}; ", r.placesOf(batteries))
	energy := r.energy(batteries)
	if len(batteries) == 0 {
		energy = nil
	}
	t = t.And("energy {}; voltage {}; ", orMissing(energy), r.voltage(batteries))
	t = t.And("cells: {}. ", r.cells(batteries))
	t = t.And("Fluids and gases: {}.", orMissing(r.fills()))
	for _, h := range []struct{ word, says string }{{"fuel", "Fuel or its vapour"}, {"pressure", "Under pressure"}, {"refrigerant", "Refrigerant"}, {"acid", "Acid"}, {"spring", "Loaded springs"}} {
		if list := r.hazardous(h.word); len(list) > 0 {
			t = t.And(" {}: {}.", h.says, r.titles(list))
		}
	}
	if len(r.hazardous("fuel"))+len(r.aboard("fuel tank", "fuel line")) == 0 {
		t = t.And(" Fuel: no part that holds fuel is on record as on the car.")
	}
	return t
}

// voltage is that of the whole battery where the car states it, or of its boxes.
func (r sheetBook) voltage(batteries []placed) doc.Text {
	for _, rating := range r.car.Ratings {
		if rating.Of == "voltage" && rating.Basis == "charged" {
			return doc.Say("{} charged", asRead(rating.Value))
		}
	}
	var texts []doc.Text
	for _, p := range batteries {
		texts = append(texts, orMissing(r.figure(p, "voltage")))
	}
	return orMissing(joinTexts(texts, " and "))
}

// fills says of each fluid or gas of what is on the car whether it was let out.
func (r sheetBook) fills() doc.Text {
	var texts []doc.Text
	for _, f := range r.state.Fills() {
		sys, ok := ledger.Get[record.System](r.s, f.Ref)
		if !ok || sys.Body.Fill == nil || !r.holds(sys.Body) {
			continue
		}
		says := doc.Text{doc.Missing("let out or not: not recorded")}
		switch {
		case f.State == "fill":
			says = doc.Say("filled")
		case f.State == "drain", f.State == "" && sys.Body.Fill.Drained != "":
			says = doc.Say("drained, on record")
		}
		texts = append(texts, doc.Say("{}: {}", stated(sys.Body.Fill.Of), says))
	}
	return joinTexts(texts, "; ")
}

// holds tells whether anything that a system runs through is on the car; one without parts may be.
func (r sheetBook) holds(sys *record.System) bool {
	return len(sys.Parts) == 0 || slices.ContainsFunc(sys.Parts, func(id record.Ref) bool {
		s, ok := r.state.Part(id)
		return ok && s.Where.Place == replay.OnCar
	})
}

func (r sheetBook) fire() doc.Text {
	return doc.Say("Reminder: {} What to put it out with, and how long to {}: {}; the fire service's rules decide.",
		"a lithium cell can burn hours or days later and again after it was put out, and its smoke is poisonous.", doc.Strong("watch for re-ignition"), doc.Missing("not recorded"))
}

func (r sheetBook) water() doc.Text {
	return doc.Say("Reminder: treat it as live in and out of the water; switch off and isolate as above where it can be reached. A battery that was under water can burn later.")
}

func (r sheetBook) tow() doc.Text {
	return doc.Say("Layout on record: {}. Reminder: a driven wheel that turns can make voltage, so lift the driven wheels or carry it; store it outside, away from "+
		"buildings and cars, and watch it. Where to fasten a rope or strap: {}.", stated(r.car.Layout), doc.Missing("not recorded"))
}

func (r sheetBook) thisSheet() doc.Text {
	return doc.Say("Of {}. It ends with the next work on {}: print it anew then. Computed from records by those who keep them; the fire service has not seen it.", r.today(), facetWords())
}
