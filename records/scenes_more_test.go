package records

import (
	"fmt"
	"image/color"
	"strings"

	"boltback/internal/record"
)

// struck draws a number struck into painted metal.
func (c canvas) struck(light, dark, seed int, number string) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(light, dark, 0, high), 150, 18, seed))
	c.fill(box{0, 0, wide, 190, 0}, worn(down(lift(dark, -40), light, 0, 190), 120, 18, seed+1))
	c.solid(box{80, 310, 1120, 300, 18}, worn(down(lift(light, 12), lift(dark, 8), 310, 610), 130, 14, seed+2), 7)
	c.stamped(130, 490, 104, strings.ReplaceAll(number, "?", " "))
	for i, r := range number {
		if r == '?' { // paint fills what nobody can make out
			c.fill(oval{130 + i*72 + 32, 462, 44, 60}, worn(flat(lift(light, -18)), 20, 22, seed+3))
		}
	}
	for i := range 26 {
		c.fill(oval{120 + hash(i, 1, seed)*4, 320 + hash(i, 2, seed), 3 + i%4, 2 + i%3}, glass(0x6B4A2C, 110))
	}
	c.ruler(330, 800, 620)
	c.finish(22)
}

func sestaStamping(c canvas, from shown) {
	number := ""
	for _, n := range from["car"].Body.(*record.Car).Numbers {
		if n.Where == "stamping" {
			number = n.Raw
		}
	}
	c.struck(0x8E4434, 0x6A2E22, 301, number)
}

func courserStamping(c canvas, from shown) {
	c.struck(0x4A4C50, 0x2E3034, 331, numberOn(from, "papers/frame-stamping", "chassis"))
}

// print lays an old photo with a white border on a table.
func (c canvas) print(x, y int, sky, ground int, seed int) {
	c.shadow(box{x, y, 520, 400, 4}, 8, 8)
	c.fill(box{x, y, 520, 400, 4}, worn(flat(0xEDE6D6), 60, 8, seed))
	c.fill(box{x + 24, y + 24, 472, 330, 0}, down(sky, ground, y+24, y+354))
	c.fill(box{x + 24, y + 268, 472, 86, 0}, worn(flat(ground), 30, 20, seed+1))
	body := polygon{{x + 90, y + 250}, {x + 110, y + 200}, {x + 190, y + 190}, {x + 230, y + 140}, {x + 340, y + 140}, {x + 390, y + 196}, {x + 440, y + 214}, {x + 444, y + 256}}
	c.solid(body, worn(across(0xC9C3B2, 0x8D8676, x+90, x+444), 40, 10, seed+2), 4)
	c.fill(polygon{{x + 206, y + 188}, {x + 238, y + 152}, {x + 330, y + 152}, {x + 366, y + 192}}, glass(0x2A2C30, 190))
	for _, at := range []int{x + 160, x + 376} {
		c.solid(oval{at, y + 258, 36, 36}, flat(0x222022), 3)
		c.fill(oval{at, y + 258, 16, 16}, flat(0x9A968A))
	}
	c.fill(box{x + 24, y + 24, 472, 330, 0}, glass(0xB08A4A, 50))
}

func twoPrints(c canvas, _ shown) {
	c.fill(box{0, 0, wide, high, 0}, grained(down(0x6A5238, 0x4E3B27, 0, high), 22, 311, false))
	c.print(90, 120, 0xC8CCC4, 0x8A8672, 312)
	c.print(640, 390, 0xB8BEC0, 0x7C7A68, 315)
	c.write(120, 516, 24, italic, color.NRGBA{60, 50, 40, 200}, "al mare")
	c.finish(26)
}

func bareShell(c canvas, _ shown) {
	c.fill(box{0, 0, wide, 640, 0}, worn(down(0x8B8E90, 0x6B6E70, 0, 640), 160, 10, 321))
	c.planks(640, high, 80, 0x7A6A55, 322)
	for _, x := range []int{230, 960} {
		c.solid(polygon{{x, 780}, {x + 30, 600}, {x + 60, 600}, {x + 90, 780}}, grained(flat(0xA07B4C), 20, x, true), 8)
	}
	shell := polygon{{130, 600}, {150, 470}, {330, 440}, {450, 270}, {800, 270}, {930, 430}, {1130, 470}, {1150, 600}}
	c.solid(shell, worn(across(0xB4B6B8, 0x85888B, 130, 1150), 120, 16, 323), 10)
	c.fill(polygon{{390, 440}, {480, 300}, {780, 300}, {880, 436}}, flat(0x3A3C3E))
	for _, x := range []int{300, 980} {
		c.fill(oval{x, 600, 96, 96}, flat(0x36383A))
	}
	c.chalkRing(point{1050, 540}, 40)
	c.write(1000, 470, 26, bold, color.NRGBA{244, 244, 240, 235}, "crack")
	c.finish(24)
}

// slip is a narrow strip of paper from a scale with the figures of a reading; comma writes them the way some countries do.
func (c canvas) slip(head string, r *record.Reading, comma bool) {
	c.sheet(400, 480, 0xF7F4EA)
	c.centred(640, 120, 30, bold, black, head)
	c.centred(640, 160, 24, mono, black, string(r.On))
	c.rule(430, 186, 420)
	for i, v := range r.Values {
		text := v.Value
		if comma {
			text = commaFor(text)
		}
		y := 260 + i*74
		c.write(440, y, 30, mono, black, v.Of)
		c.right(840, y, 34, monoBold, black, text)
	}
	c.rule(430, 520, 420)
	c.write(440, 570, 24, mono, black, "d = "+string(r.Weighing.Division))
	c.finish(10)
}

func commaFor(figure string) string {
	text := []rune(figure)
	for i, r := range text {
		if r == '.' {
			text[i] = ','
		}
	}
	return string(text)
}

func shellSlip(c canvas, from shown) {
	c.slip("BILANCIA 4 PIATTI", from["readings/2025-10-27-bram-weighing-shell"].Body.(*record.Reading), true)
}

func padsSlip(c canvas, from shown) {
	c.slip("PENDLE PW-77", from["readings/2026-04-14-bram-weighing"].Body.(*record.Reading), false)
}

func drawingAdapter(c canvas, from shown) {
	c.blank(from, "papers/drawing-adapter", "parts/adapter-plate", "TL-041")
	c.outline(box{380, 210, 420, 420, 200}, 5)
	c.outline(box{530, 360, 120, 120, 60}, 4)
	for _, p := range []point{{440, 300}, {740, 300}, {440, 540}, {740, 540}, {590, 240}, {590, 600}} {
		c.hole(p.x, p.y, 18)
	}
	c.dimension(380, 800, 690, "236")
	c.finish(8)
}

func drilledBracket(c canvas, _ shown) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0x3A3C3E, 0x242628, 0, high), 120, 16, 341))
	c.solid(box{0, 420, wide, 260, 0}, worn(down(0x5A3A22, 0x3C2616, 420, 680), 110, 26, 342), 10)
	c.solid(box{360, 250, 560, 400, 20}, worn(down(0xA9ADB1, 0x7B8085, 250, 650), 90, 12, 343), 14)
	for i, p := range []point{{440, 480}, {840, 480}, {440, 600}, {840, 600}} {
		c.fill(oval{p.x + 6, p.y + 4, 46, 46}, glass(0xC9B48E, 150)) // bright swarf about a fresh hole
		c.bolt(p.x, p.y, 26, 0x8E9296)
		c.chalkRing(p, 74)
		c.write(p.x+60, p.y-60, 32, bold, color.NRGBA{244, 244, 240, 235}, fmt.Sprint(i+1))
	}
	c.finish(24)
}

func fittingSheet(c canvas, from shown) {
	c.sheet(280, 720, 0xFAFAF4)
	c.write(330, 120, 36, bold, black, "Tarnfield Motors")
	c.write(330, 164, 26, plain, black, "fitting sheet, motor TM-22")
	c.rule(330, 186, 620)
	p := from["papers/fitting-sheet"].Body.(*record.Paper)
	steps := []string{"5   motor to bracket, 45 N.m", "6   hold the bracket to the rail"}
	for _, s := range p.CallsFor {
		steps = append(steps, fmt.Sprintf("%s   %s: %d holes of %s", s.Step, s.Does, s.Count, s.Size))
	}
	for i, step := range append(steps, "11  coupling: 40 N.m and 60 degrees") {
		c.write(340, 260+i*70, 30, mono, black, step)
	}
	c.finish(10)
}

func brakeCertificate(c canvas, from shown) {
	c.sheet(270, 740, 0xF4F6EC)
	cert := certificateOf(from, "papers/brake-certificate")
	c.centred(640, 126, 40, bold, color.NRGBA{40, 60, 96, 255}, cert.Issuer)
	c.centred(640, 176, 26, plain, black, "brake certificate "+cert.Number)
	c.rule(330, 200, 620)
	for i, row := range [][2]string{{"vehicle", cert.Mark}, {"tested on", string(cert.SignedOn)}, {"result", "passed"}} {
		y := 290 + i*76
		c.write(340, y, 30, plain, black, row[0])
		c.right(940, y, 36, monoBold, black, row[1])
	}
	c.signature(380, 780, "L. Karst")
	c.finish(10)
}
