package identity

import (
	"fmt"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// oddity says what is unusual about a character of a key, or nothing for the
// plain capitals, digits and unknown places that numbers are made of.
func oddity(char string) string {
	r, n := utf8.DecodeRuneInString(char)
	if char == Unknown || plain(char) {
		return ""
	}
	if latin := twin(char); latin != "" {
		return fmt.Sprintf("%s looks like %q and is another character", describe(char), latin)
	}
	if n == len(char) && !unicode.IsLetter(r) && !unicode.IsDigit(r) {
		return fmt.Sprintf("%s is neither a letter nor a digit", describe(char))
	}
	return fmt.Sprintf("%s is not a plain Latin letter or digit", describe(char))
}

// plain tells whether a key character is one of A to Z and 0 to 9.
func plain(char string) bool {
	return len(char) == 1 && (char[0] >= 'A' && char[0] <= 'Z' || char[0] >= '0' && char[0] <= '9')
}

// describe names a character so that it can be told from its twin on paper.
func describe(char string) string {
	r, _ := utf8.DecodeRuneInString(char)
	script := ""
	switch {
	case r >= '！' && r <= '～':
		script = "full-width "
	case unicode.Is(unicode.Cyrillic, r):
		script = "Cyrillic "
	case unicode.Is(unicode.Greek, r):
		script = "Greek "
	}
	if char == "" || r < utf8.RuneSelf {
		return fmt.Sprintf("%q", char)
	}
	return fmt.Sprintf("%s%q (U+%04X)", script, char, r)
}

// twin is the plain Latin capital or digit that a character of another alphabet
// or width looks like, or "". It serves explanations only.
func twin(char string) string {
	if plain(char) {
		return ""
	}
	const foreign = "АВСЕНІЈКМОРЅТХУΑΒΕΖΗΙΚΜΝΟΡΤΥΧıØ"
	const latin = "ABCEHIJKMOPSTXYABEZHIKMNOPTYXI0"
	i := 0
	for _, r := range foreign {
		if string(r) == char {
			return latin[i : i+1]
		}
		i++
	}
	if wide := capital(norm.NFKC.String(char)); plain(wide) {
		return wide
	}
	return ""
}

// sameLook tells whether two characters are told apart by their alphabet or
// width alone, so that on paper nobody could see the difference.
func sameLook(a, b string) bool {
	if latin := twin(a); latin != "" {
		a = latin
	}
	if latin := twin(b); latin != "" {
		b = latin
	}
	return a == b
}

// lookAlike tells whether two places hold a letter and a digit that are often
// taken for each other on stampings and in handwriting.
func lookAlike(a, b Place) bool {
	switch min(a.Char, b.Char) + max(a.Char, b.Char) {
	case "0O", "1I", "8B", "5S", "2Z", "6G":
		return true
	case "1L":
		return a.Written == "l" || b.Written == "l" // only the small letter looks like a one
	}
	return false
}

// explain offers a reason why two places could have been read or written
// differently, or "" when none suggests itself. The order of the places does not show.
func explain(a, b Place) string {
	if a.Written > b.Written {
		a, b = b, a
	}
	switch {
	case sameLook(a.Char, b.Char):
		return fmt.Sprintf("%s and %s look the same and are different characters", describe(a.Char), describe(b.Char))
	case lookAlike(a, b):
		return fmt.Sprintf("%s and %s are look-alikes", describe(a.Written), describe(b.Written))
	}
	return ""
}
