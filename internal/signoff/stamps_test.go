package signoff

import (
	"slices"
	"testing"
	"time"

	"boltback/internal/attest"
)

func TestStampsAreReadInTheOrderOfTheirChainAndFalseOnesAreTold(t *testing.T) {
	s := withPart(t)
	first := s.tag("stamp-b", ines, s.manifest(Link{}), nil)
	one, err := ReadTag(first)
	if err != nil {
		t.Fatal(err)
	}
	second := s.tag("stamp-a", ines, s.manifest(one.Link()), nil)
	false1 := Tag{Name: "stamp-c", Payload: first.Payload, Signature: first.Signature}
	stamps, odd := ReadStamps([]Tag{second, first, false1, {Name: "v1", Payload: []byte("object x\n\nhello\n")}})
	if len(stamps) != 2 || stamps[0].Tag != "stamp-b" || stamps[1].Tag != "stamp-a" || len(odd) != 1 || odd[0].Name != "stamp-c" {
		t.Fatalf("read %v and %v", stamps, odd)
	}
	verdicts, err := s.walk(Pins{}).CheckStamps(s.head, stamps, s.open, attest.Roots{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verdicts {
		if v.Faulty() || v.ByOutside() {
			t.Errorf("%+v", v)
		}
	}
}

// TestALinkCoversTheTokenOfTheStampBefore is what renews it: the next stamp still shows that the token was there.
func TestALinkCoversTheTokenOfTheStampBefore(t *testing.T) {
	m := withPart(t).manifest(Link{})
	with, without := Stamped{Tag: "s", Manifest: m, Answer: []byte("token")}, Stamped{Tag: "s", Manifest: m}
	if with.Link() == without.Link() || without.Link().Digest != m.Digest() {
		t.Errorf("%v and %v", with.Link(), without.Link())
	}
}

func TestBeforeIsSupportedByAnOutsideClockAlone(t *testing.T) {
	s := withPart(t)
	early := s.head
	s.commit(ines)
	late := s.head
	trust := s.walk(Pins{})
	noon := time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC)
	seen := func(tag, commit string, at time.Time) StampVerdict {
		v := StampVerdict{Tag: tag, Commit: commit, Holding: OnLine, Stamped: true, Token: attest.Stamp{Time: at, Expires: at.AddDate(4, 0, 0)}}
		v.Standing = attest.Good
		return v
	}
	own := seen("own", early, noon.AddDate(-1, 0, 0))
	own.Stamped = false
	broken := seen("broken", early, noon.AddDate(-1, 0, 0))
	broken.BrokenChain = true
	all := []StampVerdict{own, broken, seen("first", early, noon), seen("second", late, noon.AddDate(0, 1, 0))}
	if v, found := trust.ExistedBy(early, all); !found || v.Tag != "first" {
		t.Errorf("the early commit existed by %v, %v", v.Tag, found)
	}
	if v, found := trust.ExistedBy(late, all); !found || v.Tag != "second" {
		t.Errorf("the late commit existed by %v, %v", v.Tag, found)
	}
	if _, found := trust.ExistedBy("no such commit", all); found {
		t.Error("a commit that is not here existed")
	}
	if !Renewed(all[2], all) || Renewed(all[3], all) || Renewed(StampVerdict{Tag: "other"}, all) {
		t.Error("a stamp is renewed by a later one, and by nothing else")
	}
	if want := noon.AddDate(4, 0, 0).Add(-365 * 24 * time.Hour); !all[2].DueBy().Equal(want) {
		t.Errorf("due by %v, want %v", all[2].DueBy(), want)
	}
	if !slices.ContainsFunc(all, StampVerdict.Faulty) {
		t.Error("no fault is seen in a broken chain")
	}
}
