package steps

import (
	"testing"

	"boltback/internal/record"
)

func TestSessionsBesideEachOtherKnowWhatEitherNamed(t *testing.T) {
	first := New(bench(t))
	if _, err := first.Tell("off 0200 heater, 4x M8"); err != nil {
		t.Fatal(err)
	}
	second := first.Beside()
	if _, err := second.Tell("off heater, joint heater, 2x M6"); err != nil {
		t.Fatal(err)
	}
	if ref := second.Part("0200"); ref != "parts/heater" {
		t.Errorf("the tag means %q", ref)
	}
	r := first.Result()
	if len(r.New) != 2 || len(r.Work.Lines) != 1 || len(r.New[1].Body.(*record.Joint).Fasteners) != 2 {
		t.Errorf("%+v", r)
	}
}

func TestTryingAStepLeavesTheSessionAsItWas(t *testing.T) {
	s := New(bench(t))
	if _, err := s.Tell("off 0200 heater, 4x M8"); err != nil {
		t.Fatal(err)
	}
	told, err := s.Try(Step{Act: "removal", Things: []Thing{{Tag: "0201", Name: "lamp"}}, Joint: "heater", Fasteners: []record.Fastener{{Size: "M5", Count: 1}}})
	if err != nil || told.Says == "" {
		t.Fatal(err)
	}
	if r := s.Result(); len(r.New) != 2 || len(r.Work.Lines) != 1 || len(r.New[1].Body.(*record.Joint).Fasteners) != 1 || s.Part("lamp") != "" {
		t.Errorf("%+v", r)
	}
}
