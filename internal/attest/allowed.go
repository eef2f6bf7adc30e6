package attest

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// AllowedSigner is one line of a list of allowed signers: a key, who signs with
// it, for what and when. The names of its fields are those of ssh-keygen(1),
// section ALLOWED SIGNERS.
type AllowedSigner struct {
	// Principals are patterns of names with * and ?, refused by a leading !. A
	// name is let in when a pattern fits and no refusing one does.
	Principals []string
	// Namespaces are patterns of the same kind; none lets every purpose in.
	Namespaces []string
	// After and Before bound the validity, to the second and both included; the
	// zero time is no bound.
	After, Before time.Time
	Key           PublicKey
	Comment       string
}

// AllowedSigners is a list that was checked line by line. The zero value lets
// nobody in.
type AllowedSigners struct {
	entries []AllowedSigner
	byKey   map[PublicKey][]int
}

// NewAllowedSigners checks entries as ParseAllowedSigners checks lines.
func NewAllowedSigners(entries []AllowedSigner) (AllowedSigners, error) {
	list := AllowedSigners{byKey: map[PublicKey][]int{}}
	var faults []error
	for i, e := range entries {
		if err := e.check(); err != nil {
			faults = append(faults, fmt.Errorf("signer %d: %w", i+1, err))
			continue
		}
		list.add(e)
	}
	if len(faults) > 0 {
		return AllowedSigners{}, errors.Join(faults...)
	}
	return list, nil
}

func (a *AllowedSigners) add(e AllowedSigner) {
	e.Principals, e.Namespaces = slices.Clone(e.Principals), slices.Clone(e.Namespaces)
	e.After, e.Before = inUTC(e.After), inUTC(e.Before)
	a.byKey[e.Key] = append(a.byKey[e.Key], len(a.entries))
	a.entries = append(a.entries, e)
}

func inUTC(t time.Time) time.Time {
	if t.IsZero() {
		return time.Time{}
	}
	return t.UTC()
}

// Entries lists the lines in their order.
func (a AllowedSigners) Entries() []AllowedSigner { return slices.Clone(a.entries) }

// Of lists the lines that hold a key.
func (a AllowedSigners) Of(key PublicKey) []AllowedSigner {
	var lines []AllowedSigner
	for _, i := range a.byKey[key] {
		lines = append(lines, a.entries[i])
	}
	return lines
}

// Bytes writes the list in its one form: a line an entry in the order of their
// text, each with principals, options, key and comment. Reading it gives the
// same entries, and stock tools read the same.
func (a AllowedSigners) Bytes() []byte {
	lines := make([]string, len(a.entries))
	for i, e := range a.entries {
		lines[i] = e.String()
	}
	slices.Sort(lines)
	var out bytes.Buffer
	for _, line := range slices.Compact(lines) {
		out.WriteString(line + "\n")
	}
	return out.Bytes()
}

// String is the line of an entry.
func (e AllowedSigner) String() string {
	var options []string
	if len(e.Namespaces) > 0 {
		options = append(options, `namespaces="`+strings.Join(e.Namespaces, ",")+`"`)
	}
	if !e.After.IsZero() {
		options = append(options, `valid-after="`+e.After.UTC().Format(stampLayout)+`"`)
	}
	if !e.Before.IsZero() {
		options = append(options, `valid-before="`+e.Before.UTC().Format(stampLayout)+`"`)
	}
	words := []string{strings.Join(e.Principals, ",")}
	if len(options) > 0 {
		words = append(words, strings.Join(options, ","))
	}
	words = append(words, e.Key.String())
	if e.Comment != "" {
		words = append(words, e.Comment)
	}
	return strings.Join(words, " ")
}

// stampLayout writes instants with the suffix Z: without it they would mean
// another instant on every reader's machine.
const stampLayout = "20060102150405Z"

// check holds an entry to what can be written and read again.
func (e AllowedSigner) check() error {
	if e.Key.IsZero() {
		return errors.New("no key")
	}
	if err := checkPatterns("principal", e.Principals, 1); err != nil {
		return err
	}
	if strings.HasPrefix(e.Principals[0], "#") {
		return errors.New("a line beginning with # would be a comment")
	}
	if err := checkPatterns("namespace", e.Namespaces, 0); err != nil {
		return err
	}
	for _, t := range []time.Time{e.After, e.Before} {
		if err := checkInstant(t); err != nil {
			return err
		}
	}
	if !e.After.IsZero() && !e.Before.IsZero() && e.Before.Compare(e.After) <= 0 {
		return errors.New("valid-before does not come after valid-after")
	}
	if i := strings.IndexFunc(e.Comment, func(r rune) bool { return r < ' ' || r > '~' }); i >= 0 || e.Comment != strings.TrimSpace(e.Comment) {
		return errors.New("a comment is plain ASCII in one line, without spaces around it")
	}
	return nil
}

// checkPatterns wants printable ASCII without what separates or quotes: letters
// of other scripts can look like those of a known name.
func checkPatterns(what string, patterns []string, least int) error {
	if len(patterns) < least {
		return fmt.Errorf("no %s", what)
	}
	for _, p := range patterns {
		if bare := strings.TrimPrefix(p, "!"); bare == "" || len(p) > 255 {
			return fmt.Errorf("%s %q is empty or longer than 255 characters", what, p)
		}
		for _, r := range p {
			if r <= ' ' || r > '~' || strings.ContainsRune(`",\`, r) {
				return fmt.Errorf("%s %q holds %q: letters, digits and signs of plain ASCII are read, without spaces, commas, quotes and backslashes", what, p, r)
			}
		}
	}
	return nil
}

// checkInstant keeps to what four digits of year and the stock tools can say;
// to those, the first second of 1970 is no bound at all.
func checkInstant(t time.Time) error {
	if t.IsZero() {
		return nil
	}
	if t.Nanosecond() != 0 || t.Unix() <= 0 || t.UTC().Year() > 9999 {
		return fmt.Errorf("%s is no whole second between 1970 and 9999", t.UTC().Format(time.RFC3339Nano))
	}
	return nil
}

// fits says whether patterns let a name in, as match_pattern_list of OpenSSH.
func fits(patterns []string, name string) bool {
	found := false
	for _, p := range patterns {
		if refused, ok := strings.CutPrefix(p, "!"); ok {
			if fitsOne(refused, name) {
				return false
			}
		} else if fitsOne(p, name) {
			found = true
		}
	}
	return found
}

// fitsOne matches * and ? in time proportional to the product of the lengths,
// whatever the pattern: it goes back to the last star only.
func fitsOne(pattern, name string) bool {
	p, n, star, mark := 0, 0, -1, 0
	for n < len(name) {
		switch {
		case p < len(pattern) && pattern[p] == '*':
			star, mark = p, n
			p++
		case p < len(pattern) && (pattern[p] == '?' || pattern[p] == name[n]):
			p++
			n++
		case star >= 0:
			mark++
			p, n = star+1, mark
		default:
			return false
		}
	}
	return strings.Trim(pattern[p:], "*") == ""
}
