package identity

import (
	"fmt"
	"strings"
)

// Number is one number as it was read. Raw is the whole of it. Where something
// was added to it later (an importer's letters in another type face), Base is the
// recorder's reading of what was there before, and Addition says what was added,
// in characters or in words ("GB, by the importer"). What was added is what Raw
// has before or after Base; both are empty when no split was recorded.
type Number struct {
	Raw      string
	Base     string
	Addition string
}

// Plain is a number without a recorded split.
func Plain(raw string) Number { return Number{Raw: raw} }

// Added is what the raw number has besides the base of a recorded split, as a
// key; "" when no sound split was recorded.
func (n Number) Added() string {
	if n.Base == "" {
		return ""
	}
	whole, base := Key(n.Raw).String(), Key(n.Base).String()
	if rest, ok := strings.CutPrefix(whole, base); ok && base != "" {
		return rest
	}
	if rest, ok := strings.CutSuffix(whole, base); ok && base != "" {
		return rest
	}
	return ""
}

// Split tells whether an addition was recorded apart from the base.
func (n Number) Split() bool { return n.Added() != "" && n.SplitFault() == "" }

// SplitFault says what is wrong with a recorded split, or nothing. The base has
// to begin or end the raw number, and the addition to name what remains.
func (n Number) SplitFault() string {
	const aside = "; the split is left out of account"
	added := n.Added()
	switch {
	case n.Base == "" && n.Addition == "":
		return ""
	case n.Base == "":
		return fmt.Sprintf("%q gives the addition %q and no base%s", n.Raw, n.Addition, aside)
	case added == "" && n.Addition == "" && Key(n.Raw).String() == Key(n.Base).String():
		return "" // the base is the whole number: nothing was added
	case added == "":
		return fmt.Sprintf("the base %q leaves no addition in %q; the raw number is all that was read, with what was added%s", n.Base, n.Raw, aside)
	case n.Addition != "" && !strings.Contains(Key(n.Addition).String(), added):
		return fmt.Sprintf("the base %q leaves %q of %q, which the addition %q does not name%s", n.Base, added, n.Raw, n.Addition, aside)
	}
	return ""
}

// sound is the number with a faulty split taken out.
func (n Number) sound() Number {
	if n.SplitFault() != "" {
		return Plain(n.Raw)
	}
	return n
}

// Lookup is the text under which an archive or a register is asked: the base
// where an addition was recorded apart, otherwise the number as read.
func (n Number) Lookup() string {
	if n = n.sound(); n.Split() {
		return n.Base
	}
	return n.Raw
}

// String is the number as read, for paper: dashes, stars and spaces stand.
func (n Number) String() string { return n.Raw }
