package gitstore

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
)

// Person is who wrote or committed, and when, with the offset from UTC that
// was on the writer's clock.
type Person struct {
	Name  string
	Email string
	When  time.Time
}

// Commit is one commit as it lies in the repository.
type Commit struct {
	ID        Hash
	Tree      Hash
	Parents   []Hash
	Author    Person
	Committer Person
	Message   string
	// Signature is the armored signature, empty if the commit has none.
	Signature string
	// Payload is what the signature covers: the object's own bytes without the
	// signature. It is never written anew from the fields above.
	Payload []byte
}

// ReadCommit reads one commit and computes its id anew from its bytes. What FS
// wants of it is kept, so that a walk which goes on to the files reads each
// commit once.
func (r *Repo) ReadCommit(id Hash) (*Commit, error) {
	data, err := r.objects.readAs(plumbing.CommitObject, id)
	if err != nil {
		return nil, err
	}
	c, err := parseCommit(id, data)
	if err == nil {
		r.proven.Store(id, filesOf{c.Tree, c.Committer.When})
	}
	return c, err
}

// filesOf is where a commit's files are, and of when they are.
type filesOf struct {
	tree Hash
	when time.Time
}

func (r *Repo) readCommitUnchecked(id Hash) (*Commit, error) {
	data, err := r.objects.readUnchecked(plumbing.CommitObject, id)
	if err != nil {
		return nil, err
	}
	return parseCommit(id, data)
}

// parseCommit reads the bytes of a commit, which are its own from then on.
func parseCommit(id Hash, data []byte) (*Commit, error) {
	c := &Commit{ID: id}
	if err := c.decode(data); err != nil {
		return nil, fmt.Errorf("commit %s: %w", id, err)
	}
	return c, nil
}

// decode splits the raw bytes into header lines (a line that begins with a
// space continues the one before) and the message after the first empty line.
func (c *Commit) decode(data []byte) error {
	var signature strings.Builder
	signing, rest, payload := false, string(data), data[:0]
	for rest != "" {
		line, after := cutLine(rest)
		if line == "\n" {
			payload = append(payload, rest...)
			c.Message = after
			break
		}
		text := strings.TrimSuffix(line, "\n")
		rest = after
		if strings.HasPrefix(text, " ") {
			if signing {
				signature.WriteString(text[1:])
				signature.WriteByte('\n')
				continue
			}
			payload = append(payload, line...)
			continue
		}
		key, value, _ := strings.Cut(text, " ")
		signing = key == "gpgsig" || key == "gpgsig-sha256"
		if signing {
			signature.Grow(len(rest))
			signature.WriteString(value)
			signature.WriteByte('\n')
			continue
		}
		payload = append(payload, line...)
		if err := c.header(key, value); err != nil {
			return err
		}
	}
	c.Payload, c.Signature = payload, signature.String()
	if c.Tree.IsZero() {
		return errors.New("it names no tree")
	}
	return nil
}

func cutLine(text string) (line, rest string) {
	if i := strings.IndexByte(text, '\n'); i >= 0 {
		return text[:i+1], text[i+1:]
	}
	return text, ""
}

func (c *Commit) header(key, value string) (err error) {
	switch key {
	case "tree":
		c.Tree, err = ParseHash(value)
	case "parent":
		var p Hash
		p, err = ParseHash(value)
		c.Parents = append(c.Parents, p)
	case "author":
		c.Author, err = parsePerson(value)
	case "committer":
		c.Committer, err = parsePerson(value)
	}
	return err
}

// parsePerson reads "Name <email> seconds +hhmm".
func parsePerson(s string) (Person, error) {
	open, end := strings.LastIndex(s, "<"), strings.LastIndex(s, ">")
	if open < 0 || end < open {
		return Person{}, fmt.Errorf("%q is not a name, an address in < > and a time", s)
	}
	p := Person{Name: strings.TrimSpace(s[:open]), Email: s[open+1 : end]}
	seconds, zone, _ := strings.Cut(strings.TrimSpace(s[end+1:]), " ")
	n, err := strconv.ParseInt(seconds, 10, 64)
	if err != nil {
		return Person{}, fmt.Errorf("%q has no time in seconds", s)
	}
	p.When = time.Unix(n, 0).In(parseZone(zone))
	return p, nil
}

// parseZone reads +hhmm; what is not of that form counts as UTC, as Git has it.
func parseZone(s string) *time.Location {
	n, err := strconv.Atoi(s)
	if err != nil || len(s) != 5 || n < -9959 || n > 9959 {
		return time.UTC
	}
	minutes := n/100*60 + n%100
	if minutes == 0 {
		return time.UTC
	}
	return time.FixedZone("", minutes*60)
}

func (p Person) encode() string {
	return fmt.Sprintf("%s <%s> %d %s", p.Name, p.Email, p.When.Unix(), p.When.Format("-0700"))
}

// check refuses what would break the header line.
func (p Person) check(role string) error {
	switch {
	case strings.TrimSpace(p.Name) == "" || strings.TrimSpace(p.Email) == "":
		return fmt.Errorf("the %s needs a name and an address", role)
	case strings.ContainsAny(p.Name+p.Email, "<>\n\r\x00"):
		return fmt.Errorf("the %s %q <%s> has a character that cannot stand there", role, p.Name, p.Email)
	case p.Name != strings.Trim(p.Name, " .,:;\"'") || p.Email != strings.TrimSpace(p.Email):
		return fmt.Errorf("the %s %q <%s> begins or ends with a space or a mark that Git would drop", role, p.Name, p.Email)
	case p.When.Unix() < 0 || p.When.Year() > 9999:
		return fmt.Errorf("the %s has the time %s; Git stores 1970 and later", role, p.When)
	}
	return nil
}

// encodeCommit returns the bytes that a signature covers.
func encodeCommit(tree Hash, parents []Hash, author, committer Person, message string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "tree %s\n", tree)
	for _, p := range parents {
		fmt.Fprintf(&b, "parent %s\n", p)
	}
	fmt.Fprintf(&b, "author %s\ncommitter %s\n\n%s", author.encode(), committer.encode(), message)
	return b.Bytes()
}

// withSignature puts a signature into the header of an encoded commit.
func withSignature(payload []byte, armored string) []byte {
	head, message, _ := bytes.Cut(payload, []byte("\n\n"))
	var b bytes.Buffer
	b.Write(head)
	b.WriteString("\ngpgsig " + strings.ReplaceAll(strings.TrimRight(armored, "\n"), "\n", "\n "))
	b.WriteString("\n\n")
	b.Write(message)
	return b.Bytes()
}
