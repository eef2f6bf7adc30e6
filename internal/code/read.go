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
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
	"github.com/makiuchi-d/gozxing/qrcode/detector"
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

// Sight is what was seen in a picture.
type Sight struct {
	// Found are the codes that were read, down the picture and then across.
	Found []Found
	// Unread says that there is something like a code that could not be made out.
	// It is not guessed at.
	Unread bool
}

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

// Read finds the QR codes in a picture, as [Look] does.
func Read(ctx context.Context, picture image.Image) ([]Found, error) {
	sight, err := Look(ctx, picture)
	return sight.Found, err
}

// Look finds the QR codes in a picture, at which it looks in several sizes until
// one shows any. The error is the context's, or says that the picture is too large.
func Look(ctx context.Context, picture image.Image) (Sight, error) {
	size := picture.Bounds().Size()
	if size.X < 1 || size.Y < 1 || size.X > maxPictureSide || size.Y > maxPictureSide || size.X*size.Y > MaxPicturePixels {
		return Sight{}, fmt.Errorf("the picture has %d × %d pixels; at most %d in all are read", size.X, size.Y, MaxPicturePixels)
	}
	var tried []*image.Gray
	unread := false
	for _, side := range reducedSides {
		side = min(side, max(size.X, size.Y))
		if slices.ContainsFunc(tried, func(g *image.Gray) bool { return max(g.Rect.Dx(), g.Rect.Dy()) == side }) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return Sight{}, err
		}
		from := picture
		if len(tried) > 0 && side < max(tried[0].Rect.Dx(), tried[0].Rect.Dy()) {
			from = tried[0] // smaller still: no need to go over all pixels again
		}
		grey := reduce(from, side)
		sight := lookAt(grey)
		if len(sight.Found) > 0 {
			return sight, nil
		}
		unread = unread || sight.Unread
		tried = append(tried, grey)
	}
	return Sight{Unread: unread}, nil
}

// lookAt looks at a picture with two ways of telling dark from light: by
// neighbourhood, which bears shadows, then by the whole, which bears noise.
func lookAt(grey *image.Gray) Sight {
	source := gozxing.NewLuminanceSourceFromImage(grey)
	unread := false
	for _, binarizer := range []gozxing.Binarizer{gozxing.NewHybridBinarizer(source), gozxing.NewGlobalHistgramBinarizer(source)} {
		sight := decode(binarizer, grey.Rect.Size())
		if len(sight.Found) > 0 {
			return sight
		}
		unread = unread || sight.Unread
	}
	return Sight{Unread: unread}
}

// decode looks for marks and reads what lies between them. The decoder may panic
// over what it takes for a code in a stranger's picture; that counts as nothing
// found.
func decode(binarizer gozxing.Binarizer, size image.Point) (sight Sight) {
	defer func() {
		if recover() != nil {
			sight = Sight{}
		}
	}()
	dark, err := binarizer.GetBlackMatrix()
	if err != nil {
		return Sight{}
	}
	marks := findMarks(dark)
	used := map[mark]bool{}
	var left []corners
	for _, c := range codesOf(marks) {
		if used[c.lowerLeft] || used[c.upperLeft] || used[c.upperRight] {
			continue
		}
		text, framed := readBetween(dark, c)
		if text != "" {
			used[c.lowerLeft], used[c.upperLeft], used[c.upperRight] = true, true, true
			sight.Found = append(sight.Found, found(text, c, size))
		} else if framed {
			left = append(left, c)
		}
	}
	for _, c := range left {
		sight.Unread = sight.Unread || !used[c.lowerLeft] && !used[c.upperLeft] && !used[c.upperRight]
	}
	if len(sight.Found) == 0 && pairOf(dark, marks) {
		sight.Unread = true
	}
	slices.SortFunc(sight.Found, func(a, b Found) int {
		return strings.Compare(fmt.Sprintf("%.4f %.4f %s", a.Y, a.X, a.Text), fmt.Sprintf("%.4f %.4f %s", b.Y, b.X, b.Text))
	})
	return sight
}

// readBetween reads the code between three marks: its text if it is printable
// ASCII, else "". Framed says that the dotted lines between the marks are there,
// so that a code it is.
func readBetween(dark *gozxing.BitMatrix, c corners) (text string, framed bool) {
	grid, err := detector.NewDetector(dark).ProcessFinderPatternInfo(detector.NewFinderPatternInfo(c.lowerLeft, c.upperLeft, c.upperRight))
	if err != nil {
		return "", false
	}
	bits := grid.GetBits()
	framed = dotted(bits)
	if text = textOf(bits); text != "" || !framed {
		return text, framed
	}
	return readAslant(dark, c, bits.GetWidth()), framed
}

// aslant is how far the fourth corner may lie from where it would be if the code
// were seen from straight above, as shares of a side, near ones first.
var aslant = [...]float64{0, 0.03, -0.03, 0.06, -0.06, 0.09, -0.09, 0.13, -0.13}

// readAslant reads a small code that is seen from aside: it has no mark at its
// fourth corner, which is then looked for by trying.
func readAslant(dark *gozxing.BitMatrix, c corners, modules int) string {
	const fromEdge = 6.5 // modules from the far edge to the middle of the alignment mark that larger codes have
	share := (float64(modules) - fromEdge - 3.5) / float64(modules-7)
	for _, right := range aslant {
		for _, down := range aslant {
			u, v := share+right, share+down
			x := c.upperLeft.GetX() + u*(c.upperRight.GetX()-c.upperLeft.GetX()) + v*(c.lowerLeft.GetX()-c.upperLeft.GetX())
			y := c.upperLeft.GetY() + u*(c.upperRight.GetY()-c.upperLeft.GetY()) + v*(c.lowerLeft.GetY()-c.upperLeft.GetY())
			fourth := detector.NewAlignmentPattern(x, y, c.upperLeft.GetEstimatedModuleSize())
			transform := detector.Detector_createTransform(c.upperLeft, c.upperRight, c.lowerLeft, fourth, modules)
			bits, err := detector.Detector_sampleGrid(dark, transform, modules)
			if err != nil {
				continue
			}
			if text := textOf(bits); text != "" {
				return text
			}
		}
	}
	return ""
}

// textOf decodes modules; "" for what is no code, and for a text that is not
// printable ASCII.
func textOf(bits *gozxing.BitMatrix) string {
	read, err := decoder.NewDecoder().Decode(bits, nil)
	if err != nil || strings.ContainsFunc(read.GetText(), func(r rune) bool { return r < ' ' || r > '~' }) {
		return ""
	}
	return read.GetText()
}

// dotted says that dark and light take turns between the marks, along the top
// and down the left (ISO/IEC 18004, 6.3.5), but for some that are spoilt.
func dotted(bits *gozxing.BitMatrix) bool {
	const row = 6
	right, of := 0, 0
	for i := row + 2; i < bits.GetWidth()-8; i++ {
		for _, dark := range []bool{bits.Get(i, row), bits.Get(row, i)} {
			of++
			if dark == (i%2 == 0) {
				right++
			}
		}
	}
	return right*4 >= of*3
}

// found says where a code lies: its centre is halfway between the marks at the
// lower left and the upper right.
func found(text string, c corners, size image.Point) Found {
	x := (c.lowerLeft.GetX() + c.upperRight.GetX()) / 2
	y := (c.lowerLeft.GetY() + c.upperRight.GetY()) / 2
	return Found{Text: text, X: x / float64(size.X), Y: y / float64(size.Y)}
}
