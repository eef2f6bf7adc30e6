package wording_test

import (
	"encoding/json"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/wording"
)

// car is a ledger in memory.
type car struct{ files fstest.MapFS }

// sampleCar copies the finished car of the sample yard, so that a test can change its records.
func sampleCar(t *testing.T) *car {
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
	return &car{files}
}

func (c *car) put(id record.Ref, body record.Body) {
	src, err := record.Encode(body)
	if err != nil {
		panic(err)
	}
	c.files[record.PathOf(id)] = &fstest.MapFile{Data: src}
}

func (c *car) work(id record.Ref, lines ...record.Line) {
	c.put(id, &record.Session{Head: record.Head{Kind: record.KindSession}, By: "people/tallow-lane/bram-ostler", Basis: "seen", Lines: lines})
}

func (c *car) load(t *testing.T) *ledger.Snapshot {
	t.Helper()
	s, err := ledger.Load(c.files)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func edit[T any](t *testing.T, c *car, id record.Ref, change func(*T)) {
	t.Helper()
	e, ok := ledger.Get[T](c.load(t), id)
	if !ok {
		t.Fatalf("the sample has no %s", id)
	}
	body := *e.Body
	change(&body)
	src, err := json.Marshal(&body)
	if err != nil {
		t.Fatal(err)
	}
	c.files[record.PathOf(id)] = &fstest.MapFile{Data: src}
}

var inspected, _ = replay.ParseDay("2026-06-12")

func phrases(t *testing.T, c *car) []wording.Phrase {
	t.Helper()
	list, err := wording.Make(replay.Of(c.load(t)), inspected)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// key tells sentences of one kind apart.
func key(p wording.Phrase) string { return p.Code + " " + string(p.Thing) + p.Zone }

func find(t *testing.T, list []wording.Phrase, want string) wording.Phrase {
	t.Helper()
	for _, p := range list {
		if key(p) == want {
			return p
		}
	}
	t.Fatalf("there is no sentence %q", want)
	return wording.Phrase{}
}

func TestTheFinishedCarSupportsWhatItsRecordsShow(t *testing.T) {
	list := phrases(t, sampleCar(t))
	for _, want := range []string{"can-be-put-back ", "all-found-parts-kept ", "found-part-kept parts/engine", "old-holes-only ", "no-new-hole boot floor", "no-new-hole engine bay", "loom-not-cut parts/engine-bay-loom"} {
		if p := find(t, list, want); p.Standing != wording.Supported || len(p.For) == 0 || len(p.SeenBy) == 0 {
			t.Errorf("%s: %s, %s", want, p.Standing, p.Why)
		}
	}
	for _, want := range []string{"reversible ", "original "} {
		if p := find(t, list, want); p.Standing != wording.Withheld || p.Settle == "" {
			t.Errorf("%s is %s", want, p.Standing)
		}
	}
	if p := find(t, list, "nothing-drilled-cut-or-welded "); p.Standing != wording.Contradicted || !strings.Contains(p.Why, "left sill") {
		t.Errorf("the sill was cut and welded, whatever for: %s %s", p.Standing, p.Why)
	}
}

func TestBesideEachSentenceStandsWhoSawIt(t *testing.T) {
	p := find(t, phrases(t, sampleCar(t)), "no-new-hole boot floor")
	var home, outside []string
	for _, w := range p.SeenBy {
		if w.Outside {
			outside = append(outside, w.Name)
		} else {
			home = append(home, w.Name)
		}
	}
	if !slices.Equal(outside, []string{"Edda Thackwell"}) || !slices.Contains(home, "Ines Okafor") || !p.SeenBy[len(p.SeenBy)-1].Outside {
		t.Errorf("the workshop: %v, outside it: %v", home, outside)
	}
}

// damages change the sample each in one way; the sentence must then stand as said.
var damages = map[string]struct {
	change   func(*testing.T, *car)
	sentence string
	want     wording.Standing
	why      string
}{
	"C53 a sold original makes the sentence on kept parts false": {func(_ *testing.T, c *car) {
		c.work("work/2026-06-01-bram-x", record.Line{Act: "out", Parts: []record.Ref{"parts/carburettor"}, Gone: "sold"})
	}, "all-found-parts-kept ", wording.Contradicted, "sold"},
	"so does one thrown away in service": {func(_ *testing.T, c *car) {
		c.work("work/2026-06-01-bram-x", record.Line{Act: "out", Parts: []record.Ref{"parts/rear-dampers-old"}, Purpose: "service", Gone: "scrapped"})
	}, "all-found-parts-kept ", wording.Contradicted, "scrapped"},
	"C52 a part that a stock-take missed withholds it": {func(t *testing.T, c *car) {
		edit(t, c, "work/2026-05-26-maud-stock-take", func(w *record.Session) {
			w.Lines[1].Parts = slices.DeleteFunc(w.Lines[1].Parts, func(r record.Ref) bool { return r == "parts/dynamo" })
		})
	}, "all-found-parts-kept ", wording.Withheld, "not seen at the stock-take"},
	"C57 holes seen only after the work withhold the sentence on old holes": {func(t *testing.T, c *car) {
		edit(t, c, "existing/earth-stud", func(e *record.Existing) { e.SeenOn = "2026-03-01" })
		edit(t, c, "readings/2025-09-10-ines-holes-engine-bay", func(r *record.Reading) {
			r.Holes = slices.DeleteFunc(r.Holes, func(h record.Ref) bool { return h == "existing/earth-stud" })
		})
	}, "old-holes-only ", wording.Withheld, "nothing dated shows it"},
	"and a hole that only the later survey lists is a new one": {func(t *testing.T, c *car) {
		edit(t, c, "readings/2025-09-10-ines-holes-engine-bay", func(r *record.Reading) {
			r.Holes = slices.DeleteFunc(r.Holes, func(h record.Ref) bool { return h == "existing/earth-stud" })
		})
	}, "no-new-hole engine bay", wording.Contradicted, "Engine earth stud"},
	"C59 a hole larger in the later survey was opened": {func(t *testing.T, c *car) {
		edit(t, c, "readings/2026-06-11-edda-holes-boot-floor", func(r *record.Reading) {
			r.Values = slices.Clone(r.Values)
			r.Values[0].Value = "9 mm"
		})
	}, "no-new-hole boot floor", wording.Contradicted, "larger in the later survey"},
	"an alteration in the zone contradicts, and its purpose does not matter": {func(_ *testing.T, c *car) {
		c.work("work/2025-12-01-bram-x", record.Line{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"}, Purpose: "restoration of the car", Alteration: &record.Hole{Zone: "boot floor", Count: 1}})
	}, "no-new-hole boot floor", wording.Contradicted, "boot floor"},
	"even after it was undone": {func(_ *testing.T, c *car) {
		c.work("work/2025-12-01-bram-x", record.Line{Act: "alteration", Parts: []record.Ref{"parts/bodyshell"}, Alteration: &record.Hole{Zone: "boot floor", Where: "left", Count: 1}},
			record.Line{Act: "restoration", Parts: []record.Ref{"parts/bodyshell"}, Alteration: &record.Hole{Zone: "boot floor", Where: "left"}})
	}, "no-new-hole boot floor", wording.Contradicted, "boot floor"},
	"without the earlier survey the sentence on a zone is withheld": {func(_ *testing.T, c *car) {
		delete(c.files, "readings/2025-09-10-ines-holes-boot-floor.json")
	}, "no-new-hole boot floor", wording.Withheld, "before the first work"},
	"without the later survey too": {func(_ *testing.T, c *car) {
		delete(c.files, "readings/2026-06-11-edda-holes-boot-floor.json")
	}, "no-new-hole boot floor", wording.Withheld, "after the last work"},
	"work after the later survey withholds it": {func(_ *testing.T, c *car) {
		c.work("work/2026-06-11-zoe-x", record.Line{Act: "removal", Parts: []record.Ref{"parts/charger"}})
	}, "no-new-hole boot floor", wording.Withheld, "after the last work"},
	"a loom end that was cut contradicts": {func(t *testing.T, c *car) {
		edit(t, c, "parts/engine-bay-loom", func(p *record.Part) {
			p.Runs = slices.Clone(p.Runs)
			p.Runs[7].State = "cut"
		})
		c.work("work/2026-06-01-bram-x", record.Line{Act: "rectify", Parts: []record.Ref{"parts/engine-bay-loom"}, Ends: []record.End{{End: "horn", State: "cut"}}})
	}, "loom-not-cut parts/engine-bay-loom", wording.Contradicted, "horn"},
	"C60 sheets that disagree about an end withhold it": {func(t *testing.T, c *car) {
		edit(t, c, "parts/engine-bay-loom", func(p *record.Part) {
			p.Runs = slices.Clone(p.Runs)
			p.Runs[0].State = "joined"
		})
	}, "loom-not-cut parts/engine-bay-loom", wording.Withheld, "unplugged by the work on record and joined"},
	"a number read only after the part came off withholds the sentence on it": {func(t *testing.T, c *car) {
		edit(t, c, "parts/engine", func(p *record.Part) {
			p.Numbers = slices.Clone(p.Numbers)
			p.Numbers[0].On = "2026-01-01"
		})
	}, "found-part-kept parts/engine", wording.Withheld, "before it came off"},
	"a lost engine contradicts it, and the car cannot be fully put back": {func(_ *testing.T, c *car) {
		c.work("work/2026-06-01-bram-x", record.Line{Act: "out", Parts: []record.Ref{"parts/engine"}, Gone: "stolen"})
	}, "can-be-put-back ", wording.Contradicted, "bears a number of this car"},
}

func TestDamageToTheRecordsChangesTheSentence(t *testing.T) {
	for name, d := range damages {
		t.Run(name, func(t *testing.T) {
			c := sampleCar(t)
			d.change(t, c)
			p := find(t, phrases(t, c), d.sentence)
			if p.Standing != d.want || !strings.Contains(p.Why, d.why) {
				t.Errorf("%s: %s", p.Standing, p.Why)
			}
			if p.Standing != wording.Supported && len(p.Against) == 0 && !strings.HasPrefix(name, "without") {
				t.Error("no record is named against it")
			}
		})
	}
}

// Where a sentence is withheld or contradicted, no record that is not named against it makes it supported by being taken away.
func TestRemovingARecordNotNamedAgainstNeverSupportsASentence(t *testing.T) {
	for _, name := range []string{"C53 a sold original makes the sentence on kept parts false", "C60 sheets that disagree about an end withhold it", "work after the later survey withholds it", "and a hole that only the later survey lists is a new one"} {
		t.Run(name, func(t *testing.T) {
			c := sampleCar(t)
			damages[name].change(t, c)
			before := map[string]wording.Phrase{}
			named := map[record.Ref]bool{}
			for _, p := range phrases(t, c) {
				before[key(p)] = p
				for _, r := range p.For {
					named[r] = true
				}
			}
			for i, r := range slices.Sorted(maps.Keys(named)) {
				path := record.PathOf(r)
				kept, here := c.files[path]
				if !here || i%16 != 0 { // a few will do: only one thing is amiss
					continue
				}
				delete(c.files, path)
				for _, now := range phrases(t, c) {
					was, known := before[key(now)]
					if now.Standing == wording.Supported && was.Standing != wording.Supported && (!known || !slices.Contains(was.Against, r)) {
						t.Errorf("without %s %q is supported", r, now.Text)
					}
				}
				c.files[path] = kept
			}
		})
	}
}

func TestThinLedgersSupportNothing(t *testing.T) {
	c := &car{fstest.MapFS{}}
	c.put("ledger", &record.Ledger{Head: record.Head{Kind: record.KindLedger}, Edition: "1"})
	for range 2 {
		for _, p := range phrases(t, c) {
			if p.Standing == wording.Supported {
				t.Errorf("supported: %s", p.Text)
			}
		}
		c.put("car", &record.Car{Head: record.Head{Kind: record.KindCar}, Root: "parts/shell", Baseline: &record.Baseline{Name: "as found", On: "2026-01-01",
			Parts: []record.BaselinePart{{Part: "parts/engine", Evidence: "seen"}, {Part: "parts/tank", Evidence: "seen"}, {Part: "parts/seat", Evidence: "seen"}}}})
	}
}

func TestSentencesKeepToWordsThatRecordsCanCarry(t *testing.T) {
	for _, p := range phrases(t, sampleCar(t)) {
		if p.Standing != wording.Supported {
			continue
		}
		for _, word := range []string{"proof", "proven", "reversible", "original ", "guarantee", "certif", "safe"} {
			if strings.Contains(strings.ToLower(p.Text), word) {
				t.Errorf("%q says %q", p.Text, word)
			}
		}
		if !strings.HasSuffix(p.Text, ".") || strings.HasSuffix(p.Why, ".") {
			t.Errorf("grammar: %q, %q", p.Text, p.Why)
		}
	}
}
