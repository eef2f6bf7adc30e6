package validate

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Words that may stand where a figure would, because nobody has one.
const (
	notRecorded   = "not recorded"
	nonePublished = "none published"
	notLookedFor  = "not looked for"
)

// texts checks the quantities and dates of one record for themselves.
func (c *checker) texts(r *record.Record) {
	for _, leaf := range r.Leaves() {
		switch leaf.Role {
		case record.Quantity:
			if leaf.Text != notRecorded {
				c.quantity(r, leaf.Pointer, leaf.Text, quantity.Dimension(leaf.Dimension))
			}
		case record.Moment:
			if _, err := edtf.Parse(leaf.Text); err != nil {
				c.report(r, leaf.Pointer, "date", err.Error(), "write it as 2026-03-02, 1967-03, 196X or 2019-03-04/2019-04-03")
			}
		}
	}
	switch body := r.Body.(type) {
	case *record.Car:
		c.ratings(r, body.Ratings)
	case *record.Part:
		c.ratings(r, body.Ratings)
	case *record.Reading:
		c.figures(r, body)
	case *record.Instrument:
		if body.Range != nil {
			c.quantity(r, "/range/from", body.Range.From, quantity.Unknown)
			c.quantity(r, "/range/to", body.Range.To, quantity.Unknown)
		}
	}
}

func (c *checker) quantity(r *record.Record, pointer, text string, d quantity.Dimension) {
	if text == "" {
		return
	}
	if err := quantity.Check(text, d); err != nil {
		c.report(r, pointer, "quantity", err.Error(), "")
	}
}

// ratingDimensions says what each published figure is measured in.
var ratingDimensions = map[string]quantity.Dimension{
	"gross mass": quantity.Mass, "front axle mass": quantity.Mass, "rear axle mass": quantity.Mass, "unladen mass": quantity.Mass,
	"load per tyre": quantity.Mass, "power": quantity.Power, "power of the strongest engine offered": quantity.Power, "torque": quantity.Torque, "input torque": quantity.Torque,
	"top speed": quantity.Speed, "energy": quantity.Energy, "voltage": quantity.Voltage, "current": quantity.Current,
	"length": quantity.Length, "width": quantity.Length, "height": quantity.Length, "wheelbase": quantity.Length,
}

func (c *checker) ratings(r *record.Record, ratings []record.Rating) {
	for i, rating := range ratings {
		if rating.Value == nonePublished || rating.Value == notLookedFor {
			continue
		}
		c.quantity(r, canon.ElementPointer("/ratings", i)+"/value", rating.Value, ratingDimensions[rating.Of])
	}
}

// readingDimensions says what the figures of each kind of reading may be measured in; a kind that is not listed may hold
// anything.
var readingDimensions = map[string][]quantity.Dimension{
	"weighing":    {quantity.Mass},
	"insulation":  {quantity.Resistance, quantity.ResistancePerVoltage, quantity.Voltage},
	"bonding":     {quantity.Resistance},
	"proved-dead": {quantity.Voltage},
	"gas-free":    {quantity.Ratio, quantity.Count},
	"hole-survey": {quantity.Count, quantity.Length},
	"brake-test":  {quantity.Force, quantity.Ratio, quantity.Mass},
	"ride-height": {quantity.Length},
	"compression": {quantity.Pressure},
	"cell-survey": {quantity.Voltage, quantity.Temperature, quantity.Resistance},
	"distance":    {quantity.Length},
	"charging":    {quantity.Energy, quantity.Duration, quantity.Current, quantity.Voltage, quantity.Ratio, quantity.Power},
}

func (c *checker) figures(r *record.Record, reading *record.Reading) {
	may := readingDimensions[reading.What]
	for i, v := range reading.Values {
		pointer := canon.ElementPointer("/values", i) + "/value"
		if v.Value == "" || v.Value == notRecorded || passFail(v.Value) && !slices.Contains(figuresOnly, reading.What) {
			continue
		}
		q, err := quantity.Parse(v.Value)
		var either *quantity.Ambiguous
		_, asked := quantity.Read(v.Value, quantity.Hints{Usual: usualUnits[reading.What]})
		switch {
		case errors.As(asked, &either):
			c.report(r, pointer, "quantity", either.Error(), "")
		case err != nil:
			c.report(r, pointer, "quantity", quantity.Check(v.Value, first(may)).Error(), "")
		case len(may) > 0 && q.Dimension() != quantity.Unknown && !slices.Contains(may, q.Dimension()):
			c.report(r, pointer, "quantity", fmt.Sprintf("%s is %s, and a %s reading is %s", v.Value, q.Dimension(), reading.What, dimensionList(may)), "")
		}
	}
}

// usualUnits says in which unit a sheet is normally filled in, where a capital makes a difference that hurts.
var usualUnits = map[string]string{"insulation": "MΩ", "bonding": "mΩ"}

// figuresOnly are the readings whose values are always figures; in others a tester may have written a word.
var figuresOnly = []string{"weighing", "insulation", "bonding", "ride-height", "compression", "cell-survey", "distance"}

// passFail reports whether a value is an answer in words rather than a figure.
func passFail(value string) bool { return !strings.ContainsAny(value, "0123456789") }

func first(may []quantity.Dimension) quantity.Dimension {
	if len(may) == 1 {
		return may[0]
	}
	return quantity.Unknown
}

func dimensionList(may []quantity.Dimension) string {
	words := make([]string, len(may))
	for i, d := range may {
		words[i] = string(d)
	}
	return strings.Join(words, " or ")
}
