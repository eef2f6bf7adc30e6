package workings

import (
	"fmt"
	"math/big"

	"boltback/internal/quantity"
)

// Occupants is the mass that a market's rules put on each seat.
type Occupants struct {
	PerSeat Input
	Words   string
	Source  Source
}

// OccupantsOf gives the mass of an occupant by the market of the car, ISO 3166-1
// alpha-2.
func OccupantsOf(market string) Occupants {
	switch market {
	case "US":
		return Occupants{published("150 lb", gvwrSeat), "150 lb a seat", gvwrSeat}
	case "AU":
		return Occupants{published("81.6 kg", seatAU), "68 kg and 13.6 kg of luggage a seat", seatAU}
	case "NZ":
		return Occupants{published("80 kg", certifierNZ), "80 kg a seat", certifierNZ}
	}
	return Occupants{published("75 kg", seatEU), "75 kg a seat", seatEU}
}

// SeatRow is one row of seats and how far it lies behind the front axle.
type SeatRow struct {
	Seats   int64
	Station Input
}

// count is the number of occupants that are added, with where the seats are recorded.
func (r SeatRow) count(n int64) Input {
	in := r.Station
	in.Text, in.Err = fmt.Sprint(n), ""
	return in.read()
}

// LadenAxles gives the axle loads with every seat taken: each row loads the rear
// axle by its distance behind the front axle over the wheelbase, and the front
// axle by the rest.
func LadenAxles(id string, w Weighing, wheelbase Input, rows []SeatRow, occupants Occupants) Working {
	s := begin(Mass, "laden "+id, "Axle loads with every seat taken")
	s.w.Sources = []Source{moments, occupants.Source}
	s.assume(occupants.Words+", sitting at the point recorded for the row", "luggage is not counted unless the rule's mass holds it")
	s.take("m_F", "front axle, "+w.Name, w.reading(w.Front, 2), quantity.Mass)
	s.take("m_R", "rear axle, "+w.Name, w.reading(w.Rear, 2), quantity.Mass)
	s.take("L", "wheelbase", wheelbase, quantity.Length)
	s.take("o", "mass of one occupant", occupants.PerSeat.exactly(), quantity.Mass)
	if len(rows) == 0 {
		s.lack("rows", "how far behind the front axle each row of seats lies, and how many seats it has")
	}
	front, rear := "m_F", "m_R"
	driver := w.Driver == "aboard" || w.Condition == "running order"
	for i, row := range rows {
		seats := row.Seats
		if i == 0 && driver && seats > 0 {
			seats--
			s.assume("the driver was aboard at the weighing and is not added again")
		}
		n, x := fmt.Sprintf("n_%d", i+1), fmt.Sprintf("x_%d", i+1)
		s.take(n, fmt.Sprintf("occupants added in row %d", i+1), row.count(seats), quantity.Count)
		s.take(x, fmt.Sprintf("row %d behind the front axle", i+1), row.Station, quantity.Length)
		front += fmt.Sprintf("+%s*o*(L-%s)/L", n, x)
		rear += fmt.Sprintf("+%s*o*%s/L", n, x)
	}
	if s.lacks["rows"] {
		return s.done()
	}
	s.calc("l_F", "kg", front, "Front axle: what it carried empty, and the occupants' share of it.")
	s.calc("l_R", "kg", rear, "Rear axle: the same.")
	if s.calc("l", "kg", "l_F+l_R", "Both together.") {
		s.w.Value = s.get("l")
		s.conclude("front %s, rear %s, together %s", s.show("l_F"), s.show("l_R"), s.show("l"))
	}
	return s.done()
}

// Reserve is what is left between a load and its rating. A rating that nobody
// published is no limit and no permission.
func Reserve(id, what string, load, rating Input) Working {
	s := begin(Mass, "reserve "+id, "Reserve: "+what)
	s.source("the published rating of the car", Habit)
	s.take("m", what, load, quantity.Mass)
	s.take("r", "rating", rating, quantity.Mass)
	if rating.Text == "none published" || rating.Text == "not looked for" {
		s.note("The rating is recorded as “%s”. That is neither a limit that is kept nor one that is broken: an engineer or the authority has to set one.", rating.Text)
	}
	if s.has("r") && s.get("r").Unit() != "kg" {
		s.calc("R", "kg", "r", "The rating in kilograms.")
	}
	if s.calc("c", "kg", "r-m", "What is left.") {
		s.answer("c", "{} left of "+s.show("r"))
		s.judge(what, "m", quantity.AtMost(s.get("r")), ruleFor(s.get("m")), "the rating of the car as its source gives it", Source{"published rating", Habit})
	} else {
		s.verdict(Verdict{Of: what, Against: "its rating", Outcome: EvidenceMissing, Reason: "load or rating is not known as a number"})
	}
	return s.done()
}

// ruleFor takes the guard band where the uncertainty is known, and simple
// acceptance, which is then named, where it is not.
func ruleFor(q quantity.Quantity) quantity.Rule {
	if _, _, ok := q.Uncertainty(); ok || !q.IsPoint() {
		return quantity.GuardBand
	}
	return quantity.SimpleAcceptance
}

// zeroOf is nothing of a unit.
func zeroOf(q quantity.Quantity) quantity.Quantity {
	zero, _ := quantity.New(new(big.Rat), q.Unit())
	return zero
}
