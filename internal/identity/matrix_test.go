package identity

import (
	"reflect"
	"slices"
	"strings"
	"testing"
)

func claim(kind Kind, raw string, source Source, record string) Claim {
	return Claim{Kind: kind, Number: Plain(raw), Source: source, Record: record}
}

func TestMatrixStates(t *testing.T) {
	for _, c := range []struct {
		name   string
		claims []Claim
		want   State
		says   string
	}{
		{"two sources agree", []Claim{claim(Chassis, "*123 45*", FromStamping, "a"), claim(Chassis, "12345", FromTitle, "b")},
			StateAgree, "2 readings from 2 sorts of source agree"},
		{"one reading", []Claim{claim(Chassis, "12345", FromTitle, "a")}, StateSingleSource, "1 reading from one sort of source"},
		{"two readings of one source", []Claim{claim(Chassis, "12345", FromTitle, "a"), claim(Chassis, "12345", FromTitle, "b")},
			StateSingleSource, "nothing else bears it out"},
		{"one source that contradicts itself", []Claim{claim(Chassis, "12345", FromTitle, "a"), claim(Chassis, "98760", FromTitle, "b")},
			StateConflict, "stands until a record settles it"},
		{"a worn plate", []Claim{claim(Chassis, "12?45", FromPlate, "a"), claim(Chassis, "12345", FromTitle, "b")}, StateCompatible, "not made out"},
		{"a suffix left out", []Claim{claim(Chassis, "12345", FromPlate, "a"), claim(Chassis, "12345BW", FromTitle, "b")}, StateIncomplete, "only a part"},
		{"a slip", []Claim{claim(Chassis, "12345", FromPlate, "a"), claim(Chassis, "12354", FromTitle, "b")}, StateNearMiss, "not taken for the same"},
		{"a conflict beside agreement", []Claim{claim(Chassis, "12345", FromPlate, "a"), claim(Chassis, "12345", FromTitle, "b"),
			claim(Chassis, "98760", FromTest, "c")}, StateConflict, "3 readings"},
		{"a pattern that fits two numbers settles nothing between them", []Claim{claim(Chassis, "1?345", FromPlate, "a"),
			claim(Chassis, "12345", FromTitle, "b"), claim(Chassis, "18345", FromTest, "c")}, StateNearMiss, `"8" against "2"`},
		{"a damaged field beside a reading", []Claim{claim(Chassis, "12345", FromTitle, "a"), claim(Chassis, "1.2E+04", FromTest, "b")},
			StateSingleSource, "1 reading is no evidence"},
		{"nothing but damage", []Claim{claim(Chassis, "1.2E+04", FromTest, "a"), claim(Chassis, "", FromTitle, "b")},
			StateNoneRead, "none read; 2 readings are no evidence"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := Matrix(c.claims)
			if len(m) != 1 || m[0].State != c.want || !strings.Contains(m[0].Sentence(), c.says) {
				t.Fatalf("got %s, %q; want %s with %q", m[0].State, m[0].Sentence(), c.want, c.says)
			}
		})
	}
	if m := Matrix(nil); m != nil {
		t.Errorf("no claims make %+v", m)
	}
}

func TestMatrixHoldsEveryPairOnceAndGroupsEqualNumbers(t *testing.T) {
	claims := []Claim{
		claim(Engine, "4711", FromStamping, "e"),
		claim(Chassis, "12345", FromTitle, "c"),
		claim(Chassis, "123-45", FromStamping, "a"),
		claim("axle", "77", FromStamping, "x"),
		claim(Chassis, "9", FromTest, "d"),
		claim(Chassis, "12?45", FromPlate, "b"),
		claim(Chassis, "12,345", FromTest, "r"),
	}
	m := Matrix(claims)
	if len(m) != 3 || m[0].Kind != Chassis || m[1].Kind != Engine || m[2].Kind != "axle" {
		t.Fatalf("kinds %+v", m)
	}
	chassis := m[0]
	if len(chassis.Claims) != 5 || len(chassis.Pairs) != 6 || len(chassis.Refused) != 1 || len(chassis.Classes) != 3 {
		t.Fatalf("got %+v", chassis)
	}
	for _, class := range chassis.Classes {
		if want := map[string]int{"12345": 2, "12?45": 1, "9": 1}[class.Key]; len(class.Claims) != want || class.Pattern != (class.Key == "12?45") {
			t.Errorf("class %+v", class)
		}
	}
	if _, ok := chassis.Pair(0, chassis.Refused[0]); ok {
		t.Error("a refused claim has a pair")
	}
	there, _ := chassis.Pair(0, 1)
	back, _ := chassis.Pair(1, 0)
	if there.Verdict != back.Verdict || there.A != back.B || there.B != back.A {
		t.Errorf("%+v and %+v", there, back)
	}
	slices.Reverse(claims)
	if again := Matrix(claims); !reflect.DeepEqual(m, again) {
		t.Error("the order of the claims shows")
	}
}

func TestAConflictBetweenTwoPartsSaysSo(t *testing.T) {
	old, other := claim(Engine, "4711", FromStamping, "a"), claim(Engine, "99-20", FromStamping, "b")
	old.Part, other.Part = "parts/engine", "parts/other-engine"
	m := Matrix([]Claim{old, other})[0]
	if m.State != StateConflict || len(m.Doubts()) != 1 || !strings.Contains(m.Sentence(), "parts/engine and parts/other-engine") {
		t.Errorf("got %s", m.Sentence())
	}
}

func TestAcrossFindsWhatATitleNumbers(t *testing.T) {
	got := Across([]Claim{claim(Title, "4711", FromTitle, "t"), claim(Engine, "*4711*", FromStamping, "e"),
		claim(Chassis, "88213", FromStamping, "c"), claim(Gearbox, "4711", FromStamping, "g"), claim(Plate, "", FromPlate, "p")})
	if len(got) != 2 || got[0].A.Kind != Title || got[0].B.Kind != Engine || got[1].B.Kind != Gearbox {
		t.Fatalf("got %+v", got)
	}
	if got := Across([]Claim{claim(Engine, "4711", FromStamping, "e"), claim(Gearbox, "4711", FromStamping, "g")}); got != nil {
		t.Errorf("an engine and a gearbox may bear one number: %+v", got)
	}
}

func TestStatementsComeHeaviestFirst(t *testing.T) {
	claims := []Claim{
		{Kind: Title, Number: Plain("4711"), Source: FromTitle, Record: "t"},
		{Kind: Engine, Number: Plain("4711"), Source: FromStamping, Record: "e", OnCar: No, Factory: No},
		{Kind: Chassis, Number: Plain("1А?2"), Source: FromStamping, Record: "c", Legibility: Legible},
		{Kind: Body, Number: Plain("1E+10"), Source: FromPlate, Record: "b"},
		{Kind: Plate, Number: Number{Raw: "12", Base: "1", Addition: "3"}, Record: "p"},
		{Kind: Gearbox, Number: Plain("12-Mar"), Record: "g"},
	}
	got := Statements(claims)
	if !slices.IsSortedFunc(got, func(a, b Statement) int { return int(b.Severity - a.Severity) }) {
		t.Error("not in order of severity")
	}
	for _, code := range []string{"titled-number-off-car", "not-factory-method", "odd-character", "legibility-unlike", "field-damaged", "split-wrong", "field-suspect"} {
		if len(coded(got, code)) != 1 {
			t.Errorf("%s: %d statements", code, len(coded(got, code)))
		}
	}
	slices.Reverse(claims)
	if !reflect.DeepEqual(got, Statements(claims)) {
		t.Error("the order of the claims shows")
	}
}

func TestKindsAreNamedForASentence(t *testing.T) {
	for kind, want := range map[Kind]string{Chassis: "chassis number", Registration: "registration mark",
		ArchivePaper: "number in the archive paper", "": "number of no stated kind"} {
		if got := kind.Label(); got != want {
			t.Errorf("%q: %q", kind, got)
		}
	}
}

func TestSeverityNames(t *testing.T) {
	if Note.String() != "note" || Caution.String() != "caution" || High.String() != "high" {
		t.Error("severities are called by other names")
	}
}

func TestRegisterCornerCases(t *testing.T) {
	car := claim(Chassis, "10432", FromStamping, "c")
	full := Description{Make: "Harrow", Type: "car", Year: "1964"}
	trailer := Description{Make: "Tollard", Type: "trailer", Year: "1988"}
	for _, c := range []struct {
		name   string
		number string
		is     Description
		want   RegisterOutcome
	}{
		{"a slip away on another vehicle", "10423", trailer, RegisterNone},
		{"a slip away on the like vehicle", "10423", full, RegisterOpen},
		{"not made out in full on the like vehicle", "10?32", full, RegisterOpen},
		{"not made out in full on another vehicle", "10?32", trailer, RegisterCollision},
		{"an uncertain year", "10432", Description{Make: "Harrow", Type: "car", Year: "1964?"}, RegisterOpen},
		{"one field differs", "10432", Description{Make: "Harrow", Type: "car", Year: "1965"}, RegisterCollision},
		{"no number in the entry", "", trailer, RegisterOpen},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got, s := Stolen(car, full, RegisterEntry{Number: c.number, Description: c.is}); got != c.want {
				t.Errorf("got %s: %s", got, s.Sentence)
			}
		})
	}
}
