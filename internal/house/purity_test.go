package house

import (
	"go/ast"
	"slices"
	"strings"
	"testing"
)

// impure are the packages through which a program reaches files, processes, the
// network or chance. The core receives what it needs of them as values.
var impure = []string{
	"os", "os/exec", "os/signal", "os/user", "syscall", "net", "net/http", "net/rpc", "net/smtp",
	"math/rand", "math/rand/v2", "crypto/rand", "path/filepath", "log", "log/slog", "flag", "io/ioutil", "plugin", "unsafe",
}

// impureUses are functions and variables of otherwise pure packages that ask
// the clock, the machine or the terminal.
var impureUses = map[string][]string{
	"time": {"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Local", "LoadLocation"},
	"fmt":  {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
}

func TestTheCoreIsPure(t *testing.T) {
	rows := packageTable(t)
	for _, f := range programFiles(t) {
		if rows[f.dir()].layer != core {
			continue
		}
		for _, p := range f.imports() {
			if slices.Contains(impure, p) || strings.HasPrefix(p, "golang.org/x/sys") || strings.HasPrefix(p, "golang.org/x/term") {
				t.Errorf("%s imports %s: the core has no files, processes, network, clock or chance", f.path, p)
			}
		}
		names := importNames(f)
		ast.Inspect(f.syntax, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if x, ok := sel.X.(*ast.Ident); ok && slices.Contains(impureUses[names[x.Name]], sel.Sel.Name) {
				t.Errorf("%s uses %s.%s: let the caller pass it in", f.at(sel), x.Name, sel.Sel.Name)
			}
			return true
		})
	}
}

// importNames maps the names under which a file knows its imports to their
// paths, for imports whose last element is their name.
func importNames(f goFile) map[string]string {
	byName := map[string]string{}
	for i, p := range f.imports() {
		name := p[strings.LastIndexByte(p, '/')+1:]
		if as := f.syntax.Imports[i].Name; as != nil {
			name = as.Name
		}
		byName[name] = p
	}
	return byName
}

func TestNothingRegistersItselfAtStart(t *testing.T) {
	for _, f := range programFiles(t) {
		for _, decl := range f.syntax.Decls {
			if fn, ok := decl.(*ast.FuncDecl); ok && fn.Recv == nil && fn.Name.Name == "init" {
				t.Errorf("%s: init runs before main can report anything; keep an explicit list", f.at(fn))
			}
		}
	}
}
