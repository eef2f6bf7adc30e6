package signoff

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Commit is one commit as it lies in a repository. ID is the object's, worked out
// anew from its bytes by whoever read it; Payload is the object without its
// signature, byte for byte. Everything else is read from the payload, so that
// nothing is believed that the signature does not cover.
type Commit struct {
	ID        string // forty hexadecimal digits
	Payload   []byte
	Signature []byte // armored; empty where there is none
}

// Person is who wrote or committed, by their own word.
type Person struct {
	Name, Email string
	When        time.Time
}

// head is what stands above the message of a commit.
type head struct {
	tree              string
	parents           []string
	author, committer Person
	subject           string
	odd               string // what makes the object unlike one that Git writes
}

const (
	mostParents = 64
	longestHead = 1 << 20
)

// parseHead reads the payload. An error means that there is no reading of which
// two programs agree; odd things with one reading are noted.
func parseHead(payload []byte) (head, error) {
	top, message, found := bytes.Cut(payload, []byte("\n\n"))
	if len(top) > longestHead || bytes.IndexByte(top, 0) >= 0 {
		return head{}, errors.New("its head is enormous or holds a NUL")
	}
	var h head
	if !found {
		top, h.odd = bytes.TrimSuffix(payload, []byte("\n")), "there is no message"
	}
	lines := strings.Split(string(top), "\n")
	at := 0
	take := func(name string) (string, bool) {
		if at >= len(lines) {
			return "", false
		}
		value, ok := strings.CutPrefix(lines[at], name+" ")
		if ok {
			at++
		}
		return value, ok
	}
	var ok bool
	if h.tree, ok = take("tree"); !ok || !isID(h.tree) {
		return h, errors.New("it names no tree")
	}
	for {
		parent, ok := take("parent")
		if !ok {
			break
		}
		if h.parents = append(h.parents, parent); !isID(parent) || len(h.parents) > mostParents {
			return h, errors.New("a parent is malformed, or there are too many")
		}
	}
	for _, who := range []struct {
		name string
		into *Person
	}{{"author", &h.author}, {"committer", &h.committer}} {
		text, ok := take(who.name)
		if !ok {
			return h, fmt.Errorf("it has no %s where one stands", who.name)
		}
		var err error
		if *who.into, err = parsePerson(text); err != nil {
			return h, fmt.Errorf("its %s: %w", who.name, err)
		}
	}
	if again := repeated(lines[at:]); again != "" {
		h.odd = "a second line " + strconv.Quote(again)
	}
	subject, _, _ := bytes.Cut(message, []byte("\n"))
	h.subject = string(subject)
	return h, nil
}

// repeated finds a line further down that claims what was read already: a reader
// that takes the last would read another commit.
func repeated(lines []string) string {
	for _, line := range lines {
		name, _, _ := strings.Cut(line, " ")
		switch name {
		case "tree", "parent", "author", "committer", "gpgsig", "gpgsig-sha256":
			return name
		}
	}
	return ""
}

// parsePerson reads "name <email> seconds zone".
func parsePerson(text string) (Person, error) {
	open, shut := strings.LastIndexByte(text, '<'), strings.LastIndexByte(text, '>')
	if open < 0 || shut < open {
		return Person{}, errors.New("no address in angle brackets")
	}
	p := Person{Name: strings.TrimSpace(text[:open]), Email: text[open+1 : shut]}
	seconds, zone, ok := strings.Cut(strings.TrimPrefix(text[shut+1:], " "), " ")
	n, err := strconv.ParseInt(seconds, 10, 64)
	if !ok || err != nil || n < 0 || n > 253402300799 { // the end of the year 9999
		return Person{}, errors.New("no time")
	}
	offset, err := time.ParseInLocation("-0700", zone, time.UTC)
	if err != nil {
		return Person{}, errors.New("no zone")
	}
	p.When = time.Unix(n, 0).In(offset.Location())
	return p, nil
}

func isID(s string) bool {
	return len(s) == 40 && strings.Trim(s, "0123456789abcdef") == ""
}
