package house

import (
	"bytes"
	"go/ast"
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

func TestThereIsAsMuchTestAsProgram(t *testing.T) {
	const least = 2 // every core package has at least one line of test for so many of program
	program, tests := map[string]int{}, map[string]int{}
	sum := 0
	for _, f := range goFiles(t) {
		lines := bytes.Count(f.source, []byte("\n"))
		if f.isTest() {
			tests[f.dir()] += lines
			sum += lines
		} else {
			program[f.dir()] += lines
			sum -= lines
		}
	}
	if sum < 0 {
		t.Errorf("the program is %d lines longer than its tests", -sum)
	}
	rows := packageTable(t)
	for dir, lines := range program {
		if rows[dir].layer == core && tests[dir] < lines/least && lines > 60 {
			t.Errorf("%s has %d lines of program and %d of test", dir, lines, tests[dir])
		}
	}
}
