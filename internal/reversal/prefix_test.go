package reversal_test

import (
	"maps"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// firstLines gives the ledger as it was when only the first lines of the work, in the order of replay, had been done.
func (c *conversion) firstLines(w *replay.Work, most int) *bench {
	done := map[record.Ref]int{}
	for i := range most {
		done[w.Line(replay.Step(i)).Place.ID]++
	}
	b := &bench{files: maps.Clone(c.files)}
	for i := range w.Len() {
		l := w.Line(replay.Step(i))
		if n := done[l.Place.ID]; n == 0 {
			delete(b.files, record.PathOf(l.Place.ID))
			delete(b.files, record.PathOf(l.Session.ID))
		} else {
			body := *l.Work
			body.Lines = body.Lines[:n]
			b.work(l.Session.ID, body)
		}
	}
	return b
}

func TestEveryPrefixOfTheWorkHasAStatementAndItsOwnWayBack(t *testing.T) {
	midway := 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawConversion(t, 10, rapid.Bool().Draw(t, "lossy"))
		whole := replay.Of(c.load())
		for range 3 {
			n := rapid.IntRange(0, whole.Len()).Draw(t, "lines")
			w := replay.Of(c.firstLines(whole, n).load())
			if w.Len() != n {
				t.Fatalf("%d lines instead of %d", w.Len(), n)
			}
			s := make_(t, w, reversal.Options{})
			if len(s.Lines) != 3 || len(s.Header) < 3 || s.Outcome != s.Lines[0].Outcome {
				t.Fatalf("after %d lines: %+v", n, s.Lines)
			}
			if got := different(s); !c.lossy && len(got) > 0 {
				t.Fatalf("after %d lines, with nothing lost, there stays different: %v", n, got)
			}
			count(&midway, n > 0 && n < whole.Len())
		}
	})
	if midway < 50 {
		t.Errorf("only %d prefixes lay within the work", midway)
	}
}

func count(n *int, yes bool) {
	if yes {
		*n++
	}
}

func TestEveryDayOfTheWorkHasAStatement(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawConversion(t, 10, true)
		w := replay.Of(c.load())
		for _, text := range []string{"2026-01-01", "2026-01-06", "2026-01-08", "2026-02-01"} {
			day, _ := replay.ParseDay(text)
			if s := make_(t, w, reversal.Options{On: day}); len(s.Lines) != 3 || len(s.Header) < 3 || s.Outcome != s.Lines[0].Outcome {
				t.Fatalf("on %s: %+v", text, s.Lines)
			}
		}
	})
}
