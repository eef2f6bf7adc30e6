package house

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// The build runs the README's own commands: the block after the test marker is
// the test command, each block after a run marker is run in a fresh clone and
// ends with status 0 or the one stated.
var (
	anyMarker  = regexp.MustCompile(`<!-- (test command|run)\b`)
	testMarker = regexp.MustCompile(`^<!-- test command -->$`)
	runMarker  = regexp.MustCompile(`^<!-- run( exit [0-9]+)? -->$`)
)

func TestTheREADMEMarksTheCommandsThatTheBuildRuns(t *testing.T) {
	lines := strings.Split(document(t, "README.md"), "\n")
	tests, runs := 0, 0
	for i, line := range lines {
		switch {
		case testMarker.MatchString(line):
			tests++
		case runMarker.MatchString(line):
			runs++
		case anyMarker.MatchString(line):
			t.Errorf("README.md:%d: the build does not know the marker %s; it stands alone on its line", i+1, line)
			continue
		default:
			continue
		}
		if i+2 >= len(lines) || lines[i+1] != "```sh" || lines[i+2] == "```" {
			t.Errorf("README.md:%d: no block of commands follows the marker", i+1)
		}
	}
	if tests != 1 {
		t.Errorf("README.md marks %d test commands, it should be one", tests)
	}
	if runs == 0 {
		t.Error("README.md marks no commands to be run")
	}
}

func TestTheBuildScriptIsExecutable(t *testing.T) {
	info, err := os.Stat(filepath.Join(root, ".ci", "run"))
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode()&0o111 == 0 {
		t.Error(".ci/run is not executable")
	}
}

// TestTheBuildInstallsEveryToolThatTestsCall compares the programs that Go tests
// and scripts start with the list in .ci/run.
func TestTheBuildInstallsEveryToolThatTestsCall(t *testing.T) {
	build := document(t, ".ci/run")
	for tool, where := range toolsCalled(t) {
		if tool != "go" && !regexp.MustCompile(`(?m)^`+regexp.QuoteMeta(tool)+`\s+\S+$`).MatchString(build) {
			t.Errorf("%s calls %s, which .ci/run does not install", where, tool)
		}
	}
}

// scriptExec finds the programs that test scripts start.
var scriptExec = regexp.MustCompile(`(?m)^[!? ]*exec ([\w.-]+)`)

// toolsCalled maps each program started by name to a place where it is.
func toolsCalled(t *testing.T) map[string]string {
	tools := map[string]string{}
	for _, f := range goFiles(t) {
		ast.Inspect(f.syntax, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			at, starts := map[string]int{"Command": 0, "LookPath": 0, "CommandContext": 1}[nameOf(call.Fun)]
			if !starts || at >= len(call.Args) {
				return true
			}
			if lit, ok := call.Args[at].(*ast.BasicLit); ok && lit.Kind == token.STRING {
				tool, _ := strconv.Unquote(lit.Value)
				tools[tool] = f.at(call)
			}
			return true
		})
	}
	err := walk(func(name string) error {
		if !strings.Contains(name, "testdata/script/") {
			return nil
		}
		data, err := os.ReadFile(filepath.Join(root, name))
		for _, m := range scriptExec.FindAllSubmatch(data, -1) {
			if tool := string(m[1]); tool != module {
				tools[tool] = name
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return tools
}
