package records

// Plant is one mistake in the records of the car in trouble, made there on purpose.
type Plant struct {
	// File is the record it stands in, inside the car; Line is where a check has to find it, with Code.
	File string
	Line int
	Code string
	// Old stands once in that file and New in its place makes it right, and nothing else wrong.
	Old, New string
}

// Troubled is the repository of the car in trouble.
const Troubled = "cars/courser"

// Plants lists the mistakes that a check of the troubled car finds: these and no others.
func Plants() []Plant {
	return []Plant{
		{"car.json", 50, "number-near-miss", "OC6 204471", "OC6 204417"},
		{"car.json", 73, "not-factory-method", `"factory-method": "no"`, `"factory-method": "yes"`},
		{"car.json", 85, "legibility-unlike", `"raw": "118?30"`, `"raw": "118830"`},
		{"codes/inverter-access.json", 1, "code-not-held", `"note": "The other workshop`, `"held": [{"sort": "supplier", "where": "with the other workshop"}], "note": "The other workshop`},
		{"concerns/whine.json", 14, "date-order", "2026-04-12", "2026-05-12"},
		{"papers/brake-certificate.json", 28, "paper-near-miss", "HJV 427", "HJV 472"},
		{"papers/electrics-report.json", 21, "licence-scope", `"traction circuit"`, `"brakes"`},
		{"papers/other-invoice.json", 12, "date-ambiguous", `"way": "handed over"`, `"country": "US", "way": "handed over"`},
		{"papers/structure-report.json", 21, "licence-date", `"signed-on": "2026-05-02"`, `"signed-on": "2026-04-29"`},
		{"parts/battery-box.json", 14, "field-damaged", "7.71E+11", "HB771209"},
		{"parts/starter.json", 8, "tag-twice", "0414", "0414b"},
		{"readings/2025-12-03-bram-compression.json", 33, "calibration-missing", `"instrument": "instruments/tallow-lane/compression-gauge",`, ""},
		{"readings/2026-04-14-bram-weighing.json", 21, "calibration-failed", "instruments/tallow-lane/axle-pads", "instruments/tallow-lane/corner-scales"},
		{"readings/2026-04-21-ines-insulation.json", 8, "quantity", "1.2 mΩ", "1.2 MΩ"},
		{"settings/inverter.json", 1, "setting-apart", `"serial": "TI-9044"`, `"serial": "TI-9044", "firmware": "5.0", "version": "1"`},
		{"signoffs/2026-05-13-liv-weighing.json", 10, "withdrawn-reference", "readings/2026-03-31-bram-weighing", "readings/2026-04-14-bram-weighing"},
		{"transfers/2025-11-17-brought-in.json", 4, "keeper-gap", `"sort": "estate"`, `"sort": "owner"`},
		{"transfers/2025-11-17-brought-in.json", 27, "custody-twice", "\"parts/radiator\",\n        \"parts/engine\"", `"parts/radiator"`},
		{"work/2025-08-18-pete-strip.json", 43, "undeclared-part", "parts/heater-valve", "parts/wheels"},
		{"work/2025-09-02-pete-motor-in.json", 10, "licence-missing", `"by": "people/halden-electric/pete-sable",
  "entered-by"`, `"by": "people/halden-electric/pete-sable",
  "witness": "people/tallow-lane/ines-okafor",
  "entered-by"`},
		{"work/2026-02-03-ines-rail-look.json", 6, "path-date", "2026-02-04T09:00:00+00:00", "2026-02-03T09:00:00+00:00"},
		{"work/2026-02-24-ines-inverter-studs.json", 22, "factor-twelve", "90 lbf.ft", "90 lbf.in"},
		{"work/2026-03-11-bram-coupling.json", 20, "tightening", `"set": "40 N.m",`, `"set": "40 N.m", "angle": "60°",`},
		{"work/2026-03-17-bram-differential.json", 21, "calibration-date", "instruments/tallow-lane/torque-wrench-long", "instruments/tallow-lane/torque-wrench-medium"},
		{"work/2026-03-24-bram-clamps.json", 17, "instrument-range", "8 N.m", "25 N.m"},
		{"work/2026-05-05-ines-box-moved.json", 32, "unknown-reference", "joints/box-rails", "joints/motor-bracket"},
		{"work/2026-06-02-maud-stock-take.json", 4, "reason-alone", `"reason"`, `"note"`},
	}
}

// Trouble is a mistake in the records of the car in trouble that a check of the records alone cannot see: it takes the
// order of the work, or a sum.
type Trouble struct {
	// Record is where it stands, What it is in plain words, and Words a piece of a record's own text that tells of it.
	Record, What, Words string
	// Verb is the verb of the program that says so, and Says what it says; "" where no verb draws that conclusion.
	Verb, Says string
	// Old stands once in the record, and with New in its place nothing of the record is said any more.
	Old, New string
}

// Troubles lists what only the replay of the work and the sums can find in the troubled car.
func Troubles() []Trouble {
	return []Trouble{
		{"work/2025-09-01-pete-bracket-drilled", "an alteration that nobody is recorded as requiring: four holes drilled through the frame rail", "frame rail, left, four through the outer wall",
			"reversal", "An alteration of Body on its frame, engine bay, frame rail, left, four through the outer wall: 4 of 8 mm", drilledOld, drilledNew},
		{"work/2026-06-02-maud-stock-take", "a stock-take of crate 7 looked for everything there and did not see the radiator", "everything there",
			"reversal", "Radiator was not seen at the stock-take", `"parts/alternator",`, `"parts/alternator", "parts/radiator",`},
		{"work/2026-06-03-maud-carburettor-lost", "a found part is lost for good", `"gone": "lost"`,
			"reversal", "Carburettor is gone (lost): a replacement of the same type is needed", `"gone": "lost",`, ``},
		{"parts/engine-bay-loom", "a loom unplugged by one sheet is cut and joined by what was found", "cut and joined by what was found",
			"reversal", `The end "alternator" of Engine-bay loom is unplugged by the work on record and cut by the record of the part`, "\"end\": \"alternator\",\n      \"state\": \"cut\"", `"end": "alternator", "state": "unplugged"`},
		{"readings/2026-04-14-bram-weighing", "the weighing is stale for the axles: the battery box went to the front after it", `"rear axle"`,
			"workings", "Stale for the axle split, still good for the total", `"on": "2026-04-14"`, `"on": "2026-05-06"`},
		{"readings/2026-04-23-ines-insulation", "the insulation at the negative pole is too close to a hundred ohms a volt to call", "36.5 kΩ",
			"workings", "101.4 ±4.2 Ω/V", "36.5 kΩ", "365 kΩ"},
		{"work/2026-01-13-bram-soft-top", "a late entry: written down six weeks after the work, from memory", "from memory",
			"workings", "Soft top off: written down", "2026-02-27T09:10:00", "2026-01-13T12:10:00"},
		{"work/2025-09-01-pete-bracket-drilled", "an advertisement may not say that the engine bay has no new hole", "engine bay",
			"wording", "“No new hole in the engine bay.” An alteration of Body on its frame", drilledOld, drilledNew},
		{"papers/fitting-sheet", "the supplier's sheet calls for four holes of 8 mm, and four were drilled", `"does": "drilling"`, "", "", "", ""},
		{"existing/boot-floor-holes", "a hole said to be older than the work was first seen after the first work on that zone", "2026-04-02", "", "", "", ""},
	}
}

// drilledOld is the line of the drilled bracket, and drilledNew what stands there where nothing was drilled.
const (
	drilledOld = `"act": "alteration",
      "parts": [
        "parts/bodyshell"
      ],
      "purpose": "conversion",
      "alteration": {
        "zone": "engine bay",
        "where": "frame rail, left, four through the outer wall",
        "size": "8 mm",
        "count": 4,
        "material-removed": "yes",
        "undo": "weld up and dress",
        "leaves": "four welds, paint"
      }`
	drilledNew = `"act": "sighting",
      "parts": [
        "parts/bodyshell"
      ]`
)
