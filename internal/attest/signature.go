package attest

import (
	"bytes"
	"crypto/rsa"
	"errors"
	"fmt"
	"math/big"

	"golang.org/x/crypto/ssh"
)

// Namespace says what a signature is for. It is part of what is signed, so that
// a signature for one purpose is worthless for another.
type Namespace string

// The two namespaces. Git gives its own to commits and tags; sign-offs have
// ours, so that nobody can be led to sign one while thinking of the other.
const (
	Commits  Namespace = "git"
	SignOffs Namespace = "boltback"
)

// Signature is what a signature says of itself. Nothing of it is to be believed
// before Verify returned without an error.
type Signature struct {
	Key       PublicKey
	Namespace Namespace
	Algorithm string // of the signature, such as "ssh-ed25519" or "rsa-sha2-512"
	Hash      string // of the payload, "sha256" or "sha512"
	// Touched and Verified are what a security key says of its owner: that the
	// key was touched, and that a PIN or finger was checked.
	Touched, Verified bool
}

// Fault says what is wrong with a signature.
type Fault int

// The faults, from the form to the substance.
const (
	Unreadable     Fault = iota + 1 // no SSH signature, or a malformed one
	KeyRefused                      // of a kind or size that binds nobody
	WrongNamespace                  // signed for another purpose
	Altered                         // does not fit the bytes it stands beside
)

// String gives the fault in words.
func (f Fault) String() string {
	switch f {
	case Unreadable:
		return "unreadable signature"
	case KeyRefused:
		return "key refused"
	case WrongNamespace:
		return "signed for another purpose"
	case Altered:
		return "does not fit these bytes"
	}
	return "no fault"
}

// SignatureError is what Verify returns: every error of it is one.
type SignatureError struct {
	Fault  Fault
	Detail string
}

// Error gives fault and detail.
func (e *SignatureError) Error() string { return e.Fault.String() + ": " + e.Detail }

// Sign signs payload for a purpose and returns the armored signature as
// ssh-keygen writes it. The hash is SHA-512. For a key file the result depends
// on nothing but key, namespace and payload; ECDSA follows RFC 6979. What comes
// back from an agent is verified before it is passed on.
func Sign(signer Signer, ns Namespace, payload []byte) ([]byte, error) {
	if ns != Commits && ns != SignOffs {
		return nil, fmt.Errorf("nothing is signed for the purpose %q, only for %q and %q", ns, Commits, SignOffs)
	}
	if signer.inner == nil {
		return nil, errors.New("no key to sign with")
	}
	s := signed{key: signer.inner.PublicKey(), namespace: string(ns), hash: "sha512"}
	by, err := signer.sign(s.message(payload))
	if err != nil {
		return nil, fmt.Errorf("signing with %s: %w", signer.Public().Fingerprint(), err)
	}
	s.by = *by
	armored := armor(s.wire())
	if _, err := Verify(payload, armored, ns); err != nil {
		return nil, fmt.Errorf("the signature made with %s is not valid: %w", signer.Public().Fingerprint(), err)
	}
	return armored, nil
}

// Verify checks that armored is a signature of payload for that purpose. It says
// nothing of whose key it is: that is for AllowedSigners. On an error, which is
// always a *SignatureError, the Signature holds what could be read, as a claim.
func Verify(payload, armored []byte, ns Namespace) (Signature, error) {
	facts, s, err := readSignature(armored)
	if err != nil {
		return facts, err
	}
	if facts.Namespace != ns {
		return facts, &SignatureError{WrongNamespace, fmt.Sprintf("it was made for %q and stands where one for %q belongs", facts.Namespace, ns)}
	}
	if err := s.key.Verify(s.message(payload), &s.by); err != nil {
		detail := "the bytes or the signature were changed since, or another key signed them"
		if facts.Key.Hardware() && !facts.Touched {
			detail = "the security key was not touched when it signed"
		}
		return facts, &SignatureError{Altered, detail}
	}
	return facts, nil
}

// ReadSignature gives what an armored signature claims, without the bytes that
// it is over.
func ReadSignature(armored []byte) (Signature, error) {
	facts, _, err := readSignature(armored)
	return facts, err
}

// readSignature reads the one spelling of a signature.
func readSignature(armored []byte) (Signature, signed, error) {
	wire, err := unarmor(armored)
	if err != nil {
		return Signature{}, signed{}, &SignatureError{Unreadable, err.Error()}
	}
	s, blob, err := parseWire(wire)
	if err != nil {
		return Signature{}, s, &SignatureError{Unreadable, err.Error()}
	}
	facts := Signature{Namespace: Namespace(s.namespace), Algorithm: s.by.Format, Hash: s.hash}
	if facts.Key, err = keyOf(s.key); err != nil {
		return facts, s, &SignatureError{KeyRefused, err.Error()}
	}
	if facts.Key.Hardware() && len(s.by.Rest) > 0 {
		flags := s.by.Rest[0] // PROTOCOL.u2f: flags, then a counter of four bytes
		facts.Touched, facts.Verified = flags&0x01 != 0, flags&0x04 != 0
	}
	if facts.Key.blob != string(blob) || !oneSpelling(&s.by, facts.Key) {
		return facts, s, &SignatureError{Unreadable, "a spelling that no tool writes"}
	}
	return facts, s, nil
}

// oneSpelling refuses second spellings of one signature that the verifying
// library would let through: bytes behind it, numbers with leading zeros, a
// short RSA value.
func oneSpelling(sig *ssh.Signature, key PublicKey) bool {
	if key.Hardware() {
		if len(sig.Rest) != 5 {
			return false
		}
	} else if len(sig.Rest) != 0 {
		return false
	}
	switch key.algorithm {
	case ssh.KeyAlgoRSA:
		parsed, err := ssh.ParsePublicKey([]byte(key.blob))
		if err != nil {
			return false
		}
		public, ok := parsed.(ssh.CryptoPublicKey).CryptoPublicKey().(*rsa.PublicKey)
		return ok && len(sig.Blob) == public.Size()
	case ssh.KeyAlgoECDSA256, ssh.KeyAlgoECDSA384, ssh.KeyAlgoECDSA521, ssh.KeyAlgoSKECDSA256:
		var pair struct{ R, S *big.Int }
		return ssh.Unmarshal(sig.Blob, &pair) == nil && bytes.Equal(ssh.Marshal(pair), sig.Blob)
	}
	return true
}
