package columns

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/entry"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Listing is a kind of record as a table for a spreadsheet.
type Listing struct {
	Kind   record.Kind
	Header []string
	// Rows have as many cells as the header. A record stands in one row; a session has a row a line, a reading a row a figure, a
	// requirement set a row an item, and what is said of the whole stands in each of them.
	Rows [][]string
	// Withheld counts the private values, of which a cell holds no more than the digest.
	Withheld int
}

// several are the kinds that have a row for each element of a list, and how its columns are called.
var several = map[record.Kind][2]string{record.KindSession: {"lines", "line"}, record.KindReading: {"values", "figure"}, record.KindRequirementSet: {"items", "item"}}

// The columns that say which record a row is of, and whether it counts.
const (
	columnPath     = "path"
	columnStanding = "standing"
	columnOver     = "corrected or withdrawn by"
	// columnSigned is the member of a sign-off that is called path too: the path that it was signed under.
	columnSigned = "path as signed"
	// Withheld stands in a cell instead of a private value, its digest behind it.
	Withheld = "withheld"
)

// List makes the table of a kind: all its records by name, those too that were corrected or withdrawn, each marked. Members
// are called as record takes them (numbers.0.raw), those of parts as record --csv knows them.
func List(s *ledger.Snapshot, kind record.Kind) Listing {
	w := &lister{kind: kind, secrets: map[string]bool{}, columns: map[string]bool{}}
	for _, r := range s.OfKind(kind) {
		w.record(s, r)
	}
	order := slices.SortedFunc(maps.Keys(w.columns), func(a, b string) int { return slices.Compare(w.place(a), w.place(b)) })
	l := Listing{Kind: kind, Withheld: w.withheld}
	for _, name := range order {
		l.Header = append(l.Header, heading(kind, name))
	}
	for _, cells := range w.rows {
		row := make([]string, len(order))
		for i, name := range order {
			row[i] = cells[name]
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}

// heading is the usual word over a member of a part, and the member's own name elsewhere.
func heading(kind record.Kind, name string) string {
	if kind == record.KindPart {
		for _, c := range columnsOf[Parts] {
			if c.key == name {
				word, _, _ := strings.Cut(c.words, "|")
				return word
			}
		}
	}
	return name
}

// lister gathers the rows of a kind, and the names of its columns.
type lister struct {
	kind     record.Kind
	columns  map[string]bool
	rows     []map[string]string
	secrets  map[string]bool
	withheld int
	cells    map[string]string // the row that is being made
}

// place tells where a column stands: what the row is, the members of the record in the schema's order, those of the element.
func (w *lister) place(name string) []int {
	if i := slices.Index([]string{columnPath, columnStanding, columnOver}, name); i >= 0 {
		return []int{0, i}
	}
	if name == columnSigned {
		name = "path"
	}
	list := several[w.kind]
	if name == list[1] {
		return []int{2}
	}
	path := strings.Split(name, ".")
	if len(path) > 1 && path[0] == list[1] {
		_, order, _ := entry.Member(w.kind, append([]string{list[0], "0"}, path[1:]...))
		return append([]int{2}, order...)
	}
	_, order, _ := entry.Member(w.kind, path)
	return append([]int{1}, order...)
}

// record adds the rows of one record.
func (w *lister) record(s *ledger.Snapshot, r *record.Record) {
	clear(w.secrets)
	for _, leaf := range r.Leaves() {
		if leaf.Role == record.Secret {
			w.secrets[leaf.Pointer] = true
			w.withheld++
		}
	}
	w.cells = map[string]string{}
	standing, over := s.StandingOf(r)
	w.put(columnPath, string(r.ID))
	w.put(columnStanding, standing.String())
	through := ""
	if over != nil && (standing == ledger.Corrected || standing == ledger.Withdrawn) {
		through = string(over.ID)
	}
	w.put(columnOver, through)
	list := several[w.kind]
	for _, m := range r.Doc.Root.Members {
		if m.Name != "kind" && m.Name != list[0] {
			w.value(m.Value, "/"+m.Name, columnOf(m.Name))
		}
	}
	w.elements(r.Doc.Root.Get(list[0]), list)
}

func columnOf(member string) string {
	if member == columnPath {
		return columnSigned
	}
	return member
}

// elements ends the rows of a record: one for each element of the list, or a single one.
func (w *lister) elements(n *canon.Node, list [2]string) {
	if n == nil || len(n.Elements) == 0 {
		w.rows = append(w.rows, w.cells)
		return
	}
	whole := w.cells
	for i, e := range n.Elements {
		w.cells = maps.Clone(whole)
		w.put(list[1], strconv.Itoa(i+1))
		for _, m := range e.Members {
			w.value(m.Value, canon.ChildPointer(canon.ElementPointer("/"+list[0], i), m.Name), list[1]+"."+m.Name)
		}
		w.rows = append(w.rows, w.cells)
	}
}

// value fills the cells of a member: a list of texts is one cell, what holds more has a column for each text in it.
func (w *lister) value(n *canon.Node, pointer, name string) {
	switch n.Kind {
	case canon.Object:
		for _, m := range n.Members {
			w.value(m.Value, canon.ChildPointer(pointer, m.Name), name+"."+m.Name)
		}
	case canon.Array:
		if texts, ok := w.texts(n, pointer); ok {
			w.put(name, strings.Join(texts, "; "))
			return
		}
		for i, e := range n.Elements {
			w.value(e, canon.ElementPointer(pointer, i), name+"."+strconv.Itoa(i))
		}
	default:
		w.put(name, w.shown(n, pointer))
	}
}

func (w *lister) texts(n *canon.Node, pointer string) (texts []string, ok bool) {
	for i, e := range n.Elements {
		if e.Kind == canon.Object || e.Kind == canon.Array {
			return nil, false
		}
		texts = append(texts, w.shown(e, canon.ElementPointer(pointer, i)))
	}
	return texts, true
}

// shown is the text of a value; of a private one its digest, and where it stands in clear not even that.
func (w *lister) shown(n *canon.Node, pointer string) string {
	switch {
	case !w.secrets[pointer]:
		return n.Text
	case record.IsDigest(n.Text):
		return Withheld + ", sha256 " + n.Text
	}
	return Withheld
}

func (w *lister) put(name, text string) {
	w.columns[name] = true
	w.cells[name] = text
}
