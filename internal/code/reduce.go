package code

import (
	"image"
	"image/color"
)

// reduce turns a picture grey and, if its longer side is over the given one,
// smaller: each new pixel is the mean of those it covers, so that thin modules
// fade and do not vanish.
func reduce(picture image.Image, side int) *image.Gray {
	from := picture.Bounds()
	w, h := from.Dx(), from.Dy()
	if longer := max(w, h); longer > side {
		w, h = max(w*side/longer, 1), max(h*side/longer, 1)
	}
	light := lightness(picture)
	small := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		top, bottom := from.Min.Y+y*from.Dy()/h, from.Min.Y+(y+1)*from.Dy()/h
		for x := range w {
			left, right := from.Min.X+x*from.Dx()/w, from.Min.X+(x+1)*from.Dx()/w
			sum := 0
			for v := top; v < bottom; v++ {
				for u := left; u < right; u++ {
					sum += int(light(u, v))
				}
			}
			small.Pix[y*small.Stride+x] = uint8(sum / ((bottom - top) * (right - left)))
		}
	}
	return small
}

// lightness reads one pixel. The picture kinds that cameras make are read
// directly, since asking each pixel for its colour is ten times slower. What
// shows through is taken for white paper.
func lightness(picture image.Image) func(x, y int) uint8 {
	switch p := picture.(type) {
	case *image.YCbCr:
		return func(x, y int) uint8 { return p.Y[(y-p.Rect.Min.Y)*p.YStride+x-p.Rect.Min.X] }
	case *image.Gray:
		return func(x, y int) uint8 { return p.Pix[(y-p.Rect.Min.Y)*p.Stride+x-p.Rect.Min.X] }
	}
	return func(x, y int) uint8 {
		r, g, b, a := picture.At(x, y).RGBA()
		grey := color.GrayModel.Convert(color.RGBA64{uint16(r), uint16(g), uint16(b), 0xffff}).(color.Gray)
		return uint8(min(uint32(grey.Y)+(0xffff-a)>>8, 255))
	}
}
