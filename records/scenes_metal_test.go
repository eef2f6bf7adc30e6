package records

import (
	"image/color"

	"boltback/internal/record"
)

// numberOn gives a number as a paper writes it.
func numberOn(from shown, paper record.Ref, what string) string {
	for _, n := range from[paper].Body.(*record.Paper).Numbers {
		if n.What == what {
			return n.Raw
		}
	}
	return "?"
}

// tag hangs a manila tag with a number and two lines of writing.
func (c canvas) tag(x, y, w int, number, first, second string) {
	h := w / 2
	card := polygon{{x, y + h/2}, {x + h/3, y}, {x + w, y}, {x + w, y + h}, {x + h/3, y + h}}
	c.solid(card, worn(down(0xE2C894, 0xD0B27A, y, y+h), 40, 14, x), 5)
	c.fill(oval{x + h/4, y + h/2, h / 9, h / 9}, flat(0xA4844E))
	c.fill(oval{x + h/4, y + h/2, h / 20, h / 20}, flat(0x2A2118))
	ink := color.NRGBA{30, 34, 66, 235}
	c.write(x+h/2, y+h*48/100, h*44/100, monoBold, ink, number)
	c.write(x+h/2, y+h*70/100, h*15/100, italic, ink, first)
	c.write(x+h/2, y+h*89/100, h*14/100, italic, ink, second)
}

// hexagon is a bolt head or nut, a flat on top.
func hexagon(x, y, r int) polygon {
	d := r * 87 / 100
	return polygon{{x - r/2, y - d}, {x + r/2, y - d}, {x + r, y}, {x + r/2, y + d}, {x - r/2, y + d}, {x - r, y}}
}

// bolt draws a washer with a bolt head on it.
func (c canvas) bolt(x, y, r int, hex int) {
	c.solid(oval{x, y, r * 14 / 10, r * 14 / 10}, worn(across(lift(hex, 30), lift(hex, -25), x-r, x+r), 9, 12, x), 4)
	c.solid(hexagon(x, y, r), worn(across(lift(hex, 55), lift(hex, -10), x-r, x+r), 7, 12, y), 3)
	c.fill(oval{x, y, r * 6 / 10, r * 6 / 10}, glass(0xFFFFFF, 34))
}

// lift makes a colour, written as one number, lighter or darker.
func lift(hex, by int) int {
	n := lit(rgb(hex), by)
	return int(n.R)<<16 | int(n.G)<<8 | int(n.B)
}

const doveGrey = 0x9A9C98

func chassisStamping(c canvas, from shown) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0xAEB0AB, 0x84867F, 0, high), 150, 16, 3))
	c.fill(box{0, 0, wide, 210, 0}, worn(down(0x5A5C58, 0x8E908B, 0, 210), 120, 18, 4))
	c.fill(box{0, 204, wide, 12, 0}, glass(0xFFFFFF, 70))
	c.solid(box{90, 300, 1100, 330, 26}, worn(down(0xB6B8B3, 0x9C9E98, 300, 630), 130, 12, 5), 7)
	for i := range 8 {
		x := 160 + i*140
		c.fill(oval{x, 690, 13, 13}, glass(0x000000, 60))
		c.fill(oval{x - 2, 687, 11, 11}, worn(flat(0x8C8E88), 6, 14, i))
	}
	c.stamped(150, 500, 118, numberOn(from, "papers/chassis-stamping", "chassis"))
	for i := range 22 {
		c.fill(oval{120 + hash(i, 1, 2)*4, 320 + hash(i, 2, 2), 3 + i%4, 2 + i%3}, glass(0x6B4A2C, 90))
	}
	c.fill(box{0, 760, wide, 200, 0}, worn(down(0x5A5C58, 0x3E403C, 760, high), 90, 16, 6))
	c.fill(box{0, 752, wide, 10, 0}, glass(0xFFFFFF, 40))
	c.ruler(330, 812, 620)
	c.finish(22)
}

// ruler lays a steel rule along the bottom of a picture.
func (c canvas) ruler(x, y, w int) {
	c.solid(box{x, y, w, 66, 4}, grained(down(0xD8DADC, 0xAEB2B6, y, y+66), 14, 9, false), 6)
	ink := color.NRGBA{25, 25, 25, 255}
	for i := 0; i*10 < w-20; i++ {
		length := 14
		if i%5 == 0 {
			length = 22
		}
		if i%10 == 0 {
			length = 30
			c.write(x+12+i*10, y+56, 17, plain, ink, string(rune('0'+i/10%10)))
		}
		c.fill(box{x + 10 + i*10, y, 2, length, 0}, flat(0x202020))
	}
}

func makerPlate(c canvas, from shown) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0xA6A8A3, 0x7F817B, 0, high), 160, 16, 13))
	for _, x := range []int{70, 1208} {
		c.fill(box{x, 0, 5, high, 0}, glass(0x000000, 60))
		c.fill(box{x + 5, 0, 4, high, 0}, glass(0xFFFFFF, 60))
	}
	c.solid(box{190, 190, 900, 540, 30}, grained(down(0xD9DADB, 0xA9ABAE, 190, 730), 16, 14, false), 9)
	c.fill(box{214, 214, 852, 492, 20}, worn(down(0x1E2A33, 0x273744, 214, 706), 60, 8, 15))
	silver := color.NRGBA{214, 218, 220, 255}
	c.centred(640, 318, 78, bold, silver, "CORVANE")
	c.fill(box{420, 340, 440, 4, 0}, flat(0xC8CCCE))
	c.centred(640, 382, 26, plain, silver, "CORVANE CARS LIMITED   ENGLAND")
	rowsOf := [][2]string{{"MODEL", "TERN 1500"}, {"CAR No.", numberOn(from, "papers/maker-plate", "chassis")}, {"PAINT", "DOVE GREY"}}
	for i, row := range rowsOf {
		y := 420 + i*88
		c.fill(box{250, y, 780, 72, 8}, grained(down(0xC9CBCD, 0xB2B5B8, y, y+72), 12, 20+i, false))
		c.write(274, y+48, 28, bold, color.NRGBA{30, 40, 48, 255}, row[0])
		c.stamped(470, y+54, 46, row[1])
	}
	for _, x := range []int{202, 1078} {
		c.solid(oval{x, 460, 20, 20}, across(0xECEDEE, 0x8E9194, x-20, x+20), 4)
	}
	c.finish(20)
}

func engineNumber(c canvas, from shown) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0x5F6E60, 0x465347, 0, high), 22, 22, 23))
	c.fill(box{0, 0, wide, 250, 0}, worn(down(0x3D463E, 0x566359, 0, 250), 26, 18, 24))
	c.solid(polygon{{120, 330}, {1180, 310}, {1200, 600}, {100, 620}}, worn(grained(down(0xA7A8A4, 0x85867F, 310, 620), 18, 25, false), 60, 14, 26), 8)
	c.stamped(205, 506, 96, numberOn(from, "papers/engine-number", "engine"))
	for i := range 5 {
		c.bolt(150+i*245, 140, 44, 0x6E706C)
	}
	c.solid(box{700, 700, 520, 92, 40}, worn(round(0x39443B, 700, 792, false), 26, 18, 27), 7)
	for i := range 3 {
		c.bolt(780+i*180, 746, 26, 0x6E706C)
	}
	c.centred(420, 800, 60, bold, color.NRGBA{0, 0, 0, 60}, "CORVANE")
	c.centred(418, 797, 60, bold, color.NRGBA{120, 134, 122, 210}, "CORVANE")
	c.finish(26)
}

func mountOnTower(c canvas, from shown) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0x747672, 0x4C4E4A, 0, high), 140, 16, 33))
	tower := polygon{{250, 960}, {330, 470}, {950, 470}, {1040, 960}}
	c.solid(tower, worn(down(doveGrey, 0x6E706B, 470, high), 90, 16, 34), 10)
	c.fill(polygon{{330, 470}, {380, 400}, {900, 400}, {950, 470}}, worn(down(0xB9BBB6, 0xA2A49E, 400, 470), 80, 12, 35))
	plate := polygon{{360, 452}, {405, 405}, {875, 405}, {920, 452}}
	c.solid(plate, worn(down(0x2E3236, 0x23272A, 405, 452), 40, 10, 36), 5)
	web := polygon{{560, 410}, {720, 410}, {790, 150}, {490, 150}}
	c.solid(web, worn(down(0x3C4146, 0x25292C, 150, 410), 60, 10, 37), 8)
	c.fill(polygon{{632, 408}, {648, 408}, {652, 160}, {628, 160}}, glass(0xFFFFFF, 26))
	c.solid(oval{640, 30, 330, 190}, worn(round(0x8A8F94, -160, 220, false), 40, 8, 38), 10)
	for i := range 3 {
		c.bolt(545+i*95, 178, 24, 0x9A9DA0)
	}
	c.bolt(455, 428, 30, 0xA4A294)
	c.bolt(825, 428, 30, 0xA4A294)
	for _, x := range []int{455, 825} {
		c.fill(stroke(point{x - 6, 404}, point{x + 34, 452}, 7), flat(0xE8C21C))
	}
	pen := color.NRGBA{250, 250, 245, 230}
	for _, x := range []int{455, 825} {
		c.fill(stroke(point{x, 480}, point{x, 560}, 3), glass(0xFFFFFF, 200))
	}
	joint := from["joints/tower-left"].Body.(*record.Joint)
	c.centred(640, 600, 32, plain, pen, "the maker's two holes, "+string(joint.Specification.Torque))
	c.finish(20)
}

func torqueMarks(c canvas, from shown) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0x6C7176, 0x484C50, 0, high), 120, 12, 43))
	c.solid(box{120, 220, 1040, 420, 34}, worn(down(0x3E4246, 0x2B2E31, 220, 640), 70, 8, 44), 12)
	for i, mark := range []string{"U", "V", "W"} {
		x := 320 + i*320
		c.solid(box{x - 58, 470, 116, 490, 20}, round(0xE8701A, x-58, x+58, true), 8)
		c.fill(box{x - 66, 560, 132, 120, 8}, round(0x2A2A2C, x-66, x+66, true))
		c.solid(box{x - 40, 380, 80, 130, 30}, grained(across(0xE3B98C, 0xA9764A, x-40, x+40), 10, 45, true), 5)
		c.solid(oval{x, 380, 92, 92}, grained(across(0xE0B487, 0xAB7A4E, x-92, x+92), 10, 46, true), 6)
		c.bolt(x, 380, 56, 0x9EA1A4)
		c.fill(oval{x, 380, 28, 28}, worn(across(0xC9CCCE, 0x8D9093, x-28, x+28), 6, 14, i))
		a := hash(i, 3, 4)%50 - 25
		c.fill(stroke(point{x, 380}, point{x + 84, 380 + a}, 13), flat(0xF2D21E))
		c.fill(stroke(point{x + 80, 380 + a}, point{x + 138, 380 + a*5/3}, 13), flat(0xEBCB1A))
		c.centred(x, 284, 46, bold, color.NRGBA{230, 230, 226, 255}, mark)
	}
	joint := from["joints/motor-phase-terminals"].Body.(*record.Joint)
	c.solid(box{80, 60, 560, 96, 6}, worn(flat(0xEDE9DC), 40, 6, 47), 5)
	c.write(104, 122, 38, italic, color.NRGBA{30, 34, 66, 255}, "phases "+string(joint.Specification.Torque)+", checked M.P.")
	c.finish(18)
}
