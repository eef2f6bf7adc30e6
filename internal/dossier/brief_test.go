package dossier_test

import (
	"fmt"
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/signoff"
)

// surveyed is a car with a survey of twelve cells, a rating with its source, and a part fitted.
func surveyed() map[string]string {
	var cells []string
	for i := range 12 {
		cells = append(cells, fmt.Sprintf(`{"of": "cell %d", "value": "3.6%d V"}`, i+1, 50+(i*7)%12))
	}
	return map[string]string{
		"car.json":                   `{"kind": "car", "make": "Corvane", "ratings": [{"of": "power", "value": "42 kW", "basis": "net", "source": "manual, page 3", "note": "as built"}]}`,
		"parts/box.json":             `{"kind": "part", "name": "Battery box", "found": "no", "role": "traction battery"}`,
		"readings/2026-02-01-c.json": `{"kind": "reading", "what": "cell-survey", "on": "2026-02-01", "values": [` + strings.Join(cells, ", ") + `]}`,
		"work/2026-02-01-in.json":    `{"kind": "session", "started": "2026-02-01", "lines": [{"act": "fitting", "parts": ["parts/box"], "purpose": "conversion"}]}`,
		"existing/h1.json":           `{"kind": "existing", "name": "Drain hole", "what": "hole", "zone": "boot floor", "seen-on": "2025-09-10"}`,
	}
}

func forReader(t *testing.T, records map[string]string, reader dossier.Reader) *doc.Document {
	t.Helper()
	in := whole(t, input(load(t, carOf(records))))
	in.Reader = reader
	return dossier.Build(in)
}

func TestABuyerGetsManyFiguresAsTheirSpreadAndTheKeeperEachOfThem(t *testing.T) {
	buyer, keeper := text(t, forReader(t, surveyed(), dossier.Buyer)), text(t, forReader(t, surveyed(), dossier.Keeper))
	wantAll(t, buyer, "12 figures, from 3.650 V to", "(basis net)", "Boot floor: Drain hole, hole, seen 2025-09-10")
	wantNone(t, buyer, "cell 7", "manual, page 3")
	wantAll(t, keeper, "cell 7: 3.656 V", "(basis net; source: manual, page 3; “as built”)")
	wantNone(t, keeper, "figures, from")
}

func TestFiguresThatCannotBePutInOrderAreEachShown(t *testing.T) {
	records := surveyed()
	records["readings/2026-02-01-c.json"] = strings.Replace(records["readings/2026-02-01-c.json"], `"3.650 V"`, `">3.6 V"`, 1)
	wantAll(t, text(t, forReader(t, records, dossier.Buyer)), "cell 1: >3.6 V (a bound)", "cell 12")
}

func TestAWithheldSourceOfAFigureIsStillSaidToBeMissing(t *testing.T) {
	records := surveyed()
	records["car.json"] = `{"kind": "car", "ratings": [{"of": "power", "value": "42 kW", "basis": "net"}]}`
	wantAll(t, text(t, forReader(t, records, dossier.Buyer)), "42 kW (basis net; source: (not stated))")
}

func TestOfManyRecordsAReaderIsToldTheFirstAndHowManyMore(t *testing.T) {
	records := map[string]string{}
	for i := range 9 {
		records[fmt.Sprintf("parts/p%d.json", i)] = fmt.Sprintf(`{"kind": "part", "name": "Part %d", "found": "no"}`, i)
	}
	wantAll(t, text(t, forReader(t, records, dossier.Buyer)), "[parts/p0.json] [parts/p1.json] and 7 more")
	wantAll(t, text(t, forReader(t, records, dossier.Keeper)), "[parts/p7.json] and 1 more")
}

func TestWhatDoesNotStateWhenItWasWrittenDownWasSoByTheDayOfItsCommit(t *testing.T) {
	records := map[string]string{
		"work/2026-02-01-a.json":     `{"kind": "session", "started": "2026-02-01", "lines": []}`,
		"work/2026-02-01-b.json":     `{"kind": "session", "started": "2026-02-01", "entered": "2026-02-01", "lines": []}`,
		"readings/2026-02-01-c.json": `{"kind": "reading", "what": "weighing", "on": "2026-02-01"}`,
		"readings/0000-00-00-d.json": `{"kind": "reading", "what": "weighing"}`,
	}
	in := whole(t, input(load(t, carOf(records))))
	wantAll(t, text(t, dossier.Build(in)), "0 of 4 sessions and readings were written down on a later day than they took place; for 3 a day is not stated and it cannot be said")
	in.Verified = &signoff.Report{Trust: &signoff.Trust{}, CameIn: map[string]edtf.Day{
		"work/2026-02-01-a.json": edtf.NewDay(2026, 2, 4), "work/2026-02-01-b.json": edtf.NewDay(2026, 2, 9), "readings/2026-02-01-c.json": edtf.NewDay(2026, 2, 1), "readings/0000-00-00-d.json": edtf.NewDay(2026, 2, 1),
	}}
	wantAll(t, text(t, dossier.Build(in)), "1 of 4 sessions and readings were written down on a later day than they took place; 3 do not state when, "+
		"and the day of their commit is taken, as its author's clock had it; for 1 a day is not stated and it cannot be said")
}

func TestABuyerIsToldPlaceByPlaceWhatLiesThereAndTheKeeperPartByPart(t *testing.T) {
	records := surveyed()
	records["stores/x/loft/store.json"] = `{"kind": "store", "name": "Loft"}`
	for _, name := range []string{"dynamo", "starter", "horn"} {
		records["parts/"+name+".json"] = fmt.Sprintf(`{"kind": "part", "name": "The %s", "found": "yes"}`, name)
	}
	records["work/2026-01-05-off.json"] = `{"kind": "session", "started": "2026-01-05", "lines": [
		{"act": "removal", "parts": ["parts/dynamo", "parts/starter"], "store": "stores/x/loft", "place": "crate 1"},
		{"act": "removal", "parts": ["parts/horn"], "store": "stores/x/loft", "place": "crate 2"}]}`
	for reader, want := range map[dossier.Reader]int{dossier.Buyer: 2, dossier.Keeper: 3} {
		rows := 0
		_ = doc.Walk(forReader(t, records, reader).Blocks(), func(b doc.Block, _ int) error {
			if table, is := b.(*doc.Table); is && table.ID == "in-store" {
				rows += table.Rows()
			}
			return nil
		})
		if rows != want {
			t.Errorf("%s: %d rows, want %d", reader, rows, want)
		}
	}
	wantAll(t, text(t, forReader(t, records, dossier.Buyer)), "The dynamo", "The starter", "The horn", "crate 1", "crate 2")
}
