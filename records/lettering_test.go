package records

import (
	"image"
	"image/color"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// hand is a way of lettering.
type hand int

const (
	plain hand = iota
	bold
	italic
	mono
	monoBold
)

var fonts = sync.OnceValue(func() [5]*opentype.Font {
	var list [5]*opentype.Font
	for i, src := range [][]byte{goregular.TTF, gobold.TTF, goitalic.TTF, gomono.TTF, gomonobold.TTF} {
		f, err := opentype.Parse(src)
		if err != nil {
			panic(err)
		}
		list[i] = f
	}
	return list
})

func face(h hand, size int) font.Face {
	f, err := opentype.NewFace(fonts()[h], &opentype.FaceOptions{Size: float64(size), DPI: 72})
	if err != nil {
		panic(err)
	}
	return f
}

// write letters text with its base line at y, beginning at x.
func (c canvas) write(x, y, size int, h hand, ink color.Color, text string) {
	d := font.Drawer{Dst: c, Src: image.NewUniform(ink), Face: face(h, size), Dot: fixed.P(x, y)}
	d.DrawString(text)
}

// measure is the width of a text in pixels.
func measure(size int, h hand, text string) int {
	return font.MeasureString(face(h, size), text).Ceil()
}

// centred letters text about x.
func (c canvas) centred(x, y, size int, h hand, ink color.Color, text string) {
	c.write(x-measure(size, h, text)/2, y, size, h, ink, text)
}

// right letters text so that it ends at x.
func (c canvas) right(x, y, size int, h hand, ink color.Color, text string) {
	c.write(x-measure(size, h, text), y, size, h, ink, text)
}

// stamped letters text as if it were struck into metal.
func (c canvas) stamped(x, y, size int, text string) {
	for i, r := range text {
		dy := hash(i, len(text), 5)%5 - 2 // hand stamps never stand quite level
		at := x + i*size*7/10
		c.write(at+2, y+dy+3, size, monoBold, color.NRGBA{255, 255, 255, 120}, string(r))
		c.write(at, y+dy, size, monoBold, color.NRGBA{0, 0, 0, 130}, string(r))
		c.write(at+1, y+dy+1, size, monoBold, color.NRGBA{20, 20, 24, 190}, string(r))
	}
}

// digits draws a text of figures, points, signs and blanks in seven bars each, as meters show them.
func (c canvas) digits(x, y, height int, ink paint, text string) {
	w := height * 6 / 11
	for _, r := range text {
		if r == '.' {
			c.fill(box{x - height*2/10, y + height - height/9, height / 9, height / 9, 2}, ink)
			continue
		}
		for i, on := range bars[r] {
			if on == '1' {
				c.fill(bar(x, y, w, height, i), ink)
			}
		}
		x += w + height*3/10
	}
}

// bars says which of the bars top, upper right, lower right, bottom, lower left, upper left and middle are lit.
var bars = map[rune]string{
	'0': "1111110", '1': "0110000", '2': "1101101", '3': "1111001", '4': "0110011",
	'5': "1011011", '6': "1011111", '7': "1110000", '8': "1111111", '9': "1111011", '-': "0000001", ' ': "0000000",
}

func bar(x, y, w, h, which int) shape {
	t := h / 9
	half := h / 2
	switch which {
	case 0:
		return box{x + t/2, y, w - t, t, t / 3}
	case 1:
		return box{x + w - t, y + t/2, t, half - t/2, t / 3}
	case 2:
		return box{x + w - t, y + half + t/4, t, half - t/2, t / 3}
	case 3:
		return box{x + t/2, y + h - t, w - t, t, t / 3}
	case 4:
		return box{x, y + half + t/4, t, half - t/2, t / 3}
	case 5:
		return box{x, y + t/2, t, half - t/2, t / 3}
	default:
		return box{x + t/2, y + half - t/2, w - t, t, t / 3}
	}
}
