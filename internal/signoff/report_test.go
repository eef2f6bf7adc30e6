package signoff

import (
	"reflect"
	"slices"
	"testing"
)

// reportOf verifies a story as it stands.
func reportOf(t testing.TB, s *story, pins Pins) *Report {
	t.Helper()
	return &Report{Car: "tern", Head: s.head, Pins: pins, Trust: s.walk(pins)}
}

func topicsOf(r *Report) []Topic {
	var list []Topic
	for _, f := range r.Found() {
		if f.Topic != ForInformation && !slices.Contains(list, f.Topic) {
			list = append(list, f.Topic)
		}
	}
	return list
}

func TestAReportIsCleanOnlyWhenNothingIsWrongAndTheOriginIsKnown(t *testing.T) {
	s := begin(t)
	if r := reportOf(t, s, Pins{}); r.Faults() != 0 || r.Clean() {
		t.Errorf("without a pin there are %d faults, clean %v", r.Faults(), r.Clean())
	}
	pins := Pins{Keys: []string{fingerprint(ines)}}
	if r := reportOf(t, s, pins); r.Faults() != 0 || !r.Clean() {
		t.Errorf("with the pin there are %d faults, clean %v: %v", r.Faults(), r.Clean(), topicsOf(r))
	}
	for what, spoil := range map[string]func(*Report){
		"a file that is not committed":    func(r *Report) { r.Condition.Unsaved = []string{"car.json"} },
		"a history that was cut off":      func(r *Report) { r.Condition.Shallow = true },
		"replaced objects":                func(r *Report) { r.Condition.Replaced = true },
		"a kept commit that is not there": func(r *Report) { r.Keep("0123456789") },
		"another copy that diverged": func(r *Report) {
			r.Compared = &Compared{Split: Split{SameFirst: true, Ours: []string{"a"}, Theirs: []string{"b"}}}
		},
		"another ledger":  func(r *Report) { r.Compared = &Compared{} },
		"a void sign-off": func(r *Report) { r.SignOffs = []Verdict{{}} },
	} {
		r := reportOf(t, s, pins)
		if spoil(r); r.Faults() != 1 || r.Clean() {
			t.Errorf("%s: %d faults, clean %v", what, r.Faults(), r.Clean())
		}
	}
}

func TestEachKindOfFindingIsReportedApart(t *testing.T) {
	s := begin(t)
	s.put("parts/one.json", "kind", "part")
	s.commit("")
	s.put("parts/two.json", "kind", "part")
	s.commit(mallory)
	want := []Topic{NotSigned, UnknownKeys}
	got := topicsOf(reportOf(t, s, Pins{Keys: []string{fingerprint(ines)}}))
	for _, topic := range want {
		if !slices.Contains(got, topic) {
			t.Errorf("%s is not among %v", topic, got)
		}
	}
	for _, topic := range got {
		if !slices.Contains(Topics(), topic) {
			t.Errorf("%s is a fault that no list holds", topic)
		}
	}
}

func TestAKeptCommitIsFoundWholeOrByItsFirstDigits(t *testing.T) {
	s := begin(t)
	kept := s.head
	s.put("parts/one.json", "kind", "part")
	s.commit(ines)
	r := reportOf(t, s, Pins{})
	r.Keep(kept)
	r.Keep(kept[:9])
	r.Keep(kept[:6])
	for i, want := range []Kept{{ID: kept, Holding: OnLine, Since: 1}, {ID: kept, Holding: OnLine, Since: 1}, {ID: kept[:6]}} {
		if !reflect.DeepEqual(r.Kept[i], want) {
			t.Errorf("kept %d is %v, want %v", i, r.Kept[i], want)
		}
	}
}

func TestASignOffIsSoundWhileAllThatItCoversStands(t *testing.T) {
	for what, one := range map[string]struct {
		v    Verdict
		want bool
	}{
		"current":                           {Verdict{Status: Current}, true},
		"superseded":                        {Verdict{Status: Superseded}, true},
		"stale":                             {Verdict{Status: Stale}, false},
		"void":                              {Verdict{Why: BadSignature}, false},
		"openly withdrawn":                  {Verdict{Why: TakenBack}, true},
		"ink":                               {Verdict{Status: Transcribed}, true},
		"ink over what was changed":         {Verdict{Status: Transcribed, Differences: []Difference{{What: Altered}}}, false},
		"dated after it came in":            {Verdict{Status: Current, After: true}, false},
		"one signature where two are asked": {Verdict{Status: Current, Wanted: true}, false},
		"in dispute":                        {Verdict{Status: Current, Disputed: true}, false},
	} {
		if got := one.v.Sound(); got != one.want {
			t.Errorf("%s: sound %v", what, got)
		}
	}
}

func TestAReportForOtherProgramsNamesWhatWasFound(t *testing.T) {
	s := begin(t)
	s.put("parts/one.json", "kind", "part")
	stranger := s.commit(mallory)
	r := reportOf(t, s, Pins{})
	r.Keep(stranger)
	shape := r.Shape()
	if shape.Origin != "not established" || shape.Clean || shape.First != r.Trust.First() || shape.Commits["unknown key"]+shape.Commits["good signature"] != len(r.Trust.Steps) {
		t.Errorf("the shape is %+v", shape)
	}
	found := slices.IndexFunc(shape.Found, func(f ShapeFound) bool { return f.Topic == UnknownKeys })
	if found < 0 || shape.Found[found].Commit != stranger || shape.Found[found].Key != fingerprint(mallory) {
		t.Errorf("found %+v", shape.Found)
	}
	if !reflect.DeepEqual(shape.Kept[0], ShapeKept{Commit: stranger, Found: "contained"}) {
		t.Errorf("kept %+v", shape.Kept)
	}
	if FirstOf(s.commits) != r.Trust.First() || FirstOf(nil) != "" {
		t.Error("the first commit is another one before the walk")
	}
}
