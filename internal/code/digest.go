package code

import (
	"errors"
	"fmt"
	"strings"
)

// The form of a printed digest: 256 bits as eight groups of eight hexadecimal
// digits, each with two decimal check digits.
const (
	digestDigits = 64
	groupDigits  = 8
	groups       = digestDigits / groupDigits
	groupLength  = groupDigits + 2
)

// PrintedDigest gives the groups of a SHA-256 digest, in lower-case hexadecimal,
// as they are printed to be copied by hand: "1f3a09bc 41".
func PrintedDigest(digest string) ([]string, error) {
	if len(digest) != digestDigits || strings.Trim(digest, "0123456789abcdef") != "" {
		return nil, errors.New("a digest has 64 hexadecimal digits")
	}
	var list []string
	for i := range groups {
		g := digest[i*groupDigits : (i+1)*groupDigits]
		list = append(list, fmt.Sprintf("%s %02d", g, groupCheck(i, g)))
	}
	return list, nil
}

// groupCheck is built as the pure systems of ISO 7064, with modulus 97 and radix
// 16: 97 is prime and 16 has the order 12 modulo 97, so that every substitution
// of one digit and every swap of two within a group changes it. It begins with
// the number of the group, so that groups cannot be swapped either.
func groupCheck(number int, group string) int {
	sum := number + 1
	for _, c := range group {
		sum = (sum*16 + strings.IndexRune("0123456789abcdef", c)) % 97
	}
	return sum
}

// ParseDigest reads a digest of 64 digits, or one as it is printed in groups with
// their check digits; spaces, hyphens and capitals count for nothing. The error
// names the first group that does not add up.
func ParseDigest(typed string) (string, error) {
	plain, ok := hexOf(typed)
	switch {
	case !ok:
		return "", errors.New("a digest is digits, the letters a to f, and spaces")
	case len(plain) == digestDigits:
		return plain, nil
	case len(plain) != groups*groupLength:
		return "", fmt.Errorf("%d digits, where a digest has 64, or 80 with its check digits", len(plain))
	}
	var digest strings.Builder
	for i := range groups {
		g := plain[i*groupLength : (i+1)*groupLength]
		if right := fmt.Sprintf("%02d", groupCheck(i, g[:groupDigits])); right != g[groupDigits:] {
			return "", fmt.Errorf("group %d, %s, does not add up: its check digits would be %s, not %s", i+1, g[:groupDigits], right, g[groupDigits:])
		}
		digest.WriteString(g[:groupDigits])
	}
	return digest.String(), nil
}

// LikeDigest says that something typed was meant for a digest.
func LikeDigest(typed string) bool {
	plain, ok := hexOf(typed)
	return ok && len(plain) > 50
}

func hexOf(typed string) (string, bool) {
	if len(typed) > 200 {
		return "", false
	}
	plain := strings.NewReplacer(" ", "", "-", "", "\n", "").Replace(strings.ToLower(typed))
	return plain, strings.Trim(plain, "0123456789abcdef") == ""
}
