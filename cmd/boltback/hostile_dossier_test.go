package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"image"
	"image/jpeg"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/render"
	"boltback/schema"
)

// hostileTexts are what a stranger may write into any field: the naughty strings, and some of our own.
func hostileTexts(t *testing.T) []string {
	t.Helper()
	root := os.Getenv("BOLTBACK_CONFORMANCE")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "facts", "conformance")
	}
	data, err := os.ReadFile(filepath.Join(root, "naughty-strings", "blns.json"))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("the naughty strings are required here: BOLTBACK_CONFORMANCE names the folder of the suites:", err)
		}
		t.Skip("the naughty strings are not here; this test passes without having looked at them")
	}
	var texts []string
	if err := json.Unmarshal(data, &texts); err != nil || len(texts) < 400 {
		t.Fatalf("%d strings, %v", len(texts), err)
	}
	texts = slices.DeleteFunc(texts, func(s string) bool { return s == "" })
	return append(texts, "يوسف بن الغفران (12) ﷽", "אברהם הבונה, 3/4", "\u202egnp.exe\u2066", "{{.Title}} {{define \"x\"}}",
		`</style></svg><script>document.title="owned"</script><img src=x onerror="document.title='owned'">`, "\x1b]0;owned\x07\x1b[2J",
		strings.Repeat("W", 10_000), strings.Repeat("noted at the bench ", 526), strings.Repeat("車", 10_000))
}

// defaced writes strange texts into every field of a record that holds free words, one after the other.
type defaced struct {
	t       *testing.T
	schemas map[string]map[string]any
	texts   []string
	next    int
}

// schema follows what a schema refers to.
func (d *defaced) schema(s map[string]any) map[string]any {
	ref, refers := s["$ref"].(string)
	if !refers {
		return s
	}
	return d.named("common")["$defs"].(map[string]any)[ref[strings.LastIndex(ref, "/")+1:]].(map[string]any)
}

func (d *defaced) named(kind string) map[string]any {
	if d.schemas[kind] == nil {
		text, err := schema.Text(kind)
		if err != nil {
			d.t.Fatal(err)
		}
		var s map[string]any
		if err := json.Unmarshal(text, &s); err != nil {
			d.t.Fatal(err)
		}
		d.schemas[kind] = s
	}
	return d.schemas[kind]
}

// value is a value with its free words written over.
func (d *defaced) value(v any, s map[string]any) any {
	s = d.schema(s)
	switch v := v.(type) {
	case map[string]any:
		properties, _ := s["properties"].(map[string]any)
		for _, name := range slices.Sorted(maps.Keys(v)) {
			if of, known := properties[name].(map[string]any); known {
				v[name] = d.value(v[name], of)
			}
		}
	case []any:
		items, _ := s["items"].(map[string]any)
		for i := range v {
			v[i] = d.value(v[i], items)
		}
	case string:
		for _, bound := range []string{"enum", "const", "pattern", "format", "refers", "dimension", "words"} {
			if _, is := s[bound]; is {
				return v
			}
		}
		if s["maxLength"] == 100. || s["private"] != nil { // a measure, a seal
			return v
		}
		d.next++
		return d.texts[d.next%len(d.texts)]
	}
	return v
}

// deface writes over the free words of a car's own records, and of whom and what it copied from the address book.
func (d *defaced) deface(car string) {
	d.t.Helper()
	err := filepath.WalkDir(car, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && (entry.Name() == ".git" || entry.Name() == "schema") {
			return fs.SkipDir
		}
		if filepath.Ext(path) != ".json" {
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		var v map[string]any
		if err := json.Unmarshal(text, &v); err != nil {
			return err
		}
		kind, _ := v["kind"].(string)
		text, err = json.Marshal(d.value(v, d.named(kind)))
		write(d.t, path, string(text))
		return err
	})
	if err != nil {
		d.t.Fatal(err)
	}
}

// addHostilePictures lays so many photos into a car, and between them what only poses as one.
func addHostilePictures(t *testing.T, car string, photos int) {
	t.Helper()
	for i := range photos {
		picture := image.NewGray(image.Rect(0, 0, 40, 30))
		picture.Pix[i%len(picture.Pix)], picture.Pix[0] = 255, byte(i)
		var b bytes.Buffer
		if err := jpeg.Encode(&b, picture, nil); err != nil {
			t.Fatal(err)
		}
		addPhoto(t, car, fmt.Sprintf("photo-%03d", i), b.Bytes(), ".jpg")
	}
	svg := `<svg xmlns="http://www.w3.org/2000/svg" onload="document.title='owned'"><script>document.title='owned'</script><image href="https://example.invalid/x.png"/></svg>`
	head := append([]byte("IHDR"), 0, 0, 0xea, 0x60, 0, 0, 0xea, 0x60, 8, 6, 0, 0, 0)
	bomb := binary.BigEndian.AppendUint32(append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...), crc32.ChecksumIEEE(head))
	claim := "\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00\xff\xc0\x00\x0b\x08\xff\xff\xff\xff\x01\x01\x11\x00\xff\xd9"
	for name, file := range map[string]string{"svg": svg, "svg-behind-a-jpeg": "\xff\xd8\xff" + svg, "png-bomb": string(bomb), "jpeg-bomb": claim, "gif": "GIF89a\x01\x00\x01\x00\x00\x00\x00;"} {
		addPhoto(t, car, name, []byte(file), ".jpg")
	}
	addPhoto(t, car, "missing", []byte("nobody has it"), "")
}

// hostileDossiers are the dossiers of the finished car, defaced, with 500 photos: for the keeper, who has every chapter, for a
// reader with questions, and the one sheet.
func hostileDossiers(t *testing.T) []sampleDossier {
	t.Helper()
	if raced {
		t.Skip("looked at without the race detector")
	}
	texts := hostileTexts(t)
	env, yard := world().App, filepath.Join(t.TempDir(), "yard")
	env.Memories = nil
	if _, err := env.Demo(context.Background(), yard); err != nil {
		t.Fatal(err)
	}
	car := filepath.Join(yard, "cars", "tern-1500")
	d := &defaced{t: t, schemas: map[string]map[string]any{}, texts: texts}
	d.deface(car)
	if d.next < 2*len(texts) {
		t.Fatalf("only %d fields were written over", d.next)
	}
	addHostilePictures(t, car, 500)
	cars, err := env.Find(car)
	if err != nil {
		t.Fatal(err)
	}
	var made []sampleDossier
	for _, reader := range []dossier.Reader{dossier.Keeper, dossier.Buyer, dossier.Responder} {
		p, err := env.DossierForPaper(cars[0], app.DossierOptions{Reader: reader, On: checkOn.On})
		if err != nil {
			t.Fatal(err)
		}
		made = append(made, sampleDossier{"hostile-" + string(reader), p})
	}
	return made
}

// TestAHostileCarBreaksNoDossier takes the finished car, writes a stranger's texts into every field and lays 500 photos and
// what poses as photos into it. On a phone nothing is wider than the window, nothing runs and nothing is asked for; on paper no
// word lies outside the margins.
func TestAHostileCarBreaksNoDossier(t *testing.T) {
	dossiers := hostileDossiers(t)
	folder := t.TempDir()
	for _, d := range dossiers {
		t.Run(d.name+"-pdf", func(t *testing.T) { keepsToThePage(t, d) })
	}
	needed(t, "chromium")
	b := startBrowser(t)
	b.screen(390)
	for _, d := range dossiers {
		t.Run(d.name+"-html", func(t *testing.T) {
			b.TB = t
			b.open(d.page(t, folder))
			b.fitsTheWindow()
			b.isQuiet(d.name + ".html")
			var title string
			b.eval("document.title", &title)
			if title == "owned" {
				t.Error("something ran")
			}
			b.showsPictures(d)
		})
	}
	b.TB = t
}

// showsPictures counts the pictures of a page that a browser could not show, and the words where one is missing.
func (b *browser) showsPictures(d sampleDossier) {
	b.Helper()
	var found struct {
		Pictures, Broken int
		Absent           []string
	}
	b.eval(`({pictures: document.images.length, broken: [...document.images].filter(i => i.complete && !i.naturalWidth).length, absent: [...document.querySelectorAll(".absent")].map(e => e.textContent)})`, &found)
	if found.Broken > 0 {
		b.Errorf("%d pictures are none", found.Broken)
	}
	if d.name != "hostile-keeper" {
		return
	}
	if found.Pictures < 500 {
		b.Errorf("%d pictures", found.Pictures)
	}
	for _, want := range []string{"not here", "claims 60000 × 60000 pixels", "claims 65535 × 65535 pixels", "neither a JPEG nor a PNG", "damaged"} {
		if !slices.ContainsFunc(found.Absent, func(s string) bool { return strings.Contains(s, want) }) {
			b.Errorf("no picture is said to be missing because it %s", want)
		}
	}
}

var (
	pageBox = regexp.MustCompile(`<page width="([\d.]+)" height="([\d.]+)">`)
	wordBox = regexp.MustCompile(`<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)</word>`)
)

// keepsToThePage sets a dossier on paper and looks at the place of every word: none lies outside the margins.
func keepsToThePage(t *testing.T, d sampleDossier) {
	var b bytes.Buffer
	if _, err := render.PDF(context.Background(), &b, d.Document, render.PDFOptions{}); err != nil {
		t.Fatal(err)
	}
	if said := pdfTool(t, b.Bytes(), "qpdf", "--check", "file.pdf"); !strings.Contains(said, "No syntax or stream encoding errors") {
		t.Error(said)
	}
	const millimetre = 72 / 25.4
	aside, above := 17*millimetre, 8*millimetre // a little less than the margins
	if d.Document.Sheets == 1 {
		aside, above = 0.7*aside, 0.7*above // and all is set smaller
	}
	var width, height float64
	words, outside := 0, 0
	for line := range strings.SplitSeq(pdfTool(t, b.Bytes(), "pdftotext", "-bbox", "file.pdf", "-"), "\n") {
		if m := pageBox.FindStringSubmatch(line); m != nil {
			width, height = number(m[1]), number(m[2])
		} else if m := wordBox.FindStringSubmatch(line); m != nil {
			words++
			left, top, right, bottom := number(m[1]), number(m[2]), number(m[3]), number(m[4])
			if left < aside || top < above || right > width-aside || bottom > height-above {
				if outside++; outside <= 3 {
					t.Errorf("on a page of %.0f × %.0f points %.60q stands at %.1f %.1f to %.1f %.1f", width, height, m[5], left, top, right, bottom)
				}
			}
		}
	}
	if words < 500 {
		t.Errorf("only %d words", words)
	}
	t.Logf("%d words, %d bytes", words, b.Len())
}

func number(s string) float64 {
	f, _ := strconv.ParseFloat(s, 64) // matched as a number
	return f
}
