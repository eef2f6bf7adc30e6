package records

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
)

func TestEveryTighteningIsWithinSpecificationAndInstrument(t *testing.T) {
	f := factsOf(t)
	tightened := map[record.Ref]bool{}
	f.lines(func(id record.Ref, s *record.Session, l record.Line) {
		if l.Act != "tightening" {
			return
		}
		spec := f.joints[l.Joints[0]].Specification
		tightened[l.Joints[0]] = true
		if spec == nil {
			if l.Method != "by feel" {
				t.Errorf("%s: %s has no specification", id, l.Joints[0])
			}
			return
		}
		set, want := inUnit(t, l.Set, "N.m"), inUnit(t, spec.Torque, "N.m")
		if set < want*0.98 || set > want*1.02 {
			t.Errorf("%s: %s set to %.1f N.m, asked for %.1f N.m", id, l.Joints[0], set, want)
		}
		tool := f.all[l.Instrument].Body.(*record.Instrument)
		if lo, hi := inUnit(t, tool.Range.From, "N.m"), inUnit(t, tool.Range.To, "N.m"); set < lo || set > hi {
			t.Errorf("%s: %.1f N.m is outside the wrench", id, set)
		}
		if spec.SecondCheck == "required" && (l.SecondCheck == "" || l.SecondCheck == s.By) {
			t.Errorf("%s: %s lacks its second check", id, l.Joints[0])
		}
		if !calibrated(f.all, l.Instrument, string(s.Started)[:10]) {
			t.Errorf("%s: %s was out of calibration", id, l.Instrument)
		}
	})
	for id, j := range f.joints {
		if j.Original == "no" && !tightened[id] {
			t.Errorf("%s was never tightened", id)
		}
	}
}

func calibrated(all map[record.Ref]*record.Record, instrument record.Ref, day string) bool {
	for id, c := range of[record.Calibration](all) {
		if record.OwnerOf(id) == instrument && string(c.On) <= day && day <= string(c.Due) {
			return true
		}
	}
	return false
}

func TestEveryBagHoldsTheFastenersOfItsJoints(t *testing.T) {
	f := factsOf(t)
	inBag := map[string]int64{}
	for _, j := range f.joints {
		for _, x := range j.Fasteners {
			if x.Bag != "" {
				inBag[x.Bag] += x.Count
			}
		}
	}
	counted := map[string]int64{}
	f.lines(func(_ record.Ref, _ *record.Session, l record.Line) {
		if l.Act == "removal" && l.Bag != "" {
			counted[l.Bag] += l.Fasteners
		}
	})
	if !maps.Equal(inBag, counted) {
		t.Errorf("the joints say %v, the removals counted %v", inBag, counted)
	}
}

func TestEveryNewJointUsesWhatTheMakerLeft(t *testing.T) {
	f := factsOf(t)
	for id, j := range f.joints {
		if j.Original != "no" || j.Host == "" {
			continue
		}
		if j.PicksUp == "" && len(j.Uses) == 0 {
			t.Errorf("%s is on the body and uses no hole that was there", id)
		}
		if j.PicksUp != "" && f.joints[j.PicksUp].Original != "yes" {
			t.Errorf("%s picks up %s, which is no joint of the maker's", id, j.PicksUp)
		}
	}
	f.lines(func(id record.Ref, _ *record.Session, l record.Line) {
		if l.Act == "alteration" || l.Alteration != nil && l.Purpose == "conversion" {
			t.Errorf("%s alters the car for the conversion", id)
		}
	})
}

func TestHoleSurveysBeforeAndAfterFindTheSame(t *testing.T) {
	f := factsOf(t)
	for _, zone := range []string{"boot-floor", "engine-bay"} {
		before := f.readings[record.Ref("readings/2025-09-10-ines-holes-"+zone)]
		after := f.readings[record.Ref("readings/2026-06-11-edda-holes-"+zone)]
		if !slices.Equal(before.Values, after.Values) || !slices.Equal(before.Holes, after.Holes) {
			t.Errorf("%s: the surveys differ", zone)
		}
		var n int64
		for _, h := range before.Holes {
			e := f.all[h].Body.(*record.Existing)
			if e.What == "hole" || e.What == "captive nut" {
				n += e.Count
			}
		}
		if said := before.Values[len(before.Values)-1].Value; fmt.Sprint(n) != said {
			t.Errorf("%s: %d holes in the records, the survey says %s", zone, n, said)
		}
	}
}

func TestWhatCameOffWasSeenAtTheLastStockTake(t *testing.T) {
	f := factsOf(t)
	seen := map[record.Ref]record.Line{}
	at := map[record.Ref]record.Line{}
	f.lines(func(id record.Ref, _ *record.Session, l record.Line) {
		for _, p := range l.Parts {
			if l.Act == "sighting" && id == "work/2026-05-26-maud-stock-take" {
				seen[p] = l
			}
			if (l.Act == "removal" || l.Act == "move") && l.Store != "" {
				at[p] = l
			}
		}
	})
	_, stored := f.whereabouts()
	for p := range stored {
		if f.parts[p].Class == "expendable" {
			continue
		}
		if l, ok := seen[p]; !ok {
			t.Errorf("%s was not seen", p)
		} else if l.Store != at[p].Store || l.Place != at[p].Place {
			t.Errorf("%s was seen at %s, %s and put at %s, %s", p, l.Store, l.Place, at[p].Store, at[p].Place)
		}
		if f.parts[p].Tag == "" {
			t.Errorf("%s has no tag", p)
		}
	}
}

func TestWorkIsInOrderAndEndsAfterItStarts(t *testing.T) {
	for id, s := range factsOf(t).sessions {
		if string(s.Ended) <= string(s.Started) || !strings.HasPrefix(string(s.Started), record.PathDate(record.PathOf(id))) {
			t.Errorf("%s runs from %s to %s", id, s.Started, s.Ended)
		}
		if s.Entered != "" && string(s.Entered) < string(s.Ended) {
			t.Errorf("%s was entered before it ended", id)
		}
	}
}
