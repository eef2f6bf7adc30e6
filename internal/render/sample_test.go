package render

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"boltback/internal/doc"
)

// bars is a small drawing, as the program would make one.
type bars struct{}

func (bars) Size() (float64, float64) { return 120, 32 }

func (bars) SVG() string {
	return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 32" font-family="serif" font-size="4">` +
		`<rect x="30" y="3" width="70" height="9" fill="none" stroke="#000" stroke-width=".4"/>` +
		`<rect x="30" y="17" width="78" height="9" fill="#999" stroke="#000" stroke-width=".4"/>` +
		`<text x="0" y="9">before</text><text x="0" y="23">after</text>` +
		`<text x="102" y="9">412.5 kg</text><text x="110" y="23" font-size="3">459</text></svg>`
}

// picture draws a shaded rectangle and encodes it.
func picture(t testing.TB, w, h int, encode func(*bytes.Buffer, image.Image) error) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetGray(x, y, color.Gray{Y: uint8(60 + 120*x/w + 60*y/h)})
		}
	}
	var b bytes.Buffer
	if err := encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asPNG(b *bytes.Buffer, i image.Image) error  { return png.Encode(b, i) }
func asJPEG(b *bytes.Buffer, i image.Image) error { return jpeg.Encode(b, i, nil) }

// sample uses every block, span and option once, in an invented world.
func sample(t testing.TB) *doc.Document {
	d := &doc.Document{
		Title: "Build record of the Merlow Osprey 1100", Subtitle: "For the registration inspection",
		Language: "en", Contents: 2,
		Provenance: &doc.Provenance{
			Subject: "Merlow Osprey 1100, 1967, chassis number as read: *OS 11 204?*",
			Commit:  "7c0d91e24ab3f6d85501be0c8d2f47a9e6613c58", Day: "2026-04-18",
			Workshop: "Tarn & Daughters, Quay Lane", Program: "boltback edition 1",
			Basis: doc.NotExamined,
		},
	}
	d.Sections = []*doc.Section{sampleReversal(), sampleParts(t), sampleSteps(), sampleTrust()}
	return d
}

func sampleReversal() *doc.Section {
	states := []doc.State{
		{Mark: "=", Word: "agrees", Meaning: "the same characters after spaces and stars are taken out"},
		{Mark: "≠", Word: "differs", Meaning: "another number"},
		{Mark: "?", Word: "not legible"},
		{Mark: "–", Word: "not looked at"},
	}
	m := doc.NewMatrix("Numbers as each source gives them", "Number", states, "Car", "Plate", "Title", "Archive letter")
	m.Row(doc.Say("Chassis"), doc.Mark("agrees", "{}", doc.Literal("*OS 11 204?*")), doc.Mark("agrees", "{}", doc.Literal("OS11204")), doc.Mark("differs", "{}", doc.Literal("OS11240")), doc.Mark("not looked at", ""))
	m.Row(doc.Say("Engine"), doc.Mark("not legible", ""), doc.Mark("not looked at", ""), doc.Mark("agrees", "{}", doc.Literal("11E 5520")), doc.Mark("agrees", "{} {}", doc.Literal("11E5520"), doc.FromClause("letter of 3 May 2019")))
	return doc.NewSection("reversal", "Reversal statement",
		doc.Lead("Shell and structure: on the records, the car {} as received on 2 March 2026, with the traces named.", doc.Strong("can be put back")),
		doc.Para("One hole of 6.5 mm was drilled in the boot floor {}. The steering box's mass is {}; the price paid is {}. See {} for the parts.",
			doc.FromRecord("work/2026-03-09-ada-battery-box", 41), doc.Missing(""), doc.Withheld(""), doc.See("parts", "the parts list")),
		doc.NewSection("reversal-floors", "What the records must hold",
			&doc.Facts{Caption: "Floors used", Items: []doc.Fact{
				doc.Is("Joints with a stated tightening", "91 of 96 {}", doc.FromRecord("ledger", 12)),
				doc.Is("Odometer", "{} {} {}", doc.Struck("48 120 mi"), doc.Transcribed("48 210 mi"), doc.FromRecord("readings/2026-03-02-ada-odometer", 9)),
				doc.Is("Earlier keeper", "{}", doc.Withheld("name and address of the keeper until 2011")),
				doc.Is("Name of the witness", "{}", doc.Plain("שלמה בן־דוד, Ærø")),
			}},
			doc.NewSection("reversal-numbers", "Numbers", m),
		),
		&doc.Figure{ID: "axle-loads", Caption: doc.Say("Front axle before and after, driver aboard {}", doc.FromRecord("readings/2026-04-11-ada-weighing", 3)),
			Alt: "Two bars: front axle 412.5 kg before, 459 kg after.", Drawing: bars{}},
	)
}

func sampleParts(t testing.TB) *doc.Section {
	table := doc.NewTable("Parts that were taken off", doc.Col("Part", 3), doc.Col("Tag", 1), doc.Col("Where it is now", 3), doc.Num("Mass", 1), doc.Col("Last seen", 2))
	table.ID = "parts-off"
	table.Group("Fuel")
	table.Row(doc.Say("Fuel tank {}", doc.FromRecord("parts/fuel-tank", 0)), "T-014", "Loft, shelf 3", "11.2 kg", "2026-03-30")
	table.Row("Fuel pump, mechanical", "T-015", doc.Say("Loft, shelf 3; {}", doc.Struck("crate 2")), "0.9 kg", doc.Missing("not seen since stock-take"))
	table.Group("Engine")
	table.Row("Engine with gearbox", "T-020", "Stand by the north wall", doc.Missing("not recorded"), "2026-04-02")
	table.Row("Exhaust, from manifold to tail", "T-021", doc.Across(3, "Out with a plater since 2026-03-15, receipt {}", doc.FromRecord("papers/plater-receipt", 0)))
	wide := doc.NewTable("Insulation of the traction circuit", doc.Col("Part of the circuit", 3), doc.Num("Test voltage", 1), doc.Num("+ to body", 1), doc.Num("− to body", 1), doc.Num("Needed", 1), doc.Col("Method", 2), doc.Col("Outcome", 2))
	wide.Row("Pack side", "500 V", ">550 MΩ", "412 MΩ", "40 kΩ", "live, bridged", doc.Strong("met"))
	wide.Row("Load side, with a name-that-has-no-place-to-break-0123456789abcdef0123456789abcdef", "500 V", "38 kΩ", doc.Missing("only one pole measured"), "40 kΩ", "dead", doc.Strong("evidence missing"))
	photos := &doc.PhotoSheet{Caption: "Boot floor", Photos: []doc.Photo{
		{Image: picture(t, 240, 160, asPNG), Alt: "Bare boot floor with four bolt holes.", Caption: doc.Say("Before the first work"), Taken: "2026-03-02", Source: doc.Say("{}", doc.FromRecord("papers/boot-floor-1", 0))},
		{Image: picture(t, 160, 240, asJPEG), Caption: doc.Say("With the battery box fitted"), Claimed: "March 2026"},
		{Absent: "not here: the original lies with the owner", Caption: doc.Say("Sill, left"), Source: doc.Say("{}", doc.FromDigest("9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"))},
	}}
	parts := doc.NewSection("parts", "Parts and readings", table, wide, photos)
	parts.NewPage = true
	return parts
}

func sampleSteps() *doc.Section {
	return doc.NewSection("steps", "Work order to put the car back",
		doc.Warn("High voltage", "The pack holds 355 V with the main fuse out. Isolate, wait five minutes, prove dead at the inverter. Only people licensed for this work; local codes decide."),
		doc.Steps(
			doc.Point("Drain the coolant."),
			doc.Point("Lift the battery box out by its {} eyes.", doc.Strong("four")).With(
				doc.Warn("Lifting", "118 kg. Keep clear of the load."),
				doc.Bullets(doc.Point("M10 × 30, 8.8: four, 47 N·m {}", doc.FromRecord("joints/box-to-floor", 7)), doc.Point("Earth strap"))),
			doc.Point("Refit the fuel tank."),
		),
		&doc.List{Ordered: true, Boxes: true, Start: 12, Items: []doc.Item{doc.Point("Bleed the brakes."), doc.Point("Fill the coolant.")}},
		&doc.Verbatim{Caption: "Front axle after each step", Text: "m1 = 459.0 kg - 118.0 kg\n   = 341.0 kg  ±1.4 kg"},
	)
}

func sampleTrust() *doc.Section {
	return doc.NewSection("trust", "Signatures and findings",
		&doc.Signature{Name: "Ada Tarn", Time: doc.Say("2026-04-12 17:40, by its own date"), Meaning: doc.Say("did the work of {}", doc.FromRecord("work/2026-03-09-ada-battery-box", 0)), Status: doc.Say("stale: two newer records, not covered")},
		&doc.Findings{Caption: "Open findings", Items: []doc.Finding{
			{Level: "error", Where: "readings/2026-04-11-ada-weighing.json:14:7", What: doc.Say("the mass has no unit"), Right: doc.Say("a number with a unit, such as {}", doc.Literal("412.5 ±1 kg")), Code: "quantity-unit"},
			{Level: "warning", What: doc.Say("the pump was not seen by the last stock-take")},
		}},
		&doc.Provenance{Commit: "7c0d91e24ab3", Day: "2026-04-18", Basis: doc.NotExamined},
	)
}
