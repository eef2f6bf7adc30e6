package code

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"testing"
)

// shot is how a telephone held over a tag may see it.
type shot struct {
	turn   float64 // radians
	tilt   float64 // how much smaller the far edge is
	blur   int     // passes of a three-pixel mean
	noise  int     // the largest error of a pixel
	shadow float64 // how dark the darker side gets, from 0
	glare  float64 // radius of a burnt-out spot, as a share of the code
	dirt   int     // spots of grease
}

// take photographs a symbol on a grey bench.
func take(s Symbol, c shot, r *rand.Rand) *image.Gray {
	const view, module = 480, 6
	page := paper(s, module)
	side := float64(page.Rect.Dx())
	img := image.NewGray(image.Rect(0, 0, view, view))
	sin, cos := math.Sincos(c.turn)
	gx, gy := view/2+side*(r.Float64()-0.5)*0.6, view/2+side*(r.Float64()-0.5)*0.6
	for y := range view {
		for x := range view {
			u, v := float64(x)-view/2, float64(y)-view/2
			w := 1 + c.tilt*v/view
			u, v = u*w, v*w
			px, py := u*cos+v*sin+side/2, -u*sin+v*cos+side/2
			light := 120.0 // the bench
			if px >= 0 && py >= 0 && px < side && py < side {
				light = 35 + 200*float64(page.GrayAt(int(px), int(py)).Y)/255
			}
			light *= 1 - c.shadow*float64(x+y)/(2*view)
			if c.glare > 0 && math.Hypot(float64(x)-gx, float64(y)-gy) < c.glare*side {
				light = 255
			}
			light += float64(r.IntN(2*c.noise+1) - c.noise)
			img.Pix[y*img.Stride+x] = uint8(min(max(light, 0), 255))
		}
	}
	for range c.dirt {
		spot(img, r.IntN(view), r.IntN(view), 4+r.IntN(9))
	}
	for range c.blur {
		img = soften(img)
	}
	return img
}

func spot(img *image.Gray, cx, cy, radius int) {
	for y := cy - radius; y <= cy+radius; y++ {
		for x := cx - radius; x <= cx+radius; x++ {
			if (image.Point{x, y}).In(img.Rect) && (x-cx)*(x-cx)+(y-cy)*(y-cy) < radius*radius {
				img.Pix[y*img.Stride+x] = 40
			}
		}
	}
}

func soften(img *image.Gray) *image.Gray {
	out := image.NewGray(img.Rect)
	w, h := img.Rect.Dx(), img.Rect.Dy()
	for y := range h {
		for x := range w {
			sum, n := 0, 0
			for v := max(y-1, 0); v <= min(y+1, h-1); v++ {
				for u := max(x-1, 0); u <= min(x+1, w-1); u++ {
					sum, n = sum+int(img.Pix[v*img.Stride+u]), n+1
				}
			}
			out.Pix[y*out.Stride+x] = uint8(sum / n)
		}
	}
	return out
}

// photographed takes so many tags in the given manner, reads them, and counts
// those that were read; a wrong reading fails the test whatever the manner.
func photographed(t *testing.T, pictures int, manner func(i int, r *rand.Rand) shot) (read int) {
	t.Helper()
	r := rand.New(rand.NewPCG(7, 64))
	for i := range pictures {
		tag, err := NewTag(100 + 37*i)
		if err != nil {
			t.Fatal(err)
		}
		text, err := TagPayload(tag).Text()
		if err != nil {
			t.Fatal(err)
		}
		s, err := Encode(text, Rough)
		if err != nil {
			t.Fatal(err)
		}
		c := manner(i, r)
		found, err := Read(context.Background(), take(s, c, r))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			if f.Text == text {
				read++
			} else {
				t.Errorf("%+v: %s was read as %q", c, text, f.Text)
			}
		}
	}
	return read
}

func TestMildPicturesOfTagsAreRead(t *testing.T) {
	read := photographed(t, 100, func(i int, r *rand.Rand) shot {
		return shot{turn: r.Float64() * 2 * math.Pi, tilt: r.Float64() * 0.35, blur: i % 4, noise: 12}
	})
	t.Logf("%d of 100 mild pictures read", read)
	if read < 95 {
		t.Errorf("only %d of 100", read)
	}
}

func TestShadowsGlareAndGreaseNeverGiveAWrongReading(t *testing.T) {
	for name, c := range map[string]struct {
		pictures, least int
		manner          func(i int, r *rand.Rand) shot
	}{
		"a shadow across it": {30, 26, func(_ int, r *rand.Rand) shot {
			return shot{turn: r.Float64() * 7, tilt: 0.2, blur: 1, noise: 10, shadow: 0.8}
		}},
		"a burnt-out spot": {30, 2, func(_ int, r *rand.Rand) shot {
			return shot{turn: r.Float64() * 7, tilt: 0.2, blur: 1, noise: 10, glare: 0.05 + r.Float64()*0.2}
		}},
		"spots of grease": {30, 18, func(_ int, r *rand.Rand) shot {
			return shot{turn: r.Float64() * 7, tilt: 0.1, blur: 1, noise: 10, dirt: 15}
		}},
		"out of focus": {4, 0, func(_ int, r *rand.Rand) shot {
			return shot{turn: r.Float64() * 7, tilt: 0.3, blur: 15 + r.IntN(20), noise: 20}
		}},
		"a dim shop": {30, 20, func(_ int, r *rand.Rand) shot {
			return shot{turn: r.Float64() * 7, noise: 90, blur: 2, shadow: 0.6}
		}},
	} {
		t.Run(name, func(t *testing.T) {
			read := photographed(t, c.pictures, c.manner)
			t.Logf("%d of %d read", read, c.pictures)
			if read < c.least {
				t.Errorf("only %d of %d, %d wanted", read, c.pictures, c.least)
			}
		})
	}
}
