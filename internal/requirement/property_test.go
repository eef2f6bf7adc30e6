package requirement_test

import (
	"fmt"
	"slices"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"boltback/internal/requirement"
)

// test is one insulation reading of the joined circuit.
type insulationTest struct {
	kiloohms, uncertainty int // uncertainty below 0 is not recorded
	day                   int // of April 2026
	onePole               bool
	voltage               int
}

func (i insulationTest) file(n int) (string, *fstest.MapFile) {
	value := fmt.Sprintf("%d kΩ", i.kiloohms)
	if i.uncertainty >= 0 {
		value = fmt.Sprintf("%d ±%d kΩ", i.kiloohms, i.uncertainty)
	}
	poles := "bridged"
	if i.onePole {
		poles = "+"
	}
	return fmt.Sprintf("readings/2026-04-%02d-t%d.json", i.day, n), file(fmt.Sprintf(`{"kind": "reading", "what": "insulation", "on": "2026-04-%02d", "values": [{"of": "to chassis", "value": "%s", "poles": "%s"}],
 "insulation": {"circuit": "joined", "state": "dead", "test-voltage": "%d V", "working-voltage": "400 V"}}`, i.day, value, poles, i.voltage))
}

func tests(list ...insulationTest) fstest.MapFS {
	fsys := fstest.MapFS{}
	for n, i := range list {
		name, f := i.file(n)
		fsys[name] = f
	}
	return fsys
}

const isolation = `insulation.joined >= q("500 Ω/V")`

// drawTest draws a reading whose value lies at or above a floor in kΩ; the limit lies at 200.
func drawTest(rt *rapid.T, least, most int) insulationTest {
	return insulationTest{rapid.IntRange(least, most).Draw(rt, "kΩ"), rapid.IntRange(-1, 60).Draw(rt, "U"), rapid.IntRange(1, 28).Draw(rt, "day"),
		rapid.Bool().Draw(rt, "one pole"), rapid.SampledFrom([]int{250, 500}).Draw(rt, "test voltage")}
}

func TestCorroboratingEvidenceNeverTurnsMetIntoMissing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		list := []insulationTest{{300, 10, 10, false, 500}}
		for range rapid.IntRange(1, 3).Draw(rt, "more") {
			list = append(list, drawTest(rt, 201, 500))
		}
		if r := ask(t, isolation, tests(list...)); r.Outcome != requirement.Met && !slices.ContainsFunc(list, func(i insulationTest) bool { return i.kiloohms+max(i.uncertainty, 0) < 200 }) {
			rt.Fatalf("%s: %s", r.Outcome, r.Reason)
		}
	})
}

func TestContradictingReadingsSettleNothing(t *testing.T) {
	r := ask(t, isolation, tests(insulationTest{300, 10, 10, false, 500}, insulationTest{100, 10, 11, false, 500}))
	if r.Outcome != requirement.EvidenceMissing || len(r.Gaps) != 1 || r.Gaps[0].Kind != requirement.Contradicts || len(r.Gaps[0].Records) != 2 {
		t.Errorf("%s: %v", r.Outcome, r.Gaps)
	}
}

func TestWideningAnUncertaintyNeverTurnsTooCloseIntoMet(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		one := insulationTest{rapid.IntRange(150, 260).Draw(rt, "kΩ"), rapid.IntRange(1, 60).Draw(rt, "U"), 1, false, 500}
		wider := one
		wider.uncertainty += rapid.IntRange(1, 60).Draw(rt, "wider by")
		before, after := ask(t, isolation, tests(one)).Outcome, ask(t, isolation, tests(wider)).Outcome
		if before != requirement.Met && after == requirement.Met || before == requirement.TooClose && after != requirement.TooClose {
			rt.Fatalf("%+v is %s, wider by that %s", one, before, after)
		}
	})
}

func TestTheOrderOfRecordsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var list []insulationTest
		for range rapid.IntRange(1, 4).Draw(rt, "readings") {
			list = append(list, drawTest(rt, 100, 400))
		}
		shuffled := rapid.Permutation(list).Draw(rt, "order")
		if a, b := ask(t, isolation, tests(list...)), ask(t, isolation, tests(shuffled...)); a.Outcome != b.Outcome {
			rt.Fatalf("%s, and in another order %s", a.Outcome, b.Outcome)
		}
	})
}

func TestWorkOnWhatAReadingDescribesMakesItStale(t *testing.T) {
	files := tests(insulationTest{300, 10, 10, false, 500})
	files["parts/inverter.json"] = file(`{"kind": "part", "name": "Inverter", "found": "no", "class": "single", "facets": ["traction circuit"]}`)
	files["work/2026-05-02-ada-inverter.json"] = file(`{"kind": "session", "name": "Inverter changed", "by": "people/reed-wharf/ada", "started": "2026-05-02", "ended": "2026-05-02", "lines": [{"act": "fitting", "parts": ["parts/inverter"]}]}`)
	r := ask(t, isolation, files)
	if r.Outcome != requirement.EvidenceMissing || r.Gaps[0].Kind != requirement.Stale || r.Gaps[0].Why == "" {
		t.Errorf("%s: %v", r.Outcome, r.Gaps)
	}
}

// TestC34OneReadingIsMetUnderOneLimitAndNotUnderAnother, and the comparison of the two sets names both.
func TestC34OneReadingIsMetUnderOneLimitAndNotUnderAnother(t *testing.T) {
	reading := fstest.MapFS{"readings/2026-04-01-t.json": file(`{"kind": "reading", "what": "insulation", "on": "2026-04-01", "values": [{"of": "to chassis", "value": "95 ±3 kΩ", "poles": "bridged"}],
 "insulation": {"circuit": "joined", "state": "dead", "test-voltage": "500 V", "working-voltage": "360 V"}}`)}
	if low, high := ask(t, `insulation.joined >= q("100 Ω/V")`, reading), ask(t, isolation, reading); low.Outcome != requirement.Met || high.Outcome != requirement.NotMet {
		t.Errorf("100 Ω/V: %s, 500 Ω/V: %s", low.Outcome, high.Outcome)
	}
}
