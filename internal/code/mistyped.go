package code

import (
	"fmt"
	"slices"
	"strings"
)

// Slip is the way in which a hand gets a number wrong.
type Slip uint8

// The slips, from the one that a hand makes most.
const (
	// WrongCharacter is one character in place of another.
	WrongCharacter Slip = iota
	// SwappedNeighbours are two characters in the wrong order.
	SwappedNeighbours
	// LeftOut is a character that is not there.
	LeftOut
	// OneTooMany is a character that should not be there.
	OneTooMany
)

// Guess is a tag that was perhaps meant.
type Guess struct {
	Tag  Tag
	Slip Slip
	// Place is where, counted from 1 in what was typed, without spaces and
	// hyphens: the character itself, the first of two, or the one before which
	// something is missing.
	Place int
	// Typed and Meant are the characters in question; one of them is empty
	// where a character was left out or is too many.
	Typed, Meant string
	// Known says that the tag is among those that were given as known.
	Known bool
}

// String says the guess in a sentence for whoever typed it.
func (g Guess) String() string {
	switch g.Slip {
	case SwappedNeighbours:
		return fmt.Sprintf("%s: characters %d and %d are swapped", g.Tag, g.Place, g.Place+1)
	case LeftOut:
		return fmt.Sprintf("%s: a %s is missing before character %d", g.Tag, g.Meant, g.Place)
	case OneTooMany:
		return fmt.Sprintf("%s: character %d (%s) is too many", g.Tag, g.Place, g.Typed)
	default:
		return fmt.Sprintf("%s: character %d is %s, not %s", g.Tag, g.Place, g.Meant, g.Typed)
	}
}

// alike are pairs that handwriting, dirt and worn print make of each other.
const alike = "17 71 49 94 06 60 38 83 56 65 58 85 08 80 27 72 35 53 68 86 69 96 14 41 89 98"

// WhereMistyped lists the tags that were perhaps meant by one that does not add
// up, best first: known tags before others, then by how likely the slip is, then
// by place. If any known tag is in reach, only known ones are listed. A text
// that is a right tag, or no tag at all, gives nothing.
func WhereMistyped(typed string, known []Tag) []Guess {
	plain, err := squeeze(typed)
	if err != nil || len(plain) > maxDigits+2 {
		return nil
	}
	if _, err := ParseTag(plain); err == nil {
		return nil
	}
	there := make(map[Tag]bool, len(known))
	for _, t := range known {
		there[t] = true
	}
	guesses := withinOneSlip(plain)
	for i := range guesses {
		guesses[i].Known = there[guesses[i].Tag]
	}
	slices.SortStableFunc(guesses, func(a, b Guess) int { return a.rank() - b.rank() })
	if i := slices.IndexFunc(guesses, func(g Guess) bool { return !g.Known }); i > 0 {
		guesses = guesses[:i]
	}
	return onceEach(guesses)
}

// rank orders guesses: the less, the likelier.
func (g Guess) rank() int {
	n := 10 * int(g.Slip)
	if g.Slip == WrongCharacter && !strings.Contains(alike, g.Typed+g.Meant) {
		n += 15 // behind two swapped neighbours, before a character left out
	}
	if !g.Known {
		n += 1000
	}
	return n
}

// onceEach keeps the best guess of each tag.
func onceEach(guesses []Guess) []Guess {
	seen := map[Tag]bool{}
	return slices.DeleteFunc(guesses, func(g Guess) bool {
		again := seen[g.Tag]
		seen[g.Tag] = true
		return again
	})
}

// withinOneSlip finds every right tag that one slip turns into plain, by place.
func withinOneSlip(plain string) []Guess {
	const characters = "0123456789X"
	var found []Guess
	try := func(candidate string, g Guess) {
		if candidate == plain {
			return
		}
		if tag, err := ParseTag(candidate); err == nil {
			g.Tag = tag
			found = append(found, g)
		}
	}
	for i := range len(plain) {
		at := plain[i : i+1]
		for _, c := range characters {
			try(plain[:i]+string(c)+plain[i+1:], Guess{Slip: WrongCharacter, Place: i + 1, Typed: at, Meant: string(c)})
			try(plain[:i]+string(c)+plain[i:], Guess{Slip: LeftOut, Place: i + 1, Meant: string(c)})
		}
		try(plain[:i]+plain[i+1:], Guess{Slip: OneTooMany, Place: i + 1, Typed: at})
		if i+1 < len(plain) {
			next := plain[i+1 : i+2]
			try(plain[:i]+next+at+plain[i+2:], Guess{Slip: SwappedNeighbours, Place: i + 1, Typed: at + next, Meant: next + at})
		}
	}
	for _, c := range characters {
		try(plain+string(c), Guess{Slip: LeftOut, Place: len(plain) + 1, Meant: string(c)})
	}
	return found
}
