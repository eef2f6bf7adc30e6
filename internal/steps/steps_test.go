package steps

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/edtf"
	"boltback/internal/entry"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// bench is a small car in a small workshop.
func bench(t testing.TB) Bench {
	t.Helper()
	s, err := ledger.Load(fstest.MapFS{
		"ledger.json":                               {Data: []byte(`{"kind": "ledger", "edition": "1"}`)},
		"car.json":                                  {Data: []byte(`{"kind": "car", "market": "GB", "steering": "right", "root": "parts/shell"}`)},
		"parts/shell.json":                          {Data: []byte(`{"kind": "part", "found": "yes"}`)},
		"parts/fuel-tank.json":                      {Data: []byte(`{"kind": "part", "name": "Fuel tank", "found": "yes", "tag": "0111"}`)},
		"parts/starter.json":                        {Data: []byte(`{"kind": "part", "name": "Starter", "found": "yes", "tag": "0147"}`)},
		"parts/rh-front-light.json":                 {Data: []byte(`{"kind": "part", "name": "RH front light"}`)},
		"parts/rh-footrest.json":                    {Data: []byte(`{"kind": "part", "name": "RH foot rest"}`)},
		"parts/seat-left.json":                      {Data: []byte(`{"kind": "part", "name": "Seat, left"}`)},
		"joints/tank-straps.json":                   {Data: []byte(`{"kind": "joint", "clamps": ["parts/fuel-tank"], "fasteners": [{"size": "M8", "count": 4}]}`)},
		"systems/coolant.json":                      {Data: []byte(`{"kind": "system", "name": "Coolant", "parts": ["parts/starter"]}`)},
		"stores/tallow-lane/loft/store.json":        {Data: []byte(`{"kind": "store", "name": "Loft"}`)},
		"stores/tallow-lane/locked-cage/store.json": {Data: []byte(`{"kind": "store", "name": "Cage"}`)},
	})
	if err != nil {
		t.Fatal(err)
	}
	return Bench{Context: entry.Context{Snapshot: s, Today: edtf.NewDay(2026, 3, 2), Country: "GB"}, Workshop: "tallow-lane", By: "people/tallow-lane/ines-okafor",
		People: []record.Ref{"people/tallow-lane/ines-okafor", "people/tallow-lane/bram-ostler"}, Instruments: []record.Ref{"instruments/tallow-lane/wrench-medium"},
		Lies: func(store record.Ref, place string) []record.Ref {
			if place == "crate 3" {
				return []record.Ref{"parts/fuel-tank"}
			}
			return nil
		}}
}

func TestALineBecomesALineOfWork(t *testing.T) {
	for _, tc := range []struct{ name, line, want string }{
		{"the whole of it, in any order", "off 0200 heater, left, 4x M8 bolts, bag 0201, 8.3 kg, loft crate 3, from bulkhead, asbestos, handle missing",
			`removal [parts/heater] at bulkhead in stores/tallow-lane/loft|crate 3 tag 0200 bag 0201 4 of [joints/heater]; handle missing || parts/heater {"kind":"part","name":"heater","found":"inferred","position":"bulkhead","side":"left","mass":"8.3 kg","tag":"0200","hazards":["asbestos"]} || joints/heater {"kind":"joint","clamps":["parts/heater"],"fasteners":[{"what":"bolt","size":"M8","count":4,"bag":"0201"}]}`},
		{"a part by its tag alone", "off 0111, crate 2", "removal [parts/fuel-tank] in |crate 2 tag 0111"},
		{"a tag with its check character", "off 0111-9", "removal [parts/fuel-tank] tag 0111-9"},
		{"a part by its name, whatever the capitals", "OFF FUEL TANK", "removal [parts/fuel-tank]"},
		{"its one joint is undone", "off fuel tank, 4x M8", "removal [parts/fuel-tank] 4 of [joints/tank-straps]; 4 × M8"},
		{"two kinds of fasteners", "off lamp, 2x M6 screws; 1 clip", `removal [parts/lamp] 3 of [joints/lamp] || parts/lamp {"kind":"part","name":"lamp","found":"inferred"} || joints/lamp {"kind":"joint","clamps":["parts/lamp"],"fasteners":[{"what":"screw","size":"M6","count":2},{"what":"clip","count":1}]}`},
		{"a new part that is fitted was not found on the car", "on motor, joint motor mount, 4x M10", `fitting [parts/motor] 4 of [joints/motor-mount] || parts/motor {"kind":"part","name":"motor","found":"no"} || joints/motor-mount {"kind":"joint","clamps":["parts/motor"],"original":"no","fasteners":[{"size":"M10","count":4}]}`},
		{"a tightening of a joint is of the parts it clamps", "tight tank straps, 35 ft-lb, click, wrench wrench-medium", "tightening [parts/fuel-tank] of [joints/tank-straps] set 35 lbf.ft by instruments/tallow-lane/wrench-medium click"},
		{"a tightening may name the part that one joint holds", "tight fuel tank, 47 Nm, feel", "tightening [parts/fuel-tank] of [joints/tank-straps] set 47 N.m by feel"},
		{"several parts seen at once", "seen 0111 0147, starter, loft crate 3, all", "sighting [parts/fuel-tank parts/starter] in stores/tallow-lane/loft|crate 3 tag 0111 counted everything there"},
		{"a seal seen whole names what lies behind it", "seen loft crate 3, unbroken", "sighting [parts/fuel-tank] in stores/tallow-lane/loft|crate 3 seal unbroken"},
		{"a store by the name people use", "move 0111, in the cage", "move [parts/fuel-tank] in stores/tallow-lane/locked-cage| tag 0111"},
		{"a side at the end of a new name", "off 0300 horn LH", `removal [parts/horn-lh] tag 0300 || parts/horn-lh {"kind":"part","name":"horn LH","found":"inferred","side":"left","tag":"0300"}`},
		{"a side that the line names goes before one in the name", "off 0300 horn LH, right", `removal [parts/horn-lh] tag 0300 || parts/horn-lh {"kind":"part","name":"horn LH","found":"inferred","side":"right","tag":"0300"}`},
		{"a store that nobody named before", "off 0111, in the attic shelf 2", `removal [parts/fuel-tank] in stores/tallow-lane/attic|shelf 2 tag 0111 || stores/tallow-lane/attic {"kind":"store","name":"Attic"}`},
		{"what comes before a place need not be a store", "off 0111, found behind crate 3", "removal [parts/fuel-tank] tag 0111; found behind crate 3"},
		{"nearly the name of a store is no new one", "off 0111, lofft crate 3", "removal [parts/fuel-tank] tag 0111; lofft crate 3"},
		{"a name that holds a comma", "off 0300 seat, left, 2 bolts", `removal [parts/seat-left] tag 0300 2 of [joints/seat-left] || joints/seat-left {"kind":"joint","clamps":["parts/seat-left"],"fasteners":[{"what":"bolt","count":2}]}`},
		{"out, with whom and until when", "out starter, with the plater, back 2026-04-01", "out [parts/starter] with the plater due 2026-04-01"},
		{"gone for good", "out starter, sold", "out [parts/starter] gone sold"},
		{"preserved", "preserve starter, inhibitor oil, due 2026-09", "preserve [parts/starter] product inhibitor oil due 2026-09"},
		{"a fill is of its parts", "drain coolant, 6 l, waste can 3", "drain [parts/starter] system systems/coolant 6 L waste can 3"},
		{"a fill nobody recorded is of the car", "drain washer, 2 l", `drain [parts/shell] system systems/washer 2 L || systems/washer {"kind":"system","name":"washer"}`},
		{"what is not understood is a note", "off starter, cable was frayed; look again", "removal [parts/starter]; cable was frayed; look again"},
		{"letters that paths do not have", "off Kühler", `removal [parts/kuehler] || parts/kuehler {"kind":"part","name":"Kühler","found":"inferred"}`},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := New(bench(t))
			told, err := s.Tell(tc.line)
			if err != nil || told.Open != "" {
				t.Fatalf("%v %s", err, told.Open)
			}
			if got := inShort(t, s.Result()); got != tc.want {
				t.Errorf("got  %s\nwant %s", got, tc.want)
			}
		})
	}
}

// inShort writes what a session of one step made on one line.
func inShort(t *testing.T, r Result) string {
	t.Helper()
	l := r.Work.Lines[0]
	text := fmt.Sprintf("%s %s", l.Act, l.Parts)
	add := func(label, value string) {
		if value != "" {
			text += " " + strings.TrimSpace(label+" "+value)
		}
	}
	add("at", l.Position)
	if l.Store != "" || l.Place != "" {
		add("in", string(l.Store)+"|"+l.Place)
	}
	add("tag", l.Tag)
	add("bag", l.Bag)
	if l.Fasteners > 0 {
		add("", fmt.Sprint(l.Fasteners))
	}
	if len(l.Joints) > 0 {
		add("of", fmt.Sprint(l.Joints))
	}
	add("system", string(l.System))
	add("", string(l.Quantity))
	add("waste", l.Waste)
	add("set", string(l.Set))
	add("by", string(l.Instrument))
	add("", l.Method)
	add("with", l.With)
	add("gone", l.Gone)
	add("product", l.Product)
	add("due", string(l.Due))
	add("seal", l.Seal)
	add("counted", l.Counted)
	if l.Note != "" {
		text += "; " + l.Note
	}
	for _, n := range r.New {
		src, err := record.Encode(n.Body)
		if err != nil {
			t.Fatal(err)
		}
		flat := strings.Join(strings.Fields(string(src)), " ")
		for _, pair := range [][2]string{{"{ ", "{"}, {" }", "}"}, {"[ ", "["}, {" ]", "]"}, {`": `, `":`}, {", ", ","}} {
			flat = strings.ReplaceAll(flat, pair[0], pair[1])
		}
		text += fmt.Sprintf(" || %s %s", n.ID, flat)
	}
	return text
}

func TestLinesThatAreNotTakenChangeNothing(t *testing.T) {
	for _, tc := range []struct{ name, line, message, hint string }{
		{"no word for what was done", "ofv 0147 starter", "no word for what was done", "did you mean off?"},
		{"a check character that does not add up", "off 0111-3 fuel tank", "does not add up", "perhaps 0111-9"},
		{"a measure that reads two ways", "off lamp, 1,234 kg", "2 ways", "1.234 kg"},
		{"a day that does not exist", "day 2026-02-30", "", "2026-03-02"},
		{"a day that can be two", "out starter, due 03/04/2026", "", ""},
		{"nobody of that name", "by ottilie", "no record is called ottilie", ""},
		{"nearly the name of a store", "at lofft", "no store is called that", "did you mean loft"},
		{"a purpose outside the list", "for fun", "not one of the words", ""},
		{"a setting with nothing behind it", "by", "something has to follow", ""},
		{"a name without letters", "off !!!", "letters or digits", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := bench(t)
			b.Context.Country = ""
			s := New(b)
			if tc.name == "a day that can be two" {
				tc.message = "several days"
			}
			_, err := s.Tell(tc.line)
			fault, ok := err.(*entry.Fault)
			if !ok || !strings.Contains(fault.Error(), tc.message) || !strings.Contains(fault.Hint, tc.hint) {
				t.Fatalf("got %v, %+v", err, fault)
			}
			if r := s.Result(); r.Work != nil || len(r.New)+len(r.Open)+len(s.Told()) != 0 {
				t.Errorf("something is left: %+v", r)
			}
		})
	}
}

func TestC50ASecondPartUnderOneTagIsSaidAndNothingIsNumberedAnew(t *testing.T) {
	s := New(bench(t))
	told, err := s.Tell("off 0147 alternator")
	if err != nil || len(told.Notes) != 1 || !strings.Contains(told.Notes[0], "0147 is on parts/starter already; both stay: write 0147a and 0147b") {
		t.Fatalf("%v %q", err, told.Notes)
	}
	if l := s.Result().Work.Lines[0]; l.Tag != "0147" || l.Parts[0] != "parts/alternator" {
		t.Errorf("%+v", l)
	}
	if told, err = s.Tell("seen 0147"); err != nil || !strings.Contains(told.Open, "is on parts/starter, parts/alternator") {
		t.Errorf("the tag alone: %v %q", err, told.Open)
	}
	if _, err = s.Tell("off 0147b alternator bracket"); err != nil {
		t.Error(err)
	}
}

func TestC55APartlyLegibleLabelStaysOpenWithItsCandidates(t *testing.T) {
	s := New(bench(t))
	told, err := s.Tell("off RH f..t, 6x M6")
	if err != nil || !strings.Contains(told.Open, `"RH f..t" is only partly legible; it could be parts/rh-footrest, parts/rh-front-light`) {
		t.Fatalf("%v %q", err, told.Open)
	}
	r := s.Result()
	if r.Work != nil || len(r.New) != 0 || len(r.Open) != 1 {
		t.Errorf("it was filled in: %+v", r)
	}
	told, err = s.Tell("off fuel tank, 6x M8, bag 0300")
	if err != nil || len(told.Notes) != 1 || !strings.Contains(told.Notes[0], "4 fasteners on record, and 6 are counted") {
		t.Errorf("%v %q", err, told.Notes)
	}
}

func TestC56ASideDependsOnTheMarketAndTheAssumptionIsShown(t *testing.T) {
	for _, tc := range []struct{ words, market, steering, side, assumed string }{
		{"O/S", "GB", "right", "right", "in GB traffic keeps left"},
		{"offside", "DE", "left", "left", "in DE traffic keeps right"},
		{"n/s", "GB", "right", "left", "in GB traffic keeps left"},
		{"RH", "", "", "right", ""},
		{"driver's side", "US", "left", "left", "car.json has the steering on the left"},
		{"Passenger side", "US", "left", "right", "car.json has the steering on the left"},
		{"driver's side", "", "", "", "depends on the steering"},
		{"O/S", "", "", "", "depends on the country"},
	} {
		t.Run(tc.words+" "+tc.market, func(t *testing.T) {
			b := bench(t)
			s, err := ledger.Load(fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)},
				"car.json": {Data: fmt.Appendf(nil, `{"kind": "car", "market": %q, "steering": %q}`, tc.market, tc.steering)}})
			if err != nil {
				t.Fatal(err)
			}
			b.Context.Snapshot, b.Context.Country = s, ""
			session := New(b)
			told, err := session.Tell("off lamp, " + tc.words)
			if err != nil || tc.assumed == "" && len(told.Notes) > 0 || !strings.Contains(strings.Join(told.Notes, " "), tc.assumed) {
				t.Fatalf("%v %q", err, told.Notes)
			}
			r := session.Result()
			if side := r.New[0].Body.(*record.Part).Side; side != tc.side {
				t.Errorf("side %q", side)
			}
			if tc.side != "" && strings.EqualFold(tc.side, tc.words) != !strings.Contains(r.Work.Lines[0].Note, tc.words) {
				t.Errorf("what was told is not kept: %q", r.Work.Lines[0].Note)
			}
		})
	}
}

func TestSettingsHoldForTheStepsThatFollow(t *testing.T) {
	s := New(bench(t))
	for _, line := range []string{"by bram", "helper ines", "day 2026-02-27", "name Front stripped", "basis from paper", "note rain all day", "off lamp", "for conv", "at loft crate 1", "off horn", "off wiper, crate 2", "seen 0111"} {
		if _, err := s.Tell(line); err != nil {
			t.Fatal(line, err)
		}
	}
	w := s.Result().Work
	if w.By != "people/tallow-lane/bram-ostler" || len(w.Helpers) != 1 || w.Started != "2026-02-27" || w.Name != "Front stripped" || w.Basis != "from paper" || w.Note != "rain all day" {
		t.Errorf("%+v", w)
	}
	if l := w.Lines[0]; l.Store != "" || l.Purpose != "" {
		t.Errorf("a setting works backwards: %+v", l)
	}
	if l := w.Lines[1]; l.Place != "crate 1" || l.Purpose != "conversion" {
		t.Errorf("%+v", l)
	}
	if l := w.Lines[3]; l.Purpose != "" {
		t.Errorf("a sighting has a purpose: %+v", l)
	}
	if l := w.Lines[2]; l.Store != "stores/tallow-lane/loft" || l.Place != "crate 2" {
		t.Errorf("%+v", l)
	}
}

func TestWithoutItsLastLineASessionIsAsBefore(t *testing.T) {
	lines := []string{"at loft", "off lamp, 2x M6", "off lamp bracket, joint lamp, 1x M5", "off 0147 alternator"}
	s := New(bench(t))
	for _, line := range lines {
		if _, err := s.Tell(line); err != nil {
			t.Fatal(err)
		}
	}
	shorter, refused := s.Again(lines[:2])
	direct := New(bench(t))
	for _, line := range lines[:2] {
		if _, err := direct.Tell(line); err != nil {
			t.Fatal(err)
		}
	}
	if got, want := fmt.Sprintf("%+v", shorter.Result().Work), fmt.Sprintf("%+v", direct.Result().Work); got != want || len(refused) > 0 {
		t.Errorf("got %s\nwant %s", got, want)
	}
	if got := inShort(t, shorter.Result()); !strings.Contains(got, `"fasteners":[{"size":"M6","count":2}]`) || strings.Contains(got, "M5") {
		t.Errorf("the joint still holds what was taken back: %s", got)
	}
}

func TestTypingIsCompletedFromKnownNames(t *testing.T) {
	s := New(bench(t))
	if _, err := s.Tell("off 0200 heater matrix"); err != nil {
		t.Fatal(err)
	}
	for line, want := range map[string]string{
		"of": "off", "off fu": "off Fuel tank", "off 0200 hea": "off 0200 heater matrix", "seen starter, lo": "seen starter, loft",
		"tight tank": "tight tank-straps", "by br": "by bram-ostler", "off 0300 Seat, l": "off 0300 Seat, left", "off ": "", "off zz": "", "move Fuel tank, c": "move Fuel tank, cage",
	} {
		if got := strings.Join(s.Complete(line), "|"); !strings.Contains("|"+got+"|", "|"+want+"|") && !(want == got) {
			t.Errorf("%q gives %q, want %q", line, got, want)
		}
	}
}

func FuzzTell(f *testing.F) {
	for _, line := range []string{"off 0147 fuel tank, 4x M8, loft", "seen loft crate 3, unbroken", "by ines", "off RH f..t", "tight x, 1 Nm", "İn İSTORE, İ", "off ,;,", "day 03/04/26", "drain a, 6 l", "move ?, loft", "out x, due [..]", "off a.(b", "at İ loft"} {
		f.Add(line)
	}
	b := bench(f)
	f.Fuzz(func(t *testing.T, line string) {
		s := New(b)
		if _, err := s.Tell(line); err != nil {
			if len(s.Told()) > 0 {
				t.Error("a line that was not taken left something behind")
			}
			return
		}
		s.Complete(line)
		r := s.Result()
		for _, n := range r.New {
			if got := record.KindsAt(record.PathOf(n.ID)); len(got) == 0 {
				t.Errorf("%s is no place for a record", n.ID)
			}
		}
		if again, refused := s.Again(s.Lines()); len(refused) > 0 || len(again.Told()) != len(s.Told()) {
			t.Errorf("the same line is not taken twice: %q", refused)
		}
	})
}

func TestAStoreNamedFirstIsKnownFromThenOn(t *testing.T) {
	s := New(bench(t))
	for _, tc := range []struct{ line, says string }{
		{"at attic shelf 2", "what comes off now goes to stores/tallow-lane/attic (new), shelf 2"},
		{"off lamp", "removal of parts/lamp (new); put in stores/tallow-lane/attic, shelf 2"},
		{"off horn, the attic shelf 3", "removal of parts/horn (new); put in stores/tallow-lane/attic, shelf 3"},
		{"off dynamo, shed crate 1", "removal of parts/dynamo (new); put in stores/tallow-lane/shed (new), crate 1"},
		{"off coil, shed crate 2", "removal of parts/coil (new); put in stores/tallow-lane/shed, crate 2"},
		{"off relay, sheds crate 2", "removal of parts/relay (new); put in stores/tallow-lane/attic, shelf 2; note: sheds crate 2"},
	} {
		told, err := s.Tell(tc.line)
		if err != nil || told.Says != tc.says {
			t.Errorf("%s: %v\ngot  %s\nwant %s", tc.line, err, told.Says, tc.says)
		}
		if tc.line == "off relay, sheds crate 2" && (len(told.Notes) != 1 || told.Notes[0] != "no store is called sheds; did you mean shed? it is kept as a note") {
			t.Errorf("notes: %q", told.Notes)
		}
	}
	if _, err := s.Tell("at atticc"); err == nil || !strings.Contains(err.(*entry.Fault).Hint, "did you mean attic?") {
		t.Errorf("a slip in the name of a store: %v", err)
	}
	var made []string
	for _, n := range s.Result().New {
		if record.FolderOf(n.ID) == "stores" {
			made = append(made, string(n.ID))
		}
	}
	if got := strings.Join(made, " "); got != "stores/tallow-lane/attic stores/tallow-lane/shed" {
		t.Errorf("new stores: %s", got)
	}
	again, refused := s.Again(s.Lines())
	if len(refused) > 0 || len(again.Result().New) != len(s.Result().New) {
		t.Errorf("told again: %v refused, %d new records, not %d", refused, len(again.Result().New), len(s.Result().New))
	}
}
