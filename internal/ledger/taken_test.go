package ledger

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"boltback/internal/edtf"
	"boltback/internal/record"
)

// photos is a car with the given papers, as their members.
func photos(t *testing.T, papers map[string]string) *Snapshot {
	t.Helper()
	files := map[string]string{}
	for name, members := range papers {
		files["papers/"+name+".json"] = `{"kind": "paper", ` + members + "}"
	}
	return load(t, files)
}

func takenOf(t *testing.T, s *Snapshot, name string) Taken {
	t.Helper()
	p, ok := Get[record.Paper](s, record.Ref("papers/"+name))
	if !ok {
		t.Fatalf("there is no %s", name)
	}
	return s.TakenOf(p.Body)
}

const clockShown = `"camera": "7c21d04e", "embedded": "2026-03-02T07:51:00", "claimed": "2026-03-02T08:04:00Z"`

func TestC46APhotoOfAClockSetsACamerasTimesRight(t *testing.T) {
	s := photos(t, map[string]string{
		"clock": clockShown + `, "clock": "papers/clock"`,
		"bay":   `"camera": "7c21d04e", "embedded": "2026-03-02T08:21:30", "clock": "papers/clock"`,
		"alone": `"camera": "7c21d04e", "embedded": "2026-03-02T08:21:30"`,
		"bare":  `"received": "2026-03-02"`,
	})
	bay := takenOf(t, s, "bay")
	if bay.Date.Text() != "2026-03-02T08:34:30Z" || bay.Proof != "papers/clock" || bay.Behind != 13*time.Minute || bay.Doubt != "" {
		t.Errorf("%+v", bay)
	}
	if clock := takenOf(t, s, "clock"); clock.Date.Text() != "2026-03-02T08:04:00Z" {
		t.Errorf("%+v", clock) // it is its own proof
	}
	if alone := takenOf(t, s, "alone"); alone.Date.Text() != "2026-03-02T08:21:30" || alone.Proof != "" || alone.Doubt != "" {
		t.Errorf("%+v", alone)
	}
	if bare := takenOf(t, s, "bare"); !bare.Date.IsZero() {
		t.Errorf("%+v", bare)
	}
}

func TestC46AClockThatProvesNothingLeavesTheCamerasTimeAndSaysWhy(t *testing.T) {
	const bay = `"embedded": "2026-03-02T08:21:30", "clock": "papers/clock"`
	for why, papers := range map[string][2]string{
		"it was not taken with the same camera":         {`"camera": "11111111", ` + bay, clockShown},
		"it is not there, or was withdrawn":             {`"camera": "7c21d04e", "embedded": "2026-03-02T08:21:30", "clock": "papers/gone"`, clockShown},
		"it does not say both":                          {`"camera": "7c21d04e", ` + bay, `"camera": "7c21d04e", "embedded": "2026-03-02T07:51:00"`},
		"it was taken more than a day before or after":  {`"camera": "7c21d04e", "embedded": "2026-03-04T08:21:30", "clock": "papers/clock"`, clockShown},
		"its times and this photo's cannot be held":     {`"camera": "7c21d04e", "embedded": "2026-03-02", "clock": "papers/clock"`, clockShown},
		"a time of day is missing, or only one of them": {`"camera": "7c21d04e", "embedded": "2026-03-02T08:21:30+01:00", "clock": "papers/clock"`, clockShown},
	} {
		s := photos(t, map[string]string{"bay": papers[0], "clock": papers[1]})
		if got := takenOf(t, s, "bay"); !strings.Contains(got.Doubt, why) || got.Proof != "" || got.Date.IsZero() {
			t.Errorf("%s: %+v", why, got)
		}
	}
}

// TestC49TimesWithoutAZoneAreIntervalsAlsoInTheNightInWhichClocksChange holds a photo whose camera tells no zone against one
// whose camera does, in the night of 29 March 2026 in which many clocks went from 2:00 to 3:00.
func TestC49TimesWithoutAZoneAreIntervalsAlsoInTheNightInWhichClocksChange(t *testing.T) {
	s := photos(t, map[string]string{
		"zoned": `"embedded": "2026-03-29T01:30:00+01:00"`,
		"local": `"embedded": "2026-03-29T03:10:00"`,
		"later": `"embedded": "2026-03-30T17:00:00"`,
	})
	zoned, local, later := takenOf(t, s, "zoned").Date, takenOf(t, s, "local").Date, takenOf(t, s, "later").Date
	if got := edtf.Compare(zoned, local); got == edtf.Before || got == edtf.After {
		t.Errorf("UTC was assumed: %v", got)
	}
	if got := edtf.Compare(zoned, later); got != edtf.Before {
		t.Errorf("what is certain in any zone was not said: %v", got)
	}
	earliest, _ := local.Earliest()
	latest, _ := local.Latest()
	if got := fmt.Sprint(latest.Sub(earliest)); got != "26h0m0s" {
		t.Errorf("it lies within %s", got)
	}
}
