package attest

import (
	"crypto/ecdsa"
	"crypto/rsa"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"slices"
	"strings"

	"golang.org/x/crypto/ssh"
)

// LeastRSABits is the shortest RSA modulus that binds anybody. Stock tools still
// accept 1024 bits; NIST SP 800-131A has disallowed less than 2048 since 2014.
const LeastRSABits = 2048

// longestKeyLine bounds one line with a public key: an RSA key of 16384 bits,
// the largest that stock tools make, takes about 2,800 characters.
const longestKeyLine = 8192

// keyAlgorithms are the kinds of key that may sign. DSA is broken, certificates
// move the trust to an authority that the ledger does not name.
var keyAlgorithms = []string{
	ssh.KeyAlgoED25519, ssh.KeyAlgoECDSA256, ssh.KeyAlgoECDSA384, ssh.KeyAlgoECDSA521, ssh.KeyAlgoRSA,
	ssh.KeyAlgoSKED25519, ssh.KeyAlgoSKECDSA256,
}

// PublicKey is a public key that may sign. It is comparable: two are == exactly
// when they are the same key, whatever comments stood beside them. The zero
// value is no key.
type PublicKey struct {
	algorithm string
	blob      string // wire form, RFC 4253 section 6.6
}

// ParsePublicKey reads one line "algorithm base64 [comment]" as it stands in a
// .pub file. It refuses options before the key, certificates, DSA, RSA below
// LeastRSABits and keys under which anybody could sign.
func ParsePublicKey(line string) (PublicKey, error) {
	if len(line) > longestKeyLine {
		return PublicKey{}, fmt.Errorf("public key of %d characters, at most %d are read", len(line), longestKeyLine)
	}
	if strings.Contains(line, "PRIVATE KEY") {
		return PublicKey{}, errors.New("this is a private key and must not be passed on; the public one lies beside it in a file ending in .pub")
	}
	line = strings.TrimRight(line, "\n")
	if i := strings.IndexFunc(line, func(r rune) bool { return r < ' ' && r != '\t' || r == 0x7f }); i >= 0 {
		return PublicKey{}, fmt.Errorf("control character %q in a public key, which is one line", line[i])
	}
	fields := strings.Fields(line)
	if len(fields) < 2 {
		return PublicKey{}, errors.New(`a public key reads "ssh-ed25519 AAAA... comment" on one line`)
	}
	return publicKey(fields[0], fields[1])
}

// publicKey reads the two words of a key.
func publicKey(algorithm, encoded string) (PublicKey, error) {
	if !slices.Contains(keyAlgorithms, algorithm) {
		return PublicKey{}, refusedAlgorithm(algorithm)
	}
	blob, err := base64.StdEncoding.Strict().DecodeString(encoded)
	if err != nil {
		return PublicKey{}, fmt.Errorf("the %s key is not base64: copy the whole line of the .pub file", algorithm)
	}
	key, err := keyFromWire(blob)
	if err != nil {
		return PublicKey{}, err
	}
	if key.algorithm != algorithm {
		return PublicKey{}, fmt.Errorf("the line says %s and the key in it is %s", algorithm, key.algorithm)
	}
	return key, nil
}

// keyFromWire reads the wire form and holds it to the rules above.
func keyFromWire(blob []byte) (PublicKey, error) {
	parsed, err := ssh.ParsePublicKey(blob)
	if err != nil {
		return PublicKey{}, fmt.Errorf("unreadable public key: %w", err)
	}
	key, err := keyOf(parsed)
	if err != nil {
		return PublicKey{}, err
	}
	// A second spelling of one key would have a second fingerprint.
	if key.blob != string(blob) {
		return PublicKey{}, errors.New("public key in a spelling that no tool writes")
	}
	return key, nil
}

// keyOf holds a key that was read to the rules above.
func keyOf(parsed ssh.PublicKey) (PublicKey, error) {
	if err := checkKey(parsed); err != nil {
		return PublicKey{}, err
	}
	return PublicKey{parsed.Type(), string(parsed.Marshal())}, nil
}

// checkKey refuses what may not sign.
func checkKey(key ssh.PublicKey) error {
	if !slices.Contains(keyAlgorithms, key.Type()) {
		return refusedAlgorithm(key.Type())
	}
	holder, ok := key.(ssh.CryptoPublicKey)
	if !ok {
		return refusedAlgorithm(key.Type())
	}
	switch k := holder.CryptoPublicKey().(type) {
	case *rsa.PublicKey:
		if bits := k.N.BitLen(); bits < LeastRSABits {
			return fmt.Errorf("RSA key of %d bits, at least %d are wanted", bits, LeastRSABits)
		}
	case *ecdsa.PublicKey: // the reader has checked that the point lies on the curve
	default:
		if point, ok := edwardsPoint(k); ok && smallOrder(point) {
			return errors.New("this Ed25519 key has small order: anybody can sign under it")
		}
	}
	return nil
}

func refusedAlgorithm(algorithm string) error {
	switch {
	case strings.Contains(algorithm, "-cert-v01"):
		return errors.New("certificates are not accepted: the trust would lie with an authority that the ledger does not name; list the key itself")
	case algorithm == "ssh-dss":
		return errors.New("DSA keys are not accepted: they are too short; use ssh-ed25519")
	}
	return fmt.Errorf("keys of kind %q are not accepted; known are %s", algorithm, strings.Join(keyAlgorithms, ", "))
}

// Algorithm is the kind of key, such as "ssh-ed25519".
func (k PublicKey) Algorithm() string { return k.algorithm }

// Hardware says whether the private half lives in a security key.
func (k PublicKey) Hardware() bool { return strings.HasPrefix(k.algorithm, "sk-") }

// IsZero says whether this is no key.
func (k PublicKey) IsZero() bool { return k.blob == "" }

// Fingerprint is "SHA256:" and the unpadded base64 of the digest of the wire
// form, as ssh-keygen -l prints it; "" for no key.
func (k PublicKey) Fingerprint() string {
	if k.IsZero() {
		return ""
	}
	sum := sha256.Sum256([]byte(k.blob))
	return "SHA256:" + base64.RawStdEncoding.EncodeToString(sum[:])
}

// String is the line "algorithm base64", without a comment.
func (k PublicKey) String() string {
	if k.IsZero() {
		return ""
	}
	return k.algorithm + " " + base64.StdEncoding.EncodeToString([]byte(k.blob))
}

// ValidFingerprint says whether text is a SHA-256 fingerprint as Fingerprint
// writes it, so that a pin with a slip of the pen is noticed before it is used.
func ValidFingerprint(text string) bool {
	encoded, ok := strings.CutPrefix(text, "SHA256:")
	if !ok {
		return false
	}
	sum, err := base64.RawStdEncoding.Strict().DecodeString(encoded)
	return err == nil && len(sum) == sha256.Size && !strings.ContainsAny(encoded, "\r\n")
}
