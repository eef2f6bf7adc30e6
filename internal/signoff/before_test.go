package signoff

import (
	"errors"
	"slices"
	"testing"
	"time"

	"boltback/internal/attest"
	"boltback/internal/edtf"
	"boltback/internal/record"
)

// stampedAt is a stamp of the story as it stands, with an answer in which nothing is wrong but that nobody is trusted.
func (s *story) stampedAt(tag string, at time.Time) StampVerdict {
	v := StampVerdict{
		Tag: tag, Commit: s.head, Files: s.manifest(Link{}).Files, Holding: OnLine, NobodyTrusted: true, TokenFault: errors.New("nobody is trusted"),
		Token: attest.Stamp{Time: at, Accuracy: time.Second, Authority: "CN=Harbour Clock", Expires: at.AddDate(4, 0, 0)},
	}
	v.Standing = attest.Good
	return v
}

func TestARecordStoodThereByTheFirstStampThatHasItAsItReadsNow(t *testing.T) {
	s := withPart(t)
	noon := time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC)
	own, broken := s.stampedAt("own", noon.AddDate(-1, 0, 0)), s.stampedAt("broken", noon.AddDate(-1, 0, 0))
	own.NobodyTrusted, own.TokenFault = false, nil
	broken.BrokenChain = true
	trusted := s.stampedAt("trusted", noon.AddDate(0, 1, 0))
	trusted.Stamped, trusted.NobodyTrusted, trusted.TokenFault = true, false, nil
	r := &Report{Stamps: []StampVerdict{own, broken}}
	motor := func() *record.Record { return s.snapshot().Record("parts/motor") }
	if w, found := r.WitnessOf(s.snapshot(), motor()); found {
		t.Errorf("neither the signer's own day nor a broken chain shows anything, and yet %+v", w)
	}
	r.Stamps = append(r.Stamps, trusted)
	if w, found := r.WitnessOf(s.snapshot(), motor()); !found || w.Stamp != "trusted" || !w.Trusted || !w.By.Equal(trusted.Token.Time.Add(time.Second)) {
		t.Errorf("witness %+v, %v", w, found)
	}
	r.Stamps = append(r.Stamps, s.stampedAt("claimed", noon))
	if w, _ := r.WitnessOf(s.snapshot(), motor()); w.Stamp != "claimed" || w.Trusted || w.Authority != "CN=Harbour Clock" || !w.By.Equal(noon.Add(time.Second)) {
		t.Errorf("the earlier one is %+v", w)
	}
	s.put("parts/motor.json", "kind", "part", "name", "Motor", "mass", "53 kg")
	if w, found := r.WitnessOf(s.snapshot(), motor()); found {
		t.Errorf("a record that reads otherwise since is witnessed by %+v", w)
	}
	if w, found := r.WitnessOf(s.snapshot(), s.snapshot().Record("readings/2026-03-02-ines-insulation")); !found || w.Stamp != "claimed" {
		t.Errorf("one that reads as before has lost its witness: %+v", w)
	}
}

func TestACounterSignatureFromOutsideBearsWitnessByTheEndOfItsDay(t *testing.T) {
	s := withPart(t)
	s.sign(draft())
	signed := Verdict{Record: signedName, Status: Current, Counters: []Counter{
		{Record: "signoffs/own", By: bram, On: "2026-03-03"}, {Record: "signoffs/undated", By: edda, Outsider: true}, {Record: "signoffs/edda", By: edda, On: "2026-03-04", Outsider: true},
	}}
	r := &Report{SignOffs: []Verdict{signed}}
	snapshot := s.snapshot()
	motor := snapshot.Record("parts/motor")
	end := time.Date(2026, 3, 5, 12, 0, 0, 0, time.UTC) // when the day is over everywhere
	if w, found := r.WitnessOf(snapshot, motor); !found || w.Counter != "signoffs/edda" || w.Stamp != "" || !w.By.Equal(end) {
		t.Errorf("witness %+v, %v", w, found)
	}
	r.Stamps = []StampVerdict{s.stampedAt("later", end.AddDate(0, 0, 1))}
	if w, _ := r.WitnessOf(snapshot, motor); w.Counter != "signoffs/edda" {
		t.Errorf("a later stamp goes before it: %+v", w)
	}
	r.Stamps = nil
	if w, found := r.WitnessOf(snapshot, snapshot.Record("car")); found {
		t.Errorf("what the sign-off does not cover is witnessed by %+v", w)
	}
	r.SignOffs[0].Status = Void
	if w, found := r.WitnessOf(snapshot, motor); found {
		t.Errorf("a counter-signature over a void sign-off bears witness: %+v", w)
	}
	r.SignOffs[0].Status = Current
	s.put("parts/motor.json", "kind", "part", "name", "Motor", "mass", "53 kg")
	if w, found := r.WitnessOf(s.snapshot(), s.snapshot().Record("parts/motor")); found {
		t.Errorf("a record changed since is witnessed by %+v", w)
	}
}

func TestAStampIsOverdueFromTheDayAfterItsLastUntilALaterOneCoversIt(t *testing.T) {
	s := withPart(t)
	first := s.stampedAt("first", time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC))
	due := edtf.DayOf(first.DueBy())
	all := []StampVerdict{first}
	if Overdue(first, all, edtf.Day{}) || Overdue(first, all, due) || !Overdue(first, all, due.AddDays(1)) {
		t.Error("it is overdue after its day, and on no day unknown")
	}
	all = append(all, s.stampedAt("second", first.Token.Time.AddDate(3, 0, 0)))
	if Overdue(first, all, due.AddDays(1)) || !slices.ContainsFunc(all, func(v StampVerdict) bool { return Renewed(v, all) }) {
		t.Error("a later stamp covers it")
	}
}
