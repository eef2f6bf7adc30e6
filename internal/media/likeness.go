package media

import "image"

// Likeness is the coarse look of a picture, by which a copy is known again that
// was made smaller or packed anew. Two pictures from two moments differ in it, as
// far as the hand that held the camera moved.
type Likeness struct {
	// Width and Height are those of the picture that it was made of.
	Width, Height int
	grey          [cells * cells]uint8
}

const (
	cells    = 24 // along each side
	meanOff  = 3  // steps of 255 by which copies differ on the whole
	worstOff = 20 // and in the worst cell, where noise was smoothed away
	flattest = 6  // spread of grey below which a picture has no look to speak of
)

// LikenessOf gives the coarse look of a picture.
func LikenessOf(small *image.RGBA) Likeness {
	w, h := small.Rect.Dx(), small.Rect.Dy()
	l := Likeness{Width: w, Height: h}
	for cy := range cells {
		top, bottom := cy*h/cells, max((cy+1)*h/cells, cy*h/cells+1)
		for cx := range cells {
			left, right := cx*w/cells, max((cx+1)*w/cells, cx*w/cells+1)
			sum := 0
			for y := top; y < bottom; y++ {
				for x := left; x < right; x++ {
					p := small.Pix[y*small.Stride+x*4:]
					sum += (299*int(p[0]) + 587*int(p[1]) + 114*int(p[2])) / 1000
				}
			}
			l.grey[cy*cells+cx] = uint8(sum / ((bottom - top) * (right - left)))
		}
	}
	return l
}

// Like says that two pictures look like one picture packed twice: the same shape
// within a hundredth, and the same look within what packing changes. A blank wall
// is like nothing.
func (l Likeness) Like(o Likeness) bool {
	a, b := l.Width*o.Height, o.Width*l.Height
	if a == 0 || b == 0 || abs(a-b)*100 > max(a, b) || l.flat() || o.flat() {
		return false
	}
	sum := 0
	for i := range l.grey {
		off := abs(int(l.grey[i]) - int(o.grey[i]))
		if off > worstOff {
			return false
		}
		sum += off
	}
	return sum <= meanOff*len(l.grey)
}

// flat says that a picture is nearly one shade.
func (l Likeness) flat() bool {
	sum := 0
	for _, g := range l.grey {
		sum += int(g)
	}
	mean, spread := sum/len(l.grey), 0
	for _, g := range l.grey {
		spread += abs(int(g) - mean)
	}
	return spread < flattest*len(l.grey)
}

func abs(n int) int { return max(n, -n) }
