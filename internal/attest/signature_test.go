package attest

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hiddeco/sshsig"
	"golang.org/x/crypto/ssh"
	"pgregory.net/rapid"
)

var record = []byte("{\n  \"kind\": \"sign-off\"\n}\n")

func TestStockToolsVerifyWhatWeSign(t *testing.T) {
	for _, kind := range kinds {
		for _, ns := range []Namespace{Commits, SignOffs} {
			t.Run(kind.name+" "+string(ns), func(t *testing.T) {
				t.Parallel()
				b := newBench(t)
				s := signerOf(t, b.keygen("key", kind.args...))
				b.file("sig", mustSign(t, s, ns, record))
				b.file("allowed", []byte("ines "+s.Public().String()+"\n"))
				out := b.run(record, "ssh-keygen", "-Y", "verify", "-f", "allowed", "-I", "ines", "-n", string(ns), "-s", "sig")
				if !strings.Contains(out, s.Public().Fingerprint()) {
					t.Errorf("the stock tool names another key than %s: %s", s.Public().Fingerprint(), out)
				}
				if out, err := b.try(append(record, ' '), "ssh-keygen", "-Y", "verify", "-f", "allowed", "-I", "ines", "-n", string(ns), "-s", "sig"); err == nil {
					t.Errorf("the stock tool accepts other bytes: %s", out)
				}
			})
		}
	}
}

func TestWeVerifyWhatStockToolsSign(t *testing.T) {
	for _, kind := range kinds {
		for _, hash := range []string{"sha256", "sha512"} {
			t.Run(kind.name+" "+hash, func(t *testing.T) {
				t.Parallel()
				b := newBench(t)
				key := signerOf(t, b.keygen("key", kind.args...)).Public()
				b.file("record", record)
				b.run(nil, "ssh-keygen", "-Y", "sign", "-f", "key", "-n", "boltback", "-O", "hashalg="+hash, "record")
				sig := b.read("record.sig")
				facts, err := Verify(record, sig, SignOffs)
				if err != nil {
					t.Fatal(err)
				}
				if facts.Key != key || facts.Hash != hash || facts.Namespace != SignOffs || facts.Touched {
					t.Errorf("read as %+v, signed with %s and %s", facts, key.Fingerprint(), hash)
				}
				wantFault(t, WrongNamespace, record, sig, Commits)
				wantFault(t, Altered, append(record, '\n'), sig, SignOffs)
			})
		}
	}
}

func wantFault(t *testing.T, want Fault, payload, sig []byte, ns Namespace) {
	t.Helper()
	_, err := Verify(payload, sig, ns)
	var fault *SignatureError
	if !errors.As(err, &fault) || fault.Fault != want {
		t.Errorf("got %v, want the fault %q", err, want)
	}
}

func TestOurSignaturesAreTheBytesOfTheStockToolWhereTheAlgorithmAllows(t *testing.T) {
	for _, kind := range []string{"ed25519", "rsa"} {
		b := newBench(t)
		s := signerOf(t, b.keygen("key", "-t", kind, "-N", ""))
		b.file("record", record)
		b.run(nil, "ssh-keygen", "-Y", "sign", "-f", "key", "-n", "git", "record")
		if stock, ours := b.read("record.sig"), mustSign(t, s, Commits, record); !bytes.Equal(stock, ours) {
			t.Errorf("%s: the stock tool writes\n%swe write\n%s", kind, stock, ours)
		}
	}
}

func TestSigningTheSameBytesTwiceGivesTheSameSignature(t *testing.T) {
	b := newBench(t)
	for _, kind := range kinds {
		s := signerOf(t, b.keygen(kind.name, kind.args...))
		if !bytes.Equal(mustSign(t, s, SignOffs, record), mustSign(t, s, SignOffs, record)) {
			t.Errorf("%s: two signatures of the same bytes differ", kind.name)
		}
	}
}

func TestNothingIsSignedForAnotherPurpose(t *testing.T) {
	for _, ns := range []Namespace{"", "file", "GIT", "git\x00"} {
		if _, err := Sign(DemoSigner("seed", "ines"), ns, record); err == nil {
			t.Errorf("signed for the purpose %q", ns)
		}
	}
	if _, err := Sign(Signer{}, Commits, record); err == nil {
		t.Error("signed without a key")
	}
}

// TestEveryFlippedBitFails goes through every bit of payload and armored
// signature: none may leave the verdict standing.
func TestEveryFlippedBitFails(t *testing.T) {
	b := newBench(t)
	signers := map[string]Signer{"demo": DemoSigner("seed", "ines")}
	for _, kind := range kinds[:5] {
		signers[kind.name] = signerOf(t, b.keygen(kind.name, kind.args...))
	}
	for name, s := range signers {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			sig := mustSign(t, s, SignOffs, record)
			for what, data := range map[string][]byte{"payload": record, "signature": sig} {
				for i := range len(data) * 8 {
					flipped := bytes.Clone(data)
					flipped[i/8] ^= 1 << (i % 8)
					payload, armored := record, flipped
					if what == "payload" {
						payload, armored = flipped, sig
					}
					if _, err := Verify(payload, armored, SignOffs); err == nil {
						t.Fatalf("bit %d of byte %d of the %s can be flipped", i%8, i/8, what)
					}
				}
			}
		})
	}
}

func TestAnyOtherBytesFail(t *testing.T) {
	s := DemoSigner("seed", "ines")
	rapid.Check(t, func(t *rapid.T) {
		payload := rapid.SliceOf(rapid.Byte()).Draw(t, "payload")
		sig, err := Sign(s, Commits, payload)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Verify(payload, sig, Commits); err != nil {
			t.Fatal(err)
		}
		if _, err := Verify(payload, sig, SignOffs); err == nil {
			t.Fatal("a commit's signature was taken for a sign-off's")
		}
		other := rapid.SliceOf(rapid.Byte()).Draw(t, "other")
		if _, err := Verify(other, sig, Commits); err == nil && !bytes.Equal(other, payload) {
			t.Fatal("a signature was taken for one of other bytes")
		}
	})
}

func TestSignaturesOfAnotherFormAreRefused(t *testing.T) {
	good := string(mustSign(t, DemoSigner("seed", "ines"), SignOffs, record))
	lines := strings.SplitAfter(good, "\n")
	for name, c := range map[string]struct {
		text string
		want Fault
	}{
		"nothing at all":                 {"", Unreadable},
		"text before the signature":      {"hello\n" + good, Unreadable},
		"text after the signature":       {good + "hello\n", Unreadable},
		"two signatures":                 {good + good, Unreadable},
		"two final newlines":             {good + "\n", Unreadable},
		"carriage returns":               {strings.ReplaceAll(good, "\n", "\r\n"), Unreadable},
		"a header between":               {lines[0] + "Comment: x\n\n" + strings.Join(lines[1:], ""), Unreadable},
		"uneven lines":                   {lines[0] + lines[1][:20] + "\n" + lines[1][20:] + strings.Join(lines[2:], ""), Unreadable},
		"a blank line":                   {lines[0] + "\n" + strings.Join(lines[1:], ""), Unreadable},
		"the end line missing":           {strings.Join(lines[:len(lines)-2], ""), Unreadable},
		"a PGP signature":                {"-----BEGIN PGP SIGNATURE-----\n\niQEz\n-----END PGP SIGNATURE-----\n", Unreadable},
		"a signature of enormous length": {lines[0] + strings.Repeat(lines[1], 1000) + armorEnd, Unreadable},
		"an empty body":                  {armorBegin + "\n\n" + armorEnd + "\n", Unreadable},
	} {
		t.Run(name, func(t *testing.T) { wantFault(t, c.want, record, []byte(c.text), SignOffs) })
	}
	if _, err := Verify(record, []byte(strings.TrimSuffix(good, "\n")), SignOffs); err != nil {
		t.Errorf("without its final newline: %v", err)
	}
}

// sshString is the length-prefixed string of RFC 4251 section 5.
func sshString(s []byte) []byte {
	return append(binary.BigEndian.AppendUint32(nil, uint32(len(s))), s...)
}

// rewire takes a signature apart, lets change alter it, and puts it together.
func rewire(t *testing.T, armored []byte, change func(*sshsig.Signature)) []byte {
	t.Helper()
	sig, err := sshsig.Unarmor(armored)
	if err != nil {
		t.Fatal(err)
	}
	change(sig)
	return armor(sig.Marshal())
}

func TestSecondSpellingsOfASignatureAreRefused(t *testing.T) {
	b := newBench(t)
	signed := func(kind string, args ...string) []byte {
		return mustSign(t, signerOf(t, b.keygen(kind, append(args, "-N", "")...)), SignOffs, record)
	}
	ed, ec, rsa := signed("ed", "-t", "ed25519"), signed("ec", "-t", "ecdsa"), signed("rsa", "-t", "rsa", "-b", "2048")
	for name, c := range map[string]struct {
		sig    []byte
		change func(*sshsig.Signature)
	}{
		"bytes behind an Ed25519 signature": {ed, func(s *sshsig.Signature) { s.Signature.Rest = []byte{1, 0, 0, 0, 1} }},
		"bytes behind an ECDSA signature":   {ec, func(s *sshsig.Signature) { s.Signature.Rest = []byte{0} }},
		"a zero before an ECDSA number": {ec, func(s *sshsig.Signature) {
			n := binary.BigEndian.Uint32(s.Signature.Blob)
			r, rest := s.Signature.Blob[4:4+n], s.Signature.Blob[4+n:]
			s.Signature.Blob = append(sshString(append([]byte{0}, r...)), rest...)
		}},
		"an RSA number without its first byte": {rsa, func(s *sshsig.Signature) { s.Signature.Blob = s.Signature.Blob[1:] }},
	} {
		t.Run(name, func(t *testing.T) { wantFault(t, Unreadable, record, rewire(t, c.sig, c.change), SignOffs) })
	}
	t.Run("an RSA signature over SHA-1", func(t *testing.T) {
		wantFault(t, Unreadable, record, rewire(t, rsa, func(s *sshsig.Signature) { s.Signature.Format = "ssh-rsa" }), SignOffs)
	})
	t.Run("the public key of somebody else", func(t *testing.T) {
		other, err := ssh.ParsePublicKey([]byte(DemoSigner("seed", "mallory").Public().blob))
		if err != nil {
			t.Fatal(err)
		}
		wantFault(t, Altered, record, rewire(t, ed, func(s *sshsig.Signature) { s.PublicKey = other }), SignOffs)
	})
	t.Run("relabelled as a commit's", func(t *testing.T) {
		wantFault(t, Altered, record, rewire(t, ed, func(s *sshsig.Signature) { s.Namespace = "git" }), Commits)
	})
	t.Run("another hash", func(t *testing.T) {
		wantFault(t, Altered, record, rewire(t, ed, func(s *sshsig.Signature) { s.HashAlgorithm = "sha256" }), SignOffs)
	})
}

// securityKey signs as a hardware key does (PROTOCOL.u2f in OpenSSH): over the
// digest of the application, flags, counter and the digest of the message.
func securityKey(t *testing.T, payload []byte, flags byte) (PublicKey, []byte) {
	t.Helper()
	demo := DemoSigner("seed", "hardware")
	plain, err := ssh.ParsePublicKey([]byte(demo.Public().blob))
	if err != nil {
		t.Fatal(err)
	}
	raw, _ := edwardsPoint(plain.(ssh.CryptoPublicKey).CryptoPublicKey())
	blob := append(sshString([]byte(ssh.KeyAlgoSKED25519)), sshString(raw)...)
	blob = append(blob, sshString([]byte("ssh:"))...)
	public, err := ssh.ParsePublicKey(blob)
	if err != nil {
		t.Fatal(err)
	}
	return PublicKey{ssh.KeyAlgoSKED25519, string(blob)}, signAsDevice(t, demo, public, payload, flags)
}

func signAsDevice(t *testing.T, demo Signer, public ssh.PublicKey, payload []byte, flags byte) []byte {
	t.Helper()
	digest := sha256.Sum256(payload)
	message := []byte("SSHSIG")
	for _, field := range [][]byte{[]byte(SignOffs), nil, []byte("sha256"), digest[:]} {
		message = append(message, sshString(field)...)
	}
	app, body := sha256.Sum256([]byte("ssh:")), sha256.Sum256(message)
	tail := []byte{flags, 0, 0, 0, 7}
	inner, err := demo.inner.Sign(nil, append(append(app[:], tail...), body[:]...))
	if err != nil {
		t.Fatal(err)
	}
	s := signed{key: public, namespace: string(SignOffs), hash: "sha256"}
	s.by = ssh.Signature{Format: ssh.KeyAlgoSKED25519, Blob: inner.Blob, Rest: tail}
	return armor(s.wire())
}

func TestSecurityKeysVerifyAndTheirFlagsAreRead(t *testing.T) {
	b := newBench(t)
	key, sig := securityKey(t, record, 0x05)
	facts, err := Verify(record, sig, SignOffs)
	if err != nil || !facts.Touched || !facts.Verified || !key.Hardware() || facts.Key != key {
		t.Errorf("read as %+v, %v", facts, err)
	}
	b.file("sig", sig)
	b.file("allowed", []byte("ines "+key.String()+"\n"))
	b.run(record, "ssh-keygen", "-Y", "verify", "-f", "allowed", "-I", "ines", "-n", "boltback", "-s", "sig")
	_, untouched := securityKey(t, record, 0x00)
	wantFault(t, Altered, record, untouched, SignOffs)
	_, err = Verify(record, untouched, SignOffs)
	if err == nil || !strings.Contains(err.Error(), "not touched") {
		t.Errorf("a key that nobody touched: %v", err)
	}
	wire, err := unarmor(sig)
	if err != nil {
		t.Fatal(err)
	}
	for i := range len(wire) * 8 {
		flipped := bytes.Clone(wire)
		flipped[i/8] ^= 1 << (i % 8)
		text := armorBegin + "\n" + base64.StdEncoding.EncodeToString(flipped) + "\n" + armorEnd + "\n"
		if _, err := Verify(record, []byte(text), SignOffs); err == nil {
			t.Fatalf("bit %d of byte %d can be flipped", i%8, i/8)
		}
	}
}

func TestGitAcceptsACommitSignedHere(t *testing.T) {
	b := newBench(t)
	git := func(args ...string) string {
		return b.run(nil, "git", append([]string{"-C", "car", "-c", "gpg.format=ssh", "-c", "gpg.ssh.allowedSignersFile=../allowed"}, args...)...)
	}
	if err := os.Mkdir(filepath.Join(b.dir, "car"), 0o755); err != nil {
		t.Fatal(err)
	}
	git("init", "-q")
	s := DemoSigner("seed", "ines")
	b.file("allowed", []byte("ines@tallow-lane.invalid "+s.Public().String()+"\n"))
	head := "tree 4b825dc642cb6eb9a060e54bf8d69288fbee4904\n" +
		"author ines <ines@tallow-lane.invalid> 1780000000 +0000\ncommitter ines <ines@tallow-lane.invalid> 1780000000 +0000\n"
	message := "\nopen the ledger\n"
	sig := mustSign(t, s, Commits, []byte(head+message))
	folded := strings.ReplaceAll(strings.TrimSuffix(string(sig), "\n"), "\n", "\n ")
	b.file("commit", []byte(head+"gpgsig "+folded+"\n"+message))
	b.run(nil, "git", "-C", "car", "hash-object", "-t", "tree", "-w", os.DevNull)
	id := strings.TrimSpace(git("hash-object", "-t", "commit", "-w", "../commit"))
	out := git("verify-commit", "-v", id)
	if !strings.Contains(out, `Good "git" signature for ines@tallow-lane.invalid`) {
		t.Errorf("git says: %s", out)
	}
}

func BenchmarkVerifyOneCommit(b *testing.B) {
	sig, err := Sign(DemoSigner("seed", "ines"), Commits, record)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Verify(record, sig, Commits); err != nil {
			b.Fatal(err)
		}
	}
}

func FuzzVerify(f *testing.F) {
	good, err := Sign(DemoSigner("seed", "ines"), SignOffs, record)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(record, good)
	f.Add(record, []byte(armorBegin+"\nU1NIU0lH\n"+armorEnd+"\n"))
	f.Add([]byte{}, []byte("-----BEGIN SSH SIGNATURE-----\n\n"))
	f.Fuzz(func(t *testing.T, payload, armored []byte) {
		facts, err := Verify(payload, armored, SignOffs)
		var fault *SignatureError
		if err != nil && !errors.As(err, &fault) {
			t.Fatalf("an error of another kind: %v", err)
		}
		if err == nil {
			if facts.Key.Fingerprint() == DemoSigner("seed", "ines").Public().Fingerprint() && !bytes.Equal(payload, record) {
				t.Fatal("a forgery")
			}
			again, _, err := readSignature(armored)
			if err != nil || again != facts {
				t.Fatalf("read twice: %+v and %+v, %v", facts, again, err)
			}
		}
	})
}

// FuzzWire holds the taking apart of a signature against a reader that shares no
// code with it: what ours takes the other takes too, and it means the same.
func FuzzWire(f *testing.F) {
	good, err := Sign(DemoSigner("seed", "ines"), SignOffs, record)
	if err != nil {
		f.Fatal(err)
	}
	wire, err := unarmor(good)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(wire)
	f.Add(append(bytes.Clone(wire), 0, 0, 0, 0))
	f.Add(bytes.Replace(wire, []byte("sha512"), []byte("sha256"), 1))
	f.Add([]byte("SSHSIG\x00\x00\x00\x01\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, wire []byte) {
		ours, blob, err := parseWire(wire)
		if err != nil {
			return
		}
		if key, err := keyFromWire(blob); err == nil && !bytes.Equal(ours.wire(), wire) {
			t.Fatalf("two spellings of one signature by %s", key.Fingerprint())
		}
		theirs, err := sshsig.ParseSignature(wire)
		if err != nil || theirs.Namespace != ours.namespace || theirs.HashAlgorithm.String() != ours.hash ||
			!bytes.Equal(theirs.PublicKey.Marshal(), ours.key.Marshal()) || !bytes.Equal(theirs.Signature.Blob, ours.by.Blob) {
			t.Fatalf("read as %+v and as %+v, %v", ours, theirs, err)
		}
		mine := ours.key.Verify(ours.message(record), &ours.by)
		other := sshsig.Verify(bytes.NewReader(record), theirs, theirs.PublicKey, theirs.HashAlgorithm, ours.namespace)
		if (mine == nil) != (other == nil) {
			t.Fatalf("ours says %v, theirs %v", mine, other)
		}
	})
}
