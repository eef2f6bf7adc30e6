package render

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"boltback/internal/doc"
	"boltback/internal/figure"
)

// asPDF renders a document and fails the test if it can't.
func asPDF(t testing.TB, d *doc.Document, o PDFOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if _, err := PDF(context.Background(), &b, d, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// pdfTool runs one of the independent PDF tools over a file. They are part of
// the whole check; elsewhere the test says which one is absent.
func pdfTool(t testing.TB, file []byte, command string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(command); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed", command)
		}
		t.Skipf("%s is not installed, so nobody else looks at the file", command)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "file.pdf"), file, 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(command, args...)
	cmd.Dir = dir
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %v: %v\n%s%s", command, args, err, stdout.String(), stderr.String())
	}
	return stdout.String()
}

func pdfText(t testing.TB, file []byte) string {
	return pdfTool(t, file, "pdftotext", "-layout", "file.pdf", "-")
}

// squeezed is a text with every run of spaces and lines as one space.
func squeezed(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestThePDFOfTheSampleReadsAsItShould(t *testing.T) {
	got := pdfText(t, asPDF(t, sample(t), PDFOptions{}))
	golden := filepath.Join("testdata", "pdf", "sample.txt")
	if *update {
		if err := os.MkdirAll(filepath.Dir(golden), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("the pages differ from %s; look at them, and write it anew with -update:\n%s", golden, diff)
	}
}

func TestAnIndependentCheckerPassesTheFile(t *testing.T) {
	for _, paper := range []Paper{"", A4, Letter} {
		file := asPDF(t, sample(t), PDFOptions{Paper: paper})
		if out := pdfTool(t, file, "qpdf", "--check", "file.pdf"); !strings.Contains(out, "No syntax or stream encoding errors") {
			t.Error(out)
		}
		size := "595.276 x 841.89 pts (A4)"
		if paper == Letter {
			size = "612 x 792 pts (letter)"
		}
		if out := pdfTool(t, file, "pdfinfo", "file.pdf"); !strings.Contains(out, size) || !strings.Contains(out, "Tagged:          yes") {
			t.Error(out)
		}
	}
}

func TestTheSameDocumentIsTheSameBytes(t *testing.T) {
	o := PDFOptions{Made: time.Date(2026, 4, 18, 0, 0, 0, 0, time.UTC), Attachments: []PDFAttachment{{Name: "b.json", Data: []byte("{}")}, {Name: "a.json", Data: []byte("[]")}}}
	first := asPDF(t, sample(t), o)
	for range 4 {
		if !bytes.Equal(first, asPDF(t, sample(t), o)) {
			t.Fatal("two files differ")
		}
	}
}

func TestEveryWordOfTheTextRenderingIsOnThePages(t *testing.T) {
	d := sample(t)
	pages := squeezed(pdfTool(t, asPDF(t, d, PDFOptions{}), "pdftotext", "-raw", "file.pdf", "-"))
	bare := func(s string) string {
		return regexp.MustCompile(`[\s\x{2068}\x{2069}\x{202a}-\x{202e}-]+`).ReplaceAllString(s, "")
	}
	all := bare(pages)
	doc.Walk(d.Blocks(), func(b doc.Block, _ int) error {
		switch b.(type) {
		case *doc.Figure, *doc.PhotoSheet:
			return nil // the words for those who can't see them are not printed
		}
		for _, text := range doc.Texts(b) {
			for _, span := range text {
				for word := range strings.FieldsSeq(span.Text) {
					if !doc.Directional(word) && len(word) < 30 && !strings.Contains(all, bare(word)) {
						t.Errorf("%q is not on the pages", word)
					}
				}
			}
		}
		return nil
	})
}

func TestBookmarksLinksAndAttachments(t *testing.T) {
	file := asPDF(t, sample(t), PDFOptions{Attachments: []PDFAttachment{{Name: "findings.json", Description: "the same, for programs", MediaType: "application/json", Data: []byte(`{"n":1}`)}}})
	json := pdfTool(t, file, "qpdf", "--json", "file.pdf")
	for _, want := range []string{`"title": "1 Reversal statement"`, `"title": "1.1 What the records must hold"`, `"/Subtype": "/Link"`} {
		if !strings.Contains(json, want) {
			t.Errorf("%s is not in the file", want)
		}
	}
	if out := pdfTool(t, file, "pdfinfo", "-dests", "file.pdf"); !strings.Contains(out, `"parts"`) {
		t.Error(out)
	}
	if out := pdfTool(t, file, "qpdf", "--show-attachment=findings.json", "file.pdf"); out != `{"n":1}` {
		t.Error(out)
	}
}

func TestALinkToNowhereIsPlainText(t *testing.T) {
	file := asPDF(t, with(&doc.Paragraph{Text: doc.Text{doc.See("nowhere", "see there")}}), PDFOptions{})
	if out := pdfText(t, file); !strings.Contains(out, "see there") {
		t.Error(out)
	}
}

func TestTheContentsSayOnWhichPageASectionBegins(t *testing.T) {
	d := many(30)
	pages := strings.Split(pdfText(t, asPDF(t, d, PDFOptions{})), "\f")
	for _, m := range regexp.MustCompile(`(?m)^\s*(\d+)\s+Section\s+(\d+)$`).FindAllStringSubmatch(pages[0]+pages[1], -1) {
		at := 0
		fmt.Sscan(m[2], &at)
		if at < 1 || at > len(pages) || !regexp.MustCompile(`(?m)^\s*`+m[1]+`\s+Section$`).MatchString(pages[at-1]) {
			t.Errorf("section %s does not begin on page %s", m[1], m[2])
		}
	}
}

func long(rows int) *doc.Document {
	table := doc.NewTable("Parts", doc.Col("Part", 3), doc.Col("Whereabouts", 2), doc.Num("Mass", 1))
	for i := range rows {
		table.Row(doc.Say("Bracket {} {}", i, doc.FromRecord("parts/bracket", i)), "Loft, shelf 3", "1.2 kg")
	}
	return with(table)
}

func TestALongTableRepeatsItsHeadAndLosesNoRow(t *testing.T) {
	const rows = 300
	pages := strings.Split(strings.TrimSuffix(pdfText(t, asPDF(t, long(rows), PDFOptions{})), "\f"), "\f")
	if len(pages) < 5 {
		t.Fatalf("%d pages", len(pages))
	}
	all := strings.Join(pages, "\n")
	for i, p := range pages {
		if strings.Count(p, "Whereabouts") != 1 || !strings.Contains(p, fmt.Sprintf("page %d of %d", i+1, len(pages))) {
			t.Errorf("page %d has no head, or no number:\n%s", i+1, p)
		}
	}
	for i := range rows {
		if !strings.Contains(all, fmt.Sprintf("Bracket %d ", i)) {
			t.Errorf("row %d is lost", i)
		}
	}
}

func TestALongTableTakesNoMoreRoomPerRowThanAShortOne(t *testing.T) {
	// Counted in bytes of pages and not in seconds: what grows with the square
	// of the rows would show in either.
	small, large := len(asPDF(t, long(500), PDFOptions{})), len(asPDF(t, long(4000), PDFOptions{}))
	if large > 9*small {
		t.Errorf("%d bytes for 500 rows, %d for 4,000", small, large)
	}
}

func TestARowHigherThanAPageGoesOverPages(t *testing.T) {
	table := doc.NewTable("Notes", doc.Col("Part", 1), doc.Col("Note", 2))
	var words []string
	for i := range 1500 {
		words = append(words, fmt.Sprintf("word%d", i))
	}
	table.Row("Engine", strings.Join(words, " "))
	table.Row("After", "the end")
	out := pdfText(t, asPDF(t, with(table), PDFOptions{}))
	for _, w := range append(words, "After") {
		if !strings.Contains(out, w) {
			t.Fatalf("%s is lost", w)
		}
	}
}

func TestADrawingIsPaintedWithLettersThatCanBeCopied(t *testing.T) {
	d := figure.New(400, 40) // wider than the paper: it is made smaller
	d.Rect(1, 1, 398, 38, figure.Paint{Width: 0.5, Edge: figure.Black, Dash: []float64{3, 1}})
	d.Label(200, 20, figure.Around, figure.Label{Text: "412.5 kg", Size: 8, Shade: figure.Black})
	out := pdfText(t, asPDF(t, with(&doc.Figure{Drawing: d, Alt: "a bar", Caption: doc.Say("Front axle")}), PDFOptions{}))
	if !strings.Contains(out, "412.5 kg") || !strings.Contains(out, "Front axle") || strings.Contains(out, "a bar") {
		t.Error(out)
	}
	if out := pdfText(t, asPDF(t, with(&doc.Figure{Drawing: bars{}, Alt: "two bars"}), PDFOptions{})); !strings.Contains(out, "[figure: two bars]") {
		t.Errorf("a drawing that can't be painted is not told in words:\n%s", out)
	}
}

func TestCharactersThatNoFaceHasAreReported(t *testing.T) {
	lacking, err := PDF(context.Background(), &bytes.Buffer{}, with(doc.Para("{} and {}", "日", "\U0001f527")), PDFOptions{})
	if err != nil || string(lacking) != "日\U0001f527" {
		t.Errorf("%q, %v", string(lacking), err)
	}
}

func TestHostileTextMakesASoundFile(t *testing.T) {
	for name, s := range map[string]string{
		"the end of a string":  `) Tj ET endstream endobj 1 0 obj <</OpenAction <</S /JavaScript /JS (x)>>>>`,
		"markup":               `</rdf:li><script>x</script>`,
		"controls":             "\x00\x1b[31m\u202e\u2066\r\n\x7f\xff\xfe",
		"a long word":          strings.Repeat("W", 5000),
		"nothing":              "",
		"letters of all sorts": "שלום مرحبا 日本 e\u0301\u0301\u0301 \U0001f527",
	} {
		t.Run(name, func(t *testing.T) {
			file := asPDF(t, everywhere(s), PDFOptions{})
			pdfTool(t, file, "qpdf", "--check", "file.pdf")
			if json := pdfTool(t, file, "qpdf", "--json", "file.pdf"); strings.Contains(json, `"/OpenAction"`) || strings.Contains(json, `"/JS"`) {
				t.Error("the text became part of the file's structure")
			}
		})
	}
}

func TestLinesKeepToTheirColumnAndLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var text doc.Text
		for range rapid.IntRange(1, 5).Draw(t, "spans") {
			style := doc.Style(rapid.IntRange(int(doc.StylePlain), int(doc.StyleTranscribed)).Draw(t, "style"))
			text = append(text, doc.Span{Style: style, Text: rapid.StringMatching(`([a-zA-Z;,]{1,30}[ /-]?){0,8}`).Draw(t, "text")})
		}
		width := rapid.Float64Range(10, 120).Draw(t, "width")
		var got strings.Builder
		for _, l := range lay(atoms(text, plainLook(3)), width) {
			if w := lineWidth(l); w > width+1e-6 {
				t.Fatalf("a line is %.2f wide in a column of %.2f: %v", w, width, l)
			}
			for _, a := range l {
				got.WriteString(a.text)
			}
		}
		texts, _ := looks(text, plainLook(3))
		want := strings.ReplaceAll(strings.Join(texts, ""), " ", "")
		if bare := strings.ReplaceAll(got.String(), " ", ""); bare != want {
			t.Fatalf("%q became %q", want, bare)
		}
	})
}

func TestNoLineBeginsWithTheCommaBehindAReference(t *testing.T) {
	text := doc.Say("{}, tag 0117; put in {}; sealed", doc.FromRecord("parts/rear-dampers", 3), doc.Strong("Loft"))
	for width := 12.0; width < 90; width += 0.5 {
		for _, l := range lay(atoms(text, plainLook(3)), width) {
			if first := l[0].text; len(l) > 0 && (strings.HasPrefix(first, ",") || strings.HasPrefix(first, ";")) {
				t.Fatalf("at %v a line begins with %q", width, first)
			}
		}
	}
}

func TestNoFileIsWrittenWhenTheContextHasEndedOrTheWriterFails(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var b bytes.Buffer
	if _, err := PDF(ctx, &b, sample(t), PDFOptions{}); !errors.Is(err, context.Canceled) || b.Len() > 0 {
		t.Errorf("%v, %d bytes", err, b.Len())
	}
	if _, err := PDF(context.Background(), brokenWriter{}, sample(t), PDFOptions{}); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Error(err)
	}
}

func FuzzPDF(f *testing.F) {
	for _, s := range []string{"x", ")\\(", "\x00\xff", "שלום", "a\n\n b"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if file := asPDF(t, everywhere(s), PDFOptions{}); !bytes.HasSuffix(file, []byte("%%EOF\n")) {
			t.Error("the file has no end")
		}
	})
}

func BenchmarkPDFOf300Sections(b *testing.B) {
	d := many(300)
	for b.Loop() {
		b.SetBytes(int64(len(asPDF(b, d, PDFOptions{}))))
	}
}

func BenchmarkPDFTable1000(b *testing.B) { benchmarkTable(b, 1000) }
func BenchmarkPDFTable4000(b *testing.B) { benchmarkTable(b, 4000) }

func benchmarkTable(b *testing.B, rows int) {
	d := long(rows)
	for b.Loop() {
		asPDF(b, d, PDFOptions{})
	}
}
