package records

import (
	"image/color"
	"strings"

	"boltback/internal/record"
)

var (
	black = color.NRGBA{26, 26, 28, 255}
	blue  = color.NRGBA{28, 40, 110, 235}
)

// sheet lays a piece of paper on a desk and gives its left edge and width.
func (c canvas) sheet(x, w, tint int) {
	c.fill(box{0, 0, wide, high, 0}, grained(down(0x6A5238, 0x4E3B27, 0, high), 22, 181, false))
	c.shadow(box{x, 34, w, 880, 3}, 8, 8)
	c.fill(box{x, 34, w, 880, 3}, worn(flat(tint), 120, 6, 182))
	c.fill(box{x + w/2, 34, 2, 880, 0}, glass(0x000000, 10))
}

// rule draws a thin line across a sheet.
func (c canvas) rule(x, y, w int) { c.fill(box{x, y, w, 2, 0}, glass(0x000000, 130)) }

// signature is a loop of ink with the name beneath.
func (c canvas) signature(x, y int, name string) {
	c.write(x, y, 46, italic, blue, name)
	c.fill(stroke(point{x - 10, y + 14}, point{x + measure(46, italic, name) + 30, y + 4}, 3), glass(0x1C286E, 220))
}

func certificateOf(from shown, paper record.Ref) *record.Certificate {
	return from[paper].Body.(*record.Paper).Certificate
}

func archiveCertificate(c canvas, from shown) {
	c.sheet(250, 780, 0xF3EAD2)
	cert := certificateOf(from, "papers/archive-certificate")
	for i := range 2 {
		o := 20 + i*9
		for _, b := range []box{{250 + o, 34 + o, 780 - 2*o, 3, 0}, {250 + o, 911 - o, 780 - 2*o, 3, 0}, {250 + o, 34 + o, 3, 880 - 2*o, 0}, {1027 - o, 34 + o, 3, 880 - 2*o, 0}} {
			c.fill(b, flat(0x2C5A48))
		}
	}
	c.centred(640, 132, 46, bold, color.NRGBA{34, 78, 60, 255}, "Corvane Works Archive")
	c.centred(640, 178, 25, italic, black, "from the build book of the works")
	c.centred(640, 216, 22, plain, black, "certificate "+cert.Number)
	c.rule(330, 236, 620)
	for i, line := range cert.Lines {
		y := 288 + i*54
		c.write(340, y, 25, plain, color.NRGBA{90, 84, 70, 255}, line.What)
		c.write(600, y, 29, mono, black, line.Says)
		c.rule(340, y+14, 600)
	}
	c.signature(360, 800, "for the archive")
	c.write(360, 850, 23, plain, black, string(cert.SignedOn))
	c.solid(oval{880, 800, 74, 74}, worn(flat(0x9A2A22), 20, 10, 183), 4)
	c.fill(oval{880, 800, 58, 58}, glass(0x000000, 30))
	c.centred(880, 812, 40, bold, color.NRGBA{214, 120, 110, 230}, "CA")
	c.finish(10)
}

func weighbridgeTicket(c canvas, from shown) {
	c.sheet(330, 620, 0xF6F3E6)
	p := from["papers/weighbridge-ticket"].Body.(*record.Paper)
	r := from["readings/2025-09-09-maud-weighbridge"].Body.(*record.Reading)
	c.centred(640, 120, 34, bold, black, "GANNET QUAY")
	c.centred(640, 164, 28, plain, black, "public weighbridge")
	c.rule(370, 190, 540)
	rows := [][2]string{{"ticket", p.Certificate.Number}, {"date", p.WrittenDate}, {"vehicle", p.Certificate.Mark}, {"division", string(r.Weighing.Division)}}
	for _, v := range r.Values {
		rows = append(rows, [2]string{v.Of, v.Value})
	}
	for i, row := range rows {
		y := 260 + i*68
		c.write(390, y, 32, mono, black, row[0])
		c.right(890, y, 34, monoBold, black, row[1])
	}
	c.rule(370, 720, 540)
	c.write(390, 780, 26, plain, black, "weighed by the operator, driver out")
	c.signature(420, 850, "weighman")
	c.finish(10)
}

// laneSheet is the printed form of the test lane.
func (c canvas) laneSheet(from shown, paper, reading record.Ref, title string) {
	c.sheet(270, 740, 0xFBFBF7)
	cert := certificateOf(from, paper)
	c.write(320, 118, 36, bold, black, "Staithe Road test lane")
	c.write(320, 162, 28, plain, black, title)
	c.right(960, 118, 24, mono, black, cert.Number)
	c.right(960, 162, 24, mono, black, string(cert.SignedOn))
	c.rule(320, 184, 640)
	c.write(320, 236, 28, plain, black, "vehicle as presented")
	c.right(960, 236, 30, monoBold, black, cert.Mark)
	for i, v := range from[reading].Body.(*record.Reading).Values {
		y := 310 + i*62
		if i%2 == 0 {
			c.fill(box{310, y - 40, 660, 58, 0}, glass(0x3A5A74, 26))
		}
		c.write(330, y, 29, plain, black, v.Of)
		c.right(950, y, 31, monoBold, black, v.Value)
	}
}

func laneWeighTicket(c canvas, from shown) {
	c.laneSheet(from, "papers/lane-weigh-ticket", "readings/2026-05-07-lane-weighing", "axle weights")
	w := from["readings/2026-05-07-lane-weighing"].Body.(*record.Reading).Weighing
	c.write(330, 540, 27, plain, black, "division "+string(w.Division)+", driver "+w.Driver)
	c.write(330, 586, 27, plain, black, "fuel: "+w.Fuel)
	c.signature(380, 820, "lane 2")
	c.finish(10)
}

func brakeSheet(c canvas, from shown) {
	c.laneSheet(from, "papers/brake-sheet", "readings/2026-05-07-lane-brakes", "brakes on the rollers")
	c.write(330, 790, 30, bold, color.NRGBA{20, 96, 52, 255}, "passed")
	c.signature(600, 830, "lane 2")
	c.finish(10)
}

func inspectionCertificate(c canvas, from shown) {
	c.sheet(230, 820, 0xF4F4EC)
	const paper = "papers/inspection-certificate"
	cert := certificateOf(from, paper)
	c.fill(box{230, 34, 820, 118, 3}, worn(flat(0x2A4A6E), 90, 6, 191))
	c.write(280, 92, 40, bold, color.NRGBA{244, 246, 248, 255}, "Northmarsh Inspection Office")
	c.write(280, 130, 25, plain, color.NRGBA{214, 222, 232, 255}, "certificate of inspection  "+cert.Number)
	rows := [][2]string{{"registration mark", cert.Mark}, {"chassis number", numberOn(from, paper, "chassis")}, {"looked at", strings.Join(cert.Scope, ", ")}, {"inspected", string(cert.SignedOn)}, {"valid until", string(cert.Until)}}
	for i, row := range rows {
		y := 226 + i*84
		c.write(290, y, 24, plain, color.NRGBA{90, 92, 96, 255}, row[0])
		c.write(290, y+36, 31, monoBold, black, row[1])
		c.rule(290, y+50, 700)
	}
	c.write(290, 690, 24, plain, black, "The car was inspected as presented on the day named.")
	c.signature(300, 800, from["people/northmarsh/edda-thackwell"].Name())
	c.write(300, 846, 22, plain, black, "inspector, licence NIO 0093")
	c.fill(oval{900, 790, 92, 92}, glass(0x2A4A6E, 150))
	c.fill(oval{900, 790, 82, 82}, flat(0xEFEFE6))
	c.centred(900, 782, 20, bold, color.NRGBA{42, 74, 110, 220}, "NORTHMARSH")
	c.centred(900, 814, 22, bold, color.NRGBA{42, 74, 110, 220}, "2026-06-12")
	c.finish(10)
}
