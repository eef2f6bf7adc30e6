package app

import (
	"encoding/hex"
	"errors"

	"boltback/internal/record"
)

// random gives 128 bits in hex, for the id of a ledger or the salt of a private value.
func (e Env) random() (string, error) {
	if e.Random == nil {
		return "", errors.New("nothing gives randomness here")
	}
	bytes := make([]byte, record.SaltBytes)
	e.Random(bytes)
	return hex.EncodeToString(bytes), nil
}
