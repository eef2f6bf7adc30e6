package dossier_test

import (
	"strings"
	"testing"
	"time"

	"boltback/internal/attest"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/history"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// report verifies a made-up history of one commit per step given.
func report(steps ...signoff.Step) *signoff.Report {
	first := signoff.Step{ID: strings.Repeat("a", 40), Subject: "Begin", Looked: signoff.Looked{Standing: attest.Good}}
	list := append([]signoff.Step{first}, steps...)
	for i := range list {
		list[i].Committer.When = time.Date(2026, 3, 1+i, 8, 0, 0, 0, time.UTC)
		if list[i].ID == "" {
			list[i].ID = strings.Repeat("b", 40)
		}
	}
	return &signoff.Report{Car: "wren", Head: list[len(list)-1].ID, Trust: &signoff.Trust{Steps: list}}
}

func TestAVerificationSaysFirstWhatAReaderInAHurryTakesAlong(t *testing.T) {
	s := load(t, compactCar(t))
	for _, one := range []struct {
		origin signoff.Origin
		faults []string
		want   []string
	}{
		{signoff.NotEstablished, nil, []string{"Consistent in itself, origin not established", "Anybody could make such a history", "somebody made the whole history"}},
		{signoff.Established, nil, []string{"In order", "Origin established"}},
		{signoff.Contradicted, nil, []string{"Origin contradicted", "is not what you pinned"}},
		{signoff.NotEstablished, []string{"car.json"}, []string{"1 finding, and the origin is not established", "car.json is not as the last commit has it"}},
		{signoff.Established, []string{"car.json", "parts/x.json"}, []string{"2 findings; the origin is established"}},
	} {
		r := report()
		r.Trust.Origin, r.Condition.Unsaved = one.origin, one.faults
		got := sectionText(t, dossier.Verification(s, r))
		wantAll(t, got, one.want...)
		wantAll(t, got, "What this cannot tell", "export TZ=UTC", "the car was not examined")
	}
}

func TestEveryNoteOfTheWalkIsSaidInWords(t *testing.T) {
	s := load(t, compactCar(t))
	for kind, want := range map[signoff.NoteKind]string{
		signoff.KeyAdded: "came in and counts", signoff.KeyNotTrusted: "lets nobody in", signoff.KeyUnusable: "lets nobody in: too short",
		signoff.KeyAltered: "as it first stood it goes on counting", signoff.KeyGone: "until it is revoked", signoff.KeyShared: "hold one key for two people",
		signoff.KeyEnded: "ends people/x/y/key-two", signoff.EndingNotSigned: "the key is ended all the same", signoff.EndingGone: "was changed or removed",
		signoff.SignersDiffer: "stock tools are told something else", signoff.PolicyWeakened: "no longer asks for signed commits",
		signoff.PolicyBroken: "asks for signed commits", signoff.OtherAuthor: "made in the name of too short", signoff.DatesBackwards: "before the commit it stands on",
		signoff.SecondRoot: "begins by itself", signoff.CutOff: "is not here", signoff.OddObject: "unlike what Git writes: too short",
		signoff.SignOffAltered: "signoffs/x.json was altered", signoff.SignOffGone: "signoffs/x.json was removed",
	} {
		note := signoff.Note{
			Kind: kind, Ref: "people/x/y/key-one", Other: "people/x/y/key-two", Commit: strings.Repeat("c", 40), Path: "signoffs/x.json",
			Detail: "too short", Weakening: signoff.Weakening{What: "signed commits"},
		}
		got := sectionText(t, dossier.Verification(s, report(signoff.Step{Looked: signoff.Looked{Standing: attest.Good}, Notes: []signoff.Note{note}})))
		wantAll(t, got, want)
		wantNone(t, got, string(kind))
	}
}

func TestSignaturesThatDoNotCountAreReportedApart(t *testing.T) {
	s := load(t, compactCar(t))
	key := signoff.KeyEntry{Ref: "people/x/y/key-one", Person: "people/x/y", Before: time.Date(2026, 1, 31, 23, 59, 59, 0, time.UTC)}
	got := sectionText(t, dossier.Verification(s, report(
		signoff.Step{ID: strings.Repeat("1", 40), Subject: "One"},
		signoff.Step{ID: strings.Repeat("2", 40), Subject: "Two", Looked: signoff.Looked{Standing: attest.Bad}, Detail: "it does not fit"},
		signoff.Step{ID: strings.Repeat("3", 40), Looked: signoff.Looked{Standing: attest.UnknownKey, Entry: key, NotTrusted: true}},
		signoff.Step{ID: strings.Repeat("4", 40), Looked: signoff.Looked{Standing: attest.OutsideValidity, Entry: key}},
		signoff.Step{ID: strings.Repeat("5", 40), Looked: signoff.Looked{Standing: attest.Revoked, Entry: key, Ending: signoff.Ending{Ref: "people/x/y/lost", Why: "lost on the ferry"}}},
		signoff.Step{ID: strings.Repeat("6", 40), Looked: signoff.Looked{Standing: attest.NotForPurpose, Entry: key}},
	)))
	wantAll(t, got, "6 findings", "Commits that nobody signed", "Commits with a bad signature", "it does not fit", "Commits signed with an unknown key",
		"by a commit that did not count", "Commits outside the validity of their key", "until 2026-01-31", "Commits signed with a revoked key",
		"“lost on the ferry”", "Commits signed with a key for other purposes")
}

func TestEverySignOffIsShownWithNameTimeMeaningAndWorth(t *testing.T) {
	s := load(t, compactCar(t))
	for why := range map[signoff.Why]bool{
		signoff.Unfinished: true, signoff.NoSignature: true, signoff.BadSignature: true, signoff.UnknownKey: true, signoff.KeyNotAllowed: true,
		signoff.KeyNotValid: true, signoff.KeyRevoked: true, signoff.OtherSigner: true, signoff.OtherPath: true, signoff.OtherLedger: true, signoff.OtherCar: true,
		signoff.NotInHistory: true, signoff.NeverLikeThat: true, signoff.TakenBack: true, signoff.UnreadableDate: true,
	} {
		r := report()
		r.SignOffs = []signoff.Verdict{{Record: "signoffs/x", By: "people/x/y", On: "2026-03-02", Meaning: "Tight", Why: why, Detail: "the detail"}}
		got := sectionText(t, dossier.Verification(s, r))
		wantAll(t, got, "2026-03-02", "“Tight”", "void: ", "(the detail)", "not committed as it reads here")
		wantNone(t, got, "void: not stated", "signature verified")
	}
	r := report()
	r.SignOffs = []signoff.Verdict{
		{Record: "signoffs/a", Status: signoff.Current, Form: "key", By: "people/x/y", Counters: []signoff.Counter{{By: "people/z/w", On: "2026-03-03", Outsider: true}}},
		{Record: "signoffs/b", Status: signoff.Stale, Differences: []signoff.Difference{
			{What: signoff.Altered, Record: "parts/engine"}, {What: signoff.Gone, Record: "parts/nothing"}, {What: signoff.Corrected, Record: "parts/engine", By: "parts/new", Reason: "misread"},
			{What: signoff.Withdrawn, Record: "parts/engine", By: "parts/out", Reason: "twice"}, {What: signoff.InDispute, Record: "parts/engine"}, {What: signoff.NumberGone, Number: "AB 1"},
		}, Touches: []signoff.Touch{{Facet: "brakes", By: "work/later", Remark: "pads changed"}}, Newer: []record.Ref{"readings/x"}, Unbound: []record.Ref{"people/x/y/licence"}},
		{Record: "signoffs/c", Status: signoff.Transcribed, SeenBy: "people/x/z", Scan: "papers/scan", Wanted: true, After: true, Disputed: true},
		{Record: "signoffs/d", Status: signoff.Superseded, Other: "signoffs/e"},
	}
	wantAll(t, sectionText(t, dossier.Verification(s, r)), "current; signature verified", "counter-signed by", "from outside",
		"ssh-keygen -Y verify -f allowed_signers -I y@x.invalid -n boltback -s signoffs/a.sig < signoffs/a.json",
		"was altered", "parts/nothing is gone", "“misread”", "“twice”", "several records claim", "AB 1 reads otherwise now", "Work since on brakes", "pads changed",
		"1 record newer, not covered", "does not cover them", "transcribed by the workshop: ink on paper", "no signature was verified",
		"asks for a second signature", "its day lies after", "superseded by", "Altered or gone after being signed")
}

func TestWhatWasKeptIsHeldAgainstTheHistory(t *testing.T) {
	s := load(t, compactCar(t))
	r := report()
	r.Kept = []signoff.Kept{{ID: "1234567"}, {ID: "2345678", Holding: signoff.Beside}, {ID: "3456789", Holding: signoff.OnLine, Since: 2}}
	r.Late = []signoff.Late{{Commit: r.Head, Delay: history.Delay{Record: "work/x", Of: "the work", Fewest: 20, Most: 20, Known: true, First: true, Late: edtf.Yes}}}
	r.Condition.Shallow, r.Condition.Replaced, r.Condition.Linked = true, true, true
	wantAll(t, sectionText(t, dossier.Verification(s, r)), "Not contained: the kept commit 1234567", "by a merge", "2 commits came since", "Late: written down 20 days after the work",
		"a shallow clone", "replace references are set", "a further work tree")
	for want, split := range map[string]signoff.Split{
		"Another ledger":            {},
		"Diverged":                  {SameFirst: true, Ours: []string{"a"}, Theirs: []string{"b", "c"}},
		"1 commit more":             {SameFirst: true, Theirs: []string{"b"}},
		"is an older copy":          {SameFirst: true, Ours: []string{"b"}},
		"other has the same commit": {SameFirst: true},
	} {
		r := report()
		r.Compared = &signoff.Compared{Name: "other", Split: split}
		got := sectionText(t, dossier.Verification(s, r))
		wantAll(t, got, want)
		wantNone(t, got, "That the newest commits were cut off")
	}
}

func TestKeysAreListedWithWhatTheyAreWorth(t *testing.T) {
	s := load(t, compactCar(t))
	day := edtf.NewDay(2026, 4, 1)
	wantAll(t, said(dossier.Keys(s, "wren", day, nil)), "nobody can sign")
	key := attest.DemoSigner("saltmarsh", "odile").Public()
	rows := []signoff.KeyRow{
		{KeyEntry: signoff.KeyEntry{Ref: "people/x/y/key-one", Person: "people/x/y", Key: key}, Worth: signoff.KeyCounts},
		{KeyEntry: signoff.KeyEntry{Ref: "people/x/y/key-two", Person: "people/x/y", Fault: "too short"}, Worth: signoff.KeyFaulty},
		{KeyEntry: signoff.KeyEntry{Ref: "people/x/y/key-three", Key: key}, Worth: signoff.KeyRevokedSince, Ending: signoff.Ending{Ref: "people/x/y/lost", Why: "lost"}},
	}
	wantAll(t, sectionText(t, dossier.Keys(s, "wren", day, rows)), "3 public keys, as of 2026-04-01", key.Fingerprint(), "counts", "lets nobody in: too short", "revoked; ended from", "“lost”")
}

func TestWhatIsAboutToBeSignedIsShownInWords(t *testing.T) {
	s := load(t, compactCar(t))
	body := &record.SignOff{By: "people/x/y", On: "2026-04-01", Meaning: "Tight", Form: "key", Facets: []string{"brakes"}, Tree: "feed", Covers: []record.Covered{{Record: "parts/engine"}}}
	wantAll(t, sectionText(t, dossier.ToSign(s, body, "SHA256:x")), "About to be signed", "“Tight”", "SHA256:x", "brakes", "Engine", "nothing that comes later", "licensed practice")
	body.Form, body.Scan, body.SeenBy = "paper", "papers/scan", "people/x/z"
	got := sectionText(t, dossier.ToSign(s, body, ""))
	wantAll(t, got, "transcribed from ink on paper; nothing is verified", "Ink seen by")
	wantNone(t, got, "With the key")
}
