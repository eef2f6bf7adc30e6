package reversal_test

import (
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// reasonOf finds the reason with a code about a thing.
func reasonOf(s *reversal.Statement, code string, thing record.Ref) (reversal.Reason, bool) {
	for _, l := range s.Lines {
		for _, r := range l.Reasons {
			if r.Code == code && r.Thing == thing {
				return r, true
			}
		}
	}
	return reversal.Reason{}, false
}

func wantReason(t *testing.T, s *reversal.Statement, code string, thing record.Ref, outcome reversal.Outcome) reversal.Reason {
	t.Helper()
	r, ok := reasonOf(s, code, thing)
	if !ok || r.Outcome != outcome || len(r.Records) == 0 {
		t.Fatalf("no reason %s about %s with outcome %q and its records: %v", code, thing, outcome, codes(s, reversal.Consumables))
	}
	return r
}

func TestC50TwoPartsWithOneTagBothStay(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "parts/dynamo", func(p *record.Part) { p.Tag = "0104" })
	edit(t, b, "parts/starter", func(p *record.Part) { p.Tag = "0104" })
	w := replay.Of(b.load())
	for _, ref := range []record.Ref{"parts/dynamo", "parts/starter"} {
		if p, _ := w.Now().Part(ref); p.Where.Place != replay.InStore {
			t.Errorf("%s: %v", ref, p.Where)
		}
	}
}

func TestC52APartThatAStockTakeDoesNotListIsNotSeenAndNotCalledLost(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "work/2026-05-26-maud-stock-take", func(w *record.Session) {
		w.Lines[2].Parts = slices.DeleteFunc(w.Lines[2].Parts, func(r record.Ref) bool { return r == "parts/radiator" })
	})
	s := statementOf(t, b)
	r := wantReason(t, s, "not-seen", "parts/radiator", reversal.CannotSay)
	if strings.Contains(r.Text, "lost") || r.Settle == "" || s.Outcome != reversal.CannotSay {
		t.Errorf("%+v", r)
	}
	if !slices.Contains(r.Records, "work/2026-05-26-maud-stock-take") {
		t.Errorf("the stock-take is not named: %v", r.Records)
	}
	p, _ := replay.Of(b.load()).Now().Part("parts/radiator")
	if p.Where.Place != replay.InStore || p.Missed == replay.NoStep {
		t.Errorf("it is still in store by the records, and missed: %+v", p)
	}
}

func TestC53ASoldOriginalIsGoneThoughALikePairWasBought(t *testing.T) {
	b := sampleCar(t)
	b.part("parts/carburettor-bought", record.Part{Found: "no", Origin: "same type", Class: "single"})
	b.work("work/2026-06-02-maud-carburettor", record.Session{Started: "2026-06-02", Basis: "seen", Lines: []record.Line{
		{Act: "out", Parts: []record.Ref{"parts/carburettor"}, Gone: "sold", Note: "By mistake."},
		{Act: "in", Parts: []record.Ref{"parts/carburettor-bought"}, Store: "stores/tallow-lane/loft", Place: "crate 1"},
	}})
	r := wantReason(t, statementOf(t, b), "part-gone", "parts/carburettor", reversal.Replacements)
	if !strings.Contains(r.Text, "sold") || !strings.Contains(r.Text, "does not come back") {
		t.Errorf("%s", r.Text)
	}
}

func TestC54APartThatCameBackWithAnotherMarkIsStillOut(t *testing.T) {
	b := sampleCar(t)
	b.work("work/2026-06-03-bram-plater", record.Session{Started: "2026-06-03", Lines: []record.Line{
		{Act: "out", Parts: []record.Ref{"parts/air-cleaner"}, With: "plating works"}}})
	b.work("work/2026-06-09-bram-plater", record.Session{Started: "2026-06-09", Lines: []record.Line{
		{Act: "in", Parts: []record.Ref{"parts/air-cleaner"}, Tag: "K 77", Store: "stores/tallow-lane/loft"}}})
	w := replay.Of(b.load())
	p, _ := w.Now().Part("parts/air-cleaner")
	if p.Where.Place != replay.WithSomeone || p.Where.With != "plating works" {
		t.Errorf("it is %v", p.Where)
	}
	if !slices.ContainsFunc(w.Now().Doubts(), func(d replay.Doubt) bool { return d.Code == "returned-as-another" && d.Thing == "parts/air-cleaner" }) {
		t.Error("nobody is told")
	}
	wantReason(t, make_(t, w, reversal.Options{On: inspected}), "out", "parts/air-cleaner", reversal.CannotSay)
}

func TestC55FastenersShortOfTheJointAreCountedAgainstIt(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "work/2025-09-22-ines-front-stripped", func(w *record.Session) {
		for i := range w.Lines {
			if slices.Contains(w.Lines[i].Joints, "joints/radiator-mount") {
				w.Lines[i].Fasteners = 3
			}
		}
	})
	r := wantReason(t, statementOf(t, b), "fasteners-short", "joints/radiator-mount", reversal.Consumables)
	if !strings.Contains(r.Text, "3 of 4") || !strings.Contains(r.Text, "0208") {
		t.Errorf("%s", r.Text)
	}
}

func TestC57ExistingHolesNeedEvidenceOlderThanTheWork(t *testing.T) {
	for name, c := range map[string]struct {
		change    func(*record.Existing)
		paper     *record.Paper
		explained bool
	}{
		"seen before the first work":                        {func(*record.Existing) {}, nil, true},
		"seen after it":                                     {func(e *record.Existing) { e.SeenOn = "2026-02-01" }, nil, false},
		"an undated photo":                                  {func(e *record.Existing) { e.SeenOn, e.Papers = "", []record.Ref{"papers/x"} }, &record.Paper{}, false},
		"a photo dated only by a claim":                     {func(e *record.Existing) { e.SeenOn, e.Papers = "", []record.Ref{"papers/x"} }, &record.Paper{Claimed: "2025-09-01"}, false},
		"a photo with the date inside":                      {func(e *record.Existing) { e.SeenOn, e.Papers = "", []record.Ref{"papers/x"} }, &record.Paper{Embedded: "2025-09-01T10:00:00"}, true},
		"a photo claimed before whose inside date is later": {func(e *record.Existing) { e.SeenOn, e.Papers = "", []record.Ref{"papers/x"} }, &record.Paper{Claimed: "2025-09-01", Embedded: "2026-02-01T10:00:00"}, false},
		"a copy that came in before":                        {func(e *record.Existing) { e.SeenOn, e.Papers = "", []record.Ref{"papers/x"} }, &record.Paper{Way: "messaging", Received: "2025-09-01"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			b := sampleCar(t)
			edit(t, b, "existing/crossmember-nuts", c.change)
			for _, r := range []record.Ref{"readings/2025-09-10-ines-holes-engine-bay", "readings/2026-06-11-edda-holes-engine-bay"} {
				edit(t, b, r, func(r *record.Reading) {
					r.Holes = slices.DeleteFunc(r.Holes, func(h record.Ref) bool { return h == "existing/crossmember-nuts" })
				})
			}
			if c.paper != nil {
				c.paper.Kind = record.KindPaper
				b.put("papers/x", c.paper)
			}
			_, withheld := reasonOf(statementOf(t, b), "holes-not-explained", "joints/front-cradle")
			if withheld == c.explained {
				t.Errorf("explained: %v", !withheld)
			}
		})
	}
}

func TestC46APhotoCountsFromTheTimeThatAPhotoOfAClockProves(t *testing.T) {
	const camera = "7c21d04e"
	photo := func(embedded record.Date) *record.Paper {
		return &record.Paper{Claimed: "2025-09-01", Embedded: embedded, Camera: camera, Clock: "papers/clock"}
	}
	clock := &record.Paper{Claimed: "2025-09-01T08:00:00Z", Embedded: "2026-02-01T08:00:00", Camera: camera}
	for name, c := range map[string]struct {
		photo, clock *record.Paper
		explained    bool
	}{
		"a camera five months ahead, and a clock that shows it":   {photo("2026-02-01T10:00:00"), clock, true},
		"a camera that is right by the clock":                     {photo("2026-02-01T10:00:00"), &record.Paper{Claimed: "2026-02-01T08:00:00Z", Embedded: "2026-02-01T08:00:00", Camera: camera}, false},
		"a clock that another camera photographed":                {photo("2026-02-01T10:00:00"), &record.Paper{Claimed: "2025-09-01T08:00:00Z", Embedded: "2026-02-01T08:00:00", Camera: "11111111"}, false},
		"an early date that the clock named for it does not bear": {photo("2025-09-01T10:00:00"), clock, false},
	} {
		t.Run(name, func(t *testing.T) {
			b := sampleCar(t)
			edit(t, b, "existing/crossmember-nuts", func(e *record.Existing) { e.SeenOn, e.Papers = "", []record.Ref{"papers/x"} })
			for _, r := range []record.Ref{"readings/2025-09-10-ines-holes-engine-bay", "readings/2026-06-11-edda-holes-engine-bay"} {
				edit(t, b, r, func(r *record.Reading) {
					r.Holes = slices.DeleteFunc(r.Holes, func(h record.Ref) bool { return h == "existing/crossmember-nuts" })
				})
			}
			clock := *c.clock
			c.photo.Kind, clock.Kind = record.KindPaper, record.KindPaper
			b.put("papers/x", c.photo)
			b.put("papers/clock", &clock)
			if _, withheld := reasonOf(statementOf(t, b), "holes-not-explained", "joints/front-cradle"); withheld == c.explained {
				t.Errorf("explained: %v", !withheld)
			}
		})
	}
}

func TestC58ASupplierStepThatDrillsAgainstAnEmptyRegisterIsAContradiction(t *testing.T) {
	for name, explained := range map[string]bool{"nothing on record of the holes": false, "fastened in existing holes": true} {
		t.Run(name, func(t *testing.T) {
			b := sampleCar(t)
			j := record.Joint{Clamps: []record.Ref{"parts/bracket"}, Host: "boot floor", Zone: "boot floor", Original: "no", Fasteners: []record.Fastener{{What: "bolt", Count: 4, SingleUse: "no"}}}
			if explained {
				j.Uses = []record.Ref{"existing/boot-floor-hanger-nuts"}
			}
			b.part("parts/bracket", record.Part{Found: "no"})
			b.joint("joints/bracket", j)
			b.put("papers/fitting-sheet", &record.Paper{Head: record.Head{Kind: record.KindPaper, Name: "Fitting sheet"}, Class: "supplier instruction",
				Shows: []record.Ref{"parts/bracket"}, CallsFor: []record.Instruction{{Step: "7", Does: "drilling", Count: 4, Size: "6 mm"}}})
			b.work("work/2026-06-01-bram-bracket", record.Session{Started: "2026-06-01", Lines: []record.Line{
				{Act: "fitting", Parts: []record.Ref{"parts/bracket"}, Joints: []record.Ref{"joints/bracket"}}}})
			s := statementOf(t, b)
			if explained {
				if _, found := reasonOf(s, "supplier-step-not-accounted-for", "parts/bracket"); found || s.Outcome != reversal.Consumables {
					t.Errorf("%v", codes(s, reversal.Replacements))
				}
				return
			}
			r := wantReason(t, s, "supplier-step-not-accounted-for", "parts/bracket", reversal.CannotSay)
			if !strings.Contains(r.Text, "step 7") || !strings.Contains(r.Text, "drilling 4 × 6 mm") {
				t.Errorf("%s", r.Text)
			}
		})
	}
}

func TestC59AnOpenedHoleIsAnAlterationThoughNoNewHole(t *testing.T) {
	b := sampleCar(t)
	b.work("work/2026-06-01-bram-opened", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"},
		Alteration: &record.Hole{Zone: "boot floor", Of: "existing/boot-floor-drain", Size: "8.5 mm", Count: 1, MaterialRemoved: "yes"}}}})
	wantReason(t, statementOf(t, b), "alteration", "parts/bodyshell", reversal.Traces)
}

func TestC60ALoomUnpluggedOnOneSheetAndCutOnAnotherIsNotVerified(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "parts/engine-bay-loom", func(p *record.Part) {
		p.Runs = slices.Clone(p.Runs)
		p.Runs[0].State = "joined"
	})
	r := wantReason(t, statementOf(t, b), "loom-disagrees", "parts/engine-bay-loom", reversal.CannotSay)
	if !strings.Contains(r.Text, "unplugged") || !strings.Contains(r.Text, "joined") {
		t.Errorf("%s", r.Text)
	}
}

func TestMoreFastenersThanHolesAreNotExplained(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "joints/tower-left", func(j *record.Joint) {
		j.Fasteners = slices.Clone(j.Fasteners)
		j.Fasteners[0].Count = 3
	})
	r := wantReason(t, statementOf(t, b), "holes-not-explained", "joints/tower-left", reversal.CannotSay)
	if !strings.Contains(r.Text, "3 fasteners, and only 2 holes") {
		t.Errorf("%s", r.Text)
	}
}

func TestAnAlterationForALoadPathStandsFirstAsASafetyDecision(t *testing.T) {
	b := sampleCar(t)
	b.work("work/2026-06-01-bram-plates", record.Session{Started: "2026-06-01", Lines: []record.Line{
		{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"}, Alteration: &record.Hole{Zone: "cabin", MaterialRemoved: "yes"}},
		{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"}, Alteration: &record.Hole{Zone: "sill", Count: 4, MaterialRemoved: "yes", RequiredBy: "the certifying engineer", Clause: "clause 3.4", Safety: "yes"}}}})
	s := statementOf(t, b)
	first := s.Lines[0].Reasons[0]
	if !first.Safety || !strings.Contains(first.Text, "required by the certifying engineer") {
		t.Errorf("%+v", first)
	}
}

func TestAPartThatBecameAnotherGoesBackWithThatTrace(t *testing.T) {
	b := sampleCar(t)
	b.part("parts/radiator-recored", record.Part{Found: "no"})
	b.work("work/2026-06-01-bram-recored", record.Session{Started: "2026-06-01", Lines: []record.Line{
		{Act: "rectify", Parts: []record.Ref{"parts/radiator"}, Became: "parts/radiator-recored"}}})
	s := statementOf(t, b)
	wantReason(t, s, "became-another", "parts/radiator", reversal.Traces)
	if !slices.ContainsFunc(s.Steps, func(p reversal.Step) bool {
		return p.Kind == reversal.PutBack && slices.Contains(p.Line.Parts, "parts/radiator-recored")
	}) {
		t.Error("the recored radiator does not go back")
	}
	if got := different(s); !slices.Equal(got, []string{"missing parts/radiator"}) {
		t.Errorf("%v", got)
	}
}

func TestAPartThatMayNotGoBackNeedsAReplacement(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "parts/clutch", func(p *record.Part) { p.MayGoBack, p.Hazards = "no by law", []string{"asbestos"} })
	wantReason(t, statementOf(t, b), "may-not-go-back", "parts/clutch", reversal.Replacements)
}

func TestStepsCarryTheirCautionsTagsBagsAndTightening(t *testing.T) {
	s := statementOf(t, sampleCar(t))
	for _, step := range s.Steps {
		switch {
		case step.Kind == reversal.TakeOff && slices.Contains(step.Line.Parts, "parts/battery-box-rear"):
			if all := strings.Join(step.Cautions, " "); !strings.Contains(all, "high voltage") || !strings.Contains(all, "heavy") {
				t.Errorf("the battery box comes off with %q", all)
			}
		case step.Kind == reversal.PutBack && slices.Contains(step.Line.Parts, "parts/radiator"):
			if step.Parts[0].Tag != "0109" || !strings.Contains(step.Parts[0].Where, "crate 2") || step.Joints[0].Bag != "0208" || step.Joints[0].Counted != 4 ||
				!strings.Contains(step.Joints[0].Tightening, "6 lbf.ft") || step.Minutes == 0 {
				t.Errorf("%+v", step)
			}
		case step.Kind == reversal.PutBack && slices.Contains(step.Line.Parts, "parts/fuel-tank"):
			if !strings.Contains(strings.Join(step.Cautions, " "), "fuel vapour") {
				t.Errorf("the tank goes back with %q", step.Cautions)
			}
		}
	}
}
