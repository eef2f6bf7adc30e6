package attest

import (
	"maps"
	"slices"
	"strings"
)

// KeyList is a set of public keys, such as those that were revoked. The zero
// value is empty.
type KeyList struct {
	keys map[PublicKey]bool
}

// NewKeyList makes a list of keys.
func NewKeyList(keys ...PublicKey) KeyList {
	list := KeyList{map[PublicKey]bool{}}
	for _, k := range keys {
		list.keys[k] = true
	}
	return list
}

// ParseKeyList reads a file with a public key a line, as "ssh-keygen -Y verify
// -r" takes it. Faults are as in ParseAllowedSigners: a list of revoked keys of
// which a line cannot be read must not pass as shorter.
func ParseKeyList(data []byte) (KeyList, error) {
	list := NewKeyList()
	err := eachLine(data, func(line string) error {
		key, err := ParsePublicKey(line)
		list.keys[key] = true
		return err
	})
	if err != nil {
		return KeyList{}, err
	}
	return list, nil
}

// Holds says whether a key is on the list.
func (l KeyList) Holds(key PublicKey) bool { return l.keys[key] }

// Keys lists the keys in a fixed order.
func (l KeyList) Keys() []PublicKey {
	return slices.SortedFunc(maps.Keys(l.keys), func(a, b PublicKey) int { return strings.Compare(a.String(), b.String()) })
}

// Bytes writes the list as ParseKeyList and the stock tool read it.
func (l KeyList) Bytes() []byte {
	var out []byte
	for _, k := range l.Keys() {
		out = append(out, k.String()+"\n"...)
	}
	return out
}
