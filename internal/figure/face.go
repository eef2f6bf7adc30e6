package figure

import (
	_ "embed" // the typefaces
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Face is one of the typefaces that the program carries: DejaVu, which is free
// to embed (its licence lies beside the files) and has every sign that a
// workshop writes, box and tick included.
type Face uint8

// The faces.
const (
	Regular Face = iota
	Bold
	// Mono has figures and letters of one width, for what is kept as it was read.
	Mono

	faceCount
)

// Faces lists all of them.
func Faces() []Face { return []Face{Regular, Bold, Mono} }

//go:embed font/DejaVuSansCondensed.ttf
var regularFile []byte

//go:embed font/DejaVuSansCondensed-Bold.ttf
var boldFile []byte

//go:embed font/DejaVuSansMono.ttf
var monoFile []byte

// File is the TrueType file of the face; it is not to be written to.
func (f Face) File() []byte {
	switch f {
	case Bold:
		return boldFile
	case Mono:
		return monoFile
	}
	return regularFile
}

// UnitsPerEm is the number of a face's own units in its size.
const UnitsPerEm = 2048

// Proportions of a line, as shares of the text's size.
const (
	Ascent    = 0.76 // above the baseline, enough for accents on capitals
	Descent   = 0.24
	CapHeight = 0.73
)

// loaded is a face as it was parsed, and the widths of the characters that
// nearly every text is made of.
type loaded struct {
	font   *sfnt.Font
	widths [0x250]float64 // share of the size; 0 for what the face lacks
}

var faces [faceCount]struct {
	once sync.Once
	face loaded
}

// load parses a face when it is first asked for. The files are part of the
// program, so one that can't be parsed is a mistake in the program.
func (f Face) load() *loaded {
	slot := &faces[f%faceCount]
	slot.once.Do(func() {
		parsed, err := sfnt.Parse(f.File())
		if err != nil {
			panic("a built-in typeface cannot be read: " + err.Error())
		}
		slot.face.font = parsed
		var b sfnt.Buffer
		for r := range slot.face.widths {
			if g := slot.face.glyph(&b, rune(r)); g != 0 {
				slot.face.widths[r] = slot.face.advance(&b, g)
			}
		}
	})
	return &slot.face
}

func (l *loaded) glyph(b *sfnt.Buffer, r rune) sfnt.GlyphIndex {
	g, err := l.font.GlyphIndex(b, r)
	if err != nil {
		return 0
	}
	return g
}

// advance is the width of a glyph as a share of the size.
func (l *loaded) advance(b *sfnt.Buffer, g sfnt.GlyphIndex) float64 {
	units, err := l.font.GlyphAdvance(b, g, fixed.I(UnitsPerEm), font.HintingNone)
	if err != nil {
		return 0
	}
	return float64(units) / 64 / UnitsPerEm
}

// width is the width of one character as a share of the size.
func (l *loaded) width(b *sfnt.Buffer, r rune) float64 {
	if int(r) < len(l.widths) && r >= 0 {
		return l.widths[r]
	}
	return l.advance(b, l.glyph(b, r))
}
