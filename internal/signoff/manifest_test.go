package signoff

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"boltback/internal/attest"
	"boltback/internal/record"
)

// tool runs a stock tool in a folder, without the user's settings. One that is
// missing fails the test. The zone is UTC: Git hands the commit's time on to
// ssh-keygen as local time without saying whether summer time holds, and in
// zones that have it validity is off by an hour for half of the year.
func tool(t *testing.T, dir string, stdin []byte, name string, args ...string) (string, error) {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%s is needed by this test: %v", name, err)
	}
	cmd := exec.Command(path, args...)
	cmd.Dir, cmd.Stdin = dir, bytes.NewReader(stdin)
	cmd.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + dir, "LC_ALL=C", "TZ=UTC"}
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// unpack writes the files of a story into a folder.
func (s *story) unpack() string {
	s.t.Helper()
	dir := s.t.TempDir()
	for name, text := range s.files {
		at := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			s.t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o600); err != nil {
			s.t.Fatal(err)
		}
	}
	return dir
}

func (s *story) manifest(before Link) Manifest {
	s.t.Helper()
	m, err := NewManifest(s.fs(), s.commits[0].ID, s.head, s.treeOf(s.head), before)
	if err != nil {
		s.t.Fatal(err)
	}
	return m
}

func TestStockToolsCheckAManifest(t *testing.T) {
	s := withPart(t)
	s.files["previews/Ölwanne und Getriebe.jpg"] = "a name that people write"
	s.commit(ines)
	m := s.manifest(Link{})
	dir := s.unpack()
	if out, err := tool(t, dir, m.Bytes(), "sha256sum", "-c", "--strict", "--quiet"); err != nil {
		t.Errorf("sha256sum refuses it: %v\n%s", err, out)
	}
	if err := os.WriteFile(filepath.Join(dir, "car.json"), []byte("{}"), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := tool(t, dir, m.Bytes(), "sha256sum", "-c", "--strict", "--quiet"); err == nil || !strings.Contains(out, "car.json: FAILED") {
		t.Errorf("sha256sum finds nothing: %v\n%s", err, out)
	}
	if out, err := tool(t, dir, m.Bytes(), "sha256sum"); err != nil || !strings.HasPrefix(out, string(m.Digest())) {
		t.Errorf("its digest is %s, sha256sum says %s", m.Digest(), out)
	}
}

func TestStockToolsVerifyASignOff(t *testing.T) {
	s := withPart(t)
	s.sign(draft())
	dir := s.unpack()
	verify := func(file, when string) (string, error) {
		return tool(t, dir, []byte(s.files[file]), "ssh-keygen", "-Y", "verify", "-f", "allowed_signers", "-I", Principal(ines), "-n", "boltback",
			"-s", SignatureOf(signedPath), "-O", "verify-time="+when)
	}
	if out, err := verify(signedPath, "20260302120000Z"); err != nil || !strings.Contains(out, fingerprint(ines)) {
		t.Errorf("ssh-keygen says %v\n%s", err, out)
	}
	if out, err := verify(signedPath, "20251231235959Z"); err == nil {
		t.Errorf("ssh-keygen takes it before the key was valid:\n%s", out)
	}
	if out, err := verify("car.json", "20260302120000Z"); err == nil {
		t.Errorf("ssh-keygen takes it for another file:\n%s", out)
	}
}

func TestAManifestReadsBackTheSame(t *testing.T) {
	sum := rapid.StringMatching(`[0-9a-f]{64}`)
	id := rapid.StringMatching(`[0-9a-f]{40}`)
	rapid.Check(t, func(t *rapid.T) {
		m := Manifest{Ledger: id.Draw(t, "ledger"), Commit: id.Draw(t, "commit"), Tree: id.Draw(t, "tree")}
		if rapid.Bool().Draw(t, "linked") {
			m.Before = Link{rapid.StringMatching(`[a-z0-9][a-z0-9 /-]{0,8}[a-z0-9]`).Filter(plainName).Draw(t, "tag"), record.Digest(sum.Draw(t, "digest"))}
		}
		for i := range rapid.IntRange(1, 5).Draw(t, "files") {
			m.Files = append(m.Files, FileDigest{string(rune('a'+i)) + rapid.StringMatching(`[ A-Za-zäé#*-]{0,6}`).Draw(t, "name"), record.Digest(sum.Draw(t, "sum"))})
		}
		again, err := ParseManifest(m.Bytes())
		if err != nil || !bytes.Equal(again.Bytes(), m.Bytes()) || again.Digest() != m.Digest() {
			t.Fatalf("%v\n%s", err, m.Bytes())
		}
		if d := m.Compare(again); len(d) != 0 {
			t.Fatalf("it deviates from itself: %v", d)
		}
	})
}

func TestManifestsThatCanBeReadInTwoWaysAreRefused(t *testing.T) {
	good := string(withPart(t).manifest(Link{"stamp-1", record.Digest(digestOf("x"))}).Bytes())
	if _, err := ParseManifest([]byte(good)); err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(good, "\n")
	file := lines[5]
	for name, text := range map[string]string{
		"nothing":                  "",
		"another edition":          strings.Replace(good, "manifest 1", "manifest 2", 1),
		"a line missing":           strings.Join(append([]string{lines[0]}, lines[2:]...), ""),
		"no link":                  strings.Replace(good, lines[4], "# before\n", 1),
		"a link without a tag":     strings.Replace(good, "stamp-1", "", 1),
		"a remark further down":    good + "# a remark\n",
		"a file twice":             strings.Replace(good, file, file+file, 1),
		"files out of order":       strings.Join(lines[:5], "") + lines[6] + lines[5] + strings.Join(lines[7:], ""),
		"a binary mark":            strings.Replace(good, "  car.json", " *car.json", 1),
		"capital digits":           strings.Replace(good, file[:64], strings.ToUpper(file[:64]), 1),
		"a short digest":           strings.Replace(good, file[:64], file[:63], 1),
		"a path that climbs":       strings.Replace(good, "  car.json", "  ../car.json", 1),
		"an absolute path":         strings.Replace(good, "  car.json", "  /car.json", 1),
		"an escaped name":          strings.Replace(good, "  car.json", `  car\n.json`, 1),
		"a terminal escape":        strings.Replace(good, "  car.json", "  car\x1b[2J.json", 1),
		"an override of direction": strings.Replace(good, "  car.json", "  car\u202e.json", 1),
		"bytes that are no text":   strings.Replace(good, "  car.json", "  car\xff.json", 1),
		"carriage returns":         strings.ReplaceAll(good, "\n", "\r\n"),
		"no final line feed":       strings.TrimSuffix(good, "\n"),
		"one line feed too many":   good + "\n",
		"no files":                 strings.Join(lines[:5], ""),
		"an id cut short":          strings.Replace(good, lines[2], "# commit abc\n", 1),
		"enormous":                 good + strings.Repeat("x", longestManifest),
	} {
		if m, err := ParseManifest([]byte(text)); err == nil {
			t.Errorf("%s: read as %+v", name, m)
		}
	}
}

func TestFilesThatALineCannotCarryMakeNoManifest(t *testing.T) {
	a, b := strings.Repeat("a", 40), strings.Repeat("b", 40)
	for _, name := range []string{"new\nline", `back\slash`, "bell\a", "right\u202eleft"} {
		fsys := fstest.MapFS{"car.json": {Data: []byte("{}")}, name: {Data: []byte("x")}}
		if _, err := NewManifest(fsys, a, a, b, Link{}); err == nil {
			t.Errorf("%q stands in a manifest", name)
		}
	}
	link := fstest.MapFS{"car.json": {Mode: os.ModeSymlink, Data: []byte("/etc/passwd")}}
	if _, err := NewManifest(link, a, a, b, Link{}); err == nil {
		t.Error("a link stands in a manifest")
	}
	if _, err := NewManifest(fstest.MapFS{}, a, a, b, Link{}); err == nil {
		t.Error("a manifest of nothing was made")
	}
	if m, err := NewManifest(fstest.MapFS{"car.json": {Data: []byte("{}")}, ".git/config": {Data: []byte("x")}}, a, a, b, Link{}); err != nil || len(m.Files) != 1 {
		t.Errorf("Git's own folder: %v, %v", m.Files, err)
	}
}

func TestEveryFlippedBitOfAManifestChangesItsDigest(t *testing.T) {
	s := begin(t)
	m := s.manifest(Link{})
	text := m.Bytes()
	for i := range len(text) * 8 {
		flipped := bytes.Clone(text)
		flipped[i/8] ^= 1 << (i % 8)
		if again, err := ParseManifest(flipped); err == nil && again.Digest() == m.Digest() {
			t.Fatalf("bit %d of byte %d can be flipped", i%8, i/8)
		}
	}
}

func TestStampsAreHeldAgainstTheHistory(t *testing.T) {
	tell := func() (*story, []Stamped) {
		s := withPart(t)
		first := Stamped{Tag: "stamp-1", Manifest: s.manifest(Link{})}
		s.files["note"] = "more"
		s.commit(ines)
		second := Stamped{Tag: "stamp-2", Manifest: s.manifest(Latest([]Stamped{first}))}
		s.commit(ines)
		return s, []Stamped{first, second}
	}
	for name, c := range map[string]struct {
		change func(*story, []Stamped) []Stamped
		want   StampVerdict // of the last stamp
	}{
		"as they were made":  {func(_ *story, l []Stamped) []Stamped { return l }, StampVerdict{Holding: OnLine}},
		"the first left out": {func(_ *story, l []Stamped) []Stamped { return l[1:] }, StampVerdict{Holding: OnLine, Skipped: true}},
		"the first made anew": {func(s *story, l []Stamped) []Stamped {
			l[0].Manifest.Files[0].Digest = record.Digest(digestOf("other"))
			return l
		}, StampVerdict{Holding: OnLine, BrokenChain: true}},
		"the link cut": {func(_ *story, l []Stamped) []Stamped {
			l[1].Manifest.Before = Link{}
			return l
		}, StampVerdict{Holding: OnLine, BrokenChain: true}},
		"one put in between": {func(s *story, l []Stamped) []Stamped {
			return []Stamped{l[0], {Tag: "stamp-1b", Manifest: l[0].Manifest}, l[1]}
		}, StampVerdict{Holding: OnLine, BrokenChain: true}},
		"of another ledger": {func(_ *story, l []Stamped) []Stamped {
			l[1].Manifest.Ledger = strings.Repeat("0", 40)
			return l
		}, StampVerdict{Holding: OnLine, OtherLedger: true}},
		"of another tree": {func(_ *story, l []Stamped) []Stamped {
			l[1].Manifest.Tree = strings.Repeat("0", 40)
			return l
		}, StampVerdict{Holding: OnLine, OtherTree: true}},
		"a commit that is not here": {func(s *story, l []Stamped) []Stamped {
			l[1].Manifest.Commit = strings.Repeat("0", 40)
			return l
		}, StampVerdict{Holding: Missing}},
		"a history cut short behind it": {func(s *story, l []Stamped) []Stamped {
			s.head = s.commits[1].ID
			s.commits = s.commits[:2]
			return l
		}, StampVerdict{Holding: Missing}},
		"a file that reads otherwise": {func(s *story, l []Stamped) []Stamped {
			s.kept[l[1].Manifest.Commit].MapFS["note"].Data = []byte("changed")
			return l
		}, StampVerdict{Holding: OnLine, Deviations: []Deviation{{"note", record.Digest(digestOf("more")), record.Digest(digestOf("changed"))}}}},
		"a file that is not there": {func(s *story, l []Stamped) []Stamped {
			delete(s.kept[l[1].Manifest.Commit].MapFS, "note")
			return l
		}, StampVerdict{Holding: OnLine, Deviations: []Deviation{{"note", record.Digest(digestOf("more")), ""}}}},
		"a file that was not there": {func(s *story, l []Stamped) []Stamped {
			s.kept[l[1].Manifest.Commit].MapFS["new"] = &fstest.MapFile{Data: []byte("new")}
			return l
		}, StampVerdict{Holding: OnLine, Deviations: []Deviation{{"new", "", record.Digest(digestOf("new"))}}}},
	} {
		t.Run(name, func(t *testing.T) {
			s, stamps := tell()
			stamps = c.change(s, stamps)
			verdicts, err := s.walk(Pins{}).CheckStamps(s.head, stamps, s.open, attest.Roots{})
			if err != nil {
				t.Fatal(err)
			}
			got := verdicts[len(verdicts)-1]
			c.want.Tag = "stamp-2"
			if got.Holds() != (name == "as they were made") {
				t.Errorf("it holds: %v", got.Holds())
			}
			if len(got.Deviations) != len(c.want.Deviations) || len(got.Deviations) > 0 && got.Deviations[0] != c.want.Deviations[0] {
				t.Errorf("deviations are %v, want %v", got.Deviations, c.want.Deviations)
			}
			got.Deviations, c.want.Deviations = nil, nil
			if got.Tag != c.want.Tag || got.Holding != c.want.Holding || got.OtherLedger != c.want.OtherLedger || got.OtherTree != c.want.OtherTree ||
				got.BrokenChain != c.want.BrokenChain || got.Skipped != c.want.Skipped {
				t.Errorf("judged %+v, want %+v", got, c.want)
			}
		})
	}
}

func TestWhatAnOutsiderKeptIsFoundOrMissed(t *testing.T) {
	s := begin(t)
	first := s.head
	s.files["a"] = "1"
	side := s.commit(ines)
	s.files["b"] = "1"
	main := s.commitAs(how{by: ines, parents: []string{first}})
	merged := s.commitAs(how{by: ines, parents: []string{main, side}})
	after := s.commit(ines)
	stray := s.commitAs(how{by: ines, parents: []string{first}})
	trust := s.walk(Pins{})
	for id, want := range map[string]Holding{
		first: OnLine, main: OnLine, merged: OnLine, after: OnLine, side: Beside, stray: Missing, strings.Repeat("0", 40): Missing,
	} {
		if got := trust.Holds(after, id); got != want {
			t.Errorf("%s is held as %d, want %d", id, got, want)
		}
	}
	if got := trust.Holds("nothing", first); got != Missing {
		t.Errorf("a head that is not there holds %d", got)
	}
}

func TestTwoCopiesOfAHistoryAreCompared(t *testing.T) {
	s := begin(t)
	s.commit(ines)
	older := *s
	s.commit(ines)
	newer := s.walk(Pins{})
	if got := newer.Against(older.walk(Pins{})); !got.SameFirst || len(got.Ours) != 1 || len(got.Theirs) != 0 || got.Common != older.head {
		t.Errorf("an older copy: %+v", got)
	}
	rewritten := older
	rewritten.files = map[string]string{"ledger.json": "{}"}
	rewritten.commits = append([]Commit(nil), older.commits...)
	rewritten.commit(ines)
	if got := newer.Against(rewritten.walk(Pins{})); !got.SameFirst || len(got.Ours) != 1 || len(got.Theirs) != 1 {
		t.Errorf("a rewritten copy: %+v", got)
	}
	other := newStory(t)
	other.put("ledger.json", "kind", "ledger", "note", "another")
	other.commit(ines)
	if got := newer.Against(other.walk(Pins{})); got.SameFirst || got.Common != "" {
		t.Errorf("another ledger: %+v", got)
	}
}

func FuzzParseManifest(f *testing.F) {
	s := begin(f)
	f.Add(s.manifest(Link{"stamp-1", record.Digest(digestOf("x"))}).Bytes())
	f.Add([]byte(manifestTitle + "\n# ledger \n\n\n\n\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := ParseManifest(data)
		if err == nil && !bytes.Equal(m.Bytes(), data) {
			t.Fatalf("written otherwise:\n%s", m.Bytes())
		}
	})
}

func TestTheDerivedListIsTheOneThatStockToolsTake(t *testing.T) {
	s := withPart(t)
	s.put(bram+"/revoked.json", "kind", "revocation", "of", bram+"/key-1", "on", "2026-04-01")
	s.key(edda, "key-1", "from", "2026-01-01T08:00:00+01:00", "until", "2026-12-31")
	s.put(edda+"/key-2.json", "kind", "key", "public", "scrawl")
	s.put(edda+"/key-3.json", "kind", "key", "public", signerOf(edda).Public().String(), "from", "2027", "until", "2026")
	s.list()
	want := strings.Join([]string{
		`bram-ostler@tallow-lane.invalid namespaces="git,boltback",valid-before="20260331235959Z" ` + signerOf(bram).Public().String(),
		`edda-thackwell@northmarsh.invalid namespaces="git,boltback",valid-after="20260101070000Z",valid-before="20261231235959Z" ` + signerOf(edda).Public().String(),
		`ines-okafor@tallow-lane.invalid namespaces="git,boltback",valid-after="20260101000000Z" ` + signerOf(ines).Public().String(),
	}, "\n") + "\n"
	if got := s.files["allowed_signers"]; got != want {
		t.Errorf("derived is\n%swant\n%s", got, want)
	}
	if _, err := attest.ParseAllowedSigners([]byte(want)); err != nil {
		t.Error(err)
	}
}
