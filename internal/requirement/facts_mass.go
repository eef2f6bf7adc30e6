package requirement

import (
	"strings"

	"boltback/internal/record"
	"boltback/internal/workings"
)

const weighTheCar = "a weighing by an operator or by the workshop, both axles and the total, since the last work that moved mass"

var massSubject = Subject{Name: "mass", Words: "what the car weighs and what it may", Facts: []Fact{
	{Name: "total", Kind: Figure, Unit: "kg", Words: "the whole car, laden where the seats are recorded, as weighed otherwise", Want: weighTheCar},
	{Name: "laden", Kind: YesNo, Words: "whether the loads are worked out with every seat taken", Want: weighTheCar + ", the wheelbase, and each row of seats with its place"},
	{Name: "axles", Kind: Several, Of: "axle", Words: "the axles with their loads", Want: weighTheCar},
	{Name: "axles_agree", Kind: YesNo, Words: "whether axles and total of the last weighing agree within the scale's error", Want: weighTheCar},
	{Name: "change", Kind: Figure, Unit: "%", Words: "the change of mass against the weighing before the work, in the same condition", Want: "two weighings in the same condition, before and after the work"},
	{Name: "front_share_change", Kind: Figure, Unit: "%", Words: "the change of the front axle's share, in points of the total", Want: "two weighings in the same condition, before and after the work"},
	{Name: "front_change", Kind: Figure, Unit: "%", Words: "the change of the front axle load, relative to it", Want: "two weighings in the same condition, before and after the work"},
	{Name: "rear_change", Kind: Figure, Unit: "%", Words: "the change of the rear axle load, relative to it", Want: "two weighings in the same condition, before and after the work"},
	{Name: "top_speed_of_tyres", Kind: Figure, Unit: "km/h", Words: "the speed that the tyres are good to", Want: "the speed symbol on the side wall of the tyres that are on the car"},
}}

var axleSubject = Subject{Name: "axle", Entry: true, Words: "an axle", Facts: []Fact{
	{Name: "name", Kind: Text, Words: "which axle", Want: "a name"},
	{Name: "load", Kind: Figure, Unit: "kg", Words: "the load of the axle", Want: weighTheCar},
	{Name: "rating", Kind: Figure, Unit: "kg", Words: "the mass that the axle is rated for", Want: "the rated mass of the axle from plate, handbook or papers"},
	{Name: "tyres", Kind: Figure, Unit: "kg", Words: "the load that the tyres of the axle carry", Want: "the load index of the tyres on the car, or the load that their maker gives"},
}}

// gatherMass takes the loads from the workings of the last weighing. Those are stale as a whole or for the axles alone.
func (f *Facts) gatherMass(t *thing) {
	front, rear := f.axle("front axle"), f.axle("rear axle")
	weighed := false
	for _, w := range f.workings(workings.Mass) {
		switch {
		case w.ID == "reserve gross":
			weighed = true
			t.working("total", &w, "m")
			if strings.HasSuffix(w.Title, "laden") {
				t.is("laden", true, w.About...)
			} else {
				t.lacks("laden", Absent, "the loads are as weighed, for the seats with their places, or the wheelbase, are not recorded", w.About...)
			}
		case w.ID == "reserve front axle":
			front.working("load", &w, "m")
		case w.ID == "reserve rear axle":
			rear.working("load", &w, "m")
		case strings.HasPrefix(w.ID, "tyre speed "):
			t.working("top_speed_of_tyres", &w, "v_max")
		case strings.HasPrefix(w.ID, "tyre ") && strings.HasSuffix(w.ID, " front"):
			front.working("tyres", &w, "Q")
		case strings.HasPrefix(w.ID, "tyre ") && strings.HasSuffix(w.ID, " rear"):
			rear.working("tyres", &w, "Q")
		case strings.HasPrefix(w.ID, "ticket "):
			t.agreement(&w)
		}
	}
	f.massChange(t)
	if weighed {
		t.set("axles", known{value: []*thing{front, rear}})
	}
}

// massChanges are the facts that compare two weighings: the symbol of each in its working, and whether it is of the axles.
var massChanges = []struct {
	fact, symbol string
	split        bool
}{{"change", "D_rel", false}, {"front_share_change", "D_p", true}, {"front_change", "D_F_rel", true}, {"rear_change", "D_R_rel", true}}

// massChange takes the changes from each pair of weighings in one condition, and each pair is evidence; a pair in unlike
// conditions shows nothing. Nor does one show anything of today where work moved mass since, or of the work where some was
// done before its first weighing.
func (f *Facts) massChange(t *thing) {
	pairs := f.sums.WeighedPairs()
	for _, c := range massChanges {
		var good []figure
		for _, p := range pairs {
			q, ok := p.Change.Result(c.symbol)
			since := p.Whole
			if c.split {
				since = p.Split
			}
			refs := []record.Ref{p.Before, p.After}
			switch {
			case !ok:
			case len(since) > 0:
				t.lacks(c.fact, Stale, "work since the later weighing moved mass", append(refs, since...)...)
			case len(p.Unlike) > 0:
				t.lacks(c.fact, Absent, "before the first weighing work had been done already: "+p.Unlike[0], refs...)
			default:
				good = append(good, figure{q, refs, workingName(&p.Change)})
			}
		}
		t.figures(c.fact, good...)
	}
}

// axle begins an axle with its rating.
func (f *Facts) axle(name string) *thing {
	a := &thing{subject: &axleSubject, name: name, facts: map[string]known{}}
	rec, car := f.s.Car()
	a.is("name", name)
	a.rated("rating", rec, car.Ratings, name+" mass", "")
	return a
}

// working takes a figure of a working, or why it has none: it is stale, or something is missing.
func (t *thing) working(name string, w *workings.Working, symbol string) {
	for _, v := range w.Verdicts {
		if v.Outcome == workings.Stale {
			t.lacks(name, Stale, v.Reason, w.About...)
			return
		}
	}
	if q, ok := w.Result(symbol); ok {
		t.figures(name, figure{q, w.About, workingName(w)})
		return
	}
	for _, in := range w.Inputs {
		if in.Symbol == symbol && !in.Value.IsZero() {
			t.figures(name, figure{in.Value, w.About, workingName(w)})
			return
		}
	}
	t.lacks(name, Absent, "not computed: needs "+strings.Join(w.Missing, "; "), w.About...)
}

// agreement says whether axles and total of a weighing agree; the last weighing counts.
func (t *thing) agreement(w *workings.Working) {
	for _, v := range w.Verdicts {
		switch v.Outcome {
		case workings.Met:
			t.is("axles_agree", true, w.About...)
		case workings.NotMet, workings.Contradiction:
			t.is("axles_agree", false, w.About...)
		}
	}
}
