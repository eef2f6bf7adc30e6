package attest

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
)

const (
	armorBegin = "-----BEGIN SSH SIGNATURE-----"
	armorEnd   = "-----END SSH SIGNATURE-----"
	// armorLine is the line length that ssh-keygen writes; others are read.
	armorLine = 70
	// longestArmor is more than a signature by an RSA key of 16384 bits takes.
	longestArmor = 16 << 10
)

// armor writes the wire form of a signature as ssh-keygen does.
func armor(wire []byte) []byte {
	encoded := base64.StdEncoding.AppendEncode(nil, wire)
	out := []byte(armorBegin + "\n")
	for len(encoded) > armorLine {
		out = append(append(out, encoded[:armorLine]...), '\n')
		encoded = encoded[armorLine:]
	}
	return append(append(append(out, encoded...), '\n'), armorEnd+"\n"...)
}

// unarmor undoes armor. Unlike a reader of PEM it takes nothing before, after or
// between: a byte that could be changed unnoticed would make two files of one
// signature.
func unarmor(armored []byte) ([]byte, error) {
	if len(armored) > longestArmor {
		return nil, fmt.Errorf("signature of %d bytes, at most %d are read", len(armored), longestArmor)
	}
	body, ok := bytes.CutPrefix(armored, []byte(armorBegin+"\n"))
	if !ok {
		return nil, errors.New("no SSH signature: it begins with the line " + armorBegin)
	}
	body, ok = bytes.CutSuffix(bytes.TrimSuffix(body, []byte("\n")), []byte("\n"+armorEnd))
	if !ok {
		return nil, errors.New("SSH signature cut short: it ends with the line " + armorEnd)
	}
	encoded, err := unwrap(body)
	if err != nil {
		return nil, err
	}
	wire, err := base64.StdEncoding.Strict().AppendDecode(nil, encoded)
	if err != nil {
		return nil, fmt.Errorf("SSH signature is not base64: %w", err)
	}
	return wire, nil
}

// unwrap joins lines of which all but the last have one length and the last is
// not longer.
func unwrap(body []byte) ([]byte, error) {
	first, rest, more := bytes.Cut(body, []byte("\n"))
	encoded := bytes.Clone(first)
	for more {
		var line []byte
		line, rest, more = bytes.Cut(rest, []byte("\n"))
		if len(line) == 0 || len(line) > len(first) || more && len(line) != len(first) {
			return nil, errors.New("SSH signature with lines of uneven length")
		}
		encoded = append(encoded, line...)
	}
	if bytes.ContainsRune(encoded, '\r') {
		return nil, errors.New("SSH signature with carriage returns: lines end with a line feed alone")
	}
	return encoded, nil
}
