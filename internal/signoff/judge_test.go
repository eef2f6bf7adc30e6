package signoff

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"boltback/internal/attest"
	"boltback/internal/history"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// signed is a story with a car, a part, a reading, and a sign-off of ines over
// them.
const signedPath = "signoffs/2026-03-02-ines-okafor-traction.json"

func withPart(t testing.TB) *story {
	s := begin(t)
	s.put("parts/motor.json", "kind", "part", "name", "Motor", "mass", "52 kg")
	s.put("readings/2026-03-02-ines-insulation.json", "kind", "reading", "what", "insulation", "on", "2026-03-02", "by", ines)
	s.put(ines+"/licence-hv.json", "kind", "licence", "scope", []string{"traction circuit"}, "until", "2027-01-01")
	s.key(bram, "key-1")
	s.put(bram+"/person.json", "kind", "person", "name", "Bram Ostler")
	s.key(edda, "key-1")
	s.put(edda+"/person.json", "kind", "person", "name", "Edda Thackwell")
	s.list()
	s.commit(ines)
	return s
}

func (s *story) snapshot() *ledger.Snapshot {
	s.t.Helper()
	snapshot, err := ledger.Load(s.fs())
	if err != nil {
		s.t.Fatal(err)
	}
	return snapshot
}

// draft is what ines signs unless a test changes it.
func draft() Draft {
	return Draft{
		By: ines, On: "2026-03-02", Slug: "traction", Name: "Traction circuit", Meaning: "tested as recorded", Facets: []string{"traction circuit"},
		Covers: []record.Ref{"parts/motor", "readings/2026-03-02-ines-insulation"}, RestsOn: []record.Ref{ines + "/licence-hv"}, Key: ines + "/key-1",
	}
}

// complete finishes a draft over the story as it stands.
func (s *story) complete(d Draft) *record.SignOff {
	s.t.Helper()
	body, err := d.Complete(s.snapshot(), s.treeOf(s.head), s.commits[0].ID)
	if err != nil {
		s.t.Fatal(err)
	}
	return body
}

func (s *story) treeOf(commit string) string {
	for _, c := range s.commits {
		if c.ID == commit {
			h, err := parseHead(c.Payload)
			if err != nil {
				s.t.Fatal(err)
			}
			return h.tree
		}
	}
	s.t.Fatalf("no commit %s", commit)
	return ""
}

// lay writes a sign-off and its signature into the files.
func (s *story) lay(body *record.SignOff, by string, ns attest.Namespace) {
	s.t.Helper()
	text, err := record.Encode(body)
	if err != nil {
		s.t.Fatal(err)
	}
	s.files[body.Path] = string(text)
	if by != "" {
		sig, err := attest.Sign(signerOf(by), ns, text)
		if err != nil {
			s.t.Fatal(err)
		}
		s.files[SignatureOf(body.Path)] = string(sig)
	}
}

// sign lays the sign-off of a draft, signed by its author, and commits it.
func (s *story) sign(d Draft) *record.SignOff {
	s.t.Helper()
	body := s.complete(d)
	s.lay(body, string(d.By), attest.SignOffs)
	s.commit(ines)
	return body
}

func (s *story) verdicts(touched func(*record.Record, *record.SignOff) []Touch) map[record.Ref]Verdict {
	s.t.Helper()
	list, err := Judge(Scene{Ledger: s.snapshot(), Trust: s.walk(Pins{}), Head: s.head, Files: s.open, Touched: touched})
	if err != nil {
		s.t.Fatal(err)
	}
	byName := map[record.Ref]Verdict{}
	for _, v := range list {
		byName[v.Record] = v
	}
	return byName
}

func untouched(*record.Record, *record.SignOff) []Touch { return nil }

const signedName = record.Ref("signoffs/2026-03-02-ines-okafor-traction")

func TestASignOffThatStandsIsCurrentAndSaysByWhomWhenAndWhat(t *testing.T) {
	s := withPart(t)
	s.sign(draft())
	v := s.verdicts(untouched)[signedName]
	if v.Status != Current || v.Why != "" || !v.Valid() || len(v.Differences)+len(v.Newer)+len(v.Unbound)+len(v.Counters) > 0 || v.Wanted || v.Disputed || v.After {
		t.Fatalf("judged %q: %+v", v.Status, v)
	}
	if v.By != ines || v.On != "2026-03-02" || v.Meaning != "tested as recorded" || v.Key.Ref != ines+"/key-1" || v.Entered == nil || v.Entered.ID != s.head || v.FacetsUnknown {
		t.Errorf("told as %+v", v)
	}
	if v := s.verdicts(nil)[signedName]; !v.FacetsUnknown || v.Status != Current {
		t.Errorf("where nobody looked at the facets: %+v", v)
	}
}

func TestASignOffThatIsNotCommittedYetIsJudgedByTheKeysOfToday(t *testing.T) {
	s := withPart(t)
	s.lay(s.complete(draft()), ines, attest.SignOffs)
	if v := s.verdicts(untouched)[signedName]; v.Status != Current || v.Entered != nil {
		t.Errorf("judged %q, %q, entered %v", v.Status, v.Why, v.Entered)
	}
}

// TestSignOffsThatBindNobodyAreVoidWithTheReason changes one thing of a good one.
func TestSignOffsThatBindNobodyAreVoidWithTheReason(t *testing.T) {
	lay := func(change func(*record.SignOff)) func(*story) {
		return func(s *story) {
			body := s.complete(draft())
			change(body)
			s.lay(body, ines, attest.SignOffs)
			s.commit(ines)
		}
	}
	for name, c := range map[string]struct {
		tell func(*story)
		want Why
	}{
		"no signature beside it": {func(s *story) {
			s.lay(s.complete(draft()), "", "")
			s.commit(ines)
		}, NoSignature},
		"the signature stripped later": {func(s *story) {
			s.sign(draft())
			delete(s.files, SignatureOf(signedPath))
			s.commit(ines)
		}, NoSignature},
		"a byte changed later": {func(s *story) {
			s.sign(draft())
			s.files[signedPath] = strings.Replace(s.files[signedPath], "tested as recorded", "tested as recordeD", 1)
			s.commit(ines)
		}, BadSignature},
		"only the layout changed": {func(s *story) {
			s.sign(draft())
			s.files[signedPath] += "\n"
			s.commit(ines)
		}, BadSignature},
		"a commit's signature crossed over": {func(s *story) {
			s.lay(s.complete(draft()), ines, attest.Commits)
			s.commit(ines)
		}, BadSignature},
		"the signature of another sign-off": {func(s *story) {
			s.sign(draft())
			d := draft()
			d.Slug = "again"
			body := s.complete(d)
			s.lay(body, "", "")
			s.files[SignatureOf(body.Path)] = s.files[SignatureOf(signedPath)]
			delete(s.files, signedPath)
			delete(s.files, SignatureOf(signedPath))
			s.commit(ines)
		}, BadSignature},
		"signed by a stranger": {func(s *story) {
			s.lay(s.complete(draft()), mallory, attest.SignOffs)
			s.commit(ines)
		}, UnknownKey},
		"signed by somebody else of the workshop": {func(s *story) {
			s.lay(s.complete(draft()), bram, attest.SignOffs)
			s.commit(ines)
		}, OtherSigner},
		"in the name of somebody else":   {lay(func(b *record.SignOff) { b.By = bram }), OtherSigner},
		"by a key entry of another name": {lay(func(b *record.SignOff) { b.Key = ines + "/key-2" }), OtherSigner},
		"signed before the key was added": {func(s *story) {
			s.key(mallory, "key-1")
			s.put(mallory+"/person.json", "kind", "person")
			body := s.complete(draft())
			body.By, body.Key = mallory, mallory+"/key-1"
			s.lay(body, mallory, attest.SignOffs)
			s.list()
			s.commit(ines) // key and sign-off in one commit
		}, UnknownKey},
		"by a key that let itself in": {func(s *story) {
			s.key(mallory, "key-1")
			s.put(mallory+"/person.json", "kind", "person")
			s.list()
			s.commit(mallory)
			d := draft()
			d.By, d.Key, d.RestsOn = mallory, mallory+"/key-1", nil
			s.sign(d)
		}, UnknownKey},
		"dated before the key was valid": {lay(func(b *record.SignOff) { b.On = "2025-12-31" }), KeyNotValid},
		"dated after the key was revoked": {func(s *story) {
			s.put(ines+"/revoked.json", "kind", "revocation", "of", ines+"/key-1", "on", "2026-03-02", "why", "lost")
			s.commit(ines)
			s.sign(draft())
		}, KeyRevoked},
		"revoked later, from before it was signed": {func(s *story) {
			s.sign(draft())
			s.put(ines+"/revoked.json", "kind", "revocation", "of", ines+"/key-1", "on", "2026-03-01", "why", "stolen")
			s.commit(bram)
		}, KeyRevoked},
		"a day that cannot be read": {lay(func(b *record.SignOff) { b.On = "soon" }), UnreadableDate},
		"moved to another place": {func(s *story) {
			s.sign(draft())
			for _, suffix := range []string{".json", ".sig"} {
				stem := strings.TrimSuffix(signedPath, ".json")
				s.files["signoffs/2026-03-02-ines-okafor-other"+suffix] = s.files[stem+suffix]
				delete(s.files, stem+suffix)
			}
			s.commit(ines)
		}, OtherPath},
		"made for another car's ledger": {lay(func(b *record.SignOff) { b.Ledger = strings.Repeat("0", 40) }), OtherLedger},
		"made for another car":          {lay(func(b *record.SignOff) { b.Numbers = []string{"*XX 00001 X*"} }), OtherCar},
		"over a state nobody has":       {lay(func(b *record.SignOff) { b.Tree = strings.Repeat("1", 40) }), NotInHistory},
		"over a state that came later": {func(s *story) {
			s.files["note"] = "later"
			later := s.treeID()
			delete(s.files, "note")
			body := s.complete(draft())
			body.Tree = later
			s.lay(body, ines, attest.SignOffs)
			s.commit(ines)
			here := s.files
			s.files = map[string]string{"note": "later"}
			for k, v := range s.kept[s.commits[1].ID].MapFS {
				s.files[k] = string(v.Data)
			}
			s.commit(ines)
			s.files = here
			s.commit(ines)
		}, NotInHistory},
		"over a record that never read so": {lay(func(b *record.SignOff) {
			b.Covers[0].Digest = record.Digest(digestOf("something else"))
		}), NeverLikeThat},
		"over a record that was never there": {lay(func(b *record.SignOff) {
			b.Covers = append(b.Covers, record.Covered{Record: "parts/ghost", Digest: record.Digest(digestOf(""))})
		}), NeverLikeThat},
		"over a file outside the car": {lay(func(b *record.SignOff) {
			b.Covers = append(b.Covers, record.Covered{Record: "../../etc/passwd", Digest: record.Digest(digestOf(""))})
		}), NeverLikeThat},
		"without a key":    {lay(func(b *record.SignOff) { b.Key = "" }), Unfinished},
		"without a tree":   {lay(func(b *record.SignOff) { b.Tree = "" }), Unfinished},
		"without a ledger": {lay(func(b *record.SignOff) { b.Ledger = "" }), Unfinished},
		"of another form":  {lay(func(b *record.SignOff) { b.Form = "wax" }), Unfinished},
		"withdrawn": {func(s *story) {
			s.sign(draft())
			s.put("signoffs/2026-03-03-ines-okafor-back.json", "kind", "sign-off", "withdraws", string(signedName), "reason", "wrong car on the lift")
			s.commit(ines)
		}, TakenBack},
		"ink without a witness": {lay(func(b *record.SignOff) { b.Form, b.Scan, b.Key = "paper", "papers/x", "" }), Unfinished},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := withPart(t)
			c.tell(s)
			var worst *Verdict
			for _, v := range s.verdicts(untouched) {
				if v.Status == Void {
					worst = &v
				}
			}
			if worst == nil || worst.Why != c.want || worst.Valid() {
				t.Fatalf("judged %+v, want void: %q", worst, c.want)
			}
			if worst.By == "" || worst.Meaning == "" {
				t.Errorf("whose it is and what it says is not told: %+v", worst)
			}
			s.askKeygen(record.PathOf(worst.Record), c.want == BadSignature)
		})
	}
}

// askKeygen has the stock tool judge the bytes of a sign-off, whoever signed: its no is our bad signature.
func (s *story) askKeygen(path string, bad bool) {
	s.t.Helper()
	sig, signed := s.files[SignatureOf(path)]
	if !signed {
		return
	}
	dir := s.t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "sig"), []byte(sig), 0o600); err != nil {
		s.t.Fatal(err)
	}
	out, err := tool(s.t.(*testing.T), dir, []byte(s.files[path]), "ssh-keygen", "-Y", "check-novalidate", "-n", string(attest.SignOffs), "-s", "sig")
	if (err != nil) != bad {
		s.t.Errorf("ssh-keygen says %v\n%s", err, out)
	}
}

func TestWhatChangedSinceMakesASignOffStale(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*story)
		want   []Difference
		fields string // named in the difference
	}{
		"a covered record changed": {func(s *story) {
			s.put("parts/motor.json", "kind", "part", "name", "Motor", "mass", "41 kg")
		}, []Difference{{What: Altered, Record: "parts/motor"}}, "mass"},
		"only its layout changed":  {func(s *story) { s.files["parts/motor.json"] += "\n" }, []Difference{{What: Altered, Record: "parts/motor"}}, ""},
		"a covered record removed": {func(s *story) { delete(s.files, "parts/motor.json") }, []Difference{{What: Gone, Record: "parts/motor"}}, ""},
		"a covered record corrected": {func(s *story) {
			s.put("parts/motor-2.json", "kind", "part", "name", "Motor", "mass", "41 kg", "corrects", "parts/motor", "reason", "misread")
		}, []Difference{{What: Corrected, Record: "parts/motor", By: "parts/motor-2", Reason: "misread"}}, "mass"},
		"a covered record withdrawn": {func(s *story) {
			s.put("readings/2026-03-03-ines-back.json", "kind", "reading", "withdraws", "readings/2026-03-02-ines-insulation", "reason", "wrong meter")
		}, []Difference{{What: Withdrawn, Record: "readings/2026-03-02-ines-insulation", By: "readings/2026-03-03-ines-back", Reason: "wrong meter"}}, ""},
		"a fork of corrections": {func(s *story) {
			s.put("parts/motor-2.json", "kind", "part", "corrects", "parts/motor", "reason", "a")
			s.put("parts/motor-3.json", "kind", "part", "corrects", "parts/motor", "reason", "b")
		}, []Difference{{What: InDispute, Record: "parts/motor"}}, ""},
		"the licence extended after the fact": {func(s *story) {
			s.put(ines+"/licence-hv.json", "kind", "licence", "scope", []string{"traction circuit"}, "until", "2030-01-01")
		}, []Difference{{What: Altered, Record: ines + "/licence-hv"}}, "until"},
		"the calibration extended after the fact": {func(s *story) {
			const tester = "instruments/tallow-lane/insulation-tester/calibration-2026-01-10"
			s.put(tester+".json", "kind", "calibration", "on", "2026-01-10", "due", "2026-02-01")
			s.commit(ines)
			d := draft()
			d.Slug, d.RestsOn = "second", []record.Ref{tester}
			s.sign(d)
			s.put(tester+".json", "kind", "calibration", "on", "2026-01-10", "due", "2030-01-01")
		}, []Difference{{What: Altered, Record: "instruments/tallow-lane/insulation-tester/calibration-2026-01-10"}}, "due"},
		"the key entry extended after the fact": {func(s *story) {
			s.key(ines, "key-1", "from", "2020-01-01")
		}, []Difference{{What: Altered, Record: ines + "/key-1"}}, ""},
		"a covered record that can no longer be read": {func(s *story) { s.files["parts/motor.json"] = "{" }, []Difference{{What: Altered, Record: "parts/motor"}}, ""},
		"a number of the car read otherwise": {func(s *story) {
			s.put("car.json", "kind", "car", "numbers", []map[string]string{{"raw": "*TK 40317 R*"}, {"raw": "TE15/22864 H"}})
			s.commit(ines)
			d := draft()
			d.Slug = "second"
			s.sign(d)
			s.put("car.json", "kind", "car", "numbers", []map[string]string{{"raw": "*TK 40317 R*"}, {"raw": "TE15/22861 H"}})
		}, []Difference{{What: NumberGone, Record: "car", Number: "TE15/22864 H"}}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := withPart(t)
			s.sign(draft())
			c.change(s)
			s.commit(ines)
			var stale []Verdict
			for _, v := range s.verdicts(untouched) {
				if v.Status == Stale {
					stale = append(stale, v)
				}
			}
			if len(stale) != 1 || !stale[0].Valid() {
				t.Fatalf("stale are %+v", stale)
			}
			var got []Difference
			told := ""
			for _, d := range stale[0].Differences {
				told += fieldsOf(d.Changes)
				d.Changes = nil
				got = append(got, d)
			}
			if !equalDifferences(got, c.want) {
				t.Errorf("told as %+v, want %+v", got, c.want)
			}
			if c.fields != "" && !strings.Contains(told, c.fields) {
				t.Errorf("the changes name %q, want %q", told, c.fields)
			}
		})
	}
}

func fieldsOf(changes []history.Change) string {
	text := ""
	for _, c := range changes {
		for _, f := range c.Fields {
			text += f.Label + " " + f.At + ";"
		}
	}
	return text
}

func equalDifferences(a, b []Difference) bool {
	return slices.EqualFunc(a, b, func(x, y Difference) bool {
		return x.What == y.What && x.Record == y.Record && x.By == y.By && x.Reason == y.Reason && x.Number == y.Number
	})
}

func TestLaterWorkOnAFacetMakesItStale(t *testing.T) {
	s := withPart(t)
	s.sign(draft())
	touch := Touch{Facet: "traction circuit", By: "work/2026-03-09-bram-cable", On: "2026-03-09"}
	v := s.verdicts(func(r *record.Record, body *record.SignOff) []Touch {
		if r.ID != signedName || !slices.Contains(body.Facets, "traction circuit") {
			t.Errorf("asked about %s and %v", r.ID, body.Facets)
		}
		return []Touch{touch}
	})[signedName]
	if v.Status != Stale || len(v.Touches) != 1 || v.Touches[0] != touch {
		t.Errorf("judged %q: %+v", v.Status, v.Touches)
	}
}

func TestRecordsThatCameLaterAreNotCovered(t *testing.T) {
	s := withPart(t)
	s.sign(draft())
	s.put("readings/2026-03-05-ines-insulation.json", "kind", "reading", "what", "insulation")
	s.put("concerns/noise.json", "kind", "concern") // of a kind that it does not cover
	s.commit(ines)
	v := s.verdicts(untouched)[signedName]
	if v.Status != Current || !slices.Equal(v.Newer, []record.Ref{"readings/2026-03-05-ines-insulation"}) {
		t.Errorf("judged %q, newer are %v", v.Status, v.Newer)
	}
}

func TestASignOffInThePlaceOfAnotherSupersedesIt(t *testing.T) {
	s := withPart(t)
	s.sign(draft())
	d := draft()
	d.Slug, d.Corrects, d.Reason = "again", signedName, "retested"
	s.sign(d)
	all := s.verdicts(untouched)
	if v := all[signedName]; v.Status != Superseded || v.Other != "signoffs/2026-03-02-ines-okafor-again" {
		t.Errorf("the first is judged %q by %q", v.Status, v.Other)
	}
	if v := all["signoffs/2026-03-02-ines-okafor-again"]; v.Status != Current {
		t.Errorf("the second is judged %q: %q", v.Status, v.Why)
	}
}

func TestInkIsTranscribedAndNeverVerified(t *testing.T) {
	s := withPart(t)
	s.put("papers/certificate.json", "kind", "paper")
	s.commit(ines)
	d := draft()
	d.By, d.Key, d.RestsOn, d.Scan, d.SeenBy, d.Slug = edda, "", nil, "papers/certificate", ines, "inspection"
	body := s.complete(d)
	s.lay(body, edda, attest.SignOffs) // a signature beside it changes nothing
	s.commit(ines)
	v := s.verdicts(untouched)["signoffs/2026-03-02-edda-thackwell-inspection"]
	if v.Status != Transcribed || v.Valid() || v.SeenBy != ines || v.Scan != "papers/certificate" || v.Key.Ref != "" {
		t.Fatalf("judged %q: %+v", v.Status, v)
	}
	s.put("parts/motor.json", "kind", "part", "mass", "1 kg")
	s.commit(ines)
	v = s.verdicts(untouched)["signoffs/2026-03-02-edda-thackwell-inspection"]
	if v.Status != Transcribed || len(v.Differences) != 1 {
		t.Errorf("after a change: %q, %+v", v.Status, v.Differences)
	}
}

// countered is a story in which the ledger asks for two signatures, and somebody
// signs over the sign-off of ines.
func countered(t testing.TB, by string, change func(*record.SignOff)) *story {
	s := withPart(t)
	s.put("ledger.json", "kind", "ledger", "signing", map[string]any{"two-signatures": []string{"traction circuit"}})
	s.commit(ines)
	s.sign(draft())
	d := Draft{By: ref(by), On: "2026-03-03", Slug: "seen", Meaning: "seen", Covers: []record.Ref{signedName}, Key: ref(by + "/key-1")}
	body := s.complete(d)
	change(body)
	s.lay(body, by, attest.SignOffs)
	s.commit(ines)
	return s
}

func TestTwoSignaturesAreWhatTheyAre(t *testing.T) {
	keep := func(*record.SignOff) {}
	for name, c := range map[string]struct {
		by       string
		change   func(*record.SignOff)
		counters int
		outsider bool
	}{
		"by a colleague":                 {bram, keep, 1, false},
		"by somebody from outside":       {edda, keep, 1, true},
		"by the same person once more":   {ines, keep, 0, false},
		"over another state of the file": {bram, func(b *record.SignOff) { b.Covers[len(b.Covers)-1].Digest = record.Digest(digestOf("x")) }, 0, false},
		"one that is void itself":        {bram, func(b *record.SignOff) { b.Ledger = strings.Repeat("0", 40) }, 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			v := countered(t, c.by, c.change).verdicts(untouched)[signedName]
			if len(v.Counters) != c.counters || v.Wanted != (c.counters == 0) || v.Status != Current {
				t.Fatalf("judged %q, counters %+v, wanted %v", v.Status, v.Counters, v.Wanted)
			}
			if c.counters > 0 && (v.Counters[0].By != ref(c.by) || v.Counters[0].Outsider != c.outsider) {
				t.Errorf("told as %+v", v.Counters[0])
			}
		})
	}
}

func TestToAskNoLongerForTwoSignaturesDoesNotMakeUpForTheMissingOne(t *testing.T) {
	s := countered(t, ines, func(*record.SignOff) {})
	s.put("ledger.json", "kind", "ledger")
	s.commit(ines)
	if v := s.verdicts(untouched)[signedName]; !v.Wanted {
		t.Errorf("judged %q, counters %+v", v.Status, v.Counters)
	}
	d := draft()
	d.Slug = "after"
	s.sign(d)
	if v := s.verdicts(untouched)["signoffs/2026-03-02-ines-okafor-after"]; v.Wanted {
		t.Error("one that came in after that is asked for two signatures")
	}
}

func TestACounterSignatureOverAnEarlierTextOfASignOffDoesNotCount(t *testing.T) {
	s := countered(t, bram, func(*record.SignOff) {})
	delete(s.files, signedPath)
	d := draft()
	d.Meaning = "tested as recorded, twice"
	s.lay(s.complete(d), ines, attest.SignOffs)
	s.commit(ines)
	v := s.verdicts(untouched)[signedName]
	if v.Status != Current || len(v.Counters) != 0 || !v.Wanted {
		t.Errorf("judged %q, counters %+v", v.Status, v.Counters)
	}
}

func TestEntriesThatAreNotCoveredAreNamed(t *testing.T) {
	s := withPart(t)
	body := s.complete(draft())
	body.Covers = slices.DeleteFunc(body.Covers, func(c record.Covered) bool { return strings.HasPrefix(string(c.Record), "people/") })
	s.lay(body, ines, attest.SignOffs)
	s.commit(ines)
	v := s.verdicts(untouched)[signedName]
	if !slices.Equal(v.Unbound, []record.Ref{ines + "/key-1", ines + "/licence-hv"}) {
		t.Errorf("named are %v", v.Unbound)
	}
}

func TestAPlaceholderDoesNotMakeASignOffOlder(t *testing.T) {
	s := withPart(t)
	s.files[signedPath], s.files[SignatureOf(signedPath)] = "{}", "x"
	s.commit(ines)
	delete(s.files, signedPath) // so that the draft finds its place
	body := s.complete(draft())
	s.lay(body, ines, attest.SignOffs)
	late := s.commitAs(how{by: ines, when: s.clock.AddDate(0, 6, 0)})
	v := s.verdicts(untouched)[signedName]
	if v.Entered == nil || v.Entered.ID != late {
		t.Errorf("entered with %+v, not with %s", v.Entered, late)
	}
}

func TestADayAfterTheEntryIsTold(t *testing.T) {
	s := withPart(t)
	d := draft()
	d.On = "2027-01-01"
	s.sign(d)
	if v := s.verdicts(untouched)["signoffs/2027-01-01-ines-okafor-traction"]; !v.After {
		t.Errorf("dated %s, entered %s", v.On, v.Entered.Committer.When.Format(time.RFC3339))
	}
}

func TestAForkOfSignOffsIsTold(t *testing.T) {
	s := withPart(t)
	s.sign(draft())
	for _, slug := range []string{"b", "c"} {
		d := draft()
		d.Slug, d.Corrects, d.Reason = slug, signedName, "again"
		s.lay(s.complete(d), ines, attest.SignOffs)
	}
	s.commit(ines)
	for name, v := range s.verdicts(untouched) {
		if !v.Disputed {
			t.Errorf("%s is not told as disputed: %q", name, v.Status)
		}
	}
}

func TestDraftsThatWouldBeVoidAreRefused(t *testing.T) {
	s := withPart(t)
	s.put("parts/old.json", "kind", "part")
	s.put("parts/new.json", "kind", "part", "corrects", "parts/old", "reason", "x")
	s.files[signedPath] = "{}"
	for name, c := range map[string]struct {
		change func(*Draft)
		says   string
	}{
		"no day":                       {func(d *Draft) { d.On = "" }, "no day"},
		"a month":                      {func(d *Draft) { d.On = "2026-03" }, "no day"},
		"no meaning":                   {func(d *Draft) { d.Meaning = "" }, "what it means"},
		"nothing covered":              {func(d *Draft) { d.Covers = nil }, "names what it covers"},
		"a key of somebody else":       {func(d *Draft) { d.Key = bram + "/key-1" }, "not a key of"},
		"neither key nor ink":          {func(d *Draft) { d.Key = "" }, "either a key"},
		"both key and ink":             {func(d *Draft) { d.Scan, d.SeenBy = "papers/x", bram }, "either a key"},
		"ink that nobody saw":          {func(d *Draft) { d.Key, d.Scan = "", "papers/x" }, "either a key"},
		"nobody":                       {func(d *Draft) { d.By, d.Key = mallory, mallory+"/key-1" }, "nobody in this ledger"},
		"a name with a blank":          {func(d *Draft) { d.Slug = "a b" }, "no place"},
		"a name that climbs":           {func(d *Draft) { d.Slug = "../x" }, "no place"},
		"a name that is taken":         {func(d *Draft) { d.Slug = "traction" }, "taken"},
		"a record that is not there":   {func(d *Draft) { d.Covers = append(d.Covers, "parts/ghost") }, "not in the ledger"},
		"a record that stands no more": {func(d *Draft) { d.Covers = append(d.Covers, "parts/old") }, "sign for what stands"},
	} {
		d := draft()
		d.Slug = "fresh"
		c.change(&d)
		if body, err := d.Complete(s.snapshot(), strings.Repeat("a", 40), strings.Repeat("b", 40)); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %+v, %v", name, body, err)
		}
	}
}

func TestACompletedDraftSaysEverythingItRestsOn(t *testing.T) {
	s := withPart(t)
	body := s.complete(draft())
	var covers []record.Ref
	for _, c := range body.Covers {
		covers = append(covers, c.Record)
		if want := digestOf(s.files[record.PathOf(c.Record)]); string(c.Digest) != want {
			t.Errorf("%s has the digest %s, want %s", c.Record, c.Digest, want)
		}
	}
	want := []record.Ref{"parts/motor", ines + "/key-1", ines + "/licence-hv", "readings/2026-03-02-ines-insulation"}
	if !slices.Equal(covers, want) || body.Path != signedPath || body.Form != "key" || !slices.Equal(body.Numbers, []string{"*TK 40317 R*"}) {
		t.Errorf("covers %v, path %s, form %s, numbers %v", covers, body.Path, body.Form, body.Numbers)
	}
}
