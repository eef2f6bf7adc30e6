package media

import (
	"bytes"
	"errors"
	"regexp"
	"time"
)

var errPDF = errors.New("the PDF file has no end: it was cut short")

// pdfDate is a date of ISO 32000-1, 7.9.4, as far as its seconds and its zone.
var pdfDate = regexp.MustCompile(`/CreationDate\s{0,8}\(D:(\d{14})(Z|[+-]\d\d'?\d\d)?`)

// pdf takes the date of making from a PDF file where it stands in the open.
// Objects are not unpacked: what is compressed or encrypted says nothing. Where
// several dates stand, as in a file with others inside, none of them is believed.
func (f *Facts) pdf(file []byte) error {
	const mostFound = 16
	for i, found := range pdfDate.FindAllSubmatch(file, mostFound) {
		m := pdfMoment(string(found[1]), string(found[2]))
		if i > 0 && m != f.Taken {
			f.Taken = Moment{}
			break
		}
		f.Taken = m
	}
	const tail = 2048 // where the mark of the end stands, with room for what some programs add
	if !bytes.Contains(file[max(len(file)-tail, 0):], []byte("%%EOF")) {
		return errPDF
	}
	return nil
}

func pdfMoment(digits, zone string) Moment {
	clock, err := time.Parse("20060102150405", digits)
	if err != nil || clock.Year() < 1 {
		return Moment{}
	}
	m := Moment{Clock: clock}
	if len(zone) >= 5 { // +01'00 or +0100
		zone = zone[:3] + ":" + zone[len(zone)-2:]
	}
	m.East, m.Zoned = eastOf(zone)
	return m
}
