package entry

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

func car(t testing.TB) *ledger.Snapshot {
	t.Helper()
	s, err := ledger.Load(fstest.MapFS{
		"ledger.json":                        {Data: []byte(`{"kind": "ledger", "edition": "1"}`)},
		"parts/fuel-tank.json":               {Data: []byte(`{"kind": "part"}`)},
		"parts/strap.json":                   {Data: []byte(`{"kind": "part"}`)},
		"joints/strap.json":                  {Data: []byte(`{"kind": "joint"}`)},
		"people/quayside/odile/person.json":  {Data: []byte(`{"kind": "person"}`)},
		"people/riverside/odile/person.json": {Data: []byte(`{"kind": "person"}`)},
		"people/quayside/rufus/person.json":  {Data: []byte(`{"kind": "person"}`)},
		"stores/quayside/loft/store.json":    {Data: []byte(`{"kind": "store"}`)},
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestWordsBecomeMembers(t *testing.T) {
	for _, tc := range []struct {
		name, kind, words, want string
		notes                   int
	}{
		{"a plain text", "part", "name=fuel tank", `"name": "fuel tank"`, 0},
		{"one of the schema's words", "part", "found=yes", `"found": "yes"`, 0},
		{"a measure in trade spelling is kept in its own unit", "part", "mass=12.5kgs", `"mass": "12.5 kg"`, 1},
		{"a torque on a line", "session", "lines.0.act=tightening|lines.0.set=35 ft-lb", `"set": "35 lbf.ft"`, 1},
		{"a short name for a record", "session", "lines.0.parts=fuel-tank", `"parts/fuel-tank"`, 0},
		{"a short name among the kinds that belong there", "session", "lines.0.joints=strap", `"joints/strap"`, 0},
		{"a part nobody declared", "session", "lines.0.parts=heater", `"parts/heater"`, 0},
		{"a person by the end of the name", "session", "by=rufus", `"people/quayside/rufus"`, 0},
		{"today", "session", "started=today", `"started": "2026-03-02"`, 0},
		{"yesterday", "session", "started=Yesterday", `"started": "2026-03-01"`, 0},
		{"a list takes one more", "part", "hazards=fuel|hazards=heavy", "\"hazards\": [\n    \"fuel\",\n    \"heavy\"\n  ]", 0},
		{"a whole number", "part", "count=4", `"count": 4`, 0},
		{"an object is made when first named", "joint", "specification.torque=47 Nm", `"torque": "47 N.m"`, 1},
		{"a figure of a reading", "reading", "what=weighing|values.0.of=front axle|values.0.value=412,5 kg", `"value": "412.5 kg"`, 1},
		{"a bound stays a bound", "reading", "what=insulation|values.0.value=>550 MOhm", `"value": ">550 MΩ"`, 1},
		{"a figure nobody took", "reading", "what=weighing|values.0.value=not recorded", `"value": "not recorded"`, 0},
		{"an empty value takes the member away", "part", "tag=0147|tag=", `"kind": "part"`, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c := Context{Snapshot: car(t), DecimalComma: true, Today: edtf.NewDay(2026, 3, 2)}
			body := record.New(record.Kind(tc.kind))
			notes, err := c.Apply(body, strings.Split(tc.words, "|"))
			if err != nil {
				t.Fatal(err)
			}
			text, err := record.Encode(body)
			if err != nil || !strings.Contains(string(text), tc.want) {
				t.Errorf("got\n%s%v, want %s", text, err, tc.want)
			}
			if len(notes) != tc.notes {
				t.Errorf("%d notes: %q", len(notes), notes)
			}
			if strings.Contains(string(text), `"tag"`) {
				t.Error("the tag is still there")
			}
		})
	}
}

func TestWordsThatAreNotTaken(t *testing.T) {
	for _, tc := range []struct{ name, kind, word, message, hint string }{
		{"no value", "part", "tag", "a field is written name=value", "tag=0147"},
		{"no such field", "part", "masss=1 kg", "there is no field masss", "did you mean mass?"},
		{"a field of what is inside", "reading", "of=pack", "there is no field of", "did you mean values.0.of"},
		{"no such field inside", "joint", "specification.torq=1 N.m", "there is no field specification.torq", "specification.torque"},
		{"a word outside the list", "part", "found=yess", `"yess" is not one of the words`, `did you mean "yes"?`},
		{"two readings", "part", "mass=1,234 kg", "can be read in 2 ways", "1.234 kg"},
		{"another dimension", "part", "mass=12 mm", "mass", ""},
		{"milli for mega", "reading", "values.0.value=1.2 mohm", "", ""},
		{"no such day", "ledger", "started=2026-02-30", "nearest is 2026-02-28", "today"},
		{"two people of that name", "session", "by=odile", "could be any of several", "people/quayside/odile, people/riverside/odile"},
		{"nobody of that name", "session", "by=ottilie", "no record is called ottilie", "path without .json"},
		{"a list of objects", "session", "lines=removal", "is a list of objects", "lines.0.act="},
		{"a place beyond the list", "session", "lines.3.act=removal", "the next is 0", ""},
		{"a place that is none", "session", "lines.first.act=removal", "is no place in a list", "lines.0.act"},
		{"an object", "joint", "specification=47 N.m", "is an object", "specification.torque"},
		{"further than there is", "part", "tag.x=1", "tag holds nothing further", ""},
		{"the kind", "part", "kind=joint", "given once", ""},
		{"no whole number", "part", "count=four", "four is not a whole number", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c := Context{Snapshot: car(t), Today: edtf.NewDay(2026, 3, 2)}
			body := record.New(record.Kind(tc.kind))
			if r, ok := body.(*record.Reading); ok {
				r.What = "insulation"
			}
			_, err := c.Apply(body, []string{tc.word})
			var fault *Fault
			if !errors.As(err, &fault) {
				t.Fatalf("got %v", err)
			}
			if !strings.Contains(fault.Error(), tc.message) || !strings.Contains(fault.Hint, tc.hint) || fault.Word != tc.word {
				t.Errorf("got %q, hint %q", fault.Error(), fault.Hint)
			}
		})
	}
}

func TestLacksNamesOnlyWhatARecordCannotDoWithout(t *testing.T) {
	for _, tc := range []struct{ kind, words, want string }{
		{"part", "", ""},
		{"session", "", "by lines"},
		{"session", "by=rufus|lines.0.act=removal", "lines.0.parts"},
		{"session", "by=rufus|lines.0.act=drain|lines.0.system=systems/coolant", ""},
		{"session", "by=rufus|lines.0.act=drain", "lines.0.parts"},
		{"session", "by=rufus|lines.0.act=removal|lines.0.system=systems/coolant", "lines.0.parts"},
		{"session", "withdraws=work/2026-01-01-a-b|reason=twice", ""},
		{"reading", "what=weighing|values.0.of=front", "values.0.value"},
		{"paper", "original.bytes=4", "original.digest"},
	} {
		t.Run(tc.kind+" "+tc.words, func(t *testing.T) {
			body := record.New(record.Kind(tc.kind))
			words := strings.Split(tc.words, "|")
			if tc.words == "" {
				words = nil
			}
			if _, err := (Context{Snapshot: car(t)}).Apply(body, words); err != nil {
				t.Fatal(err)
			}
			if got := strings.Join(Lacks(body), " "); got != tc.want {
				t.Errorf("lacks %q, want %q", got, tc.want)
			}
		})
	}
}

func FuzzApply(f *testing.F) {
	for _, word := range []string{"mass=12 kg", "lines.0.parts=fuel-tank", "numbers.0.raw=*A", "specification.torque=>1 N.m", "values.0.value=1", "a.b.c=", "=", "lines.999999999.act=x"} {
		f.Add(word)
	}
	s := car(f)
	f.Fuzz(func(t *testing.T, word string) {
		for _, kind := range record.Kinds() {
			body := record.New(kind)
			if _, err := (Context{Snapshot: s}).Apply(body, []string{word}); err != nil {
				continue
			}
			Lacks(body)
			if _, err := record.Encode(body); err != nil && strings.ToValidUTF8(word, "") == word {
				t.Errorf("%s with %q cannot be written: %v", kind, word, err)
			}
		}
	})
}

// TestAShortNameStandsForWhomTheAddressBookHolds and the car does not have yet.
func TestAShortNameStandsForWhomTheAddressBookHolds(t *testing.T) {
	c := Context{Book: func() []record.Ref {
		return []record.Ref{"people/quayside/ottilie", "people/quayside/max", "people/northmarsh/max", "stores/quayside/loft"}
	}}
	tests := []struct{ word, want, fault string }{
		{"by=ottilie", "people/quayside/ottilie", ""},
		{"by=northmarsh/max", "people/northmarsh/max", ""},
		{"by=max", "", "could be any of several records"},
		{"by=loft", "", "no record is called loft"},
	}
	for _, tt := range tests {
		session := record.New(record.KindSession).(*record.Session)
		_, err := c.Apply(session, []string{tt.word})
		if string(session.By) != tt.want || (err == nil) != (tt.fault == "") || err != nil && !strings.Contains(err.Error(), tt.fault) {
			t.Errorf("%s gives %q and %v, want %q and %q", tt.word, session.By, err, tt.want, tt.fault)
		}
	}
}
