package signoff

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"

	"boltback/internal/attest"
)

// Tag is an annotated tag as it lies in a repository. Payload is the object
// without its signature, byte for byte; everything is read from it.
type Tag struct {
	Name               string // under which it was found, without refs/tags/
	Payload, Signature []byte
}

// Stamped is a manifest, the tag that carries it, and what an authority answered.
type Stamped struct {
	Tag      string
	Manifest Manifest
	// Answer is the RFC 3161 answer or token over the manifest's digest; nil where
	// none was asked for.
	Answer []byte
	Tagger Person
	// What of the tag is signed; empty where it was not read from one.
	payload, signature []byte
}

// tokenLine begins the lines of a tag that hold an authority's answer. As they
// begin with #, sha256sum passes over them; without them the message is the
// manifest, byte for byte.
const tokenLine = "# token "

// Message is the message of the tag for a manifest: the manifest, and behind it
// the authority's answer, if there is one.
func (m Manifest) Message(answer []byte) []byte {
	out := m.Bytes()
	text := base64.StdEncoding.EncodeToString(answer)
	for len(text) > 0 {
		n := min(len(text), 64)
		out = append(out, tokenLine+text[:n]+"\n"...)
		text = text[n:]
	}
	return out
}

// parseMessage undoes Message.
func parseMessage(message []byte) (Manifest, []byte, error) {
	body, token := message, ""
	if i := bytes.Index(message, []byte("\n"+tokenLine)); i >= 0 {
		body = message[:i+1]
		for line := range strings.Lines(string(message[i+1:])) {
			piece, ok := strings.CutPrefix(strings.TrimSuffix(line, "\n"), tokenLine)
			if !ok {
				return Manifest{}, nil, errors.New("something stands behind the token")
			}
			token += piece
		}
	}
	m, err := ParseManifest(body)
	if err != nil {
		return Manifest{}, nil, err
	}
	answer, err := base64.StdEncoding.Strict().DecodeString(token)
	if err != nil || len(token) > 0 && !bytes.Equal(m.Message(answer), message) {
		return Manifest{}, nil, errors.New("the token is not as it is written")
	}
	if len(answer) == 0 {
		answer = nil
	}
	return m, answer, nil
}

// ReadTag reads a tag that carries a manifest. ErrNoStamp is returned for one
// that does not; a tag under another name than its own, or on another commit
// than its manifest, is an error.
func ReadTag(tag Tag) (Stamped, error) {
	top, message, found := bytes.Cut(tag.Payload, []byte("\n\n"))
	if !found || !bytes.HasPrefix(message, []byte(manifestTitle+"\n")) {
		return Stamped{}, ErrNoStamp
	}
	lines := strings.Split(string(top), "\n")
	want := []string{"object ", "type ", "tag ", "tagger "}
	if len(lines) != len(want) {
		return Stamped{}, fmt.Errorf("the tag %s has another head than Git writes", tag.Name)
	}
	for i, name := range want {
		value, ok := strings.CutPrefix(lines[i], name)
		if lines[i] = value; !ok {
			return Stamped{}, fmt.Errorf("the tag %s has another head than Git writes", tag.Name)
		}
	}
	s := Stamped{Tag: tag.Name, payload: tag.Payload, signature: tag.Signature}
	var err error
	if s.Tagger, err = parsePerson(lines[3]); err != nil {
		return Stamped{}, fmt.Errorf("the tagger of %s: %w", tag.Name, err)
	}
	if s.Manifest, s.Answer, err = parseMessage(message); err != nil {
		return Stamped{}, fmt.Errorf("the tag %s: %w", tag.Name, err)
	}
	switch {
	case lines[2] != tag.Name:
		return Stamped{}, fmt.Errorf("the tag %s calls itself %q", tag.Name, lines[2])
	case lines[1] != "commit" || lines[0] != s.Manifest.Commit:
		return Stamped{}, fmt.Errorf("the tag %s stands on another commit than its manifest", tag.Name)
	}
	return s, nil
}

// ErrNoStamp says that a tag carries no manifest.
var ErrNoStamp = errors.New("this tag carries no manifest")

// judge verifies the tag's signature by the keys that counted at its commit, and
// the authority's answer against the reader's roots.
func (s Stamped) judge(ring *Ring, roots attest.Roots, v *StampVerdict) {
	if s.payload != nil {
		first := attest.AllowedSigners{}.Judge(s.payload, s.signature, attest.Commits, "", s.Tagger.When, attest.KeyList{})
		v.Signature, v.Detail, v.Looked = first.Signature, first.Detail, Looked{Standing: first.Standing}
		if first.Standing == attest.UnknownKey {
			v.Looked = ring.look(first.Signature.Key, attest.Commits, s.Tagger.When)
		}
	}
	if s.Answer == nil {
		return
	}
	sum := s.Manifest.sum()
	v.Token, v.TokenFault = attest.VerifyStamp(s.Answer, sum, nil, roots)
	v.Stamped = v.TokenFault == nil
	var fault *attest.StampError
	if errors.As(v.TokenFault, &fault) && fault.Fault == attest.StampUntrusted && len(roots.Fingerprints()) == 0 {
		if v.NobodyTrusted = v.Token.Digest == sum; !v.NobodyTrusted {
			v.TokenFault = &attest.StampError{Fault: attest.StampOtherBytes, Detail: "it stamps another digest than that of its manifest"}
		}
	}
}
