package workings

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/tools/txtar"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/replay"
)

var update = flag.Bool("update", false, "write the golden file anew")

// heron is a car in which every optional figure is recorded, and every mistake
// that the sums must notice.
func heron(t testing.TB) *Car {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/heron.txtar")
	if err != nil {
		t.Fatal(err)
	}
	files := fstest.MapFS{}
	for _, f := range archive.Files {
		files[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	s, err := ledger.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range s.AllUnread() {
		t.Errorf("%s: %s", f.Path, f.Fault.Message)
	}
	values := func(v record.Sealed) (string, bool) { return "1200.00 GBP", v[0] == 'a' }
	return Of(replay.Of(s), edtf.NewDay(2026, 7, 10), values)
}

// page is a working as plain text, for the golden file.
func page(w Working) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("%s / %s: %s", w.Subject, w.ID, w.Title)
	line("  %s", w.Answer)
	for _, s := range w.Steps {
		if s.Formula() == "" {
			line("  . %s %s", s.Sentence, s.Result())
			continue
		}
		line("  . %s %s = %s; %s", s.Sentence, s.Formula(), s.Numbers(), s.Result())
	}
	for _, in := range w.Inputs {
		from := in.Source.String()
		if in.Path != "" {
			from = fmt.Sprintf("%s:%d", in.Path, in.Line)
		}
		line("  < %s %s: %s [%s]", in.Symbol, in.Name, in.Text, from)
	}
	for _, v := range w.Verdicts {
		line("  = %s, %s: %s, %s", v.Of, v.Against, v.Outcome, v.Reason)
	}
	for _, list := range []struct {
		mark  string
		lines []string
	}{{"?", w.Missing}, {"!", w.Notes}, {"~", w.Assumptions}} {
		for _, one := range list.lines {
			line("  %s %s", list.mark, one)
		}
	}
	return b.String()
}

func TestTheHeronGivesTheWorkingsOnFile(t *testing.T) {
	var b strings.Builder
	for _, w := range heron(t).All() {
		b.WriteString(page(w) + "\n")
	}
	const file = "testdata/heron.txt"
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.String(); got != string(want) {
		g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range min(len(g), len(w)) {
			if g[i] != w[i] {
				t.Fatalf("line %d is\n%s\nand was\n%s\nlook at it after: go test ./internal/workings -update", i+1, g[i], w[i])
			}
		}
		t.Fatalf("%d lines and were %d; look at it after: go test ./internal/workings -update", len(g), len(w))
	}
}

// find gives the working of that subject and name.
func find(t *testing.T, c *Car, subject Subject, id string) Working {
	t.Helper()
	var names []string
	for _, w := range c.About(subject) {
		if w.ID == id {
			return w
		}
		names = append(names, w.ID)
	}
	t.Fatalf("no %s among %q", id, names)
	return Working{}
}

func TestTheRecordsOfTheHeronGiveWhatTheTradeKnows(t *testing.T) {
	c := heron(t)
	laden := find(t, c, Mass, "laden 2026-04-20-ina-after")
	about(t, lineOf(t, laden, "l_R"), 598+2*81.6*1200/2310+2*81.6*2000/2310, "kg", 0.06)
	says(t, find(t, c, Mass, "ticket 2026-04-19-ina-told").Answer, "weighed by the operator")
	outcome(t, find(t, c, Mass, "reserve rear axle"), "rear axle, laden", NotMet)
	outcome(t, find(t, c, Mass, "reserve front axle"), "front axle, laden", EvidenceMissing)
	today := find(t, c, Mass, "today 2026-04-20-ina-after")
	says(t, outcome(t, today, "total of this weighing", Stale).Reason, "papers/weigh-ticket")
	about(t, find(t, c, Mass, "handbook unladen mass").Value, 895.4, "kg", 0.05)
	predicted := find(t, c, Mass, "predicted 2026-01-06-ina-before to 2026-04-20-ina-after")
	outcome(t, predicted, "total, measured against predicted", Met)
	outcome(t, predicted, "rear axle, measured against predicted", Contradiction) // the pack is not where its record says

	joinedUp := find(t, c, Insulation, "joined pack and load")
	outcome(t, joinedUp, "insulation", NotMet)
	outcome(t, find(t, c, Insulation, "isolation 2026-07-01-ina-load-side"), "the circuit as a whole", EvidenceMissing)
	says(t, textOf(find(t, c, Insulation, "trend load side")), "The reading of 2026-07-01 has one pole alone and is left out", "two readings of the same circuit")
	volts := find(t, c, Insulation, "voltmeter 2026-07-02-ina-voltmeter")
	says(t, outcome(t, volts, "insulation", Met).Why, "bonded metal housings")
	outcome(t, find(t, c, Insulation, "bonding 2026-03-20-ina-bonding pack case"), "bonding of pack case", TooClose)
	outcome(t, find(t, c, Insulation, "dead 2026-03-20-ina-dead"), "the circuit", EvidenceMissing)

	mount := find(t, c, Joints, "tightened motor-mount")
	outcome(t, mount, "torque", NotMet)
	says(t, strings.Join(mount.Notes, " "), "12 times")
	outcome(t, mount, "Wrench", NotEvidenced)
	outcome(t, find(t, c, Joints, "tightened tray-floor"), "angle", EvidenceMissing)
	says(t, outcome(t, find(t, c, Joints, "tightened pack-tray"), "second check", EvidenceMissing).Reason, "same person")

	about(t, find(t, c, Pack, "topology pack").Value, 35.04, "kWh", 0.001)
	outcome(t, find(t, c, Pack, "fuse traction"), "smallest fault current", NotMet)
	outcome(t, find(t, c, Pack, "fuse traction"), "fuse", NotMet)
	outcome(t, find(t, c, Pack, "pre-charge traction"), "resistor, shorted circuit", NotMet)
	outcome(t, find(t, c, Pack, "residual 2026-03-22-ina-first-power"), "voltage at closing", NotMet)
	outcome(t, find(t, c, Pack, "input torque motor"), "motor torque", NotMet)
	outcome(t, find(t, c, Pack, "serials bought and fitted"), "part HM-4417, fitted", TooClose)

	outcome(t, find(t, c, Restraint, "restraint tray-floor forward"), "the mount, forward", NotMet)
	about(t, lineOf(t, find(t, c, Restraint, "restraint tray-floor forward"), "F"), 242*20*9.80665/1000, "kN", 0.01)
	about(t, lineOf(t, find(t, c, Brakes, "brakes 2026-04-25-tom-brakes"), "z_w"), 100*559.0/1018, "%", 0.01)
	says(t, find(t, c, Distance, "odometer series").Answer, "at least 100118 mi")
	about(t, find(t, c, Driving, "consumption runs").Low, 200, "km", 0.001)
	outcome(t, find(t, c, Driving, "charging 2026-05-11-ina-charge"), "this charge", Contradiction)
	outcome(t, find(t, c, Driving, "energy logs logs"), "a total over all sources", NotComparable)
	outcome(t, find(t, c, Custody, "authority certificate"), "term: brakes", NotMet)
	outcome(t, find(t, c, Custody, "authority certificate"), "scope: traction circuit", NotMet)
	says(t, find(t, c, Custody, "value stored parts").Answer, "1200.00 GBP")
	outcome(t, find(t, c, Custody, "unseen stored parts"), "Engine", EvidenceMissing)
	says(t, find(t, c, Custody, "date invoice").Answer, "[2026-03-04,2026-04-03]")
}

func TestAWorkOrderCanAskWhereTheCentreGoes(t *testing.T) {
	c := heron(t)
	w := c.CentreAsPartsComeOut([]record.Ref{"parts/pack", "parts/motor"})
	about(t, lineOf(t, w, "x′1"), (1018*1356.97-230*2100)/788, "mm", 0.6)
	says(t, w.Caution, "can tip")
	s, err := ledger.Load(fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)}})
	if err != nil {
		t.Fatal(err)
	}
	none := Of(replay.Of(s), edtf.Day{}, nil).CentreAsPartsComeOut(nil)
	says(t, none.Answer+none.Caution, "not computed: needs a weighing", "can tip")
}

func TestEverySubjectHasATitleAndWorkings(t *testing.T) {
	c := heron(t)
	for _, s := range Subjects() {
		if s.Title() == string(s) || len(c.About(s)) == 0 {
			t.Errorf("%s is titled %q and has %d workings", s, s.Title(), len(c.About(s)))
		}
	}
	if c.About("weight") != nil || c.Pictures("weight") != nil {
		t.Error("weight is no subject")
	}
}

func TestADayBeforeTheConversionKnowsNothingOfIt(t *testing.T) {
	c := heron(t)
	early := Of(c.work, edtf.NewDay(2026, 1, 7), nil)
	for _, w := range early.All() {
		for _, in := range w.Inputs {
			if strings.Contains(in.Path, "2026-03") || strings.Contains(in.Path, "2026-04") || strings.Contains(in.Path, "2026-05") {
				t.Errorf("%s takes %s", w.ID, in.Path)
			}
		}
	}
	says(t, find(t, early, Pack, "pack").Answer, "not computed: needs a traction battery on the car")
}

// An empty ledger has workings that say what they need, and none that is zero.
func TestAnEmptyLedgerComputesNothing(t *testing.T) {
	s, err := ledger.Load(fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)}})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range Of(replay.Of(s), edtf.Day{}, nil).All() {
		if v, ok := w.Value.Rat(); ok {
			t.Errorf("%s is %s", w.ID, v)
		}
		if w.Computed() && !strings.Contains(w.Answer, "no part is in a store") {
			t.Errorf("%s: %s", w.ID, w.Answer)
		}
	}
}

func TestEveryWorkingIsWhole(t *testing.T) {
	for name, c := range map[string]*Car{"heron": heron(t), "sample": sampleCar(t)} {
		seen := map[string]bool{}
		for _, w := range c.All() {
			at := name + " " + string(w.Subject) + " " + w.ID
			if seen[at] {
				t.Errorf("%s stands twice", at)
			}
			seen[at] = true
			wholeWorking(t, at, w)
		}
	}
}

func wholeWorking(t *testing.T, at string, w Working) {
	t.Helper()
	if w.Title == "" || w.Answer == "" || strings.HasSuffix(w.Answer, ".") {
		t.Errorf("%s: title %q, answer %q", at, w.Title, w.Answer)
	}
	if w.Computed() && len(w.Sources) == 0 {
		t.Errorf("%s rests on nothing", at)
	}
	if !w.Computed() && len(w.Missing) == 0 {
		t.Errorf("%s does not say what is missing", at)
	}
	for _, s := range w.Sources {
		if s.Text == "" || s.Basis == "" {
			t.Errorf("%s: source %q has basis %q", at, s.Text, s.Basis)
		}
	}
	for _, v := range w.Verdicts {
		if v.Of == "" || v.Outcome == "" || v.Reason == "" || strings.HasSuffix(v.Reason, ".") {
			t.Errorf("%s: %+v", at, v)
		}
	}
	for _, in := range w.Inputs {
		if in.Path != "" && in.Line == 0 {
			t.Errorf("%s: %s has no line", at, in.Name)
		}
	}
}

func TestTheSampleAddsUp(t *testing.T) {
	c := sampleCar(t)
	for _, w := range c.All() {
		for _, v := range w.Verdicts {
			if v.Outcome == Contradiction {
				t.Errorf("%s: %s", w.ID, v.Reason)
			}
		}
	}
	for _, w := range c.About(Mass) {
		if strings.HasPrefix(w.ID, "predicted") {
			outcome(t, w, "total, measured against predicted", Met)
			outcome(t, w, "front axle, measured against predicted", Met)
			outcome(t, w, "rear axle, measured against predicted", Met)
		}
	}
	about(t, find(t, c, Pack, "energy whole pack").Value, 21.024, "kWh", 0.001)
	joinedUp := find(t, c, Insulation, "joined pack and load")
	if joinedUp.Value.Bound() != quantity.Above {
		t.Errorf("%s: boxes read beyond the end of the range give a bound", joinedUp.Value)
	}
	outcome(t, joinedUp, "insulation", Met)
}

func BenchmarkAxleLoadsOverThreeHundredParts(b *testing.B) {
	var parts []Fitted
	for i := range 300 {
		parts = append(parts, Fitted{fmt.Sprint("part ", i), 1 - 2*(i%2), Given("3.5 ±0.1 kg"), Given(fmt.Sprintf("%d mm", 10*i))})
	}
	w := ticket("480 kg", "520 kg", "1000 kg", "1 kg")
	for b.Loop() {
		if w := PredictedLoads("x", w, Given("2311 mm"), parts, nil); !w.Computed() {
			b.Fatal(w.Answer)
		}
	}
}

func BenchmarkAllWorkingsOfTheSample(b *testing.B) {
	c := sampleCar(b)
	for b.Loop() {
		if len(c.All()) == 0 {
			b.Fatal("none")
		}
	}
}
