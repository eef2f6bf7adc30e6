package records

import (
	"fmt"

	"boltback/internal/record"
)

// blank is a drawing sheet with a border and a title block.
func (c canvas) blank(from shown, paper, part record.Ref, number string) {
	c.fill(box{0, 0, wide, high, 0}, worn(flat(0xFAFAF5), 160, 3, 201))
	for x := 40; x <= 1240; x += 20 {
		c.fill(box{x, 40, 1, 870, 0}, glass(0x3A6EA5, 22))
	}
	for y := 40; y <= 900; y += 20 {
		c.fill(box{40, y, 1200, 1, 0}, glass(0x3A6EA5, 22))
	}
	c.outline(box{40, 40, 1200, 870, 0}, 3)
	c.fill(box{760, 760, 480, 150, 0}, flat(0xFAFAF5))
	c.outline(box{760, 760, 480, 150, 0}, 3)
	p := from[paper].Body.(*record.Paper)
	c.write(780, 802, 26, bold, black, from[part].Name())
	c.write(780, 840, 20, plain, black, "Tallow Lane Motor Works, drawn "+string(p.Claimed))
	c.write(780, 886, 30, monoBold, black, number+"   rev "+p.Revision)
	c.write(1060, 886, 20, plain, black, "not to scale")
}

// outline draws the edges of an upright rectangle.
func (c canvas) outline(b box, width int) {
	for _, e := range []box{{b.x, b.y, b.w, width, 0}, {b.x, b.y + b.h - width, b.w, width, 0}, {b.x, b.y, width, b.h, 0}, {b.x + b.w - width, b.y, width, b.h, 0}} {
		c.fill(e, flat(0x1C1C20))
	}
}

// hole draws a hole with its centre lines.
func (c canvas) hole(x, y, r int) {
	c.fill(oval{x, y, r, r}, flat(0x1C1C20))
	c.fill(oval{x, y, r - 2, r - 2}, flat(0xFAFAF5))
	c.fill(box{x - r - 8, y, 2*r + 16, 1, 0}, flat(0xB02A20))
	c.fill(box{x, y - r - 8, 1, 2*r + 16, 0}, flat(0xB02A20))
}

// dimension draws a measured distance along x.
func (c canvas) dimension(x0, x1, y int, text string) {
	c.fill(box{x0, y, x1 - x0, 1, 0}, flat(0x1C1C20))
	for _, x := range []int{x0, x1} {
		c.fill(box{x, y - 14, 1, 28, 0}, flat(0x1C1C20))
	}
	c.fill(polygon{{x0, y}, {x0 + 16, y - 5}, {x0 + 16, y + 5}}, flat(0x1C1C20))
	c.fill(polygon{{x1, y}, {x1 - 16, y - 5}, {x1 - 16, y + 5}}, flat(0x1C1C20))
	w := measure(20, plain, text)
	c.fill(box{(x0+x1)/2 - w/2 - 6, y - 14, w + 12, 26, 0}, flat(0xFAFAF5))
	c.centred((x0+x1)/2, y+7, 20, plain, black, text)
}

// fasteners lists the joints of a drawing as a table.
func (c canvas) fasteners(from shown, y int, joints ...record.Ref) {
	for i, id := range joints {
		j := from[id].Body.(*record.Joint)
		f := j.Fasteners[0]
		line := fmt.Sprintf("%d  %-34s %d x %s %s   %s", i+1, from[id].Name(), f.Count, f.What, f.Size, j.Specification.Torque)
		c.write(60, y+i*30, 15, mono, black, line)
	}
}

func drawingRearCradle(c canvas, from shown) {
	c.blank(from, "papers/drawing-rear-cradle", "parts/battery-cradle-rear", "TL-041")
	for _, b := range []box{{330, 140, 560, 46, 0}, {330, 300, 560, 46, 0}, {330, 460, 560, 46, 0}, {140, 540, 940, 46, 0}, {330, 140, 46, 446, 0}, {844, 140, 46, 446, 0}} {
		c.fill(b, glass(0x3A6EA5, 34))
		c.outline(b, 2)
	}
	for _, x := range []int{353, 867} {
		for _, y := range []int{163, 323, 483} {
			c.hole(x, y, 13)
		}
	}
	for _, x := range []int{170, 230, 990, 1050} {
		c.hole(x, 563, 15)
	}
	c.dimension(353, 867, 96, "recess flange, six nuts")
	c.dimension(170, 1050, 640, "spring hanger nuts, two a side")
	c.centred(610, 414, 21, italic, black, "box on six M8, load into the hangers")
	c.write(60, 720, 20, bold, black, "every hole is the maker's; none is drilled")
	c.fasteners(from, 800, "joints/rear-cradle", "joints/rear-cradle-hangers", "joints/rear-box")
	c.finish(6)
}

func drawingFrontCradle(c canvas, from shown) {
	c.blank(from, "papers/drawing-front-cradle", "parts/battery-cradle-front", "TL-040")
	for _, b := range []box{{200, 420, 840, 60, 0}, {300, 180, 640, 46, 0}, {300, 180, 46, 300, 0}, {894, 180, 46, 300, 0}, {300, 300, 640, 46, 0}} {
		c.fill(b, glass(0x3A6EA5, 34))
		c.outline(b, 2)
	}
	for _, x := range []int{240, 310, 930, 1000} {
		c.hole(x, 450, 17)
	}
	for _, x := range []int{323, 917} {
		c.hole(x, 203, 11)
		c.hole(x, 263, 11)
	}
	c.dimension(310, 930, 540, "620 between the inner lashing-eye nuts")
	c.dimension(323, 917, 130, "radiator holes of the front panel")
	c.centred(620, 392, 21, italic, black, "load into the crossmember; the panel steadies")
	c.write(60, 720, 20, bold, black, "every hole is the maker's; none is drilled")
	c.fasteners(from, 800, "joints/front-cradle", "joints/front-cradle-stay", "joints/front-box")
	c.finish(6)
}
