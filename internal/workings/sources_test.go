package workings

import (
	"go/ast"
	"go/parser"
	position "go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// ofOthers are the bases of a rule or table that somebody else wrote.
var ofOthers = []string{"Read", "SecondHand", "Recalled"}

func TestARuleOfOthersStandsInTheTableOfSourcesAlone(t *testing.T) {
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	inTable := 0
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") || name == "working.go" { // which declares the bases
			continue
		}
		files := position.NewFileSet()
		file, err := parser.ParseFile(files, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if _, of := n.(*ast.SelectorExpr); of {
				return false // a name of another package
			}
			ident, ok := n.(*ast.Ident)
			if !ok || !slices.Contains(ofOthers, ident.Name) {
				return true
			}
			if name == "sources.go" {
				inTable++
			} else {
				t.Errorf("%s names a basis: the source belongs into sources.go", files.Position(ident.Pos()))
			}
			return true
		})
	}
	if list := Sources(); len(list) != inTable {
		t.Errorf("sources.go holds %d sources and lists %d", inTable, len(list))
	}
}

func TestEverySourceSaysWhatIsTakenFromItAndStandsOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Sources() {
		if len(s.Text) < 10 || seen[s.Text] {
			t.Errorf("%q", s.Text)
		}
		seen[s.Text] = true
		if s.Basis == SecondHand && strings.Contains(s.Text, "from memory") {
			t.Errorf("%s is not second-hand", s)
		}
	}
}

func TestThePageForDevelopersNamesAllThatIsOnlyRecalled(t *testing.T) {
	page, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, list, found := strings.Cut(string(page), "## What is only recalled")
	if !found {
		t.Fatal("the page has no such chapter")
	}
	list, _, _ = strings.Cut(list, "\n## ")
	named := strings.Count(list, "\n- ")
	for _, s := range Sources() {
		if s.Basis != Recalled {
			continue
		}
		named--
		if !strings.Contains(list, "\n- "+s.Text) {
			t.Errorf("%q is not named", s.Text)
		}
	}
	if named != 0 {
		t.Errorf("%d lines name what is not, or no longer, recalled", named)
	}
}
