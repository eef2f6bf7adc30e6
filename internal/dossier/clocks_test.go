package dossier_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"boltback/internal/attest"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/history"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/signoff"
)

// clocked is the compact car, worked on in the zone of its old holes from March on, with a stamp that bears the answer of an
// authority which nobody here trusts.
func clocked(t *testing.T, at time.Time) (dossier.Input, *signoff.StampVerdict) {
	files := compactCar(t)
	files["work/2026-03-01-ina-hole.json"] = &fstest.MapFile{Data: []byte(session("2026-03-01", "",
		`{"act":"alteration","parts":["parts/shell"],"alteration":{"zone":"engine bay","where":"left tower"}}`))}
	in := input(load(t, files))
	in.Work, in.Verified = replay.Of(in.Snapshot), report()
	in.Verified.Stamps = []signoff.StampVerdict{{
		Tag: "stamp-1", Commit: in.Verified.Head, Tagger: signoff.Person{Name: "Ina Reed"}, Digest: "d", Files: filesOf(in.Snapshot),
		Holding: signoff.OnLine, Looked: signoff.Looked{Standing: attest.Good}, NobodyTrusted: true, TokenFault: errors.New("nobody is trusted"),
		Token: attest.Stamp{Time: at, Authority: "CN=Harbour Clock", Expires: at.AddDate(10, 0, 0)},
	}}
	return in, &in.Verified.Stamps[0]
}

// filesOf is what a manifest has of the records as they read now, but for one that came later.
func filesOf(s *ledger.Snapshot) []signoff.FileDigest {
	var files []signoff.FileDigest
	for _, r := range s.Records() {
		if r.ID != "parts/radiator" {
			files = append(files, signoff.FileDigest{Path: s.Place(r).Path, Digest: r.Digest})
		}
	}
	slices.SortFunc(files, func(a, b signoff.FileDigest) int { return strings.Compare(a.Path, b.Path) })
	return files
}

func TestACarWithoutAStampGetsOneSentenceAboutClocks(t *testing.T) {
	in, _ := clocked(t, time.Date(2026, 2, 3, 9, 0, 0, 0, time.UTC))
	in.Verified.Stamps = nil
	in.Verified.Late = []signoff.Late{{Commit: in.Verified.Head, Delay: history.Delay{Record: "existing/tower-holes", Of: "the work", Fewest: 20, Most: 20, Known: true, Late: edtf.Yes}}}
	got := flat(section(t, in, "stamps"))
	wantAll(t, got, "No stamp is in the ledger")
	if strings.Count(got, ".") != 1 {
		t.Errorf("more is said than that no clock was asked: %s", got)
	}
	in.Verified = nil
	wantAll(t, section(t, in, "stamps"), "No stamp was read for this page", "the workshop's word")
}

func TestAStampSaysWhatItCoversAndByWhenToRenewIt(t *testing.T) {
	in, v := clocked(t, time.Date(2026, 2, 3, 9, 0, 0, 0, time.UTC))
	in.Verified.Late = []signoff.Late{{Commit: in.Verified.Head, Delay: history.Delay{Record: "existing/tower-holes", Of: "the work", Fewest: 20, Most: 20, Known: true, Late: edtf.Yes}}}
	got := section(t, in, "stamps")
	wantAll(t, got, "stamp-1", "Ina Reed", "the answer of CN=Harbour Clock, which claims 2026-02-03T09:00:00Z", "the reader's to say",
		"stamp again by 2035-02-03, before its certificates end on 2036-02-03", "Records that read now as it has them: 43 of 44; the others came since, or read otherwise", "openssl ts -verify",
		"by a stamp above, as far as its clock is trusted, or by the signature of somebody outside: Mount holes",
		"stood there by 2026-02-03T09:00:00Z, as stamp-1 claims by the clock of CN=Harbour Clock")
	wantNone(t, got, "workshop's word alone", "overdue", "give --authorities")

	v.Token.Expires = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	wantAll(t, section(t, in, "stamps"), "overdue: it was to be stamped again by 2026-02-16, and its certificates end on 2026-03-01")
	v.OtherTree = true
	got = section(t, in, "stamps")
	wantAll(t, got, "does not stand", "It shows nothing about what is on record", "workshop's word alone, with nothing from outside that shows the entry to be: Mount holes")
	wantNone(t, got, "stood there by")
}

func TestAFeatureStampedAfterTheWorkBeganIsOlderByTheWorkshopsWord(t *testing.T) {
	in, _ := clocked(t, time.Date(2026, 3, 20, 9, 0, 0, 0, time.UTC))
	got := section(t, in, "stamps")
	wantAll(t, got, "Older than the work by the workshop's word alone", "Mount holes")
	wantNone(t, got, "recorded before any work")
}
