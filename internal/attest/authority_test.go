package attest

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/pem"
	"math/big"
	"testing"
	"time"
)

// noon is the time of the authority that this file plays.
var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// authority is a time-stamping authority with a chain root, middle, leaf.
type authority struct {
	t                  testing.TB
	root, middle, leaf *x509.Certificate
	rootKey, middleKey crypto.Signer
	key                crypto.Signer
}

// newAuthority makes an authority whose leaf certificate is as change leaves it.
func newAuthority(t testing.TB, key crypto.Signer, change func(*x509.Certificate)) authority {
	t.Helper()
	a := authority{t: t, key: key}
	year := 365 * 24 * time.Hour
	ca := func(name string) *x509.Certificate {
		return &x509.Certificate{
			SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name}, NotBefore: noon.Add(-year), NotAfter: noon.Add(20 * year),
			IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign, SubjectKeyId: []byte(name),
		}
	}
	a.rootKey, a.middleKey = curveKey(t), curveKey(t)
	a.root = a.certify(ca("Harbour Clock Root"), nil, a.rootKey, a.rootKey)
	a.middle = a.certify(ca("Harbour Clock Issuing"), a.root, a.middleKey, a.rootKey)
	leaf := &x509.Certificate{
		SerialNumber: big.NewInt(77), Subject: pkix.Name{CommonName: "Harbour Clock 1"}, NotBefore: noon.Add(-time.Hour), NotAfter: noon.Add(2 * year),
		KeyUsage: x509.KeyUsageDigitalSignature, SubjectKeyId: []byte("leaf"), ExtraExtensions: []pkix.Extension{usage(t, true, 8)},
	}
	if change != nil {
		change(leaf)
	}
	a.leaf = a.certify(leaf, a.middle, key, a.middleKey)
	return a
}

func curveKey(t testing.TB) crypto.Signer {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return key
}

// usage is the extended key usage with the given purposes of 1.3.6.1.5.5.7.3.
func usage(t testing.TB, critical bool, purposes ...int) pkix.Extension {
	t.Helper()
	var list []asn1.ObjectIdentifier
	for _, p := range purposes {
		list = append(list, asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 3, p})
	}
	return pkix.Extension{Id: extendedKeyUsage, Critical: critical, Value: der(t, list)}
}

func der(t testing.TB, value any) []byte {
	t.Helper()
	out, err := asn1.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// certify signs a certificate; a nil issuer makes it sign itself.
func (a authority) certify(c, issuer *x509.Certificate, key, issuerKey crypto.Signer) *x509.Certificate {
	a.t.Helper()
	if issuer == nil {
		issuer = c
	}
	raw, err := x509.CreateCertificate(rand.Reader, c, issuer, key.Public(), issuerKey)
	if err != nil {
		a.t.Fatal(err)
	}
	parsed, err := x509.ParseCertificate(raw)
	if err != nil {
		a.t.Fatal(err)
	}
	return parsed
}

func pemOf(certificates ...*x509.Certificate) []byte {
	var out []byte
	for _, c := range certificates {
		out = append(out, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: c.Raw})...)
	}
	return out
}

func (a authority) roots() Roots {
	a.t.Helper()
	roots, err := ParseRoots(pemOf(a.root))
	if err != nil {
		a.t.Fatal(err)
	}
	return roots
}

// recipe is what goes into a token; tests change single ingredients.
type recipe struct {
	info         stampInfo
	contentType  asn1.ObjectIdentifier // as signed
	wrapType     asn1.ObjectIdentifier // as it stands outside
	named        *x509.Certificate     // in the signed attributes
	issuer       *x509.Certificate     // whose issuer and serial stand at the signer
	certificates []*x509.Certificate
	signers      int
	bare         bool // sign the content without attributes
	content      []byte
	attributes   func([]attribute) []attribute
	digest       asn1.ObjectIdentifier
	algorithm    asn1.ObjectIdentifier
}

var testNonce = []byte{0x80, 1, 2, 3, 4, 5, 6, 7}

// plain is the recipe of an honest token over the record.
func (a authority) plain() recipe {
	digest := sha256.Sum256(record)
	algorithm := oidECDSAWithSHA256
	if _, ok := a.key.(*rsa.PrivateKey); ok {
		algorithm = oidRSA
	}
	return recipe{
		info: stampInfo{
			Version: 1, Policy: asn1.ObjectIdentifier{1, 2, 3, 4}, Serial: big.NewInt(4711), Time: noon, Nonce: new(big.Int).SetBytes(testNonce),
			Imprint: imprint{pkix.AlgorithmIdentifier{Algorithm: oidSHA256, Parameters: asn1.NullRawValue}, digest[:]}, Accuracy: accuracy{Seconds: 1},
		},
		contentType: oidStampInfo, wrapType: oidStampInfo, named: a.leaf, issuer: a.leaf, signers: 1,
		certificates: []*x509.Certificate{a.leaf, a.middle}, algorithm: algorithm, digest: oidSHA256,
	}
}

// bake makes a token by a recipe. The optional members that Go would leave out
// or write wrongly are put in by hand.
func (a authority) bake(r recipe) []byte {
	t := a.t
	t.Helper()
	content := r.content
	if content == nil {
		content = der(t, r.info)
	}
	signer := der(t, struct {
		Version   int
		Name      asn1.RawValue
		Digest    pkix.AlgorithmIdentifier
		Signed    asn1.RawValue `asn1:"optional"`
		Algorithm pkix.AlgorithmIdentifier
		Signature []byte
	}{
		1, asn1.RawValue{FullBytes: der(t, struct {
			Issuer asn1.RawValue
			Serial *big.Int
		}{asn1.RawValue{FullBytes: r.issuer.RawIssuer}, r.issuer.SerialNumber})},
		pkix.AlgorithmIdentifier{Algorithm: r.digest}, a.signedField(r, content), pkix.AlgorithmIdentifier{Algorithm: r.algorithm}, a.signature(r, content),
	})
	var raw []byte
	for _, c := range r.certificates {
		raw = append(raw, c.Raw...)
	}
	data := der(t, struct {
		Version      int
		Digests      []pkix.AlgorithmIdentifier `asn1:"set"`
		Content      encapsulated
		Certificates asn1.RawValue
		Signers      asn1.RawValue
	}{
		3, []pkix.AlgorithmIdentifier{{Algorithm: r.digest}}, encapsulated{r.wrapType, content},
		asn1.RawValue{Class: 2, Tag: 0, IsCompound: true, Bytes: raw},
		asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: bytes.Repeat(signer, r.signers)},
	})
	return der(t, struct {
		Type    asn1.ObjectIdentifier
		Content asn1.RawValue
	}{oidSignedData, asn1.RawValue{Class: 2, Tag: 0, IsCompound: true, Bytes: data}})
}

// attributeBytes is the content of the set of signed attributes.
func (a authority) attributeBytes(r recipe, content []byte) []byte {
	t := a.t
	one := func(kind asn1.ObjectIdentifier, value any) attribute {
		return attribute{kind, []asn1.RawValue{{FullBytes: der(t, value)}}}
	}
	named := sha256.Sum256(r.named.Raw)
	list := []attribute{
		one(oidContentType, r.contentType),
		one(oidMessageDigest, sum(hashOf(r.digest), content)),
		one(oidSigningCertV2, struct{ Certificates []struct{ Digest []byte } }{[]struct{ Digest []byte }{{named[:]}}}),
	}
	if r.attributes != nil {
		list = r.attributes(list)
	}
	var out []byte
	for _, at := range list {
		out = append(out, der(t, at)...)
	}
	return out
}

func (a authority) signedField(r recipe, content []byte) asn1.RawValue {
	if r.bare {
		return asn1.RawValue{}
	}
	return asn1.RawValue{Class: 2, Tag: 0, IsCompound: true, Bytes: a.attributeBytes(r, content)}
}

func (a authority) signature(r recipe, content []byte) []byte {
	a.t.Helper()
	message := content
	if !r.bare {
		message = der(a.t, asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: a.attributeBytes(r, content)})
	}
	opts := crypto.SignerOpts(hashOf(r.digest))
	if _, plain := a.key.(ed25519.PrivateKey); plain {
		opts = crypto.Hash(0)
	} else {
		message = sum(hashOf(r.digest), message)
	}
	sig, err := a.key.Sign(rand.Reader, message, opts)
	if err != nil {
		a.t.Fatal(err)
	}
	return sig
}
