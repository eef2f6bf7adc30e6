package attest

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"encoding/hex"
	"encoding/pem"
	"errors"
	"fmt"
)

// Roots are the certificates of time-stamping authorities that the reader
// trusts. The zero value trusts nobody; those of the machine are never asked.
type Roots struct {
	certificates []*x509.Certificate
}

// ParseRoots reads certificates in PEM, one after another, as openssl takes them
// in -CAfile. Text between them is passed over.
func ParseRoots(data []byte) (Roots, error) {
	if len(data) > longestList {
		return Roots{}, fmt.Errorf("certificates of %d bytes, at most %d are read", len(data), longestList)
	}
	var roots Roots
	for rest := data; ; {
		var block *pem.Block
		if block, rest = pem.Decode(rest); block == nil {
			break
		}
		if block.Type != "CERTIFICATE" {
			return Roots{}, fmt.Errorf("a block %q among the certificates", block.Type)
		}
		c, err := x509.ParseCertificate(block.Bytes)
		if err != nil {
			return Roots{}, fmt.Errorf("certificate %d: %w", len(roots.certificates)+1, err)
		}
		roots.certificates = append(roots.certificates, c)
	}
	if len(roots.certificates) == 0 {
		return Roots{}, errors.New("no certificate in PEM: it begins with -----BEGIN CERTIFICATE-----")
	}
	if want := bytes.Count(data, []byte("-----BEGIN ")); want != len(roots.certificates) {
		return Roots{}, fmt.Errorf("%d blocks begin and %d certificates can be read", want, len(roots.certificates))
	}
	return roots, nil
}

// Fingerprints lists the SHA-256 fingerprints of the certificates in
// hexadecimal, in their order.
func (r Roots) Fingerprints() []string {
	var list []string
	for _, c := range r.certificates {
		list = append(list, fingerprintOf(c))
	}
	return list
}

func fingerprintOf(c *x509.Certificate) string {
	sum := sha256.Sum256(c.Raw)
	return hex.EncodeToString(sum[:])
}

// pool is never nil: to the library nil would mean the machine's own roots.
func (r Roots) pool() *x509.CertPool {
	pool := x509.NewCertPool()
	for _, c := range r.certificates {
		pool.AddCert(c)
	}
	return pool
}
