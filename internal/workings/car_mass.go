package workings

import (
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// weighed is a weighing with the record it is from.
type weighed struct {
	reading
	w Weighing
}

// weighings lists the weighings by day.
func (c *Car) weighings() []weighed {
	var list []weighed
	for _, r := range c.readings("weighing") {
		list = append(list, weighed{r, c.weighing(r)})
	}
	return list
}

func (c *Car) weighing(r reading) Weighing {
	w := Weighing{Name: r.Name(), On: string(r.Body.On), Front: taken(r, "front axle", "front"), Rear: taken(r, "rear axle", "rear"), Total: taken(r, "total", "gross", "whole car")}
	for i, corner := range []string{"front left", "front right", "rear left", "rear right"} {
		w.Corners[i] = taken(r, corner)
	}
	accuracy, _, tool := c.instrument(r.Body.Instrument)
	w.Class, w.EachPad = tool.Class, accuracy.EachPad
	if accuracy.Understood() && !accuracy.Fixed.IsZero() {
		w.Limit = From(accuracy.Fixed, Source{"instrument: " + accuracy.Text, Habit})
	}
	if b := r.Body.Weighing; b != nil {
		w.Condition, w.Fuel, w.Driver, w.Ballast, w.FigureBy = b.Condition, b.Fuel, b.Driver, b.Ballast, b.FigureBy
		w.Division = measure(r.Record, "/weighing/division", b.Division)
		if in, ok := ledger.Get[record.Instrument](c.s, r.Body.Instrument); ok && w.Division.Value.IsZero() && in.Body.Division != "" {
			w.Division = Recorded(in.Record, "/division", in.Body.Division)
		}
		for i, a := range b.Aboard {
			at := canon.ElementPointer("/weighing/aboard", i)
			w.Aboard = append(w.Aboard, Load{a.What, measure(r.Record, at+"/mass", a.Mass), measure(r.Record, at+"/station", a.Station)})
		}
	}
	return w
}

// mass gives the workings of masses.
func (c *Car) mass() []Working {
	var list []Working
	all := c.weighings()
	for _, w := range all {
		list = append(list, TicketSum(short(w.ID), w.w))
	}
	list = append(list, c.handbook()...)
	list = append(list, c.changes(all)...)
	if len(all) == 0 {
		s := begin(Mass, "weighings", "Weighings")
		s.missing("a weighing")
		return append(list, s.done())
	}
	last := all[len(all)-1]
	today := c.today(last)
	gross, split := staleness(today)
	list = append(list, markStale(CentreAlong(short(last.ID), last.w, c.wheelbase()), split, last))
	list = append(list, c.across(all)...)
	list = append(list, today)
	laden := c.laden(last, split)
	list = append(list, laden)
	list = append(list, c.loaded(last, laden, gross, split)...)
	return append(list, c.lift(last)...)
}

// laden works out the loads with every seat taken.
func (c *Car) laden(last weighed, split bool) Working {
	return markStale(LadenAxles(short(last.ID), last.w, c.wheelbase(), c.rows(), OccupantsOf(c.car.Market)), split, last)
}

// loaded holds the loads of the last weighing against ratings and tyres.
func (c *Car) loaded(last weighed, laden Working, gross, split bool) []Working {
	list := append(c.reserves(last.w, laden), c.tyres(last.w, laden)...)
	for i, w := range list {
		whole := w.ID == "reserve gross"
		list[i] = markStale(w, whole && gross || !whole && split && !strings.HasPrefix(w.ID, "tyre speed"), last)
	}
	return list
}

// staleness reads from the working on the last weighing what is stale.
func staleness(today Working) (gross, split bool) {
	for _, v := range today.Verdicts {
		gross = gross || v.Outcome == Stale && strings.HasPrefix(v.Of, "total")
		split = split || v.Outcome == Stale && strings.HasPrefix(v.Of, "axle")
	}
	return gross, split
}

// handbook gives masses that are recorded in hundredweight.
func (c *Car) handbook() []Working {
	var list []Working
	for i, r := range c.car.Ratings {
		if strings.Contains(r.Value, "cwt") {
			in := Recorded(c.rec, canon.ElementPointer("/ratings", i)+"/value", r.Value)
			list = append(list, HandbookMass(r.Of, r.Value, r.Country, in))
		}
	}
	return list
}

// changes compares the first and the last weighing of each condition, and the
// first with the last of all where these differ in condition.
func (c *Car) changes(all []weighed) []Working {
	var list []Working
	groups := map[string][]weighed{}
	var order []string
	for _, w := range all {
		key := w.w.conditions()
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], w)
	}
	for _, key := range order {
		if g := groups[key]; len(g) > 1 {
			first, last := g[0], g[len(g)-1]
			id := short(first.ID) + " to " + short(last.ID)
			list = append(list, MassChange(id, first.w, last.w), c.predicted(id, first, last))
		}
	}
	if len(all) > 1 && all[0].w.conditions() != all[len(all)-1].w.conditions() {
		first, last := all[0], all[len(all)-1]
		list = append(list, MassChange(short(first.ID)+" to "+short(last.ID), first.w, last.w))
	}
	return list
}

// predicted works the loads out from the parts that came off and on between two
// weighings.
func (c *Car) predicted(id string, first, last weighed) Working {
	from, ok1 := dateOf(first.Body.On).Last()
	to, ok2 := dateOf(last.Body.On).Last()
	var changes []Fitted
	if ok1 && ok2 {
		changes = c.between(c.work.On(from), c.work.On(to))
	}
	w := PredictedLoads(id, first.w, c.wheelbase(), changes, &last.w)
	w.Assumptions = append(w.Assumptions, "parts as the records have them at the end of the day of each weighing; expendables and fluids are not in it")
	return w
}

// fromOldPlace and toNewPlace mark the two halves of a part that moved.
const (
	fromOldPlace = ", from its old place"
	toNewPlace   = ", to its new place"
)

// between lists the parts that are on the car in one of two states and not in
// the other. A part that rides in an assembly which itself has a mass is in that
// mass already.
func (c *Car) between(before, after *replay.State) []Fitted {
	var list []Fitted
	for _, p := range ledger.All[record.Part](c.s) {
		a, _ := before.Part(p.ID)
		b, _ := after.Part(p.ID)
		was, is := a.Where.Place == replay.OnCar, b.Where.Place == replay.OnCar
		if was && is && placeIn(before, p).Text != placeIn(after, p).Text && p.Body.Class != "expendable" {
			mass := measure(p.Record, "/mass", p.Body.Mass)
			list = append(list, Fitted{p.Name() + fromOldPlace, -1, mass, placeIn(before, p)}, Fitted{p.Name() + toNewPlace, 1, mass, placeIn(after, p)})
			continue
		}
		if was == is || p.Body.Class == "expendable" {
			continue
		}
		sign, st, state := 1, b, after
		if was {
			sign, st, state = -1, a, before
		}
		if holder, ok := ledger.Get[record.Part](c.s, st.Inside); ok && holder.Body.Mass != "" {
			continue
		}
		mass := measure(p.Record, "/mass", p.Body.Mass)
		if mass.Text == "" && len(p.Body.Contains) > 0 {
			continue // its parts are counted one by one
		}
		list = append(list, Fitted{p.Name(), sign, mass, placeIn(state, p)})
	}
	return list
}

// across is the centre across the car, from the last weighing that has all four
// wheels.
func (c *Car) across(all []weighed) []Working {
	for _, w := range slices.Backward(all) {
		if w.w.Corners[0].Text != "" && w.w.Corners[3].Text != "" {
			return []Working{CentreAcross(short(w.ID), w.w, measure(c.rec, "/track-front", c.car.TrackFront), measure(c.rec, "/track-rear", c.car.TrackRear))}
		}
	}
	return nil
}

// today says what the last weighing still describes.
func (c *Car) today(last weighed) Working {
	var citing []string
	for _, u := range c.s.Uses(last.ID) {
		if name := string(u.From.ID); !slices.Contains(citing, name) {
			citing = append(citing, name)
		}
	}
	return TicketToday(short(last.ID), last.w, c.eventsSince(last), c.wheelbase(), citing)
}

// eventsSince lists the work after a weighing that moved mass.
func (c *Car) eventsSince(last weighed) []MassEvent {
	weighedOn := dateOf(last.Body.On).Calendar()
	var events []MassEvent
	back, moved := c.backOnCar(weighedOn)
	c.work.Each(func(_ replay.Step, line replay.Line, _ *replay.State, _ replay.Changed) {
		started := dateOf(line.Work.Started).Calendar()
		if !c.byToday(line.Work.Started) || edtf.Compare(started, weighedOn) != edtf.After {
			return
		}
		events = append(events, c.massEvents(line, back)...)
	})
	return append(events, moved...)
}

// backOnCar lists the parts that were on the car at a weighing and are again:
// they moved along the car or went back to their place, and took no mass away.
func (c *Car) backOnCar(weighedOn edtf.Date) (back map[record.Ref]bool, moved []MassEvent) {
	back = map[record.Ref]bool{}
	day, ok := weighedOn.Last()
	if !ok {
		return back, nil
	}
	before := c.work.On(day)
	for _, p := range c.onCar() {
		was, _ := before.Part(p.ID)
		is, _ := c.state.Part(p.ID)
		if was.Where.Place != replay.OnCar {
			continue
		}
		back[p.ID] = true
		if placeIn(before, p).Text != placeIn(c.state, p).Text && p.Body.Class != "expendable" {
			on, work := "", record.Ref("")
			if line, ok := c.state.Line(is.Since); ok {
				on, work = string(line.Work.Started), line.Ref()
			}
			moved = append(moved, MassEvent{What: p.Name(), On: on, Work: work, Mass: measure(p.Record, "/mass", p.Body.Mass), From: placeIn(before, p), To: placeIn(c.state, p)})
		}
	}
	return back, moved
}

// massEvents lists what a line of work did to the mass of the car.
func (c *Car) massEvents(line replay.Line, back map[record.Ref]bool) []MassEvent {
	sign, counts := map[string]int{"fitting": 1, "removal": -1}[line.Body.Act]
	if !counts {
		return nil
	}
	var list []MassEvent
	for _, ref := range line.Body.Parts {
		p, ok := ledger.Get[record.Part](c.s, ref)
		if !ok || p.Body.Class == "expendable" || back[p.ID] {
			continue
		}
		list = append(list, MassEvent{What: p.Name(), On: string(line.Work.Started), Work: line.Ref(), Sign: sign, Mass: measure(p.Record, "/mass", p.Body.Mass)})
	}
	return list
}

func (c *Car) rows() []SeatRow {
	var rows []SeatRow
	for i, r := range c.car.Rows {
		rows = append(rows, SeatRow{r.Seats, measure(c.rec, canon.ElementPointer("/rows", i)+"/station", r.Station)})
	}
	return rows
}

// loads gives front, rear and total to hold against ratings: laden where that
// could be computed, as weighed otherwise.
func loads(w Weighing, laden Working) (front, rear, total Input, words string) {
	if laden.Computed() {
		from := Source{"working: " + laden.Title, Physics}
		return From(resultOf(laden, "l_F"), from), From(resultOf(laden, "l_R"), from), From(resultOf(laden, "l"), from), "laden"
	}
	words = "as weighed"
	if w.After != "" {
		words = w.After
	}
	return w.reading(w.Front, 2), w.reading(w.Rear, 2), w.reading(w.Total, 4), words
}

func (c *Car) reserves(w Weighing, laden Working) []Working {
	front, rear, total, words := loads(w, laden)
	list := []Working{
		Reserve("gross", "whole car, "+words, total, c.carRating("gross mass")),
		Reserve("front axle", "front axle, "+words, front, c.carRating("front axle mass")),
		Reserve("rear axle", "rear axle, "+words, rear, c.carRating("rear axle mass")),
	}
	if !laden.Computed() {
		for i := range list {
			list[i].Assumptions = append(list[i].Assumptions, "the car as weighed ("+w.conditions()+"), without occupants: what is left is for them and their luggage")
		}
	}
	return list
}

func (c *Car) tyres(w Weighing, laden Working) []Working {
	front, rear, _, words := loads(w, laden)
	var list []Working
	for _, p := range c.onCar() {
		load := ratingOf(p.Record, p.Body.Ratings, "load per tyre")
		if p.Body.Tyre == nil && load.Text == "" {
			continue
		}
		t := Tyre{Load: load}
		if y := p.Body.Tyre; y != nil {
			t.Size, t.Construction, t.LoadIndex, t.SpeedSymbol = y.Size, y.Construction, y.LoadIndex, y.SpeedSymbol
		}
		list = append(list, TyreLoad(short(p.ID)+" front", "front axle, "+words, front, t), TyreLoad(short(p.ID)+" rear", "rear axle, "+words, rear, t),
			TyreSpeed(short(p.ID), c.carRating("top speed"), t))
	}
	if list == nil {
		s := begin(Mass, "tyres", "Tyres")
		s.missing("the load index or the load of the tyres that are on the car")
		list = append(list, s.done())
	}
	return list
}

// markStale adds to a working that the weighing it takes no longer describes the
// car.
func markStale(w Working, stale bool, last weighed) Working {
	if stale {
		w.Verdicts = append(w.Verdicts, Verdict{Of: "the weighing “" + last.w.Name + "”", Against: "the car of today", Outcome: Stale,
			Reason: "work since then moved mass: weigh again before relying on this", Source: goodHabits})
	}
	return w
}
