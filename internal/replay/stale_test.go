package replay_test

import (
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// weighed is a car on which a battery and ballast are or were, with a weighing on 10 March.
func weighed(wheelbase record.Measure) *bench {
	b := newBench("parts/shell", record.BaselinePart{Part: "parts/seat", Position: "cabin"})
	b.put("car", &record.Car{Head: record.Head{Kind: record.KindCar}, Root: "parts/shell", Wheelbase: wheelbase,
		Baseline: &record.Baseline{Name: "as found", On: "2026-01-05", Parts: []record.BaselinePart{{Part: "parts/seat", Position: "cabin"}}}})
	b.part("parts/seat", record.Part{Found: "yes", Mass: "14 kg", Station: "1200 mm"})
	b.part("parts/battery", record.Part{Found: "no", Mass: "51 kg", Station: "300 mm", Facets: []string{"traction circuit"}})
	b.part("parts/ballast", record.Part{Found: "no", Mass: "60 kg", Station: "-200 mm"})
	b.part("parts/bracket", record.Part{Found: "no", Mass: "1.5 kg"})
	b.part("parts/box", record.Part{Found: "no"})
	b.part("parts/caliper", record.Part{Found: "yes", Facets: []string{"brakes"}})
	b.work("work/2026-03-02-ines-battery", record.Session{Started: "2026-03-02", Lines: []record.Line{line("fitting", "battery")}})
	for what, r := range map[string]string{"weighing": "2026-03-10-bram-weighing", "brake-test": "2026-03-10-bram-brakes", "insulation": "2026-03-10-bram-insulation"} {
		b.put(record.Ref("readings/"+r), &record.Reading{Head: record.Head{Kind: record.KindReading}, What: what, On: "2026-03-10"})
	}
	return b
}

// facing finds what became of a facet that a record describes.
func facing(t *testing.T, b *bench, id record.Ref, f replay.Facet) replay.Facing {
	t.Helper()
	for _, d := range replay.Staleness(replay.Of(b.load()), replay.Day{}) {
		if d.Record == id {
			for _, g := range d.Facets {
				if g.Facet == f {
					return g
				}
			}
		}
	}
	t.Fatalf("%s does not describe the %s", id, f)
	return replay.Facing{}
}

func TestWhatLaterWorkMakesOfAWeighing(t *testing.T) {
	const ticket = "readings/2026-03-10-bram-weighing"
	moved := record.Line{Act: "fitting", Parts: refs("battery"), Position: "boot", Station: "2200 mm"}
	for name, c := range map[string]struct {
		lines     []record.Line
		day       string
		mass      replay.Freshness
		axles     replay.Freshness
		kilograms float64 // from axle to axle
	}{
		"C21 a battery moved from front to rear leaves the total good":      {[]record.Line{line("removal", "battery"), moved}, "2026-03-12", replay.StillGood, replay.Stale, 41.9},
		"C22 ballast fitted makes total and axles stale":                    {[]record.Line{line("fitting", "ballast")}, "2026-03-12", replay.Stale, replay.Stale, 60},
		"C22 and taking it off again does not bring the ticket back":        {[]record.Line{line("fitting", "ballast"), line("removal", "ballast")}, "2026-03-12", replay.Stale, replay.Stale, 120},
		"a part off and back at its place changes nothing":                  {[]record.Line{line("removal", "seat"), line("fitting", "seat")}, "2026-03-12", replay.StillGood, replay.StillGood, 0},
		"a small bracket is named and leaves the ticket good":               {[]record.Line{line("fitting", "bracket")}, "2026-03-12", replay.StillGood, replay.StillGood, 1.5},
		"a part of unknown mass leaves it in doubt":                         {[]record.Line{line("fitting", "box")}, "2026-03-12", replay.PerhapsStale, replay.PerhapsStale, 0},
		"work of the same day whose order is not stated leaves it in doubt": {[]record.Line{line("fitting", "ballast")}, "2026-03-10", replay.PerhapsStale, replay.PerhapsStale, 60},
		"work of the days before is in it":                                  {[]record.Line{line("fitting", "ballast")}, "2026-03-09", replay.StillGood, replay.StillGood, 0},
	} {
		t.Run(name, func(t *testing.T) {
			b := weighed("2311 mm")
			b.work(record.Ref("work/"+c.day+"-ines-later"), record.Session{Started: record.Date(c.day), Lines: c.lines})
			mass, axles := facing(t, b, ticket, replay.Mass), facing(t, b, ticket, replay.Distribution)
			if strings.HasPrefix(name, "C21") { // off and on at another place: the total is what it was
				if mass.Fresh == replay.Stale && mass.Kilograms > replay.MassLimit {
					t.Fatalf("the total counts as stale: %s", mass.Text)
				}
			}
			if mass.Fresh != c.mass || axles.Fresh != c.axles {
				t.Errorf("mass %v, axles %v\n%s\n%s", mass.Fresh, axles.Fresh, mass.Text, axles.Text)
			}
			if d := axles.Kilograms - c.kilograms; d > 0.1 || d < -0.1 {
				t.Errorf("%.1f kg from axle to axle, wanted %.1f", axles.Kilograms, c.kilograms)
			}
		})
	}
}

func TestSmallTouchesAddUp(t *testing.T) {
	b := weighed("2311 mm")
	for i, n := range []string{"a", "b", "c", "d", "e", "f", "g", "h"} {
		b.part(record.Ref("parts/clip-"+n), record.Part{Found: "no", Mass: "1.5 kg"})
		b.work(record.Ref("work/2026-03-1"+string(rune('1'+i))+"-ines-clip"), record.Session{Lines: []record.Line{line("fitting", "clip-"+n)}})
	}
	g := facing(t, b, "readings/2026-03-10-bram-weighing", replay.Mass)
	if g.Fresh != replay.Stale || g.Kilograms != 12 || len(g.Touches) != 8 {
		t.Errorf("%v %v %d", g.Fresh, g.Kilograms, len(g.Touches))
	}
}

func TestWorkOnOneFacetLeavesTheOthersGood(t *testing.T) {
	b := weighed("2311 mm")
	b.work("work/2026-03-12-ines-brakes", record.Session{Lines: []record.Line{{Act: "rectify", Parts: refs("caliper")}}})
	if g := facing(t, b, "readings/2026-03-10-bram-brakes", replay.Brakes); g.Fresh != replay.Stale || !strings.Contains(g.Text, "was put right (2026-03-12)") {
		t.Error(g.Text)
	}
	if g := facing(t, b, "readings/2026-03-10-bram-insulation", replay.TractionCircuit); g.Fresh != replay.StillGood {
		t.Error(g.Text)
	}
}

func TestALineMayStateTheFacetItTouches(t *testing.T) {
	b := weighed("")
	b.put("readings/2026-03-10-bram-function", &record.Reading{Head: record.Head{Kind: record.KindReading}, What: "function-test", On: "2026-03-10", Parts: refs("inverter")})
	b.part("parts/inverter", record.Part{Found: "no", Facets: []string{"software"}})
	b.work("work/2026-03-12-ines-update", record.Session{Lines: []record.Line{{Act: "preserve", Parts: refs("seat"), Facets: []string{"software"}}}})
	if g := facing(t, b, "readings/2026-03-10-bram-function", replay.Software); g.Fresh != replay.Stale {
		t.Error(g.Text)
	}
}

func TestASignOffDescribesWhatItCoversAndACertificateTheWholeCar(t *testing.T) {
	b := weighed("")
	b.put("signoffs/2026-03-11-edda-brakes", &record.SignOff{Head: record.Head{Kind: record.KindSignOff}, On: "2026-03-11", Covers: []record.Covered{{Record: "readings/2026-03-10-bram-brakes"}}})
	b.put("papers/certificate", &record.Paper{Head: record.Head{Kind: record.KindPaper}, Class: "certificate", Certificate: &record.Certificate{SignedOn: "2026-03-11"}})
	b.work("work/2026-03-12-ines-brakes", record.Session{Lines: []record.Line{{Act: "rectify", Parts: refs("caliper")}}})
	w := replay.Of(b.load())
	fresh := map[record.Ref]replay.Freshness{}
	for _, d := range replay.Staleness(w, replay.Day{}) {
		fresh[d.Record] = d.Fresh()
		if d.Record == "papers/certificate" {
			good := slices.IndexFunc(d.Facets, func(f replay.Facing) bool { return f.Facet == replay.Mass && f.Fresh == replay.StillGood })
			if good < 0 {
				t.Error("the certificate does not say that the mass is still good")
			}
		}
	}
	if fresh["signoffs/2026-03-11-edda-brakes"] != replay.Stale || fresh["papers/certificate"] != replay.Stale {
		t.Error(fresh)
	}
	printed, _ := replay.ParseDay("2026-03-01")
	if d := replay.SheetSince(w, printed, replay.Day{}); d.Fresh() != replay.Stale {
		t.Errorf("a sheet from before the battery went in is %v", d.Fresh())
	}
	early, _ := replay.ParseDay("2026-03-11")
	for _, d := range replay.Staleness(w, early) {
		if d.Fresh() != replay.StillGood {
			t.Errorf("on 11 March %s is %v", d.Record, d.Fresh())
		}
	}
}
