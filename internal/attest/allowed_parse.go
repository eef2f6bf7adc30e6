package attest

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"
)

const (
	longestList   = 1 << 20 // bytes of a list of signers
	longestSigner = 16 << 10
	mostFaults    = 20 // shown of one list
)

// ListError is one fault of a list of signers or keys.
type ListError struct {
	Line   int // counting from 1
	Detail string
}

// Error gives line and fault.
func (e *ListError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Detail) }

// ParseAllowedSigners reads a list of allowed signers. Any faulty line is an
// error, a *ListError among those joined: stock tools skip such lines, and a
// list of which nobody knows what counts is worth nothing. It refuses more than
// they do: cert-authority, instants without Z, days that no calendar has,
// control characters, names in other than plain ASCII, and the keys that
// ParsePublicKey refuses.
func ParseAllowedSigners(data []byte) (AllowedSigners, error) {
	list := AllowedSigners{byKey: map[PublicKey][]int{}}
	err := eachLine(data, func(line string) error {
		entry, err := parseSigner(line)
		if err != nil {
			return err
		}
		list.add(entry)
		return nil
	})
	if err != nil {
		return AllowedSigners{}, err
	}
	return list, nil
}

// eachLine calls parse for each line that is neither blank nor a comment.
func eachLine(data []byte, parse func(line string) error) error {
	if len(data) > longestList {
		return fmt.Errorf("list of %d bytes, at most %d are read", len(data), longestList)
	}
	var faults []error
	number := 0
	for raw := range bytes.Lines(data) {
		number++
		line := strings.Trim(string(bytes.TrimSuffix(raw, []byte("\n"))), " \t")
		if err := checkLine(line); err != nil {
			faults = append(faults, &ListError{number, err.Error()})
		} else if line != "" && line[0] != '#' {
			if err := parse(line); err != nil {
				faults = append(faults, &ListError{number, err.Error()})
			}
		}
		if len(faults) == mostFaults {
			break
		}
	}
	return errors.Join(faults...)
}

func checkLine(line string) error {
	if len(line) > longestSigner {
		return fmt.Errorf("%d characters, at most %d are read", len(line), longestSigner)
	}
	for _, r := range line {
		if r == '\r' {
			return errors.New("a carriage return: lines end with a line feed alone")
		}
		if r < ' ' && r != '\t' || r > '~' {
			return fmt.Errorf("the character %q: only plain ASCII is read, because other letters can look like those of a known name", r)
		}
	}
	return nil
}

const noKey = `no key: a line reads "who@where ssh-ed25519 AAAA..."`

// parseSigner reads "principals [options] algorithm base64 [comment]".
func parseSigner(line string) (AllowedSigner, error) {
	principals, rest, err := cutPrincipals(line)
	if err != nil {
		return AllowedSigner{}, err
	}
	if knownAlgorithm(principals) {
		return AllowedSigner{}, errors.New("the name of who signs is missing: it stands before the key")
	}
	entry := AllowedSigner{Principals: strings.Split(principals, ",")}
	word, _ := cutWord(rest)
	if word == "" {
		return AllowedSigner{}, errors.New(noKey)
	}
	if !knownAlgorithm(word) {
		options, after, err := cutOptions(rest)
		if err != nil {
			return AllowedSigner{}, err
		}
		if err := entry.setOptions(options); err != nil {
			return AllowedSigner{}, err
		}
		rest = after
	}
	algorithm, rest := cutWord(rest)
	encoded, comment := cutWord(rest)
	if algorithm == "" || encoded == "" {
		return AllowedSigner{}, errors.New(noKey)
	}
	if entry.Key, err = publicKey(algorithm, encoded); err != nil {
		return AllowedSigner{}, err
	}
	entry.Comment = strings.ReplaceAll(comment, "\t", " ")
	return entry, entry.check()
}

// knownAlgorithm says whether a word names a kind of key rather than options.
func knownAlgorithm(word string) bool {
	return strings.HasPrefix(word, "ssh-") || strings.HasPrefix(word, "ecdsa-") || strings.HasPrefix(word, "sk-")
}

// cutWord cuts at the first white space.
func cutWord(s string) (word, rest string) {
	i := strings.IndexAny(s, " \t")
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimLeft(s[i:], " \t")
}

// cutPrincipals cuts off the first field, which may be quoted as a whole.
func cutPrincipals(line string) (principals, rest string, err error) {
	quoted, ok := strings.CutPrefix(line, `"`)
	if !ok {
		principals, rest = cutWord(line)
		return principals, rest, nil
	}
	principals, rest, ok = strings.Cut(quoted, `"`)
	if !ok || rest == "" || !strings.ContainsAny(rest[:1], " \t") {
		return "", "", errors.New("the quote around the principals does not end at a space")
	}
	return principals, strings.TrimLeft(rest, " \t"), nil
}

// option is name="value", or a name alone.
type option struct {
	name, value string
	valued      bool
}

// cutOptions cuts comma-separated options off, up to white space outside quotes.
func cutOptions(s string) (options []option, rest string, err error) {
	for {
		end := strings.IndexAny(s, "=, \t")
		if end < 0 {
			end = len(s)
		}
		o := option{name: strings.ToLower(s[:end])}
		s = s[end:]
		if value, ok := strings.CutPrefix(s, "="); ok {
			if o.value, s, err = cutValue(o.name, value); err != nil {
				return nil, "", err
			}
			o.valued = true
		}
		options = append(options, o)
		more, ok := strings.CutPrefix(s, ",")
		if !ok {
			if s != "" && !strings.ContainsAny(s[:1], " \t") {
				return nil, "", fmt.Errorf("something stands behind the closing quote of %s", o.name)
			}
			return options, strings.TrimLeft(s, " \t"), nil
		}
		s = more
	}
}

// cutValue cuts a quoted value off.
func cutValue(name, s string) (value, rest string, err error) {
	quoted, ok := strings.CutPrefix(s, `"`)
	if !ok {
		return "", "", fmt.Errorf(`the value of %s stands in quotes: %s="..."`, name, name)
	}
	value, rest, ok = strings.Cut(quoted, `"`)
	if !ok || strings.Contains(value, `\`) {
		return "", "", fmt.Errorf("the quote of %s is not closed, or holds a backslash", name)
	}
	return value, rest, nil
}

// setOptions fills the fields that options give, each at most once.
func (e *AllowedSigner) setOptions(options []option) (err error) {
	seen := map[string]bool{}
	for _, o := range options {
		if seen[o.name] {
			return fmt.Errorf("%s is given twice", o.name)
		}
		seen[o.name] = true
		switch o.name {
		case "namespaces":
			e.Namespaces = strings.Split(o.value, ",")
		case "valid-after":
			e.After, err = parseInstant(o)
		case "valid-before":
			e.Before, err = parseInstant(o)
		case "cert-authority":
			return errors.New("cert-authority is not accepted: whoever holds that key could make signers that this list does not name; list each key")
		default:
			return fmt.Errorf("unknown option %q; known are namespaces, valid-after and valid-before", o.name)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// parseInstant reads YYYYMMDD, YYYYMMDDHHMM or YYYYMMDDHHMMSS, each with Z.
func parseInstant(o option) (time.Time, error) {
	digits, utc := strings.CutSuffix(o.value, "Z")
	if !utc {
		return time.Time{}, fmt.Errorf("%s %q lacks the suffix Z: without it the instant depends on where the reader's clock stands", o.name, o.value)
	}
	layout := map[int]string{8: "20060102", 12: "200601021504", 14: "20060102150405"}[len(digits)]
	t, err := time.Parse(layout, digits)
	if layout == "" || err != nil {
		return time.Time{}, fmt.Errorf("%s %q is no day or instant such as 20260302Z or 20260302143000Z", o.name, o.value)
	}
	if t.Unix() <= 0 {
		return time.Time{}, fmt.Errorf("%s %q lies before 1970", o.name, o.value)
	}
	return t, nil
}
