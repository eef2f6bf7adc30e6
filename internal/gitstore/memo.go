package gitstore

import (
	"bytes"
	"container/heap"
	"encoding/hex"
	"fmt"
	"hash/crc32"
	"io"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// A memo of a walk holds, for each commit that was met, its parents, its time
// and the files in which it is unlike every parent: all that the history of a
// record needs, without reading a tree again. It lies outside the repository,
// may be deleted at any time, and is believed only for what is shown and never
// for what is verified. Lines, closed batch by batch with a checksum:
//
//	c <commit> <unix seconds> <parents, comma between, or ->
//	t <blob> <path>
//	= <CRC-32 of the batch>
const memoHead = "boltback walk 1\n"

// largestMemo is how much of a memo is read.
const largestMemo = 256 << 20

// walked is one commit of a memo.
type walked struct {
	id      Hash
	when    int64
	parents []Hash
	touched []touchedFile
}

type touchedFile struct {
	path string
	blob Hash // zero where the file was removed
}

// HistoryOf is [Repo.History] of a file, with what earlier walks found kept in
// the memo that Options names. Only commits that were never met are read, and
// those that changed the file.
func (r *Repo) HistoryOf(from Hash, path string) iter.Seq2[Revised, error] {
	if r.opt.Memo == "" || r.Traits.Shallow {
		return r.History(from, path)
	}
	return func(yield func(Revised, error) bool) {
		m := r.openMemo()
		defer m.keep()
		for c, err := range m.walk(from) {
			if err != nil {
				yield(Revised{}, err)
				return
			}
			i := slices.IndexFunc(c.touched, func(t touchedFile) bool { return t.path == path })
			if i < 0 {
				continue
			}
			commit, err := r.ReadCommit(c.id)
			if !yield(Revised{commit, c.touched[i].blob}, err) || err != nil {
				return
			}
		}
	}
}

// Firsts gives, for each of these files that a history ever held, the commit that first gave it content: one walk for all of
// them, by the memo where there is one.
func (r *Repo) Firsts(from Hash, paths []string) (map[string]Revised, error) {
	wanted := make(map[string]bool, len(paths))
	for _, p := range paths {
		wanted[p] = true
	}
	m := &memo{repo: r, known: map[Hash]*walked{}}
	if r.opt.Memo != "" && !r.Traits.Shallow {
		m = r.openMemo()
		defer m.keep()
	}
	type first struct{ commit, blob Hash }
	oldest := map[string]first{}
	for c, err := range m.walk(from) {
		if err != nil {
			return nil, err
		}
		for _, t := range c.touched {
			if wanted[t.path] && !t.blob.IsZero() {
				oldest[t.path] = first{c.id, t.blob} // the newest come first
			}
		}
	}
	found := make(map[string]Revised, len(oldest))
	for path, f := range oldest {
		commit, err := r.ReadCommit(f.commit)
		if err != nil {
			return nil, err
		}
		found[path] = Revised{commit, f.blob}
	}
	return found, nil
}

// memo is what was walked before, and what this walk adds.
type memo struct {
	repo  *Repo
	known map[Hash]*walked
	fresh bytes.Buffer
	good  int64 // how much of the file was sound
	odd   bool  // a path cannot stand in a line, so nothing is kept
}

func (r *Repo) openMemo() *memo {
	m := &memo{repo: r, known: map[Hash]*walked{}}
	f, err := os.Open(r.opt.Memo)
	if err != nil {
		return m
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, largestMemo))
	if err == nil {
		m.read(data)
	}
	return m
}

// read takes in batches up to the first that is not sound.
func (m *memo) read(data []byte) {
	if !bytes.HasPrefix(data, []byte(memoHead)) {
		return
	}
	m.good = int64(len(memoHead))
	rest := data[len(memoHead):]
	for len(rest) > 0 {
		end := bytes.Index(rest, []byte("\n= "))
		if end < 0 || len(rest) < end+12 {
			return
		}
		batch, sum := rest[:end+1], rest[end+3:end+11]
		if fmt.Sprintf("%08x", crc32.ChecksumIEEE(batch)) != string(sum) || rest[end+11] != '\n' {
			return
		}
		list, ok := parseBatch(batch)
		if !ok {
			return
		}
		for _, c := range list {
			m.known[c.id] = c
		}
		rest = rest[end+12:]
		m.good = int64(len(data) - len(rest))
	}
}

func parseBatch(batch []byte) ([]*walked, bool) {
	var list []*walked
	for line := range bytes.Lines(batch) {
		line = bytes.TrimSuffix(line, []byte("\n"))
		switch {
		case len(line) > 43 && line[0] == 'c':
			c, ok := parseWalked(line)
			if !ok {
				return nil, false
			}
			list = append(list, c)
		case len(line) > 43 && line[0] == 't' && len(list) > 0:
			blob, ok := parseID(line[2:42])
			if !ok {
				return nil, false
			}
			last := list[len(list)-1]
			last.touched = append(last.touched, touchedFile{string(line[43:]), blob})
		default:
			return nil, false
		}
	}
	return list, true
}

func parseWalked(line []byte) (*walked, bool) {
	fields := bytes.Fields(line)
	if len(fields) != 4 {
		return nil, false
	}
	id, ok := parseID(fields[1])
	when, err := strconv.ParseInt(string(fields[2]), 10, 64)
	if !ok || err != nil {
		return nil, false
	}
	c := &walked{id: id, when: when}
	if string(fields[3]) == "-" {
		return c, true
	}
	for p := range bytes.SplitSeq(fields[3], []byte(",")) {
		parent, ok := parseID(p)
		if !ok {
			return nil, false
		}
		c.parents = append(c.parents, parent)
	}
	return c, true
}

func parseID(text []byte) (h Hash, ok bool) {
	if len(text) != 2*len(h) {
		return h, false
	}
	_, err := hex.Decode(h[:], text)
	return h, err == nil
}

// walk goes through all that from can be reached by, in the order of [Repo.Log].
func (m *memo) walk(from Hash) iter.Seq2[*walked, error] {
	return func(yield func(*walked, error) bool) {
		var queue walkedQueue
		seen := map[Hash]bool{}
		add := func(id Hash) error {
			if seen[id] {
				return nil
			}
			seen[id] = true
			c, err := m.meet(id)
			if err == nil {
				heap.Push(&queue, waiting{c, len(seen)})
			}
			return err
		}
		err := add(from)
		for err == nil && len(queue) > 0 {
			c := heap.Pop(&queue).(waiting).walked
			for _, p := range c.parents {
				if err = add(p); err != nil {
					break
				}
			}
			if err == nil && !yield(c, nil) {
				return
			}
		}
		if err != nil {
			yield(nil, err)
		}
	}
}

// meet gives what a walk needs of a commit, from the memo or from the commit itself.
func (m *memo) meet(id Hash) (*walked, error) {
	if c := m.known[id]; c != nil {
		return c, nil
	}
	commit, err := m.repo.readCommitUnchecked(id)
	if err != nil {
		return nil, err
	}
	c := &walked{id: id, when: commit.Committer.When.Unix(), parents: m.repo.parents(commit)}
	if c.touched, err = m.repo.touched(commit); err != nil {
		return nil, err
	}
	m.known[id] = c
	m.note(c)
	return c, nil
}

// touched lists the files in which a commit is unlike every parent.
func (r *Repo) touched(c *Commit) ([]touchedFile, error) {
	parents := r.parents(c)
	if len(parents) == 0 {
		parents = []Hash{{}}
	}
	var list []touchedFile
	for i, p := range parents {
		before, err := r.treeOfUnchecked(p)
		if err != nil {
			return nil, err
		}
		var differences []Difference
		if err := r.compare("", before, c.Tree, &differences); err != nil {
			return nil, err
		}
		if i == 0 {
			for _, d := range differences {
				list = append(list, touchedFile{d.Path, d.New})
			}
			continue
		}
		unlike := make(map[string]bool, len(differences))
		for _, d := range differences {
			unlike[d.Path] = true
		}
		list = slices.DeleteFunc(list, func(t touchedFile) bool { return !unlike[t.path] })
	}
	return list, nil
}

func (r *Repo) treeOfUnchecked(commit Hash) (Hash, error) {
	if commit.IsZero() {
		return Hash{}, nil
	}
	c, err := r.readCommitUnchecked(commit)
	if err != nil {
		return Hash{}, err
	}
	return c.Tree, nil
}

func (m *memo) note(c *walked) {
	parents := make([]string, len(c.parents))
	for i, p := range c.parents {
		parents[i] = p.String()
	}
	text := strings.Join(parents, ",")
	if text == "" {
		text = "-"
	}
	fmt.Fprintf(&m.fresh, "c %s %d %s\n", c.id, c.when, text)
	for _, t := range c.touched {
		m.odd = m.odd || strings.ContainsAny(t.path, "\n\r")
		fmt.Fprintf(&m.fresh, "t %s %s\n", t.blob, t.path)
	}
}

// keep writes down what this walk met. A memo that cannot be written is made
// again by the next walk.
func (m *memo) keep() {
	if m.fresh.Len() == 0 || m.odd {
		return
	}
	if err := os.MkdirAll(filepath.Dir(m.repo.opt.Memo), 0o700); err != nil {
		return
	}
	f, err := os.OpenFile(m.repo.opt.Memo, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return
	}
	defer f.Close()
	var text bytes.Buffer
	if m.good == 0 {
		text.WriteString(memoHead)
	}
	text.Write(m.fresh.Bytes())
	fmt.Fprintf(&text, "= %08x\n", crc32.ChecksumIEEE(m.fresh.Bytes()))
	if f.Truncate(m.good) == nil {
		_, _ = f.WriteAt(text.Bytes(), m.good)
	}
}

// walkedQueue orders commits as commitQueue does.
type walkedQueue []waiting

type waiting struct {
	walked *walked
	nth    int
}

func (q walkedQueue) Len() int      { return len(q) }
func (q walkedQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *walkedQueue) Push(x any)   { *q = append(*q, x.(waiting)) }

func (q walkedQueue) Less(i, j int) bool {
	if q[i].walked.when != q[j].walked.when {
		return q[i].walked.when > q[j].walked.when
	}
	return q[i].nth < q[j].nth
}

func (q *walkedQueue) Pop() any {
	last := len(*q) - 1
	x := (*q)[last]
	*q = (*q)[:last]
	return x
}
