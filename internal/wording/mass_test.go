package wording_test

import (
	"strings"
	"testing"

	"boltback/internal/record"
	"boltback/internal/wording"
)

const (
	before = record.Ref("readings/2025-09-12-bram-weighing-before")
	after  = record.Ref("readings/2026-05-06-bram-weighing")
	lane   = record.Ref("readings/2026-05-07-lane-weighing")
)

// weighing sets the figures of a weighing of the sample: front, rear, total.
func weighing(t *testing.T, c *car, id record.Ref, figures ...string) {
	t.Helper()
	edit(t, c, id, func(r *record.Reading) {
		r.Values = nil
		for i, of := range []string{"front axle", "rear axle", "total"} {
			r.Values = append(r.Values, record.Value{Of: of, Value: figures[i]})
		}
	})
}

func TestTheScalesDecideWhatMayBeSaidOfTheMass(t *testing.T) {
	for name, c := range map[string]struct {
		front, rear, total string
		heavier, split     wording.Standing
	}{
		"heavier than the scales can be wrong":         {"480.0 kg", "420.0 kg", "900.0 kg", wording.Contradicted, wording.Contradicted},
		"lighter than the scales can be wrong":         {"440.0 kg", "390.0 kg", "830.0 kg", wording.Supported, wording.Contradicted},
		"C15 lighter by less than the scales can tell": {"472.5 kg", "393.5 kg", "866.0 kg", wording.Withheld, wording.Supported},
		"as heavy to the digit":                        {"473.0 kg", "393.5 kg", "866.5 kg", wording.Withheld, wording.Supported},
		"a split at the edge of a point":               {"464.2 kg", "402.3 kg", "866.5 kg", wording.Withheld, wording.Withheld},
	} {
		t.Run(name, func(t *testing.T) {
			car := sampleCar(t)
			weighing(t, car, before, "473.0 kg", "393.5 kg", "866.5 kg")
			weighing(t, car, after, c.front, c.rear, c.total)
			list := phrases(t, car)
			for code, want := range map[string]wording.Standing{"no-heavier-than-found": c.heavier, "axle-split-as-found": c.split} {
				p := find(t, list, code+" ")
				if p.Standing != want {
					t.Errorf("%s is %s, want %s: %s", code, p.Standing, want, p.Why)
				}
				if supported := p.Standing == wording.Supported; supported != (len(p.For) == 2 && len(p.Against) == 0) {
					t.Errorf("%s is %s for %v, against %v", code, p.Standing, p.For, p.Against)
				}
			}
		})
	}
}

func TestWeighingsThatDoNotDescribeTheCarFoundAndTodaySupportNothing(t *testing.T) {
	lighter := func(t *testing.T) *car {
		c := sampleCar(t)
		weighing(t, c, after, "440.0 kg", "390.0 kg", "830.0 kg")
		return c
	}
	for name, c := range map[string]struct {
		change func(*testing.T, *car)
		why    string
	}{
		"another condition": {func(t *testing.T, c *car) {
			edit(t, c, before, func(r *record.Reading) {
				state := *r.Weighing
				state.Fuel = "full tank"
				r.Weighing = &state
			})
		}, "one and the same stated condition|before the first of two weighings"},
		"a figure that the driver stated": {func(t *testing.T, c *car) {
			edit(t, c, before, func(r *record.Reading) { r.Weighing.FigureBy = "driver" })
		}, "moved mass|had come off|same stated condition"},
		"a part came off before": {func(t *testing.T, c *car) {
			c.put("work/2025-09-11-bram-radiator", &record.Session{Head: record.Head{Kind: record.KindSession}, Started: "2025-09-11",
				Lines: []record.Line{{Act: "removal", Parts: []record.Ref{"parts/radiator"}}}})
		}, "before the first of two weighings"},
		"work since": {func(t *testing.T, c *car) {
			c.put("work/2026-06-01-bram-motor", &record.Session{Head: record.Head{Kind: record.KindSession}, Started: "2026-06-01",
				Lines: []record.Line{{Act: "removal", Parts: []record.Ref{"parts/motor"}}}})
		}, "work since the weighing of 2026-05-06 moved mass"},
		"no weighing": {func(_ *testing.T, c *car) {
			for path := range c.files {
				if strings.Contains(path, "weigh") && strings.HasPrefix(path, "readings/") {
					delete(c.files, path)
				}
			}
		}, "no two weighings"},
	} {
		t.Run(name, func(t *testing.T) {
			car := lighter(t)
			c.change(t, car)
			p := find(t, phrases(t, car), "no-heavier-than-found ")
			said := false
			for _, why := range strings.Split(c.why, "|") {
				said = said || strings.Contains(p.Why, why)
			}
			if p.Standing != wording.Withheld || !said || len(p.For) > 0 || p.Settle == "" {
				t.Errorf("%s for %v: %s", p.Standing, p.For, p.Why)
			}
		})
	}
}

func TestTheLastWeighingMayBeSaidUntilWorkMovesMass(t *testing.T) {
	c := sampleCar(t)
	if p := find(t, phrases(t, c), "weighed "); p.Standing != wording.Supported || !strings.Contains(p.Text, "901 kg on 2026-05-07, front axle 432 kg, rear axle 469 kg (condition kerb") {
		t.Errorf("%s: %s", p.Standing, p.Text)
	}
	weighing(t, c, lane, "432 kg", "469 kg", "950 kg")
	if p := find(t, phrases(t, c), "weighed "); p.Standing != wording.Withheld || !strings.Contains(p.Why, "one of the figures is wrong") {
		t.Errorf("axles that do not add up: %s, %s", p.Standing, p.Why)
	}
	weighing(t, c, lane, "432 kg", "469 kg", "901 kg")
	c.put("work/2026-06-01-bram-motor", &record.Session{Head: record.Head{Kind: record.KindSession}, Started: "2026-06-01", Lines: []record.Line{{Act: "removal", Parts: []record.Ref{"parts/motor"}}}})
	if p := find(t, phrases(t, c), "weighed "); p.Standing != wording.Withheld || len(p.For) > 0 {
		t.Errorf("after work: %s for %v", p.Standing, p.For)
	}
}
