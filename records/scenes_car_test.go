package records

import (
	"fmt"
	"image/color"

	"boltback/internal/record"
)

// bay draws an empty engine bay seen from above: bulkhead at the top, front panel at the bottom, wings at the sides.
func (c canvas) bay() {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0xAEB0AB, 0x9A9C97, 0, high), 170, 12, 121))
	c.fill(box{0, 0, wide, 96, 0}, worn(down(0xC2C4BF, 0xA6A8A3, 0, 96), 120, 8, 122))
	well := polygon{{170, 100}, {1110, 100}, {1180, 880}, {100, 880}}
	c.shadow(well, -3, -3)
	c.fill(well, worn(down(0x565854, 0x3A3C39, 100, 880), 80, 14, 123))
	c.solid(polygon{{100, 880}, {1180, 880}, {1210, 950}, {70, 950}}, worn(down(0xB5B7B2, 0x8B8D87, 880, 950), 120, 10, 124), 6)
	for _, side := range [][4]int{{170, 100, 100, 880}, {1110, 100, 1180, 880}} {
		c.fill(stroke(point{side[0], side[1]}, point{side[2], side[3]}, 40), worn(flat(0x8F918C), 60, 12, side[0]))
	}
	c.fill(box{170, 100, 940, 34, 0}, worn(down(0x8C8E89, 0x63655F, 100, 134), 60, 12, 126))
}

// battery draws the 12 V battery in its tray.
func (c canvas) battery() {
	c.solid(box{930, 160, 180, 140, 8}, worn(down(0x232427, 0x17181A, 160, 300), 40, 8, 127), 9)
	for i, hex := range []int{0xB02A20, 0x2A4E8A} {
		c.solid(oval{970 + i*100, 200, 20, 20}, flat(0x9A9CA0), 3)
		c.fill(oval{970 + i*100, 200, 12, 12}, flat(hex))
	}
	c.write(958, 276, 26, bold, color.NRGBA{220, 220, 216, 230}, "12 V")
}

func engineBayBefore(c canvas, _ shown) {
	c.bay()
	c.battery()
	c.solid(box{250, 760, 780, 96, 14}, worn(down(0x202224, 0x131415, 760, 856), 30, 8, 128), 10)
	for x := 262; x < 1016; x += 10 {
		c.fill(box{x, 782, 4, 66, 0}, glass(0x8F9498, 70))
	}
	c.solid(oval{640, 772, 34, 22}, across(0xD0B056, 0x8C6E22, 606, 674), 4)
	c.solid(box{490, 702, 300, 22, 11}, round(0xA7ADB2, 702, 724, false), 6)
	c.fill(box{600, 692, 80, 42, 12}, round(0x3A3E42, 692, 734, false))
	c.solid(box{500, 240, 280, 450, 26}, worn(down(0x556B5A, 0x35463A, 240, 690), 34, 16, 130), 14)
	c.solid(box{560, 230, 160, 430, 60}, worn(round(0x7A2E25, 560, 720, true), 40, 8, 131), 9)
	c.solid(oval{640, 300, 30, 30}, across(0xC9CBCD, 0x77797C, 610, 670), 5)
	c.centred(640, 590, 30, bold, color.NRGBA{238, 226, 206, 210}, "1500")
	c.solid(oval{340, 360, 116, 116}, worn(down(0x2F5C48, 0x1D3E30, 244, 476), 50, 8, 132), 12)
	c.fill(oval{340, 360, 24, 24}, across(0xD4D6D8, 0x84878A, 316, 364))
	c.solid(box{420, 420, 90, 66, 14}, round(0xA39A86, 420, 486, false), 8)
	for i := range 4 {
		c.fill(stroke(point{786, 330 + i*86}, point{880, 400 + i*34}, 9), flat(0x1B1B1C))
		c.fill(box{772, 318 + i*86, 26, 24, 6}, flat(0xD8D2C4))
	}
	c.solid(oval{892, 452, 46, 46}, worn(flat(0x17181A), 14, 10, 133), 7)
	c.solid(box{250, 560, 200, 110, 50}, round(0x2B2D30, 560, 670, false), 10)
	c.solid(box{196, 250, 64, 110, 22}, round(0x3E4146, 196, 260, true), 7)
	c.fill(stroke(point{660, 790}, point{760, 640}, 40), round(0x1A1A1B, 690, 780, true))
	c.solid(box{300, 112, 420, 30, 10}, round(0x3B2F28, 112, 142, false), 4)
	c.finish(20)
}

func engineBayAfter(c canvas, _ shown) {
	c.bay()
	c.battery()
	c.solid(oval{640, 300, 170, 150}, worn(round(0x8D9297, 470, 810, true), 40, 8, 141), 14)
	for i := range 9 {
		c.fill(box{490 + i*36, 168, 8, 262, 4}, glass(0x000000, 70))
	}
	for i := range 3 {
		x := 486 + i*46
		c.solid(box{x, 390, 32, 130, 14}, round(0xE8701A, x, x+32, true), 6)
	}
	for i := range 2 {
		x := 1000 + i*44
		c.solid(box{x, 540, 32, 130, 14}, round(0xE8701A, x, x+32, true), 6)
		c.solid(box{960, 548 + i*38, 70 + i*40, 30, 14}, round(0xE8701A, 548+i*38, 578+i*38, false), 5)
	}
	c.solid(box{240, 470, 380, 150, 14}, worn(grained(down(0xB8BCC0, 0x8E9296, 470, 620), 12, 142, false), 60, 6, 143), 12)
	for i := range 12 {
		c.fill(box{262 + i*29, 486, 12, 118, 5}, glass(0x000000, 46))
	}
	c.solid(box{690, 470, 300, 150, 14}, worn(down(0x2C2F33, 0x1C1E21, 470, 620), 50, 8, 144), 12)
	c.warning(790, 492, 96)
	c.solid(box{190, 640, 900, 226, 20}, worn(down(0xCFD2D5, 0x9BA0A5, 640, 866), 90, 8, 145), 14)
	for i := range 5 {
		c.bolt(230+i*205, 664, 13, 0x8F9295)
		c.bolt(230+i*205, 842, 13, 0x8F9295)
	}
	c.warning(230, 700, 110)
	ink := color.NRGBA{30, 32, 36, 240}
	c.write(370, 746, 34, bold, ink, "TRACTION BATTERY, FRONT")
	c.write(370, 796, 27, plain, ink, "48 cells lithium, 201.6 V   do not open")
	c.solid(box{196, 240, 110, 130, 10}, grained(down(0xA9ADB1, 0x7C8084, 240, 370), 10, 146, false), 8)
	c.solid(box{300, 112, 420, 30, 10}, round(0x3B2F28, 112, 142, false), 4)
	c.solid(box{330, 150, 120, 84, 8}, worn(flat(0x24272A), 20, 8, 147), 6)
	c.finish(20)
}

// warning is the triangle for electric shock.
func (c canvas) warning(x, y, size int) {
	h := size * 87 / 100
	c.fill(polygon{{x + size/2, y}, {x + size, y + h}, {x, y + h}}, flat(0x161616))
	e := size / 11
	c.fill(polygon{{x + size/2, y + e*2}, {x + size - e*2, y + h - e}, {x + e*2, y + h - e}}, flat(0xF5C713))
	m, u := x+size/2, size/20
	c.fill(polygon{{m + u, y + h*32/100}, {m - 3*u, y + h*64/100}, {m - u/2, y + h*62/100}, {m - 2*u, y + h*90/100}, {m + 3*u, y + h*54/100}, {m + u/2, y + h*56/100}, {m + 2*u, y + h*34/100}}, flat(0x161616))
}

// floorAt is where the features of the boot floor lie in the picture from above.
var floorAt = map[string][]point{
	"existing/boot-floor-tank-nuts":   {{330, 250}, {330, 450}, {330, 650}, {950, 250}, {950, 450}, {950, 650}},
	"existing/boot-floor-hanger-nuts": {{80, 720}, {180, 720}, {1100, 720}, {1200, 720}},
	"existing/boot-floor-drain":       {{640, 820}},
}

// floor draws the ribs of the boot floor.
func (c canvas) floor(light, dark, seed int) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(light, dark, 0, high), 150, 14, seed))
	for i := range 4 {
		for _, x := range []int{50, 1010} {
			c.fill(box{x, 170 + i*130, 220, 26, 13}, glass(0x000000, 50))
			c.fill(box{x, 178 + i*130, 220, 20, 10}, glass(0xFFFFFF, 44))
		}
	}
	c.fill(box{0, 880, wide, 80, 0}, worn(down(lift(dark, -20), lift(dark, -50), 880, high), 90, 14, seed+1))
}

// ringed draws each feature with a chalk ring round it and its number, and counts them.
func (c canvas) ringed(from shown, drawn func(id record.Ref, p point)) (n int) {
	for _, id := range []record.Ref{"existing/boot-floor-tank-nuts", "existing/boot-floor-hanger-nuts", "existing/boot-floor-drain"} {
		if int(from[id].Body.(*record.Existing).Count) != len(floorAt[string(id)]) {
			panic("the picture and the record count differently: " + string(id))
		}
		for _, p := range floorAt[string(id)] {
			n++
			drawn(id, p)
			c.chalkRing(p, 44)
			c.write(p.x+34, p.y-34, 30, bold, color.NRGBA{244, 244, 240, 225}, fmt.Sprint(n))
		}
	}
	return n
}

// chalkRing draws a ring that breaks off here and there.
func (c canvas) chalkRing(p point, r int) {
	steps := []point{{100, 0}, {92, 38}, {71, 71}, {38, 92}, {0, 100}, {-38, 92}, {-71, 71}, {-92, 38}, {-100, 0}, {-92, -38}, {-71, -71}, {-38, -92}, {0, -100}, {38, -92}, {71, -71}, {92, -38}}
	for i, a := range steps {
		b := steps[(i+1)%len(steps)]
		c.fill(stroke(point{p.x + a.x*r/100, p.y + a.y*r/100}, point{p.x + b.x*r/100, p.y + b.y*r/100}, 5), glass(0xF4F4EE, 150+hash(p.x, i, 3)%90))
	}
}

func bootFloorBefore(c canvas, from shown) {
	c.floor(0xA6A8A3, 0x83857F, 151)
	tank := box{300, 200, 680, 500, 60}
	c.solid(tank, worn(down(0x5D6266, 0x3A3E42, 200, 700), 80, 14, 152), 6)
	c.fill(box{380, 270, 520, 360, 70}, worn(down(0x6D7276, 0x474C50, 270, 630), 70, 12, 153))
	c.fill(box{400, 290, 480, 30, 15}, glass(0xFFFFFF, 40))
	c.solid(oval{560, 400, 60, 60}, worn(across(0xB9A15A, 0x7E6A32, 500, 620), 10, 14, 154), 5)
	n := c.ringed(from, func(id record.Ref, p point) {
		switch id {
		case "existing/boot-floor-tank-nuts":
			c.bolt(p.x, p.y, 18, 0x9A9684)
		case "existing/boot-floor-drain":
			c.solid(oval{p.x, p.y, 30, 30}, flat(0x1B1B1C), 3)
			c.fill(oval{p.x, p.y, 14, 14}, flat(0x2C2C2D))
		default:
			c.fill(oval{p.x, p.y, 15, 15}, flat(0x17181A))
		}
	})
	c.write(60, 80, 36, bold, color.NRGBA{244, 244, 240, 225}, fmt.Sprintf("%d holes and nuts, 10 Sept 2025", n))
	c.finish(22)
}

func rearBoxFitted(c canvas, _ shown) {
	c.floor(0xA6A8A3, 0x83857F, 151)
	c.rearCradle()
	c.solid(box{370, 220, 540, 470, 18}, worn(down(0xD2D5D8, 0xA0A5AA, 220, 690), 100, 8, 162), 16)
	for i := range 4 {
		c.bolt(400+i*160, 246, 14, 0x8F9295)
		c.bolt(400+i*160, 664, 14, 0x8F9295)
	}
	c.warning(410, 300, 130)
	ink := color.NRGBA{30, 32, 36, 240}
	c.write(570, 352, 29, bold, ink, "TRACTION BATTERY")
	c.write(570, 394, 29, bold, ink, "REAR")
	c.write(420, 490, 28, plain, ink, "48 cells lithium, 201.6 V")
	c.write(420, 534, 28, plain, ink, "10.5 kWh   do not open")
	c.solid(box{560, 570, 160, 70, 12}, worn(flat(0xE8701A), 20, 8, 163), 8)
	c.fill(box{610, 588, 60, 34, 8}, flat(0x9A3F06))
	for i := range 2 {
		c.fill(stroke(point{700 + i*30, 680}, point{720 + i*40, 960}, 30), round(0xE8701A, 700+i*40, 750+i*40, true))
	}
	c.solid(oval{640, 820, 30, 30}, flat(0x1B1B1C), 3)
	c.finish(20)
}

// rearCradle draws the frame under the rear box, its feet on the maker's nuts.
func (c canvas) rearCradle() {
	steel := worn(down(0x2E3236, 0x1F2225, 200, 760), 60, 8, 161)
	for _, p := range [][4]int{{300, 225, 680, 50}, {300, 425, 680, 50}, {300, 625, 680, 50}, {40, 695, 1200, 50}, {305, 215, 50, 530}, {925, 215, 50, 530}} {
		c.solid(box{p[0], p[1], p[2], p[3], 6}, steel, 6)
	}
	for _, id := range []string{"existing/boot-floor-tank-nuts", "existing/boot-floor-hanger-nuts"} {
		for _, p := range floorAt[id] {
			c.bolt(p.x, p.y, 19, 0xA4A294)
		}
	}
}

func bootFloorAfter(c canvas, from shown) {
	c.floor(0x74766E, 0x585A53, 171)
	c.solid(box{395, 200, 490, 500, 18}, worn(down(0xA9AEB3, 0x7A7F84, 200, 700), 100, 10, 172), 12)
	c.rearCradle()
	n := c.ringed(from, func(id record.Ref, p point) {
		if id == "existing/boot-floor-drain" {
			c.solid(oval{p.x, p.y, 30, 30}, flat(0x1B1B1C), 3)
		}
	})
	c.write(60, 80, 36, bold, color.NRGBA{244, 244, 240, 225}, fmt.Sprintf("from beneath: the same %d, 11 June 2026", n))
	c.finish(26)
}
