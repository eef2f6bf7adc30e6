package dossier

import (
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/workings"
)

// The answers about the car as it is now: what is in it, what guards it, what it weighs and what it was tested for.

// tractionRoles are the roles of the parts that a conversion adds to the drive.
var tractionRoles = []string{"motor", "inverter", "charger", "charge inlet", "converter", "traction battery", "traction cable", "junction box",
	"service disconnect", "master switch", "main fuse", "contactor"}

func (b *book) aboutBattery() answer {
	a := answer{wants: "the record of the battery's parts with their role, origin and ratings, and a survey of its cells"}
	guards := b.inRole("service disconnect", "master switch", "main fuse", "contactor")
	if list := b.inRole("traction battery"); len(list) > 0 {
		a.short = doc.Say("{} on record as part of the traction battery; {} by which it is cut off or guarded. How it will age, no record says.", count(len(list), "part"), count(len(guards), "part"))
		a.blocks = append(a.blocks, b.partTable("The traction battery", list))
	}
	if len(guards) > 0 {
		a.blocks = append(a.blocks, b.partTable("What guards it and cuts it off", guards))
	}
	readings, _ := b.readingTables("cell-survey")
	a.blocks = append(append(a.blocks, readings...), b.sums(workings.Pack)...)
	return a
}

func (b *book) aboutRange() answer {
	return b.measured("a road run with its distance, the energy it took and its conditions", []workings.Subject{workings.Driving, workings.Distance}, "road-run", "distance", "charging")
}

func (b *book) aboutTests() answer {
	a := b.measured("readings of insulation, bonding, brakes and mass with day, method and instrument", nil,
		"insulation", "bonding", "proved-dead", "brake-test", "weighing", "function-test")
	a.chapters = []string{"stale"}
	return a
}

func (b *book) aboutPowerAndMass() answer {
	return answer{
		short:    doc.Say("Figures stand side by side as the records state them, each with its basis; figures on different bases are not compared."),
		chapters: []string{"before-and-as-built"}, blocks: b.sums(workings.Mass),
	}
}

func (b *book) aboutPower() answer {
	a := answer{wants: "the rating of the motor, its basis and its source", blocks: b.sums(workings.Pack)}
	t := b.partTable("What drives it", b.inRole("motor", "inverter", "engine", "gearbox"))
	for _, p := range b.inRole("motor") {
		if slices.ContainsFunc(p.Body.Ratings, func(r record.Rating) bool { return figureOf(r.Of) == "power" }) {
			a.short = doc.Say("The power of {} is on record with its basis below; a power on another basis cannot be compared with it.", b.called(p.ID))
		}
	}
	if t.Rows() > 0 {
		a.blocks = append([]doc.Block{t}, a.blocks...)
	}
	return a
}

func (b *book) aboutMass() answer {
	return b.measured("tickets of a weighbridge before and after, by axle, with the car's condition", []workings.Subject{workings.Mass}, "weighing")
}

func (b *book) aboutBrakes() answer {
	a := b.measured("a brake test with the car's mass as it is now", []workings.Subject{workings.Brakes}, "brake-test")
	if list := b.inRole("brake servo", "vacuum pump"); len(list) > 0 {
		a.blocks = append(a.blocks, b.partTable("What helps the brakes", list))
	}
	return a
}

func (b *book) aboutInsulation() answer {
	return b.measured("an insulation reading with test voltage, instrument and poles", []workings.Subject{workings.Insulation}, "insulation", "bonding")
}

func (b *book) aboutProvingDead() answer {
	a := b.measured("a record of when and how the circuit was proved dead", nil, "proved-dead")
	guards := b.inRole("service disconnect", "master switch", "main fuse", "contactor")
	if len(guards) > 0 {
		a.blocks = append(a.blocks, b.partTable("What cuts the battery off", guards))
	}
	voltage := hazards[slices.IndexFunc(hazards, func(h hazard) bool { return h.word == "high voltage" })]
	a.blocks = append([]doc.Block{doc.Warn(voltage.kind, "{} {} A record of an earlier day does not say that it is dead now.", voltage.long, local)}, a.blocks...)
	return a
}

func (b *book) aboutDisconnect() answer {
	a := answer{wants: "the service disconnect or master switch as a part with its position, and a function test of it"}
	list := b.inRole("service disconnect", "master switch")
	readings, n := b.readingTables("function-test")
	if len(list) > 0 {
		a.short = doc.Say("{} on record to cut the battery off by hand; {} of functions on record. Whether it is within reach has to be tried at the car.", count(len(list), "part"), count(n, "test"))
		a.blocks = append(a.blocks, b.partTable("What cuts the battery off by hand", list))
	}
	a.blocks = append(a.blocks, readings...)
	return a
}

func (b *book) aboutCables() answer {
	a := answer{wants: "the traction circuits with colour and labels, and photos of them"}
	t := doc.NewTable("Traction circuits, as recorded", doc.Col("Circuit", 5), doc.Col("Colour", 3), doc.Col("Labels", 6), doc.Col("Conductor and fuse", 5))
	for _, sys := range ledger.All[record.System](b.s) {
		if c := sys.Body.Circuit; c != nil && strings.Contains(c.Sort, "traction") {
			t.Row(doc.Say("{}", doc.Strong(titleOf(sys.Record))).From(b.source(sys.Record, "")), stated(c.Colour), listed(c.Labels), doc.Say("{}; fuse {}", stated(c.Conductor), stated(c.Fuse)))
		}
	}
	cables := b.inRole("traction cable", "junction box")
	if t.Rows()+len(cables) == 0 {
		return a
	}
	a.short = doc.Say("{} and {} on record. What a cover hides has to be looked at on the car.", count(t.Rows(), "traction circuit"), count(len(cables), "cable or box"))
	if t.Rows() > 0 {
		a.blocks = append(a.blocks, t)
	}
	if len(cables) > 0 {
		a.blocks = append(a.blocks, b.partTable("Cables and boxes", cables))
	}
	return a
}

func (b *book) aboutCharging() answer {
	a := answer{wants: "a record of where the car stands and of what it is charged at"}
	blocks, n := b.readingTables("charging")
	inlets := b.inRole("charge inlet", "charger")
	if n == 0 {
		return a
	}
	a.short = doc.Say("Charged {} on record, where the readings say. Where the car stands at night is {}.", count(n, "time"), doc.Missing(""))
	if len(inlets) > 0 {
		a.blocks = append(a.blocks, b.partTable("Inlet and charger", inlets))
	}
	a.blocks = append(a.blocks, blocks...)
	return a
}

func (b *book) aboutGeometry() answer {
	a := b.measured("a weighing and an alignment sheet", []workings.Subject{workings.Mass}, "weighing", "alignment", "ride-height")
	a.chapters = []string{"stale"}
	return a
}
