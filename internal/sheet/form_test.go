package sheet

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/page"
)

func text(t testing.TB, p *Printout) string {
	t.Helper()
	return tool(t, p, "pdftotext", "-layout", "sheet.pdf", "-")
}

func TestHoweverManyAndLongTheRowsNoBoxLeavesThePaper(t *testing.T) {
	if testing.Short() {
		t.Skip("makes many sheets")
	}
	for _, n := range []int{0, 1, 11, 12, 13, 14, 40} {
		h := sampleHead()
		h.Paper = page.Letter
		var parts []Removal
		for i := range n {
			parts = append(parts, Removal{Part: strings.Repeat("long words of a part ", i%7), Position: strings.Repeat("x", i%50), Hazard: "fuel"})
		}
		p := mustMake(t, func() (*Printout, error) { return NewStripDown(h, parts) })
		rows := 0
		for _, b := range boxes(t, p) {
			if b.y+b.h > page.Letter.Height-footRoom+0.01 && b.h < 100 {
				t.Errorf("%d rows: the box %+v reaches into the foot", n, b)
			}
			if b.x == side && b.w == numberWidth {
				rows++
			}
		}
		if rows < n+fewest {
			t.Errorf("%d rows known, %d printed: there are to be %d empty ones", n, rows, fewest)
		}
	}
}

func TestTheNumberOfEmptyRowsCanBeAskedFor(t *testing.T) {
	for blank, want := range map[int]int{3: 4, 30: 31, -1: 1} {
		h := sampleHead()
		h.Blank = blank
		p := mustMake(t, func() (*Printout, error) { return NewStripDown(h, []Removal{{Part: "Horn"}}) })
		rows := 0
		for _, b := range boxes(t, p) {
			if b.x == side && b.w == numberWidth {
				rows++
			}
		}
		if rows != want {
			t.Errorf("%d empty rows asked for: %d rows printed, want %d", blank, rows, want)
		}
	}
}

func TestUnitsStandInEmptyBoxesAndPrintedValuesBringTheirOwn(t *testing.T) {
	empty := text(t, mustMake(t, func() (*Printout, error) { return NewWeighing(sampleHead(), "lb") }))
	if strings.Count(empty, "lb") < 15 || strings.Contains(empty, "kg") {
		t.Errorf("lb stands in %d boxes:\n%s", strings.Count(empty, "lb"), empty)
	}
	h := sampleHead()
	h.Blank = -1
	filled := text(t, mustMake(t, func() (*Printout, error) { return NewHoleSurvey(h, []Feature{{What: "hole", Size: "1 in", Count: 2}}) }))
	row := filled[strings.Index(filled, "1 in"):]
	if line, _, _ := strings.Cut(row, "\n"); strings.Contains(line, "mm") || strings.Contains(line, "pcs") {
		t.Errorf("a second unit stands beside the value: %s", line)
	}
}

func TestAKindOfFeatureThatHasNoBoxIsWrittenOut(t *testing.T) {
	out := text(t, mustMake(t, func() (*Printout, error) {
		return NewHoleSurvey(sampleHead(), []Feature{{What: "crack", Where: "left inner wing"}, {What: "dent", Where: "boot lid"}})
	}))
	if !strings.Contains(out, "crack: left inner wing") || strings.Contains(out, "dent: boot lid") {
		t.Error(out)
	}
}

func TestAHazardIsPrintedWithItsPart(t *testing.T) {
	if got := warned("Clutch", "asbestos"); got != "Clutch ⚠ asbestos" {
		t.Error(got)
	}
	if got := warned("Clutch", ""); got != "Clutch" {
		t.Error(got)
	}
}

func TestTheSideIsCrossedOnlyWhereItIsKnown(t *testing.T) {
	for side, want := range map[string]string{"left": "L", "right": "R", "centre": "C", "both": "", "not stated": "", "": ""} {
		if got := sideLetter(side); got != want {
			t.Errorf("%q gave %q", side, got)
		}
	}
	out := text(t, mustMake(t, func() (*Printout, error) {
		return NewStripDown(sampleHead(), []Removal{{Part: "Lamp", Side: "left"}, {Part: "Horn", Side: "not stated"}})
	}))
	if strings.Count(out, "✗") != 1 {
		t.Errorf("%d crosses", strings.Count(out, "✗"))
	}
}

func TestAStockTakeCountsOnBelowWhatShouldBeThere(t *testing.T) {
	var stored []Stored
	for i := range 20 {
		stored = append(stored, Stored{Part: fmt.Sprintf("Thing %d", i+1), Place: "crate 2"})
	}
	out := text(t, mustMake(t, func() (*Printout, error) { return NewStockTake(sampleHead(), "Loft", stored) }))
	should, other, found := strings.Cut(out, "Is here and should not be")
	if !found || !strings.Contains(should, "Thing 20") || strings.Contains(other, "Thing") {
		t.Fatal(out)
	}
	for _, want := range []string{"21", "22", "23", "24"} {
		if !strings.Contains(other, want) {
			t.Errorf("row %s is not below", want)
		}
	}
	nothing := text(t, mustMake(t, func() (*Printout, error) { return NewStockTake(sampleHead(), "Loft", nil) }))
	if strings.Contains(nothing, "Should be here") {
		t.Error("an empty list has a title")
	}
}

func TestProvingDeadFollowsItsOrder(t *testing.T) {
	out := strings.Join(strings.Fields(tool(t, mustMake(t, samples(sampleHead())["dead-test"]), "pdftotext", "-raw", "sheet.pdf", "-")), " ")
	for _, step := range []string{"1 Isolated", "2 Locked off", "3 Waited", "4 Tester", "Proved BEFORE", "5 Measured", "+ to −", "+ to chassis", "− to chassis", "6 Proved AFTER", "7 Stays live", "Second person"} {
		_, rest, found := strings.Cut(out, step)
		if !found {
			t.Fatalf("%q does not follow in\n%s", step, out)
		}
		out = rest
	}
}

func TestALongNameIsShortenedWithASign(t *testing.T) {
	h := sampleHead()
	h.Car = strings.Repeat("Corvane Tern 1500 ", 12)
	out := text(t, mustMake(t, func() (*Printout, error) { return NewWeighing(h, "kg") }))
	first := strings.SplitN(out, "\n", 4)[1]
	if !strings.Contains(first, "…") {
		t.Errorf("%q", first)
	}
}

func TestASheetIsReadOutAsATable(t *testing.T) {
	out := tool(t, mustMake(t, samples(sampleHead())["strip-down"]), "pdfinfo", "-struct-text", "sheet.pdf")
	at := 0
	for _, want := range []string{"H1", `"Strip-down"`, "Figure", "Note", "Table", "TR", "TH", `"No."`, `"Tag"`, "TR", "TH", `"1"`, "TD", `"0111-9"`, `"Fuel tank ⚠ fuel"`} {
		i := strings.Index(out[at:], want)
		if i < 0 {
			t.Fatalf("%s does not follow in\n%.3000s", want, out)
		}
		at += i
	}
	if strings.Contains(out, "An empty box means") {
		t.Error("the foot is read out")
	}
}

func TestPrintoutsSayTheyAreNotToBeScaled(t *testing.T) {
	for name, build := range samples(sampleHead()) {
		if !bytes.Contains(written(t, mustMake(t, build)), []byte("/PrintScaling /None")) {
			t.Errorf("%s may be scaled", name)
		}
	}
}

func TestJobsHaveNamesTitlesAndCautions(t *testing.T) {
	seen := map[string]bool{}
	for _, j := range Jobs() {
		if j.Name() == "" || j.Title() == "" || j.cautionLine == "" || len(cautionsOf[j.Name()]) < 3 || seen[j.Name()] {
			t.Errorf("%+v", j)
		}
		seen[j.Name()] = true
	}
	if len(seen) != len(cautionsOf) {
		t.Errorf("%d jobs and cautions for %d", len(seen), len(cautionsOf))
	}
}

func TestAnyTextMakesASheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.String(), 6, 6).Draw(t, "words")
		h := Head{Car: words[0], Numbers: words[1], Who: words[2], Zone: words[3], Source: words[4], Slug: "x"}
		p, err := NewStripDown(h, []Removal{{Part: words[5], Tag: words[0], Position: words[1], Store: words[2]}})
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := p.Write(&b); err != nil || !bytes.HasSuffix(b.Bytes(), []byte("%%EOF\n")) {
			t.Fatal(err)
		}
	})
}

func FuzzStripDown(f *testing.F) {
	f.Add("Fuel tank", "0111-9", "tern-1500")
	f.Add("\x00\xff", "", "")
	f.Add(strings.Repeat("W", 3000), "x", "a-b")
	f.Fuzz(func(t *testing.T, part, tag, slug string) {
		p, err := NewStripDown(Head{Car: part, Slug: slug}, []Removal{{Part: part, Tag: tag, Bag: tag}})
		if err != nil {
			return // a slug that no code can hold
		}
		if err := p.Write(&bytes.Buffer{}); err != nil {
			t.Error(err)
		}
	})
}
