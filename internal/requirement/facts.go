package requirement

import (
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/workings"
)

// Facts are what the records of one car say on a day, as expressions ask for it. A subject is worked out when it is first
// asked for; Facts are not for several goroutines.
type Facts struct {
	s     *ledger.Snapshot
	work  *replay.Work
	state *replay.State
	sums  *workings.Car
	day   edtf.Day
	stale map[record.Ref]replay.Description
	from  []source
	found map[string]*thing
	made  map[workings.Subject][]workings.Working
}

// Of prepares the facts of a car on a day; no day is all that is recorded.
func Of(work *replay.Work, day edtf.Day) *Facts {
	return &Facts{s: work.Snapshot(), work: work, state: work.On(day), sums: workings.Of(work, day, nil), day: day, from: sources(),
		found: map[string]*thing{}, made: map[workings.Subject][]workings.Working{}}
}

// source is a subject with where its facts come from.
type source struct {
	subject *Subject
	gather  func(*Facts, *thing)
}

// sources is the one list of subjects. What lists hold has no gatherer of its own.
func sources() []source {
	return []source{
		{&carSubject, (*Facts).gatherCar},
		{&insulationSubject, (*Facts).gatherInsulation},
		{&tractionSubject, (*Facts).gatherTraction},
		{&caseSubject, nil},
		{checkSubject(), (*Facts).gatherChecks},
		{fittedSubject(), (*Facts).gatherFitted},
		{removedSubject(), (*Facts).gatherRemoved},
		{&massSubject, (*Facts).gatherMass},
		{&axleSubject, nil},
		{&jointsSubject, (*Facts).gatherJoints},
		{&jointSubject, nil},
		{&pullSubject, nil},
		{&toolSubject, nil},
		{certificatesSubject(), (*Facts).gatherCertificates},
		{&certificateSubject, nil},
		{&formsSubject, (*Facts).gatherForms},
		{&formSubject, nil},
		{&labelsSubject, (*Facts).gatherLabels},
		{&originalsSubject, (*Facts).gatherOriginals},
		{&originalSubject, nil},
		{&conversionSubject, (*Facts).gatherConversion},
		{&componentSubject, nil},
	}
}

// Subjects lists the subjects of the language with their facts.
func Subjects() []*Subject {
	var list []*Subject
	for _, s := range sources() {
		list = append(list, s.subject)
	}
	return list
}

// about gives a subject with its facts, or nil where there is none of that name.
func (f *Facts) about(name string) *thing {
	if t, ok := f.found[name]; ok {
		return t
	}
	for _, s := range f.from {
		if s.subject.Name == name && s.gather != nil {
			t := &thing{subject: s.subject, facts: map[string]known{}}
			f.found[name] = t
			s.gather(f, t)
			return t
		}
	}
	return nil
}

// workings gives the workings of a subject on which a fact may rest, made once and only where a fact asks for them.
func (f *Facts) workings(subject workings.Subject) []workings.Working {
	if _, ok := f.made[subject]; !ok {
		f.made[subject] = f.sums.Judged(subject)
	}
	return f.made[subject]
}

// byToday reports whether a date may lie on or before the day asked for.
func (f *Facts) byToday(d record.Date) bool {
	return f.day.IsZero() || d == "" || edtf.Compare(dateOf(d).Calendar(), edtf.Of(f.day)) != edtf.After
}

// readings lists the readings of a kind that count and were taken by the day.
func (f *Facts) readings(what string) []ledger.Entry[record.Reading] {
	var list []ledger.Entry[record.Reading]
	for _, r := range ledger.All[record.Reading](f.s) {
		if r.Body.What == what && f.byToday(r.Body.On) {
			list = append(list, r)
		}
	}
	return list
}

// staleness says in words what work made a reading, sign-off or certificate stale, or "" where it still describes the car.
// Perhaps stale counts as stale: evidence in doubt is no evidence.
func (f *Facts) staleness(ref record.Ref) string {
	if f.stale == nil {
		f.stale = map[record.Ref]replay.Description{}
		for _, d := range replay.Staleness(f.work, f.day) {
			f.stale[d.Record] = d
		}
	}
	worst := replay.StillGood
	words := ""
	for _, one := range f.stale[ref].Facets {
		if one.Fresh > worst {
			worst, words = one.Fresh, one.Text
		}
	}
	return words
}

// onCar lists the parts that are on the car, by name.
func (f *Facts) onCar() []ledger.Entry[record.Part] {
	var list []ledger.Entry[record.Part]
	for _, p := range ledger.All[record.Part](f.s) {
		if st, ok := f.state.Part(p.ID); ok && st.Where.Place == replay.OnCar {
			list = append(list, p)
		}
	}
	return list
}

// factName is a word of the schema as expressions write it: "drive-away lock" is drive_away_lock.
func factName(word string) string {
	return strings.NewReplacer(" ", "_", "-", "_", ",", "", "'", "").Replace(word)
}

// short is the last element of a record's name.
func short(ref record.Ref) string { return string(ref)[strings.LastIndexByte(string(ref), '/')+1:] }

// Day is the day on which the facts are taken; no day is all that is recorded.
func (f *Facts) Day() edtf.Day { return f.day }
