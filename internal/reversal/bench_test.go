package reversal_test

import (
	"fmt"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// stripped builds a car of n found parts, three to a subtree, all taken off and stored, and half as many new ones fitted.
func stripped(n int) *replay.Work {
	b := newBench()
	var baseline []record.BaselinePart
	for i := range n {
		p := record.Ref(fmt.Sprintf("parts/f%05d", i))
		j := record.Joint{Clamps: []record.Ref{p}, Host: "shell", Original: "yes", Fasteners: []record.Fastener{{What: "bolt", Count: 2, SingleUse: "no"}}}
		if i%3 != 0 {
			j.Host, j.Clamps = "", append(j.Clamps, record.Ref(fmt.Sprintf("parts/f%05d", i-1)))
		}
		b.part(p, record.Part{Found: "yes", Position: fmt.Sprintf("spot %d", i)})
		b.joint(record.Ref(fmt.Sprintf("joints/f%05d", i)), j)
		baseline = append(baseline, record.BaselinePart{Part: p, Position: fmt.Sprintf("spot %d", i), Evidence: "seen"})
	}
	b.car(record.Car{Root: "parts/shell", Baseline: &record.Baseline{Name: "as found", On: "2026-01-02", Parts: baseline}})
	for i := n - 1; i >= 0; i -= 5 {
		var lines []record.Line
		for k := i; k > i-5 && k >= 0; k-- {
			lines = append(lines, record.Line{Act: "removal", Parts: []record.Ref{record.Ref(fmt.Sprintf("parts/f%05d", k))}, Store: "stores/tallow-lane/loft", Fasteners: 2})
		}
		if new := i / 5 * 3; new < n && new%3 == 0 {
			part, joint := record.Ref(fmt.Sprintf("parts/n%05d", new)), record.Ref(fmt.Sprintf("joints/n%05d", new))
			b.part(part, record.Part{Found: "no"})
			b.joint(joint, record.Joint{Clamps: []record.Ref{part}, Host: "shell", Original: "no", PicksUp: record.Ref(fmt.Sprintf("joints/f%05d", new)), Fasteners: []record.Fastener{{What: "bolt", Count: 2}}})
			lines = append(lines, record.Line{Act: "fitting", Parts: []record.Ref{part}, Joints: []record.Ref{joint}})
		}
		w := record.Session{Lines: lines}
		if i < n-1 {
			w.After = []record.Ref{record.Ref(fmt.Sprintf("work/2026-01-05-ines-s%05d", n-(i+5)))}
		}
		b.work(record.Ref(fmt.Sprintf("work/2026-01-05-ines-s%05d", n-i)), w)
	}
	return replay.Of(b.load())
}

func BenchmarkStatement(b *testing.B) {
	for _, parts := range []int{30, 300, 3_000} {
		w := stripped(parts)
		b.Run(fmt.Sprintf("parts=%d", parts), func(b *testing.B) {
			for b.Loop() {
				if _, err := reversal.Make(w, reversal.Options{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(parts), "ns/part")
		})
	}
}
