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

// lacks lists what is lacking on a day as short lines, of the sorts asked about.
func lacks(b *bench, day string, sorts ...replay.LackSort) []string {
	on, _ := edtf.ParseDay(day)
	var list []string
	for _, l := range replay.Lacking(replay.Of(b.load()), on) {
		if slices.Contains(sorts, l.Sort) {
			list = append(list, strings.TrimSpace(fmt.Sprintf("%s %s %s", l.Sort, l.Thing, l.What)))
		}
	}
	return list
}

// dueOf lists what is due on a day, of one sort.
func dueOf(b *bench, day string, sort replay.DueSort) []string {
	on, _ := edtf.ParseDay(day)
	list := told(replay.DueBy(replay.Of(b.load()), on, replay.Horizon{SightingMonths: 24}))
	return slices.DeleteFunc(list, func(line string) bool { return !strings.HasPrefix(line, string(sort)+" ") })
}

func (b *bench) reading(id record.Ref, r record.Reading) {
	r.Kind = record.KindReading
	b.put(id, &r)
}

func (b *bench) paper(id record.Ref, p record.Paper) {
	p.Kind = record.KindPaper
	b.put(id, &p)
}

func TestA6WhatIsToBeReadBeforeStripDownIsDueUntilItBeginsAndLackingFromThenOn(t *testing.T) {
	b := newBench("parts/shell", record.BaselinePart{Part: "parts/engine"})
	for _, what := range []string{"weighing", "ride-height", "alignment", "brake-test", "hole-survey"} {
		b.reading(record.Ref("readings/2026-01-06-ines-"+what), record.Reading{What: what, On: "2026-01-06"})
	}
	if got := dueOf(b, "2026-01-04", replay.ReadAsFound); len(got) > 0 {
		t.Errorf("before the car is here: %v", got)
	}
	if got := dueOf(b, "2026-01-07", replay.ReadAsFound); len(got) != 2 {
		t.Errorf("compression and distance are still to be read: %v", got)
	}
	b.work("work/2026-01-10-ines-strip", record.Session{Lines: []record.Line{{Act: "removal", Parts: refs("engine")}}})
	b.reading("readings/2026-01-12-ines-compression", record.Reading{What: "compression", On: "2026-01-12"})
	if got := dueOf(b, "2026-01-13", replay.ReadAsFound); len(got) > 0 {
		t.Errorf("it can no longer be had: %v", got)
	}
	want := []string{"as found car compression", "as found car distance"}
	if got := lacks(b, "2026-01-13", replay.LackAsFound); !slices.Equal(got, want) {
		t.Errorf("read too late, or never: %v", got)
	}
}

func TestA7ATankOffTheCarIsDueUntilItIsReadGasFree(t *testing.T) {
	b := newBench("parts/shell", record.BaselinePart{Part: "parts/tank"})
	b.part("parts/tank", record.Part{Found: "yes", Role: "fuel tank", Hazards: []string{"fuel"}})
	if got := dueOf(b, "2026-01-09", replay.NotGasFree); len(got) > 0 {
		t.Errorf("it is on the car: %v", got)
	}
	b.work("work/2026-01-10-ines-tank", record.Session{Started: "2026-01-10", Lines: []record.Line{stored(line("removal", "tank"), "loft", "")}})
	gasFree := func(on record.Date, result string) {
		b.reading("readings/2026-01-01-ines-gas", record.Reading{What: "gas-free", On: on, Result: result, Parts: refs("tank")})
	}
	for _, test := range []struct {
		on     record.Date
		result string
		open   bool
	}{{"", "", true}, {"2026-01-09", "passed", true}, {"2026-01-12", "failed", true}, {"2026-01-20", "passed", true}, {"2026-01-12", "passed", false}} {
		gasFree(test.on, test.result)
		if got := dueOf(b, "2026-01-15", replay.NotGasFree); (len(got) > 0) != test.open || test.open && got[0] != "gas-free parts/tank 2026-01-10 overdue" {
			t.Errorf("read on %q, %s: %v", test.on, test.result, got)
		}
	}
}

func TestA8EveryPartTakenOffHasAPhotoFromBeforeAndItsOtherSide(t *testing.T) {
	b := newBench("parts/shell")
	for name, called := range map[string]string{"lamp-left": "Headlamp, left", "lamp-right": "Headlamp, right", "horn-left": "Horn, left", "coil": "Coil"} {
		b.part(record.Ref("parts/"+name), record.Part{Head: record.Head{Name: called}, Found: "yes"})
	}
	b.part("parts/clips", record.Part{Found: "yes", Class: "expendable"})
	b.work("work/2026-01-10-ines-strip", record.Session{Started: "2026-01-10T08:00:00", Ended: "2026-01-10T12:00:00",
		Lines: []record.Line{line("removal", "lamp-left", "lamp-right", "horn-left", "coil", "clips")}})
	b.paper("papers/before", record.Paper{Class: "photo", Embedded: "2026-01-10T07:30:00", Shows: refs("lamp-left", "lamp-right")})
	b.paper("papers/after", record.Paper{Class: "photo", Embedded: "2026-01-11T07:30:00", Shows: refs("coil")})
	b.paper("papers/undated", record.Paper{Class: "photo", Claimed: "2026-01-01", Shows: refs("horn-left")})
	want := []string{"photo parts/coil", "photo parts/horn-left", "other side parts/horn-left horn, right"}
	if got := lacks(b, "2026-02-01", replay.LackPhoto, replay.LackOtherSide); !slices.Equal(got, want) {
		t.Errorf("got %v\nwant %v", got, want)
	}
}

func TestA9APreservationFallsDueAndIsOverTheDayAfter(t *testing.T) {
	b := newBench("parts/shell")
	b.part("parts/engine", record.Part{Found: "yes"})
	b.work("work/2026-01-10-ines-engine", record.Session{Started: "2026-01-10", Lines: []record.Line{line("removal", "engine"),
		{Act: "preserve", Parts: refs("engine"), Product: "inhibitor oil", Due: "2026-07-10"}}})
	for day, want := range map[string]string{"2026-07-09": "", "2026-07-10": "preservation parts/engine 2026-07-10", "2026-07-11": "preservation parts/engine 2026-07-10 overdue"} {
		if got := strings.Join(dueOf(b, day, replay.Preservation), ""); got != want {
			t.Errorf("on %s: %q", day, got)
		}
	}
}

func TestA11PartsAtSubcontractorsAreOverdueAndARepairNeedsAPhotoFromBeforeItIsClosed(t *testing.T) {
	b := newBench("parts/shell", record.BaselinePart{Part: "parts/bumper"})
	b.work("work/2026-01-10-ines-bumper", record.Session{Started: "2026-01-10", Lines: []record.Line{line("removal", "bumper"),
		{Act: "out", Parts: refs("bumper"), With: "plating works", Due: "2026-02-01"}}})
	if got := dueOf(b, "2026-02-02", replay.PartOut); !slices.Equal(got, []string{"out parts/bumper 2026-02-01 overdue"}) {
		t.Errorf("%v", got)
	}
	sill := record.Line{Act: "repair", Parts: refs("shell"), Purpose: "repair to pattern", Papers: []record.Ref{"papers/sill"}}
	b.work("work/2026-01-12-bram-sill", record.Session{Started: "2026-01-12", Lines: []record.Line{sill}})
	for taken, lacking := range map[record.Date]bool{"2026-01-12T09:00:00": false, "2026-01-20T09:00:00": true, "": true} {
		b.paper("papers/sill", record.Paper{Class: "photo", Embedded: taken})
		if got := lacks(b, "2026-02-01", replay.LackRepairPhoto); (len(got) > 0) != lacking {
			t.Errorf("a photo of %q: %v", taken, got)
		}
	}
	shell, _ := replay.Of(b.load()).Now().Part("parts/shell")
	if len(shell.Marks) != 1 || !shell.Marks[0].Repair {
		t.Errorf("a repair to pattern is no alteration: %+v", shell.Marks)
	}
}

func TestA13PartsThatWereBoughtHaveTheirSerialAndAPaperAndNoneIsMissing(t *testing.T) {
	b := newBench("parts/shell")
	serial := func(raw string) []record.Number { return []record.Number{{What: "serial", Raw: raw}} }
	b.part("parts/motor", record.Part{Found: "no", Role: "motor", Numbers: serial("M 1"), Papers: []record.Ref{"papers/invoice"}})
	b.part("parts/module-1", record.Part{Found: "no", Role: "traction battery", Numbers: serial("4471")})
	b.part("parts/inverter", record.Part{Found: "no", Role: "inverter"})
	b.part("parts/bracket", record.Part{Found: "no"})
	b.paper("papers/invoice", record.Paper{Class: "invoice", Numbers: slices.Concat(serial("4471"), serial("4472"), serial("M 1"))})
	b.paper("papers/modules", record.Paper{Class: "test sheet", Shows: refs("module-1")})
	want := []string{"serial parts/inverter", "provenance parts/inverter", "bought papers/invoice 4472"}
	if got := lacks(b, "2026-02-01", replay.LackSerial, replay.LackProvenance, replay.LackBought); !slices.Equal(got, want) {
		t.Errorf("got %v\nwant %v", got, want)
	}
}
