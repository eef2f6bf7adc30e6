package replay

import (
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// LackSort says what is not on record though good practice at the bench asks for it.
type LackSort string

// What can be lacking, in the order of the job.
const (
	LackAsFound     LackSort = "as found"     // a reading of the car as it was found, from before anything came off
	LackPhoto       LackSort = "photo"        // a photo of a part in its place, from before it came off
	LackOtherSide   LackSort = "other side"   // the part of the other side, where one of a pair came off
	LackRepairPhoto LackSort = "repair photo" // a photo of a repair from before or while it was done
	LackSerial      LackSort = "serial"       // the serial number of a part bought for the conversion
	LackProvenance  LackSort = "provenance"   // a paper that says where such a part comes from
	LackBought      LackSort = "bought"       // the part that bears a serial number on an invoice
)

// Lack is one thing that is lacking: of a part or paper, or of the whole car.
type Lack struct {
	Sort  LackSort
	Thing record.Ref
	// Step is the line that it should have come before, or NoStep.
	Step Step
	// What names the reading or the number that is lacking.
	What string
}

// asFound are the readings by which a car is known before a spanner is put to it.
var asFound = []string{"weighing", "ride-height", "alignment", "brake-test", "compression", "distance", "hole-survey"}

// bought are the roles of parts that come with a serial number and a history.
var bought = []string{"motor", "inverter", "charger", "converter", "traction battery"}

// Lacking lists what is lacking on a day, in the order of the job, then by the thing. What no record asks for is not looked for.
func Lacking(w *Work, day Day) []Lack {
	l := &lacking{w: w, state: w.On(day), clock: clock{offsetOf(w.places())}, shown: map[record.Ref][]*record.Paper{}}
	l.readPapers()
	l.readings()
	l.takenOff()
	l.repairs()
	l.parts()
	l.invoices()
	return l.list
}

type lacking struct {
	w     *Work
	state *State
	clock clock
	shown map[record.Ref][]*record.Paper // by what they show, or by the record that names them
	list  []Lack
}

// places are the records in whose places the sessions stand.
func (w *Work) places() []*record.Record {
	var list []*record.Record
	for i := range w.book.sessions {
		list = append(list, w.book.sessions[i].place)
	}
	return list
}

func (l *lacking) add(sort LackSort, thing record.Ref, step Step, what string) {
	l.list = append(l.list, Lack{sort, thing, step, what})
}

// readPapers notes which papers show what, by the names that parts go by here.
func (l *lacking) readPapers() {
	for _, p := range standing[record.Paper](l.w.book.snapshot) {
		for _, ref := range p.Body.Shows {
			name := l.w.Name(ref)
			l.shown[name] = append(l.shown[name], p.Body)
		}
	}
	for i := range l.w.book.parts {
		if part := &l.w.book.parts[i]; part.body != nil {
			for _, ref := range part.body.Papers {
				l.shown[part.ref] = append(l.shown[part.ref], l.papers(ref)...)
			}
		}
	}
}

func (l *lacking) papers(refs ...record.Ref) []*record.Paper {
	var list []*record.Paper
	for _, ref := range refs {
		if p, ok := ledger.Get[record.Paper](l.w.book.snapshot, ref); ok {
			list = append(list, p.Body)
		}
	}
	return list
}

// firstWork is the first line that changed the car, or NoStep.
func (l *lacking) firstWork() Step {
	for n := range l.state.done {
		switch t := &l.w.seq.steps[n]; t.act {
		case removal, fitting, alteration, repair:
			if l.begun(t) {
				return Step(n)
			}
		}
	}
	return NoStep
}

// begun says that a line belongs to the state.
func (l *lacking) begun(t *step) bool { return l.by(l.w.seq.begins[t.session]) }

// by says that a moment lies before the end of the day asked about.
func (l *lacking) by(from int64) bool {
	return l.state.Day.IsZero() || from < dayStart(l.state.Day)+daySeconds
}

// readings lists the readings of the car as found that nobody took before the first work. After it, what is lacking stays so.
func (l *lacking) readings() {
	first := l.firstWork()
	taken := map[string]bool{}
	for _, r := range standing[record.Reading](l.w.book.snapshot) {
		from, _, dated := l.clock.bounds(r.Body.On)
		if dated && (first == NoStep && l.by(from) || first != NoStep && from < l.w.spanOf(first).to) {
			taken[r.Body.What] = true
		}
	}
	for _, what := range asFound {
		if !taken[what] {
			l.add(LackAsFound, "car", first, what)
		}
	}
}

// takenOff asks of each found part that came off for a photo from before, and for its counterpart.
func (l *lacking) takenOff() {
	first := map[int32]Step{}
	for n := range l.state.done {
		t := &l.w.seq.steps[n]
		for _, p := range t.parts {
			if _, seen := first[p]; !seen && t.act == removal && l.begun(t) && l.w.kept[0].parts[p].Where.Place == OnCar {
				first[p] = Step(n)
			}
		}
	}
	named := map[string]bool{}
	for i := range l.w.book.parts {
		named[strings.ToLower(l.w.book.called(l.w.book.parts[i].ref))] = true
	}
	for _, p := range l.byName(first) {
		ref := l.w.book.parts[p].ref
		if body := l.w.book.parts[p].body; body != nil && body.Class == "expendable" || p == l.w.book.root {
			continue
		}
		if !l.photographed(l.shown[ref], first[p]) {
			l.add(LackPhoto, ref, first[p], "")
		}
		if other := otherSide(l.w.book.called(ref)); other != "" && !named[other] {
			l.add(LackOtherSide, ref, first[p], other)
		}
	}
}

func (l *lacking) byName(of map[int32]Step) []int32 {
	var list []int32
	for p := range of {
		list = append(list, p)
	}
	slices.SortFunc(list, l.w.book.byName)
	return list
}

// photographed says that one of the papers is a photo that may have been taken before a line was done, or while it was: by the time
// in the file, else by the day it came in. A photo without a day shows nothing of the kind.
func (l *lacking) photographed(papers []*record.Paper, n Step) bool {
	return slices.ContainsFunc(papers, func(p *record.Paper) bool {
		date := p.Received
		if taken := l.w.book.snapshot.TakenOf(p); !taken.Date.IsZero() {
			date = record.Date(taken.Date.Text())
		}
		from, _, dated := l.clock.bounds(date)
		return p.Class == "photo" && dated && from < l.w.spanOf(n).to
	})
}

// otherSide gives a name in lower case with left for right, or the other way; "" where it says neither.
func otherSide(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == ' ' || r == ',' })
	switch lower := strings.ToLower(name); {
	case slices.Contains(words, "left"):
		return strings.Replace(lower, "left", "right", 1)
	case slices.Contains(words, "right"):
		return strings.Replace(lower, "right", "left", 1)
	}
	return ""
}

// repairs asks of each repair for a photo from before the surface was closed: one that its line names, or that shows its session.
func (l *lacking) repairs() {
	for n := range l.state.done {
		t := &l.w.seq.steps[n]
		if t.act != repair || !l.begun(t) {
			continue
		}
		session := l.w.book.sessions[t.session].place.ID
		papers := append(l.papers(t.body.Papers...), l.shown[session]...)
		for _, p := range t.parts {
			if p != l.w.book.root { // a photo of the shell need not show this place
				papers = append(papers, l.shown[l.w.book.parts[p].ref]...)
			}
		}
		if !l.photographed(papers, Step(n)) {
			l.add(LackRepairPhoto, session, Step(n), "")
		}
	}
}

// parts asks of each part bought for the conversion for its serial number and for a paper of where it comes from.
func (l *lacking) parts() {
	for _, info := range l.w.Parts() {
		s, _ := l.state.Part(info.Ref)
		if !slices.Contains(bought, info.Body.Role) || s.Found == "yes" || s.Found == foundInferred {
			continue
		}
		if len(serialsOf(info.Body.Numbers)) == 0 {
			l.add(LackSerial, info.Ref, NoStep, "")
		}
		if !slices.ContainsFunc(l.shown[info.Ref], func(p *record.Paper) bool { return p.Class != "photo" && p.Class != "" }) {
			l.add(LackProvenance, info.Ref, NoStep, "")
		}
	}
}

func serialsOf(numbers []record.Number) []string {
	var list []string
	for _, n := range numbers {
		if n.What == "serial" {
			list = append(list, n.Raw)
		}
	}
	return list
}

// invoices asks for the part behind each serial number that was bought: fitted, or in stock.
func (l *lacking) invoices() {
	var borne []string
	for _, info := range l.w.Parts() {
		borne = append(borne, serialsOf(info.Body.Numbers)...)
	}
	for _, p := range standing[record.Paper](l.w.book.snapshot) {
		for _, serial := range serialsOf(p.Body.Numbers) {
			if p.Body.Class == "invoice" && !slices.Contains(borne, serial) {
				l.add(LackBought, p.ID, NoStep, serial)
			}
		}
	}
}
