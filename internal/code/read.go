package code

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	_ "image/jpeg" // the two formats that cameras and screens write
	_ "image/png"
	"slices"
	"strings"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"
)

// Bounds of a picture. A file of few bytes can claim gigabytes of pixels, so
// what it claims is looked at before anything is unpacked.
const (
	MaxPictureBytes  = 64 << 20
	MaxPicturePixels = 64_000_000
	maxPictureSide   = 20_000
)

// The longer side to which a picture is reduced, in pixels. Most codes are found
// in the first; the next looks past noise and blur, and the last at small codes.
var reducedSides = [...]int{1600, 800, 3200}

// Found is a QR code that was read in a picture.
type Found struct {
	// Text is what it says: printable ASCII. Whose it is, [ParsePayload] knows.
	Text string
	// X and Y are its centre as shares of the picture's width and height.
	X, Y float64
}

// ErrNotPicture says that a file is neither a JPEG nor a PNG, or is damaged.
var ErrNotPicture = errors.New("not a JPEG or PNG picture, or damaged")

// ReadPicture finds the QR codes in a JPEG or PNG file. No code is no error: the
// list is empty. A code that is found and can't be made out is not guessed at.
func ReadPicture(ctx context.Context, file []byte) ([]Found, error) {
	if len(file) > MaxPictureBytes {
		return nil, fmt.Errorf("the picture has %d bytes, more than %d", len(file), MaxPictureBytes)
	}
	config, _, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil {
		return nil, ErrNotPicture
	}
	if w, h := config.Width, config.Height; w < 1 || h < 1 || w > maxPictureSide || h > maxPictureSide || w*h > MaxPicturePixels {
		return nil, fmt.Errorf("the picture claims %d × %d pixels; at most %d in all are read", w, h, MaxPicturePixels)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	picture, _, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		return nil, ErrNotPicture
	}
	return Read(ctx, picture)
}

// Read finds the QR codes in a picture, which it looks at in several sizes until
// one shows any. The error is the context's, or says that the picture is too large.
func Read(ctx context.Context, picture image.Image) ([]Found, error) {
	size := picture.Bounds().Size()
	if size.X < 1 || size.Y < 1 || size.X > maxPictureSide || size.Y > maxPictureSide || size.X*size.Y > MaxPicturePixels {
		return nil, fmt.Errorf("the picture has %d × %d pixels; at most %d in all are read", size.X, size.Y, MaxPicturePixels)
	}
	var tried []*image.Gray
	for _, side := range reducedSides {
		side = min(side, max(size.X, size.Y))
		if slices.ContainsFunc(tried, func(g *image.Gray) bool { return max(g.Rect.Dx(), g.Rect.Dy()) == side }) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		from := picture
		if len(tried) > 0 && side < max(tried[0].Rect.Dx(), tried[0].Rect.Dy()) {
			from = tried[0] // smaller still: no need to go over all pixels again
		}
		grey := reduce(from, side)
		if found := readGrey(grey); len(found) > 0 {
			return found, nil
		}
		tried = append(tried, grey)
	}
	return nil, nil
}

// readGrey looks at a picture with two ways of telling dark from light: by
// neighbourhood, which bears shadows, then by the whole, which bears noise.
func readGrey(grey *image.Gray) []Found {
	source := gozxing.NewLuminanceSourceFromImage(grey)
	for _, binarizer := range []gozxing.Binarizer{gozxing.NewHybridBinarizer(source), gozxing.NewGlobalHistgramBinarizer(source)} {
		if found := decode(binarizer, grey.Rect.Size()); len(found) > 0 {
			return found
		}
	}
	return nil
}

// decode runs the decoder, which may panic over what it takes for a code in a
// stranger's picture; that counts as nothing found.
func decode(binarizer gozxing.Binarizer, size image.Point) (found []Found) {
	defer func() {
		if recover() != nil {
			found = nil
		}
	}()
	bitmap, err := gozxing.NewBinaryBitmap(binarizer)
	if err != nil {
		return nil
	}
	hints := map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}
	results, err := multi.NewQRCodeMultiReader().DecodeMultiple(bitmap, hints)
	if err != nil {
		return nil
	}
	for _, r := range results {
		if f, ok := asFound(r, size); ok && !slices.Contains(found, f) {
			found = append(found, f)
		}
	}
	slices.SortFunc(found, func(a, b Found) int {
		return strings.Compare(fmt.Sprintf("%.4f %.4f %s", a.Y, a.X, a.Text), fmt.Sprintf("%.4f %.4f %s", b.Y, b.X, b.Text))
	})
	return found
}

// asFound takes a result whose text is printable ASCII. The centre lies halfway
// between the marks at the lower left and the upper right, the first and the third.
func asFound(r *gozxing.Result, size image.Point) (Found, bool) {
	text, points := r.GetText(), r.GetResultPoints()
	if text == "" || strings.ContainsFunc(text, func(r rune) bool { return r < ' ' || r > '~' }) || len(points) < 3 {
		return Found{}, false
	}
	x := (points[0].GetX() + points[2].GetX()) / 2
	y := (points[0].GetY() + points[2].GetY()) / 2
	return Found{Text: text, X: x / float64(size.X), Y: y / float64(size.Y)}, true
}
