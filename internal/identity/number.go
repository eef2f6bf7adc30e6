package identity

import "fmt"

// Number is one number as it was read. Raw is the whole of it; Base and
// Addition are the recorder's split of Raw where something was added to the
// number later (an importer's letters in another type face), both as read. An
// empty Addition means that no split was recorded.
type Number struct {
	Raw      string
	Base     string
	Addition string
}

// Plain is a number without a recorded split.
func Plain(raw string) Number { return Number{Raw: raw} }

// Split tells whether an addition was recorded apart from the base.
func (n Number) Split() bool { return n.Addition != "" && n.Base != "" }

// SplitFault says what is wrong with a recorded split, or nothing. The base and
// the addition, in either order, have to make up the raw number.
func (n Number) SplitFault() string {
	switch {
	case n.Base == "" && n.Addition == "":
		return ""
	case n.Addition == "":
		return fmt.Sprintf("%q gives the base %q and no addition; give both or neither", n.Raw, n.Base)
	case n.Base == "":
		return fmt.Sprintf("%q gives the addition %q and no base; give both or neither", n.Raw, n.Addition)
	}
	whole, base, added := Key(n.Raw).String(), Key(n.Base).String(), Key(n.Addition).String()
	if base == "" || added == "" || whole != base+added && whole != added+base {
		return fmt.Sprintf("the base %q and the addition %q do not make up %q; the split is left out of account", n.Base, n.Addition, n.Raw)
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
