package attest

import (
	"bytes"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"math/big"
	"time"
)

// stampResponse is TimeStampResp of RFC 3161.
type stampResponse struct {
	Status struct {
		Code    int
		Text    []string       `asn1:"optional"`
		Failure asn1.BitString `asn1:"optional"`
	}
	Token asn1.RawValue `asn1:"optional"`
}

// contentInfo is ContentInfo of RFC 5652.
type contentInfo struct {
	Type    asn1.ObjectIdentifier
	Content asn1.RawValue `asn1:"explicit,tag:0"`
}

// signedData is SignedData of RFC 5652. The set of signers keeps its raw form,
// because bytes of it are what was signed.
type signedData struct {
	Version      int
	Digests      []pkix.AlgorithmIdentifier `asn1:"set"`
	Content      encapsulated
	Certificates asn1.RawValue `asn1:"optional,tag:0"`
	Revocations  asn1.RawValue `asn1:"optional,tag:1"`
	Signers      []signerInfo  `asn1:"set"`
}

type encapsulated struct {
	Type    asn1.ObjectIdentifier
	Content []byte `asn1:"explicit,optional,tag:0"`
}

// signerInfo is SignerInfo of RFC 5652.
type signerInfo struct {
	Version    int
	Signer     asn1.RawValue
	Digest     pkix.AlgorithmIdentifier
	Signed     asn1.RawValue `asn1:"optional,tag:0"`
	Algorithm  pkix.AlgorithmIdentifier
	Signature  []byte
	Unverified asn1.RawValue `asn1:"optional,tag:1"`
}

// stampInfo is TSTInfo of RFC 3161.
type stampInfo struct {
	Version    int
	Policy     asn1.ObjectIdentifier
	Imprint    imprint
	Serial     *big.Int
	Time       time.Time        `asn1:"generalized"`
	Accuracy   accuracy         `asn1:"optional"`
	Ordering   bool             `asn1:"optional"`
	Nonce      *big.Int         `asn1:"optional"`
	Authority  asn1.RawValue    `asn1:"optional,tag:0"`
	Extensions []pkix.Extension `asn1:"optional,tag:1"`
}

type accuracy struct {
	Seconds int `asn1:"optional"`
	Millis  int `asn1:"optional,tag:0"`
	Micros  int `asn1:"optional,tag:1"`
}

func (a accuracy) duration() time.Duration {
	return time.Duration(a.Seconds)*time.Second + time.Duration(a.Millis)*time.Millisecond + time.Duration(a.Micros)*time.Microsecond
}

// token is a time-stamp token taken apart and not yet checked.
type token struct {
	content      []byte // DER of info
	info         stampInfo
	signer       signerInfo
	certificates []*x509.Certificate
}

func unreadable(format string, args ...any) error {
	return &StampError{StampUnreadable, fmt.Sprintf(format, args...)}
}

// readToken takes an answer apart, or the bare token out of one.
func readToken(answer []byte) (token, error) {
	if len(answer) > longestToken {
		return token{}, unreadable("%d bytes, at most %d are read", len(answer), longestToken)
	}
	var info contentInfo
	if rest, err := asn1.Unmarshal(answer, &info); err != nil || len(rest) > 0 {
		inner, err := openResponse(answer)
		if err != nil {
			return token{}, err
		}
		if rest, err := asn1.Unmarshal(inner, &info); err != nil || len(rest) > 0 {
			return token{}, unreadable("no signed data in it")
		}
	}
	if !info.Type.Equal(oidSignedData) {
		return token{}, unreadable("no signed data in it")
	}
	var data signedData
	if rest, err := asn1.Unmarshal(info.Content.Bytes, &data); err != nil || len(rest) > 0 {
		return token{}, unreadable("its signed data are malformed")
	}
	return data.token()
}

// openResponse gives the token of an answer that grants one.
func openResponse(answer []byte) ([]byte, error) {
	var response stampResponse
	rest, err := asn1.Unmarshal(answer, &response)
	if err != nil || len(rest) > 0 {
		return nil, unreadable("neither an answer of an authority nor a token (DER is wanted)")
	}
	const granted, grantedWithChanges = 0, 1
	if code := response.Status.Code; code != granted && code != grantedWithChanges {
		said := append(response.Status.Text, reasons(response.Status.Failure)...)
		return nil, &StampError{StampDeclined, fmt.Sprintf("status %d, %q", code, said)}
	}
	if len(response.Token.FullBytes) == 0 {
		return nil, unreadable("the answer grants a token and holds none")
	}
	return response.Token.FullBytes, nil
}

// reasons puts PKIFailureInfo of RFC 3161 section 2.4.2 into words.
func reasons(failure asn1.BitString) []string {
	var list []string
	for _, r := range []struct {
		bit  int
		text string
	}{
		{0, "the digest algorithm is not accepted"}, {2, "the request is not permitted"}, {5, "the request is malformed"},
		{14, "the authority's clock is not available"}, {15, "the policy is not known"}, {16, "an extension is not known"},
		{17, "what was asked besides is not available"}, {25, "the authority has a fault"},
	} {
		if failure.At(r.bit) == 1 {
			list = append(list, r.text)
		}
	}
	return list
}

// token checks the form of signed data: one signer over a stamp.
func (d signedData) token() (token, error) {
	if !d.Content.Type.Equal(oidStampInfo) {
		return token{}, unreadable("what is signed is no time stamp but %s", d.Content.Type)
	}
	if len(d.Signers) != 1 {
		return token{}, unreadable("%d signers, a time stamp has one", len(d.Signers))
	}
	t := token{content: d.Content.Content, signer: d.Signers[0]}
	if rest, err := asn1.Unmarshal(t.content, &t.info); err != nil || len(rest) > 0 {
		return token{}, unreadable("the time stamp in it is malformed")
	}
	if err := t.info.check(); err != nil {
		return token{}, unreadable("%s", err)
	}
	const most = 32 // certificates of one token
	certificates, err := x509.ParseCertificates(d.Certificates.Bytes)
	if err != nil || len(certificates) > most {
		return token{}, unreadable("its certificates are malformed or more than %d", most)
	}
	t.certificates = certificates
	return t, nil
}

// check holds a stamp to what is understood here.
func (i stampInfo) check() error {
	switch {
	case i.Version != 1:
		return fmt.Errorf("version %d of the time stamp is not known", i.Version)
	case !i.Imprint.Algorithm.Algorithm.Equal(oidSHA256) || len(i.Imprint.Digest) != 32:
		return errors.New("it stamps another digest than SHA-256")
	case i.Serial == nil || i.Serial.BitLen() > 512 || i.Nonce != nil && (i.Nonce.Sign() < 0 || i.Nonce.BitLen() > 512):
		return errors.New("its serial number or nonce is out of bounds")
	case i.Time.Year() < 1990:
		return errors.New("its time lies before there were time stamps")
	}
	for _, n := range []int{i.Accuracy.Seconds, i.Accuracy.Millis, i.Accuracy.Micros} {
		if n < 0 || n > 1<<30 {
			return errors.New("its accuracy is out of bounds")
		}
	}
	for _, e := range i.Extensions {
		if e.Critical {
			return fmt.Errorf("it bears the critical extension %s, which is not known", e.Id)
		}
	}
	return nil
}

// signerNamed finds the certificate that the signer's issuer and serial number,
// or key identifier, point at.
func (t token) signerNamed() *x509.Certificate {
	var name struct {
		Issuer asn1.RawValue
		Serial *big.Int
	}
	byName := t.signer.Signer.Class == asn1.ClassUniversal
	if byName {
		if rest, err := asn1.Unmarshal(t.signer.Signer.FullBytes, &name); err != nil || len(rest) > 0 {
			return nil
		}
	}
	for _, c := range t.certificates {
		if byName && bytes.Equal(c.RawIssuer, name.Issuer.FullBytes) && c.SerialNumber.Cmp(name.Serial) == 0 {
			return c
		}
		if !byName && t.signer.Signer.Tag == 0 && len(c.SubjectKeyId) > 0 && bytes.Equal(c.SubjectKeyId, t.signer.Signer.Bytes) {
			return c
		}
	}
	return nil
}
