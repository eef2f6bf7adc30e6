package house

import (
	"maps"
	"slices"
	"strings"
	"testing"
)

// importers names the one package that may import a foreign module, so that the
// module can be replaced in one place.
var importers = map[string]string{
	"github.com/santhosh-tekuri/jsonschema/v5": "internal/validate",
	"github.com/go-git/go-git/v5":              "internal/gitstore",
	"github.com/urfave/cli/v2":                 "internal/cli",
	"github.com/Masterminds/sprig/v3":          "internal/render",
	"github.com/go-json-experiment/json":       "internal/canon",
	"github.com/carlos7ags/folio":              "internal/page",
	"github.com/makiuchi-d/gozxing":            "internal/code",
	"rsc.io/qr":                                "internal/code",
	"golang.org/x/image":                       "internal/figure",
}

// manyImporters lists the modules that more than one package imports, with the reason.
var manyImporters = map[string]string{
	"golang.org/x/text": "Unicode normal forms and widths are tables, not a choice that could be replaced",
}

func TestForeignModulesHaveOneImporter(t *testing.T) {
	users := map[string]map[string]bool{}
	for _, f := range programFiles(t) {
		for _, p := range f.imports() {
			mod := moduleOf(t, p)
			if mod == "" {
				continue
			}
			if users[mod] == nil {
				users[mod] = map[string]bool{}
			}
			users[mod][f.dir()] = true
			if owner := importers[mod]; owner != "" && owner != f.dir() {
				t.Errorf("%s imports %s, which only %s may", f.path, p, owner)
			}
		}
	}
	for mod, dirs := range users {
		if len(dirs) > 1 && manyImporters[mod] == "" {
			t.Errorf("%s is imported by %s: one of them is to wrap it", mod, strings.Join(slices.Sorted(maps.Keys(dirs)), ", "))
		}
	}
	for mod := range manyImporters {
		if len(users[mod]) < 2 {
			t.Errorf("%s is listed as imported by many and is imported by %d", mod, len(users[mod]))
		}
	}
}

// moduleOf returns the required module that holds an import path; "" for the
// standard library and our own packages.
func moduleOf(t *testing.T, importPath string) string {
	t.Helper()
	first, _, _ := strings.Cut(importPath, "/")
	if first == module || !strings.Contains(first, ".") {
		return ""
	}
	best := ""
	for mod := range required(t) {
		if (importPath == mod || strings.HasPrefix(importPath, mod+"/")) && len(mod) > len(best) {
			best = mod
		}
	}
	if best == "" {
		t.Errorf("%s is imported and go.mod requires no module for it", importPath)
	}
	return best
}

// required reads the modules that go.mod requires; the value says whether
// directly, that is without the mark "// indirect".
func required(t *testing.T) map[string]bool {
	t.Helper()
	mods := map[string]bool{}
	inside := false
	for line := range strings.SplitSeq(document(t, "go.mod"), "\n") {
		line = strings.TrimSpace(line)
		one, single := strings.CutPrefix(line, "require ")
		switch {
		case line == "require (":
			inside = true
			continue
		case line == ")":
			inside = false
		case single:
			line = one
		}
		if fields := strings.Fields(line); (inside || single) && len(fields) >= 2 {
			mods[fields[0]] = !strings.HasSuffix(line, "// indirect")
		}
	}
	return mods
}

func TestEveryDirectDependencyHasItsReason(t *testing.T) {
	const least = 20 // letters; a word is not a reason
	reasons := map[string]string{}
	for _, cells := range tableRows(t, document(t, "DEVELOPERS.md"), "module", "why") {
		for _, mod := range backticked(cells[0]) {
			reasons[mod] = cells[1]
		}
	}
	direct := required(t)
	for mod, isDirect := range direct {
		if isDirect && len(reasons[mod]) < least {
			t.Errorf("go.mod requires %s, and DEVELOPERS.md gives no reason for it", mod)
		}
	}
	for mod := range reasons {
		if !direct[mod] {
			t.Errorf("DEVELOPERS.md gives a reason for %s, which go.mod does not require directly", mod)
		}
	}
}
