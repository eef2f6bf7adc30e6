package signoff

import (
	"path"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// settle decides between current, stale and superseded.
func (j *judge) settle(r *record.Record, v *Verdict) {
	if v.Status == Void {
		return
	}
	standing, by := j.Ledger.StandingOf(r)
	switch standing {
	case ledger.Withdrawn:
		v.Other = by.ID
		*v = v.void(TakenBack, by.Body.Heading().Reason)
		return
	case ledger.Corrected:
		v.Status, v.Other = Superseded, by.ID
		return
	case ledger.Disputed, ledger.NotApplied:
		v.Disputed = true
	}
	if v.Status == Current && (len(v.Differences) > 0 || len(v.Touches) > 0) {
		v.Status = Stale
	}
}

// counter links counter-signatures, and says where the ledger asks for one.
func (j *judge) counter(verdicts []Verdict) {
	at := map[record.Ref]int{}
	for i, v := range verdicts {
		at[v.Record] = i
	}
	for _, over := range verdicts {
		r := j.Ledger.Record(over.Record)
		if !over.Valid() || over.Status == Superseded {
			continue
		}
		for _, c := range r.Body.(*record.SignOff).Covers {
			i, ok := at[c.Record]
			if !ok || verdicts[i].By == over.By || j.Ledger.Record(c.Record).Digest != c.Digest {
				continue
			}
			verdicts[i].Counters = append(verdicts[i].Counters, Counter{
				Record: over.Record, By: over.By, On: over.On, Entered: over.Entered, Outsider: path.Dir(string(over.By)) != path.Dir(string(verdicts[i].By)),
			})
		}
	}
	for i := range verdicts {
		v := &verdicts[i]
		v.Wanted = v.Status != Void && len(v.Counters) == 0 && slices.ContainsFunc(v.Facets, func(facet string) bool {
			return j.asksTwo(v, facet)
		})
	}
}

// asksTwo says whether the ledger asks for two signatures on a facet, today or
// when the sign-off came in: to ask no longer does not make up for it.
func (j *judge) asksTwo(v *Verdict, facet string) bool {
	return slices.Contains(j.Trust.RingAt(j.Head).Policy().TwoSignatures, facet) ||
		slices.Contains(j.ringFor(v).Policy().TwoSignatures, facet)
}
