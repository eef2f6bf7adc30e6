package page

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"boltback/internal/figure"
)

// tool runs one of the independent PDF tools over a file. They are part of the
// whole check; elsewhere the test says which one is absent.
func tool(t testing.TB, file []byte, command string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(command); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed", command)
		}
		t.Skipf("%s is not installed, so nobody else looks at the file", command)
	}
	name := filepath.Join(t.TempDir(), "file.pdf")
	if err := os.WriteFile(name, file, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = name
		}
	}
	cmd := exec.Command(command, args...)
	cmd.Dir = filepath.Dir(name)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", command, args, err, out)
	}
	return string(out)
}

// sampleInfo is a file's head in an invented world.
func sampleInfo() Info {
	return Info{
		Title: "Überholung “Osprey” ≥ 3 µm", Subject: "A sample <&>", Author: "Tarn & Daughters", Language: "en",
		Program: "boltback", Made: time.Date(2026, 4, 18, 9, 0, 0, 0, time.FixedZone("", 7200)), FullSize: true,
	}
}

// sample uses everything once.
func sample(t testing.TB) *Book {
	t.Helper()
	b := New(sampleInfo(), A4)
	p := b.Page()
	text := func(p *Page, y float64, s string) {
		p.Label(20, y, figure.Label{Text: s, Size: 4, Shade: figure.Black})
	}
	p.Bookmark(1, "First ✓", 10)
	b.Tag(Element{Role: Heading1}, func() { text(p, 20, "Torque of the joints") })
	b.Tag(Element{Role: Paragraph}, func() {
		text(p, 30, "Ω ± ≥ ≤ µ ✓ ✗ ☐ → ° łódź Ελλάδα Київ \U0001f527")
		b.Tag(Element{Role: LinkText}, func() {
			text(p, 40, "see the second page")
			p.Link(20, 36, 40, 5, "second")
		})
	})
	b.Tag(Element{Role: Table}, func() {
		b.Tag(Element{Role: Row}, func() {
			b.Tag(Element{Role: HeaderCell, Columns: 2}, func() { text(p, 50, "Joint") })
		})
		b.Tag(Element{Role: Row}, func() {
			b.Tag(Element{Role: HeaderCell, OfRow: true}, func() { text(p, 60, "Mount") })
			b.Tag(Element{Role: Cell}, func() { text(p, 70, "47 N·m") })
		})
	})
	b.Tag(Element{Role: Figure, Alt: "a hatched circle"}, func() {
		d := figure.New(40, 40)
		d.Circle(20, 20, 15, figure.Paint{Width: 0.5, Edge: figure.Black, Dash: []float64{2, 1}})
		d.Hatch(figure.Arc(20, 20, 15, 0, 360), figure.Crossed)
		d.Label(20, 20, figure.Around, figure.Label{Text: "turned", Size: 3, Shade: figure.Grey, Turned: true})
		p.Drawing(20, 90, d)
		if err := showPicture(p, 80, 90, 40, 30, photo(t)); err != nil {
			t.Fatal(err)
		}
	})
	q := b.Page()
	q.Anchor("second", 20)
	q.Bookmark(3, "Second, too deep", 20)
	q.Bookmark(1, "Third", 30)
	b.Tag(Element{Role: Heading2}, func() { text(q, 20, "The second page") })
	q.Label(20, 290, figure.Label{Text: "page 2 of 2", Size: 3, Face: figure.Mono})
	b.Attach(Attachment{Name: "records.json", Description: "what it was computed from", MediaType: "application/json", Data: []byte(`{"kind":"sample"}`), Changed: sampleInfo().Made})
	return b
}

func photo(t testing.TB) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 80, 60))
	for y := range 60 {
		for x := range 80 {
			img.Set(x, y, color.RGBA{uint8(3 * x), uint8(4 * y), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func written(t testing.TB, b *Book) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := b.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestAnIndependentCheckerFindsNothingWrong(t *testing.T) {
	out := tool(t, written(t, sample(t)), "qpdf", "--check", "FILE")
	if !strings.Contains(out, "No syntax or stream encoding errors") || strings.Contains(out, "WARNING") {
		t.Error(out)
	}
}

func TestTheSameCallsGiveTheSameBytes(t *testing.T) {
	first := written(t, sample(t))
	for range 4 {
		if !bytes.Equal(first, written(t, sample(t))) {
			t.Fatal("two files differ")
		}
	}
}

func TestTextIsThereToBeCopied(t *testing.T) {
	out := tool(t, written(t, sample(t)), "pdftotext", "-layout", "FILE", "-")
	for _, want := range []string{"Torque of the joints", "Ω ± ≥ ≤ µ ✓ ✗ ☐ → ° łódź Ελλάδα Київ [U+1F527]", "47 N·m", "turned", "page 2 of 2"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
}

func TestEveryFaceIsEmbeddedAndCutDown(t *testing.T) {
	file := written(t, sample(t))
	out := tool(t, file, "pdffonts", "FILE")
	lines := strings.Split(strings.TrimSpace(out), "\n")[2:]
	if len(lines) != 2 { // Regular and Mono; Bold was not used
		t.Errorf("%d faces:\n%s", len(lines), out)
	}
	for _, l := range lines {
		if !regexp.MustCompile(`^[A-Z]{6}\+DejaVu\S+ +CID TrueType +Identity-H +yes yes yes`).MatchString(l) {
			t.Errorf("%s", l)
		}
	}
	if len(file) > 60_000 {
		t.Errorf("the file has %d bytes", len(file))
	}
}

func TestTheFileSaysWhatItIs(t *testing.T) {
	out := tool(t, written(t, sample(t)), "pdfinfo", "-isodates", "FILE")
	for _, want := range []string{
		`Title: +Überholung “Osprey” ≥ 3 µm`, `Author: +Tarn & Daughters`, `Tagged: +yes`, `Pages: +2`,
		`Page size: +595.276 x 841.89 pts \(A4\)`, `CreationDate: +2026-04-18T07:00:00Z`, `PDF version: +1.7`,
	} {
		if !regexp.MustCompile(want).MatchString(out) {
			t.Errorf("%s is not in\n%s", want, out)
		}
	}
	if meta := tool(t, written(t, sample(t)), "pdfinfo", "-meta", "FILE"); !strings.Contains(meta, "<dc:creator><rdf:Seq><rdf:li>Tarn &amp; Daughters") {
		t.Error(meta)
	}
}

func TestTheStructureIsThereForThoseWhoListen(t *testing.T) {
	out := tool(t, written(t, sample(t)), "pdfinfo", "-struct-text", "FILE")
	at := 0
	for _, want := range []string{"H1", `"Torque of the joints"`, "P", "Link", "Object", "Table", "TR", "TH", `"Joint"`, "TR", "TH", "TD", "Figure", "H2"} {
		i := strings.Index(out[at:], want)
		if i < 0 {
			t.Fatalf("%s does not follow in\n%s", want, out)
		}
		at += i
	}
	if strings.Contains(out, "page 2 of 2") {
		t.Error("a running foot is read out as content")
	}
	attributes := tool(t, written(t, sample(t)), "pdfinfo", "-struct", "FILE")
	for _, want := range []string{"/Scope /Column", "/Scope /Row", "/ColSpan 2"} {
		if !strings.Contains(attributes, want) {
			t.Errorf("%s is not in\n%s", want, attributes)
		}
	}
}

// qpdfJSON is the file's objects as qpdf prints them.
func qpdfJSON(t testing.TB, file []byte) map[string]any {
	t.Helper()
	var v map[string]any
	if err := json.Unmarshal([]byte(tool(t, file, "qpdf", "--json", "FILE")), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func TestBookmarksLinksAndAttachmentsWork(t *testing.T) {
	file := written(t, sample(t))
	v := qpdfJSON(t, file)
	outlines := v["outlines"].([]any)
	if len(outlines) != 2 {
		t.Fatalf("%v", outlines)
	}
	first := outlines[0].(map[string]any)
	if first["title"] != "First ✓" || len(first["kids"].([]any)) != 1 || first["destpageposfrom1"] != 1.0 {
		t.Errorf("%v", first)
	}
	if out := tool(t, file, "pdfdetach", "-list", "FILE"); !strings.Contains(out, "records.json") {
		t.Error(out)
	}
	if out := tool(t, file, "qpdf", "--show-attachment=records.json", "FILE"); out != `{"kind":"sample"}` {
		t.Error(out)
	}
	if out := tool(t, file, "pdfinfo", "-dests", "FILE"); !strings.Contains(out, `"second"`) {
		t.Error(out)
	}
}

func TestALinkToNowhereIsAnError(t *testing.T) {
	b := New(sampleInfo(), A4)
	b.Page().Link(0, 0, 9, 9, "nowhere")
	if err := b.Write(&bytes.Buffer{}); err == nil || !strings.Contains(err.Error(), `a link on page 1 leads to "nowhere"`) {
		t.Error(err)
	}
}

func TestWhatTheFacesLackIsReported(t *testing.T) {
	if l := string(sample(t).Lacking()); l != "\U0001f527" {
		t.Errorf("%q", l)
	}
}

func TestTheFacesHaveEveryCharacterThatSheetsAndDossiersUse(t *testing.T) {
	for _, face := range figure.Faces() {
		if l := figure.Lacking(face, "ΩΩ±≥≤µμ✓✗☐☑→←↑↓°×÷≈≠–—…‘’“”«»·•²³½¼¾§€£⚠▲△●○■□øØåÅäÄöÖüÜßéèçñŁłŽžĐđĞğİıșțАБВЖЯабвαβγ\u00a0\u2011\u202f√∞‹›"); len(l) > 0 {
			t.Errorf("face %d lacks %q", face, string(l))
		}
	}
}

// showPicture shows a file as a photo, if it can be.
func showPicture(p *Page, x, y, w, h float64, file []byte) error {
	photo, err := BarePhoto(file)
	if err != nil {
		return err
	}
	return p.Picture(x, y, w, h, photo)
}

func TestAPhotoThatIsShownTwiceIsInTheFileOnce(t *testing.T) {
	b := New(sampleInfo(), A4)
	for range 3 {
		if err := showPicture(b.Page(), 10, 10, 30, 30, photo(t)); err != nil {
			t.Fatal(err)
		}
	}
	file := written(t, b)
	if n := bytes.Count(file, []byte("/DCTDecode")); n != 1 {
		t.Errorf("%d times", n)
	}
	tool(t, file, "qpdf", "--check", "FILE")
}

func TestAPNGIsShownAndADamagedPictureIsRefused(t *testing.T) {
	var file bytes.Buffer
	img := image.NewNRGBA(image.Rect(0, 0, 9, 9))
	img.Set(4, 4, color.NRGBA{255, 0, 0, 128})
	if err := png.Encode(&file, img); err != nil {
		t.Fatal(err)
	}
	b := New(sampleInfo(), Letter)
	p := b.Page()
	if err := showPicture(p, 10, 10, 30, 30, file.Bytes()); err != nil {
		t.Error(err)
	}
	for name, data := range map[string][]byte{"nothing": nil, "text": []byte("hello"), "half a JPEG": photo(t)[:200], "half a PNG": file.Bytes()[:len(file.Bytes())/2]} {
		if err := showPicture(p, 0, 0, 9, 9, data); err == nil {
			t.Errorf("%s was shown", name)
		}
	}
	tool(t, written(t, b), "qpdf", "--check", "FILE")
}

func TestWhatACameraWroteBesideThePixelsStaysOut(t *testing.T) {
	plain := photo(t)
	secret := []byte("GPS 52.1 N 4.3 E")
	marked := append([]byte(nil), plain[:2]...)
	marked = append(marked, 0xff, 0xe1, 0, byte(len(secret)+2))
	marked = append(append(marked, secret...), plain[2:]...)
	marked = append(marked, secret...) // behind the end, as pictures with a film do
	bare, ok := bareJPEG(marked)
	if !ok || bytes.Contains(bare, secret) {
		t.Fatalf("%v, %d bytes", ok, len(bare))
	}
	if want, _ := bareJPEG(plain); !bytes.Equal(bare, want) {
		t.Error("the picture itself was changed")
	}
	if _, _, err := image.Decode(bytes.NewReader(bare)); err != nil {
		t.Error(err)
	}
}

func FuzzPicture(f *testing.F) {
	f.Add(photo(f))
	f.Add([]byte{0xff, 0xd8, 0xff, 0xda, 0, 2, 0xff, 0xd9})
	f.Fuzz(func(t *testing.T, data []byte) {
		bareJPEG(data)
		barePNG(data)
		if photo, err := BarePhoto(data); err == nil {
			if photo.Width < 1 || photo.Height < 1 || photo.Width*photo.Height > maxPicturePixels {
				t.Errorf("shown, and yet %d × %d", photo.Width, photo.Height)
			}
			if again, err := BarePhoto(photo.Data); err != nil || !bytes.Equal(again.Data, photo.Data) {
				t.Error("what was left is not bare", err)
			}
			_ = New(Info{}, A4).Page().Picture(0, 0, 10, 10, photo) // must not panic
		}
	})
}

func TestNumbersThatAreNoneDoNotSpoilThePage(t *testing.T) {
	b := New(sampleInfo(), A4)
	p := b.Page()
	zero := 0.0
	p.Path(figure.Path{}.MoveTo(1/zero, 0/zero).LineTo(1e300, -1e300), figure.Paint{Width: 0.2})
	tool(t, written(t, b), "qpdf", "--check", "FILE")
	for v, want := range map[float64]string{-0.00001: "0", 1.5: "1.5", 100: "100", 1.0 / 3: "0.3333"} {
		if got := num(v); got != want {
			t.Errorf("num(%v) = %s, want %s", v, got, want)
		}
	}
}

func TestPapersAreKnownByName(t *testing.T) {
	if p, err := PaperCalled("letter"); err != nil || p != Letter {
		t.Error(p, err)
	}
	if _, err := PaperCalled("foolscap"); err == nil || !strings.Contains(err.Error(), "A4 or letter") {
		t.Error(err)
	}
}

func TestTextIsAsWideOnThePageAsItWasMeasured(t *testing.T) {
	for _, f := range figure.Faces() {
		face, err := faceOf(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range "0123456789 AMWamwij.,;Ω±≥→☐łßЖя" {
			want := float64(face.GlyphAdvance(face.GlyphIndex(r))) / float64(face.UnitsPerEm())
			if got := figure.Width(f, 1, string(r)); got != want {
				t.Errorf("face %d: %q is measured %v wide and printed %v", f, r, got, want)
			}
		}
	}
}
