package attest

import (
	"crypto/ed25519"
	"encoding/base64"
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"golang.org/x/crypto/ssh"
)

func TestFingerprintsAreThoseOfTheStockTool(t *testing.T) {
	for _, kind := range kinds {
		t.Run(kind.name, func(t *testing.T) {
			t.Parallel()
			b := newBench(t)
			private := b.keygen("key", kind.args...)
			key := mustKey(t, string(b.read("key.pub")))
			stock := strings.Fields(b.run(nil, "ssh-keygen", "-l", "-f", "key.pub"))[1]
			if key.Fingerprint() != stock || !ValidFingerprint(stock) {
				t.Errorf("fingerprint %s, the stock tool says %s", key.Fingerprint(), stock)
			}
			if key != signerOf(t, private).Public() || key.Hardware() || key.IsZero() {
				t.Errorf("the public file holds %s, the private one %s", key, signerOf(t, private))
			}
			if again := mustKey(t, key.String()); again != key || !strings.HasPrefix(key.String(), key.Algorithm()+" ") {
				t.Errorf("%s reads back as %s", key, again)
			}
		})
	}
}

func TestKeysAreTheSameWhateverStandsBesideThem(t *testing.T) {
	line := DemoSigner("seed", "ines").Public().String()
	for _, other := range []string{line + " a comment", line + "\n", "  " + line, strings.Replace(line, " ", "\t", 1), line + " a b  c\n"} {
		if mustKey(t, other) != mustKey(t, line) {
			t.Errorf("%q is another key", other)
		}
	}
	if mustKey(t, line) == DemoSigner("seed", "jo").Public() {
		t.Error("two names have one key")
	}
	if (PublicKey{}).String() != "" || (PublicKey{}).Fingerprint() != "" || !(PublicKey{}).IsZero() {
		t.Error("no key prints as something")
	}
}

func TestKeysThatBindNobodyAreRefused(t *testing.T) {
	b := newBench(t)
	line := DemoSigner("seed", "ines").Public().String()
	_, encoded, _ := strings.Cut(line, " ")
	b.keygen("small", "-t", "rsa", "-b", "1024", "-N", "")
	b.keygen("ca", "-t", "ed25519", "-N", "")
	b.run(nil, "ssh-keygen", "-q", "-s", "ca", "-I", "x", "-n", "ines", "small.pub")
	for name, c := range map[string]struct{ line, says string }{
		"nothing":                   {"", "one line"},
		"one word":                  {"ssh-ed25519", "one line"},
		"RSA of 1024 bits":          {string(b.read("small.pub")), "1024 bits"},
		"a certificate":             {string(b.read("small-cert.pub")), "certificates"},
		"DSA":                       {"ssh-dss AAAA", "DSA"},
		"another kind":              {"ssh-foo AAAA", "kind"},
		"options before":            {`command="x" ` + line, "kind"},
		"a private key":             {string(b.read("ca")), "private key"},
		"two lines":                 {line + "\n" + line, "control character"},
		"a terminal escape":         {line + " \x1b[2J", "control character"},
		"kind and key that differ":  {"ssh-rsa " + encoded, "the key in it is"},
		"no base64":                 {"ssh-ed25519 !!!!", "base64"},
		"loose bits in the base64":  {loosened(t, b), "base64"},
		"a key cut short":           {"ssh-ed25519 " + encoded[:40], "unreadable"},
		"bytes behind the key":      {"ssh-ed25519 " + base64.StdEncoding.EncodeToString([]byte(DemoSigner("seed", "ines").Public().blob+"x")), "unreadable"},
		"a line of enormous length": {line + " " + strings.Repeat("x", longestKeyLine), "at most"},
	} {
		t.Run(name, func(t *testing.T) {
			key, err := ParsePublicKey(c.line)
			if err == nil || !strings.Contains(err.Error(), c.says) || !key.IsZero() {
				t.Errorf("got %q and %v, want an error that says %q", key, err, c.says)
			}
			if err != nil && strings.ContainsRune(err.Error(), '\x1b') {
				t.Errorf("the error carries the escape along: %q", err)
			}
		})
	}
}

// loosened is a key with one bit set where base64 carries none.
func loosened(t *testing.T, b bench) string {
	b.keygen("padded", "-t", "ecdsa", "-N", "")
	line := mustKey(t, string(b.read("padded.pub"))).String()
	bare, ok := strings.CutSuffix(line, "=")
	if !ok || strings.HasSuffix(bare, "=") {
		t.Fatalf("%s does not end as expected", line)
	}
	const digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
	last := strings.IndexByte(digits, bare[len(bare)-1])
	return bare[:len(bare)-1] + string(digits[last|1]) + "="
}

// ed25519Line is the line of an Ed25519 key with these 32 bytes.
func ed25519Line(point []byte) string {
	blob := append(sshString([]byte(ssh.KeyAlgoED25519)), sshString(point)...)
	return ssh.KeyAlgoED25519 + " " + base64.StdEncoding.EncodeToString(blob)
}

// prime is the field prime of Curve25519.
var prime = new(big.Int).Sub(new(big.Int).Lsh(big.NewInt(1), 255), big.NewInt(19))

// doubledY doubles a point of -x²+y² = 1+d·x²y² given its y: with x² =
// (y²-1)/(d·y²+1) the y of the double is (y²+x²)/(2+x²-y²), so the sign of x is
// not needed. It is nil where a denominator vanishes.
func doubledY(y *big.Int) *big.Int {
	over := func(a, b *big.Int) *big.Int {
		inverse := new(big.Int).ModInverse(new(big.Int).Mod(b, prime), prime)
		if inverse == nil {
			return nil
		}
		return inverse.Mul(inverse, a).Mod(inverse, prime)
	}
	one := big.NewInt(1)
	d := over(big.NewInt(-121665), big.NewInt(121666))
	y2 := new(big.Int).Mul(y, y)
	x2 := over(new(big.Int).Sub(y2, one), new(big.Int).Add(new(big.Int).Mul(d, y2), one))
	if x2 == nil {
		return nil
	}
	return over(new(big.Int).Add(y2, x2), new(big.Int).Sub(new(big.Int).Add(big.NewInt(2), x2), y2))
}

func littleEndian(v *big.Int) []byte {
	out := v.FillBytes(make([]byte, 32))
	slices.Reverse(out)
	return out
}

// TestTheListOfSmallOrderKeysIsComplete finds by the curve's equation the y of
// all points whose eightfold is the neutral element: there are five.
func TestTheListOfSmallOrderKeysIsComplete(t *testing.T) {
	root := func(v *big.Int) *big.Int { return new(big.Int).ModSqrt(new(big.Int).Mod(v, prime), prime) }
	minus := func(v *big.Int) *big.Int { return new(big.Int).Mod(new(big.Int).Neg(v), prime) }
	// Order 8 means that the double has y = 0, which is y² = -x². With the
	// equation of the curve: d·y⁴ + 2y² - 1 = 0, y² = (-1 ± sqrt(1+d))/d.
	d := new(big.Int).ModInverse(big.NewInt(121666), prime)
	d.Mul(d, big.NewInt(-121665)).Mod(d, prime)
	s := root(new(big.Int).Add(big.NewInt(1), d))
	small := []*big.Int{big.NewInt(0), big.NewInt(1), minus(big.NewInt(1))}
	for _, r := range []*big.Int{s, minus(s)} {
		square := new(big.Int).Sub(r, big.NewInt(1))
		square.Mul(square, new(big.Int).ModInverse(d, prime))
		if y := root(square); y != nil {
			small = append(small, y, minus(y))
		}
	}
	if len(small) != 5 {
		t.Fatalf("found %d values of y, want 5", len(small))
	}
	for _, y := range small {
		v := y
		for range 3 {
			v = doubledY(v)
		}
		if v.Cmp(big.NewInt(1)) != 0 {
			t.Errorf("y = %v is not of small order", y)
		}
		for _, sign := range []byte{0, 0x80} {
			point := littleEndian(y)
			point[31] |= sign
			if _, err := ParsePublicKey(ed25519Line(point)); err == nil || !strings.Contains(err.Error(), "small order") {
				t.Errorf("the key %x was taken: %v", point, err)
			}
		}
	}
	for beyond := range int64(19) {
		point := littleEndian(new(big.Int).Add(prime, big.NewInt(beyond)))
		if _, err := ParsePublicKey(ed25519Line(point)); err == nil {
			t.Errorf("the key %x, beyond the prime, was taken", point)
		}
	}
}

// TestAKeyOfSmallOrderWouldSignEverything shows what the refusal is for: for the
// library one signature is valid for any two messages under the neutral key.
func TestAKeyOfSmallOrderWouldSignEverything(t *testing.T) {
	neutral := make([]byte, 32)
	neutral[0] = 1
	signature := append(slices.Clone(neutral), make([]byte, 32)...)
	for _, message := range []string{"the car may be driven", "the car may not be driven"} {
		if !ed25519.Verify(neutral, []byte(message), signature) {
			t.Error("the library refuses such keys itself by now, so the list here can go")
		}
	}
}

func TestFingerprintsWithASlipAreNoticed(t *testing.T) {
	good := DemoSigner("seed", "ines").Public().Fingerprint()
	if !ValidFingerprint(good) {
		t.Errorf("%s is refused", good)
	}
	for _, bad := range []string{"", "SHA256:", good[:len(good)-1], good + "=", good + "A", strings.ToLower(good), "MD5:" + good[7:], good[:20] + "\n" + good[20:], " " + good} {
		if ValidFingerprint(bad) {
			t.Errorf("%q is taken", bad)
		}
	}
}

func FuzzParsePublicKey(f *testing.F) {
	f.Add(DemoSigner("seed", "ines").Public().String())
	f.Add("ssh-rsa AAAAB3NzaC1yc2EAAAADAQABAAAAgQ==")
	f.Add("ecdsa-sha2-nistp256 AAAA x")
	f.Add(ed25519Line(make([]byte, 32)))
	f.Fuzz(func(t *testing.T, line string) {
		key, err := ParsePublicKey(line)
		if err != nil {
			if !key.IsZero() {
				t.Fatal("an error and a key")
			}
			return
		}
		if again, err := ParsePublicKey(key.String()); err != nil || again != key || !ValidFingerprint(key.Fingerprint()) {
			t.Fatalf("%s reads back as %s, %v", key, again, err)
		}
	})
}

func ExamplePublicKey_Fingerprint() {
	key, err := ParsePublicKey("ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIAABAgMEBQYHCAkKCwwNDg8QERITFBUWFxgZGhscHR4f ines at the bench")
	fmt.Println(key.Algorithm(), key.Fingerprint(), err)
	// Output: ssh-ed25519 SHA256:ZkAslGjFiUHdGf/WUL8rQvkib4PTvQatUV0OUQSncCA <nil>
}
