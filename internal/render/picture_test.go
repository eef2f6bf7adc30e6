package render

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"hash/crc32"
	"strings"
	"testing"

	"boltback/internal/doc"
)

// declared is a PNG of a few bytes that claims a size.
func declared(w, h uint32) []byte {
	head := append([]byte("IHDR"), make([]byte, 13)...)
	binary.BigEndian.PutUint32(head[4:], w)
	binary.BigEndian.PutUint32(head[8:], h)
	copy(head[12:], []byte{8, 6, 0, 0, 0})
	b := append([]byte("\x89PNG\r\n\x1a\n"), 0, 0, 0, 13)
	b = append(b, head...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(head))
}

func TestPhotosAreShownOrSayWhyNot(t *testing.T) {
	good := picture(t, 4, 3, asPNG)
	tests := []struct {
		name  string
		photo doc.Photo
		want  string
	}{
		{"a PNG is shown with its size", doc.Photo{Image: good}, `alt="Sill" width="4" height="3"`},
		{"a JPEG is shown", doc.Photo{Image: picture(t, 4, 3, asJPEG)}, `src="data:image/jpeg;base64,`},
		{"words of its own stand for the photo", doc.Photo{Image: good, Alt: "A rusty sill"}, `alt="A rusty sill"`},
		{"an absent photo says why", doc.Photo{Absent: "not here"}, `<p class="absent">not here</p>`},
		{"a picture that claims 60000 × 60000 pixels is not shown", doc.Photo{Image: declared(60_000, 60_000)}, "not shown: the picture claims 60000 × 60000 pixels"},
		{"a picture that is long and thin is not shown", doc.Photo{Image: declared(2_000_000, 1)}, "not shown: the picture claims 2000000 × 1 pixels"},
		{"a picture of too many pixels is not shown", doc.Photo{Image: declared(19_000, 19_000)}, "not shown: the picture claims 19000 × 19000 pixels"},
		{"a picture without pixels is not shown", doc.Photo{Image: declared(0, 5)}, "not shown: "},
		{"a file of too many bytes is not shown", doc.Photo{Image: append(bytes.Clone(good), make([]byte, 9<<20)...)}, "not shown: the file has "},
		{"what is written beside the pixels is left out", doc.Photo{Image: append(bytes.Clone(good), "behind the end: taken at"...)}, base64.StdEncoding.EncodeToString(good) + `"`},
		{"an SVG in a photo's place is not shown", doc.Photo{Image: []byte(`<svg onload="alert(1)"/>`)}, "not shown: the file is neither JPEG nor PNG, or is damaged"},
		{"a GIF is not shown", doc.Photo{Image: []byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;")}, "not shown: the file is neither"},
		{"a damaged file is not shown", doc.Photo{Image: good[:20]}, "not shown: the file is neither"},
		{"a photo without a day says so", doc.Photo{Image: good}, `<em class="missing">(day not stated)</em>`},
		{"a photo has the day of its camera and the day that is claimed", doc.Photo{Image: good, Taken: "2026-03-02", Claimed: "1999"}, "taken 2026-03-02 by the camera&#39;s clock; said to be of 1999"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tt.photo.Caption = doc.Say("Sill")
			if p := page(t, with(&doc.PhotoSheet{Photos: []doc.Photo{tt.photo}})); !strings.Contains(p, tt.want) {
				t.Errorf("the page lacks %q", tt.want)
			}
		})
	}
}

// drawing is any svg at any size.
type drawing string

func (drawing) Size() (float64, float64) { return 25.4, 50.8 }
func (d drawing) SVG() string            { return string(d) }

func TestDrawingsAreEmbeddedAsPictures(t *testing.T) {
	svg := `<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`
	p := page(t, with(&doc.Figure{Alt: "A square", Drawing: drawing(svg)}))
	if strings.Contains(p, "<svg") || strings.Contains(p, "<script") {
		t.Error("the drawing is part of the page")
	}
	for _, want := range []string{strings.ReplaceAll(base64.StdEncoding.EncodeToString([]byte(svg)), "+", "&#43;"), `alt="A square" width="96" height="192"`} {
		if !strings.Contains(p, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

func TestADrawingThatIsTooLargeOrMissingIsSaidInWords(t *testing.T) {
	large := drawing(strings.Repeat(" ", maxDrawing+1))
	if p := page(t, with(&doc.Figure{Alt: "A square", Drawing: large})); !strings.Contains(p, "It shows: A square") {
		t.Error("the large one is not")
	}
	if p := page(t, with(&doc.Figure{Alt: "A square"})); !strings.Contains(p, `<p class="absent">A square</p>`) {
		t.Error("the missing one is not")
	}
}
