package workings

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/edtf"
)

// Licence is what somebody may sign, and when.
type Licence struct {
	Name        string
	Scope       []string
	From, Until edtf.Date
}

// Signature is a signature under a certificate or test.
type Signature struct {
	What, By string
	On       edtf.Date
	Covers   []string // the subjects that are signed for: brakes, structure
	Licences []Licence
	Depends  []string // what rests on it
	// Recheck says that it is the recheck of work that somebody else had tested.
	Recheck bool
}

// Authority holds a signature against the licences of who signed: the day lies in
// the term, and the subject in the scope. The document is kept whatever comes
// out; what rests on it is named.
func Authority(id string, g Signature) Working {
	s := begin(Custody, "authority "+id, "Authority of the signature: "+g.What)
	s.source("a signature counts within term and scope of the licence", Habit)
	if len(g.Licences) == 0 {
		s.missing("a licence of " + orNot(g.By))
		return s.done()
	}
	for _, subject := range g.Covers {
		s.signed(g, subject)
	}
	if len(g.Covers) == 0 {
		s.missing("what the signature covers")
		return s.done()
	}
	if g.Recheck {
		s.note("A recheck signed by another person: who signs it answers for the whole car, and not for the line that was put right.")
	}
	for _, l := range g.Licences {
		s.say("On record: "+l.Name+".", "from "+orNot(l.From.Text())+" to "+orNot(l.Until.Text())+", for "+strings.Join(l.Scope, ", "))
	}
	switch s.w.Worst() {
	case Met:
		s.conclude("within term and scope")
	default:
		s.conclude("flagged; the document is kept")
		if len(g.Depends) > 0 {
			s.note("On it rest: %s.", strings.Join(g.Depends, ", "))
		}
	}
	return s.done()
}

// signed judges one subject: a licence for it that ran on the day; where there is
// none for it, the scope is flagged and the term of what there is.
func (s *sheet) signed(g Signature, subject string) {
	term, scope := edtf.No, false
	for _, l := range g.Licences {
		covers := slices.Contains(l.Scope, subject)
		if covers && !scope {
			term = edtf.No
		}
		if covers || !scope {
			term = better(term, within(g.On, l))
		}
		scope = scope || covers
	}
	s.verdict(termVerdict(g, subject, term))
	v := Verdict{Of: "scope: " + subject, Against: "a licence for it", Outcome: Met, Reason: "the licence covers it"}
	if !scope {
		v.Outcome, v.Reason = NotMet, fmt.Sprintf("signed for %s without a licence for it: the scope is flagged, not the date", subject)
	}
	s.verdict(v)
}

func termVerdict(g Signature, subject string, term edtf.Answer) Verdict {
	v := Verdict{Of: "term: " + subject, Against: "the licence on " + orNot(g.On.Text()), Outcome: Met, Reason: "signed within its term"}
	switch term {
	case edtf.No:
		v.Outcome, v.Reason = NotMet, "signature outside authority: the licence did not run on that day"
	case edtf.Perhaps:
		v.Outcome, v.Reason = EvidenceMissing, "whether the licence ran on that day is not certain"
	}
	return v
}

// within answers whether a day lies from the first to the last day of a licence.
func within(on edtf.Date, l Licence) edtf.Answer {
	day := on.Calendar()
	if day.IsZero() {
		return edtf.Perhaps
	}
	answer := edtf.Yes
	for _, end := range []struct {
		date  edtf.Date
		wrong edtf.Order
	}{{l.From, edtf.Before}, {l.Until, edtf.After}} {
		if end.date.IsZero() {
			continue
		}
		switch edtf.Compare(day, end.date.Calendar()) {
		case end.wrong:
			return edtf.No
		case edtf.Overlap, edtf.Unknown:
			answer = edtf.Perhaps
		}
	}
	return answer
}

func better(a, b edtf.Answer) edtf.Answer {
	rank := map[edtf.Answer]int{edtf.No: 0, edtf.Perhaps: 1, edtf.Yes: 2}
	if rank[b] > rank[a] {
		return b
	}
	return a
}

// PaperDate reads the date on a paper. Where day and month cannot be told apart
// both candidates are kept, and it sorts as the span of both.
func PaperDate(id, text, country string, others ...string) Working {
	s := begin(Custody, "date "+id, "Date on a paper: "+text)
	s.source("day first or month first by the country of the paper, or by another date on it", Habit)
	d, err := edtf.ReadDocument(text, country, others...)
	if err != nil {
		s.missing(err.Error())
		return s.done()
	}
	for _, r := range d.Readings {
		s.say("One reading.", r.Date.Text()+": "+r.Words)
	}
	if d.Settled() {
		s.conclude("%s: %s", d.Date, d.Reason)
	} else {
		s.conclude("%s, one of which is meant: %s", d.Date, d.Reason)
		s.missing("the country of the paper, or another date on it")
	}
	return s.done()
}
