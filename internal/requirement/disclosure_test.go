package requirement_test

import (
	"strings"
	"testing"

	"boltback/internal/edtf"
	"boltback/internal/requirement"
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

func TestTheFinishedCarUnderCaliforniaNeedsNoRefereeAndStillHasAFuelPipe(t *testing.T) {
	_, by := assessed(t, "tern-1500", "us-california", edtf.NewDay(2026, 6, 20))
	want(t, by, requirement.Met, "engine-removed exhaust-removed electric-drive")
	want(t, by, requirement.NotMet, "fuel-removed")
	want(t, by, requirement.DoesNotApply, "own-power referee statement-of-facts")
}
