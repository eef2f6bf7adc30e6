package records

import (
	"fmt"
	"image/color"
	"path"

	"boltback/internal/record"
)

// planks lays boards along the whole width.
func (c canvas) planks(y0, y1, height, hex, seed int) {
	for y := y0; y < y1; y += height {
		c.fill(box{0, y, wide, height, 0}, grained(down(lift(hex, 12+hash(y, 1, seed)%16), lift(hex, -18), y, y+height), 26, seed+y, false))
		c.fill(box{0, y + height - 3, wide, 3, 0}, glass(0x000000, 120))
	}
}

// tagOf hangs the tag of a part.
func (c canvas) tagOf(from shown, part record.Ref, x, y, w int, second string) {
	r := from[part]
	c.tag(x, y, w, r.Body.(*record.Part).Tag, path.Base(string(part)), second)
}

func tankInCrate(c canvas, from shown) {
	c.planks(0, high, 150, 0x8A6B45, 70)
	c.fill(box{120, 110, 1040, 700, 0}, worn(down(0x2A2118, 0x3A2E20, 110, 810), 80, 12, 71))
	tank := box{210, 220, 860, 480, 90}
	c.solid(tank, worn(down(0x6F7478, 0x3E4246, 220, 700), 70, 16, 72), 16)
	c.fill(box{216, 440, 848, 30, 14}, down(0x90959A, 0x2D3033, 440, 470))
	c.fill(box{260, 260, 760, 60, 30}, glass(0xFFFFFF, 38))
	for i := range 6 {
		x := 270 + i*148
		c.fill(oval{x, 455, 13, 13}, flat(0x17181A))
		c.fill(oval{x, 452, 13, 4}, glass(0xFFFFFF, 60))
	}
	c.solid(oval{430, 350, 66, 66}, worn(across(0xB9A15A, 0x7E6A32, 364, 496), 10, 14, 73), 5)
	c.solid(box{820, 150, 110, 130, 20}, round(0x54585C, 820, 930, true), 8)
	c.solid(box{812, 130, 126, 42, 12}, flat(0xA3261E), 4)
	for _, x := range []int{120, 1116} {
		c.solid(box{x, 90, 44, 740, 4}, grained(flat(0xB08C5C), 24, x, true), 8)
	}
	c.solid(box{100, 770, 1080, 76, 4}, grained(down(0xB58F5D, 0x8F6D42, 770, 846), 26, 75, false), 10)
	c.write(150, 826, 44, bold, color.NRGBA{20, 16, 10, 235}, "CRATE 3")
	c.fill(stroke(point{452, 350}, point{546, 600}, 4), flat(0xCFC6B0))
	c.tagOf(from, "parts/fuel-tank", 500, 510, 370, "gas-free 2025-09-18")
	c.bagOf(from, "joints/fuel-tank-flange", 905, 500)
	c.finish(22)
}

// bagOf is a clear bag with the bolts of a joint in it and a written label.
func (c canvas) bagOf(from shown, joint record.Ref, x, y int) {
	bolts := from[joint].Body.(*record.Joint).Fasteners[0]
	c.shadow(box{x, y, 190, 220, 16}, 6, 6)
	c.fill(box{x, y, 190, 220, 16}, glass(0xDDE6EA, 90))
	for i := range int(bolts.Count) {
		bx, by := x+32+i%3*58, y+112+i/3*36
		c.fill(stroke(point{bx, by}, point{bx + 26, by + hash(i, 2, 9)%20 - 10}, 9), flat(0x84807A))
		c.fill(hexagon(bx, by, 13), across(0xB3AFA6, 0x6E6B66, bx-13, bx+13))
	}
	c.fill(box{x + 10, y + 10, 170, 70, 6}, worn(flat(0xF2EEE2), 30, 6, y))
	ink := color.NRGBA{30, 34, 66, 255}
	c.write(x+20, y+44, 30, monoBold, ink, bolts.Bag)
	c.write(x+20, y+70, 22, italic, ink, fmt.Sprintf("%d counted", bolts.Count))
	c.fill(box{x + 4, y + 4, 20, 206, 10}, glass(0xFFFFFF, 80))
}

func engineOnPallet(c canvas, from shown) {
	c.fill(box{0, 0, wide, 640, 0}, worn(down(0x8B8E90, 0x6B6E70, 0, 640), 160, 10, 81))
	for x := 0; x < wide; x += 64 {
		c.fill(box{x, 0, 3, 640, 0}, glass(0x2A2C2E, 150))
	}
	for y := 20; y < 640; y += 64 {
		c.fill(box{0, y, wide, 3, 0}, glass(0x2A2C2E, 150))
	}
	c.fill(box{0, 640, wide, 320, 0}, worn(down(0x6A6764, 0x4C4A48, 640, high), 120, 14, 82))
	for i := range 3 {
		c.solid(box{150 + i*420, 800, 140, 80, 4}, grained(flat(0x9A774A), 26, 83+i, false), 8)
	}
	c.solid(box{110, 750, 1060, 62, 4}, grained(down(0xBE9865, 0x94714A, 750, 812), 26, 86, false), 10)
	c.solid(polygon{{300, 750}, {330, 520}, {900, 520}, {950, 750}}, worn(down(0x46564A, 0x2B382E, 520, 750), 34, 18, 87), 12)
	c.solid(box{330, 330, 560, 200, 16}, worn(down(0x566A5A, 0x38493C, 330, 530), 30, 16, 88), 8)
	c.solid(box{350, 250, 520, 92, 34}, worn(round(0x7A2E25, 250, 342, false), 40, 8, 89), 8)
	c.solid(oval{520, 252, 34, 20}, flat(0x1E1E1F), 4)
	for i := range 4 {
		x := 400 + i*118
		c.fill(box{x, 372, 58, 66, 10}, worn(flat(0xC8A23A), 14, 8, 90+i))
		c.fill(box{x + 6, 378, 46, 54, 8}, glass(0x000000, 50))
	}
	c.solid(oval{300, 600, 108, 108}, worn(round(0x34383A, 492, 708, false), 20, 14, 94), 8)
	c.solid(oval{300, 600, 40, 40}, worn(flat(0x8A8D8F), 10, 12, 95), 4)
	c.solid(polygon{{950, 740}, {900, 540}, {1010, 500}, {1060, 740}}, worn(down(0x7E8386, 0x55595C, 500, 740), 40, 14, 96), 8)
	c.fill(stroke(point{700, 430}, point{770, 560}, 4), flat(0xCFC6B0))
	c.tagOf(from, "parts/engine", 740, 540, 340, "oiled 2025-09-26")
	c.solid(box{150, 838, 320, 64, 4}, worn(flat(0xEDE9DC), 40, 6, 97), 4)
	c.write(168, 884, 40, bold, color.NRGBA{20, 16, 10, 235}, "PALLET 1")
	c.finish(22)
}

func loomEnds(c canvas, from shown) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0xA2A49F, 0x777972, 0, high), 170, 16, 103))
	c.fill(box{0, 640, wide, 14, 0}, glass(0x000000, 90))
	c.fill(box{0, 654, wide, 8, 0}, glass(0xFFFFFF, 70))
	for i := range 26 {
		c.solid(box{i*50 - 6, 196, 54, 66, 10}, grained(round(0x3B2F28, 196, 262, false), 20, 104+i, true), 3)
	}
	ends := from["parts/engine-bay-loom"].Body.(*record.Part).Runs
	shade := []int{0xE8E4D8, 0x2F5FA8, 0xB5442E, 0xE0B526, 0x3C7D46}
	n := 0
	for _, run := range ends {
		if run.State != "unplugged" {
			continue
		}
		x := 120 + n*235
		bend := 260 + hash(n, 8, 1)%50
		c.solid(stroke(point{x, 250}, point{x + 20, bend + 90}, 22), round(shade[n], x-10, x+30, true), 5)
		c.solid(box{x - 14, bend + 80, 70, 130, 18}, round(0x202122, x-14, x+56, true), 6)
		c.fill(box{x - 18, bend + 92, 78, 22, 6}, round(0x3A3B3D, x-18, x+60, true))
		c.fill(stroke(point{x + 20, bend + 150}, point{x + 30, bend + 250}, 3), flat(0xE9E2CC))
		c.tag(x-40, bend+250, 212, string(rune('A'+n)), run.End, "unplugged, capped")
		n++
	}
	for _, x := range []int{60, 640, 1220} {
		c.solid(box{x - 14, 180, 28, 98, 6}, across(0xC9CBCD, 0x7D8083, x-14, x+14), 4)
	}
	c.finish(20)
}
