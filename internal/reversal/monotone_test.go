package reversal_test

import (
	"maps"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
	"boltback/internal/wording"
)

// said is all that is said of a car: the outcome of each line, and the sentences.
type said struct {
	lines   map[reversal.Topic]reversal.Outcome
	phrases map[string]wording.Phrase
	named   []record.Ref // for a line or a sentence
	against []record.Ref // a line
}

func saidOf(t interface{ Fatalf(string, ...any) }, b *bench, day replay.Day) said {
	w := replay.Of(b.load())
	s := make_(t, w, reversal.Options{On: day})
	list, err := wording.Make(w, day)
	if err != nil {
		t.Fatalf("no sentences: %v", err)
	}
	all := said{lines: outcomes(s), phrases: map[string]wording.Phrase{}, named: slices.Clone(s.For), against: s.Against}
	for _, p := range list {
		all.phrases[p.Code+" "+string(p.Thing)+p.Zone] = p
		all.named = append(all.named, p.For...)
	}
	slices.Sort(all.named)
	all.named = slices.Compact(all.named)
	return all
}

// better names what is said better without a record that stood against nothing of it.
func (was said) better(now said, without record.Ref) []string {
	var list []string
	for topic, outcome := range now.lines {
		if outcome < was.lines[topic] && !slices.Contains(was.against, without) {
			list = append(list, string(topic)+": "+outcome.String()+", and it was: "+was.lines[topic].String())
		}
	}
	for key, p := range now.phrases {
		before, known := was.phrases[key]
		if p.Standing == wording.Supported && before.Standing != wording.Supported && (!known || !slices.Contains(before.Against, without)) {
			list = append(list, "supported: "+p.Text+" ("+string(before.Standing)+": "+before.Why+")")
		}
	}
	slices.Sort(list)
	return list
}

func TestRemovingARecordNamedForNeverImprovesAStatementOrSupportsAWording(t *testing.T) {
	good := 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawSized(t, rapid.IntRange(20, 26).Draw(t, "found parts"), rapid.IntRange(1, 12).Draw(t, "sessions"), rapid.Bool().Draw(t, "lossy"))
		day, _ := replay.ParseDay("2026-03-01")
		was := saidOf(t, c.bench, day)
		for range 2 {
			r := rapid.SampledFrom(was.named).Draw(t, "removed")
			b := &bench{files: maps.Clone(c.files)}
			delete(b.files, record.PathOf(r))
			if list := was.better(saidOf(t, b, day), r); len(list) > 0 {
				t.Fatalf("without %s:\n%v", r, list)
			}
		}
		count(&good, was.lines[reversal.FoundParts] < reversal.CannotSay)
	})
	if good < 20 {
		t.Errorf("of only %d cars anything was said that could improve", good)
	}
}

func TestRemovingARecordOfTheSampleNamedForNeverImprovesAnything(t *testing.T) {
	for name, trouble := range troubles {
		t.Run(name, func(t *testing.T) {
			b := sampleCar(t)
			trouble(t, b)
			was := saidOf(t, b, inspected)
			if len(was.named) == 0 {
				t.Fatal("no record is named for")
			}
			for i, r := range was.named {
				if every := map[bool]int{true: 5, false: 16}[name == "as it is"]; i%every != 0 { // a few will do where only one thing is amiss
					continue
				}
				without := &bench{files: maps.Clone(b.files)}
				delete(without.files, record.PathOf(r))
				if list := was.better(saidOf(t, without, inspected), r); len(list) > 0 {
					t.Errorf("without %s: %v", r, list)
				}
			}
		})
	}
}
