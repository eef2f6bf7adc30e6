package attest

import (
	"crypto/x509"
	"encoding/asn1"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"time"
)

// Stamp is what a time-stamp token says (RFC 3161 section 2.4.2): an authority
// saw this digest at that time. It shows that the bytes existed by then, and
// nothing of who made them or whether they are true.
type Stamp struct {
	Digest   [32]byte // SHA-256 of what was stamped
	Time     time.Time
	Accuracy time.Duration // either way; 0 is not stated
	Policy   string        // object identifier of the authority's rules
	Serial   string        // hexadecimal
	Nonce    []byte        // of the request, big-endian without leading zeros; nil is none
	// Authority is the subject of the signing certificate.
	Authority string
	// Root is the SHA-256 fingerprint, in hexadecimal, of the trusted
	// certificate that the chain ends in; "" where the chain was not checked.
	Root string
	// Expires is when the first certificate of the chain ends. Before that the
	// token is to be stamped again, while the chain can still be checked the easy
	// way.
	Expires time.Time
}

// StampFault says what is wrong with a time-stamp token.
type StampFault int

// The faults, from the form to the substance.
const (
	StampUnreadable    StampFault = iota + 1 // no time-stamp token, or a malformed one
	StampDeclined                            // the authority answered that it will not stamp
	StampNoCertificate                       // the signer's certificate is not in it
	StampAltered                             // the signature does not fit
	StampNotForStamps                        // the certificate is not meant for time stamps
	StampUntrusted                           // the chain ends in no trusted certificate, or was not valid then
	StampOtherBytes                          // it is over other bytes
	StampOtherNonce                          // it answers another request
)

// String gives the fault in words.
func (f StampFault) String() string {
	switch f {
	case StampUnreadable:
		return "unreadable time-stamp token"
	case StampDeclined:
		return "the authority did not stamp"
	case StampNoCertificate:
		return "time-stamp token without the certificate of its signer"
	case StampAltered:
		return "time-stamp token with a signature that does not fit"
	case StampNotForStamps:
		return "time-stamp token signed with a certificate that is not for time stamps"
	case StampUntrusted:
		return "time-stamp token of an authority that is not trusted"
	case StampOtherBytes:
		return "time-stamp token over other bytes"
	case StampOtherNonce:
		return "time-stamp token that answers another request"
	}
	return "no fault"
}

// StampError is what ReadStamp and VerifyStamp return: every error of them is one.
type StampError struct {
	Fault  StampFault
	Detail string
}

// Error gives fault and detail.
func (e *StampError) Error() string {
	if e.Detail == "" {
		return e.Fault.String()
	}
	return e.Fault.String() + ": " + e.Detail
}

// longestToken bounds what is read of an authority: a token with its chain takes
// 1.5 to 10 KB.
const longestToken = 256 << 10

// ReadStamp gives what a token claims, without checking anything.
func ReadStamp(answer []byte) (Stamp, error) {
	token, err := readToken(answer)
	if err != nil {
		return Stamp{}, err
	}
	return token.stamp(), nil
}

// VerifyStamp checks an answer of an authority (TimeStampResp) or the token out
// of one, without a network: that it is over this SHA-256 digest; that it answers
// the request with this nonce, unless nonce is nil; that the one certificate that
// signed it is in it, is for time stamps and nothing else, and was valid at the
// stamped time, as was its chain to one of the roots. Revocation is not looked
// at: it would need the network. On an error, which is always a *StampError, the
// Stamp holds what could be read, as a claim.
func VerifyStamp(answer []byte, digest [32]byte, nonce []byte, roots Roots) (Stamp, error) {
	token, err := readToken(answer)
	if err != nil {
		return Stamp{}, err
	}
	stamp := token.stamp()
	leaf, err := token.verifySignature()
	if err != nil {
		return stamp, err
	}
	stamp.Authority, stamp.Expires = leaf.Subject.String(), leaf.NotAfter
	if err := checkPurpose(leaf); err != nil {
		return stamp, &StampError{StampNotForStamps, err.Error()}
	}
	if err := token.checkChain(leaf, roots, &stamp); err != nil {
		return stamp, &StampError{StampUntrusted, err.Error()}
	}
	if stamp.Digest != digest {
		return stamp, &StampError{StampOtherBytes, fmt.Sprintf("it stamps the digest %x, these bytes have %x", stamp.Digest, digest)}
	}
	if nonce != nil && (token.info.Nonce == nil || token.info.Nonce.Cmp(new(big.Int).SetBytes(nonce)) != 0) {
		return stamp, &StampError{StampOtherNonce, "its nonce is not the one that was sent"}
	}
	return stamp, nil
}

// stamp gives the claims of a token.
func (t token) stamp() Stamp {
	s := Stamp{
		Time:     t.info.Time.UTC(),
		Accuracy: t.info.Accuracy.duration(),
		Policy:   t.info.Policy.String(),
		Serial:   t.info.Serial.Text(16),
	}
	copy(s.Digest[:], t.info.Imprint.Digest)
	if t.info.Nonce != nil {
		s.Nonce = t.info.Nonce.Bytes()
	}
	return s
}

var extendedKeyUsage = asn1.ObjectIdentifier{2, 5, 29, 37}

// checkPurpose holds the signer's certificate to RFC 3161 section 2.3: extended
// key usage timeStamping, nothing besides, and critical.
func checkPurpose(leaf *x509.Certificate) error {
	if len(leaf.ExtKeyUsage)+len(leaf.UnknownExtKeyUsage) != 1 || !slices.Contains(leaf.ExtKeyUsage, x509.ExtKeyUsageTimeStamping) {
		return errors.New("its extended key usage is not time stamping alone")
	}
	for _, e := range leaf.Extensions {
		if e.Id.Equal(extendedKeyUsage) && !e.Critical {
			return errors.New("its extended key usage is not marked critical")
		}
	}
	const signing = x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment
	if leaf.KeyUsage != 0 && (leaf.KeyUsage&signing == 0 || leaf.KeyUsage&^signing != 0) {
		return errors.New("its key usage is not signing alone")
	}
	return nil
}

// checkChain looks for a way from the signer's certificate to a root, as all
// certificates stood at the stamped time.
func (t token) checkChain(leaf *x509.Certificate, roots Roots, stamp *Stamp) error {
	between := x509.NewCertPool()
	for _, c := range t.certificates {
		between.AddCert(c)
	}
	chains, err := leaf.Verify(x509.VerifyOptions{
		Roots: roots.pool(), Intermediates: between, CurrentTime: stamp.Time,
		KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageTimeStamping},
	})
	if err != nil {
		return fmt.Errorf("at %s: %w", stamp.Time.Format(time.RFC3339), err)
	}
	for i, chain := range chains {
		expires := chain[0].NotAfter
		for _, c := range chain {
			if c.NotAfter.Before(expires) {
				expires = c.NotAfter
			}
		}
		if i == 0 || expires.After(stamp.Expires) { // the chain that lasts longest
			stamp.Expires, stamp.Root = expires, fingerprintOf(chain[len(chain)-1])
		}
	}
	return nil
}
