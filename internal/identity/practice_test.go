package identity

import (
	"slices"
	"strings"
	"testing"
)

// says fails the test unless a sentence holds every part.
func says(t *testing.T, sentence string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(sentence, p) {
			t.Errorf("%q lacks %q", sentence, p)
		}
	}
}

// coded picks the statements of one code.
func coded(in []Statement, code string) []Statement {
	var out []Statement
	for _, s := range in {
		if s.Code == code {
			out = append(out, s)
		}
	}
	return out
}

// one expects exactly one statement of a code.
func one(t *testing.T, in []Statement, code string) Statement {
	t.Helper()
	found := coded(in, code)
	if len(found) != 1 {
		t.Fatalf("want one %s, got %d in %+v", code, len(found), in)
	}
	return found[0]
}

func TestC01_StarsAndSpacesAreWritingNotNumber(t *testing.T) {
	stamping, title := Plain("*1E 10432 BW*"), Plain("1E10432BW")
	g := Compare(stamping, title)
	if g.Verdict != Agree {
		t.Fatalf("got %s", g.Verdict)
	}
	says(t, g.Sentence(), "same number, different writing", `"*1E 10432 BW*"`, "spaces and stars")
	if g.A.String() != "*1E 10432 BW*" {
		t.Errorf("the raw string became %q", g.A)
	}
	matrix := Matrix([]Claim{
		{Kind: Chassis, Number: stamping, Source: FromStamping, Record: "readings/stamping"},
		{Kind: Chassis, Number: title, Source: FromTitle, Record: "papers/title"},
	})
	if len(matrix) != 1 || matrix[0].State != StateAgree || len(matrix[0].Classes) != 1 {
		t.Errorf("got %+v", matrix)
	}
}

func TestC03_SpreadsheetDamageIsRefusedAndNeverRebuilt(t *testing.T) {
	for _, raw := range []string{"1.0E+10433", "1E+10432", "2.20E+02", "2,20E+02", "1,043,200", "10432.0"} {
		d, refused := Refused(raw)
		if !refused {
			t.Errorf("%q is not refused", raw)
		}
		says(t, d.Sentence, raw, "ask for the original", "nothing is rebuilt")
		if g := Compare(Plain(raw), Plain(raw)); g.Verdict != NotCompared {
			t.Errorf("%q: %s with itself", raw, g.Verdict)
		}
	}
	if _, refused := Refused("1E10432"); refused || !Fragile("1E10432") || !Fragile("22E1") || !Fragile("0034567") {
		t.Error("the numbers as stamped are sound, and fragile in a spreadsheet")
	}
	e := Compare(Plain("22E1"), Plain("220"))
	if e.Verdict == Agree {
		t.Error("220 is not 22E1")
	}
	says(t, e.Sentence(), `would turn "22E1" into "220"`)
	zeros := Compare(Plain("0034567"), Plain("34567"))
	if zeros.Verdict != Incomplete || zeros.Before != "00" {
		t.Errorf("got %s, before %q", zeros.Verdict, zeros.Before)
	}
	says(t, zeros.Sentence(), "drops leading zeros")
	statements := Statements([]Claim{{Kind: Chassis, Number: Plain("220"), Record: "papers/list", FromTable: true}})
	if s := one(t, statements, "field-suspect"); s.Severity != Note {
		t.Errorf("a suspicion weighs %s", s.Severity)
	}
}

func TestC04_UnknownPlacesAreCompatibleAndNeverFilledIn(t *testing.T) {
	worn := Plain("AN?6L/1?482")
	claims := []Claim{
		{Kind: Plate, Number: worn, Record: "readings/plate", Legibility: PartlyLegible},
		{Kind: Chassis, Number: Plain("ANX6L12482"), Record: "papers/a"},
		{Kind: Chassis, Number: Plain("AN56L/17482"), Record: "papers/b"},
		{Kind: Chassis, Number: Plain("AN56L/17483"), Record: "papers/c"},
	}
	got := Candidates(worn, claims)
	if len(got) != 2 || got[0].Record != "papers/a" || got[1].Record != "papers/b" {
		t.Fatalf("candidates %+v", got)
	}
	g := Compare(worn, got[0].Number)
	if g.Verdict != Compatible || len(g.Unknown) != 2 || g.Unknown[0] != 3 || g.Unknown[1] != 7 {
		t.Errorf("got %s, unknown %v", g.Verdict, g.Unknown)
	}
	says(t, g.Sentence(), "is compatible with", "places 3 and 7 are not known and not filled in")
	if same := Compare(worn, worn); same.Verdict != Compatible {
		t.Errorf("two readings of the same worn plate: %s; what was not made out may differ", same.Verdict)
	}
	if key := Key(worn.Raw).String(); key != "AN?6L1?482" {
		t.Errorf("key %q", key)
	}
}

func TestC06_LookAlikesExplainAndAreNotCorrected(t *testing.T) {
	for _, pair := range [][2]string{{"10O32", "10032"}, {"1I432", "11432"}, {"10B32", "10832"}, {"10S32", "10532"}, {"10Z32", "10232"}, {"10G32", "10632"}} {
		g := Compare(Plain(pair[0]), Plain(pair[1]))
		if g.Verdict != NearMiss {
			t.Errorf("%v: %s", pair, g.Verdict)
		}
		says(t, g.Sentence(), "look-alikes", "at place", "not taken for the same")
		if Key(pair[0]).String() != pair[0] {
			t.Errorf("%q was corrected to %q", pair[0], Key(pair[0]))
		}
	}
	if c := VIN("IOQ10432", VINScope{USMarket: true, ModelYear: 1967}); c.Outcome != VINNotApplicable {
		t.Errorf("an old number with I, O and Q: %s", c.Outcome)
	}
}

func TestC07_AnAdditionIsRecordedApartAndTheBaseIsLookedUp(t *testing.T) {
	plate := Number{Raw: "12345 US", Base: "12345", Addition: "US"}
	if plate.SplitFault() != "" || plate.Lookup() != "12345" || plate.String() != "12345 US" {
		t.Errorf("fault %q, lookup %q, shown %q", plate.SplitFault(), plate.Lookup(), plate)
	}
	g := Compare(plate, Plain("12345"))
	if g.Verdict != Incomplete || !g.OnBase {
		t.Errorf("plate and archive: %s, on base %v", g.Verdict, g.OnBase)
	}
	says(t, g.Sentence(), `without the addition "US" of "12345 US", recorded apart`, "the base is the same number")
	unsplit := Compare(Plain("12345 US"), Plain("12345"))
	if unsplit.Verdict != Incomplete || unsplit.OnBase || unsplit.After != "US" {
		t.Errorf("without a split: %s, after %q", unsplit.Verdict, unsplit.After)
	}
	if whole := Compare(plate, Plain("12345US")); whole.Verdict != Agree {
		t.Errorf("the title with the addition: %s", whole.Verdict)
	}
}

func TestC08_DashesKeepTheirPlaceOnPaper(t *testing.T) {
	dashed, title := Plain("113043-12-012345"), Plain("11304312012345")
	if Key(dashed.Raw).String() != Key(title.Raw).String() {
		t.Error("the keys differ")
	}
	g := Compare(dashed, title)
	if g.Verdict != Agree || g.A.String() != "113043-12-012345" {
		t.Errorf("got %s, shown %q", g.Verdict, g.A)
	}
	says(t, g.Sentence(), "differ in dashes alone", `"113043-12-012345"`)
}

func TestC09_ATitleOnTheEngineNumberIsAHighRiskOnceTheEngineIsOut(t *testing.T) {
	title := Claim{Kind: Title, Number: Plain("M 4711 K"), Source: FromTitle, Record: "papers/title"}
	chassis := Claim{Kind: Chassis, Number: Plain("88213"), Source: FromStamping, Record: "readings/chassis", OnCar: Yes}
	engine := func(on Answer) Claim {
		return Claim{Kind: Engine, Number: Plain("*M4711K*"), Source: FromStamping, Record: "readings/engine", Part: "parts/engine", OnCar: on}
	}
	s := one(t, Titled([]Claim{title, chassis, engine(No)}), "titled-number-off-car")
	if s.Severity != High || len(s.Records) != 3 {
		t.Errorf("severity %s, records %v", s.Severity, s.Records)
	}
	says(t, s.Sentence, "no longer rides on it", "engine number", "the engine is off the car")
	says(t, strings.Join(s.Asks, "; "), "correction papers", "before the car is presented")

	if s := one(t, Titled([]Claim{title, chassis, engine(Yes)}), "titled-number-on-unit"); s.Severity != Caution {
		t.Errorf("engine still in: %s", s.Severity)
	}
	if s := one(t, Titled([]Claim{title, chassis, engine(NotKnown)}), "titled-number-on-unit"); s.Severity != High {
		t.Errorf("whereabouts unknown: %s", s.Severity)
	}
	asEngine := title
	asEngine.Kind = Engine
	one(t, Titled([]Claim{asEngine, chassis, engine(No)}), "titled-number-off-car")
	besides := claim(Chassis, "88213", FromTitle, "papers/title")
	if got := Titled([]Claim{asEngine, besides, chassis, engine(No)}); len(got) != 0 {
		t.Errorf("a title that names the engine beside the chassis: %+v", got)
	}
	right := title
	right.Number = Plain("88213")
	if got := Titled([]Claim{right, chassis, engine(No)}); len(got) != 0 {
		t.Errorf("a title on the chassis number: %+v", got)
	}
	wrong := title
	wrong.Number = Plain("88231")
	says(t, one(t, Titled([]Claim{wrong, chassis, engine(No)}), "titled-number-not-found").Sentence, "nearest is the chassis number", "exchanged")
}

func TestC10_AShortNumberInARegisterIsACollisionUntilMakeYearAndTypeAgree(t *testing.T) {
	car := Claim{Kind: Chassis, Number: Plain("10432"), Record: "readings/chassis"}
	is := Description{Make: "Harrow", Type: "car", Year: "1964"}
	trailer := RegisterEntry{Number: "10432", Description: Description{Make: "Tollard", Type: "trailer", Year: "1988"},
		Register: "national register", Record: "papers/enquiry", Clearance: "papers/clearance"}
	outcome, s := Stolen(car, is, trailer)
	if outcome != RegisterCollision || s.Severity != Caution {
		t.Errorf("got %s, %s", outcome, s.Severity)
	}
	says(t, s.Sentence, "a collision and no match", "make, year and type do not agree", "clearance letter is on record (papers/clearance)", "5 places")

	long, entry := car, trailer
	long.Number, entry.Number = Plain("1E10432BW"), "1E10432BW"
	if _, s := Stolen(long, is, entry); strings.Contains(s.Sentence, "many vehicles") {
		t.Errorf("nine places are called short: %s", s.Sentence)
	}
	silent := trailer
	silent.Description, silent.Clearance = Description{}, ""
	outcome, s = Stolen(car, is, silent)
	if outcome != RegisterOpen {
		t.Errorf("without make, year and type: %s", outcome)
	}
	says(t, s.Sentence, "make, year and type not stated on both sides")
	says(t, strings.Join(s.Asks, "; "), "clearance letter")

	same := trailer
	same.Description = Description{Make: "HARROW ", Type: "Car", Year: "1964"}
	if outcome, s = Stolen(car, is, same); outcome != RegisterMatch || s.Severity != High {
		t.Errorf("all agree: %s, %s", outcome, s.Severity)
	}
	other := same
	other.Number = "99999"
	if outcome, _ = Stolen(car, is, other); outcome != RegisterNone {
		t.Errorf("another number: %s", outcome)
	}
}

func TestC11_AnArchiveCertificateIsReadLineByLine(t *testing.T) {
	results := CompareArchive([]ArchiveLine{
		{Item: "engine number", Certificate: "M-4711-K", Car: "*M4711K*", Number: true},
		{Item: "colour", Certificate: "marsh green", Car: "ivory"},
		{Item: "tyres", Certificate: "165-15", Car: "175-15"},
		{Item: "trim", Certificate: "Black  Leather", Car: "black leather"},
		{Item: "built", Certificate: "1964-03-12"},
		{Item: "first keeper's town", Car: "Stennick"},
		{Item: "options"},
	})
	want := []LineOutcome{LineAgree, LineDiffer, LineDiffer, LineAgree, LineNotStated, LineNotStated, LineNotStated}
	for i, r := range results {
		if r.Outcome != want[i] {
			t.Errorf("%s: %s, want %s", r.Line.Item, r.Outcome, want[i])
		}
	}
	says(t, results[1].Sentence, `"marsh green" in the certificate`, `"ivory" on the car`, "a note, no failure")
	says(t, results[4].Sentence, "not stated for the car")
	says(t, results[5].Sentence, "not stated in the certificate")
	numbers := CompareArchive([]ArchiveLine{
		{Item: "engine number", Certificate: "M4711K", Car: "M4711", Number: true},
		{Item: "engine number", Certificate: "4.7E+11", Car: "M4711", Number: true},
	})
	if numbers[0].Outcome != LineDiffer || numbers[1].Outcome != LineNotStated {
		t.Errorf("a part and a damaged number: %s, %s", numbers[0].Outcome, numbers[1].Outcome)
	}
	notes := ArchiveStatements("papers/archive", results)
	if len(notes) != 2 {
		t.Fatalf("got %+v", notes)
	}
	for _, n := range notes {
		if n.Severity != Note {
			t.Errorf("%q weighs %s", n.Sentence, n.Severity)
		}
	}
}

func TestC12_ANumberByAnotherMethodSupportsAndDoesNotProve(t *testing.T) {
	claim := Claim{Kind: Engine, Number: Plain("4711"), Source: FromStamping, Record: "readings/engine", Factory: No}
	s := one(t, Statements([]Claim{claim}), "not-factory-method")
	says(t, s.Sentence, "the number is present", "not put there by the method the factory used", "supports", "does not prove")
	says(t, strings.Join(s.Asks, "; "), "casting number", "casting date")
	for _, answer := range []Answer{Yes, NotKnown} {
		claim.Factory = answer
		if got := coded(Statements([]Claim{claim}), "not-factory-method"); len(got) != 0 {
			t.Errorf("answer %q: %+v", answer, got)
		}
	}
}

func TestC14_ACopyOnTheCarAndTheOriginalAreTwoPlates(t *testing.T) {
	replica := PlateEntry{Number: Plain("10432"), Record: "parts/plate-copy", OnCar: Yes, Original: No}
	original := PlateEntry{Number: Plain("10432"), Record: "parts/plate", OnCar: No, Original: Yes, Where: "in an envelope in the safe",
		PhotoInPlace: "papers/plate-in-place", Reason: "bulkhead repaired", Witness: "people/w"}
	got := Plates([]PlateEntry{replica, original})
	s := one(t, got, "plate-copy-on-car")
	says(t, s.Sentence, "is a copy", "original is an entry of its own", "ask the authority")
	if s.Severity != Caution {
		t.Errorf("severity %s", s.Severity)
	}
	off := one(t, got, "plate-original-off-car")
	says(t, off.Sentence, "in an envelope in the safe", "restricted or forbidden")
	if len(off.Asks) != 0 || len(got) != 2 {
		t.Errorf("nothing is missing, got %v in %+v", off.Asks, got)
	}
	bare := original
	bare.Where, bare.PhotoInPlace, bare.Reason, bare.Witness = "", "", "", ""
	if off = one(t, Plates([]PlateEntry{replica, bare}), "plate-original-off-car"); len(off.Asks) != 4 || off.Severity != High {
		t.Errorf("asks %v, severity %s", off.Asks, off.Severity)
	}
	if s := one(t, Plates([]PlateEntry{replica}), "plate-copy-alone"); s.Severity != High {
		t.Errorf("copy alone: %s", s.Severity)
	}
	bare.OnCar = NotKnown
	says(t, one(t, Plates([]PlateEntry{bare}), "plate-original-off-car").Sentence, "is on the car is not recorded")
	engraved := replica
	engraved.Number = Plain("10423")
	says(t, one(t, Plates([]PlateEntry{engraved, original}), "plate-copy-differs").Sentence, "exchanged")
	original.OnCar = Yes
	one(t, Plates([]PlateEntry{replica, original}), "plates-several-on-car")
	if got := Plates([]PlateEntry{original}); len(got) != 0 {
		t.Errorf("the factory's plate where it belongs: %+v", got)
	}
	one(t, Plates([]PlateEntry{{Number: Plain("10432"), OnCar: Yes}}), "plate-origin-unknown")
}

func TestC44_APaperForAMarkWithExchangedDigitsIsNotThisCars(t *testing.T) {
	car := Claim{Kind: Registration, Number: Plain("KLB 471F"), Record: "car"}
	test := Paper{Number: Plain("KLB 417F"), Kind: Registration, Name: "test certificate", Record: "papers/test"}
	accepted, s := test.MadeOutFor(car)
	if accepted || s.Code != "paper-near-miss" || s.Severity != Caution {
		t.Errorf("accepted %v, %s, %s", accepted, s.Code, s.Severity)
	}
	says(t, s.Sentence, "test certificate", `from place 5 on "17" against "71", two characters exchanged`, "not accepted as this car's paper")
	nameless := test
	nameless.Name = ""
	if _, s := nameless.MadeOutFor(car); !strings.HasPrefix(s.Sentence, "paper, registration mark: ") {
		t.Errorf("a paper without a name: %s", s.Sentence)
	}
	for _, c := range []struct {
		name, mark, code string
		accepted         bool
	}{
		{"the car's own mark in another writing", "klb471f", "paper-accepted", true},
		{"another mark", "OPX 902", "paper-of-another-car", false},
		{"a mark not made out in full", "KLB 4?1F", "paper-not-settled", false},
		{"a part of the mark", "KLB 471", "paper-not-settled", false},
		{"no mark", "", "paper-not-settled", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			test.Number = Plain(c.mark)
			if accepted, s := test.MadeOutFor(car); accepted != c.accepted || s.Code != c.code {
				t.Errorf("accepted %v, %s", accepted, s.Code)
			}
		})
	}
}

func TestC73_TwoDealersWithTwoAnswersKeepBothAndNoMajorityDecides(t *testing.T) {
	answer := func(number, record string) Claim {
		return Claim{Kind: "other", Number: Plain(number), Source: "letter", Record: record}
	}
	m := Matrix([]Claim{answer("SP 4411", "papers/dealer-one"), answer("SP 4411", "papers/dealer-two"), answer("SP 6090", "papers/dealer-three")})
	if len(m) != 1 || m[0].State != StateConflict || len(m[0].Claims) != 3 || len(m[0].Classes) != 2 {
		t.Fatalf("got %+v", m)
	}
	for i, record := range []string{"papers/dealer-one", "papers/dealer-three", "papers/dealer-two"} {
		if !slices.ContainsFunc(m[0].Claims, func(c Claim) bool { return c.Record == record }) {
			t.Errorf("answer %d of %s is gone", i, record)
		}
	}
	says(t, m[0].Sentence(), "SP 4411", "SP 6090")
	if strings.Contains(m[0].Sentence(), "majority") || strings.Contains(m[0].Sentence(), "probably") {
		t.Errorf("a majority is taken for more than a hint: %s", m[0].Sentence())
	}
}
