package validate

import (
	"io/fs"
	"slices"
	"sort"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// graph is the files of a car with their ties, those of before and those of now together.
type graph struct {
	before  *State
	look    Look
	nodes   []node
	renamed bool // the names of records are not what they were
}

// node is one file. A changed one has two pairs of ties, as it was and as it is.
type node struct {
	path    string
	old     *File // nil where it is new
	ties    []*Ties
	changed bool
	gone    bool
}

func newGraph(before *State, look Look) (*graph, error) {
	g := &graph{before: before, look: look, nodes: make([]node, 0, len(before.Files)+len(look.Changed))}
	here := make([]bool, len(look.Changed))
	for i, path := range look.Changed {
		here[i] = hasFile(look.Files, path)
	}
	s, err := ledger.Load(subset(look, look.Changed))
	if err != nil {
		return nil, err
	}
	now := func(path string) *Ties {
		id, _ := record.IDOf(path)
		t := TiesOf(path, s.Record(id))
		return &t
	}
	for i := range before.Files {
		f := &before.Files[i]
		n := node{path: f.Path, old: f, ties: []*Ties{&f.Ties}}
		if at, changed := slices.BinarySearch(look.Changed, f.Path); changed {
			n.changed, n.gone = true, !here[at]
			if here[at] {
				n.ties = append(n.ties, now(f.Path))
			}
			g.renamed = g.renamed || f.Ties.Kind == "" || n.ties[len(n.ties)-1].Kind == "" || n.gone
		}
		g.nodes = append(g.nodes, n)
	}
	for i, path := range look.Changed {
		if here[i] && before.file(path) == nil {
			g.nodes = append(g.nodes, node{path: path, ties: []*Ties{now(path)}, changed: true})
			g.renamed = true
		}
	}
	return g, nil
}

func hasFile(files []ledger.File, path string) bool {
	i := sort.Search(len(files), func(i int) bool { return files[i].Path >= path })
	return i < len(files) && files[i].Path == path
}

// keys is a set of keys.
type keys map[Key]bool

func (k keys) add(list []Key) {
	for _, one := range list {
		k[one] = true
	}
}

func (k keys) meets(list []Key) bool {
	return slices.ContainsFunc(list, func(one Key) bool { return k[one] })
}

// where gives the nodes for which a question is answered yes by any of their ties.
func (g *graph) where(in []bool, ask func(*Ties) bool) []bool {
	out := slices.Clone(in)
	for i := range g.nodes {
		out[i] = out[i] || slices.ContainsFunc(g.nodes[i].ties, ask)
	}
	return out
}

// gather collects keys of the nodes in a set, those of before and of now.
func (g *graph) gather(in []bool, of func(*Ties, keys)) keys {
	k := keys{}
	for i, yes := range in {
		if yes {
			for _, t := range g.nodes[i].ties {
				of(t, k)
			}
		}
	}
	return k
}

// gatherNow collects keys of the nodes in a set that are there now, as they are now.
func (g *graph) gatherNow(in []bool, of func(*Ties, keys)) keys {
	k := keys{}
	for i, yes := range in {
		if n := &g.nodes[i]; yes && !n.gone {
			of(n.ties[len(n.ties)-1], k)
		}
	}
	return k
}

// settled adds to a set whatever decides which of its records count: what corrects or withdraws them, what they correct,
// and so on.
func (g *graph) settled(in []bool) []bool {
	for {
		over := g.gather(in, func(t *Ties, k keys) { k.add(t.Over) })
		out := g.where(in, func(t *Ties) bool { return over.meets(t.Over) })
		if slices.Equal(in, out) {
			return out
		}
		in = out
	}
}

// Settling shows of a car only the file at path and those that settle with it which of them counts: what corrects or
// withdraws it, what it corrects, and so on. It is nil where no earlier check left a state to tell them by.
func Settling(before *State, look Look, path string) (fs.FS, error) {
	if before == nil {
		return nil, nil
	}
	g, err := newGraph(before, look)
	if err != nil {
		return nil, err
	}
	in := make([]bool, len(g.nodes))
	for i := range g.nodes {
		in[i] = g.nodes[i].path == path
	}
	return subset(look, g.here(g.settled(in))), nil
}

// affected gives the files whose findings may not be what they were: those that changed or whose standing may have, those
// compared with them, and those that refer to something they have a say in.
func (g *graph) affected() []bool {
	changed := make([]bool, len(g.nodes))
	for i := range g.nodes {
		changed[i] = g.nodes[i].changed
	}
	changed = g.settled(changed)
	given := g.gather(changed, func(t *Ties, k keys) { k.add(t.Gives); k.add(t.Over[:1]) })
	group := g.gather(changed, func(t *Ties, k keys) { k.add(t.Group) })
	return g.where(changed, func(t *Ties) bool { return given.meets(t.Takes) || group.meets(t.Group) })
}

// needed gives the paths that must be read for the findings of a set of files: the files, those compared with them, those
// that have a say in what they refer to, and what decides which of all these count.
func (g *graph) needed(affected []bool) []string {
	taken := g.gatherNow(affected, func(t *Ties, k keys) { k.add(t.Takes) })
	group := g.gatherNow(affected, func(t *Ties, k keys) { k.add(t.Group) })
	need := g.settled(g.where(affected, func(t *Ties) bool {
		return taken.meets(t.Gives) || taken.meets(t.Over[:1]) || group.meets(t.Group)
	}))
	return g.here(need)
}

// here gives the paths of the nodes in a set that are there now.
func (g *graph) here(in []bool) []string {
	var paths []string
	for i, yes := range in {
		if yes && !g.nodes[i].gone {
			paths = append(paths, g.nodes[i].path)
		}
	}
	return paths
}

// merge puts the findings of the affected files in the place of what was found in them before. It gives nil where a
// finding depends on more than was read.
func (g *graph) merge(c *checker, affected []bool) *State {
	now := &State{Span: g.before.Span.and(c.span), Others: g.look.Others}
	found := byFile(c.found)
	for i, n := range g.nodes {
		switch {
		case n.gone:
		case affected[i]:
			if namesMatter(found[n.path]) {
				return nil
			}
			now.Files = append(now.Files, c.file(n.path, found[n.path]))
		case g.renamed && namesMatter(n.old.Found):
			return nil
		default:
			now.Files = append(now.Files, *n.old)
		}
		delete(found, n.path)
	}
	if len(found) > 0 { // something at a folder: it may bear on files that were not read
		return nil
	}
	slices.SortFunc(now.Files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	return now
}
