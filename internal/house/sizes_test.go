package house

import (
	"bytes"
	"errors"
	"go/ast"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const (
	longestFunction = 60  // lines, the signature and the closing brace included
	longestFile     = 400 // lines
)

// long lists what is allowed to be longer, as path or path:function, with the reason.
var long = map[string]string{}

func TestFunctionsAndFilesFitInTheHead(t *testing.T) {
	met := map[string]bool{}
	check := func(name string, lines, most int) {
		if lines <= most {
			return
		}
		if met[name] = true; long[name] == "" {
			t.Errorf("%s has %d lines, %d at most", name, lines, most)
		}
	}
	for _, f := range programFiles(t) {
		check(f.path, bytes.Count(f.source, []byte("\n")), longestFile)
		for _, decl := range f.syntax.Decls {
			if fn, ok := decl.(*ast.FuncDecl); ok {
				first, last := sources.fset.Position(fn.Pos()), sources.fset.Position(fn.End())
				check(f.path+":"+fn.Name.Name, last.Line-first.Line+1, longestFunction)
			}
		}
	}
	for name := range long {
		if !met[name] {
			t.Errorf("%s is listed as long and is not", name)
		}
	}
}

// TestThereIsEnoughTest counts the lines of tests, scripts and golden documents against the program's.
func TestThereIsEnoughTest(t *testing.T) {
	const least = 3 // every core package has at least one line of test for so many of program
	program, tests := map[string]int{}, testdataLines(t)
	testLines, programLines := 0, 0
	for _, lines := range tests {
		testLines += lines
	}
	for _, f := range goFiles(t) {
		lines := bytes.Count(f.source, []byte("\n"))
		if f.isTest() {
			tests[f.dir()] += lines
			testLines += lines
		} else {
			program[f.dir()] += lines
			programLines += lines
		}
	}
	if 2*testLines < programLines {
		t.Errorf("%d lines of test for %d of program: at least one for two is wanted", testLines, programLines)
	}
	rows := packageTable(t)
	for dir, lines := range program {
		if rows[dir].layer == core && tests[dir] < lines/least && lines > 60 {
			t.Errorf("%s has %d lines of program and %d of test", dir, lines, tests[dir])
		}
	}
}

// testdataLines counts the lines of scripts and golden texts by the package they test. What a fuzzer found does not count.
func testdataLines(t *testing.T) map[string]int {
	t.Helper()
	counts := map[string]int{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		dir, _, inside := strings.Cut(filepath.ToSlash(path), "/testdata/")
		if !inside || filepath.Ext(path) != ".txtar" && filepath.Ext(path) != ".txt" {
			return nil
		}
		text, err := os.ReadFile(path)
		rel, relErr := filepath.Rel(root, dir)
		counts[filepath.ToSlash(rel)] += bytes.Count(text, []byte("\n"))
		return errors.Join(err, relErr)
	})
	if err != nil {
		t.Fatal(err)
	}
	return counts
}
