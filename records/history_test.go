package records

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/record"
)

// replayed walks the history and calls visit with the state of the repository after each commit.
func replayed(t *testing.T, visit func(c Commit, state fstest.MapFS)) map[string]fstest.MapFS {
	t.Helper()
	commits, err := History()
	if err != nil {
		t.Fatal(err)
	}
	states := map[string]fstest.MapFS{}
	for _, c := range commits {
		state := states[c.Repository]
		if state == nil {
			state = fstest.MapFS{}
			states[c.Repository] = state
		}
		for _, p := range c.Paths {
			src, err := c.File(p)
			if err != nil {
				t.Fatalf("commit %d, %q: %v", c.Number, c.Message, err)
			}
			if before := state[p]; before != nil && bytes.Equal(before.Data, src) {
				t.Errorf("commit %d, %q: %s does not change", c.Number, c.Message, p)
			}
			state[p] = &fstest.MapFile{Data: src}
		}
		visit(c, state)
	}
	return states
}

func TestTheHistoryEndsInExactlyTheFilesOfTheSample(t *testing.T) {
	states := replayed(t, func(Commit, fstest.MapFS) {})
	if got, want := slices.Sorted(maps.Keys(states)), slices.Sorted(slices.Values(repositories)); !slices.Equal(got, want) {
		t.Errorf("repositories %v, want %v", got, want)
	}
	for _, root := range repositories {
		var want []string
		for _, p := range filesUnder(t, root) {
			if !strings.HasPrefix(p, "previews/") {
				want = append(want, p)
			}
		}
		got := slices.Sorted(maps.Keys(states[root]))
		if slices.Sort(want); !slices.Equal(got, want) {
			t.Errorf("%s: the history ends with %d files, the sample has %d", root, len(got), len(want))
		}
		for _, p := range want {
			if f := states[root][p]; f != nil && !bytes.Equal(f.Data, read(t, root+"/"+p)) {
				t.Errorf("%s/%s: its last commit is not what the sample holds", root, p)
			}
		}
	}
}

func TestEveryCommitLeavesNoReferenceWithoutItsRecord(t *testing.T) {
	standing := map[string]map[string]*record.Record{}
	for _, root := range repositories {
		standing[root] = map[string]*record.Record{}
	}
	replayed(t, func(c Commit, state fstest.MapFS) {
		if _, begun := state["ledger.json"]; !begun && c.Repository != "workshop" {
			t.Errorf("commit %d comes before the ledger", c.Number)
		}
		now := standing[c.Repository]
		for _, p := range c.Paths {
			if p == "allowed_signers" {
				continue // derived from the keys
			}
			r, err := record.Decode(p, state[p].Data)
			if err != nil {
				t.Fatalf("commit %d: %s:%v", c.Number, p, err)
			}
			now[p] = r
		}
		for p, r := range now {
			for _, leaf := range r.Leaves() {
				open := planted(c.Repository, p, "unknown-reference") || planted(c.Repository, p, "undeclared-part")
				if leaf.Role == record.Reference && !open && now[record.PathOf(record.Ref(leaf.Text))] == nil {
					t.Errorf("commit %d, %q: %s%s: there is no %s yet", c.Number, c.Message, p, leaf.Pointer, leaf.Text)
				}
			}
		}
	})
}

func TestTheHistoryIsTheWorkOfThreePeopleOverNineMonths(t *testing.T) {
	commits, err := History()
	if err != nil {
		t.Fatal(err)
	}
	people := of[record.Person](recordsUnder(t, "workshop"))
	authors := map[string]int{}
	for i, c := range commits {
		if i > 0 && c.When.Before(commits[i-1].When) {
			t.Errorf("commit %d is older than the one before it", c.Number)
		}
		if c.Number != i+1 {
			t.Errorf("commit %d has number %d", i+1, c.Number)
		}
		if people[record.Ref(c.Author)] == nil {
			t.Errorf("commit %d: nobody is called %s", c.Number, c.Author)
		}
		if len(c.Paths) == 0 || len(slices.Compact(slices.Sorted(slices.Values(c.Paths)))) != len(c.Paths) {
			t.Errorf("commit %d: no paths, or one of them twice", c.Number)
		}
		if c.Message == "" || strings.HasSuffix(c.Message, ".") || len(c.Message) > 90 {
			t.Errorf("commit %d: message %q", c.Number, c.Message)
		}
		authors[c.Author]++
	}
	if len(commits) < 120 || len(authors) != 3 {
		t.Errorf("%d commits by %v", len(commits), authors)
	}
	if days := commits[len(commits)-1].When.Sub(commits[0].When).Hours() / 24; days < 270 {
		t.Errorf("the history spans %.0f days", days)
	}
}

func TestEveryEarlierFileIsUsedAndChangedAgainLater(t *testing.T) {
	commits, err := History()
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	for i, c := range commits {
		for _, p := range c.Paths {
			name := fmt.Sprintf("%02d/%s", c.Number, p)
			if _, err := fs.Stat(Sample(), "earlier/"+name); err != nil {
				continue
			}
			used[name] = true
			again := slices.ContainsFunc(commits[i+1:], func(later Commit) bool {
				return later.Repository == c.Repository && slices.Contains(later.Paths, p)
			})
			if !again {
				t.Errorf("earlier/%s is the last word on that record: it belongs in the sample itself", name)
			}
		}
	}
	for _, p := range filesUnder(t, "earlier") {
		if !used[p] {
			t.Errorf("earlier/%s belongs to no commit", p)
		}
	}
}

func TestAPathThatNoCommitHeldIsAnError(t *testing.T) {
	if _, err := (Commit{Number: 1, Repository: "workshop"}).File("people/nobody.json"); err == nil {
		t.Error("want an error for a file that is not there")
	}
}

// happened are the members that say when something was done or seen; due dates and ends of validity lie ahead.
var happened = []string{"on", "seen-on", "started", "ended", "entered", "raised-on", "rechecked-on", "embedded", "received", "drained", "checked-on"}

func TestNothingIsCommittedBeforeItHappened(t *testing.T) {
	replayed(t, func(c Commit, state fstest.MapFS) {
		today := c.When.Format("2006-01-02")
		for _, p := range c.Paths {
			if p == "allowed_signers" {
				continue // derived from the keys
			}
			r, err := record.Decode(p, state[p].Data)
			if err != nil {
				t.Fatal(err)
			}
			if day := record.PathDate(p); day > today {
				t.Errorf("commit %d of %s holds %s", c.Number, today, p)
			}
			for _, leaf := range r.Leaves() {
				member := leaf.Pointer[strings.LastIndexByte(leaf.Pointer, '/')+1:]
				if leaf.Role == record.Moment && slices.Contains(happened, member) && leaf.Text > today+"T99" {
					t.Errorf("commit %d of %s: %s%s is %s", c.Number, today, p, leaf.Pointer, leaf.Text)
				}
			}
		}
	})
}
