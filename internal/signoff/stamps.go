package signoff

import (
	"errors"
	"slices"
	"strings"
	"time"

	"boltback/internal/attest"
	"boltback/internal/record"
)

// OddTag is a tag that carries a manifest and cannot be read as a stamp.
type OddTag struct{ Name, Fault string }

// ReadStamps reads the tags of a repository in the order in which their chain
// has them. Tags without a manifest are none of ours and are passed over; what
// claims to carry one and cannot be read is told apart.
func ReadStamps(tags []Tag) (stamps []Stamped, odd []OddTag) {
	for _, tag := range tags {
		s, err := ReadTag(tag)
		switch {
		case errors.Is(err, ErrNoStamp):
		case err != nil:
			odd = append(odd, OddTag{tag.Name, err.Error()})
		default:
			stamps = append(stamps, s)
		}
	}
	return ordered(stamps), odd
}

// ordered follows the links from the first stamp on. What no link leads to comes
// last, by its own date: there the chain is broken, and its check says so.
func ordered(list []Stamped) []Stamped {
	rest := slices.Clone(list)
	slices.SortStableFunc(rest, func(a, b Stamped) int {
		if c := a.Tagger.When.Compare(b.Tagger.When); c != 0 {
			return c
		}
		return strings.Compare(a.Tag, b.Tag)
	})
	var line []Stamped
	for len(rest) > 0 {
		want := ""
		if len(line) > 0 {
			want = line[len(line)-1].Tag
		}
		i := max(slices.IndexFunc(rest, func(s Stamped) bool { return s.Manifest.Before.Tag == want }), 0)
		line = append(line, rest[i])
		rest = slices.Delete(rest, i, i+1)
	}
	return line
}

// Link names a stamp for the one after it: by its tag, and by the SHA-256 digest
// of all that stands in its message, so that the next stamp covers the token of
// this one too and renews it.
func (s Stamped) Link() Link { return Link{s.Tag, s.Digest()} }

// Digest is the SHA-256 of the message of the tag: manifest and token.
func (s Stamped) Digest() record.Digest { return digest(s.Manifest.Message(s.Answer)) }

// Faulty says that a stamp does not show what it claims. A token of an authority
// where the reader trusts none at all shows nothing, and is no fault.
func (v StampVerdict) Faulty() bool {
	return !v.Holds() || v.Standing != attest.Good || v.TokenFault != nil && !v.NobodyTrusted
}

// ByOutside says that an authority which the reader trusts saw these very bytes,
// and that the history still has them.
func (v StampVerdict) ByOutside() bool { return v.Stamped && !v.Faulty() }

// DueBy is the day by which a token should be stamped again: a year before the
// first certificate of its chain ends, or halfway where the chain is short. While
// it is valid the chain can be checked the easy way, and a later stamp covers it.
func (v StampVerdict) DueBy() time.Time {
	left := v.Token.Expires.Sub(v.Token.Time)
	return v.Token.Expires.Add(-min(365*24*time.Hour, left/2))
}

// ExistedBy gives the earliest time by which an outside clock saw a commit: that
// of the first stamp over it or over one that it leads up to. It supports "before"
// for all work that is dated later.
func (t *Trust) ExistedBy(commit string, stamps []StampVerdict) (first StampVerdict, found bool) {
	target, known := t.at[commit]
	if !known {
		return first, false
	}
	for _, v := range stamps {
		if v.ByOutside() && (!found || v.Token.Time.Before(first.Token.Time)) && t.reaches(v.Commit, target) {
			first, found = v, true
		}
	}
	return first, found
}

// Renewed says that a later stamp of an outside clock covers this one with its token.
func Renewed(v StampVerdict, all []StampVerdict) bool {
	i := slices.IndexFunc(all, func(o StampVerdict) bool { return o.Tag == v.Tag })
	return i >= 0 && slices.ContainsFunc(all[i+1:], StampVerdict.OutsideClock)
}
