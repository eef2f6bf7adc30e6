package bag

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"boltback/internal/finding"
)

// suite gives the folder of the BagIt conformance suite.
func suite(t *testing.T) string {
	t.Helper()
	root := os.Getenv("BOLTBACK_CONFORMANCE")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "facts", "conformance")
	}
	root = filepath.Join(root, "bagit")
	if _, err := os.Stat(root); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("the BagIt suite is required here: BOLTBACK_CONFORMANCE names the folder of the suites:", err)
		}
		t.Skip("the BagIt suite is not here; this test passes without having looked at it")
	}
	return root
}

// expected is, for each case of the suite, the finding that decides its verdict; "" is a bag without errors and warnings.
// What counts on Windows alone is refused everywhere.
var expected = map[string]string{
	"v0.97/valid/ISO-8859-1-encoded-tag-files":                              "",
	"v0.97/valid/UTF-16-encoded-tag-files":                                  "",
	"v0.97/valid/bag-in-a-bag":                                              "",
	"v0.97/valid/bag-with-encoded-names":                                    "",
	"v0.97/valid/bag-with-escapable-characters":                             "",
	"v0.97/valid/bag-with-leading-dot-slash-in-manifest":                    "warning bag-notation",
	"v0.97/valid/bag-with-space":                                            "",
	"v0.97/valid/basic-bag":                                                 "",
	"v0.97/valid/duplicate-metadata-entries":                                "",
	"v0.97/valid/holey-bag":                                                 "warning bag-elsewhere",
	"v0.97/valid/minimal-bag":                                               "",
	"v0.97/valid/uncommon-metadata-separators":                              "",
	"v0.97/invalid/baginfo-missing-encoding":                                "error bag-declaration",
	"v0.97/invalid/bom-in-bagit.txt":                                        "error bag-declaration",
	"v0.97/invalid/corrupt-data-file":                                       "error bag-changed",
	"v0.97/invalid/corrupt-tag-file":                                        "error bag-changed",
	"v0.97/invalid/extra-file-in-bag":                                       "error bag-extra",
	"v0.97/invalid/invalid-version-number":                                  "error bag-declaration",
	"v0.97/invalid/missing-baginfo":                                         "error bag-missing",
	"v0.97/invalid/missing-bagit.txt":                                       "error bag-declaration",
	"v0.97/warning/duplicate-file-with-different-case":                      "warning bag-name-form",
	"v0.97/warning/made-with-md5sum-tools":                                  "warning bag-notation",
	"v0.97/warning/relative-path":                                           "warning bag-notation",
	"v0.97/warning/same-filename-listed-twice-with-the-same-hash":           "warning bag-repeated",
	"v0.97/warning/same-filename-listed-twice-with-different-normalization": "warning bag-name-form",
	"v0.97/invalid/out-of-scope-file-paths-using-dot-notation":              "error bag-path",
	"v0.97/invalid/out-of-scope-file-paths-using-dot-notation-for-fetch":    "error bag-path",
	"v0.97/invalid/same-filename-listed-twice-with-different-hashes":        "error bag-twice",
	// The bag was made with .DS_Store in it, and copies of the suite lose that file: then it is missing.
	"v0.97/warning/special-system-files":                                         "warning bag-system-file",
	"v0.97/linux-only/out-of-scope-file-paths-using-absolute-path":               "error bag-path",
	"v0.97/linux-only/out-of-scope-file-paths-using-shortcut":                    "error bag-path",
	"v0.97/linux-only/out-of-scope-file-paths-using-shortcut-username":           "error bag-path",
	"v0.97/linux-only/out-of-scope-file-paths-using-absolute-path-for-fetch":     "error bag-path",
	"v0.97/linux-only/out-of-scope-file-paths-using-shortcut-for-fetch":          "error bag-path",
	"v0.97/linux-only/out-of-scope-file-paths-using-shortcut-username-for-fetch": "error bag-path",
	"v0.97/windows-only/out-of-scope-file-paths-using-absolute-path":             "error bag-path",
	"v0.97/windows-only/out-of-scope-file-paths-using-shortcut":                  "error bag-path",
	"v0.97/windows-only/out-of-scope-file-paths-using-unc":                       "error bag-path",
	"v0.97/windows-only/out-of-scope-file-paths-using-absolute-path-for-fetch":   "error bag-path",
	"v0.97/windows-only/out-of-scope-file-paths-using-shortcut-for-fetch":        "error bag-path",
	"v0.97/windows-only/out-of-scope-file-paths-using-unc-for-fetch":             "error bag-path",
	"v1.0/valid/basicBag":                                           "",
	"v1.0/invalid/bagit-with-invalid-whitespace":                    "error bag-declaration",
	"v1.0/invalid/notAllManifestsListAllFiles":                      "error bag-extra",
	"v1.0/invalid/same-filename-listed-twice-with-different-hashes": "error bag-twice",
	"v1.0/invalid/same-filename-listed-twice-with-the-same-hash":    "error bag-twice",
}

func TestEveryCaseOfTheSuiteGetsItsVerdict(t *testing.T) {
	root := suite(t)
	dirs, err := filepath.Glob(filepath.Join(root, "v*", "*", "*"))
	if err != nil {
		t.Fatal(err)
	}
	met := 0
	for _, dir := range dirs {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			continue
		}
		name, _ := filepath.Rel(root, dir)
		name = filepath.ToSlash(name)
		want, known := expected[name]
		if !known {
			t.Errorf("%s: nothing is expected of this case", name)
		}
		met++
		t.Run(name, func(t *testing.T) { checkCase(t, name, dir, want) })
	}
	if met != len(expected) {
		t.Errorf("%d cases were met and %d are expected", met, len(expected))
	}
}

func checkCase(t *testing.T, name, dir, want string) {
	report, err := Check(context.Background(), Folder(os.DirFS(dir)))
	if err != nil {
		t.Fatal(err)
	}
	said := words(report)
	severity, _, _ := strings.Cut(want, " ")
	excused := strings.HasSuffix(name, "special-system-files") && slices.Contains(said, "error bag-missing")
	if report.Valid() != (severity != "error") && !excused {
		t.Errorf("valid is %v, and %q was expected: %v", report.Valid(), want, report.Findings)
	}
	if want != "" && !slices.Contains(said, want) {
		t.Errorf("%q was expected: %v", want, report.Findings)
	}
	if want == "" && len(said) > 0 {
		t.Errorf("nothing was expected: %v", report.Findings)
	}
}

// words gives severity and code of each finding that is more than a note.
func words(r *Report) []string {
	var said []string
	for _, f := range r.Findings {
		if f.Severity != finding.Note {
			said = append(said, f.Severity.String()+" "+f.Code)
		}
	}
	return said
}
