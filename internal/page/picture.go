package page

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // the two formats of photos
	_ "image/png"

	"github.com/carlos7ags/folio/core"
)

// Bounds of one photo. A file of few bytes can ask for gigabytes of pixels, so the size that it declares is looked at before
// anything is unpacked. Four million pixels are four times as many as a preview has.
const (
	maxPictureBytes  = 8 << 20
	maxPicturePixels = 4_000_000
	maxPictureSide   = 20_000
)

// Photo is a JPEG or PNG file as it may be shown: without what cameras and programs write beside the pixels, where and by
// whom it was taken.
type Photo struct {
	Width, Height int // pixels
	MediaType     string
	Data          []byte
	model         color.Model
}

// BarePhoto looks at a photo and leaves out all but the picture; the error says why it can't be shown. Pixels are not unpacked.
func BarePhoto(data []byte) (Photo, error) {
	c, format, err := config(data)
	if err != nil {
		return Photo{}, err
	}
	strip := bareJPEG
	if format == "png" {
		strip = barePNG
	}
	bare, ok := strip(data)
	if !ok {
		return Photo{}, errNoPicture
	}
	return Photo{c.Width, c.Height, "image/" + format, bare, c.ColorModel}, nil
}

var errNoPicture = errors.New("the file is neither JPEG nor PNG, or is damaged")

func config(data []byte) (image.Config, string, error) {
	if len(data) > maxPictureBytes {
		return image.Config{}, "", fmt.Errorf("the file has %d bytes, more than %d", len(data), maxPictureBytes)
	}
	c, format, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || format != "jpeg" && format != "png" {
		return c, "", errNoPicture
	}
	if c.Width < 1 || c.Height < 1 || c.Width > maxPictureSide || c.Height > maxPictureSide || c.Width*c.Height > maxPicturePixels {
		return image.Config{}, "", fmt.Errorf("the picture claims %d × %d pixels", c.Width, c.Height)
	}
	return c, format, nil
}

// Picture shows a photo in the given area. The same photo is in the file once, however often it is shown.
func (p *Page) Picture(x, y, w, h float64, photo Photo) error {
	at, err := p.book.picture(photo)
	if err != nil {
		return err
	}
	p.mark()
	// A picture fills the unit square from its lower left corner up.
	fmt.Fprintf(&p.content, "q %s 0 0 -%s %s %s cm /%s Do Q\n", num(w), num(h), num(x), num(y+h), pictureName(at))
	return nil
}

// picture gives the number under which the file holds a photo.
func (b *Book) picture(photo Photo) (int, error) {
	digest := sha256.Sum256(photo.Data)
	if at, held := b.pictureAt[digest]; held {
		return at, nil
	}
	pic, err := newPicture(photo)
	if err != nil {
		return 0, err
	}
	if b.pictureAt == nil {
		b.pictureAt = map[[sha256.Size]byte]int{}
	}
	b.pictureAt[digest] = len(b.pictures)
	b.pictures = append(b.pictures, pic)
	return len(b.pictures) - 1, nil
}

func pictureName(i int) string { return fmt.Sprintf("P%d", i) }

// picture is a photo as the file holds it.
type picture struct {
	width, height int
	space, filter string
	data          []byte // a JPEG file, or bytes of grey or of red, green and blue, deflated
}

// newPicture takes a JPEG as it is; of a PNG the pixels are packed at once, so that no more than one is ever held unpacked.
func newPicture(photo Photo) (picture, error) {
	pic := picture{width: photo.Width, height: photo.Height, space: "DeviceRGB", filter: "DCTDecode", data: photo.Data}
	if photo.model == color.GrayModel {
		pic.space = "DeviceGray"
	}
	if photo.MediaType == "image/jpeg" && (photo.model == color.GrayModel || photo.model == color.YCbCrModel) {
		return pic, nil
	}
	img, _, err := image.Decode(bytes.NewReader(photo.Data))
	if err != nil {
		return picture{}, errNoPicture
	}
	pic.filter = "FlateDecode"
	pic.data, err = core.DeflateStreamData(pixels(img, pic.space == "DeviceGray"))
	return pic, err
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
	s := core.NewPdfStream(p.data)
	s.Dict.Set("Filter", name(p.filter))
	s.Dict.Set("Type", name("XObject"))
	s.Dict.Set("Subtype", name("Image"))
	s.Dict.Set("Width", core.NewPdfInteger(p.width))
	s.Dict.Set("Height", core.NewPdfInteger(p.height))
	s.Dict.Set("ColorSpace", name(p.space))
	s.Dict.Set("BitsPerComponent", core.NewPdfInteger(8))
	return s
}
