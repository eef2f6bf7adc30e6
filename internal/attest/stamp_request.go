package attest

import (
	"crypto/sha256"
	"crypto/x509/pkix"
	"encoding/asn1"
	"fmt"
	"math/big"
)

// Object identifiers of RFC 3161, RFC 5652, RFC 5035 and RFC 5758.
var (
	oidSHA256          = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}
	oidSHA384          = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 2}
	oidSHA512          = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 3}
	oidSignedData      = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	oidStampInfo       = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 1, 4}
	oidContentType     = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	oidMessageDigest   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	oidSigningCert     = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 12}
	oidSigningCertV2   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47}
	oidRSA             = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 1}
	oidSHA256WithRSA   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 11}
	oidSHA384WithRSA   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 12}
	oidSHA512WithRSA   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 13}
	oidECDSAWithSHA256 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 2}
	oidECDSAWithSHA384 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 3}
	oidECDSAWithSHA512 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 4}
)

// imprint is MessageImprint of RFC 3161.
type imprint struct {
	Algorithm pkix.AlgorithmIdentifier
	Digest    []byte
}

// stampRequest is TimeStampReq of RFC 3161; policy and extensions are left to
// the authority.
type stampRequest struct {
	Version      int
	Imprint      imprint
	Nonce        *big.Int
	Certificates bool
}

// StampRequest makes a request (TimeStampReq, DER) to stamp a SHA-256 digest. It
// asks for the signer's certificate, without which the token could not be checked
// in later years. The nonce, 8 to 32 random bytes, shows that the answer is fresh.
// It is about 70 bytes long; send it as application/timestamp-query.
func StampRequest(digest [32]byte, nonce []byte) ([]byte, error) {
	number := new(big.Int).SetBytes(nonce)
	if len(nonce) < 8 || len(nonce) > 32 || number.Sign() == 0 {
		return nil, fmt.Errorf("a nonce is 8 to 32 random bytes, these are %d", len(nonce))
	}
	der, err := asn1.Marshal(stampRequest{
		Version: 1,
		Imprint: imprint{
			Algorithm: pkix.AlgorithmIdentifier{Algorithm: oidSHA256, Parameters: asn1.NullRawValue},
			Digest:    digest[:sha256.Size],
		},
		Nonce: number, Certificates: true,
	})
	if err != nil {
		return nil, fmt.Errorf("writing a time-stamp request: %w", err)
	}
	return der, nil
}
