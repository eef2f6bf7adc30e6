package records

import (
	"image/color"
	"strings"

	"boltback/internal/record"
)

// figure gives a value of a reading by what was measured, number and unit apart.
func figure(from shown, reading record.Ref, of string) (number, unit string) {
	for _, v := range from[reading].Body.(*record.Reading).Values {
		if v.Of == of {
			number, unit, _ = strings.Cut(v.Value, " ")
			return number, unit
		}
	}
	return "----", ""
}

// lcd is a grey display with dark figures.
func (c canvas) lcd(x, y, w, h int) {
	c.fill(box{x - 8, y - 8, w + 16, h + 16, 10}, flat(0x15171A))
	c.fill(box{x, y, w, h, 6}, worn(down(0xB4BFA8, 0xA2AE96, y, y+h), 90, 5, 51))
}

// readout shows a number of seven-bar figures, ending at x, with a unit behind.
func (c canvas) readout(x, y, h int, number, unit string) {
	w := 0
	for _, r := range number {
		if r != '.' {
			w += h*6/11 + h*3/10
		}
	}
	c.digits(x-w, y, h, glass(0x1C2018, 225), number)
	c.write(x+8, y+h, h/2, bold, color.NRGBA{28, 32, 24, 230}, unit)
}

func deadTestMeter(c canvas, from shown) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0x7A8086, 0x565B60, 0, high), 130, 14, 53))
	c.solid(box{760, 120, 460, 700, 20}, worn(down(0x8F959B, 0x6C7278, 120, 820), 70, 10, 54), 12)
	for i, mark := range []string{"+", "-"} {
		y := 300 + i*300
		c.solid(oval{900, y, 74, 74}, grained(across(0xD9B183, 0x9F6F45, 826, 974), 10, 55, true), 6)
		c.bolt(900, y, 42, 0xA3A6A9)
		c.centred(1060, y+26, 84, bold, color.NRGBA{240, 240, 236, 255}, mark)
		c.fill(stroke(point{560, 500 + i*120}, point{720, y + 14}, 26), round(0x2A2B2D+i*0x8C0000, y-20, y+40, false))
		c.fill(stroke(point{700, y + 24 - i*4}, point{866, y + 2}, 12), across(0xE0E2E4, 0x8C9094, 700, 866))
		c.fill(stroke(point{420, 700 + i*60}, point{566, 504 + i*120}, 16), flat(0x1F2022+i*0xA00000))
	}
	c.solid(box{90, 180, 420, 640, 44}, worn(down(0xD5A21E, 0xB9860F, 180, 820), 80, 6, 56), 14)
	c.fill(box{122, 214, 356, 572, 28}, worn(down(0x2E3134, 0x222427, 214, 786), 60, 6, 57))
	c.lcd(150, 250, 300, 170)
	number, unit := figure(from, "readings/2026-03-03-ines-proved-dead", "+ to -, at the inverter")
	c.readout(376, 290, 92, number, unit)
	c.write(164, 276, 20, bold, color.NRGBA{28, 32, 24, 230}, "DC")
	c.solid(oval{300, 580, 96, 96}, worn(down(0x4A4E52, 0x2C2F32, 484, 676), 40, 8, 58), 7)
	c.fill(stroke(point{300, 580}, point{356, 512}, 16), flat(0xE8E8E4))
	for i, s := range []string{"V DC", "V AC", "Ω"} {
		c.centred(210+i*90, 470, 20, bold, color.NRGBA{230, 230, 226, 255}, s)
	}
	c.fill(oval{230, 750, 16, 16}, flat(0x101112))
	c.fill(oval{370, 750, 16, 16}, flat(0xB01818))
	c.finish(20)
}

func padsBefore(c canvas, from shown) { scaleHead(c, from, "readings/2025-09-12-bram-weighing-before") }
func padsAfter(c canvas, from shown)  { scaleHead(c, from, "readings/2026-03-18-bram-weighing-after") }

// scaleHead shows the read-out box of the corner scales on the workshop floor, a tyre on its pad behind it.
func scaleHead(c canvas, from shown, reading record.Ref) {
	c.fill(box{0, 0, wide, high, 0}, worn(down(0x9A9894, 0x7A7875, 0, high), 110, 16, 63))
	c.solid(box{60, 20, 330, 150, 10}, worn(down(0x43484D, 0x2E3236, 20, 170), 60, 10, 64), 10)
	c.solid(box{110, -60, 230, 150, 60}, worn(down(0x1B1B1C, 0x2A2A2B, -60, 90), 12, 14, 65), 6)
	for i := range 9 {
		c.fill(box{120 + i*25, -40, 6, 118, 3}, glass(0x000000, 110))
	}
	c.solid(box{150, 210, 980, 640, 36}, worn(down(0x3A5A74, 0x27435A, 210, 850), 90, 8, 66), 16)
	white := color.NRGBA{236, 238, 240, 255}
	c.write(200, 276, 34, bold, white, "FOUR-PAD SCALE")
	c.right(1080, 276, 24, plain, white, "division 0.5 kg")
	at := map[string]point{"front left": {200, 310}, "front right": {660, 310}, "rear left": {200, 500}, "rear right": {660, 500}}
	for of, p := range at {
		c.lcd(p.x, p.y+30, 420, 110)
		c.write(p.x+8, p.y+18, 24, plain, white, of)
		number, unit := figure(from, reading, of)
		c.readout(p.x+330, p.y+52, 66, number, unit)
	}
	c.lcd(340, 710, 600, 116)
	c.write(200, 780, 30, bold, white, "total")
	number, unit := figure(from, reading, "total")
	c.readout(820, 728, 80, number, unit)
	day := string(from[reading].Body.(*record.Reading).On)
	c.solid(box{970, 690, 280, 150, 4}, worn(flat(0xF3E98F), 50, 6, 67), 6)
	c.write(990, 744, 32, italic, color.NRGBA{30, 34, 66, 255}, day)
	c.write(990, 792, 27, italic, color.NRGBA{30, 34, 66, 255}, "no fuel, no driver")
	c.finish(18)
}
