package signoff

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"boltback/internal/attest"
	"boltback/internal/record"
)

func ref(s string) record.Ref { return record.Ref(s) }

// noteKinds lists what was noted at a step.
func noteKinds(s Step) []NoteKind {
	var kinds []NoteKind
	for _, n := range s.Notes {
		kinds = append(kinds, n.Kind)
	}
	return kinds
}

// TestEachCommitIsJudgedByWhatWasTrueBeforeIt tells short stories; the verdict is
// on their last commit.
func TestEachCommitIsJudgedByWhatWasTrueBeforeIt(t *testing.T) {
	addBram := func(s *story, by string) {
		s.key(bram, "key-1")
		s.list()
		s.commit(by)
	}
	for name, c := range map[string]struct {
		tell  func(*story)
		want  attest.Standing
		notes []NoteKind
	}{
		"a commit by a key of the first commit": {func(s *story) { s.commit(ines) }, attest.Good, nil},
		"an unsigned commit":                    {func(s *story) { s.commit("") }, attest.Unsigned, nil},
		"a commit by a stranger":                {func(s *story) { s.commit(mallory) }, attest.UnknownKey, nil},
		"a commit by a key that a valid one added": {func(s *story) {
			addBram(s, ines)
			s.commit(bram)
		}, attest.Good, nil},
		"the commit that adds the key itself": {func(s *story) { addBram(s, bram) }, attest.UnknownKey, []NoteKind{KeyNotTrusted}},
		"a commit by a key that an unsigned commit added": {func(s *story) {
			addBram(s, "")
			s.commit(bram)
		}, attest.UnknownKey, nil},
		"a commit by a key that let itself in": {func(s *story) {
			addBram(s, bram)
			s.commit(bram)
		}, attest.UnknownKey, nil},
		"a key let in by one that let itself in": {func(s *story) {
			addBram(s, bram)
			s.key(edda, "key-1")
			s.list()
			s.commit(bram)
			s.commit(edda)
		}, attest.UnknownKey, nil},
		"a stranger in the list for stock tools alone": {func(s *story) {
			s.files["allowed_signers"] += "mallory@tallow-lane.invalid " + signerOf(mallory).Public().String() + "\n"
			s.commit("")
			s.commit(mallory)
		}, attest.UnknownKey, nil},
		"the list for stock tools changed": {func(s *story) {
			s.files["allowed_signers"] += "mallory@tallow-lane.invalid " + signerOf(mallory).Public().String() + "\n"
			s.commit(ines)
		}, attest.Good, []NoteKind{SignersDiffer}},
		"a sign-off's signature on a commit": {func(s *story) {
			s.commitAs(how{by: ines, ns: attest.SignOffs})
		}, attest.Bad, nil},
		"a commit before the key was valid": {func(s *story) {
			s.commitAs(how{by: ines, when: time.Date(2025, 12, 31, 23, 59, 59, 0, time.UTC)})
		}, attest.OutsideValidity, []NoteKind{DatesBackwards}},
		"a commit dated before its parent": {func(s *story) {
			s.commitAs(how{by: ines, when: s.clock.Add(-30 * time.Minute)})
		}, attest.Good, []NoteKind{DatesBackwards}},
		"a commit in the name of somebody else": {func(s *story) {
			s.commitAs(how{by: ines, author: bram})
		}, attest.Good, []NoteKind{OtherAuthor}},
		"a commit after the key was revoked": {func(s *story) {
			s.put(ines+"/revoked.json", "kind", "revocation", "of", ines+"/key-1", "on", "2026-03-02")
			s.commit(ines)
			s.commit(ines)
		}, attest.Revoked, nil},
		"the commit that revokes": {func(s *story) {
			s.put(ines+"/revoked.json", "kind", "revocation", "of", ines+"/key-1", "on", "2026-03-03")
			s.list()
			s.commit(ines)
		}, attest.Good, []NoteKind{KeyEnded}},
		"a revocation that nobody signed": {func(s *story) {
			s.put(ines+"/revoked.json", "kind", "revocation", "of", ines+"/key-1", "on", "2026-03-02")
			s.list()
			s.commit("")
		}, attest.Unsigned, []NoteKind{EndingNotSigned}},
		"a commit by a key whose revocation was removed": {func(s *story) {
			s.put(ines+"/revoked.json", "kind", "revocation", "of", ines+"/key-1", "on", "2026-03-02")
			s.commit("")
			delete(s.files, ines+"/revoked.json")
			s.list()
			s.commit(ines)
		}, attest.Revoked, []NoteKind{EndingGone}},
		"a key entry extended after the fact": {func(s *story) {
			s.key(bram, "key-1", "until", "2026-03-01")
			s.list()
			s.commit(ines)
			s.key(bram, "key-1", "until", "2027-03-01")
			s.list()
			s.commit(ines)
			s.commit(bram)
		}, attest.OutsideValidity, nil},
		"the commit that extends a key entry": {func(s *story) {
			s.key(ines, "key-1", "from", "2020-01-01")
			s.list()
			s.commit(ines)
		}, attest.Good, []NoteKind{KeyAltered}},
		"a key entry removed": {func(s *story) {
			addBram(s, ines)
			delete(s.files, bram+"/key-1.json")
			s.list()
			s.commit(ines)
		}, attest.Good, []NoteKind{KeyGone}},
		"a key entry that claims to correct another": {func(s *story) {
			s.key(ines, "key-2", "corrects", ines+"/key-1", "reason", "longer")
			s.commit(ines)
		}, attest.Good, []NoteKind{KeyUnusable}},
		"one key for two people": {func(s *story) {
			s.put(bram+"/key-1.json", "kind", "key", "public", signerOf(ines).Public().String())
			s.list()
			s.commit(ines)
		}, attest.Good, []NoteKind{KeyAdded, KeyShared}},
		"a key too short to bind anybody": {func(s *story) {
			s.put(bram+"/key-1.json", "kind", "key", "public", "ssh-dss AAAA")
			s.list()
			s.commit(ines)
		}, attest.Good, []NoteKind{KeyUnusable}},
		"an unsigned commit where the ledger asks for signed ones": {func(s *story) {
			s.put("ledger.json", "kind", "ledger", "edition", "1", "signing", map[string]any{"commits": "all"})
			s.commit(ines)
			s.commit("")
		}, attest.Unsigned, []NoteKind{PolicyBroken}},
		"the commit that begins to ask for signatures": {func(s *story) {
			s.put("ledger.json", "kind", "ledger", "edition", "1", "signing", map[string]any{"commits": "all"})
			s.commit("")
		}, attest.Unsigned, nil},
		"a policy weakened by a valid key": {func(s *story) {
			s.put("ledger.json", "kind", "ledger", "signing", map[string]any{"commits": "all", "two-signatures": []string{"brakes", "mass"}})
			s.commit(ines)
			s.put("ledger.json", "kind", "ledger", "signing", map[string]any{"two-signatures": []string{"mass"}})
			s.commit(ines)
		}, attest.Good, []NoteKind{PolicyWeakened, PolicyWeakened}},
		"limits softened": {func(s *story) {
			s.put("ledger.json", "kind", "ledger", "limits", map[string]any{"found-parts": 80, "sighting-age": 6, "attachments": 95})
			s.commit(ines)
			s.put("ledger.json", "kind", "ledger", "limits", map[string]any{"found-parts": 40, "sighting-age": 12})
			s.commit(ines)
		}, attest.Good, []NoteKind{PolicyWeakened, PolicyWeakened, PolicyWeakened}},
		"a ledger.json that cannot be read any more": {func(s *story) {
			s.put("ledger.json", "kind", "ledger", "signing", map[string]any{"commits": "all"})
			s.commit(ines)
			s.files["ledger.json"] = "{"
			s.commit(ines)
		}, attest.Good, []NoteKind{PolicyWeakened}},
		"a sign-off altered": {func(s *story) {
			s.files["signoffs/2026-03-02-ines-x.json"] = "{}"
			s.commit(ines)
			s.files["signoffs/2026-03-02-ines-x.json"] = "{ }"
			s.commit(ines)
		}, attest.Good, []NoteKind{SignOffAltered}},
		"a signature of a sign-off removed": {func(s *story) {
			s.files["signoffs/2026-03-02-ines-x.sig"] = "x"
			s.commit(ines)
			delete(s.files, "signoffs/2026-03-02-ines-x.sig")
			s.commit(ines)
		}, attest.Good, []NoteKind{SignOffGone}},
		"nothing changed since a sign-off was altered": {func(s *story) {
			s.files["signoffs/2026-03-02-ines-x.json"] = "{}"
			s.commit(ines)
			s.files["signoffs/2026-03-02-ines-x.json"] = "{ }"
			s.commit(ines)
			s.files["signoffs/2026-03-03-ines-y.json"] = "{}"
			s.commit(ines)
		}, attest.Good, nil},
		"a history that begins beside the first": {func(s *story) {
			main := s.head
			s.commitAs(how{by: ines, parents: []string{}})
			side := s.head
			s.commitAs(how{by: ines, parents: []string{main, side}})
		}, attest.Good, nil},
		"a merge": {func(s *story) {
			main := s.head
			s.files["note"] = "1"
			side := s.commit(ines)
			s.commitAs(how{by: ines, parents: []string{main, side}})
		}, attest.Good, nil},
		"a key from a branch that a valid key merged": {func(s *story) {
			main := s.head
			addBram(s, "")
			side := s.head
			s.commitAs(how{by: ines, parents: []string{main, side}})
			s.commit(bram)
		}, attest.Good, nil},
		"a key from a branch that nobody's key merged": {func(s *story) {
			main := s.head
			addBram(s, ines)
			side := s.head
			s.commitAs(how{parents: []string{main, side}})
			s.commit(bram)
		}, attest.UnknownKey, nil},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := begin(t)
			c.tell(s)
			last := s.walk(Pins{}).Steps[len(s.commits)-1]
			if last.Standing != c.want {
				t.Errorf("judged %q, want %q: %s", last.Standing, c.want, last.Detail)
			}
			if got := noteKinds(last); !slices.Equal(got, c.notes) {
				t.Errorf("noted %v, want %v", got, c.notes)
			}
			askGit(t, s, c.want == attest.Good)
		})
	}
}

// askGit has stock Git verify the last commit of a story against the keys that
// count before it: its yes is our Good.
func askGit(t *testing.T, s *story, want bool) {
	t.Helper()
	dir, last := t.TempDir(), s.commits[len(s.commits)-1]
	h, err := parseHead(last.Payload)
	if err != nil {
		t.Fatal(err)
	}
	object := string(last.Payload)
	if len(last.Signature) > 0 {
		folded := strings.ReplaceAll(strings.TrimSuffix(string(last.Signature), "\n"), "\n", "\n ")
		object = strings.Replace(object, "\n\n", "\ngpgsig "+folded+"\n\n", 1)
	}
	if err := os.WriteFile(filepath.Join(dir, "allowed"), s.walk(Pins{}).RingAt(h.parents[0]).list.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	git := func(stdin string, args ...string) (string, error) {
		return tool(t, dir, []byte(stdin), "git", append([]string{"-c", "gpg.format=ssh", "-c", "gpg.ssh.allowedSignersFile=allowed"}, args...)...)
	}
	if out, err := git("", "init", "-q"); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	id, err := git(object, "hash-object", "-t", "commit", "-w", "--stdin")
	if err != nil {
		t.Fatalf("%v\n%s", err, id)
	}
	if out, err := git("", "verify-commit", strings.TrimSpace(id)); (err == nil) != want {
		t.Errorf("git says %v\n%s", err, out)
	}
}

func TestTheOriginIsWhatThePinsSay(t *testing.T) {
	honest := begin(t)
	honest.key(bram, "key-1")
	honest.list()
	honest.commit(ines)
	forged := newStory(t) // the same car, told by mallory from the start
	forged.put("ledger.json", "kind", "ledger")
	forged.key(mallory, "key-1")
	forged.key(ines, "key-1") // ines is named, and did not sign
	forged.list()
	forged.commit(mallory)
	forged.commit(mallory)
	unsigned := newStory(t)
	unsigned.put("ledger.json", "kind", "ledger")
	unsigned.key(ines, "key-1")
	unsigned.list()
	unsigned.commit("")
	unsigned.commit(ines)
	first := honest.commits[0].ID
	for name, c := range map[string]struct {
		story *story
		pins  Pins
		want  Origin
		last  attest.Standing
	}{
		"no pin":                            {honest, Pins{}, NotEstablished, attest.Good},
		"the key pinned":                    {honest, Pins{Keys: []string{fingerprint(ines)}}, Established, attest.Good},
		"another key pinned":                {honest, Pins{Keys: []string{fingerprint(edda)}}, Contradicted, attest.UnknownKey},
		"a later key pinned":                {honest, Pins{Keys: []string{fingerprint(bram)}}, Contradicted, attest.UnknownKey},
		"one of two keys pinned":            {honest, Pins{Keys: []string{fingerprint(edda), fingerprint(ines)}}, Established, attest.Good},
		"the first commit pinned":           {honest, Pins{First: first}, Established, attest.Good},
		"another first commit pinned":       {honest, Pins{First: forged.commits[0].ID}, Contradicted, attest.UnknownKey},
		"key and first commit pinned":       {honest, Pins{First: first, Keys: []string{fingerprint(ines)}}, Established, attest.Good},
		"a forgery without a pin":           {forged, Pins{}, NotEstablished, attest.Good},
		"a forgery against the honest key":  {forged, Pins{Keys: []string{fingerprint(ines)}}, Contradicted, attest.UnknownKey},
		"an unsigned beginning":             {unsigned, Pins{}, NotEstablished, attest.Good},
		"an unsigned beginning, key pinned": {unsigned, Pins{Keys: []string{fingerprint(ines)}}, Contradicted, attest.Good},
	} {
		t.Run(name, func(t *testing.T) {
			trust := c.story.walk(c.pins)
			if trust.Origin != c.want {
				t.Errorf("the origin is %d, want %d", trust.Origin, c.want)
			}
			if last := trust.Steps[len(trust.Steps)-1]; last.Standing != c.last {
				t.Errorf("the last commit is judged %q, want %q", last.Standing, c.last)
			}
		})
	}
}

func TestAHistoryThatWasCutOffLetsNobodyIn(t *testing.T) {
	s := begin(t)
	s.commit(ines)
	s.commit(ines)
	whole := s.commits
	s.commits = whole[1:]
	trust := s.walk(Pins{})
	if got := noteKinds(trust.Steps[0]); !slices.Contains(got, CutOff) {
		t.Errorf("noted %v", got)
	}
	for _, step := range trust.Steps {
		if step.Good() {
			t.Errorf("%s counts although nobody can say whose keys counted before it", step.ID)
		}
	}
	if trust.Origin != NotEstablished {
		t.Errorf("the origin is %d", trust.Origin)
	}
}

func TestTheHistoryThatTheLedgerGoesBackToIsTheFirst(t *testing.T) {
	s := begin(t)
	main := s.head
	s.files["note"] = "beside"
	s.commitAs(how{by: mallory, parents: []string{}})
	side := s.head
	s.commitAs(how{by: ines, parents: []string{main, side}})
	// A reader may list the two beginnings in either order.
	for _, order := range [][]int{{0, 1, 2}, {1, 0, 2}} {
		again := *s
		again.commits = nil
		for _, i := range order {
			again.commits = append(again.commits, s.commits[i])
		}
		trust := again.walk(Pins{Keys: []string{fingerprint(ines)}})
		if trust.First() != main || trust.Origin != Established {
			t.Errorf("in the order %v the first commit is %s, origin %d", order, trust.First(), trust.Origin)
		}
		step, ok := trust.Step(side)
		if !ok || step.Good() || !slices.Contains(noteKinds(*step), SecondRoot) {
			t.Errorf("the beginning beside it: %+v", step)
		}
	}
}

func TestObjectsThatNoGitWritesAreNotBelieved(t *testing.T) {
	const tree = "tree 4b825dc642cb6eb9a060e54bf8d69288fbee4904\n"
	const who = "Ines <ines-okafor@tallow-lane.invalid> 1772444000 +0100\n"
	good := tree + "author " + who + "committer " + who + "\nmessage\n"
	for name, c := range map[string]struct {
		payload string
		bad     bool // nothing of it is believed
	}{
		"an ordinary one":          {good, false},
		"two trees":                {tree + good, true},
		"a tree further down":      {strings.Replace(good, "\n\n", "\n"+tree+"\n", 1), false},
		"a signature left inside":  {strings.Replace(good, "\n\n", "\ngpgsig x\n\n", 1), false},
		"a parent behind":          {strings.Replace(good, "\n\n", "\nparent 4b825dc642cb6eb9a060e54bf8d69288fbee4904\n\n", 1), false},
		"no committer":             {tree + "author " + who + "\nmessage\n", true},
		"a tree of capitals":       {strings.ToUpper(tree[5:]) + good, true},
		"a short tree":             {"tree 4b825dc\nauthor " + who + "committer " + who + "\nx", true},
		"a NUL in the head":        {strings.Replace(good, "Ines", "I\x00nes", 1), true},
		"a time beyond all years":  {strings.ReplaceAll(good, "1772444000", "99999999999999"), true},
		"a time before 1970":       {strings.ReplaceAll(good, "1772444000", "-5"), true},
		"no zone":                  {strings.ReplaceAll(good, " +0100", ""), true},
		"no address":               {strings.ReplaceAll(good, "<", ""), true},
		"nothing":                  {"", true},
		"no message":               {strings.TrimSuffix(good, "\nmessage\n"), false},
		"parents without end":      {tree + strings.Repeat("parent 4b825dc642cb6eb9a060e54bf8d69288fbee4904\n", 100), true},
		"a head of enormous size":  {tree + strings.Repeat("x", longestHead), true},
		"a message that is a head": {good + "\n" + good, false},
	} {
		t.Run(name, func(t *testing.T) {
			sig, err := attest.Sign(signerOf(ines), attest.Commits, []byte(c.payload))
			if err != nil {
				t.Fatal(err)
			}
			step := alone(Commit{ID: "x", Payload: []byte(c.payload), Signature: sig})
			if (step.Standing == attest.Bad) != c.bad {
				t.Errorf("judged %q: %s", step.Standing, step.Detail)
			}
			odd := slices.Contains(noteKinds(step), OddObject)
			if ordinary := name == "an ordinary one" || name == "a message that is a head"; odd == ordinary {
				t.Errorf("noted %v", step.Notes)
			}
		})
	}
}

func TestAHistoryThatCannotBeReadIsAnError(t *testing.T) {
	s := begin(t)
	s.commit(ines)
	gone := errors.New("the disk went away")
	if _, err := Walk(s.commits, func(string) (Files, error) { return nil, gone }, Pins{}); !errors.Is(err, gone) {
		t.Errorf("got %v", err)
	}
	twice := append(slices.Clone(s.commits), s.commits[1])
	if _, err := Walk(twice, s.open, Pins{}); err == nil {
		t.Error("a commit given twice was taken")
	}
	if trust, err := Walk(nil, s.open, Pins{}); err != nil || trust.First() != "" || len(trust.RingAt("x").Entries()) != 0 {
		t.Errorf("an empty history: %v", err)
	}
}

// alone judges one commit before any ring is asked.
func alone(c Commit) Step {
	steps := readHeads([]Commit{c})
	v := verifyAll(steps, []Commit{c})
	v.settle(0)
	return steps[0]
}

func TestEveryFlippedBitOfACommitIsFound(t *testing.T) {
	s := begin(t)
	s.commit(ines)
	c := s.commits[1]
	for what, part := range map[string][]byte{"payload": c.Payload, "signature": c.Signature} {
		for i := range len(part) * 8 {
			flipped := slices.Clone(part)
			flipped[i/8] ^= 1 << (i % 8)
			changed := c
			if what == "payload" {
				changed.Payload = flipped
			} else {
				changed.Signature = flipped
			}
			if step := alone(changed); step.Standing != attest.Bad {
				t.Fatalf("bit %d of byte %d of the %s: judged %q", i%8, i/8, what, step.Standing)
			}
		}
	}
}

func FuzzParseHead(f *testing.F) {
	f.Add([]byte("tree 4b825dc642cb6eb9a060e54bf8d69288fbee4904\nauthor a <a@b> 1 +0000\ncommitter a <a@b> 1 +0000\n\nx\n"))
	f.Add([]byte("tree x\n\n"))
	f.Fuzz(func(t *testing.T, payload []byte) {
		h, err := parseHead(payload)
		if err == nil && (!isID(h.tree) || h.committer.When.Year() > 9999) {
			t.Fatalf("read as %+v", h)
		}
	})
}

func BenchmarkWalk(b *testing.B) {
	s := begin(b)
	for range 499 {
		s.commit(ines)
	}
	for b.Loop() {
		if _, err := Walk(s.commits, s.open, Pins{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(s.commits)), "µs/commit")
}
