package media

import (
	"image"
	"image/color"
)

// colour reads one pixel as red, green and blue over white paper.
type colour func(x, y int) (r, g, b uint32)

// reduce makes a picture smaller if its longer side is over the given one: each
// new pixel is the mean of those it covers, so that fine lines fade and do not
// vanish.
func reduce(picture image.Image, side int) *image.RGBA {
	from := picture.Bounds()
	w, h := from.Dx(), from.Dy()
	if longer := max(w, h); longer > side {
		w, h = max(w*side/longer, 1), max(h*side/longer, 1)
	}
	at := pixel(picture)
	small := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		top, bottom := from.Min.Y+y*from.Dy()/h, from.Min.Y+(y+1)*from.Dy()/h
		for x := range w {
			left, right := from.Min.X+x*from.Dx()/w, from.Min.X+(x+1)*from.Dx()/w
			var r, g, b uint32
			for v := top; v < bottom; v++ {
				for u := left; u < right; u++ {
					dr, dg, db := at(u, v)
					r, g, b = r+dr, g+dg, b+db
				}
			}
			n := uint32((bottom - top) * (right - left))
			copy(small.Pix[y*small.Stride+x*4:], []uint8{uint8(r / n), uint8(g / n), uint8(b / n), 255})
		}
	}
	return small
}

// pixel reads the kinds of picture that cameras make directly, since asking each
// pixel for its colour is several times slower.
func pixel(picture image.Image) colour {
	switch p := picture.(type) {
	case *image.YCbCr:
		return func(x, y int) (uint32, uint32, uint32) {
			c := p.COffset(x, y)
			r, g, b := color.YCbCrToRGB(p.Y[p.YOffset(x, y)], p.Cb[c], p.Cr[c])
			return uint32(r), uint32(g), uint32(b)
		}
	case *image.Gray:
		return func(x, y int) (uint32, uint32, uint32) {
			l := uint32(p.Pix[p.PixOffset(x, y)])
			return l, l, l
		}
	}
	return func(x, y int) (uint32, uint32, uint32) {
		r, g, b, a := picture.At(x, y).RGBA()
		paper := 0xffff - a
		return min(r+paper, 0xffff) >> 8, min(g+paper, 0xffff) >> 8, min(b+paper, 0xffff) >> 8
	}
}
