package history

import (
	"cmp"
	"slices"
	"time"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Revision is one commit as the edge tells it.
type Revision struct {
	ID string
	// When is the author's time with the author's offset, for the calendar day at
	// the place counts.
	When            time.Time
	Author, Message string
	// Signed says in words what the signature is worth: "signed by ines, key known",
	// "not signed"; empty where nobody looked.
	Signed string
}

// Version is a record's file as a commit left it.
type Version struct {
	Revision
	Path string
	// Bytes is the file; nil where the commit took it away.
	Bytes []byte
	// Parent is the commit whose version this one grew from, for a history with
	// branches; empty means the next older version of that file in the list.
	Parent string
}

// Step is one commit with the files it touched. Read is as for [DiffFiles].
type Step struct {
	Revision
	Files []Pair
	Read  func(path string) []byte
}

// Entry is one commit in the story: what it changed, and how long after the
// event it wrote that down.
type Entry struct {
	Revision
	Changes []Change
	Delays  []Delay
}

// Tell says what one commit did. lateAfter is the number of days after the work
// from which a first entry is late.
func Tell(s Step, lateAfter int) Entry {
	e := Entry{Revision: s.Revision, Changes: DiffFiles(s.Files, s.Read)}
	for _, c := range e.Changes {
		e.Delays = append(e.Delays, delaysOf(c, s.When, lateAfter)...)
	}
	return e
}

// Timeline tells the story of one record from the versions of its file, and of
// the files that stand over it (see [Paths]), the newest first; so are the
// entries. Commits that left the files as they were have none. It needs no more
// than the versions that commits made.
func Timeline(versions []Version, lateAfter int) []Entry {
	var entries []Entry
	done := map[string]bool{}
	for i, v := range versions {
		if done[v.ID] {
			continue
		}
		done[v.ID] = true
		step := Step{Revision: v.Revision, Read: reader(versions[i:])}
		for j := i; j < len(versions); j++ {
			if versions[j].ID == v.ID {
				step.Files = append(step.Files, Pair{versions[j].Path, before(versions, j), versions[j].Bytes})
			}
		}
		if e := Tell(step, lateAfter); len(e.Changes) > 0 {
			e.Delays = append(e.Delays, sinceFirst(e, versions)...)
			entries = append(entries, e)
		}
	}
	return entries
}

// before is the file as it was before version i.
func before(versions []Version, i int) []byte {
	v := versions[i]
	for _, older := range versions[i+1:] {
		if older.Path == v.Path && (v.Parent == "" || v.Parent == older.ID) {
			return older.Bytes
		}
	}
	return nil
}

// reader finds the newest version of a file among those given.
func reader(versions []Version) func(path string) []byte {
	return func(path string) []byte {
		for _, v := range versions {
			if v.Path == path {
				return v.Bytes
			}
		}
		return nil
	}
}

// Paths lists the files whose versions make up the story of a record: its own,
// those of the records that correct or withdraw it, and of what it stands over.
func Paths(s *ledger.Snapshot, id record.Ref) []string {
	r := s.Record(id)
	if r == nil {
		return []string{record.PathOf(id)}
	}
	seen := map[record.Ref]*record.Record{}
	queue := []*record.Record{r}
	for len(queue) > 0 {
		r, queue = queue[0], queue[1:]
		if r == nil || seen[r.ID] != nil {
			continue
		}
		seen[r.ID] = r
		queue = append(queue, s.Over(r.ID)...)
		for _, below := range overOf(r) {
			queue = append(queue, s.Record(below))
		}
	}
	var others []string
	for other, r := range seen {
		if other != id {
			others = append(others, r.Path)
		}
	}
	slices.SortFunc(others, cmp.Compare)
	return append([]string{seen[id].Path}, others...)
}
