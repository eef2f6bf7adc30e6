package render

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	_ "image/jpeg" // the two formats of photos
	_ "image/png"

	"boltback/internal/doc"
)

// Bounds of one photo. A file of few bytes can ask a browser for gigabytes of
// pixels, so the size that it declares is looked at before it is shown.
const (
	maxPhotoBytes  = 8 << 20
	maxPhotoPixels = 50_000_000
	maxPhotoSide   = 20_000
	maxDrawing     = 4 << 20
)

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
	config, format, err := image.DecodeConfig(bytes.NewReader(p.Image))
	switch {
	case err != nil:
		v.Absent = "not shown: the file is neither JPEG nor PNG, or is damaged"
	case len(p.Image) > maxPhotoBytes:
		v.Absent = fmt.Sprintf("not shown: the file has %d bytes, more than %d", len(p.Image), maxPhotoBytes)
	case config.Width < 1 || config.Height < 1 || config.Width > maxPhotoSide || config.Height > maxPhotoSide ||
		config.Width*config.Height > maxPhotoPixels:
		v.Absent = fmt.Sprintf("not shown: the picture claims %d × %d pixels", config.Width, config.Height)
	default:
		v.Source, v.Width, v.Height = dataURI("image/"+format, p.Image), config.Width, config.Height
	}
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
