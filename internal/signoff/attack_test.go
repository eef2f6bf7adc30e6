package signoff

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"boltback/internal/attest"
	"boltback/internal/record"
)

// seen is what a reader sees of a ledger who pinned the key of ines and kept the
// id of a commit.
type seen struct {
	trust    *Trust
	verdicts map[record.Ref]Verdict
	kept     Holding
}

// TestAttacksAreSeenForWhatTheyAre plays what somebody with the whole folder in
// his hands can do to it, and says what a reader must see.
func TestAttacksAreSeenForWhatTheyAre(t *testing.T) {
	status := func(want Status, why Why) func(*testing.T, seen) {
		return func(t *testing.T, s seen) {
			if v, ok := s.verdicts[signedName]; !ok || v.Status != want || v.Why != why {
				t.Errorf("the sign-off is %q, %q", v.Status, v.Why)
			}
		}
	}
	last := func(want attest.Standing) func(*testing.T, seen) {
		return func(t *testing.T, s seen) {
			if step := s.trust.Steps[len(s.trust.Steps)-1]; step.Standing != want {
				t.Errorf("the last commit is judged %q, want %q", step.Standing, want)
			}
		}
	}
	noted := func(kind NoteKind) func(*testing.T, seen) {
		return func(t *testing.T, s seen) {
			if !slices.ContainsFunc(s.trust.Steps, func(step Step) bool { return slices.Contains(noteKinds(step), kind) }) {
				t.Errorf("nobody notes %q", kind)
			}
		}
	}
	origin := func(want Origin) func(*testing.T, seen) {
		return func(t *testing.T, s seen) {
			if s.trust.Origin != want {
				t.Errorf("the origin is %d, want %d", s.trust.Origin, want)
			}
		}
	}
	missed := func(t *testing.T, s seen) {
		if s.kept != Missing {
			t.Errorf("the commit that was kept is held as %d", s.kept)
		}
	}
	for name, c := range map[string]struct {
		attack func(*story)
		see    []func(*testing.T, seen)
	}{
		"nothing at all": {func(*story) {}, []func(*testing.T, seen){status(Current, ""), origin(Established), last(attest.Good)}},
		"the ledger relabelled as another car": {func(s *story) {
			s.put("car.json", "kind", "car", "numbers", []map[string]string{{"raw": "*TK 99999 R*"}})
			s.commit(mallory)
		}, []func(*testing.T, seen){status(Void, OtherCar), last(attest.UnknownKey)}},
		"the whole history told anew by a stranger": {func(s *story) {
			files := s.files
			*s = *newStory(s.t)
			s.files = files
			s.key(mallory, "key-1")
			s.list()
			s.commit(mallory)
		}, []func(*testing.T, seen){status(Void, OtherLedger), origin(Contradicted), missed}},
		"the whole history told anew by the workshop": {func(s *story) {
			files := s.files
			*s = *newStory(s.t)
			s.files = files
			s.commit(ines)
		}, []func(*testing.T, seen){status(Void, OtherLedger), origin(Established), missed}},
		"the history cut short before the sign-off": {func(s *story) {
			s.commits = s.commits[:2]
			s.head = s.commits[1].ID
			s.files = map[string]string{}
			for name, f := range s.kept[s.head].MapFS {
				s.files[name] = string(f.Data)
			}
		}, []func(*testing.T, seen){origin(Established), last(attest.Good), missed}},
		"the beginning cut off": {func(s *story) {
			s.commits = s.commits[1:]
		}, []func(*testing.T, seen){noted(CutOff), last(attest.UnknownKey)}},
		"the people at the head replaced": {func(s *story) {
			s.key(mallory, "key-1")
			for name := range s.files {
				if strings.HasPrefix(name, ines) {
					delete(s.files, name)
				}
			}
			s.list()
			s.commit(mallory)
		}, []func(*testing.T, seen){status(Stale, ""), last(attest.UnknownKey), noted(KeyNotTrusted), noted(KeyGone)}},
		"a key put into the entry of somebody else": {func(s *story) {
			s.put(ines+"/key-1.json", "kind", "key", "public", signerOf(mallory).Public().String())
			s.list()
			s.commit(mallory)
			s.commit(mallory)
		}, []func(*testing.T, seen){last(attest.UnknownKey), noted(KeyAltered)}},
		"a revocation forged to void what was signed": {func(s *story) {
			s.put(ines+"/revoked.json", "kind", "revocation", "of", ines+"/key-1", "on", "2026-01-02")
			s.commit(mallory)
		}, []func(*testing.T, seen){status(Void, KeyRevoked), noted(EndingNotSigned)}},
		"a correction forged over a covered record": {func(s *story) {
			s.put("parts/motor-2.json", "kind", "part", "corrects", "parts/motor", "reason", "because", "mass", "1 kg")
			s.commit(mallory)
		}, []func(*testing.T, seen){status(Stale, ""), last(attest.UnknownKey)}},
		"a signature of enormous length": {func(s *story) {
			s.files[SignatureOf(signedPath)] += strings.Repeat("x", longestFile)
			s.commit("")
		}, []func(*testing.T, seen){status(Void, NoSignature), noted(SignOffAltered), last(attest.Unsigned)}},
		"the sign-off made unreadable": {func(s *story) {
			s.files[signedPath] = strings.Repeat("[", 100_000)
			s.commit("")
		}, []func(*testing.T, seen){noted(SignOffAltered), func(t *testing.T, s seen) {
			if v, ok := s.verdicts[signedName]; ok && v.Valid() {
				t.Errorf("it is %q", v.Status)
			}
		}}},
		"a sign-off removed without a trace in the files": {func(s *story) {
			delete(s.files, signedPath)
			delete(s.files, SignatureOf(signedPath))
			s.commit(ines)
		}, []func(*testing.T, seen){noted(SignOffGone)}},
		"a commit dated into the past": {func(s *story) {
			s.commitAs(how{by: ines, when: time.Date(2026, 1, 15, 0, 0, 0, 0, time.UTC)})
		}, []func(*testing.T, seen){noted(DatesBackwards)}},
		"a signed commit replayed on another parent": {func(s *story) {
			replayed := s.commits[1]
			replayed.Payload = []byte(strings.Replace(string(replayed.Payload), s.commits[0].ID, s.head, 1))
			s.add(replayed)
		}, []func(*testing.T, seen){last(attest.Bad)}},
		"the signature of one commit on another": {func(s *story) {
			s.commit(mallory)
			s.commits[len(s.commits)-1].Signature = s.commits[0].Signature
		}, []func(*testing.T, seen){last(attest.Bad)}},
		"a tag's or commit's bytes offered as a sign-off": {func(s *story) {
			s.files[signedPath] = string(s.commits[0].Payload)
			s.files[SignatureOf(signedPath)] = string(s.commits[0].Signature)
			s.commit(ines)
		}, []func(*testing.T, seen){noted(SignOffAltered), func(t *testing.T, s seen) {
			if v, ok := s.verdicts[signedName]; ok {
				t.Errorf("it is read as a sign-off: %q", v.Status)
			}
		}}},
		"policy weakened and used in one commit": {func(s *story) {
			s.put("ledger.json", "kind", "ledger", "signing", map[string]any{"commits": "all"})
			s.commit(ines)
			s.put("ledger.json", "kind", "ledger")
			s.commit("")
		}, []func(*testing.T, seen){noted(PolicyWeakened), noted(PolicyBroken), last(attest.Unsigned)}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := withPart(t)
			s.sign(draft())
			kept := s.head
			c.attack(s)
			view := seen{trust: s.walk(Pins{Keys: []string{fingerprint(ines)}}), verdicts: s.verdicts(untouched)}
			view.kept = view.trust.Holds(s.head, kept)
			for _, see := range c.see {
				see(t, view)
			}
		})
	}
}

// TestAnyChangedByteOfWhatWasSignedShows changes one byte anywhere in the
// sign-off, its signature or a covered file; it is never current after that.
func TestAnyChangedByteOfWhatWasSignedShows(t *testing.T) {
	s := withPart(t)
	body := s.sign(draft())
	files := []string{signedPath, SignatureOf(signedPath)}
	for _, c := range body.Covers {
		files = append(files, record.PathOf(c.Record))
	}
	trust, head := s.walk(Pins{}), s.head
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.SampledFrom(files).Draw(rt, "file")
		before := s.files[name]
		changed := []byte(before)
		at := rapid.IntRange(0, len(changed)-1).Draw(rt, "at")
		changed[at] ^= byte(rapid.IntRange(1, 255).Draw(rt, "by"))
		s.files[name] = string(changed)
		defer func() { s.files[name] = before }()
		list, err := Judge(Scene{Ledger: s.snapshot(), Trust: trust, Head: head, Files: s.open, Touched: untouched})
		if err != nil {
			rt.Fatal(err)
		}
		for _, v := range list {
			if v.Status == Current {
				rt.Fatalf("byte %d of %s was changed, and %s is current", at, name, v.Record)
			}
		}
	})
}

// TestSignaturesSwappedBetweenTwoSignOffsFitNeither leaves every byte in the
// ledger as it was signed, in the other's place.
func TestSignaturesSwappedBetweenTwoSignOffsFitNeither(t *testing.T) {
	s := withPart(t)
	s.sign(draft())
	d := draft()
	d.Slug = "again"
	one, other := SignatureOf(signedPath), SignatureOf(s.sign(d).Path)
	s.files[one], s.files[other] = s.files[other], s.files[one]
	s.commit(ines)
	for name, v := range s.verdicts(untouched) {
		if v.Status != Void || v.Why != BadSignature {
			t.Errorf("%s is %q, %q", name, v.Status, v.Why)
		}
	}
}
