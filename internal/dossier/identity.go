package dossier

import (
	"fmt"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/identity"
	"boltback/internal/record"
)

// identity tells what the car is said to be, and holds the numbers as read
// against each other.
func (b *book) identity() *doc.Section {
	s := doc.NewSection("identity", "Identity")
	s.Add(b.carFacts())
	if b.carRecord != nil {
		if t, ok := b.verdict(b.carRecord); ok {
			s.Add(&doc.Paragraph{Text: t})
		}
	}
	read := b.numbersRead()
	if len(read) == 0 {
		s.Add(doc.Para("No number of the car is on record: {}.", doc.Missing("chassis, engine and registration number not stated")))
	} else {
		b.addNumbers(s, read)
	}
	b.addCertificates(s)
	return s
}

func (b *book) carFacts() *doc.Facts {
	c, f := b.car, &doc.Facts{Caption: "The car, as recorded"}
	add := func(label, pointer, value string) {
		t := doc.Text{stated(value)}
		if value != "" {
			t = t.From(b.source(b.carRecord, pointer))
		}
		f.Items = append(f.Items, doc.Fact{Label: label, Value: t})
	}
	add("Make", "/make", c.Make)
	add("Model", "/model", c.Model)
	add("Year", "/year", string(c.Year))
	add("Body", "/body", c.Body)
	add("Built for", "/market", c.Market)
	add("Side of the wheel", "/steering", c.Steering)
	add("Layout", "/layout", c.Layout)
	add("Construction", "/construction", c.Construction)
	add("Battery earth", "/earth", c.Earth)
	add("Colour", "/colour", c.Colour)
	add("Wheelbase", "/wheelbase", string(c.Wheelbase))
	seats := ""
	if c.Seats > 0 {
		seats = fmt.Sprint(c.Seats)
	}
	add("Seats", "/seats", seats)
	if c.Root != "" {
		f.Add("Bears the identity", "{}", b.name(c.Root))
	} else {
		f.Add("Bears the identity", "{}", doc.Missing(""))
	}
	if c.Note != "" {
		add("Note", "/note", c.Note)
	}
	return f
}

// numberRead is one number as read, with the whole of its entry.
type numberRead struct {
	identity.Reading
	number record.Number
	part   record.Ref // that bears it, where stated
}

// numbersRead lists the numbers of the car, its parts and its papers that count.
// What a reading says of its bearer holds for the day of the reading; lines that
// moved the bearer say where it is now, and go before.
func (b *book) numbersRead() []numberRead {
	var list []numberRead
	for _, r := range identity.Readings(b.s) {
		n := numberRead{Reading: r, number: numberAt(r)}
		n.part = n.number.Part
		if n.part == "" && r.Record.Kind == record.KindPart {
			n.part = r.Record.ID
		}
		if now, moved := b.rides(n.part); moved {
			n.OnCar = now
		}
		list = append(list, n)
	}
	return list
}

// numberAt is the entry that a reading was taken from.
func numberAt(r identity.Reading) record.Number {
	var numbers []record.Number
	switch body := r.Record.Body.(type) {
	case *record.Car:
		numbers = body.Numbers
	case *record.Part:
		numbers = body.Numbers
	case *record.Paper:
		numbers = body.Numbers
	}
	for i := range numbers {
		if canon.ElementPointer("/numbers", i) == r.Pointer {
			return numbers[i]
		}
	}
	return record.Number{}
}

// compared are the numbers that identify the car or a unit of it; serial and
// casting numbers belong to one part each and are not held against each other.
var compared = []identity.Kind{identity.Chassis, identity.Engine, identity.Gearbox, "axle", identity.Body, identity.Plate, identity.Registration}

// rides tells whether the lines leave a part on the car; moved is false where no
// line moves it.
func (b *book) rides(part record.Ref) (now identity.Answer, moved bool) {
	if part == "" {
		return identity.NotKnown, false
	}
	switch w := b.log.of(part); {
	case w.last == nil:
		return identity.NotKnown, false
	case len(w.doubts) > 0:
		return identity.NotKnown, true
	case w.location == onCar:
		return identity.Yes, true
	default:
		return identity.No, true
	}
}
