package media

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
)

// Type is the kind of a file by its content, as records name it.
type Type string

// The types that are recognised.
const (
	JPEG Type = "image/jpeg"
	PNG  Type = "image/png"
	HEIC Type = "image/heic"
	PDF  Type = "application/pdf"
)

// MaxBytes is how large a photo or document may be.
const MaxBytes = 64 << 20

// ErrUnknown says that a file is no photo or document of a kind that is read.
var ErrUnknown = errors.New("not a JPEG, PNG, HEIC or PDF file")

// Facts are what a file says of itself. Each may be missing.
type Facts struct {
	Type Type
	// Width and Height are pixels as the picture is stored, before it is turned
	// upright; 0 where the file does not say.
	Width, Height int
	// Turn is how the pixels are to be turned so that the picture stands upright.
	Turn Turn
	// Taken is the date and time that the camera wrote, or for a PDF file the
	// program that made it.
	Taken Moment
	// Maker is the camera's make and model, cleaned for showing it to a person at
	// the bench. It stands in no record.
	Maker string
	// Camera tells one camera from another without naming it: eight hex digits of
	// a digest over make, model and serial number; "" where the file names none.
	Camera string
	// Placed says that the file tells where it was taken.
	Placed bool
	// unpacked is about how many bytes the pixels take when they are unpacked.
	unpacked int64
}

// TypeOf recognises a file by its first bytes; "" for anything else. The ending
// of a name says nothing.
func TypeOf(file []byte) Type {
	switch {
	case bytes.HasPrefix(file, []byte("\xff\xd8\xff")):
		return JPEG
	case bytes.HasPrefix(file, []byte(pngSignature)):
		return PNG
	case isHEIC(file):
		return HEIC
	case bytes.HasPrefix(file, []byte("%PDF-")):
		return PDF
	}
	return ""
}

// Inspect reads what a file says of itself. A file that is damaged behind what
// could be read keeps the facts read so far beside the error; [ErrUnknown] says
// that there are none.
func Inspect(file []byte) (Facts, error) {
	if len(file) > MaxBytes {
		return Facts{}, fmt.Errorf("the file has %d bytes, and %d at most are read", len(file), MaxBytes)
	}
	f := Facts{Type: TypeOf(file), Turn: Upright}
	var err error
	switch f.Type {
	case JPEG:
		err = f.jpeg(file)
	case PNG:
		err = f.png(file)
	case HEIC:
		err = f.heic(file)
	case PDF:
		err = f.pdf(file)
	default:
		return Facts{}, ErrUnknown
	}
	return f, err
}

// HasCamera says that a camera left its name or a time in the file. Pictures that
// came through a messaging program, and edited ones, mostly have neither.
func (f Facts) HasCamera() bool { return f.Camera != "" || !f.Taken.IsZero() }

// Upright gives width and height as the picture is shown.
func (f Facts) Upright() (width, height int) {
	if f.Turn.sideways() {
		return f.Height, f.Width
	}
	return f.Width, f.Height
}

// camera names a camera by what the file says of it.
func (f *Facts) camera(maker, model, serial string) {
	maker, model, serial = plain(maker), plain(model), plain(serial)
	if maker == "" && model == "" {
		return
	}
	if strings.HasPrefix(strings.ToLower(model), strings.ToLower(maker)) {
		f.Maker = model // many models begin with their maker's name
	} else {
		f.Maker = maker + " " + model
	}
	f.Maker = strings.TrimSpace(f.Maker)
	sum := sha256.Sum256([]byte(maker + "\x00" + model + "\x00" + serial))
	f.Camera = hex.EncodeToString(sum[:4])
}

// plain keeps the printable ASCII of a text from a file, at most 60 characters.
func plain(s string) string {
	const most = 60
	var b strings.Builder
	for _, r := range s {
		if r >= ' ' && r <= '~' && b.Len() < most {
			b.WriteRune(r)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
