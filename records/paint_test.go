package records

import (
	"image/color"
)

func rgb(hex int) color.NRGBA {
	return color.NRGBA{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 255}
}

// flat paints one colour.
func flat(hex int) paint { c := rgb(hex); return func(int, int) color.NRGBA { return c } }

// glass paints one colour that lets through: alpha out of 255.
func glass(hex, alpha int) paint {
	c := rgb(hex)
	c.A = uint8(alpha)
	return func(int, int) color.NRGBA { return c }
}

// lit makes a colour lighter or darker by so many steps.
func lit(c color.NRGBA, by int) color.NRGBA {
	f := func(v uint8) uint8 { return uint8(max(0, min(255, int(v)+by))) }
	return color.NRGBA{f(c.R), f(c.G), f(c.B), c.A}
}

// down runs from one colour at the height y0 to another at y1.
func down(from, to, y0, y1 int) paint {
	a, b := rgb(from), rgb(to)
	return func(_, y int) color.NRGBA { return mix(a, b, y-y0, y1-y0) }
}

// across runs from one colour at x0 to another at x1.
func across(from, to, x0, x1 int) paint {
	a, b := rgb(from), rgb(to)
	return func(x, _ int) color.NRGBA { return mix(a, b, x-x0, x1-x0) }
}

// round paints a tube that lies along x (or, upright, along y), lit from its upper or left side.
func round(hex, from, to int, upright bool) paint {
	c := rgb(hex)
	return func(x, y int) color.NRGBA {
		v := y
		if upright {
			v = x
		}
		t := (v - from) * 256 / max(to-from, 1)
		d := t - 80
		return lit(c, 52-d*d/150)
	}
}

func mix(a, b color.NRGBA, part, whole int) color.NRGBA {
	part = max(0, min(part, whole))
	f := func(u, v uint8) uint8 { return uint8(int(u) + (int(v)-int(u))*part/max(whole, 1)) }
	return color.NRGBA{f(a.R, b.R), f(a.G, b.G), f(a.B, b.B), f(a.A, b.A)}
}

// hash scatters a place into 0..255.
func hash(x, y, seed int) int {
	h := uint32(x)*0x9E3779B1 ^ uint32(y)*0x85EBCA77 ^ uint32(seed)*0xC2B2AE3D
	h ^= h >> 15
	h *= 0x2C1B3C6D
	h ^= h >> 12
	h *= 0x297A2D39
	h ^= h >> 15
	return int(h & 255)
}

// cloud is smooth noise, 0..255, with cells of so many pixels.
func cloud(x, y, cell, seed int) int {
	cx, cy, fx, fy := x/cell, y/cell, x%cell, y%cell
	top := hash(cx, cy, seed)*(cell-fx) + hash(cx+1, cy, seed)*fx
	bottom := hash(cx, cy+1, seed)*(cell-fx) + hash(cx+1, cy+1, seed)*fx
	return (top*(cell-fy) + bottom*fy) / (cell * cell)
}

// worn breaks up a paint with soft patches and fine grain, the more the stronger.
func worn(p paint, cell, strength, seed int) paint {
	return func(x, y int) color.NRGBA {
		d := (cloud(x, y, cell, seed)-128)*strength/128 + (cloud(x, y, max(cell/5, 2), seed+1)-128)*strength/256
		return lit(p(x, y), d)
	}
}

// grained is wood or brushed metal: streaks along x, or upright along y.
func grained(p paint, strength, seed int, upright bool) paint {
	return func(x, y int) color.NRGBA {
		u, v := x, y
		if upright {
			u, v = y, x
		}
		d := (cloud(u/24, v, 3, seed)-128)*strength/128 + (hash(u/40, v, seed+7)-128)*strength/400
		return lit(p(x, y), d)
	}
}

// shadow darkens the ground under a shape, softly.
func (c canvas) shadow(s shape, dx, dy int) {
	for i := range 4 {
		c.fill(moved{s, dx * (i + 1) / 3, dy * (i + 1) / 3}, glass(0x000000, 28))
	}
}

// solid draws a shape with its shadow, a light upper and a dark lower edge.
func (c canvas) solid(s shape, p paint, depth int) {
	c.shadow(s, depth, depth)
	c.fill(moved{s, 0, 2}, func(x, y int) color.NRGBA { return lit(p(x, y), -60) })
	c.fill(s, func(x, y int) color.NRGBA { return lit(p(x, y), 38) })
	c.fill(moved{s, 1, 2}, p)
}

// finish gives the whole picture the falling light and the grain of a photograph.
func (c canvas) finish(grain int) {
	for y := range high {
		for x := range wide {
			dx, dy := (x-wide/2)*100/wide, (y-high/2)*100/high
			dark := (dx*dx + dy*dy) * 24 / 2500
			g := (hash(x, y, 99) + hash(x, y, 77) - 255) * grain / 640
			i := c.PixOffset(x, y)
			for k := range 3 {
				c.Pix[i+k] = uint8(max(0, min(255, int(c.Pix[i+k])-dark+g)))
			}
		}
	}
}
