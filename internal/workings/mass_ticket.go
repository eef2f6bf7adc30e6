package workings

import (
	"fmt"
	"math/big"
	"strings"

	"boltback/internal/quantity"
)

// Weighing is what one ticket or set of scales says, and how.
type Weighing struct {
	Name string
	// Front, Rear and Total as read; a figure that was not read is empty.
	Front, Rear, Total Input
	// Corners are the four wheel loads, where pads were used: front left, front
	// right, rear left, rear right.
	Corners [4]Input
	// Division of the scale as recorded, and what its maker or mark states:
	// an accuracy class (OIML R 76) or a limit of error in kg.
	Division Input
	Class    string
	// Limit is the stated error of one pad or plate; EachPad says that an axle
	// stands on two of them.
	Limit   Input
	EachPad bool
	// State the car was in.
	Condition, Fuel, Driver, Ballast string
	// FigureBy says who gave the figure; only operator and self count.
	FigureBy string
	Aboard   []Load
	On       string
	// After says that the figures were worked out from a weighing, and for when,
	// such as "after the move"; "" where they are as read.
	After string
}

// Load is something with a mass, aboard or in the car.
type Load struct {
	What    string
	Mass    Input
	Station Input
}

var (
	addition   = Source{"addition", Physics}
	moments    = Source{"equilibrium of moments about the front axle", Physics}
	goodHabits = Source{"weighing practice: front, rear and whole on one scale, on one day, in one stated condition", Habit}
)

// kilograms gives a plain number of kilograms.
func kilograms(v *big.Rat) quantity.Quantity {
	q, _ := quantity.New(v, "kg")
	return q
}

// scaleError is the largest error in service that one reading may have, apart
// from its rounding: what the maker states, or the limit of its class at that
// load. Class III is taken where no class is recorded, and said.
func (w *Weighing) scaleError(reading quantity.Quantity, pads int64) (limit quantity.Quantity, from Source, ok bool) {
	if !w.Limit.Value.IsZero() {
		n := int64(1)
		if w.EachPad {
			n = pads
		}
		a, err := amountOf(w.Limit.Value)
		if err != nil {
			return quantity.Quantity{}, Source{}, false
		}
		return kilograms(new(big.Rat).Mul(a.v, big.NewRat(n, 1))), Source{Text: fmt.Sprintf("as stated for the scale, on %d of it", n)}, true
	}
	d, err := amountOf(w.Division.Value)
	load, err2 := amountOf(reading)
	if err != nil || err2 != nil || d.v.Sign() <= 0 {
		return quantity.Quantity{}, Source{}, false
	}
	steps := new(big.Rat).Quo(load.v, d.v)
	class, factor := w.class(), int64(3)
	limits := map[string][2]int64{"III": {500, 2000}, "IIII": {50, 200}, "II": {5000, 20000}, "I": {50000, 200000}}[class]
	switch {
	case steps.Cmp(big.NewRat(limits[0], 1)) <= 0:
		factor = 1
	case steps.Cmp(big.NewRat(limits[1], 1)) <= 0:
		factor = 2
	}
	return kilograms(new(big.Rat).Mul(d.v, big.NewRat(factor, 1))), Source{fmt.Sprintf("class %s, %s divisions: ±%s in service", class, steps.FloatString(0), counted(int(factor), "division", "divisions")), r76.Basis}, true
}

func (w *Weighing) class() string {
	switch c := strings.ToUpper(strings.TrimSpace(w.Class)); c {
	case "I", "II", "III", "IIII":
		return c
	}
	return "III"
}

// hearsay reports whether the figures were only told.
func (w *Weighing) hearsay() bool { return w.FigureBy == "driver" || w.FigureBy == "not recorded" }

// reading gives a figure with its uncertainty: scale error and rounding as
// rectangular half-widths a and d/2, u² = a²/3 + d²/12, U = 2u.
func (w *Weighing) reading(in Input, pads int64) Input {
	if in.Value.IsZero() || !in.Value.IsPoint() {
		return in
	}
	if _, _, stated := in.Value.Uncertainty(); stated {
		return in
	}
	limit, _, ok := w.scaleError(in.Value, pads)
	d, err := amountOf(w.Division.Value)
	if !ok || err != nil {
		return in
	}
	a, _ := amountOf(limit)
	square := new(big.Rat).Mul(a.v, a.v)
	square.Quo(square, big.NewRat(3, 1))
	step := new(big.Rat).Mul(d.v, d.v)
	square.Add(square, step.Quo(step, big.NewRat(12, 1)))
	u := kilograms(new(big.Rat).Mul(squareRoot(square), big.NewRat(2, 1)))
	if q, err := in.Value.WithUncertainty(u, big.NewRat(2, 1)); err == nil {
		return in.with(q)
	}
	return in
}

// TicketSum holds the axles of a weighing against its total: the gap may be no
// wider than the rounding of the three figures and the error of the scale in
// service together. No figure is corrected to fit another.
func TicketSum(id string, w Weighing) Working {
	s := begin(Mass, "ticket "+id, "Axles against the total: "+w.Name)
	s.w.Sources = []Source{addition, r76}
	if w.hearsay() {
		return w.onlyTold(s)
	}
	s.take("m_F", "front axle as read", w.Front, quantity.Mass)
	s.take("m_R", "rear axle as read", w.Rear, quantity.Mass)
	s.take("m", "total as read", w.Total, quantity.Mass)
	s.take("d", "division of the scale", w.Division, quantity.Mass)
	pads := map[string]int64{"m_F": 2, "m_R": 2, "m": 4}
	for _, symbol := range []string{"m_F", "m_R", "m"} {
		name := "error in service of " + symbol
		if !s.has(symbol) {
			s.lacks["E_"+symbol] = true
			continue
		}
		limit, from, ok := w.scaleError(s.get(symbol), pads[symbol])
		if !ok {
			s.lack("E_"+symbol, "the division or the stated error of the scale")
			continue
		}
		s.take("E_"+symbol, name, From(limit, from), quantity.Mass)
	}
	if w.Limit.Value.IsZero() && w.Class == "" && !w.Division.Value.IsZero() {
		s.assume("The class of the scale is not recorded; it is taken as III, the usual class of weighbridges and vehicle scales.")
	}
	s.calc("s", "kg", "m_F+m_R", "The two axles together.")
	s.calc("g", "kg", "s-m", "How far they are from the total that was read.")
	s.calc("t", "kg", "E_m_F+E_m_R+E_m+3*d/2", "How far they may be: the errors of three readings in service, and half a division of rounding in each.")
	return ticketVerdict(s)
}

// onlyTold keeps a stated figure as hearsay: it enters no sum.
func (w *Weighing) onlyTold(s *sheet) Working {
	for _, in := range []Input{w.Front, w.Rear, w.Total} {
		if in.Text != "" {
			in.Name = "figure stated, not weighed by the operator"
			s.w.Inputs = append(s.w.Inputs, in)
		}
	}
	s.missing("a figure weighed by the operator or read from the scale by the workshop")
	s.verdict(Verdict{Of: "the figures of this ticket", Outcome: EvidenceMissing, Against: "weighed figures",
		Reason: "the figure was stated and not weighed; it is kept as hearsay and used in no sum", Source: goodHabits})
	return s.done()
}

func ticketVerdict(s *sheet) Working {
	if !s.has("g") || !s.has("t") {
		return s.done()
	}
	v := Verdict{Of: "axles against total", Against: "a gap of at most " + s.show("t"), Rule: quantity.SimpleAcceptance, Source: r76,
		Why: "the largest gap that rounding and the scale's permitted error explain"}
	gap, _ := amountOf(s.get("g"))
	allowed, _ := amountOf(s.get("t"))
	if !s.get("g").IsPoint() || !s.get("t").IsPoint() {
		v.Outcome, v.Reason = EvidenceMissing, "one of the figures is a bound, and a bound is neither consistent with another figure nor in conflict with it"
	} else if new(big.Rat).Abs(gap.v).Cmp(allowed.v) <= 0 {
		v.Outcome, v.Reason = Met, fmt.Sprintf("the figures are consistent: a gap of %s lies within %s; no figure is changed to fit", s.show("g"), s.show("t"))
	} else {
		v.Outcome, v.Reason = Contradiction, fmt.Sprintf("a gap of %s is more than %s; one of the figures is wrong, and the ticket does not say which", s.show("g"), s.show("t"))
	}
	s.verdict(v)
	s.answer("s", "the axles add up to {}, the total was read as "+s.show("m"))
	return s.done()
}

// HandbookMass turns a mass from an old handbook into kilograms, hundredweight
// by hundredweight. Where the unit differs between countries and the country is
// not known the answer is both readings, and a question.
func HandbookMass(id, text, country string, in Input) Working {
	s := begin(Mass, "handbook "+id, "Mass in the handbook: "+text)
	s.w.Sources = []Source{cwtTable}
	reading, err := quantity.Read(text, quantity.Hints{Dimension: quantity.Mass, Country: country})
	in.Text, in.Name = text, "mass as printed"
	s.w.Inputs = append(s.w.Inputs, in)
	if ambiguous, ok := err.(*quantity.Ambiguous); ok {
		for _, c := range ambiguous.Candidates {
			s.say("One reading.", c.Words)
		}
		s.missing("the country of the handbook, as its hundredweight is 112 lb in Britain and 100 lb in America")
		return s.done()
	}
	if err != nil {
		s.missing("a mass that can be read: " + err.Error())
		return s.done()
	}
	hundredweights(s, reading.Quantity)
	kg, err := reading.Quantity.In("kg")
	if err != nil {
		s.missing(err.Error())
		return s.done()
	}
	s.say("In kilograms, at 0.45359237 kg to the pound.", Show(kg))
	s.w.Value = kg
	s.conclude("%s is %s", reading.Quantity.Canonical(), Show(kg.Round(0)))
	return s.done()
}

// hundredweights writes the parts of a mass in pounds: 17 · 112 lb + 2 · 28 lb + 14 lb.
func hundredweights(s *sheet, q quantity.Quantity) {
	kg, err := q.In("kg")
	if err != nil {
		return
	}
	pounds, err := kg.In("lb")
	if err != nil {
		return
	}
	heavy, quarter := "112", "28"
	if strings.Contains(q.Canonical(), "(US)") {
		heavy, quarter = "100", "25"
	}
	each := map[string]string{"cwt": heavy + " lb", "qr": quarter + " lb", "lb": "1 lb", "st": "14 lb"}
	fields := strings.Fields(strings.NewReplacer(" (UK)", "", " (US)", "").Replace(q.Canonical()))
	var terms []string
	for i := 0; i+1 < len(fields); i += 2 {
		of, known := each[fields[i+1]]
		if !known {
			return
		}
		terms = append(terms, fields[i]+" · "+of)
	}
	s.say("In pounds, part by part.", strings.Join(terms, " + ")+" = "+Show(pounds))
}
