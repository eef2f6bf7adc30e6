package gitstore

import (
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
)

// ErrNoCommits is returned when a revision of a repository without commits is asked for.
var ErrNoCommits = errors.New("nothing has been committed yet")

// Revision finds the commit that a person names: HEAD or @, a branch, a tag, a
// full or shortened id (four digits or more), or a day as 2026-03-01, which is
// the last commit on the first-parent history of HEAD whose committer's
// calendar had no later day. ~2, ^ and ^2 may follow, as in Git.
func (r *Repo) Revision(rev string) (Hash, error) {
	base, steps := rev, ""
	if i := strings.IndexAny(rev, "~^"); i >= 0 {
		base, steps = rev[:i], rev[i:]
	}
	id, err := r.named(base)
	if err != nil {
		return Hash{}, fmt.Errorf("revision %q: %w", rev, err)
	}
	if id, err = r.peel(id); err == nil {
		id, err = r.step(id, steps)
	}
	if err != nil {
		return Hash{}, fmt.Errorf("revision %q: %w", rev, err)
	}
	return id, nil
}

// named finds the object that a name without steps stands for, in Git's order
// of precedence; days come last.
func (r *Repo) named(name string) (Hash, error) {
	if name == "@" || name == "HEAD" {
		h, err := r.head()
		if err == nil && h.id.IsZero() {
			err = ErrNoCommits
		}
		return h.id, err
	}
	if id, err := ParseHash(name); err == nil {
		return id, nil
	}
	for _, prefix := range []string{"", "refs/", "refs/tags/", "refs/heads/", "refs/remotes/"} {
		full := prefix + name
		if checkRefName(full) != nil {
			continue
		}
		_, id, err := r.resolve(full)
		if err == nil || !errors.Is(err, fs.ErrNotExist) {
			return id, err
		}
	}
	if isHexPrefix(name) {
		return r.abbreviated(strings.ToLower(name))
	}
	if day, err := time.Parse(time.DateOnly, name); err == nil {
		return r.onDay(day)
	}
	return Hash{}, errors.New("no branch, tag, commit or day (as 2026-03-01) has that name")
}

func isHexPrefix(s string) bool {
	return len(s) >= 4 && len(s) < 40 && strings.Trim(s, "0123456789abcdefABCDEF") == ""
}

// abbreviated finds the one commit, or tag of a commit, whose id begins with
// these digits.
func (r *Repo) abbreviated(digits string) (Hash, error) {
	ids, err := r.objects.withPrefix(digits)
	if err != nil {
		return Hash{}, err
	}
	var found []Hash
	for _, id := range ids {
		if _, err := r.peel(id); err == nil {
			found = append(found, id)
		}
	}
	switch len(found) {
	case 0:
		return Hash{}, errors.New("no commit's id begins with these digits")
	case 1:
		return found[0], nil
	}
	return Hash{}, fmt.Errorf("%d commits have ids that begin with these digits; give more of them", len(found))
}

// peel follows tags to the commit that they stand for.
func (r *Repo) peel(id Hash) (Hash, error) {
	for range maxSymrefs {
		t, data, err := r.objects.read(id)
		if err != nil {
			return Hash{}, err
		}
		switch t {
		case plumbing.CommitObject:
			return id, nil
		case plumbing.TagObject:
			line, _, _ := strings.Cut(string(data), "\n")
			if id, err = ParseHash(strings.TrimPrefix(line, "object ")); err != nil {
				return Hash{}, fmt.Errorf("tag: %w", err)
			}
		default:
			return Hash{}, fmt.Errorf("%s is a %s, not a commit", id, t)
		}
	}
	return Hash{}, errors.New("tags of tags of tags lead nowhere")
}

// step walks ~n (n times the first parent) and ^n (the nth parent).
func (r *Repo) step(id Hash, steps string) (Hash, error) {
	for steps != "" {
		op, digits := steps[0], steps[1:]
		end := strings.IndexFunc(digits, func(c rune) bool { return c < '0' || c > '9' })
		if end < 0 {
			end = len(digits)
		}
		n, count := 1, digits[:end]
		steps = digits[end:]
		if count != "" {
			var err error
			if n, err = strconv.Atoi(count); err != nil {
				return Hash{}, err
			}
		}
		var err error
		switch {
		case op == '~':
			for ; n > 0 && err == nil; n-- {
				id, err = r.parent(id, 1)
			}
		case op == '^' && n > 0:
			id, err = r.parent(id, n)
		case op != '^':
			err = fmt.Errorf("%q is neither ~ nor ^ with a number", string(op)+steps)
		}
		if err != nil {
			return Hash{}, err
		}
	}
	return id, nil
}

func (r *Repo) parent(id Hash, n int) (Hash, error) {
	c, err := r.ReadCommit(id)
	if err != nil {
		return Hash{}, err
	}
	if r.shallow[id] {
		return Hash{}, fmt.Errorf("the history before %s was left out by a shallow clone", id)
	}
	if n > len(c.Parents) {
		return Hash{}, fmt.Errorf("commit %s has %d parents", id, len(c.Parents))
	}
	return c.Parents[n-1], nil
}

// onDay finds the newest first-parent ancestor of HEAD that was committed on
// that day or before it, by the calendar of whoever committed.
func (r *Repo) onDay(day time.Time) (Hash, error) {
	id, err := r.named("HEAD")
	if err != nil {
		return Hash{}, err
	}
	limit := day.Format(time.DateOnly)
	for {
		c, err := r.readCommitUnchecked(id)
		if err != nil {
			return Hash{}, err
		}
		if c.Committer.When.Format(time.DateOnly) <= limit {
			return id, nil
		}
		if len(c.Parents) == 0 || r.shallow[id] {
			return Hash{}, fmt.Errorf("the history begins on %s", c.Committer.When.Format(time.DateOnly))
		}
		id = c.Parents[0]
	}
}
