package house

import (
	"go/ast"
	"regexp"
	"strings"
	"testing"
)

// TestWhatTheRaceDetectorLeavesOutTheBuildRunsWithoutIt looks for the tests of a package that ask whether the race detector is on,
// themselves or in what they call: the build runs each of them once more without it, in full size.
func TestWhatTheRaceDetectorLeavesOutTheBuildRunsWithoutIt(t *testing.T) {
	build := document(t, ".ci/run")
	for _, dir := range []string{"cmd/boltback", "internal/code"} {
		m := regexp.MustCompile(`(?m)^\s*go test -run '([^']+)' \./` + dir + `$`).FindStringSubmatch(build)
		if m == nil {
			t.Errorf(".ci/run runs nothing of %s without the race detector", dir)
			continue
		}
		again, tests := regexp.MustCompile(m[1]), 0
		for name := range asking(t, dir) {
			if !strings.HasPrefix(name, "Test") {
				continue
			}
			if tests++; !again.MatchString(name) {
				t.Errorf("%s: %s is smaller under the race detector, and .ci/run does not run it without", dir, name)
			}
		}
		if tests == 0 {
			t.Errorf("%s: no test asks for the race detector", dir)
		}
	}
}

// asking are the functions of a package's tests that name raced, or a function that does.
func asking(t *testing.T, dir string) map[string]bool {
	t.Helper()
	names := map[string]map[string]bool{} // what each function names
	for _, f := range goFiles(t) {
		if f.dir() != dir || !f.isTest() {
			continue
		}
		for _, d := range f.syntax.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok {
				names[fn.Name.Name] = map[string]bool{}
				ast.Inspect(fn, func(n ast.Node) bool {
					if id, ok := n.(*ast.Ident); ok {
						names[fn.Name.Name][id.Name] = true
					}
					return true
				})
			}
		}
	}
	asks := map[string]bool{"raced": true}
	for grown := true; grown; {
		grown = false
		for fn, named := range names {
			for one := range named {
				if asks[one] && !asks[fn] {
					asks[fn], grown = true, true
				}
			}
		}
	}
	return asks
}
