package wording_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/wording"
)

// bracketed is a car on which a shelf was bolted to the holes of a tool tray, between two hole surveys of the boot.
func bracketed() *car {
	c := &car{fstest.MapFS{}}
	head := func(kind record.Kind) record.Head { return record.Head{Kind: kind} }
	c.put("ledger", &record.Ledger{Head: head(record.KindLedger), Edition: "1", Workshop: "tallow-lane"})
	c.put("car", &record.Car{Head: head(record.KindCar), Root: "parts/shell", Baseline: &record.Baseline{Name: "as found", On: "2026-01-01", Parts: []record.BaselinePart{{Part: "parts/tray", Evidence: "seen"}}}})
	c.put("parts/tray", &record.Part{Head: head(record.KindPart), Found: "yes", Zone: "boot"})
	c.put("parts/shelf", &record.Part{Head: head(record.KindPart), Found: "no"})
	c.put("joints/tray", &record.Joint{Head: head(record.KindJoint), Clamps: []record.Ref{"parts/tray"}, Host: "floor", Zone: "boot", Original: "yes"})
	c.put("joints/shelf", &record.Joint{Head: head(record.KindJoint), Clamps: []record.Ref{"parts/shelf"}, Host: "floor", Zone: "boot", Original: "no", PicksUp: "joints/tray"})
	c.put("existing/nuts", &record.Existing{Head: head(record.KindExisting), Zone: "boot", Size: "8 mm", Count: 2, SeenOn: "2026-01-02"})
	for id, on := range map[record.Ref]record.Date{"readings/2026-01-02-ines-holes": "2026-01-02", "readings/2026-03-02-ines-holes": "2026-03-02"} {
		c.put(id, &record.Reading{Head: head(record.KindReading), What: "hole-survey", Zone: "boot", On: on, By: "people/tallow-lane/ines-okafor", Holes: []record.Ref{"existing/nuts"},
			Values: []record.Value{{Of: "existing/nuts", Value: "8 mm"}, {Of: "holes in all", Value: "2"}}})
	}
	c.put("work/2026-02-02-ines-shelf", &record.Session{Head: head(record.KindSession), Started: "2026-02-02", Basis: "seen", Lines: []record.Line{
		{Act: "removal", Parts: []record.Ref{"parts/tray"}, Joints: []record.Ref{"joints/tray"}, Store: "stores/tallow-lane/loft"},
		{Act: "fitting", Parts: []record.Ref{"parts/shelf"}, Joints: []record.Ref{"joints/shelf"}}}})
	return c
}

func TestASentenceAboutDrillingSaysWhatWasLookedAt(t *testing.T) {
	const whole, boot = "nothing-drilled-cut-or-welded ", "no-new-hole boot"
	for name, test := range map[string]struct {
		change      func(*testing.T, *car)
		whole, boot wording.Standing
		why         string // of the whole
	}{
		"zones surveyed before and after, hole by hole": {func(*testing.T, *car) {}, wording.Supported, wording.Supported, "hole by hole with sizes"},
		"a joint to the car in no zone": {func(t *testing.T, c *car) {
			edit(t, c, "joints/shelf", func(j *record.Joint) { j.Zone = "" })
		}, wording.Withheld, wording.Supported, "its zone is not on record"},
		"a fitted part without a joint on record": {func(_ *testing.T, c *car) {
			c.put("parts/box", &record.Part{Head: record.Head{Kind: record.KindPart}, Found: "no"})
			c.work("work/2026-02-03-ines-box", record.Line{Act: "fitting", Parts: []record.Ref{"parts/box"}})
		}, wording.Withheld, wording.Supported, "how it is fastened to the car is not on record"},
		"a hole that was not measured again": {func(t *testing.T, c *car) {
			edit(t, c, "readings/2026-03-02-ines-holes", func(r *record.Reading) { r.Values = nil })
		}, wording.Withheld, wording.Supported, "not measured both times"},
		"a total that grew": {func(t *testing.T, c *car) {
			edit(t, c, "readings/2026-03-02-ines-holes", func(r *record.Reading) {
				r.Values = slices.Clone(r.Values)
				r.Values[1].Value = "3"
			})
		}, wording.Contradicted, wording.Contradicted, "counts more: holes in all: 2, then 3"},
		"an alteration": {func(_ *testing.T, c *car) {
			c.work("work/2026-02-03-ines-hole", record.Line{Act: "alteration", Parts: []record.Ref{"parts/shell"}, Alteration: &record.Hole{Zone: "boot"}})
		}, wording.Contradicted, wording.Contradicted, "an alteration of"},
	} {
		t.Run(name, func(t *testing.T) {
			c := bracketed()
			test.change(t, c)
			list, err := wording.Make(replay.Of(c.load(t)), inspected)
			if err != nil {
				t.Fatal(err)
			}
			p := find(t, list, whole)
			if p.Standing != test.whole || !strings.Contains(p.Why, test.why) || !strings.HasSuffix(p.Text, "looked at these zones and no others: boot.") {
				t.Errorf("the whole: %s, %s: %s", p.Text, p.Standing, p.Why)
			}
			if p := find(t, list, boot); p.Standing != test.boot {
				t.Errorf("the boot: %s: %s", p.Standing, p.Why)
			}
		})
	}
}

func TestEverySentenceOfFactSaysThatItIsByTheRecords(t *testing.T) {
	for _, c := range []*car{sampleCar(t), bracketed()} {
		for _, p := range phrases(t, c) {
			rests := strings.HasPrefix(p.Text, "By the ") || p.Code == "no-new-hole" && (p.Standing != wording.Supported || strings.Contains(p.Text, "by the hole surveys of"))
			if !rests && p.Standing == wording.Supported {
				t.Errorf("%s: %s", p.Code, p.Text)
			}
			if strings.Contains(p.Text, "how it was") {
				t.Errorf("the records do not know how it was: %s", p.Text)
			}
		}
	}
}
