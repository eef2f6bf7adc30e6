package house

import (
	"go/ast"
	"go/format"
	"strings"
	"testing"
)

func TestEveryPackageOpensWithAComment(t *testing.T) {
	documented := map[string]bool{}
	for _, f := range programFiles(t) {
		opening := "Package " + f.syntax.Name.Name + " "
		if f.syntax.Name.Name == "main" {
			opening = "Command "
		}
		if strings.HasPrefix(f.syntax.Doc.Text(), opening) {
			documented[f.dir()] = true
		} else if f.syntax.Doc != nil {
			t.Errorf("%s: the package comment begins with %q", f.path, opening)
		}
	}
	for _, f := range programFiles(t) {
		if !documented[f.dir()] {
			t.Errorf("%s has no package comment", f.dir())
			documented[f.dir()] = true
		}
	}
}

func TestEveryExportedNameIsDocumented(t *testing.T) {
	for _, f := range programFiles(t) {
		for _, decl := range f.syntax.Decls {
			switch d := decl.(type) {
			case *ast.FuncDecl:
				if d.Name.IsExported() && receiverExported(d) && d.Doc.Text() == "" {
					t.Errorf("%s: %s has no comment", f.at(d), d.Name.Name)
				}
			case *ast.GenDecl:
				for _, spec := range d.Specs {
					checkSpec(t, f, d, spec)
				}
			}
		}
	}
}

// receiverExported reports whether a function is no method, or a method of an exported type.
func receiverExported(fn *ast.FuncDecl) bool {
	if fn.Recv == nil {
		return true
	}
	kind := fn.Recv.List[0].Type
	for {
		switch k := kind.(type) {
		case *ast.StarExpr:
			kind = k.X
		case *ast.IndexExpr:
			kind = k.X
		case *ast.IndexListExpr:
			kind = k.X
		case *ast.Ident:
			return k.IsExported()
		default:
			return true
		}
	}
}

// checkSpec wants a comment on each exported type, and on each exported constant
// or variable or else on the group that it stands in.
func checkSpec(t *testing.T, f goFile, group *ast.GenDecl, spec ast.Spec) {
	t.Helper()
	switch s := spec.(type) {
	case *ast.TypeSpec:
		if s.Name.IsExported() && s.Doc.Text() == "" && (group.Lparen.IsValid() || group.Doc.Text() == "") {
			t.Errorf("%s: %s has no comment", f.at(s), s.Name.Name)
		}
	case *ast.ValueSpec:
		for _, name := range s.Names {
			if name.IsExported() && s.Doc.Text() == "" && s.Comment.Text() == "" && group.Doc.Text() == "" {
				t.Errorf("%s: %s has no comment", f.at(s), name.Name)
			}
		}
	}
}

func TestEveryFileIsFormatted(t *testing.T) {
	for _, f := range goFiles(t) {
		formatted, err := format.Source(f.source)
		if err != nil {
			t.Errorf("%s: %v", f.path, err)
		} else if string(formatted) != string(f.source) {
			t.Errorf("%s is not as gofmt writes it", f.path)
		}
	}
}
