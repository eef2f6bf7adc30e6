package page

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // the two formats of photos
	_ "image/png"

	"github.com/carlos7ags/folio/core"
)

// Bounds of one photo.
const (
	maxPictureBytes  = 16 << 20
	maxPicturePixels = 50_000_000
	maxPictureSide   = 20_000
)

// picture is a photo as the file holds it.
type picture struct {
	width, height int
	space         string
	jpeg          bool
	data          []byte // a JPEG file, or bytes of grey or of red, green and blue
}

// PictureSize looks at the head of a JPEG or PNG file and returns its size in
// pixels, or an error that says why it can't be shown.
func PictureSize(data []byte) (width, height int, err error) {
	c, _, err := config(data)
	return c.Width, c.Height, err
}

func config(data []byte) (image.Config, string, error) {
	if len(data) > maxPictureBytes {
		return image.Config{}, "", fmt.Errorf("the file has %d bytes, more than %d", len(data), maxPictureBytes)
	}
	c, format, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return c, "", errors.New("the file is neither JPEG nor PNG, or is damaged")
	}
	if c.Width < 1 || c.Height < 1 || c.Width > maxPictureSide || c.Height > maxPictureSide || c.Width*c.Height > maxPicturePixels {
		return image.Config{}, "", fmt.Errorf("the picture claims %d × %d pixels", c.Width, c.Height)
	}
	return c, format, nil
}

// Picture shows a photo, a JPEG or PNG file, in the given area. A JPEG goes into
// the file as it is, without what cameras write beside the pixels: where and by
// whom it was taken.
func (p *Page) Picture(x, y, w, h float64, data []byte) error {
	pic, err := newPicture(data)
	if err != nil {
		return err
	}
	p.mark()
	p.book.pictures = append(p.book.pictures, pic)
	// A picture fills the unit square from its lower left corner up.
	fmt.Fprintf(&p.content, "q %s 0 0 -%s %s %s cm /%s Do Q\n", num(w), num(h), num(x), num(y+h), pictureName(len(p.book.pictures)-1))
	return nil
}

func pictureName(i int) string { return fmt.Sprintf("P%d", i) }

func newPicture(data []byte) (picture, error) {
	c, format, err := config(data)
	if err != nil {
		return picture{}, err
	}
	pic := picture{width: c.Width, height: c.Height, space: "DeviceRGB"}
	if c.ColorModel == color.GrayModel {
		pic.space = "DeviceGray"
	}
	if format == "jpeg" && (c.ColorModel == color.GrayModel || c.ColorModel == color.YCbCrModel) {
		if bare, ok := bareJPEG(data); ok {
			pic.jpeg, pic.data = true, bare
			return pic, nil
		}
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return picture{}, errors.New("the file is neither JPEG nor PNG, or is damaged")
	}
	pic.data = pixels(img, pic.space == "DeviceGray")
	return pic, nil
}

// pixels lists the pixels row by row; what shows through is paper.
func pixels(img image.Image, grey bool) []byte {
	r := img.Bounds()
	out := make([]byte, 0, 3*r.Dx()*r.Dy())
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			red, green, blue, alpha := img.At(x, y).RGBA()
			paper := 0xffff - alpha
			out = append(out, byte((red+paper)>>8))
			if !grey {
				out = append(out, byte((green+paper)>>8), byte((blue+paper)>>8))
			}
		}
	}
	return out
}

func (p picture) stream() *core.PdfStream {
	s := core.NewPdfStreamCompressed(p.data)
	if p.jpeg {
		s = core.NewPdfStream(p.data)
		s.Dict.Set("Filter", name("DCTDecode"))
	}
	s.Dict.Set("Type", name("XObject"))
	s.Dict.Set("Subtype", name("Image"))
	s.Dict.Set("Width", core.NewPdfInteger(p.width))
	s.Dict.Set("Height", core.NewPdfInteger(p.height))
	s.Dict.Set("ColorSpace", name(p.space))
	s.Dict.Set("BitsPerComponent", core.NewPdfInteger(8))
	return s
}
