package requirement

import (
	"io"

	"boltback/internal/finding"
)

// encodedComparing is a comparison of two assessments as other programs read it.
type encodedComparing struct {
	Format  string           `json:"format"`
	Before  encodedSide      `json:"before"`
	After   encodedSide      `json:"after"`
	Flipped []encodedFlip    `json:"flipped"`
	Divided []encodedDivided `json:"divided"`
}

// encodedFlip has a side that is null where that side does not ask the item.
type encodedFlip struct {
	Why    string         `json:"why"`
	Fact   string         `json:"fact,omitempty"`
	Before *encodedResult `json:"before"`
	After  *encodedResult `json:"after"`
}

type encodedDivided struct {
	Reading string   `json:"reading"`
	Met     []string `json:"met"`
	NotMet  []string `json:"not-met"`
}

// EncodeCompared writes what flipped from one assessment to another and why, and the readings that divide them, as a JSON object.
func EncodeCompared(w io.Writer, before, after *Assessment) error {
	e := encodedComparing{Format: "boltback comparison 1", Before: encodeSide(before, before.Day.String()), After: encodeSide(after, after.Day.String()),
		Flipped: []encodedFlip{}, Divided: []encodedDivided{}}
	for _, f := range Compare(before, after) {
		e.Flipped = append(e.Flipped, encodedFlip{Why: f.Why(), Fact: f.Fact, Before: encodeAny(f.Before), After: encodeAny(f.After)})
	}
	for _, d := range Divide(before, after) {
		e.Divided = append(e.Divided, encodedDivided{string(d.Reading), itemsOf(d.Met), itemsOf(d.NotMet)})
	}
	return finding.WriteJSON(w, e)
}

func encodeAny(r *Result) *encodedResult {
	if r == nil {
		return nil
	}
	e := encodeResult(r)
	return &e
}

func itemsOf(list []*Result) []string {
	var ids []string
	for _, r := range list {
		ids = append(ids, r.Item.ID())
	}
	return ids
}
