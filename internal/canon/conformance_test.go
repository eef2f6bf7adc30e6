package canon

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// narrower lists the files of the suite that JSON allows and a record does not,
// by the rule that refuses them.
var narrower = map[string]string{
	"y_number.json":                          "not a whole number",
	"y_number_0e+1.json":                     "not a whole number",
	"y_number_0e1.json":                      "not a whole number",
	"y_number_double_close_to_zero.json":     "not a whole number",
	"y_number_int_with_exp.json":             "not a whole number",
	"y_number_minus_zero.json":               "-0",
	"y_number_negative_zero.json":            "-0",
	"y_number_real_capital_e.json":           "not a whole number",
	"y_number_real_capital_e_neg_exp.json":   "not a whole number",
	"y_number_real_capital_e_pos_exp.json":   "not a whole number",
	"y_number_real_exponent.json":            "not a whole number",
	"y_number_real_fraction_exponent.json":   "not a whole number",
	"y_number_real_neg_exp.json":             "not a whole number",
	"y_number_real_pos_exponent.json":        "not a whole number",
	"y_number_simple_real.json":              "not a whole number",
	"y_object_extreme_numbers.json":          "not a whole number",
	"y_structure_lonely_negative_real.json":  "not a whole number",
	"y_object_duplicated_key.json":           "a name twice in one object",
	"y_object_duplicated_key_and_value.json": "a name twice in one object",
}

// suite returns the files of a conformance suite that match the pattern, by file
// name. Without the suite it says so and returns none; on a build machine that
// is a failure.
func suite(t *testing.T, pattern string) map[string][]byte {
	t.Helper()
	root := os.Getenv("BOLTBACK_CONFORMANCE")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "facts", "conformance")
	}
	paths, err := filepath.Glob(filepath.Join(root, filepath.FromSlash(pattern)))
	if err != nil {
		t.Fatal(err)
	}
	if len(paths) == 0 {
		if os.Getenv("CI") != "" {
			t.Fatalf("there is no %s; BOLTBACK_CONFORMANCE names the folder of the conformance suites", pattern)
		}
		t.Logf("the suite %s is not here, nothing was compared with it", pattern)
	}
	files := make(map[string][]byte, len(paths))
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(path)] = data
	}
	return files
}

func TestTheParsingSuiteIsAnsweredAsItAsks(t *testing.T) {
	files := suite(t, "json-parsing/test_parsing/*.json")
	for name, data := range files {
		doc, err := Parse(data, Limits{})
		if err != nil {
			checkExplained(t, name, data, err)
		} else {
			checkLaidOut(t, name, doc)
		}
		reason, known := narrower[name]
		switch {
		case strings.HasPrefix(name, "n_") && err == nil:
			t.Errorf("%s is not JSON and was accepted", name)
		case known && err == nil:
			t.Errorf("%s is listed as refused (%s) and was accepted", name, reason)
		case strings.HasPrefix(name, "y_") && !known && err != nil:
			t.Errorf("%s is JSON and was refused: %v", name, err)
		}
	}
	for name := range narrower {
		if _, there := files[name]; len(files) > 0 && !there {
			t.Errorf("%s is listed and not in the suite", name)
		}
	}
}

// checkExplained insists that a refusal has a place in the file and says more
// than that something is wrong.
func checkExplained(t testing.TB, name string, src []byte, err error) {
	t.Helper()
	var s *SyntaxError
	if !errors.As(err, &s) {
		t.Fatalf("%s: %T is not a *SyntaxError", name, err)
	}
	if s.Message == "" || s.Message == "this cannot be read" {
		t.Errorf("%s: %q at %d:%d explains nothing about %.60q", name, s.Message, s.Line, s.Column, src)
	}
	if !pointsInto(src, s.Line, s.Column) {
		t.Errorf("%s: %d:%d is not a place in the file", name, s.Line, s.Column)
	}
}

// pointsInto reports whether line and column name a character of src or the
// place behind its last.
func pointsInto(src []byte, line, column int) bool {
	lines := strings.Split(string(src), "\n")
	return line >= 1 && line <= len(lines) && column >= 1 && column <= len([]rune(lines[line-1]))+1
}

func TestTextsThatBreakProgramsPassThroughUnchanged(t *testing.T) {
	for _, data := range suite(t, "naughty-strings/blns.json") {
		var texts []string
		if err := json.Unmarshal(data, &texts); err != nil {
			t.Fatal(err)
		}
		for _, text := range texts {
			written, err := Marshal(map[string]string{text: text})
			if err != nil {
				t.Errorf("%q: %v", text, err)
				continue
			}
			doc := mustParse(t, string(written))
			if got := doc.Root.Get(text); got == nil || got.Text != text {
				t.Errorf("%q came back as %v", text, doc.Root.Any())
			}
			if doc.Find(JoinPointer(text)) == nil {
				t.Errorf("no pointer leads to %q", text)
			}
			checkLaidOut(t, text, doc)
		}
	}
}
