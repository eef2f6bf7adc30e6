package requirement_test

import (
	"strings"
	"testing"

	"boltback/internal/edtf"
	"boltback/internal/requirement"
	"boltback/records"
)

func TestB14TheFinishedCarsDisclosureSaysWhatAnInsurerWouldStillMiss(t *testing.T) {
	a, _ := assessed(t, "tern-1500", "insurer-disclosure", edtf.NewDay(2026, 6, 20))
	own := map[requirement.Outcome][]string{}
	for _, r := range a.Results {
		if r.Item.Set == "insurer-disclosure" {
			own[r.Outcome] = append(own[r.Outcome], r.Item.RequirementItem.Item)
		}
	}
	want(t, own, requirement.Met, "battery-described battery-history")
	want(t, own, requirement.NotMet, "installation-photographed originals-inventoried originals-valued")
	want(t, own, requirement.EvidenceMissing, "who-signed")
	for _, r := range a.Results {
		if r.Item.RequirementItem.Item == "installation-photographed" && !strings.Contains(r.Reason, "Charge inlet") {
			t.Errorf("the part without a photo is not named: %s", r.Reason)
		}
	}
}

func TestWhetherAnItemAppliesIsNotKnownNamesTheGapThatWouldSettleIt(t *testing.T) {
	r := only(t, load(t, records.Requirements(), "us-california"), factsOf(t, empty(t)), "us-california/referee")
	if r.Outcome != requirement.EvidenceMissing || !strings.Contains(r.Reason, "whether it applies is not known: when the car was built or first used is not recorded") || len(r.Gaps) != 2 {
		t.Errorf("%s: %s, %d gaps", r.Outcome, r.Reason, len(r.Gaps))
	}
}

func TestTheFinishedCarUnderCaliforniaNeedsNoRefereeAndStillHasAFuelPipe(t *testing.T) {
	_, by := assessed(t, "tern-1500", "us-california", edtf.NewDay(2026, 6, 20))
	want(t, by, requirement.Met, "engine-removed exhaust-removed electric-drive")
	want(t, by, requirement.NotMet, "fuel-removed")
	want(t, by, requirement.DoesNotApply, "own-power referee statement-of-facts")
}
