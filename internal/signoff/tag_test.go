package signoff

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"boltback/internal/attest"
	"boltback/internal/record"
)

// tag makes the tag of a manifest, signed by somebody.
func (s *story) tag(name, by string, m Manifest, answer []byte) Tag {
	s.t.Helper()
	s.clock = s.clock.Add(time.Minute)
	payload := fmt.Sprintf("object %s\ntype commit\ntag %s\ntagger %s <%s> %d +0100\n\n%s",
		m.Commit, name, path.Base(ines), Principal(ines), s.clock.Unix(), m.Message(answer))
	t := Tag{Name: name, Payload: []byte(payload)}
	if by != "" {
		var err error
		if t.Signature, err = attest.Sign(signerOf(by), attest.Commits, t.Payload); err != nil {
			s.t.Fatal(err)
		}
	}
	return t
}

// authority puts into dir a certificate, its root and the settings with which
// "openssl ts -reply" answers.
func authority(t *testing.T, dir string) {
	t.Helper()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("ext.cnf", "extendedKeyUsage = critical,timeStamping\nkeyUsage = critical,digitalSignature\n")
	write("serial", "01\n")
	write("tsa.cnf", `[tsa]
default_tsa = clock
[clock]
serial = serial
signer_cert = tsa.pem
signer_key = tsa.key
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256
`)
	for _, args := range [][]string{
		{"req", "-x509", "-newkey", "rsa:2048", "-nodes", "-keyout", "root.key", "-out", "root.pem", "-subj", "/CN=Harbour Clock Root", "-days", "30"},
		{"req", "-newkey", "rsa:2048", "-nodes", "-keyout", "tsa.key", "-out", "tsa.csr", "-subj", "/CN=Harbour Clock"},
		{"x509", "-req", "-in", "tsa.csr", "-CA", "root.pem", "-CAkey", "root.key", "-CAcreateserial", "-extfile", "ext.cnf", "-out", "tsa.pem", "-days", "20"},
	} {
		if out, err := tool(t, dir, nil, "openssl", args...); err != nil {
			t.Fatalf("openssl %v: %v\n%s", args, err, out)
		}
	}
}

// TestAStampOfAnAuthorityGoesAllTheWay has stock openssl stamp a manifest, puts
// the answer into a tag, and reads, verifies and takes it apart again with stock
// tools.
func TestAStampOfAnAuthorityGoesAllTheWay(t *testing.T) {
	s := withPart(t)
	m := s.manifest(Link{})
	dir := s.unpack()
	authority(t, dir)
	request, err := attest.StampRequest(m.sum(), []byte("a fresh nonce"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "req.tsq"), request, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := tool(t, dir, nil, "openssl", "ts", "-reply", "-config", "tsa.cnf", "-queryfile", "req.tsq", "-out", "resp.tsr"); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	answer, err := os.ReadFile(filepath.Join(dir, "resp.tsr"))
	if err != nil {
		t.Fatal(err)
	}
	root, err := os.ReadFile(filepath.Join(dir, "root.pem"))
	if err != nil {
		t.Fatal(err)
	}
	roots, err := attest.ParseRoots(root)
	if err != nil {
		t.Fatal(err)
	}
	tag := s.tag("stamp-1", ines, m, answer)
	stamped, err := ReadTag(tag)
	if err != nil || !bytes.Equal(stamped.Answer, answer) || stamped.Manifest.Digest() != m.Digest() {
		t.Fatalf("read as %+v, %v", stamped, err)
	}
	verdicts, err := s.walk(Pins{}).CheckStamps(s.head, []Stamped{stamped}, s.open, roots)
	if err != nil {
		t.Fatal(err)
	}
	v := verdicts[0]
	if !v.Holds() || v.Standing != attest.Good || v.Entry.Person != ines || !v.Stamped || v.Token.Authority != "CN=Harbour Clock" || time.Until(v.Token.Expires) < 10*24*time.Hour {
		t.Errorf("judged %+v", v)
	}
	checkTagWithStockTools(t, dir, tag)
}

// checkTagWithStockTools does what the page for outsiders says.
func checkTagWithStockTools(t *testing.T, dir string, tag Tag) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, "tag"), tag.Payload, 0o600); err != nil {
		t.Fatal(err)
	}
	script := `set -e
sed '1,/^$/d' tag > message
grep -v '^# token ' message > manifest
sed -n 's/^# token //p' message | base64 -d > token.tsr
sha256sum -c --strict --quiet message
openssl ts -verify -in token.tsr -digest $(sha256sum manifest | cut -d' ' -f1) -CAfile root.pem`
	if out, err := tool(t, dir, nil, "sh", "-c", script); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

func TestTheSignatureOfATagIsJudgedByTheKeysOfItsCommit(t *testing.T) {
	for name, c := range map[string]struct {
		by     string
		change func(*Tag)
		want   attest.Standing
	}{
		"a key that counted":        {ines, func(*Tag) {}, attest.Good},
		"no signature":              {"", func(*Tag) {}, attest.Unsigned},
		"a stranger":                {mallory, func(*Tag) {}, attest.UnknownKey},
		"a key that came later":     {"people/tallow-lane/late", func(*Tag) {}, attest.UnknownKey},
		"a byte of the tag changed": {ines, func(t *Tag) { t.Payload = bytes.Replace(t.Payload, []byte("+0100"), []byte("+0200"), 1) }, attest.Bad},
	} {
		t.Run(name, func(t *testing.T) {
			s := withPart(t)
			tag := s.tag("stamp-1", c.by, s.manifest(Link{}), nil)
			s.key("people/tallow-lane/late", "key-1")
			s.list()
			s.commit(ines)
			c.change(&tag)
			stamped, err := ReadTag(tag)
			if err != nil {
				t.Fatal(err)
			}
			verdicts, err := s.walk(Pins{}).CheckStamps(s.head, []Stamped{stamped}, s.open, attest.Roots{})
			if err != nil {
				t.Fatal(err)
			}
			if v := verdicts[0]; v.Standing != c.want || !v.Holds() || v.Stamped || v.TokenFault != nil {
				t.Errorf("judged %q: %+v", v.Standing, v)
			}
		})
	}
}

func TestTokensThatShowNothingAreNamed(t *testing.T) {
	s := withPart(t)
	stamped, err := ReadTag(s.tag("stamp-1", ines, s.manifest(Link{}), []byte("no token")))
	if err != nil {
		t.Fatal(err)
	}
	verdicts, err := s.walk(Pins{}).CheckStamps(s.head, []Stamped{stamped}, s.open, attest.Roots{})
	if err != nil {
		t.Fatal(err)
	}
	var fault *attest.StampError
	if v := verdicts[0]; v.Stamped || !errors.As(v.TokenFault, &fault) || fault.Fault != attest.StampUnreadable {
		t.Errorf("judged %+v", v)
	}
}

func TestTagsThatAreNotWhatTheySayAreRefused(t *testing.T) {
	s := withPart(t)
	m := s.manifest(Link{"stamp-0", record.Digest(digestOf("x"))})
	good := s.tag("stamp-1", ines, m, bytes.Repeat([]byte("token"), 40))
	if _, err := ReadTag(good); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		from, to string
		says     string
	}{
		"found under another name":   {"tag stamp-1", "tag stamp-2", "calls itself"},
		"on another commit":          {"object " + m.Commit, "object " + s.commits[0].ID, "another commit"},
		"on something else":          {"type commit", "type tree", "another commit"},
		"with a second object":       {"type commit", "object " + m.Commit + "\ntype commit", "head"},
		"without a tagger":           {"tagger ines-okafor", "taggers ines-okafor", "head"},
		"a time that cannot be":      {" +0100\n", " soon\n", "tagger"},
		"a line behind the token":    {"\n# token ", "\n# token \nfoo\n# token ", "behind the token"},
		"a token in another folding": {"\n# token ", "\n# token \n# token ", "not as it is written"},
		"a remark in the manifest":   {"\n# tree", "\n# remark\n# tree", "is not"},
		"an ordinary tag":            {manifestTitle, "release", ErrNoStamp.Error()},
	} {
		bad := good
		bad.Payload = []byte(strings.Replace(string(good.Payload), c.from, c.to, 1))
		if got, err := ReadTag(bad); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: read as %+v, %v", name, got.Tag, err)
		}
	}
	loose := bytes.TrimRight(m.Message([]byte("a")), "=\n")
	if base64.StdEncoding.EncodeToString([]byte("a")) != "YQ==" || !bytes.HasSuffix(loose, []byte("YQ")) {
		t.Fatalf("the token ends with %s", loose[len(loose)-4:])
	}
	if _, _, err := parseMessage(append(loose[:len(loose)-1], "R==\n"...)); err == nil {
		t.Error("a token with loose bits was read")
	}
}

func FuzzReadTag(f *testing.F) {
	s := withPart(f)
	good := s.tag("stamp-1", ines, s.manifest(Link{}), []byte("token"))
	f.Add(good.Payload)
	f.Add([]byte("object x\ntype commit\ntag stamp-1\ntagger x\n\n" + manifestTitle + "\n"))
	f.Fuzz(func(t *testing.T, payload []byte) {
		stamped, err := ReadTag(Tag{Name: "stamp-1", Payload: payload})
		if err == nil && !bytes.HasSuffix(payload, stamped.Manifest.Message(stamped.Answer)) {
			t.Fatal("what was read is not what stands there")
		}
	})
}
