package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/render"
)

// sampleDossier is one dossier of the sample.
type sampleDossier struct {
	name string // car and reader
	app.Paginated
}

// sampleDossiers computes the dossiers of the sample once for all tests: each car for each reader, and one with what is new since.
var sampleDossiers = sync.OnceValues(func() ([]sampleDossier, error) {
	home, err := os.MkdirTemp("", "dossiers")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(home)
	env, yard := world().App, filepath.Join(home, "yard")
	env.Memories = nil
	if _, err := env.Demo(context.Background(), yard); err != nil {
		return nil, err
	}
	cars, err := env.Find(yard)
	if err != nil {
		return nil, err
	}
	var made []sampleDossier
	for _, car := range cars {
		for _, reader := range dossier.Readers() {
			d, err := env.DossierForPaper(car, app.DossierOptions{Reader: reader, On: checkOn.On})
			if err != nil {
				return nil, err
			}
			made = append(made, sampleDossier{filepath.Base(car.Name) + "-" + string(reader), d})
		}
	}
	newer, err := sinceSpring(env, filepath.Join(yard, "cars", "tern-1500"))
	return append(made, newer), err
})

// sinceSpring is the finished car's dossier for a buyer who holds the one of March, before the car was done.
func sinceSpring(env app.Env, folder string) (sampleDossier, error) {
	out, err := exec.Command("git", "-C", folder, "rev-list", "-1", "--before=2026-03-17T23:00:00Z", "HEAD").Output()
	if err != nil {
		return sampleDossier{}, err
	}
	cars, err := env.Find(folder)
	if err != nil {
		return sampleDossier{}, err
	}
	d, err := env.DossierForPaper(cars[0], app.DossierOptions{Reader: dossier.Buyer, On: checkOn.On, Since: strings.TrimSpace(string(out))})
	return sampleDossier{"tern-1500-buyer-since", d}, err
}

// everyDossier gives the dossiers of the sample. With the race detector, which makes each of them cost seconds and is not
// about what they say, nothing is given and the test passes; the build runs these tests without it too.
func everyDossier(t *testing.T) []sampleDossier {
	t.Helper()
	if raced {
		t.Skip("looked at without the race detector")
	}
	made, err := sampleDossiers()
	if err != nil {
		t.Fatal(err)
	}
	if len(made) != 19 {
		t.Fatalf("%d dossiers, not three cars for six readers and one for a buyer who holds an older one", len(made))
	}
	return made
}

// TestEveryDossierReadsAsOnFile holds the words of every dossier against a text that a person can review in a diff. What a
// commit is called depends on every byte before it and stands there as dots.
func TestEveryDossierReadsAsOnFile(t *testing.T) {
	for _, d := range everyDossier(t) {
		t.Run(d.name, func(t *testing.T) {
			var b bytes.Buffer
			if err := render.Text(&b, d.Document, render.TextOptions{Width: 100}); err != nil {
				t.Fatal(err)
			}
			got := commitName.ReplaceAllStringFunc(b.String(), func(id string) string { return strings.Repeat(".", len(id)) })
			file := filepath.Join("testdata", "dossiers", d.name+".txt")
			if *update {
				write(t, file, got)
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("the dossier does not read as in %s; look at the difference after: go test ./cmd/boltback -run ReadsAsOnFile -update", file)
			}
		})
	}
}

// commitName is the name of a commit, whole or its beginning.
var commitName = regexp.MustCompile(`\b(?:[0-9a-f]{40}|[0-9a-f]{12})\b`)

// page writes a dossier as a page into a folder and gives its path.
func (d sampleDossier) page(t *testing.T, folder string) string {
	t.Helper()
	var b bytes.Buffer
	if err := render.HTML(context.Background(), &b, d.Document, render.HTMLOptions{}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, d.name+".html")
	write(t, path, b.String())
	return path
}

// judged is what axe found wrong with a page.
type judged struct {
	Violations []struct {
		ID, Help string
		Nodes    []struct{ HTML string }
	}
	Passes int
}

// axe is the program that looks for what bars people from a page; BOLTBACK_AXE names its file.
func axe(t *testing.T) string {
	t.Helper()
	source, err := os.ReadFile(os.Getenv("BOLTBACK_AXE"))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("axe-core is required here: BOLTBACK_AXE names its axe.min.js:", err)
		}
		t.Skip("axe-core is not here, so this test passes without having looked; BOLTBACK_AXE names its axe.min.js")
	}
	return string(source) + "; 0"
}

// TestEveryDossierIsGoodInABrowser opens every page in a browser as a phone shows it and as it prints.
func TestEveryDossierIsGoodInABrowser(t *testing.T) {
	script := axe(t)
	dossiers := everyDossier(t)
	b := startBrowser(t)
	folder := t.TempDir()
	for _, d := range dossiers {
		t.Run(d.name, func(t *testing.T) {
			b.TB = t
			b.screen(390)
			b.open(d.page(t, folder))
			b.eval(script, nil)
			b.barsNobody()
			b.fitsTheWindow()
			b.isQuiet(d.name + ".html")
			b.printsOn(d, "A4", 8.27, 11.69)
			if strings.HasSuffix(d.name, string(dossier.Responder)) {
				b.printsOn(d, "Letter", 8.5, 11)
			}
		})
	}
	b.TB = t
}

// barsNobody has axe-core look at the page.
func (b *browser) barsNobody() {
	b.Helper()
	var found judged
	b.eval(`axe.run({resultTypes: ["violations"]}).then(r => ({violations: r.violations, passes: r.passes.length}))`, &found)
	if found.Passes < 25 {
		b.Errorf("only %d rules had anything to look at", found.Passes)
	}
	for _, v := range found.Violations {
		b.Errorf("%s: %s: %d places, first %s", v.ID, v.Help, len(v.Nodes), v.Nodes[0].HTML)
	}
}

// fitsTheWindow finds fault with a page that has to be slid sideways; a wide table slides for itself.
func (b *browser) fitsTheWindow() {
	b.Helper()
	var wide []string
	b.eval(`(() => {
		const width = document.documentElement.clientWidth;
		if (document.documentElement.scrollWidth <= width) return [];
		return [...document.querySelectorAll("main *, header *, nav *")].filter(e => !e.closest(".slider") && e.getBoundingClientRect().right > width + 1).map(e => e.outerHTML.slice(0, 200));
	})()`, &wide)
	if len(wide) > 0 {
		b.Errorf("%d things are wider than the window, first %s", len(wide), wide[0])
	}
}

// isQuiet finds fault with a page that asks for anything but itself, or of which the browser complains.
func (b *browser) isQuiet(name string) {
	b.Helper()
	for _, address := range b.asked {
		if !strings.HasSuffix(address, "/"+name) && !strings.HasPrefix(address, "data:") {
			b.Errorf("the page asks for %.100s", address)
		}
	}
	if len(b.asked) == 0 {
		b.Error("not even the page was asked for: nobody has looked")
	}
	for _, complaint := range b.complaints {
		b.Errorf("the browser complains: %s", complaint)
	}
}

// printsOn looks at the page as the browser prints it: the running head and foot on each sheet, a responder's on one.
func (b *browser) printsOn(d sampleDossier, paper string, width, height float64) {
	b.Helper()
	sheets := sheetsOf(b, b.print(width, height))
	if strings.HasSuffix(d.name, string(dossier.Responder)) && len(sheets) != 1 {
		b.Errorf("%s: the sheet prints on %d pages", paper, len(sheets))
	}
	for i, words := range sheets {
		for _, want := range runningWords(d, i, len(sheets)) {
			if !strings.Contains(words, want) {
				b.Errorf("%s: page %d of %d does not say %q", paper, i+1, len(sheets), want)
			}
		}
	}
}

// runningWords are what stands on a page of a dossier, whatever else does: on the first below the title.
func runningWords(d sampleDossier, i, of int) []string {
	p := d.Document.Provenance
	return []string{d.Document.Title, p.Commit[:12], p.Day, p.Basis, fmt.Sprintf("page %d of %d", i+1, of)}
}

// sheetsOf are the words of a PDF file, page by page, with single spaces.
func sheetsOf(t testing.TB, file []byte) []string {
	t.Helper()
	words := pdfTool(t, file, "pdftotext", "-layout", "file.pdf", "-")
	sheets := strings.Split(strings.TrimSuffix(words, "\f"), "\f")
	for i := range sheets {
		sheets[i] = strings.Join(strings.Fields(sheets[i]), " ")
	}
	return sheets
}

// pdfTool runs one of the independent PDF tools over a file in a folder of its own.
func pdfTool(t testing.TB, file []byte, command string, args ...string) string {
	t.Helper()
	needed(t, command)
	cmd := exec.Command(command, args...)
	cmd.Dir = t.TempDir()
	write(t, filepath.Join(cmd.Dir, "file.pdf"), string(file))
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", command, args, err, out)
	}
	return string(out)
}

// TestEveryDossierIsSoundOnPaper has independent tools read every dossier as a PDF file, on both papers.
func TestEveryDossierIsSoundOnPaper(t *testing.T) {
	for _, d := range everyDossier(t) {
		for _, paper := range []render.Paper{render.A4, render.Letter} {
			t.Run(d.name+"-"+string(paper), func(t *testing.T) {
				t.Parallel()
				soundOnPaper(t, d, paper)
			})
		}
	}
}

func soundOnPaper(t *testing.T, d sampleDossier, paper render.Paper) {
	var b bytes.Buffer
	attached := render.PDFAttachment{Name: d.RecordsName, MediaType: "application/json", Data: d.Records}
	lacking, err := render.PDF(context.Background(), &b, d.Document, render.PDFOptions{Paper: paper, Attachments: []render.PDFAttachment{attached}})
	if err != nil || len(lacking) > 0 {
		t.Fatal(err, string(lacking))
	}
	file := b.Bytes()
	if said := pdfTool(t, file, "qpdf", "--check", "file.pdf"); !strings.Contains(said, "No syntax or stream encoding errors") {
		t.Error(said)
	}
	if fonts := pdfTool(t, file, "pdffonts", "file.pdf"); !wholeFonts(fonts) {
		t.Errorf("a font is not embedded, not cut down or has no letters to copy:\n%s", fonts)
	}
	if got := pdfTool(t, file, "pdfdetach", "-save", "1", "-o", "/dev/stdout", "file.pdf"); got != string(d.Records) {
		t.Errorf("the records inside are not those that the dossier was computed from: %d bytes, not %d", len(got), len(d.Records))
	}
	sheets := sheetsOf(t, file)
	if d.Document.Sheets == 1 && len(sheets) != 1 {
		t.Errorf("%d pages", len(sheets))
	}
	for i, words := range sheets {
		for _, want := range runningWords(d, i, len(sheets)) {
			if !strings.Contains(words, want) {
				t.Errorf("page %d of %d does not say %q", i+1, len(sheets), want)
			}
		}
	}
	t.Logf("%d pages, %d bytes", len(sheets), len(file))
}

// wholeFonts tells whether the list of pdffonts has fonts, and says of each that it is embedded, cut down and mapped to letters.
func wholeFonts(list string) bool {
	lines := strings.Split(strings.TrimSpace(list), "\n")
	for _, line := range lines[2:] {
		if !strings.Contains(line, " yes yes yes ") {
			return false
		}
	}
	return len(lines) > 2
}
