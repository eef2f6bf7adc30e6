package reversal_test

import (
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

func TestA10AndB3WhatIsKeptFallsAsPartsAreUnseenSoldOrLost(t *testing.T) {
	keptOf := func(b *bench) map[record.Ref]reversal.Kept {
		list, err := reversal.KeptParts(replay.Of(b.load()), reversal.Options{On: inspected})
		if err != nil {
			t.Fatal(err)
		}
		kept := map[record.Ref]reversal.Kept{}
		for _, k := range list {
			kept[k.Part.Ref] = k
		}
		return kept
	}
	b := sampleCar(t)
	k := keptOf(b)["parts/radiator"]
	if k.Keeping != reversal.Stored || k.Seen.String() != "2026-05-26" || k.Part.Body.Tag != "0109" || len(k.Records) == 0 {
		t.Errorf("tagged, stored and seen: %+v", k)
	}
	b.work("work/2026-06-01-bram-sold", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "out", Parts: []record.Ref{"parts/radiator"}, Gone: "sold"}}})
	b.work("work/2026-06-02-bram-out", record.Session{Started: "2026-06-02", Lines: []record.Line{{Act: "out", Parts: []record.Ref{"parts/dynamo"}, With: "rewinding works"}}})
	kept := keptOf(b)
	if kept["parts/radiator"].Keeping != reversal.NotKept || kept["parts/dynamo"].Keeping != reversal.NotVerified {
		t.Errorf("sold: %+v; out: %+v", kept["parts/radiator"], kept["parts/dynamo"])
	}
}

func TestA12AttachmentsThatUseNoOriginalHoleAreNamed(t *testing.T) {
	b := sampleCar(t)
	b.part("parts/shelf", record.Part{Found: "no"})
	b.joint("joints/shelf", record.Joint{Clamps: []record.Ref{"parts/shelf"}, Host: "boot floor", Zone: "boot floor", Original: "no", Fasteners: []record.Fastener{{What: "bolt", Count: 2}}})
	b.work("work/2026-06-01-bram-shelf", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "fitting", Parts: []record.Ref{"parts/shelf"}, Joints: []record.Ref{"joints/shelf"}}}})
	var open []record.Ref
	for _, a := range statementOf(t, b).Attachments {
		if !a.Explained {
			open = append(open, a.Joint)
		}
	}
	if !slices.Equal(open, []record.Ref{"joints/shelf"}) {
		t.Errorf("without an original hole: %v", open)
	}
}

func TestA14AndB1ADrilledHoleIsNamedAgainstAndHoldsNothingUp(t *testing.T) {
	b := sampleCar(t)
	hole := record.Hole{Zone: "boot floor", Where: "left of the recess", Size: "8 mm", Count: 2, MaterialRemoved: "yes"}
	b.part("parts/shelf", record.Part{Found: "no"})
	b.joint("joints/shelf", record.Joint{Clamps: []record.Ref{"parts/shelf"}, Host: "boot floor", Zone: "boot floor", Original: "no", Fasteners: []record.Fastener{{What: "bolt", Count: 2, SingleUse: "no"}}})
	b.work("work/2026-06-01-bram-shelf", record.Session{Started: "2026-06-01", Lines: []record.Line{
		{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"}, Joints: []record.Ref{"joints/shelf"}, Alteration: &hole},
		{Act: "fitting", Parts: []record.Ref{"parts/shelf"}, Joints: []record.Ref{"joints/shelf"}}}})
	s := statementOf(t, b)
	r := wantReason(t, s, "alteration", "parts/bodyshell", reversal.Traces)
	if !strings.Contains(r.Text, "8 mm") || !strings.Contains(r.Text, "left of the recess") {
		t.Errorf("%s", r.Text)
	}
	if slices.Contains(s.For, "joints/shelf") {
		t.Error("the joint in drilled holes is named for the statement")
	}
}

func TestA27AndB5TheWorkOrderHasTimePlacesFastenersAndWhatNeverComesBack(t *testing.T) {
	b := sampleCar(t)
	b.work("work/2026-06-01-bram-lost", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "out", Parts: []record.Ref{"parts/radiator"}, Gone: "lost"}}})
	s := statementOf(t, b)
	if s.Minutes == 0 || !slices.Contains(different(s), "missing parts/radiator") {
		t.Errorf("%d minutes, different: %v", s.Minutes, different(s))
	}
	wantReason(t, s, "single-use", "joints/exhaust-flange", reversal.Consumables)
	for _, step := range s.Steps {
		if step.Kind == reversal.PutBack && slices.Contains(step.Line.Parts, "parts/dynamo") {
			if step.Parts[0].Where != "in store, Loft crate 1" || step.Joints[0].Bag != "0214" || step.Minutes == 0 {
				t.Errorf("%+v", step)
			}
		}
	}
}

func TestB2NothingIsSaidToBeReversible(t *testing.T) {
	s := statementOf(t, sampleCar(t))
	text := strings.Join(s.Header, " ")
	for _, l := range s.Lines {
		text += l.Text
	}
	if strings.Contains(strings.ToLower(text), "reversible") || !strings.Contains(text, "The car was not examined") || !strings.Contains(text, "work that nobody wrote down") {
		t.Error(text)
	}
}

func TestB4ANumberedPartThatVanishedIsNotMadeGoodByAnother(t *testing.T) {
	b := sampleCar(t)
	b.work("work/2026-06-01-bram-gone", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "out", Parts: []record.Ref{"parts/engine"}, Gone: "stolen"}}})
	r := wantReason(t, statementOf(t, b), "numbered-part-gone", "parts/engine", reversal.NotFully)
	if !slices.Contains(r.Records, "work/2026-06-01-bram-gone") {
		t.Errorf("%v", r.Records)
	}
}

func TestA9AReplacementIsCountedApartFromTheOriginalInItsAssembly(t *testing.T) {
	b := sampleCar(t)
	absent := func() int64 {
		o, err := reversal.OriginalityOf(replay.Of(b.load()), reversal.Options{On: inspected}, nil)
		if err != nil {
			t.Fatal(err)
		}
		var n int64
		for _, share := range o.ByAssembly {
			n += share.Absent.Count
		}
		return n
	}
	before := absent()
	b.part("parts/water-pump-new", record.Part{Found: "no", Origin: "new"})
	b.work("work/2026-06-01-bram-rebuilt", record.Session{Started: "2026-06-01", Lines: []record.Line{
		{Act: "out", Parts: []record.Ref{"parts/cylinder-head"}, Gone: "scrapped", Note: "Rebuilt with new parts, unasked."},
		{Act: "in", Parts: []record.Ref{"parts/water-pump-new"}, Store: "stores/tallow-lane/loft"}}})
	if after := absent(); after != before+1 {
		t.Errorf("%d parts found on the car are no longer there, and it were %d", after, before)
	}
}
