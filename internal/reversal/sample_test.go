package reversal_test

import (
	"encoding/json"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// sampleCar copies the finished car of the sample yard into memory, so that a test can change its records.
func sampleCar(t *testing.T) *bench {
	t.Helper()
	files := fstest.MapFS{}
	dir := os.DirFS("../../records/sample/cars/tern-1500")
	err := fs.WalkDir(dir, ".", func(path string, d fs.DirEntry, err error) error {
		if path == "previews" {
			return fs.SkipDir // pictures play no part here
		}
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".json") {
			return err
		}
		src, err := fs.ReadFile(dir, path)
		files[path] = &fstest.MapFile{Data: src}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return &bench{files}
}

var inspected, _ = replay.ParseDay("2026-06-12")

func statementOf(t *testing.T, b *bench) *reversal.Statement {
	t.Helper()
	return make_(t, replay.Of(b.load()), reversal.Options{On: inspected})
}

// edit changes one record in place.
func edit[T any](t *testing.T, b *bench, id record.Ref, change func(*T)) {
	t.Helper()
	e, ok := ledger.Get[T](b.load(), id)
	if !ok {
		t.Fatalf("the sample has no %s", id)
	}
	body := *e.Body
	change(&body)
	src, err := json.Marshal(&body)
	if err != nil {
		t.Fatal(err)
	}
	b.files[record.PathOf(id)] = &fstest.MapFile{Data: src}
}

func outcomes(s *reversal.Statement) map[reversal.Topic]reversal.Outcome {
	m := map[reversal.Topic]reversal.Outcome{}
	for _, l := range s.Lines {
		m[l.Topic] = l.Outcome
	}
	return m
}

func codes(s *reversal.Statement, worst reversal.Outcome) []string {
	var list []string
	for _, l := range s.Lines {
		for _, r := range l.Reasons {
			if r.Outcome >= worst {
				list = append(list, r.Code+" "+string(r.Thing))
			}
		}
	}
	slices.Sort(list)
	return list
}

func TestTheFinishedCarCanBePutBackWithConsumables(t *testing.T) {
	s := statementOf(t, sampleCar(t))
	if s.Outcome != reversal.Consumables || len(s.Different) > 0 {
		t.Fatalf("%v %v %v", s.Outcome, codes(s, reversal.Replacements), s.Different)
	}
	if s.Lines[0].Topic != reversal.Consumable {
		t.Errorf("the worst line does not stand on top: %v", s.Lines[0].Topic)
	}
	for _, f := range s.Floors {
		if !f.Met {
			t.Errorf("floor not met: %+v", f)
		}
	}
}

func TestATroubledCarNamesItsDrilledBracketAndLostPartAndNothingElse(t *testing.T) {
	b := sampleCar(t)
	b.work("work/2026-06-01-bram-trouble", record.Session{Started: "2026-06-01", Basis: "seen", Lines: []record.Line{
		{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"}, Purpose: "conversion", Alteration: &record.Hole{Zone: "boot floor", Where: "ahead of the recess", Size: "8 mm", Count: 2, MaterialRemoved: "yes"}},
		{Act: "out", Parts: []record.Ref{"parts/radiator"}, Purpose: "not stated", Gone: "lost"},
	}})
	s := statementOf(t, b)
	if got := codes(s, reversal.Replacements); !slices.Equal(got, []string{"alteration parts/bodyshell", "part-gone parts/radiator"}) {
		t.Errorf("named: %v", got)
	}
	if got := different(s); !slices.Equal(got, []string{"alteration parts/bodyshell", "missing parts/radiator"}) {
		t.Errorf("stays different: %v", got)
	}
	if s.Outcome != reversal.Traces || outcomes(s)[reversal.FoundParts] != reversal.Replacements {
		t.Errorf("outcomes: %v", outcomes(s))
	}
}

// sampleStatement makes the statement of another car of the sample, as it lies.
func sampleStatement(t *testing.T, car string) *reversal.Statement {
	t.Helper()
	snapshot, err := ledger.Load(os.DirFS("../../records/sample/cars/" + car))
	if err != nil {
		t.Fatal(err)
	}
	return make_(t, replay.Of(snapshot), reversal.Options{On: inspected})
}

func TestOfTheSamplesTroubledCarOnlyTheDrilledBracketAndTheLostPartAreCertain(t *testing.T) {
	s := sampleStatement(t, "courser")
	var certain []string
	for _, l := range s.Lines {
		for _, r := range l.Reasons {
			switch {
			case r.Outcome == reversal.CannotSay && r.Settle == "":
				t.Errorf("%s says nothing of what would settle it", r.Code)
			case r.Outcome != reversal.CannotSay:
				certain = append(certain, r.Code+" "+string(r.Thing)+" "+string(r.Records[len(r.Records)-1]))
			}
		}
	}
	slices.Sort(certain)
	if want := []string{"alteration parts/bodyshell work/2025-09-01-pete-bracket-drilled", "part-gone parts/carburettor work/2026-06-03-maud-carburettor-lost"}; !slices.Equal(certain, want) {
		t.Errorf("named: %v", certain)
	}
}

func TestOfTheSamplesHalfBegunCarNothingCanBeSaidAndWhatWouldSettleItIs(t *testing.T) {
	s := sampleStatement(t, "sesta-700")
	if s.Outcome != reversal.CannotSay {
		t.Errorf("%v", s.Outcome)
	}
	settled := 0
	for _, r := range s.Lines[0].Reasons {
		if r.Outcome == reversal.CannotSay && r.Settle != "" {
			settled++
		}
	}
	if settled == 0 {
		t.Errorf("nothing is said of what would settle it: %+v", s.Lines[0].Reasons)
	}
}

func TestSupposingAPartGoneIsPrintedAndJudged(t *testing.T) {
	w := replay.Of(sampleCar(t).load())
	s := make_(t, w, reversal.Options{On: inspected, Suppose: []reversal.Supposition{{Part: "parts/engine", Gone: "stolen"}}})
	if got := codes(s, reversal.Replacements); !slices.Equal(got, []string{"numbered-part-gone parts/engine", "part-gone parts/cylinder-head"}) {
		t.Errorf("named: %v", got)
	}
	if !strings.Contains(strings.Join(s.Header, " "), "parts/engine is stolen") {
		t.Errorf("the supposition is not in the header: %v", s.Header)
	}
	if _, err := reversal.Make(w, reversal.Options{Suppose: []reversal.Supposition{{Part: "parts/no-such"}}}); err == nil {
		t.Error("a part that nothing speaks of could be supposed gone")
	}
}

// troubles are changes that make some line worse, each in its own way.
var troubles = map[string]func(*testing.T, *bench){
	"as it is": func(*testing.T, *bench) {},
	"a part sold": func(_ *testing.T, b *bench) {
		b.work("work/2026-06-01-bram-x", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "out", Parts: []record.Ref{"parts/starter"}, Gone: "sold"}}})
	},
	"a part missed by a stock-take": func(_ *testing.T, b *bench) {
		b.work("work/2026-06-01-bram-x", record.Session{Started: "2026-06-01", Basis: "seen", Lines: []record.Line{{Act: "sighting", Parts: []record.Ref{"parts/fuel-tank", "parts/filler-neck"}, Store: "stores/tallow-lane/loft", Place: "crate 1", Counted: "everything there"}}})
	},
	"a hole drilled": func(_ *testing.T, b *bench) {
		b.work("work/2026-06-01-bram-x", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"}, Alteration: &record.Hole{Zone: "engine bay", Undo: "weld up"}}}})
	},
	"a bracket without holes": func(_ *testing.T, b *bench) {
		b.part("parts/bracket", record.Part{Found: "no"})
		b.joint("joints/bracket", record.Joint{Clamps: []record.Ref{"parts/bracket"}, Host: "boot floor", Zone: "boot floor", Original: "no", Fasteners: []record.Fastener{{What: "bolt", Count: 4}}})
		b.work("work/2026-06-01-bram-x", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "fitting", Parts: []record.Ref{"parts/bracket"}, Joints: []record.Ref{"joints/bracket"}}}})
	},
	"a loom cut": func(_ *testing.T, b *bench) {
		b.work("work/2026-06-01-bram-x", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "rectify", Parts: []record.Ref{"parts/engine-bay-loom"}, Ends: []record.End{{End: "horn", State: "cut"}}}}})
	},
	"a ring of sessions": func(_ *testing.T, b *bench) {
		b.work("work/2026-06-01-bram-x", record.Session{Started: "2026-06-01", After: []record.Ref{"work/2026-06-01-bram-y"}, Lines: []record.Line{{Act: "preserve", Parts: []record.Ref{"parts/engine"}}}})
		b.work("work/2026-06-01-bram-y", record.Session{Started: "2026-06-01", After: []record.Ref{"work/2026-06-01-bram-x"}, Lines: []record.Line{{Act: "preserve", Parts: []record.Ref{"parts/engine"}}}})
	},
}

func TestARecordAgainstIsNeverNamedFor(t *testing.T) {
	for name, trouble := range troubles {
		b := sampleCar(t)
		trouble(t, b)
		s := statementOf(t, b)
		for _, r := range s.Against {
			if slices.Contains(s.For, r) {
				t.Errorf("%s: %s is named for and against", name, r)
			}
		}
	}
}

func TestCallingAHoleARestorationChangesNothingWhenAConversionPartUsesItsZone(t *testing.T) {
	for _, purpose := range []string{"conversion", "restoration of the car", "repair to pattern", "service", ""} {
		b := sampleCar(t)
		b.work("work/2025-12-01-bram-holes", record.Session{Started: "2025-12-01", Lines: []record.Line{{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"},
			Purpose: purpose, Alteration: &record.Hole{Zone: "boot floor", Count: 2, MaterialRemoved: "yes"}}}})
		s := statementOf(t, b)
		if got := codes(s, reversal.Traces); !slices.Contains(got, "alteration parts/bodyshell") {
			t.Errorf("called %q, the hole is not named: %v", purpose, got)
		}
	}
}

func TestAHoleMadeAroundAPartThatIsAlreadyFittedCountsWhateverItIsCalled(t *testing.T) {
	for zone, want := range map[string]reversal.Outcome{"boot floor": reversal.Traces, "roof": reversal.Consumables} {
		b := sampleCar(t)
		b.work("work/2026-06-01-bram-holes", record.Session{Started: "2026-06-01", Lines: []record.Line{{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"},
			Purpose: "service", Alteration: &record.Hole{Zone: zone, Count: 2, MaterialRemoved: "yes"}}}})
		if s := statementOf(t, b); s.Outcome != want {
			t.Errorf("%s: %v", zone, s.Outcome)
		}
	}
}

func TestWorkForAnotherPurposeIsListedAndLeftAsItIs(t *testing.T) {
	b := sampleCar(t)
	b.work("work/2025-12-01-bram-roof", record.Session{Started: "2025-12-01", Lines: []record.Line{{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"},
		Purpose: "restoration of the car", Alteration: &record.Hole{Zone: "roof", Count: 1, MaterialRemoved: "yes"}}}})
	s := statementOf(t, b)
	if s.Outcome != reversal.Consumables {
		t.Errorf("a hole in the roof for another purpose: %v", s.Outcome)
	}
	if !slices.ContainsFunc(s.Purposeful, func(n reversal.Note) bool { return strings.Contains(n.Text, "roof") }) {
		t.Errorf("it is not listed: %v", s.Purposeful)
	}
}

func TestATractionPartIsConversionWhateverItsFittingIsCalled(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "work/2026-01-13-ines-motor-in", func(w *record.Session) {
		for i := range w.Lines {
			w.Lines[i].Purpose = "service"
		}
	})
	s := statementOf(t, b)
	if !slices.ContainsFunc(s.Steps, func(p reversal.Step) bool {
		return p.Kind == reversal.TakeOff && slices.Contains(p.Line.Parts, "parts/motor")
	}) {
		t.Error("the motor stays on the car as service work")
	}
}

func TestEmptyCarsAndCarsOfThreePartsCannotBeSaid(t *testing.T) {
	empty := newBench()
	three := newBench()
	three.car(record.Car{Root: "parts/shell", Baseline: &record.Baseline{Name: "as found", On: "2026-01-02", Parts: []record.BaselinePart{
		{Part: "parts/shell"}, {Part: "parts/engine", Evidence: "seen"}, {Part: "parts/tank", Evidence: "seen"}}}})
	for name, b := range map[string]*bench{"empty": empty, "three parts": three} {
		s := make_(t, replay.Of(b.load()), reversal.Options{})
		if s.Outcome != reversal.CannotSay {
			t.Errorf("%s: %v", name, s.Outcome)
		}
		for _, l := range s.Lines {
			if l.Outcome != reversal.CannotSay || !slices.ContainsFunc(l.Reasons, func(r reversal.Reason) bool { return r.Settle != "" }) {
				t.Errorf("%s: %s says %v and not what would settle it", name, l.Topic, l.Outcome)
			}
		}
	}
}

func TestFewerJointsOnRecordNeverMakeTheConsumablesReadBetter(t *testing.T) {
	b := sampleCar(t)
	for _, j := range ledger.All[record.Joint](b.load()) {
		if j.Body.Original != "no" {
			delete(b.files, j.Record.Path)
		}
	}
	s := statementOf(t, b)
	if outcomes(s)[reversal.Consumable] != reversal.CannotSay || !slices.Contains(codes(s, reversal.CannotSay), "fasteners-thin ") {
		t.Errorf("without the joints of the car as found: %v, %v", outcomes(s)[reversal.Consumable], codes(s, reversal.CannotSay))
	}
}

func TestALedgerMayTightenTheFloorsAndNeverLoosenThem(t *testing.T) {
	for limits, want := range map[record.Limits]reversal.Outcome{
		{FoundParts: 1, SightingAge: 1000, Attachments: 1}: reversal.Consumables,
		{FoundParts: 500}: reversal.CannotSay,
	} {
		b := sampleCar(t)
		edit(t, b, "ledger", func(l *record.Ledger) { l.Limits = &limits })
		s := statementOf(t, b)
		if s.Outcome != want {
			t.Errorf("%+v: %v", limits, s.Outcome)
		}
		if limits.FoundParts == 1 && s.Floors[0].Asked != "at least 20" {
			t.Errorf("loosened: %v", s.Floors[0])
		}
	}
}

func TestStoredPartsSeenTooLongAgoCannotBeSaid(t *testing.T) {
	late, _ := replay.ParseDay("2028-12-01")
	s := make_(t, replay.Of(sampleCar(t).load()), reversal.Options{On: late})
	if got := codes(s, reversal.CannotSay); !slices.Contains(got, "seen-too-long-ago parts/engine") {
		t.Errorf("%v", got)
	}
}

func TestARecheckNamesWhatChangedSinceAndPlansNothing(t *testing.T) {
	b := sampleCar(t)
	var kept strings.Builder
	if err := statementOf(t, b).Encode(&kept); err != nil {
		t.Fatal(err)
	}
	b.work("work/2026-06-10-bram-sold", record.Session{Started: "2026-06-10", Lines: []record.Line{{Act: "out", Parts: []record.Ref{"parts/radiator"}, Gone: "sold"}}})
	s, err := reversal.Decode(strings.NewReader(kept.String()))
	if err != nil {
		t.Fatal(err)
	}
	changes, err := reversal.Recheck(replay.Of(b.load()), s)
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, c := range changes {
		texts = append(texts, c.What+": "+c.Text)
	}
	all := strings.Join(texts, "\n")
	for _, want := range []string{"step: ", "Radiator is gone, sold", "outcome: found parts"} {
		if !strings.Contains(all, want) {
			t.Errorf("the recheck does not say %q:\n%s", want, all)
		}
	}
}

func TestANamedBaselineIsADayOnTheWay(t *testing.T) {
	w := replay.Of(sampleCar(t).load())
	s := make_(t, w, reversal.Options{To: "complete as converted", On: inspected})
	if len(s.Different) > 0 || slices.ContainsFunc(s.Steps, func(p reversal.Step) bool { return p.Kind == reversal.TakeOff }) {
		t.Errorf("to the car as it is: %v %d steps", s.Different, len(s.Steps))
	}
	if _, err := reversal.Make(w, reversal.Options{To: "before the flood"}); err == nil || !strings.Contains(err.Error(), "as found") {
		t.Errorf("an unknown baseline: %v", err)
	}
}

func TestAnUndatedSessionHidesNoWorkBetweenItAndANamedBaseline(t *testing.T) {
	b := newBench()
	b.part("parts/engine", record.Part{Found: "yes"})
	b.car(record.Car{Root: "parts/shell", Baseline: &record.Baseline{Name: "as found", On: "2026-01-02"}, Baselines: []record.Baseline{{Name: "on the way", On: "2026-02-01"}}})
	b.work("work/2026-03-01-ines-out", record.Session{Lines: []record.Line{{Act: "removal", Parts: []record.Ref{"parts/engine"}, Purpose: "conversion", Store: "stores/tallow-lane/loft"}}})
	b.work("work/0000-00-00-ines-seen", record.Session{After: []record.Ref{"work/2026-03-01-ines-out"}, Lines: []record.Line{{Act: "sighting", Parts: []record.Ref{"parts/engine"}, Store: "stores/tallow-lane/loft"}}})
	s := make_(t, replay.Of(b.load()), reversal.Options{To: "on the way"})
	if !slices.ContainsFunc(s.Steps, func(p reversal.Step) bool {
		return p.Kind == reversal.PutBack && slices.Contains(p.Line.Parts, "parts/engine")
	}) {
		t.Errorf("the engine does not go back: %v", s.Steps)
	}
}

func TestTheCentreOfGravityIsFollowedThroughHeavyLifts(t *testing.T) {
	s := statementOf(t, sampleCar(t))
	lifts := 0
	for _, step := range s.Steps {
		if step.GravityBefore == "" {
			continue
		}
		lifts++
		if !strings.Contains(step.GravityBefore, "mm behind the front axle line") || step.GravityBefore == step.GravityAfter {
			t.Errorf("step %d: %q, then %q", step.Number, step.GravityBefore, step.GravityAfter)
		}
	}
	if lifts < 4 {
		t.Errorf("only %d heavy lifts", lifts)
	}
	b := sampleCar(t)
	edit(t, b, "car", func(c *record.Car) { c.Wheelbase = "" })
	for _, step := range statementOf(t, b).Steps {
		if step.GravityBefore != "" && step.GravityBefore != "not known: the wheelbase is not recorded" {
			t.Errorf("without a wheelbase: %q", step.GravityBefore)
		}
	}
}

func TestABaselineThatReplayDoesNotReproduceSaysNothing(t *testing.T) {
	b := sampleCar(t)
	edit(t, b, "car", func(c *record.Car) {
		c.Baselines = slices.Clone(c.Baselines)
		for i := range c.Baselines {
			if c.Baselines[i].Name == "complete as converted" {
				c.Baselines[i].Parts = append(slices.Clone(c.Baselines[i].Parts), record.BaselinePart{Part: "parts/engine", Position: "engine bay"})
			}
		}
	})
	s := make_(t, replay.Of(b.load()), reversal.Options{To: "complete as converted", On: inspected})
	r := wantReason(t, s, "baseline-not-reproduced", "parts/engine", reversal.CannotSay)
	if !strings.Contains(r.Text, "in store") {
		t.Errorf("%s", r.Text)
	}
}

func TestWorkOfAnotherPurposeStaysOnTheCar(t *testing.T) {
	s := statementOf(t, sampleCar(t))
	for _, step := range s.Steps {
		if slices.Contains(step.Line.Parts, "parts/rear-dampers-new") || slices.Contains(step.Line.Parts, "parts/rear-dampers-old") {
			t.Errorf("step %d undoes service work: %s", step.Number, step.Text)
		}
	}
	var notes []string
	for _, n := range s.Purposeful {
		notes = append(notes, string(n.Thing))
	}
	for _, want := range []string{"parts/rear-dampers-old", "parts/rear-dampers-new", "parts/brake-shoes-old", "parts/bodyshell"} {
		if !slices.Contains(notes, want) {
			t.Errorf("%s is not listed as done on purpose: %v", want, notes)
		}
	}
}
