package attest

import (
	"bytes"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/binary"
	"errors"
	"fmt"

	"golang.org/x/crypto/ssh"
)

// wireMagic opens a signature and what is signed (PROTOCOL.sshsig of OpenSSH).
const wireMagic = "SSHSIG"

// signed is a signature in its wire form, taken apart: string public key, string
// namespace, string reserved, string hash algorithm, string signature, behind
// magic and version.
type signed struct {
	key             ssh.PublicKey
	namespace, hash string
	by              ssh.Signature
}

// parseWire takes the wire form apart. Every byte of it has one meaning: what is
// reserved must be empty, and nothing follows.
func parseWire(wire []byte) (s signed, blob []byte, err error) {
	rest, ok := bytes.CutPrefix(wire, []byte(wireMagic+"\x00\x00\x00\x01"))
	if !ok {
		return s, nil, errors.New("no SSH signature of version 1")
	}
	var fields [5][]byte
	for i := range fields {
		if fields[i], rest, ok = cutString(rest); !ok {
			return s, nil, errors.New("SSH signature cut short")
		}
	}
	if len(rest) > 0 || len(fields[2]) > 0 {
		return s, nil, errors.New("SSH signature with bytes that mean nothing")
	}
	blob, s.namespace, s.hash = fields[0], string(fields[1]), string(fields[3])
	if s.hash != "sha256" && s.hash != "sha512" {
		return s, nil, fmt.Errorf("SSH signature over a digest of kind %q, which is neither sha256 nor sha512", s.hash)
	}
	if s.key, err = ssh.ParsePublicKey(blob); err != nil {
		return s, nil, fmt.Errorf("unreadable public key: %w", err)
	}
	format, after, ok := cutString(fields[4])
	if ok {
		s.by.Blob, s.by.Rest, ok = cutString(after)
	}
	if s.by.Format = string(format); !ok {
		return s, nil, errors.New("SSH signature cut short")
	}
	// The plain algorithm of RSA keys rests on SHA-1.
	if s.key.Type() == ssh.KeyAlgoRSA && s.by.Format != ssh.KeyAlgoRSASHA256 && s.by.Format != ssh.KeyAlgoRSASHA512 {
		return s, nil, fmt.Errorf("RSA signature of kind %q, which is neither %s nor %s", s.by.Format, ssh.KeyAlgoRSASHA256, ssh.KeyAlgoRSASHA512)
	}
	return s, blob, nil
}

// wire is the form that parseWire reads.
func (s signed) wire() []byte {
	by := appendString(appendString(nil, s.by.Format), string(s.by.Blob))
	out := []byte(wireMagic + "\x00\x00\x00\x01")
	for _, field := range []string{string(s.key.Marshal()), s.namespace, "", s.hash, string(append(by, s.by.Rest...))} {
		out = appendString(out, field)
	}
	return out
}

// message is what the key signs in place of the payload.
func (s signed) message(payload []byte) []byte {
	digest := make([]byte, 0, sha512.Size)
	if s.hash == "sha256" {
		sum := sha256.Sum256(payload)
		digest = append(digest, sum[:]...)
	} else {
		sum := sha512.Sum512(payload)
		digest = append(digest, sum[:]...)
	}
	out := append(make([]byte, 0, 128), wireMagic...)
	out = appendString(appendString(appendString(out, s.namespace), ""), s.hash)
	return appendString(out, string(digest))
}

// cutString takes a string of RFC 4251 section 5 off: four bytes of length, then
// so many bytes.
func cutString(in []byte) (text, rest []byte, ok bool) {
	if len(in) < 4 {
		return nil, nil, false
	}
	n := binary.BigEndian.Uint32(in)
	if uint64(n) > uint64(len(in)-4) {
		return nil, nil, false
	}
	return in[4 : 4+n : 4+n], in[4+n:], true
}

func appendString(out []byte, text string) []byte {
	return append(binary.BigEndian.AppendUint32(out, uint32(len(text))), text...)
}
