package house

import (
	"go/ast"
	"go/token"
	"regexp"
	"slices"
	"strconv"
	"testing"
)

// TestEveryCodeStandsInTheRuleBook finds the codes that the program gives to
// findings and holds them against the rule book, in both directions.
func TestEveryCodeStandsInTheRuleBook(t *testing.T) {
	documented := ruleBook(t)
	used, literals := map[string]bool{}, map[string]bool{}
	takers := codeTakers(t)
	for _, f := range programFiles(t) {
		if f.path == ruleBookPath {
			continue
		}
		collectLiterals(f, literals)
		if !slices.Contains(f.imports(), module+"/internal/finding") {
			continue
		}
		for _, lit := range codeLiterals(f, takers) {
			code, err := strconv.Unquote(lit.Value)
			if used[code] = true; err != nil || !documented[code] {
				t.Errorf("%s: the code %s does not stand in the rule book", f.at(lit), lit.Value)
			}
		}
	}
	if len(used) == 0 {
		t.Error("no code was found in the program, so nothing was compared")
	}
	for code := range documented {
		if !literals[code] {
			t.Errorf("the rule book has %q, which nothing reports", code)
		}
	}
}

// ruleBookPath is the file with the list Codes: name, severity, meaning, remedy.
const ruleBookPath = "internal/validate/codes.go"

// ruleBook reads the names from the list, and insists that each entry says what
// the code means and what to do.
func ruleBook(t *testing.T) map[string]bool {
	t.Helper()
	documented := map[string]bool{}
	for _, f := range programFiles(t) {
		if f.path != ruleBookPath {
			continue
		}
		ast.Inspect(f.syntax, func(n ast.Node) bool {
			entry, ok := n.(*ast.CompositeLit)
			if !ok || entry.Type != nil {
				return true
			}
			var said []string
			for _, e := range entry.Elts {
				if lit, ok := e.(*ast.BasicLit); ok && lit.Kind == token.STRING && len(lit.Value) > 2 {
					said = append(said, lit.Value[1:len(lit.Value)-1])
				}
			}
			if len(said) != 3 || !kebab.MatchString(said[0]) {
				t.Errorf("%s: the entry %q lacks a kebab-case name, a meaning or a remedy", f.at(entry), said)
			} else if documented[said[0]] {
				t.Errorf("%s: %s stands twice in the rule book", f.at(entry), said[0])
			} else {
				documented[said[0]] = true
			}
			return false
		})
	}
	if len(documented) == 0 {
		t.Fatalf("%s lists no codes", ruleBookPath)
	}
	return documented
}

var kebab = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// codeTakers maps "package.function" to the position of its parameter named
// code, for functions and methods that pass a code on.
func codeTakers(t *testing.T) map[string]int {
	takers := map[string]int{}
	for _, f := range programFiles(t) {
		for _, decl := range f.syntax.Decls {
			fn, ok := decl.(*ast.FuncDecl)
			if !ok {
				continue
			}
			at := 0
			for _, field := range fn.Type.Params.List {
				for _, name := range field.Names {
					if kind, ok := field.Type.(*ast.Ident); ok && name.Name == "code" && kind.Name == "string" {
						takers[f.dir()+"."+fn.Name.Name] = at
					}
					at++
				}
			}
		}
	}
	return takers
}

// codeLiterals returns the texts that a file uses as codes: given to a field
// Code or a variable code, or passed to a parameter code.
func codeLiterals(f goFile, takers map[string]int) []*ast.BasicLit {
	var found []*ast.BasicLit
	take := func(e ast.Expr) {
		if lit, ok := e.(*ast.BasicLit); ok && lit.Kind == token.STRING && lit.Value != `""` {
			found = append(found, lit)
		}
	}
	ast.Inspect(f.syntax, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.KeyValueExpr:
			if key, ok := n.Key.(*ast.Ident); ok && key.Name == "Code" {
				take(n.Value)
			}
		case *ast.AssignStmt:
			for i, left := range n.Lhs {
				if name := nameOf(left); (name == "code" || name == "Code") && len(n.Lhs) == len(n.Rhs) {
					take(n.Rhs[i])
				}
			}
		case *ast.CallExpr:
			if at, ok := takers[f.dir()+"."+nameOf(n.Fun)]; ok && at < len(n.Args) {
				take(n.Args[at])
			}
		}
		return true
	})
	return found
}

// nameOf is the name of an identifier, or the last one of a selector.
func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}

// collectLiterals gathers every string literal of a file.
func collectLiterals(f goFile, into map[string]bool) {
	ast.Inspect(f.syntax, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if s, err := strconv.Unquote(lit.Value); err == nil {
				into[s] = true
			}
		}
		return true
	})
}
