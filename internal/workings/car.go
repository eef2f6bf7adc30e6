package workings

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Car takes the workings of one car from its records on a day. It is not changed
// after Of and may be shared.
type Car struct {
	s     *ledger.Snapshot
	work  *replay.Work
	state *replay.State
	day   edtf.Day
	rec   *record.Record
	car   *record.Car
	// disclosed gives a private value by its digest.
	disclosed func(record.Sealed) (string, bool)
}

// Of prepares the workings of a car on a day; no day is all that is recorded.
// disclosed gives private values that are here, such as what a part is worth; nil
// where there are none.
func Of(work *replay.Work, day edtf.Day, disclosed func(record.Sealed) (string, bool)) *Car {
	c := &Car{s: work.Snapshot(), work: work, state: work.On(day), day: day, disclosed: disclosed}
	c.rec, c.car = c.s.Car()
	return c
}

// All gives every working of the car, subject by subject.
func (c *Car) All() []Working {
	var list []Working
	for _, subject := range Subjects() {
		list = append(list, c.About(subject)...)
	}
	return list
}

// About gives the workings of one subject, in a fixed order.
func (c *Car) About(subject Subject) []Working {
	switch subject {
	case Mass:
		return c.mass()
	case Insulation:
		return c.insulation()
	case Joints:
		return c.joints()
	case Pack:
		return c.pack()
	case Restraint:
		return c.restraint()
	case Brakes:
		return c.brakes()
	case Distance:
		return c.distance()
	case Driving:
		return c.driving()
	case Custody:
		return c.custody()
	}
	return nil
}

// reading is a reading that counts and was taken by the day.
type reading = ledger.Entry[record.Reading]

// readings lists the readings of a kind in the order of their days.
func (c *Car) readings(what string) []reading {
	var list []reading
	for _, r := range ledger.All[record.Reading](c.s) {
		if r.Body.What == what && c.byToday(r.Body.On) {
			list = append(list, r)
		}
	}
	slices.SortStableFunc(list, func(a, b reading) int { return edtf.ByTime(dateOf(a.Body.On), dateOf(b.Body.On)) })
	return list
}

// byToday reports whether a date may lie on or before the day asked for.
func (c *Car) byToday(d record.Date) bool {
	if c.day.IsZero() || d == "" {
		return true
	}
	return edtf.Compare(dateOf(d).Calendar(), edtf.Of(c.day)) != edtf.After
}

// dateOf reads a date of a record; what cannot be read is no date.
func dateOf(d record.Date) edtf.Date {
	date, err := edtf.Parse(string(d))
	if err != nil {
		return edtf.Date{}
	}
	return date
}

// taken finds a value of a reading by what it is of.
func taken(r reading, names ...string) Input {
	for _, name := range names {
		for i, v := range r.Body.Values {
			if strings.EqualFold(strings.TrimSpace(v.Of), name) {
				return Recorded(r.Record, canon.ElementPointer("/values", i)+"/value", v.Value)
			}
		}
	}
	return Input{}
}

// takenLike finds the first value whose name begins with a prefix.
func takenLike(r reading, prefix string) Input {
	for i, v := range r.Body.Values {
		if strings.HasPrefix(strings.ToLower(v.Of), prefix) {
			return Recorded(r.Record, canon.ElementPointer("/values", i)+"/value", v.Value)
		}
	}
	return Input{}
}

// ratingOf finds a rating by what it is of and, where one is given, its basis.
func ratingOf(r *record.Record, list []record.Rating, of string, bases ...string) Input {
	for _, basis := range append(bases, "") {
		for i, one := range list {
			if one.Of == of && (one.Basis == basis || basis == "" && len(bases) == 0) {
				return Recorded(r, canon.ElementPointer("/ratings", i)+"/value", one.Value)
			}
		}
	}
	return Input{}
}

// carRating finds a rating of the car.
func (c *Car) carRating(of string, bases ...string) Input {
	if c.rec == nil {
		return Input{}
	}
	return ratingOf(c.rec, c.car.Ratings, of, bases...)
}

// measure takes a measure of a record.
func measure(r *record.Record, pointer string, m record.Measure) Input {
	if m == "" {
		return Input{}
	}
	return Recorded(r, pointer, string(m))
}

func (c *Car) wheelbase() Input { return measure(c.rec, "/wheelbase", c.car.Wheelbase) }

// instrument gives the maker's statement and the end of the range of the
// instrument of a reading.
func (c *Car) instrument(ref record.Ref) (a Accuracy, top quantity.Quantity, body *record.Instrument) {
	in, ok := ledger.Get[record.Instrument](c.s, ref)
	if !ok {
		return Accuracy{}, quantity.Quantity{}, &record.Instrument{}
	}
	if in.Body.Range != nil {
		if q, err := quantity.Parse(in.Body.Range.To); err == nil {
			top = q
		}
	}
	return ReadAccuracy(in.Body.Accuracy), top, in.Body
}

// onCar lists the parts that are on the car, by name, with their records.
func (c *Car) onCar() []ledger.Entry[record.Part] {
	var list []ledger.Entry[record.Part]
	for _, p := range ledger.All[record.Part](c.s) {
		if st, ok := c.state.Part(p.ID); ok && st.Where.Place == replay.OnCar {
			list = append(list, p)
		}
	}
	return list
}

// placeIn gives how far behind the front axle a part sits in a state: as it was
// fitted, or as its own record says.
func placeIn(state *replay.State, p ledger.Entry[record.Part]) Input {
	st, _ := state.Part(p.ID)
	if line, ok := state.Line(st.Since); ok && line.Body.Station != "" && line.Body.Station == st.Station {
		return measure(line.Session, line.Pointer()+"/station", st.Station)
	}
	return measure(p.Record, "/station", p.Body.Station)
}

// name is what people call a record.
func (c *Car) name(ref record.Ref) string {
	if r := c.s.Current(ref); r != nil {
		return r.Name()
	}
	if ref == "" {
		return "not recorded"
	}
	return string(ref)
}

// battery reports whether a part is a traction battery or a box of it.
func battery(p *record.Part) bool {
	return p.Pack != nil || slices.Contains(p.Hazards, "lithium")
}

// short is the last element of a record's name, for the ID of a working.
func short(ref record.Ref) string {
	return string(ref)[strings.LastIndexByte(string(ref), '/')+1:]
}

// counted writes "1 part", "2 parts".
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
