package ledger

import (
	"time"

	"boltback/internal/edtf"
	"boltback/internal/record"
)

// Taken is when a photo was taken, as far as its file and a photo of a clock tell.
type Taken struct {
	// Date is the date inside the file, set right where a photo of a clock allows it; no date where the file has none.
	Date edtf.Date
	// Proof is the photo of a clock by which it was set right, "" where it was not.
	Proof record.Ref
	// Behind is how far the camera's clock was behind the clock in that photo; less than 0 is ahead.
	Behind time.Duration
	// Doubt says why the photo of a clock that the record names sets nothing right; "" where it does or none is named.
	Doubt string
}

// clockHolds is for how long a photo of a clock speaks for its camera: clocks are set, and stop with their batteries.
const clockHolds = 24 * time.Hour

// TakenOf tells when a photo was taken. What the file says is not changed by it: that still stands in the record.
func (s *Snapshot) TakenOf(p *record.Paper) Taken {
	shown, err := edtf.Parse(string(p.Embedded))
	if err != nil {
		return Taken{}
	}
	t := Taken{Date: shown}
	if p.Clock == "" {
		return t
	}
	current := s.Current(p.Clock)
	if current == nil {
		t.Doubt = "it is not there, or was withdrawn"
		return t
	}
	clock, ok := current.Body.(*record.Paper)
	if !ok {
		t.Doubt = "it is no paper"
		return t
	}
	seen, err1 := edtf.Parse(string(clock.Embedded))
	was, err2 := edtf.Parse(string(clock.Claimed))
	apart, near := edtf.Apart(seen, shown)
	right, set := shown.SetRight(seen, was)
	switch {
	case clock.Camera == "" || clock.Camera != p.Camera:
		t.Doubt = "it was not taken with the same camera"
	case err1 != nil || err2 != nil:
		t.Doubt = "it does not say both what its file's time is and what the clock in it showed"
	case !near || !set:
		t.Doubt = "its times and this photo's cannot be held against each other: a time of day is missing, or only one of them tells its zone"
	case apart > clockHolds || apart < -clockHolds:
		t.Doubt = "it was taken more than a day before or after"
	default:
		t.Date, t.Proof = right, current.ID
		t.Behind = behind(seen, was)
	}
	return t
}

// behind is how far one reading of a clock is behind another, as the hands show it.
func behind(seen, was edtf.Date) time.Duration {
	bare := func(d edtf.Date) edtf.Date {
		if !d.HasZone() || seen.HasZone() && was.HasZone() {
			return d
		}
		const civil = len("2026-03-02T08:04")
		text := d.Text()[:civil]
		if d.Precision() == edtf.ToSecond {
			text = d.Text()[:civil+len(":05")]
		}
		return edtf.MustParse(text)
	}
	apart, _ := edtf.Apart(bare(seen), bare(was))
	return apart
}
