package render

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"boltback/internal/doc"
	"boltback/internal/figure"
	pdf "boltback/internal/page"
)

// structure is what a reader that speaks is told, one element or text a line.
func structure(t testing.TB, blocks ...doc.Block) []string {
	t.Helper()
	out := pdfTool(t, asPDF(t, with(blocks...), PDFOptions{}), "pdfinfo", "-struct-text", "file.pdf")
	var lines []string
	for l := range strings.SplitSeq(out, "\n") {
		l = strings.TrimSpace(l)
		if l != "" && !strings.HasPrefix(l, "/") {
			lines = append(lines, strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(l, " (block)"), " (inline)"), ":"))
		}
	}
	return lines
}

// follows checks that lines come in this order, others between them or not.
func follows(t *testing.T, lines []string, want ...string) {
	t.Helper()
	at := 0
	for _, w := range want {
		for at < len(lines) && lines[at] != w {
			at++
		}
		if at == len(lines) {
			t.Fatalf("%s does not follow in\n%s", w, strings.Join(lines, "\n"))
		}
		at++
	}
}

func TestEveryBlockIsToldAsWhatItIs(t *testing.T) {
	table := doc.NewTable("Parts off", doc.Col("Part", 1), doc.Num("Mass", 1))
	table.Group("Fuel")
	table.Row("Tank", "8.3 kg")
	for name, c := range map[string]struct {
		block doc.Block
		want  []string
	}{
		"a paragraph":   {doc.Para("All is {}.", doc.Strong("well")), []string{"P", `"All is well."`}},
		"pairs":         {doc.FactsOf(doc.Is("Mass", "459 kg")), []string{"L", "LI", "Lbl", `"Mass"`, "LBody", `"459 kg"`}},
		"steps":         {doc.Steps(doc.Point("Drain."), doc.Point("Lift.")), []string{"L", "LI", "Lbl", `"1."`, "LBody", `"Drain."`, "LI", `"2."`, `"Lift."`}},
		"bullets":       {doc.Bullets(doc.Point("Earth strap").With(doc.Para("both ends"))), []string{"L", "LI", `"–"`, `"Earth strap"`, "P", `"both ends"`}},
		"a table":       {table, []string{"Table", "TR", "TH", `"Part"`, "TH", `"Mass"`, "TR", "TH", `"Fuel"`, "TR", "TH", `"Tank"`, "TD", `"8.3 kg"`}},
		"a caution":     {doc.Warn("Lifting", "Keep clear."), []string{"Note", `"Caution: Lifting"`, `"Keep clear."`}},
		"a signature":   {&doc.Signature{Name: "Ada Tarn", Status: doc.Say("stale")}, []string{"L", `"Signed"`, `"Ada Tarn"`, `"Today"`, `"stale"`}},
		"typed lines":   {&doc.Verbatim{Text: "a = 1\n  b = 2"}, []string{"Code", `"a = 1   b = 2 "`}},
		"a provenance":  {&doc.Provenance{Subject: "Tern", Basis: doc.NotExamined}, []string{"L", `"Subject"`, `"Tern"`, "P", `"` + doc.NotExamined + `"`}},
		"a lost photo":  {&doc.PhotoSheet{Photos: []doc.Photo{{Absent: "not here", Caption: doc.Say("Sill")}}}, []string{"Figure", `"(not here)"`, "Caption", `"Sill (day not stated)"`}},
		"an inner part": {doc.NewSection("b", "Inner", doc.Para("x")), []string{"H3", `"1.1 Inner"`, "P", `"x"`}},
	} {
		t.Run(name, func(t *testing.T) { follows(t, structure(t, c.block), c.want...) })
	}
}

func TestTheRunningHeadsAreNotToldAndStandOnEveryPage(t *testing.T) {
	d := many(20)
	file := asPDF(t, d, PDFOptions{})
	if told := pdfTool(t, file, "pdfinfo", "-struct-text", "file.pdf"); strings.Contains(told, "page 2 of") || strings.Contains(told, "commit c0ffee, 2026-01-02") {
		t.Error("a running head is read out as content")
	}
	pages := strings.Split(strings.TrimSuffix(pdfText(t, file), "\f"), "\f")
	for i, p := range pages {
		for _, want := range []string{fmt.Sprintf("page %d of %d", i+1, len(pages)), doc.NotExamined} {
			if !strings.Contains(p, want) {
				t.Errorf("page %d does not say %q", i+1, want)
			}
		}
		if i > 0 && !strings.Contains(p, "commit c0ffee, 2026-01-02") {
			t.Errorf("page %d does not say what it rests on", i+1)
		}
	}
}

func TestAHeadingNeverStandsAloneAtTheFoot(t *testing.T) {
	for filler := 30; filler < 60; filler++ {
		var blocks []doc.Block
		for range filler {
			blocks = append(blocks, doc.Para("one line"))
		}
		blocks = append(blocks, doc.NewSection("last", "The last heading", doc.Para("what stands below it")))
		for i, p := range strings.Split(pdfText(t, asPDF(t, with(blocks...), PDFOptions{})), "\f") {
			if strings.Contains(p, "The last heading") && !strings.Contains(p, "what stands below it") {
				t.Errorf("with %d lines before it, the heading stands alone on page %d", filler, i+1)
			}
		}
	}
}

func TestACautionStaysWhole(t *testing.T) {
	for filler := 36; filler < 48; filler++ {
		var blocks []doc.Block
		for range filler {
			blocks = append(blocks, doc.Para("one line"))
		}
		blocks = append(blocks, doc.Warn("Fuel", strings.Repeat("a tank counts as full of vapour ", 12)+"until it was read gas-free"))
		for _, p := range strings.Split(pdfText(t, asPDF(t, with(blocks...), PDFOptions{})), "\f") {
			if strings.Contains(p, "Caution: Fuel") != strings.Contains(squeezed(p), "until it was read gas-free") {
				t.Errorf("with %d lines before it, the caution is parted", filler)
			}
		}
	}
}

func TestAListCountsFromWhereItIsAsked(t *testing.T) {
	out := pdfText(t, asPDF(t, with(&doc.List{Ordered: true, Start: 9, Items: []doc.Item{doc.Point("ninth"), doc.Point("tenth")}}), PDFOptions{}))
	if !regexp.MustCompile(`9\.\s+ninth`).MatchString(out) || !regexp.MustCompile(`10\.\s+tenth`).MatchString(out) {
		t.Error(out)
	}
}

func TestSpacesOfTypedLinesAndOfNumbersAsReadAreKept(t *testing.T) {
	out := pdfText(t, asPDF(t, with(&doc.Verbatim{Text: "m1 =  459 kg\n   =  341 kg"}, doc.Para("{}", doc.Literal("*TK  40 317*"))), PDFOptions{}))
	for _, want := range []string{`m1 = {2,}459 kg`, `\n {4,}= {2,}341 kg`, `\*TK {2,}40 317\*`} {
		if !regexp.MustCompile(want).MatchString(out) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
}

func TestWhatAFaceShowsIsAlsoSaid(t *testing.T) {
	out := squeezed(pdfText(t, asPDF(t, with(doc.Para("{} {} {} {} {}", doc.Struck("old"), doc.Missing(""), doc.Withheld("name"), doc.Transcribed("48 210"), doc.FromRecord("work/a", 3))), PDFOptions{})))
	for _, want := range []string{"struck out: old", "(not stated)", "(withheld: name)", "48 210 (transcribed)", "[work/a:3]"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in %s", want, out)
		}
	}
}

func TestColumnsShareTheLineAndGiveToLongWords(t *testing.T) {
	s := newSetter(context.Background(), with(), pdf.A4, time.Time{}, 1)
	table := doc.NewTable("", doc.Col("A", 1), doc.Col("B", 3))
	table.Row("averylongwordindeed", "x")
	widths := s.columnWidths(table)
	if math.Abs(widths[0]+widths[1]-s.width) > 1e-9 {
		t.Errorf("%v add up to %v, not %v", widths, widths[0]+widths[1], s.width)
	}
	for _, a := range atoms(doc.Say("averylongwordindeed"), plainLook(cellSize)) {
		if a.width+2*cellPad > widths[0] {
			t.Errorf("%q is %v wide in a column of %v", a.text, a.width, widths[0])
		}
	}
	narrow := doc.NewTable("", doc.Col("A", 1), doc.Col("B", 1))
	narrow.Row("x", "y")
	if w := s.columnWidths(narrow); w[0] != w[1] {
		t.Errorf("columns that ask for the same get %v", w)
	}
}

func TestFiguresLeanToTheirSide(t *testing.T) {
	table := doc.NewTable("", doc.Col("Part", 2), doc.Num("Mass", 1))
	table.Row("Tank", "8.3 kg")
	table.Row("Engine with everything", "1118.25 kg")
	out := pdfTool(t, asPDF(t, with(table), PDFOptions{}), "pdftotext", "-bbox", "file.pdf", "-")
	ends := regexp.MustCompile(`xMax="([0-9]+\.[0-9])[0-9]*"[^>]*>kg<`).FindAllStringSubmatch(out, -1)
	if len(ends) != 2 || ends[0][1] != ends[1][1] {
		t.Errorf("the figures end at %v", ends)
	}
}

func TestAPictureKeepsItsShape(t *testing.T) {
	wide := picture(t, 400, 100, asPNG)
	if p := newPhotoPrint(doc.Photo{Image: wide}, 80); p.absent != "" || p.w != 80 || p.h != 20 {
		t.Errorf("%v × %v, %q", p.w, p.h, p.absent)
	}
	tall := picture(t, 100, 400, asJPEG)
	if p := newPhotoPrint(doc.Photo{Image: tall}, 80); p.h != tallest || math.Abs(p.w-tallest/4) > 1e-9 {
		t.Errorf("%v × %v", p.w, p.h)
	}
	if p := newPhotoPrint(doc.Photo{Image: []byte("x")}, 80); !strings.HasPrefix(p.absent, "not shown: ") {
		t.Error(p.absent)
	}
}

func TestADrawingThatIsTooLargeIsMadeSmallerInAllItsMeasures(t *testing.T) {
	var got, want []figure.Path
	rec := func(list *[]figure.Path) figure.Painter { return pathRecorder{list} }
	d := figure.New(10, 10)
	d.Rect(2, 4, 6, 2, figure.Paint{Width: 1, Dash: []float64{2}})
	d.Paint(scaled{rec(&got), 0.5, 100, 200}, 0, 0)
	half := figure.New(10, 10)
	half.Rect(101, 202, 3, 1, figure.Paint{Width: 0.5})
	half.Paint(rec(&want), 0, 0)
	for i, s := range got[0] {
		if s.Op != figure.Close && s.P != want[0][i].P {
			t.Errorf("corner %d lies at %v, want %v", i, s.P, want[0][i].P)
		}
	}
}

type pathRecorder struct{ paths *[]figure.Path }

func (r pathRecorder) Path(p figure.Path, _ figure.Paint) { *r.paths = append(*r.paths, p) }
func (pathRecorder) Label(float64, float64, figure.Label) {}

func TestRightToLeftIsPutInTheOrderInWhichItIsSeen(t *testing.T) {
	for text, want := range map[string]string{
		"plain 47 N·m":  "plain 47 N·m",
		"שלום":          "םולש",
		"by שלום, 2019": "by םולש, 2019",
		"שלום 1967 דוד": "דוד 1967 םולש",
		"א ב car ג ד":   "ב א car ד ג",
		"שָׁב":          "בשָׁ",
	} {
		if got := visual(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
}

func TestAnEmptyDocumentIsAPageAllTheSame(t *testing.T) {
	file := asPDF(t, &doc.Document{}, PDFOptions{})
	if out := pdfTool(t, file, "pdfinfo", "file.pdf"); !regexp.MustCompile(`Pages: +1\b`).MatchString(out) {
		t.Error(out)
	}
	pdfTool(t, asPDF(t, with(&doc.PhotoSheet{}, &doc.List{}, &doc.Facts{}, doc.NewTable("x"), &doc.Findings{}, &doc.Verbatim{}, &doc.Figure{}), PDFOptions{}), "qpdf", "--check", "file.pdf")
}

func TestADocumentForSoManySheetsIsSetSmallerUntilItFitsAndNothingIsDropped(t *testing.T) {
	sheets := func(most, lines int) *doc.Document {
		d := with()
		for i := range lines {
			d.Sections[0].Add(doc.Para("{}", fmt.Sprintf("line %d", i)))
		}
		d.Sheets = most
		d.Provenance = &doc.Provenance{Commit: "7c1f", Day: "2026-04-01", Basis: doc.NotExamined}
		return d
	}
	sheet := func(lines int) *doc.Document { return sheets(1, lines) }
	for lines, most := range map[int]int{10: 1, 40: 1, 45: 1, 200: 9} {
		for _, paper := range []pdf.Paper{pdf.A4, pdf.Letter} {
			s := setOn(context.Background(), sheet(lines), paper, time.Time{})
			if n := len(s.book.Pages()); n > most || lines == 200 && n == 1 {
				t.Errorf("%d lines take %d pages of %v", lines, n, s.book.Paper())
			}
		}
	}
	pages := func(d *doc.Document) int {
		return len(setOn(context.Background(), d, pdf.A4, time.Time{}).book.Pages())
	}
	if three, free := pages(sheets(3, 140)), pages(sheets(0, 140)); three != 3 || free <= 3 {
		t.Errorf("140 lines take %d of 3 sheets, and %d where there is no bound", three, free)
	}
	text := pdfTool(t, asPDF(t, sheet(200), PDFOptions{}), "pdftotext", "-layout", "file.pdf", "-")
	if !strings.Contains(text, "line 199") || !strings.Contains(text, "Records as of commit: 7c1f") {
		t.Error("what did not fit on one sheet is not on the next")
	}
}

func TestAPhotoIsShownInTheFile(t *testing.T) {
	file := asPDF(t, with(&doc.PhotoSheet{Photos: []doc.Photo{{Image: picture(t, 60, 40, asJPEG), Caption: doc.Say("Sill"), Taken: "2026-03-02"}, {Image: picture(t, 60, 40, asPNG)}}}), PDFOptions{})
	json := pdfTool(t, file, "qpdf", "--json", "file.pdf")
	if strings.Count(json, `"/Subtype": "/Image"`) < 2 {
		t.Error("the photos are not in the file")
	}
}

func TestAColumnThatSaysMuchTakesRoomFromOneThatSaysLittle(t *testing.T) {
	s := newSetter(context.Background(), with(), pdf.A4, time.Time{}, 1)
	table := doc.NewTable("", doc.Col("A", 1), doc.Col("B", 1))
	table.Row("x", strings.Repeat("noted at the bench ", 40))
	widths := s.columnWidths(table)
	if math.Abs(widths[0]+widths[1]-s.width) > 1e-9 || widths[1] < 1.5*widths[0] {
		t.Errorf("of %v the columns get %v", s.width, widths)
	}
	if widths[0] < s.width/4-1e-9 {
		t.Errorf("the first column gets %v, less than half of what it asks for", widths[0])
	}
}
