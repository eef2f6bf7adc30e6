package media

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
)

// ErrNoPixels says that a file's pixels are not unpacked: a HEIC or PDF file.
var ErrNoPixels = errors.New("pictures of this kind are kept and not shown; a JPEG beside it would be")

const (
	mostUnpacked = 256 << 20 // bytes
	unbounded    = int64(1) << 62
	longestSide  = 30_000
)

// Pixels unpacks a picture as it is stored, not turned. Facts are those that
// [Inspect] gave for the file; a picture that would take too much room is
// refused before it is unpacked.
func Pixels(file []byte, f Facts) (image.Image, error) {
	switch f.Type {
	case JPEG, PNG:
	case HEIC:
		return nil, fmt.Errorf("of a HEIC file only the metadata is read: %w", ErrNoPixels)
	default:
		return nil, ErrNoPixels
	}
	if f.Width < 1 || f.Height < 1 || f.Width > longestSide || f.Height > longestSide || f.unpacked > mostUnpacked {
		return nil, fmt.Errorf("a picture of %d × %d pixels in this form takes too much room to be unpacked", f.Width, f.Height)
	}
	unpack, fault := jpeg.Decode, errJPEG
	if f.Type == PNG {
		unpack, fault = png.Decode, errPNG
	}
	picture, err := unpack(bytes.NewReader(file))
	if err != nil || picture.Bounds().Dx() != f.Width || picture.Bounds().Dy() != f.Height {
		return nil, fault
	}
	return picture, nil
}

// PreviewSide is the longer side of a preview in pixels: enough to read a
// stamped number, little enough for a few hundred in one history.
const PreviewSide = 1000

const previewQuality = 72

// Small makes the upright small picture that previews and likenesses are made of.
func Small(picture image.Image, turn Turn) *image.RGBA {
	stored := reduce(picture, PreviewSide)
	w, h := stored.Rect.Dx(), stored.Rect.Dy()
	if turn <= Upright || turn > 8 {
		return stored
	}
	width, height := w, h
	if turn.sideways() {
		width, height = h, w
	}
	up := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			u, v := turn.from(x, y, w, h)
			copy(up.Pix[y*up.Stride+x*4:][:4], stored.Pix[v*stored.Stride+u*4:][:4])
		}
	}
	return up
}

// Preview is the small picture as a JPEG file, which holds its pixels and
// nothing else: whatever the original said of camera, place or owner stays there.
func Preview(small *image.RGBA) ([]byte, error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, small, &jpeg.Options{Quality: previewQuality}); err != nil {
		return nil, fmt.Errorf("make the preview: %w", err)
	}
	return b.Bytes(), nil
}

// Bare says that a JPEG or PNG file holds its pixels and nothing else.
func Bare(file []byte) bool {
	switch TypeOf(file) {
	case JPEG:
		return bareJPEG(file)
	case PNG:
		return barePNG(file)
	}
	return false
}
