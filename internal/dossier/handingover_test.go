package dossier_test

import (
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/render"
	"boltback/internal/replay"
)

// handing is a car with a part in store, one that law keeps back, an open concern and one put right.
func handing(t *testing.T) dossier.Handing {
	t.Helper()
	s := load(t, carOf(map[string]string{
		"car.json":                       `{"kind": "car", "name": "The Wren"}`,
		"parts/tank.json":                `{"kind": "part", "name": "Fuel tank", "found": "yes", "tag": "0017"}`,
		"parts/shoes.json":               `{"kind": "part", "name": "Brake shoes", "found": "yes", "tag": "0025", "hazards": ["asbestos"]}`,
		"parts/seat.json":                `{"kind": "part", "name": "Seat", "found": "yes"}`,
		"concerns/sill.json":             `{"kind": "concern", "concern": "The sill is thin", "weight": "major", "state": "open"}`,
		"concerns/wiper.json":            `{"kind": "concern", "concern": "The wiper sticks", "state": "rectified"}`,
		"codes/immo.json":                `{"kind": "code", "sort": "key", "opens": "the boot", "held": [{"sort": "owner", "where": "on the hook"}]}`,
		"work/2026-03-01-odile-out.json": `{"kind": "session", "started": "2026-03-01", "lines": [{"act": "removal", "parts": ["parts/tank", "parts/shoes"], "store": "stores/lane/loft", "place": "crate 3"}]}`,
	}))
	day, err := edtf.ParseDay("2026-07-01")
	if err != nil {
		t.Fatal(err)
	}
	return dossier.Handing{
		Car: "wren", To: "the next keeper", Work: replay.Of(s), Commit: strings.Repeat("ab", 20), Program: "boltback test", Day: day, DueDays: 365,
		Withheld:  []dossier.PrivateValue{{Record: "parts/seat", Pointer: "/value", Digest: "d1"}},
		Originals: []dossier.OriginalFile{{Paper: "papers/title", Digest: "d2", Goes: dossier.StaysBehind}, {Paper: "papers/bay", Digest: "d3", Goes: dossier.GoesAlong}},
		Signed:    true, SomeSigned: true, Keyed: []dossier.KeyedSignOff{{Path: "signoffs/a.json", Signature: "signoffs/a.sig", Signer: "odile@lane.invalid"}},
	}
}

func typedOut(t *testing.T, d *doc.Document) string {
	t.Helper()
	if err := doc.Check(d); err != nil {
		t.Error(err)
	}
	var b strings.Builder
	if err := render.Text(&b, d, render.TextOptions{Width: 400}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// between gives the text from the last place of one heading, which stands in the contents too, to another.
func between(t *testing.T, text, from, to string) string {
	t.Helper()
	i := strings.LastIndex(text, from)
	if i < 0 {
		t.Fatalf("no %q in\n%s", from, text)
	}
	part, _, more := strings.Cut(text[i:], to)
	if !more {
		t.Fatalf("no %q after %q in\n%s", to, from, text)
	}
	return part
}

func TestAPartThatLawKeepsBackIsStruckFromTheReceipt(t *testing.T) {
	text := typedOut(t, dossier.HandoverPaper(handing(t)))
	received := between(t, text, "Parts in store or with somebody", "Struck from the receipt")
	struck := between(t, text, "Struck from the receipt", "Where keys")
	if !strings.Contains(received, "Fuel tank") || strings.Contains(received, "Brake shoes") || strings.Contains(received, "Seat") {
		t.Errorf("the receipt is\n%s", received)
	}
	if !strings.Contains(struck, "Brake shoes") || !strings.Contains(struck, "local law decides") {
		t.Errorf("struck is\n%s", struck)
	}
}

func TestTheHandoverPaperSaysWhatIsOpenAndWhatStaysBehind(t *testing.T) {
	text := typedOut(t, dossier.HandoverPaper(handing(t)))
	open := between(t, text, "Concerns that are open\n─", "What is due")
	if !strings.Contains(open, "sill is thin") || strings.Contains(open, "wiper") {
		t.Errorf("open concerns are\n%s", open)
	}
	behind := between(t, text, "What is not handed over", "Names")
	for _, want := range []string{"/value", "d1", "papers/title", "withheld", "d2"} {
		if !strings.Contains(behind, want) {
			t.Errorf("%q is not in\n%s", want, behind)
		}
	}
	if strings.Contains(behind, "d3") {
		t.Error("what goes along is listed as staying behind")
	}
}

func TestTheReadmeHasAStepForASignatureOnlyWhereThereIsOne(t *testing.T) {
	h := handing(t)
	signed := typedOut(t, dossier.HandoverReadme(h))
	for _, want := range []string{"verify-commit HEAD", "-I odile@lane.invalid -n boltback -s data/car/signoffs/a.sig < data/car/signoffs/a.json"} {
		if !strings.Contains(signed, want) {
			t.Errorf("%q is not in\n%s", want, signed)
		}
	}
	h.Signed, h.SomeSigned, h.Keyed = false, false, nil
	if plain := typedOut(t, dossier.HandoverReadme(h)); strings.Contains(plain, "verify-commit") || !strings.Contains(plain, "The last commit is not signed") {
		t.Errorf("unsigned:\n%s", plain)
	}
}

func TestACarOfWhichNothingIsRecordedCanBeHandedOver(t *testing.T) {
	h := handing(t)
	h.Work, h.Withheld, h.Originals = replay.Of(load(t, carOf(nil))), nil, nil
	text := typedOut(t, dossier.HandoverPaper(h))
	for _, want := range []string{"no part is in a store", "No concern on record is open", "Secrets: keys"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}
