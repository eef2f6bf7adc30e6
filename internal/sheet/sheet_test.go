package sheet

import (
	"bytes"
	"flag"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"boltback/internal/page"
)

var update = flag.Bool("update", false, "write the golden files anew")

// tool runs one of the independent PDF tools over a printout. They are part of
// the whole check; elsewhere the test says which one is absent.
func tool(t testing.TB, p *Printout, command string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(command); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed", command)
		}
		t.Skipf("%s is not installed, so nobody else looks at the sheets", command)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "sheet.pdf"), written(t, p), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(command, args...)
	cmd.Dir = dir
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %v: %v\n%s%s", command, args, err, stdout.String(), stderr.String())
	}
	if command == "pdftoppm" {
		return dir
	}
	return stdout.String()
}

func written(t testing.TB, p *Printout) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := p.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func sampleHead() Head {
	return Head{
		Car: "Corvane Tern 1500, QTL 318E", Slug: "tern-1500", Numbers: "chassis *TK 40317 R*   engine 15E 2201?",
		Session: "2025-09-16-ines-tank-out", Day: "2025-09-16", Who: "Ines Okafor", Zone: "boot floor",
		Source: "commit 7c0d91e24ab3 on 2025-09-15", Workshop: "Tallow Lane", Made: time.Date(2025, 9, 15, 18, 0, 0, 0, time.UTC),
	}
}

// samples makes one sheet of each job, partly filled.
func samples(h Head) map[string]func() (*Printout, error) {
	return map[string]func() (*Printout, error){
		"strip-down": func() (*Printout, error) {
			return NewStripDown(h, []Removal{
				{Tag: "0111-9", Part: "Fuel tank", Position: "boot floor recess", Side: "centre", Fasteners: "6 × 5/16 UNF", Bag: "0213-1", Store: "crate 4", Hazard: "fuel"},
				{Part: "Exhaust, rear section with silencer and two hangers of rubber", Position: "under boot floor", Side: "left"},
				{Part: "Brake shoes, rear", Hazard: "asbestos"},
			})
		},
		"fitting": func() (*Printout, error) {
			return NewFitting(h, []FittingLine{{Tag: "0301-8", Part: "Battery cradle, rear", Position: "boot floor recess", Joint: "Rear cradle to tank flange nuts", Fasteners: "6 × 5/16 UNF"}})
		},
		"tightening": func() (*Printout, error) {
			return NewTightening(h, "N·m", []TighteningLine{
				{Joint: "Adapter plate to bell housing", Fasteners: "8 × 5/16 UNF x 1 1/4 S", Specified: "18 lbf.ft", Source: "workshop manual, F 6", SecondCheck: true},
				{Joint: "Seat belt anchorage, left", Fasteners: "1 × 7/16 UNF", Specified: "40 N.m"},
			})
		},
		"dead-test": func() (*Printout, error) {
			return NewDeadTest(h, []Isolation{{"inverter terminals", "403.2 V"}, {"charger, pack side", "403.2 V"}})
		},
		"weighing": func() (*Printout, error) { return NewWeighing(h, "kg") },
		"hole-survey": func() (*Printout, error) {
			return NewHoleSurvey(h, []Feature{{"hole", "drain, 40 mm from rear edge, centre", "25.4 mm", 1}, {"captive nut", "tank flange", "5/16 UNF", 6}})
		},
		"stock-take": func() (*Printout, error) {
			return NewStockTake(h, "Dry loft", []Stored{{Tag: "0101-2", Part: "Engine", Place: "crate 1", LastSeen: "2026-03-24", Seal: "4471"}, {Tag: "0102-0", Part: "Gearbox", Place: "floor"}})
		},
	}
}

func mustMake(t testing.TB, build func() (*Printout, error)) *Printout {
	t.Helper()
	p, err := build()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestEverySheetReadsAsItShould(t *testing.T) {
	made := samples(sampleHead())
	for _, j := range Jobs() {
		t.Run(j.Name(), func(t *testing.T) {
			got := tool(t, mustMake(t, made[j.Name()]), "pdftotext", "-layout", "sheet.pdf", "-")
			golden := filepath.Join("testdata", j.Name()+".txt")
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("the text of the sheet has changed; look at it, and if it is right, run with -update:\n%s", got)
			}
		})
	}
}

func TestEverySheetIsSoundOnBothPapers(t *testing.T) {
	for _, paper := range []page.Paper{page.A4, page.Letter} {
		h := sampleHead()
		h.Paper = paper
		for name, build := range samples(h) {
			p := mustMake(t, build)
			if p.Pages() != 1 {
				t.Errorf("%s takes %d pages of %v; the sample fits on one", name, p.Pages(), paper)
			}
			if l := p.Lacking(); len(l) > 0 {
				t.Errorf("%s: the typefaces lack %q", name, string(l))
			}
			if out := tool(t, p, "qpdf", "--check", "sheet.pdf"); strings.Contains(out, "WARNING") {
				t.Errorf("%s: %s", name, out)
			}
		}
	}
}

func TestTheSameSheetIsTheSameBytes(t *testing.T) {
	for name, build := range samples(sampleHead()) {
		if !bytes.Equal(written(t, mustMake(t, build)), written(t, mustMake(t, build))) {
			t.Errorf("%s differs from itself", name)
		}
	}
}

func TestASheetCanBePrintedBeforeAnythingIsKnown(t *testing.T) {
	for name, build := range samples(Head{}) {
		if p := mustMake(t, build); p.Pages() < 1 {
			t.Errorf("%s has no page", name)
		}
	}
	p := mustMake(t, func() (*Printout, error) { return NewStripDown(Head{}, nil) })
	if out := tool(t, p, "pdftotext", "-layout", "sheet.pdf", "-"); !strings.Contains(out, "12") || !strings.Contains(out, "Car:") {
		t.Error(out)
	}
}

func TestEveryJobHasItsCautionsAndDefersToTheLaw(t *testing.T) {
	must := map[string][]string{
		"strip-down":  {"Isolate, lock off", "prove dead", "stays live", "full of vapour", "gas-free", "stands or a lift", "Asbestos"},
		"fitting":     {"Isolate, lock off", "prove dead", "stays live", "gas-free", "stands or a lift", "Lithium"},
		"tightening":  {"stands or a lift", "without a source", "second person"},
		"dead-test":   {"Isolate, lock off", "prove dead", "stays live", "Proved on a known source before and again after", "second person"},
		"weighing":    {"nobody beneath", "stays live"},
		"hole-survey": {"lead", "asbestos", "stands or a lift"},
		"stock-take":  {"Heavy crates low", "Asbestos"},
	}
	for name, build := range samples(sampleHead()) {
		text := strings.Join(strings.Fields(tool(t, mustMake(t, build), "pdftotext", "-layout", "sheet.pdf", "-")), " ")
		plain := strings.Join(strings.Fields(tool(t, mustMake(t, build), "pdftotext", "sheet.pdf", "-")), " ")
		for _, w := range append(must[name], "local codes and licensed practice decide") {
			if !strings.Contains(text, w) && !strings.Contains(plain, w) {
				t.Errorf("%s does not say %q", name, w)
			}
		}
	}
}

func TestEightyPartsGoOverPagesWithHeadCodeAndCautionsOnEach(t *testing.T) {
	var parts []Removal
	for i := range 80 {
		parts = append(parts, Removal{Part: "Part number " + strconv.Itoa(i+1), Position: "engine bay"})
	}
	p := mustMake(t, func() (*Printout, error) { return NewStripDown(sampleHead(), parts) })
	if p.Pages() < 4 || p.Pages() > 6 {
		t.Errorf("%d pages", p.Pages())
	}
	pages := strings.Split(strings.TrimSuffix(tool(t, p, "pdftotext", "-layout", "sheet.pdf", "-"), "\f"), "\f")
	all := strings.Join(pages, "\n")
	for i := range 80 {
		if !regexp.MustCompile(`(?m)^\s*` + strconv.Itoa(i+1) + `\s+Part number ` + strconv.Itoa(i+1) + `\b`).MatchString(all) {
			t.Errorf("row %d is not there", i+1)
		}
	}
	for i, text := range pages {
		for _, want := range []string{"Strip-down", "Corvane Tern 1500", "Where it sat", "sheet " + strconv.Itoa(i+1) + " of " + strconv.Itoa(len(pages)), "solate, lock off", "sbestos"} {
			if !strings.Contains(text, want) {
				t.Errorf("page %d does not say %q", i+1, want)
			}
		}
	}
}

// rectangle is an upright box on the page, in millimetres.
type rectangle struct{ x, y, w, h float64 }

var boxForm = regexp.MustCompile(`(?m)^(\S+) (\S+) m\n(\S+) (\S+) l\n(\S+) (\S+) l\n(\S+) (\S+) l\nh\nS$`)

// boxes reads the boxes out of the pages themselves.
func boxes(t *testing.T, p *Printout) []rectangle {
	t.Helper()
	var list []rectangle
	for _, m := range boxForm.FindAllStringSubmatch(tool(t, p, "qpdf", "--qdf", "sheet.pdf", "-"), -1) {
		var v [8]float64
		for i := range v {
			var err error
			if v[i], err = strconv.ParseFloat(m[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		list = append(list, rectangle{v[0], v[1], v[4] - v[0], v[5] - v[1]})
	}
	return list
}

// A box for the pen is at least so high, and print at least so large, for gloved hands and an arm's length.
const (
	gloveBox  = 8.0
	armsPrint = 8 * 25.4 / 72 // 8 points
)

func TestBoxesAreHighEnoughForGlovesAndLieOnThePaper(t *testing.T) {
	for _, paper := range []page.Paper{page.A4, page.Letter} {
		h := sampleHead()
		h.Paper = paper
		for name, build := range samples(h) {
			list := boxes(t, mustMake(t, build))
			high := 0
			for _, b := range list {
				if b.x < 5 || b.y < 5 || b.x+b.w > paper.Width-5 || b.y+b.h > paper.Height-5 {
					t.Errorf("%s: the box %+v is off the printable paper", name, b)
				}
				stripe := b.x == side && b.w < 5 // beside the cautions
				if !stripe && (b.h < gloveBox || b.w < gloveBox-0.01) {
					t.Errorf("%s: the box %+v is too small for gloves", name, b)
				}
				if b.h >= 9 {
					high++
				}
			}
			if high < 20 {
				t.Errorf("%s has only %d boxes for the pen", name, high)
			}
		}
	}
}

var printForm = regexp.MustCompile(`BT /\S+ 1 Tf (\S+) (\S+) `)

func TestNothingIsPrintedSmallerThanEightPoints(t *testing.T) {
	made := map[string]*Printout{}
	for name, build := range samples(sampleHead()) {
		made[name] = mustMake(t, build)
	}
	many := sampleHead()
	many.Blank = 40
	made["pages after the first"] = mustMake(t, samples(many)["strip-down"])
	for _, g := range Grids() {
		for _, kind := range LabelKinds() {
			p, err := NewLabels(Labels{Kind: kind, Grid: g, From: 97, Count: 2, Words: []string{"fuel tank"}})
			if err != nil {
				t.Fatal(err)
			}
			made[string(kind)+" on "+g.Name] = p
		}
	}
	var err error
	if made["clock"], err = NewClock(ClockPage{Slug: "2026-03-02"}); err != nil {
		t.Fatal(err)
	}
	for name, p := range made {
		least := 100.0
		for _, m := range printForm.FindAllStringSubmatch(tool(t, p, "qpdf", "--qdf", "sheet.pdf", "-"), -1) {
			across, err1 := strconv.ParseFloat(m[1], 64)
			along, err2 := strconv.ParseFloat(m[2], 64)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			least = min(least, math.Hypot(across, along))
		}
		if least < armsPrint-0.01 || least == 100 {
			t.Errorf("%s: the smallest print is %.2f mm high, and 8 points are %.2f", name, least, armsPrint)
		}
	}
}

func TestALongValueIsPrintedInFull(t *testing.T) {
	long := "Bracket between the left inner wing and the bulkhead that carries the relay of the horn and the earth of the loom, repaired once"
	p := mustMake(t, func() (*Printout, error) { return NewStripDown(sampleHead(), []Removal{{Part: long}}) })
	out := strings.Join(strings.Fields(tool(t, p, "pdftotext", "-x", "60", "-y", "0", "-W", "180", "-H", "1000", "sheet.pdf", "-")), " ")
	for _, w := range strings.Fields(long) {
		if !strings.Contains(out, w) {
			t.Errorf("%q is lost in %s", w, out)
		}
	}
}

func TestANameThatNoCodeCanHoldIsAnError(t *testing.T) {
	h := sampleHead()
	h.Slug = "../etc"
	if _, err := NewWeighing(h, "kg"); err == nil || !strings.Contains(err.Error(), "cannot stand in a code") {
		t.Error(err)
	}
}

func TestCharactersThatCannotBePrintedAreReported(t *testing.T) {
	h := sampleHead()
	h.Who = "Ines \U0001f527"
	p := mustMake(t, func() (*Printout, error) { return NewWeighing(h, "kg") })
	if string(p.Lacking()) != "\U0001f527" {
		t.Errorf("%q", string(p.Lacking()))
	}
}

func BenchmarkStripDownOfEighty(b *testing.B) {
	parts := make([]Removal, 80)
	for b.Loop() {
		p, err := NewStripDown(sampleHead(), parts)
		if err != nil {
			b.Fatal(err)
		}
		if err := p.Write(&bytes.Buffer{}); err != nil {
			b.Fatal(err)
		}
	}
}
