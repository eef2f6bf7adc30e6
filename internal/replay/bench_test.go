package replay_test

import (
	"fmt"
	"testing"
	"time"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// orderly builds a car on which the given number of lines was done: eight to a session, two sessions a day, a part taken
// off, stored, refitted and tightened in turn, a third as many parts and joints as lines.
func orderly(lines int) *ledger.Snapshot {
	b := newBench("parts/shell")
	parts := max(lines/3, 8)
	for i := range parts {
		b.part(record.Ref(fmt.Sprintf("parts/p%d", i)), record.Part{Found: "yes", Position: fmt.Sprintf("spot %d", i)})
		b.joint(record.Ref(fmt.Sprintf("joints/j%d", i)), record.Joint{Clamps: []record.Ref{record.Ref(fmt.Sprintf("parts/p%d", i)), record.Ref(fmt.Sprintf("parts/p%d", i/2))}})
	}
	start := time.Date(2026, 1, 5, 8, 0, 0, 0, time.UTC)
	for s := range lines / 8 {
		at := start.Add(time.Duration(s/2)*24*time.Hour + time.Duration(s%2)*4*time.Hour)
		w := record.Session{Started: record.Date(at.Format(time.RFC3339)), Ended: record.Date(at.Add(3 * time.Hour).Format(time.RFC3339))}
		for i := range 2 {
			p := record.Ref(fmt.Sprintf("parts/p%d", (2*s+i)%parts))
			j := record.Ref(fmt.Sprintf("joints/j%d", (2*s+i)%parts))
			w.Lines = append(w.Lines, record.Line{Act: "removal", Parts: []record.Ref{p}, Store: "stores/tallow-lane/loft", Fasteners: 4},
				record.Line{Act: "sighting", Parts: []record.Ref{p}, Store: "stores/tallow-lane/loft"},
				record.Line{Act: "fitting", Parts: []record.Ref{p}},
				record.Line{Act: "tightening", Parts: []record.Ref{p}, Joints: []record.Ref{j}})
		}
		b.work(record.Ref(fmt.Sprintf("work/%s-ines-s%d", at.Format("2006-01-02"), s)), w)
	}
	return b.load()
}

func BenchmarkReplay(b *testing.B) {
	for _, lines := range []int{300, 3_000, 30_000} {
		snapshot := orderly(lines)
		replay.Of(snapshot)
		b.Run(fmt.Sprintf("lines=%d", lines), func(b *testing.B) {
			for b.Loop() {
				replay.Of(snapshot)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(lines), "ns/line")
		})
	}
}

// BenchmarkLaterSession replays after one more session on the last day.
func BenchmarkLaterSession(b *testing.B) {
	for _, lines := range []int{300, 3_000, 30_000} {
		less, more := orderly(lines-8), orderly(lines)
		w := replay.Of(less)
		b.Run(fmt.Sprintf("lines=%d", lines), func(b *testing.B) {
			for b.Loop() {
				w.With(more)
			}
		})
	}
}

// shape says which sessions a session states to come after.
type shape func(s int) []int

var (
	chain shape = func(s int) []int { return []int{s - 1} }
	// comb has every second session stand alone on one before it, which nothing names: a tooth.
	comb shape = func(s int) []int {
		if s%2 == 1 {
			return []int{s - 1}
		}
		return []int{s - 2}
	}
	// rake has every second session named by the next one and naming nothing: what came first is stated one by one.
	rake shape = func(s int) []int {
		if s%2 == 1 {
			return nil
		}
		return []int{s - 1, s - 2}
	}
	// ladder has two benches that wait for each other at every step.
	ladder shape = func(s int) []int { return []int{s - 2 - s%2, s - 1 - s%2} }
)

// undated builds a car on which the given number of lines was done at times that nobody wrote down: four to a session. Each part
// comes off early and goes back on late.
func undated(lines int, after shape) *ledger.Snapshot {
	b := newBench("parts/shell")
	sessions := lines / 4
	parts := max(sessions/2, 1) * 4
	for i := range parts {
		b.part(record.Ref(fmt.Sprintf("parts/p%d", i)), record.Part{Found: "yes"})
	}
	name := func(s int) record.Ref { return record.Ref(fmt.Sprintf("work/0000-00-00-ines-s%05d", s)) }
	for s := range sessions {
		w := record.Session{Entered: "2026-05-01"}
		for _, a := range after(s) {
			if a >= 0 {
				w.After = append(w.After, name(a))
			}
		}
		for i := range 4 {
			act := "removal"
			if 4*s+i >= parts {
				act = "fitting"
			}
			w.Lines = append(w.Lines, record.Line{Act: act, Parts: []record.Ref{record.Ref(fmt.Sprintf("parts/p%d", (4*s+i)%parts))}})
		}
		b.work(name(s), w)
	}
	return b.load()
}

// BenchmarkUndated replays work whose order only the sessions state.
func BenchmarkUndated(b *testing.B) {
	for name, after := range map[string]shape{"chain": chain, "comb": comb, "rake": rake, "ladder": ladder} {
		for _, lines := range []int{300, 3_000, 30_000} {
			snapshot := undated(lines, after)
			replay.Of(snapshot) // reads the records, which is no matter of replay
			b.Run(fmt.Sprintf("%s/lines=%d", name, lines), func(b *testing.B) {
				for b.Loop() {
					replay.Of(snapshot)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(lines), "ns/line")
			})
		}
	}
}
