package requirement_test

import (
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/tools/txtar"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/requirement"
	"boltback/records"
)

// testDay is the day on which fixtures are assessed.
var testDay = edtf.NewDay(2026, 6, 30)

// archive reads one fixture; files of a variant lie in a folder of its name.
func archive(t testing.TB, path string) *txtar.Archive {
	t.Helper()
	a, err := txtar.ParseFile("testdata/" + path)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func lay(fsys fstest.MapFS, a *txtar.Archive, folder string) {
	for _, f := range a.Files {
		if name, ok := strings.CutPrefix(f.Name, folder); ok {
			fsys[name] = &fstest.MapFile{Data: f.Data}
		}
	}
}

// factsOf gives the facts of a car in a file system.
func factsOf(t testing.TB, fsys fs.FS) *requirement.Facts {
	t.Helper()
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range s.AllUnread() {
		t.Fatal(u.Fault)
	}
	return requirement.Of(replay.Of(s), testDay)
}

// empty is a car of which nothing is recorded.
func empty(t testing.TB) fstest.MapFS {
	fsys := fstest.MapFS{}
	lay(fsys, archive(t, "base.txtar"), "")
	return fsys
}

// variants gives the cars of an item's fixture: met, met-2, not-met, not-met-2 ... A first line "with: pack" lays what is in
// testdata/with/pack.txtar below each.
func variants(t testing.TB, set, item string) map[string]*requirement.Facts {
	t.Helper()
	a := archive(t, "sets/"+set+"/"+item+".txtar")
	cars := map[string]fstest.MapFS{}
	for _, f := range a.Files {
		variant, _, _ := strings.Cut(f.Name, "/")
		if cars[variant] != nil {
			continue
		}
		fsys := empty(t)
		if with, ok := strings.CutPrefix(strings.SplitN(string(a.Comment), "\n", 2)[0], "with: "); ok {
			for _, w := range strings.Fields(with) {
				lay(fsys, archive(t, "with/"+w+".txtar"), "")
			}
		}
		lay(fsys, a, variant+"/")
		cars[variant] = fsys
	}
	facts := map[string]*requirement.Facts{}
	for name, fsys := range cars {
		facts[name] = factsOf(t, fsys)
	}
	return facts
}

// only gives the result of one item.
func only(t testing.TB, set *requirement.Set, facts *requirement.Facts, id string) requirement.Result {
	t.Helper()
	for _, r := range requirement.Assess(set, facts).Results {
		if r.Item.ID() == id {
			return r
		}
	}
	t.Fatalf("there is no item %s", id)
	return requirement.Result{}
}

func load(t testing.TB, shipped fs.FS, name string) *requirement.Set {
	t.Helper()
	set, err := requirement.NewLibrary(shipped, nil, testDay).Load(name)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

func names(t testing.TB) []string {
	return requirement.NewLibrary(records.Requirements(), nil, testDay).Names()
}

func TestShippedSetsHaveNoFaults(t *testing.T) {
	for _, name := range names(t) {
		set := load(t, records.Requirements(), name)
		for _, f := range set.Findings {
			t.Errorf("%v", f)
		}
		for _, it := range set.Items {
			if it.Asks == "" || it.Judge == "" || it.Test != "" && (it.Clause == "" || it.Basis() == "" || len(it.Evidence) == 0 || len(it.Bring) == 0 || it.Remedy == "") {
				t.Errorf("%s lacks who judges it, clause, basis, evidence, what to bring or the remedy", it.ID())
			}
		}
	}
}

// TestEveryItemNamesItsClauseAndSaysHowThatIsKnown, judged or not; only where nothing is known at all is there no source to name.
func TestEveryItemNamesItsClauseAndSaysHowThatIsKnown(t *testing.T) {
	known := map[string]int{}
	for _, name := range names(t) {
		for _, it := range load(t, records.Requirements(), name).Items {
			if it.Set != name || strings.HasPrefix(it.Asks, "Nothing is known here") && it.Source.Document == "" && it.Test == "" {
				continue
			}
			if known[it.Basis()]++; it.Clause == "" || it.Source.Document == "" {
				t.Errorf("%s has the clause %q of %q", it.ID(), it.Clause, it.Source.Document)
			}
		}
	}
	if len(known) != 3 || known["read"] == 0 || known["second-hand"] == 0 || known["recalled"] == 0 {
		t.Errorf("items are known by %v", known)
	}
}

// TestTheBaselineJudgesEverySubjectThatRulesShare, each by items of its own.
func TestTheBaselineJudgesEverySubjectThatRulesShare(t *testing.T) {
	judged := map[string]bool{}
	for _, it := range load(t, records.Requirements(), "technical-baseline").Items {
		judged[it.RequirementItem.Item] = it.Test != ""
	}
	for subject, items := range map[string]string{
		"isolation by circuit": "isolation-joined isolation-direct isolation-load isolation-inlet isolation-inlet-older", "bonding": "bonding", "labels": "warning-symbol", "orange cable": "orange-cable",
		"touch protection": "touch-inside touch-outside covers", "disconnect": "disconnect", "ready signal": "ready-signal", "drive-away lock": "drive-away-lock", "fuse": "fuse", "pre-charge": "pre-charge",
		"restraint": "restraint", "mass": "gross-mass axle-loads weighing-agrees", "tyres": "tyre-loads tyre-speed", "evidence of tightening": "battery-joints tightening", "calibrations": "calibrations"} {
		for _, item := range strings.Fields(items) {
			if !judged[item] {
				t.Errorf("%s: %s is not judged", subject, item)
			}
		}
	}
}

func TestListsOfQuestionsJudgeNothingAndSayHowEachItemIsKnown(t *testing.T) {
	for _, name := range []string{"ca-on", "ch", "it", "nl", "nz", "uk"} {
		set := load(t, records.Requirements(), name)
		if !set.Questions() || set.Body.Jurisdiction == "" {
			t.Errorf("%s judges, or does not say where it is in force", name)
		}
		for _, it := range set.Items {
			if it.Basis() == "" && !strings.HasPrefix(it.Asks, "Nothing is known here") {
				t.Errorf("%s does not say how it is known", it.ID())
			}
		}
		a := requirement.Assess(set, sampleFacts(t, "tern-1500", testDay))
		if n := a.Count(requirement.ForInspector); n != len(set.Items) || n == 0 {
			t.Errorf("%s: of %d items %d are left to whoever judges", name, len(set.Items), n)
		}
	}
}

func TestASetOfAJurisdictionJudgesNothingThatIsOnlyRecalled(t *testing.T) {
	judged := 0
	for _, name := range names(t) {
		set := load(t, records.Requirements(), name)
		for _, it := range set.Items {
			if set.Body.Jurisdiction == "" || it.Set != name || it.Test == "" {
				continue
			}
			if judged++; it.Basis() != "read" && it.Basis() != "second-hand" {
				t.Errorf("%s is %s and has a test", it.ID(), it.Basis())
			}
		}
	}
	if judged == 0 {
		t.Error("no item of a jurisdiction is judged")
	}
}

func TestEachItemIsMetByOneRecordNotMetByAnotherAndMissesEvidenceInNone(t *testing.T) {
	for _, name := range names(t) {
		set := load(t, records.Requirements(), name)
		nothing := factsOf(t, empty(t))
		for _, it := range set.Items {
			if it.Test == "" || it.Set != name {
				continue
			}
			t.Run(it.ID(), func(t *testing.T) {
				counts := map[requirement.Outcome]int{}
				for variant, facts := range variants(t, it.Set, it.RequirementItem.Item) {
					want := expected(variant)
					r := only(t, set, facts, it.ID())
					if counts[want]++; r.Outcome != want {
						t.Errorf("%s: %s (%s)", variant, r.Outcome, r.Reason)
					}
					if len(r.Records) == 0 && want != requirement.EvidenceMissing {
						t.Errorf("%s: no record is named", variant)
					}
				}
				if counts[requirement.Met] == 0 || counts[requirement.NotMet] == 0 {
					t.Errorf("the fixture has %d records that meet it and %d that do not", counts[requirement.Met], counts[requirement.NotMet])
				}
				r := only(t, set, nothing, it.ID())
				if r.Outcome != requirement.EvidenceMissing || len(r.Gaps) == 0 || r.Gaps[0].Want == "" {
					t.Errorf("with nothing recorded: %s, gaps %v", r.Outcome, r.Gaps)
				}
			})
		}
	}
}

// expected is the outcome that the name of a variant states: met-2, not-met, does-not-apply.
func expected(variant string) requirement.Outcome {
	return requirement.Outcome(strings.ReplaceAll(regexp.MustCompile(`-\d+$`).ReplaceAllString(variant, ""), "-", " "))
}

func TestTwoMeaningsOfOneLimitPartOnOneCar(t *testing.T) {
	set := load(t, records.Requirements(), "fr-retrofit")
	car := variants(t, "fr-retrofit", "axle-loads")["not-met-3"] // 500 and 400 kg became 520 and 480
	points, relative := only(t, set, car, "fr-retrofit/axle-share"), only(t, set, car, "fr-retrofit/axle-loads")
	if points.Outcome != requirement.Met || relative.Outcome != requirement.NotMet {
		t.Errorf("in points %s, relative to the axle %s", points.Outcome, relative.Outcome)
	}
	if points.Item.Ask == "" || relative.Item.Ask == "" {
		t.Error("nothing is asked of the authority where they part")
	}
}

func TestEachFixtureBelongsToAnItem(t *testing.T) {
	have := map[string]bool{}
	for _, name := range names(t) {
		for _, it := range load(t, records.Requirements(), name).Items {
			have[it.ID()] = it.Test != ""
		}
	}
	files, err := fs.Glob(os.DirFS("testdata/sets"), "*/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal(err, files)
	}
	for _, f := range files {
		if !have[strings.TrimSuffix(f, ".txtar")] {
			t.Errorf("testdata/sets/%s belongs to no item with a test", f)
		}
	}
}
