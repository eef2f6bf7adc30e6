package code

import (
	"fmt"
	"strings"
)

// Tag is a tag number as it is printed: at least four digits, a hyphen and the
// check character, such as "0109-8". Parts, fastener bags, crates and wire ends
// share one series, so that a number is never on two things.
type Tag string

// The length of the number in front of the check character.
const (
	minDigits = 4
	maxDigits = 9 // 2 is of order 10 modulo 11, so any two places up to here differ in weight
)

// MaxNumber is the largest number that a tag can bear.
const MaxNumber = 999_999_999

// NewTag returns the tag of a number from 0 to [MaxNumber], padded to four digits.
func NewTag(number int) (Tag, error) {
	if number < 0 || number > MaxNumber {
		return "", fmt.Errorf("a tag number is from 0 to %d, not %d", MaxNumber, number)
	}
	digits := fmt.Sprintf("%0*d", minDigits, number)
	return join(digits), nil
}

func join(digits string) Tag { return Tag(digits + "-" + string(checkCharacter(digits))) }

// Digits is the number without its check character.
func (t Tag) Digits() string {
	digits, _, _ := strings.Cut(string(t), "-")
	return digits
}

// checkCharacter computes the check character of a string of digits by
// ISO 7064 MOD 11-2: a digit, or X for ten.
//
// Of the systems in that standard it is the one that suits a number copied by
// hand. It is a pure system: every substitution of one character and every swap
// of two, neighbours or not, changes the sum. The hybrid systems that give one
// more character to choose from, MOD 11,10 and MOD 37,36, miss 800 of 36,000
// and 216 of 36,729 swaps of neighbours among four-digit numbers. MOD 37-2
// misses none, but writes letters that a pen makes like digits (O, I, S, Z, B),
// and a star.
func checkCharacter(digits string) byte {
	sum := 0
	for i := range len(digits) {
		sum = (sum + int(digits[i]-'0')) * 2 % 11
	}
	if c := (12 - sum) % 11; c < 10 {
		return byte('0' + c)
	}
	return 'X'
}

// ParseTag reads a tag as somebody typed or wrote it: spaces, hyphens and full
// stops count for nothing, and x is as good as X. Without a hyphen the last
// character is taken for the check character. The error says what is wrong; for
// which character it may be, ask [WhereMistyped].
func ParseTag(typed string) (Tag, error) {
	plain, err := squeeze(typed)
	if err != nil {
		return "", err
	}
	digits, check := plain[:len(plain)-1], plain[len(plain)-1]
	switch {
	case len(digits) < minDigits:
		return "", fmt.Errorf("tag %q is too short: %d digits or more, then the check character", shown(typed), minDigits)
	case len(digits) > maxDigits:
		return "", fmt.Errorf("tag %q is too long: at most %d digits, then the check character", shown(typed), maxDigits)
	case strings.Contains(digits, "X"):
		return "", fmt.Errorf("tag %q has an X before its end: only the check character can be X", shown(typed))
	}
	if right := checkCharacter(digits); right != check {
		return "", fmt.Errorf("tag %q does not add up: after %s the check character would be %c, not %c",
			shown(typed), digits, right, check)
	}
	return join(digits), nil
}

// squeeze takes out what counts for nothing and refuses what no tag has.
func squeeze(typed string) (string, error) {
	const longest = 64 // characters, spaces and all; nobody writes a longer one
	if len(typed) > longest {
		return "", fmt.Errorf("a text of %d bytes is no tag", len(typed))
	}
	var b strings.Builder
	for _, r := range typed {
		switch {
		case r >= '0' && r <= '9':
			b.WriteRune(r)
		case r == 'x' || r == 'X':
			b.WriteByte('X')
		case strings.ContainsRune(" \t\u00a0-.\u2010\u2011\u2013", r):
		default:
			return "", fmt.Errorf("tag %q has the character %q: a tag is digits and a check character that is a digit or X", shown(typed), r)
		}
	}
	if b.Len() == 0 {
		return "", fmt.Errorf("tag %q has no digits", shown(typed))
	}
	return b.String(), nil
}

// shown cuts what was typed to a length that fits a message.
func shown(typed string) string {
	const most = 24
	if r := []rune(typed); len(r) > most {
		return string(r[:most]) + "…"
	}
	return typed
}
