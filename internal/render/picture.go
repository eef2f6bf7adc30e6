package render

import (
	"encoding/base64"
	"fmt"
	"html/template"

	"boltback/internal/doc"
	pdf "boltback/internal/page"
)

// maxDrawing is how many bytes of a drawing a page takes in.
const maxDrawing = 4 << 20

// pictureView is an image, or words in its place when Source is empty.
type pictureView struct {
	Source        template.URL
	Alt, Absent   string
	Width, Height int
}

// viewPhoto looks at a photo's head only; its pixels are the browser's affair.
func viewPhoto(p doc.Photo) pictureView {
	v := pictureView{Alt: doc.CleanLine(alternative(p), doc.LineLimit)}
	if len(p.Image) == 0 {
		v.Absent = doc.CleanLine(p.Absent, doc.LineLimit)
		return v
	}
	photo, err := pdf.BarePhoto(p.Image)
	if err != nil {
		v.Absent = "not shown: " + err.Error()
		return v
	}
	v.Source, v.Width, v.Height = dataURI(photo.MediaType, photo.Data), photo.Width, photo.Height
	return v
}

// viewDrawing embeds a drawing as a picture: what a browser loads that way
// runs no script and fetches nothing.
func viewDrawing(f *doc.Figure) pictureView {
	v := pictureView{Alt: doc.CleanLine(f.Alt, doc.TextLimit)}
	if f.Drawing == nil {
		v.Absent = v.Alt
		return v
	}
	svg := f.Drawing.SVG()
	if len(svg) > maxDrawing {
		v.Absent = fmt.Sprintf("not shown: the drawing has %d bytes, more than %d. It shows: %s", len(svg), maxDrawing, v.Alt)
		return v
	}
	w, h := f.Drawing.Size()
	v.Source, v.Width, v.Height = dataURI("image/svg+xml", []byte(svg)), pixels(w), pixels(h)
	return v
}

// pixels turns millimetres into CSS pixels, of which 96 make an inch.
func pixels(mm float64) int { return int(mm*96/25.4 + 0.5) }

// dataURI is the only place that vouches for an address: its type is ours and
// the rest is base64.
func dataURI(mediaType string, data []byte) template.URL {
	return template.URL("data:" + mediaType + ";base64," + base64.StdEncoding.EncodeToString(data))
}
