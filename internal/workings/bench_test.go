package workings

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/replay"
)

// worked is a car on which the given number of lines was done: eight to a session,
// two sessions a day, an old part off and stored and a new one in its place,
// tightened and looked at again, each with its mass and place; weighed before and
// after it all.
func worked(tb testing.TB, lines int) *Car {
	tb.Helper()
	files := fstest.MapFS{}
	add := func(path, text string) { files[path] = &fstest.MapFile{Data: []byte(text)} }
	add("ledger.json", `{"kind": "ledger", "edition": "1"}`)
	add("parts/shell.json", `{"kind": "part", "found": "yes", "class": "assembly"}`)
	add("instruments/w/wrench/instrument.json", `{"kind": "instrument", "name": "Wrench", "class": "torque wrench, click", "accuracy": "±4 % of reading", "range": {"from": "5 N.m", "to": "25 N.m"}}`)
	add("instruments/w/wrench/calibration-2025.json", `{"kind": "calibration", "on": "2025-12-01", "due": "2060-12-01", "as-found": "in tolerance", "as-left": "in tolerance"}`)
	start, pairs := time.Date(2026, 1, 5, 8, 0, 0, 0, time.UTC), lines/4
	var baseline []string
	for i := range pairs {
		at := start.Add(time.Duration(i/4)*24*time.Hour + time.Duration(i/2%2)*4*time.Hour)
		station := fmt.Sprintf("%d mm", 100+7*i%2800)
		add(fmt.Sprintf("parts/old-%05d.json", i), fmt.Sprintf(`{"kind": "part", "name": "Old %d", "found": "yes", "class": "single", "mass": "1.2 ±0.1 kg", "station": %q}`, i, station))
		add(fmt.Sprintf("parts/new-%05d.json", i), fmt.Sprintf(`{"kind": "part", "name": "New %d", "found": "no", "class": "single", "mass": "1.3 ±0.1 kg", "station": %q}`, i, station))
		add(fmt.Sprintf("joints/j-%05d.json", i), fmt.Sprintf(`{"kind": "joint", "name": "Joint %d", "clamps": ["parts/new-%05d"], "host": "shell", "fasteners": [{"what": "bolt", "size": "M8 x 1.25 x 20", "class": "8.8", "count": 2}], "specification": {"torque": "20 N.m", "tolerance": "10 %%"}}`, i, i))
		baseline = append(baseline, fmt.Sprintf(`{"part": "parts/old-%05d"}`, i))
		if i%2 == 1 {
			add(fmt.Sprintf("work/%s-a-%05d.json", at.Format("2006-01-02"), i), fmt.Sprintf(`{"kind": "session", "started": %q, "ended": %q, "entered": %q, "lines": [%s, %s]}`,
				at.Format(time.RFC3339), at.Add(3*time.Hour).Format(time.RFC3339), at.Add(4*time.Hour).Format(time.RFC3339), exchanged(i-1), exchanged(i)))
		}
	}
	last := start.Add(time.Duration(pairs/4+1) * 24 * time.Hour).Format("2006-01-02")
	add("car.json", `{"kind": "car", "wheelbase": "2310 mm", "root": "parts/shell", "baseline": {"on": "2026-01-01", "parts": [{"part": "parts/shell"}, `+strings.Join(baseline, ", ")+`]}}`)
	for _, day := range []string{"2026-01-02", last} {
		add("readings/"+day+"-a.json", fmt.Sprintf(`{"kind": "reading", "name": "Ticket of %s", "what": "weighing", "on": %q, "values": [{"of": "front axle", "value": "480 kg"}, {"of": "rear axle", "value": "520 kg"}, {"of": "total", "value": "1000 kg"}],
	  "weighing": {"condition": "kerb", "fuel": "none aboard", "driver": "not aboard", "division": "1 kg", "figure-by": "operator"}}`, day, day))
	}
	s, err := ledger.Load(files)
	if err != nil {
		tb.Fatal(err)
	}
	for _, f := range s.AllUnread() {
		tb.Fatalf("%s: %s", f.Path, f.Fault.Message)
	}
	return Of(replay.Of(s), edtf.NewDay(2059, 1, 1), nil)
}

// exchanged are the four lines about one pair of parts.
func exchanged(i int) string {
	return fmt.Sprintf(`{"act": "removal", "purpose": "conversion", "parts": ["parts/old-%05d"], "store": "stores/w/loft"}, {"act": "fitting", "purpose": "conversion", "parts": ["parts/new-%05d"]},
	  {"act": "tightening", "purpose": "conversion", "joints": ["joints/j-%05d"], "method": "click", "set": "20 N.m", "instrument": "instruments/w/wrench"}, {"act": "sighting", "parts": ["parts/old-%05d"], "store": "stores/w/loft"}`, i, i, i, i)
}

func TestTheCarOfTheBenchmarkIsWorkedOut(t *testing.T) {
	c := worked(t, 80)
	outcome(t, find(t, c, Joints, "tightened j-00003"), "torque", Met)
	about(t, resultOf(find(t, c, Mass, "predicted 2026-01-02-a to 2026-01-11-a"), "D"), 2, "kg", 1e-9) // 20 · 0.1 kg
	says(t, find(t, c, Custody, "hours sessions").Answer, "30.0 h recorded in 10 of 10 sessions")
}

func BenchmarkWorkings(b *testing.B) {
	for _, lines := range []int{300, 3_000, 30_000} {
		c := worked(b, lines)
		b.Run(fmt.Sprintf("lines=%d", lines), func(b *testing.B) {
			for b.Loop() {
				c.All()
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(lines), "ns/line")
		})
	}
}

func BenchmarkPictures(b *testing.B) {
	for _, lines := range []int{300, 3_000, 30_000} {
		c := worked(b, lines)
		b.Run(fmt.Sprintf("lines=%d", lines), func(b *testing.B) {
			for b.Loop() {
				for _, subject := range Subjects() {
					c.Pictures(subject)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(lines), "ns/line")
		})
	}
}
