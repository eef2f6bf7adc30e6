package steps

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/record"
)

// TestWhatWordsMeanIsWhatLookingThroughEverythingFinds holds the index against a search that reads every record, over three
// layers of which each names some more.
func TestWhatWordsMeanIsWhatLookingThroughEverythingFinds(t *testing.T) {
	words := rapid.SampledFrom([]string{"horn", "Horn", "HORN LH", "horn-lh", "lamp", "Kühler", "KÜHLER", "\u212Aeil", "keil", "parts/horn", ""})
	rapid.Check(t, func(t *rapid.T) {
		m := over(nil)
		var all []NewRecord
		for range rapid.IntRange(0, 12).Draw(t, "records") {
			if rapid.IntRange(0, 4).Draw(t, "layer") == 0 {
				m = over(m)
			}
			part := &record.Part{Head: record.Head{Kind: record.KindPart, Name: words.Draw(t, "name")}, Tag: rapid.SampledFrom([]string{"", "0147", "0147-9", "0148"}).Draw(t, "tag")}
			id := m.free("parts/"+rapid.SampledFrom([]string{"horn", "horn-lh", "lamp", "keil"}).Draw(t, "id"), func(ref record.Ref) bool { return m.body(ref) != nil })
			r := NewRecord{id, part}
			m.keep(r)
			all = append(all, r)
		}
		asked, tag := words.Draw(t, "asked"), rapid.SampledFrom([]string{"0147", "0148-7", "0149"}).Draw(t, "asked tag")
		want, bear, ids := record.Ref(""), []record.Ref(nil), map[record.Ref]bool{}
		for _, r := range all {
			part, id := r.Body.(*record.Part), string(r.ID)
			end := strings.TrimPrefix(id, "parts/")
			if asked == id {
				want = r.ID
			}
			for _, name := range []string{end, strings.ReplaceAll(end, "-", " "), part.Name} {
				if want == "" && asked != "" && strings.EqualFold(asked, name) {
					want = r.ID
				}
			}
			if part.Tag != "" && tagNumber(part.Tag) == tagNumber(tag) {
				bear = append(bear, r.ID)
			}
			if ids[r.ID] {
				t.Fatalf("%s was given twice", r.ID)
			}
			ids[r.ID] = true
		}
		if got := m.find("parts", asked); got != want {
			t.Fatalf("%q means %q, not %q of %v", asked, got, want, all)
		}
		if got := m.bearing(tagNumber(tag)); fmt.Sprint(got) != fmt.Sprint(bear) {
			t.Fatalf("%s is on %q, not %q", tag, got, bear)
		}
	})
}

func TestNamesOfOneStemAreNumberedWithoutAGap(t *testing.T) {
	m := over(over(nil))
	m.keep(NewRecord{"parts/wheel-7", &record.Part{}})
	var got []string
	for i := range 8 {
		if i == 4 {
			m = over(m)
		}
		ref := m.free("parts/wheel", func(ref record.Ref) bool { return m.body(ref) != nil })
		m.keep(NewRecord{ref, &record.Part{}})
		got = append(got, strings.TrimPrefix(string(ref), "parts/"))
	}
	if want := strings.Fields("wheel wheel-2 wheel-3 wheel-4 wheel-5 wheel-6 wheel-8 wheel-9"); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

func TestAJointThatClampsMoreIsFoundByEachPartAndATrialLeavesNothing(t *testing.T) {
	car := over(nil)
	car.keep(NewRecord{"joints/a", &record.Joint{Clamps: []record.Ref{"parts/horn"}}})
	session := over(car)
	session.keep(NewRecord{"joints/b", &record.Joint{Clamps: []record.Ref{"parts/horn"}}})
	trial := over(session)
	trial.keep(NewRecord{"joints/b", &record.Joint{Clamps: []record.Ref{"parts/horn", "parts/lamp"}}})
	if got := fmt.Sprint(trial.heldBy("parts/horn"), trial.heldBy("parts/lamp")); got != "[joints/a joints/b] [joints/b]" {
		t.Error(got)
	}
	if got := fmt.Sprint(session.heldBy("parts/lamp"), len(session.body("joints/b").(*record.Joint).Clamps), car.own("joints/a"), session.own("joints/a")); got != "[] 1 <nil> <nil>" {
		t.Error(got)
	}
}
