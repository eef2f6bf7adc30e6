package replay_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"boltback/internal/edtf"
	"boltback/internal/record"
	"boltback/internal/replay"
)

const loft = record.Ref("stores/tallow-lane/loft")

// dueCar has one thing of each sort that can be due.
func dueCar() *bench {
	b := newBench("parts/shell")
	for _, name := range []string{"engine", "tank", "horn", "lamp", "bumper"} {
		b.part(record.Ref("parts/"+name), record.Part{Found: "yes"})
	}
	b.put("concerns/leak", &record.Concern{Head: record.Head{Kind: record.KindConcern}, RaisedOn: "2026-01-20", Weight: "major", State: "open"})
	b.put("concerns/rattle", &record.Concern{Head: record.Head{Kind: record.KindConcern}, RaisedOn: "2026-01-20", State: "rectified"})
	b.put("instruments/w/wrench/c1", &record.Calibration{Head: record.Head{Kind: record.KindCalibration}, On: "2025-03-10", Due: "2026-03-10"})
	b.put("instruments/w/wrench/c2", &record.Calibration{Head: record.Head{Kind: record.KindCalibration}, On: "2026-03-09", Due: "2027-03-09"})
	b.put("people/w/otto/licence", &record.Licence{Head: record.Head{Kind: record.KindLicence}, Scope: []string{"structure"}, Until: "2026-04-30"})
	b.work("work/2026-01-10-ines-strip", record.Session{Started: "2026-01-10", Lines: []record.Line{
		{Act: "removal", Parts: refs("engine", "tank", "horn", "lamp", "bumper"), Store: loft, Place: "crate 1"},
		{Act: "preserve", Parts: refs("engine"), Product: "inhibitor oil", Due: "2026-07"},
		{Act: "out", Parts: refs("bumper"), With: "plating works", Due: "2026-03-15"},
	}})
	b.work("work/2026-02-10-maud-count", record.Session{Started: "2026-02-10", Lines: []record.Line{
		{Act: "sighting", Parts: refs("engine", "tank", "lamp"), Store: loft, Place: "crate 1", Counted: "everything there"}}})
	return b
}

// told lists what is due as short lines.
func told(list []replay.Due) []string {
	var out []string
	for _, d := range list {
		late := ""
		if d.Overdue {
			late = " overdue"
		}
		out = append(out, fmt.Sprintf("%s %s %s%s", d.Sort, d.Thing, d.On, late))
	}
	return out
}

func TestWhatIsDueFollowsTheDay(t *testing.T) {
	w := replay.Of(dueCar().load())
	for _, tc := range []struct {
		day  string
		days int
		want string
	}{
		{"2026-01-15", 0, ""},
		{"2026-01-31", 0, "concern concerns/leak "},
		{"2026-02-10", 0, "concern concerns/leak |not seen parts/horn 2026-02-10 overdue"},
		{"2026-03-10", 10, "concern concerns/leak |out parts/bumper 2026-03-15|not seen parts/horn 2026-02-10 overdue"},
		{"2026-03-16", 0, "concern concerns/leak |out parts/bumper 2026-03-15 overdue|not seen parts/horn 2026-02-10 overdue"},
		{"2026-04-30", 0, "concern concerns/leak |out parts/bumper 2026-03-15 overdue|not seen parts/horn 2026-02-10 overdue|licence people/w/otto 2026-04-30"},
		{"2026-07-31", 0, "concern concerns/leak |out parts/bumper 2026-03-15 overdue|not seen parts/horn 2026-02-10 overdue|preservation parts/engine 2026-07-31|licence people/w/otto 2026-04-30 overdue"},
		{"2026-08-01", 0, "concern concerns/leak |out parts/bumper 2026-03-15 overdue|not seen parts/horn 2026-02-10 overdue|preservation parts/engine 2026-07-31 overdue|licence people/w/otto 2026-04-30 overdue"},
	} {
		t.Run(tc.day, func(t *testing.T) {
			day, err := edtf.ParseDay(tc.day)
			if err != nil {
				t.Fatal(err)
			}
			got := strings.Join(told(replay.DueBy(w, day, replay.Horizon{Days: tc.days, SightingMonths: 24})), "|")
			if got != tc.want {
				t.Errorf("got  %s\nwant %s", got, tc.want)
			}
		})
	}
	later := told(replay.DueBy(w, edtf.NewDay(2028, 2, 11), replay.Horizon{SightingMonths: 24}))
	if !slices.Contains(later, "not seen parts/lamp 2028-02-10 overdue") || !slices.Contains(later, "calibration instruments/w/wrench 2027-03-09 overdue") {
		t.Errorf("two years on: %v", later)
	}
}

func TestAnOlderCalibrationCountsOnADayBeforeTheNewerOne(t *testing.T) {
	got := told(replay.DueBy(replay.Of(dueCar().load()), edtf.NewDay(2026, 3, 8), replay.Horizon{Days: 3, SightingMonths: 24}))
	if !slices.Contains(got, "calibration instruments/w/wrench 2026-03-10") {
		t.Errorf("%v", got)
	}
}

func TestARenewedOrEndedLicenceIsNotDue(t *testing.T) {
	b := dueCar()
	b.put("people/w/otto/licence-2", &record.Licence{Head: record.Head{Kind: record.KindLicence}, Scope: []string{"structure"}, Until: "2028-04-30"})
	for _, line := range told(replay.DueBy(replay.Of(b.load()), edtf.NewDay(2026, 5, 2), replay.Horizon{SightingMonths: 24})) {
		if strings.HasPrefix(line, "licence") {
			t.Error(line)
		}
	}
}

func TestAStockTakeSaysWhatWasSeenMissedAndNotExpected(t *testing.T) {
	b := dueCar()
	b.work("work/2026-02-12-maud-again", record.Session{Started: "2026-02-12", Lines: []record.Line{
		{Act: "sighting", Parts: refs("horn", "engine"), Store: loft, Place: "crate 2", Counted: "everything there"}}})
	w := replay.Of(b.load())
	takes := replay.StockTakes(w, edtf.Day{})
	if len(takes) != 2 {
		t.Fatalf("%+v", takes)
	}
	if first := takes[0]; !slices.Equal(first.Seen, refs("engine", "lamp", "tank")) || !slices.Equal(first.Missed, refs("horn")) || len(first.Strange) != 0 {
		t.Errorf("%+v", first)
	}
	second := takes[1]
	if len(second.Seen)+len(second.Missed) != 0 || len(second.Strange) != 2 || second.Strange[1].Part != "parts/horn" || second.Strange[1].Was.Shelf != "crate 1" {
		t.Errorf("%+v", second)
	}
	if on := replay.StockTakes(w, edtf.NewDay(2026, 2, 11)); len(on) != 1 {
		t.Errorf("the day before the second one: %+v", on)
	}
	shelves := replay.Shelves(w, edtf.NewDay(2026, 3, 1))
	if len(shelves) != 2 || !slices.Equal(shelves[0].Holds, refs("lamp", "tank")) || shelves[0].Last.Step != takes[0].Step || shelves[1].Place != "crate 2" {
		t.Errorf("%+v", shelves)
	}
}

func TestAStockTakeThatSawNothingMissesEverythingThere(t *testing.T) {
	b := dueCar()
	b.work("work/2026-02-12-maud-empty", record.Session{Started: "2026-02-12", Lines: []record.Line{
		{Act: "sighting", Store: loft, Place: "crate 1", Counted: "everything there"}}})
	w := replay.Of(b.load())
	takes := replay.StockTakes(w, edtf.Day{})
	last := takes[len(takes)-1]
	if !last.Nothing() || len(last.Seen)+len(last.Strange) != 0 || !slices.Contains(last.Missed, "parts/tank") || takes[0].Nothing() {
		t.Errorf("%+v", takes)
	}
	if by := w.On(edtf.NewDay(2026, 3, 1)).MissedBy("parts/tank"); by != last.Step {
		t.Errorf("the tank was missed by %v, not by %v", by, last.Step)
	}
}

func TestASealedCrateIsSeenThroughItsSealAndNothingInItIsMissed(t *testing.T) {
	b := newBench("parts/shell")
	b.part("parts/tank", record.Part{Found: "yes"})
	b.work("work/2026-01-10-ines-tank", record.Session{Started: "2026-01-10", Lines: []record.Line{
		{Act: "removal", Parts: refs("tank"), Store: loft, Place: "crate 3"},
		{Act: "sighting", Parts: refs("tank"), Store: loft, Place: "crate 3", Seal: "sealed"}}})
	b.work("work/2026-02-10-maud-count", record.Session{Started: "2026-02-10", Lines: []record.Line{
		{Act: "sighting", Store: loft, Place: "crate 3", Counted: "everything there", Seal: "unbroken"}}})
	shelves := replay.Shelves(replay.Of(b.load()), edtf.NewDay(2026, 3, 1))
	if len(shelves) != 1 || shelves[0].Sealed == replay.NoStep || shelves[0].Last == nil || !shelves[0].Last.Sealed ||
		!slices.Equal(shelves[0].Last.Seen, refs("tank")) || len(shelves[0].Last.Missed) != 0 {
		t.Errorf("%+v", shelves)
	}
}
