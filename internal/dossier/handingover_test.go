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
		"parts/engine.json":              `{"kind": "part", "name": "Engine", "found": "yes", "may-go-back": "no by law"}`,
		"parts/seat.json":                `{"kind": "part", "name": "Seat", "found": "yes"}`,
		"concerns/sill.json":             `{"kind": "concern", "concern": "The sill is thin", "weight": "major", "state": "open"}`,
		"concerns/wiper.json":            `{"kind": "concern", "concern": "The wiper sticks", "state": "rectified"}`,
		"codes/immo.json":                `{"kind": "code", "sort": "key", "opens": "the boot", "held": [{"sort": "owner", "where": "on the hook"}]}`,
		"work/2026-03-01-odile-out.json": `{"kind": "session", "started": "2026-03-01", "lines": [{"act": "removal", "parts": ["parts/tank", "parts/shoes", "parts/engine"], "store": "stores/lane/loft", "place": "crate 3"}]}`,
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

func TestAPartThatMayHoldAsbestosIsOffTheReceiptByTheLawOfWhereItGoes(t *testing.T) {
	for _, c := range []struct {
		name           string
		barred, silent []string
		table, why     string
	}{
		{"one that bars it", []string{"Set one. It may not be supplied. So a page of 2023, clause 4 (read)."}, nil, "Struck from the receipt", "So a page of 2023, clause 4 (read)."},
		{"one that says nothing", nil, []string{"Set two"}, "Not to be handed over before the law was asked", "Set two says nothing of such parts here, which allows nothing"},
		{"one of each", []string{"Set one. It may not be supplied."}, []string{"Set two"}, "Struck from the receipt", "Set two says nothing"},
		{"none", nil, nil, "Not to be handed over before the law was asked", "Nobody said where the car goes"},
	} {
		h := handing(t)
		h.Barred, h.Silent = c.barred, c.silent
		text := typedOut(t, dossier.HandoverPaper(h))
		received, aside := between(t, text, "Parts in store or with somebody", c.table), between(t, text, c.table, "Where keys")
		if !strings.Contains(received, "Fuel tank") || !strings.Contains(received, "Engine") || strings.Contains(received, "Brake shoes") || strings.Contains(received, "Seat") {
			t.Errorf("%s: the receipt is\n%s", c.name, received)
		}
		for _, want := range append(c.barred, "0025", "Brake shoes", "may hold asbestos", c.why, "local law decides") {
			if !strings.Contains(aside, want) {
				t.Errorf("%s: %q is not in\n%s", c.name, want, aside)
			}
		}
		if got := h.MayHoldAsbestos(); len(got) != 1 || got[0] != "parts/shoes" {
			t.Errorf("%s: kept off the receipt are %v", c.name, got)
		}
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
	for _, want := range []string{"no part that may change hands without more ado is in a store", "No concern on record is open", "Secrets: keys"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

func TestWhatIsInsideAPartGoesWithItAndHoldsItBack(t *testing.T) {
	h := handing(t)
	h.Work = replay.Of(load(t, carOf(map[string]string{
		"parts/axle.json":   `{"kind": "part", "name": "Axle", "found": "yes", "class": "assembly", "contains": ["parts/drum"]}`,
		"parts/drum.json":   `{"kind": "part", "name": "Drum", "found": "yes", "class": "assembly", "contains": ["parts/shoes"]}`,
		"parts/shoes.json":  `{"kind": "part", "name": "Brake shoes", "found": "yes", "hazards": ["asbestos"]}`,
		"parts/engine.json": `{"kind": "part", "name": "Engine", "found": "yes", "class": "assembly", "contains": ["parts/head"]}`,
		"parts/head.json":   `{"kind": "part", "name": "Head", "found": "yes"}`,
		"work/2026-03-01-odile-out.json": `{"kind": "session", "started": "2026-03-01", "lines": [
			{"act": "removal", "parts": ["parts/axle", "parts/engine"], "store": "stores/lane/loft", "place": "crate 3"}]}`,
	})))
	text := typedOut(t, dossier.HandoverPaper(h))
	received := between(t, text, "Parts in store or with somebody", "Not to be handed over")
	if !strings.Contains(received, "Engine") || !strings.Contains(received, "in it: Head") || strings.Contains(received, "Axle") {
		t.Errorf("the receipt is\n%s", received)
	}
	if got := h.MayHoldAsbestos(); len(got) != 1 || got[0] != "parts/axle" {
		t.Errorf("kept off are %v", got)
	}
}
