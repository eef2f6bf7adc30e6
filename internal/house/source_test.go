package house

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// root is the top of the checkout, seen from this package.
var root = filepath.Join("..", "..")

const module = "boltback"

// goFile is one parsed source file of the module.
type goFile struct {
	path   string // from the root, slash-separated
	source []byte
	syntax *ast.File
}

func (f goFile) isTest() bool { return strings.HasSuffix(f.path, "_test.go") }

// dir is the package's path without the module's name: "internal/canon".
func (f goFile) dir() string { return path.Dir(f.path) }

// imports lists the import paths of the file.
func (f goFile) imports() []string {
	var list []string
	for _, spec := range f.syntax.Imports {
		p, err := strconv.Unquote(spec.Path.Value)
		if err == nil {
			list = append(list, p)
		}
	}
	return list
}

// at places a node as file:line.
func (f goFile) at(n ast.Node) string {
	return fmt.Sprintf("%s:%d", f.path, sources.fset.Position(n.Pos()).Line)
}

// sources is the module, read once for all tests.
var sources struct {
	once  sync.Once
	fset  *token.FileSet
	files []goFile
	err   error
}

// goFiles returns every Go file of the module, sorted by path.
func goFiles(t *testing.T) []goFile {
	t.Helper()
	sources.once.Do(func() {
		sources.fset = token.NewFileSet()
		sources.err = walk(func(name string) error {
			if !strings.HasSuffix(name, ".go") {
				return nil
			}
			source, err := os.ReadFile(filepath.Join(root, name))
			if err != nil {
				return err
			}
			syntax, err := parser.ParseFile(sources.fset, name, source, parser.ParseComments|parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			sources.files = append(sources.files, goFile{name, source, syntax})
			return nil
		})
	})
	if sources.err != nil {
		t.Fatal(sources.err)
	}
	return sources.files
}

// programFiles returns the files that are compiled into the program.
func programFiles(t *testing.T) []goFile {
	t.Helper()
	return slices.DeleteFunc(slices.Clone(goFiles(t)), goFile.isTest)
}

// generated are folders that tests or users make inside a checkout and that Git ignores.
var generated = []string{".git", "demo-yard", "testdata/rapid", "testdata/fuzz"}

// walk visits every file of the checkout by its slash-separated path.
func walk(visit func(name string) error) error {
	return fs.WalkDir(os.DirFS(root), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			for _, g := range generated {
				if name == g || strings.HasSuffix(name, "/"+g) {
					return fs.SkipDir
				}
			}
			return nil
		}
		if !d.Type().IsRegular() {
			return nil
		}
		return visit(name)
	})
}

// document reads a text of the repository that tests hold against the code.
func document(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, name))
	if err != nil {
		t.Fatalf("%s is part of the project and cannot be read: %v", name, err)
	}
	return string(data)
}

// tableRows returns the cells of the Markdown table whose header is the given
// cells, without the header and its rule.
func tableRows(t *testing.T, text string, header ...string) [][]string {
	t.Helper()
	var rows [][]string
	inside := false
	for _, line := range strings.Split(text, "\n") {
		cells := cellsOf(line)
		switch {
		case cells == nil:
			inside = false
		case slices.EqualFunc(cells, header, strings.EqualFold):
			inside = true
		case inside && strings.Trim(cells[0], "-: ") != "":
			rows = append(rows, cells)
		}
	}
	if len(rows) == 0 {
		t.Fatalf("there is no table with the columns %s", strings.Join(header, " | "))
	}
	return rows
}

// cellsOf splits a table line; nil when it is none.
func cellsOf(line string) []string {
	line = strings.TrimSpace(line)
	if !strings.HasPrefix(line, "|") || !strings.HasSuffix(line, "|") || len(line) < 2 {
		return nil
	}
	cells := strings.Split(line[1:len(line)-1], "|")
	for i := range cells {
		cells[i] = strings.TrimSpace(cells[i])
	}
	return cells
}

// backticked returns the code spans of a table cell.
func backticked(cell string) []string {
	var spans []string
	for i, part := range strings.Split(cell, "`") {
		if i%2 == 1 {
			spans = append(spans, part)
		}
	}
	return spans
}
