package requirement

import (
	"io"

	"boltback/internal/finding"
)

// encoded is an assessment as other programs read it.
type encoded struct {
	Format string `json:"format"`
	encodedSide
	Results []encodedResult `json:"results"`
}

// encodedSide says which set in which edition was held against the car, whose copies count in it, and for which day.
type encodedSide struct {
	Set     string   `json:"set"`
	Title   string   `json:"title"`
	Edition string   `json:"edition"`
	Own     []string `json:"own,omitempty"`
	Day     string   `json:"day,omitempty"`
	Head    []string `json:"head,omitempty"`
}

type encodedResult struct {
	Item        string              `json:"item"`
	Title       string              `json:"title"`
	Outcome     Outcome             `json:"outcome"`
	Reason      string              `json:"reason,omitempty"`
	Edition     string              `json:"edition,omitempty"`
	Clause      string              `json:"clause,omitempty"`
	Source      string              `json:"source,omitempty"`
	Basis       string              `json:"basis,omitempty"`
	Rule        string              `json:"rule,omitempty"`
	Judge       string              `json:"judge,omitempty"`
	WrongAccept *float64            `json:"wrong-accept,omitempty"`
	Records     []string            `json:"records,omitempty"`
	Workings    []string            `json:"workings,omitempty"`
	Gaps        []encodedGap        `json:"gaps,omitempty"`
	Compared    []encodedComparison `json:"compared,omitempty"`
}

type encodedGap struct {
	Kind GapKind `json:"kind"`
	Fact string  `json:"fact"`
	Why  string  `json:"why,omitempty"`
	Want string  `json:"want,omitempty"`
}

type encodedComparison struct {
	Fact    string `json:"fact"`
	Outcome string `json:"outcome"`
	Reason  string `json:"reason"`
}

// Encode writes assessments as a JSON list, one object a set.
func Encode(w io.Writer, day string, list []*Assessment) error {
	all := []encoded{}
	for _, a := range list {
		e := encoded{encodedSide: encodeSide(a, day), Format: "boltback assessment 1", Results: []encodedResult{}}
		for i := range a.Results {
			e.Results = append(e.Results, encodeResult(&a.Results[i]))
		}
		all = append(all, e)
	}
	return finding.WriteJSON(w, all)
}

func encodeSide(a *Assessment, day string) encodedSide {
	return encodedSide{Set: a.Set.Name, Title: a.Set.Title(), Edition: a.Set.Body.Edition, Own: a.Set.Own, Day: day, Head: a.Set.Head}
}

func encodeResult(r *Result) encodedResult {
	it := r.Item
	e := encodedResult{Item: it.ID(), Title: it.Title, Outcome: r.Outcome, Reason: r.Reason, Edition: it.Edition, Clause: it.Clause, Source: it.Source.Document, Basis: it.Basis(),
		Rule: string(it.Rule), Judge: it.Judge, Workings: r.Workings}
	if p, ok := r.WrongAccept(); ok && r.Outcome == Met {
		e.WrongAccept = &p
	}
	for _, ref := range r.Records {
		e.Records = append(e.Records, string(ref))
	}
	for _, g := range r.Gaps {
		e.Gaps = append(e.Gaps, encodedGap{g.Kind, g.Fact, g.Why, g.Want})
	}
	for _, c := range r.Comparisons {
		e.Compared = append(e.Compared, encodedComparison{c.Fact, string(c.Decision.Outcome), c.Decision.Reason})
	}
	return e
}
