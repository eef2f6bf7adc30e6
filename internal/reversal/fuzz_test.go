package reversal_test

import (
	"bytes"
	"strings"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// fuzzedCar is a car of a few parts, on which any stored statement may be rechecked.
func fuzzedCar() *replay.Work {
	b := newBench()
	b.part("parts/engine", record.Part{Found: "yes"})
	b.joint("joints/mount", record.Joint{Clamps: []record.Ref{"parts/engine"}, Original: "yes"})
	b.car(record.Car{Root: "parts/shell", Baseline: &record.Baseline{Name: "as found", On: "2026-01-02"}})
	b.work("work/2026-01-05-ines-out", record.Session{Lines: []record.Line{{Act: "removal", Parts: []record.Ref{"parts/engine"}, Store: "stores/tallow-lane/loft"}}})
	return replay.Of(b.load())
}

// FuzzRecheck reads statements that strangers wrote and replays their steps: neither may panic, and what is read is written
// back as the same statement.
func FuzzRecheck(f *testing.F) {
	w := fuzzedCar()
	s, err := reversal.Make(w, reversal.Options{})
	if err != nil {
		f.Fatal(err)
	}
	var whole bytes.Buffer
	if err := s.Encode(&whole); err != nil {
		f.Fatal(err)
	}
	f.Add(whole.String())
	f.Add(strings.Replace(whole.String(), "parts/engine", "parts/none", 1))
	f.Add(`{"edition":"1","header":[],"baseline":"","outcome":"nothing","lines":[],"floors":[],"steps":[{"number":1,"kind":"tighten","line":{"act":"tightening"}}]}`)
	f.Add(`{"edition":"1","steps":[{"line":{"act":"removal","parts":["parts/shell","parts/engine"],"became":"parts/engine"}},{"line":{"act":"fitting","parts":["parts/engine"],"joints":["joints/none"]}}],"outcome":"cannot-say"}`)
	f.Add(`{"edition":"1","steps":[{"kind":"tighten","line":{"joints":[""]}}]}`)
	f.Add(`{"edition":"2"}`)
	f.Add(`{"edition":"1","on":"2026-02-30","outcome":"nothing"}`)
	f.Fuzz(func(t *testing.T, text string) {
		kept, err := reversal.Decode(strings.NewReader(text))
		if err != nil {
			return
		}
		var again bytes.Buffer
		if err := kept.Encode(&again); err != nil {
			t.Fatal(err)
		}
		twice, err := reversal.Decode(bytes.NewReader(again.Bytes()))
		if err != nil {
			t.Fatalf("what was written cannot be read: %v", err)
		}
		var third bytes.Buffer
		if err := twice.Encode(&third); err != nil || !bytes.Equal(again.Bytes(), third.Bytes()) {
			t.Fatalf("reading and writing changed the statement: %v", err)
		}
		if _, err := reversal.Recheck(w, kept); err == nil {
			return
		}
	})
}

func TestAStoredStatementIsReadStrictly(t *testing.T) {
	for name, text := range map[string]string{
		"another edition":          `{"edition":"9","outcome":"nothing"}`,
		"an unknown member":        `{"edition":"1","outcome":"nothing","verdict":"fine"}`,
		"an unknown outcome":       `{"edition":"1","outcome":"reversible"}`,
		"something behind the end": `{"edition":"1","outcome":"nothing"} {}`,
		"no statement":             `[]`,
		"an unfinished one":        `{"edition":"1"`,
	} {
		if _, err := reversal.Decode(strings.NewReader(text)); err == nil {
			t.Errorf("%s was read", name)
		}
	}
}
