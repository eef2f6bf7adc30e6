package attest

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/rsa"
	"crypto/sha1" // only to compare a certificate with the name that RFC 2634 gives it
	"crypto/sha256"
	"crypto/sha512"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
)

// attribute is a signed attribute of RFC 5652.
type attribute struct {
	Type   asn1.ObjectIdentifier
	Values []asn1.RawValue `asn1:"set"`
}

// verifySignature checks the signature of a token as RFC 5652 section 5.4 and
// RFC 3161 section 2.4.2 have it, and returns the certificate that made it.
func (t token) verifySignature() (*x509.Certificate, error) {
	leaf := t.signerNamed()
	if leaf == nil {
		return nil, &StampError{StampNoCertificate, "ask the authority for it (certReq) and stamp again"}
	}
	hash, algorithm, err := signatureAlgorithm(leaf, t.signer)
	if err != nil {
		return nil, unreadable("%s", err)
	}
	if t.signer.Signed.Class != asn1.ClassContextSpecific || len(t.signer.Signed.FullBytes) == 0 {
		return nil, unreadable("it signs no attributes")
	}
	if err := t.checkAttributes(leaf, hash); err != nil {
		return nil, &StampError{StampAltered, err.Error()}
	}
	// What is signed is the set with its own tag, not that of the field.
	signed := bytes.Clone(t.signer.Signed.FullBytes)
	signed[0] = asn1.TagSet | 0x20
	if err := leaf.CheckSignature(algorithm, signed, t.signer.Signature); err != nil {
		return nil, &StampError{StampAltered, "the token was changed since, or another key signed it"}
	}
	return leaf, nil
}

// checkAttributes compares what the signer signed of type, content and
// certificate with those that are there.
func (t token) checkAttributes(leaf *x509.Certificate, hash crypto.Hash) error {
	values, err := readAttributes(t.signer.Signed.Bytes)
	if err != nil {
		return err
	}
	var kind asn1.ObjectIdentifier
	if !readWhole(values[oidContentType.String()], &kind) || !kind.Equal(oidStampInfo) {
		return errors.New("the signer did not sign that this is a time stamp")
	}
	var digest []byte
	if !readWhole(values[oidMessageDigest.String()], &digest) || !bytes.Equal(digest, sum(hash, t.content)) {
		return errors.New("the stamp is not the one that the signer signed")
	}
	if !namesCertificate(values, leaf) {
		return errors.New("the signer did not sign with this certificate")
	}
	return nil
}

// readAttributes gives the one value of each attribute, by type.
func readAttributes(raw []byte) (map[string][]byte, error) {
	values := map[string][]byte{}
	for len(raw) > 0 {
		var a attribute
		rest, err := asn1.Unmarshal(raw, &a)
		if err != nil {
			return nil, errors.New("malformed signed attributes")
		}
		if _, twice := values[a.Type.String()]; twice || len(a.Values) != 1 {
			return nil, errors.New("a signed attribute has not exactly one value")
		}
		values[a.Type.String()] = a.Values[0].FullBytes
		raw = rest
	}
	return values, nil
}

// readWhole reads one DER value with nothing behind it.
func readWhole(der []byte, into any) bool {
	if len(der) == 0 {
		return false
	}
	rest, err := asn1.Unmarshal(der, into)
	return err == nil && len(rest) == 0
}

// certificateID begins ESSCertID of RFC 2634 and ESSCertIDv2 of RFC 5035, in
// which the algorithm is SHA-256 where it is left out.
type certificateID struct {
	Algorithm pkix.AlgorithmIdentifier `asn1:"optional"`
	Digest    []byte
	Issuer    asn1.RawValue `asn1:"optional"`
}

// namesCertificate says whether the first certificate that the signer names is
// this one. Without that, another certificate for the same key could be put in
// its place.
func namesCertificate(values map[string][]byte, leaf *x509.Certificate) bool {
	var named struct {
		Certificates []certificateID
		Policies     asn1.RawValue `asn1:"optional"`
	}
	if der := values[oidSigningCertV2.String()]; der != nil {
		if !readWhole(der, &named) || len(named.Certificates) == 0 {
			return false
		}
		id, hash := named.Certificates[0], crypto.SHA256
		if len(id.Algorithm.Algorithm) > 0 {
			hash = hashOf(id.Algorithm.Algorithm)
		}
		return hash != 0 && bytes.Equal(id.Digest, sum(hash, leaf.Raw))
	}
	if der := values[oidSigningCert.String()]; der != nil {
		if !readWhole(der, &named) || len(named.Certificates) == 0 {
			return false
		}
		first := sha1.Sum(leaf.Raw)
		return bytes.Equal(named.Certificates[0].Digest, first[:])
	}
	return false
}

func hashOf(oid asn1.ObjectIdentifier) crypto.Hash {
	switch {
	case oid.Equal(oidSHA256):
		return crypto.SHA256
	case oid.Equal(oidSHA384):
		return crypto.SHA384
	case oid.Equal(oidSHA512):
		return crypto.SHA512
	}
	return 0
}

func sum(hash crypto.Hash, data []byte) []byte {
	switch hash {
	case crypto.SHA384:
		s := sha512.Sum384(data)
		return s[:]
	case crypto.SHA512:
		s := sha512.Sum512(data)
		return s[:]
	}
	s := sha256.Sum256(data)
	return s[:]
}

// signatureAlgorithm gives digest and algorithm, which must agree with each
// other and with the key. Digests below SHA-256 and RSA keys below LeastRSABits
// are refused, and so are RSA-PSS and Ed25519, of which openssl ts 3.0 cannot
// verify the latter: what is accepted here an outsider must be able to check.
func signatureAlgorithm(leaf *x509.Certificate, signer signerInfo) (crypto.Hash, x509.SignatureAlgorithm, error) {
	hash := hashOf(signer.Digest.Algorithm)
	unknown := errors.New("it is signed with an algorithm that is not accepted: RSA (PKCS 1) or ECDSA with SHA-256, -384 or -512")
	if hash == 0 {
		return 0, 0, unknown
	}
	at := map[crypto.Hash]int{crypto.SHA256: 0, crypto.SHA384: 1, crypto.SHA512: 2}[hash]
	named := signer.Algorithm.Algorithm
	switch key := leaf.PublicKey.(type) {
	case *rsa.PublicKey:
		with := []asn1.ObjectIdentifier{oidSHA256WithRSA, oidSHA384WithRSA, oidSHA512WithRSA}[at]
		if key.N.BitLen() >= LeastRSABits && (named.Equal(oidRSA) || named.Equal(with)) {
			return hash, []x509.SignatureAlgorithm{x509.SHA256WithRSA, x509.SHA384WithRSA, x509.SHA512WithRSA}[at], nil
		}
	case *ecdsa.PublicKey:
		with := []asn1.ObjectIdentifier{oidECDSAWithSHA256, oidECDSAWithSHA384, oidECDSAWithSHA512}[at]
		if named.Equal(with) {
			return hash, []x509.SignatureAlgorithm{x509.ECDSAWithSHA256, x509.ECDSAWithSHA384, x509.ECDSAWithSHA512}[at], nil
		}
	}
	return 0, 0, unknown
}
