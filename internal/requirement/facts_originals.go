package requirement

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

var originalsSubject = Subject{Name: "originals", Words: "the parts of the car as found, and what became of them", Facts: []Fact{
	{Name: "off", Kind: Several, Of: "original", Words: "found parts that are off the car", Want: "the found parts, and the work that took them off"},
	{Name: "all_kept", Kind: YesNo, Words: "whether no found part is gone for good", Want: "the found parts, and what became of each"},
	{Name: "can_go_back", Kind: YesNo, Words: "whether the car can be put back, on the records", Want: "what the reversal statement names as missing"},
	{Name: "shell_unaltered", Kind: YesNo, Words: "whether the shell or frame bears no alteration that was not undone", Want: "hole surveys of the shell before and after the work"},
}}

var originalSubject = Subject{Name: "original", Entry: true, Words: "a found part that is off the car", Facts: []Fact{
	{Name: "name", Kind: Text, Words: "its name", Want: "a name"},
	{Name: "tagged", Kind: YesNo, Words: "whether it bears a tag", Want: "its tag"},
	{Name: "located", Kind: YesNo, Words: "whether its place is known", Want: "a sighting of it in its place"},
	{Name: "condition_recorded", Kind: YesNo, Words: "whether its condition is recorded", Want: "its condition"},
	{Name: "photographed", Kind: YesNo, Words: "whether a photo shows it", Want: "a photo that names it"},
	{Name: "valued", Kind: YesNo, Words: "whether its value is recorded, as a sealed one", Want: "what it is worth"},
}}

// gatherOriginals goes through the found parts. Expendables count for nothing: nobody keeps a gasket.
func (f *Facts) gatherOriginals(t *thing) {
	var off []*thing
	var gone, kept []record.Ref
	for _, p := range ledger.All[record.Part](f.s) {
		if p.Body.Found == "no" || p.Body.Class == "expendable" {
			continue
		}
		st, ok := f.state.Part(p.ID)
		if !ok || st.Found == "no" || st.Found == "" {
			continue
		}
		switch st.Where.Place {
		case replay.Gone:
			gone = append(gone, p.ID)
		case replay.OnCar:
			kept = append(kept, p.ID)
		default:
			kept = append(kept, p.ID)
			off = append(off, f.original(p, st))
		}
	}
	t.set("off", known{value: off})
	if len(gone) > 0 {
		t.is("all_kept", false, gone...)
	} else if len(kept) > 0 {
		t.is("all_kept", true, kept...)
	}
	f.putBack(t)
}

func (f *Facts) original(p ledger.Entry[record.Part], st replay.PartState) *thing {
	one := &thing{subject: &originalSubject, name: p.Name(), facts: map[string]known{}}
	one.is("name", p.Name(), p.ID)
	one.is("tagged", p.Body.Tag != "", p.ID)
	switch {
	case f.state.MissedBy(p.ID) != replay.NoStep:
		one.lacks("located", Doubtful, "a stock-take did not find it", p.ID)
	case st.Where.Place == replay.InStore || st.Where.Place == replay.WithSomeone:
		one.is("located", true, p.ID)
	default:
		one.lacks("located", Absent, "the records say no more than that it is "+st.Where.Place.String(), p.ID)
	}
	one.is("condition_recorded", len(p.Body.Condition) > 0, p.ID) // what is asked is the record itself, so its absence is an answer
	one.is("valued", p.Body.Value != "", p.ID)
	one.is("photographed", false, p.ID)
	if photo := f.photoOf(p); photo != "" {
		one.is("photographed", true, p.ID, photo)
	}
	return one
}

// photoOf finds a photo that shows a part, by its own word or by the part's.
func (f *Facts) photoOf(p ledger.Entry[record.Part]) record.Ref {
	for _, u := range f.s.Uses(p.ID) {
		if paper, ok := u.From.Body.(*record.Paper); ok && paper.Class == "photo" && replay.StandingOf(f.s, u.From) {
			return u.From.ID
		}
	}
	refs := slices.Clone(p.Body.Papers)
	for _, c := range p.Body.Condition {
		refs = append(refs, c.Paper)
	}
	for _, n := range p.Body.Numbers {
		refs = append(refs, n.Paper)
	}
	for _, ref := range refs {
		if paper, ok := ledger.Get[record.Paper](f.s, ref); ok && paper.Body.Class == "photo" {
			return paper.ID
		}
	}
	return ""
}

// putBack takes the reversal statement of the root baseline.
func (f *Facts) putBack(t *thing) {
	s, err := reversal.Make(f.work, reversal.Options{On: f.day})
	if err != nil {
		return
	}
	switch {
	case s.Outcome == reversal.CannotSay:
		t.lacks("can_go_back", Absent, "the reversal statement: "+s.Outcome.String(), s.Against...)
	default:
		t.set("can_go_back", known{value: s.Outcome < reversal.NotFully, records: append(slices.Clone(s.Against), s.For...)})
	}
	for _, l := range s.Lines {
		if l.Topic != reversal.Structure {
			continue
		}
		switch {
		case l.Outcome == reversal.CannotSay:
			t.lacks("shell_unaltered", Absent, "the reversal statement: "+l.Text)
		default:
			t.is("shell_unaltered", l.Outcome < reversal.Traces, recordsIn(l)...)
		}
	}
}

// recordsIn lists the records for and against a line of the statement.
func recordsIn(l reversal.Line) []record.Ref {
	var refs []record.Ref
	for _, r := range l.Reasons {
		refs = append(refs, r.Records...)
	}
	for _, s := range l.For {
		refs = append(refs, s.Record)
	}
	if len(refs) == 0 {
		refs = append(refs, record.Ref("car")) // the baseline, which no work of the conversion touched here
	}
	return refs
}
