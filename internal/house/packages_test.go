package house

import (
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"
)

// layer says what a package may touch.
type layer int

const (
	core  layer = iota // pure: values, fs.FS, readers and writers
	edge               // disk and Git
	shell              // use cases, terminal, main
)

// row is one package of the table in DEVELOPERS.md.
type row struct {
	layer layer
	may   map[string]bool // packages of the module it may import, by path
}

// bottom are the packages that everything may stand on and that stand on
// nothing, whatever the table says.
var bottom = []string{"internal/canon", "internal/finding", "internal/quantity", "internal/edtf", "internal/doc"}

// packageTable reads the table of DEVELOPERS.md, which is the one home of the
// import rules: "package | holds | may import". Packages stand in backticks. The
// second column begins with "edge:" or "shell:" for what is not core. The last
// lists names, or says "nothing".
func packageTable(t *testing.T) map[string]row {
	t.Helper()
	written.once.Do(func() {
		written.rows = map[string]row{}
		for _, cells := range tableRows(t, document(t, "DEVELOPERS.md"), "package", "holds", "may import") {
			for _, dir := range backticked(cells[0]) {
				written.rows[dir] = row{layerOf(dir, cells[1]), listOf(cells[2])}
			}
		}
		for dir, r := range written.rows {
			full := map[string]bool{}
			for name := range r.may {
				full[byName(name, written.rows)] = true
			}
			written.rows[dir] = row{r.layer, full}
		}
	})
	return written.rows
}

var written struct {
	once sync.Once
	rows map[string]row
}

func layerOf(dir, holds string) layer {
	switch {
	case strings.HasPrefix(holds, "edge:"):
		return edge
	case strings.HasPrefix(holds, "shell:"), strings.HasPrefix(dir, "cmd/"):
		return shell
	}
	return core
}

// listOf reads the last column.
func listOf(cell string) map[string]bool {
	list := map[string]bool{}
	for name := range strings.SplitSeq(strings.ReplaceAll(cell, "`", ""), ",") {
		if name = strings.TrimSpace(name); name != "" && name != "nothing" {
			list[name] = true
		}
	}
	return list
}

// byName finds a package by the last element of its path.
func byName(name string, rows map[string]row) string {
	for dir := range rows {
		if path.Base(dir) == name {
			return dir
		}
	}
	return name
}

func TestEveryPackageImportsOnlyWhatItsRowLists(t *testing.T) {
	rows := packageTable(t)
	there := map[string]bool{}
	for _, f := range programFiles(t) {
		r, listed := rows[f.dir()]
		if !listed && !there[f.dir()] {
			t.Errorf("%s has no row in the table of DEVELOPERS.md", f.dir())
		}
		there[f.dir()] = true
		for _, p := range f.imports() {
			if inner, ours := strings.CutPrefix(p, module+"/"); ours && listed && !r.may[inner] {
				t.Errorf("%s imports %s, which its row does not list", f.path, inner)
			}
		}
	}
	for dir := range rows {
		if !there[dir] {
			t.Errorf("%s has a row in the table of DEVELOPERS.md and does not exist", dir)
		}
	}
}

func TestImportsOnlyGoDown(t *testing.T) {
	rows := packageTable(t)
	for _, dir := range bottom {
		if r, listed := rows[dir]; !listed || len(r.may) > 0 {
			t.Errorf("%s stands at the bottom and its row lists %s", dir, strings.Join(slices.Sorted(maps.Keys(r.may)), ", "))
		}
	}
	for dir, r := range rows {
		for next := range r.may {
			if to, listed := rows[next]; !listed {
				t.Errorf("the row of %s lists %s, which has no row", dir, next)
			} else if r.layer == core && to.layer != core {
				t.Errorf("%s is core and its row lists %s, which is not", dir, next)
			} else if to.layer == shell && r.layer != shell {
				t.Errorf("the row of %s lists %s, which stands above it", dir, next)
			}
		}
		refuseCircle(t, rows, dir, nil)
	}
}

// refuseCircle follows the rows down from dir.
func refuseCircle(t *testing.T, rows map[string]row, dir string, trail []string) {
	t.Helper()
	if slices.Contains(trail, dir) {
		t.Fatalf("the table runs in a circle: %s", strings.Join(append(trail, dir), ", "))
	}
	for next := range rows[dir].may {
		refuseCircle(t, rows, next, append(slices.Clone(trail), dir))
	}
}
