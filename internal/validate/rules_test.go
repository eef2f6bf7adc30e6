package validate

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/tools/txtar"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
)

var update = flag.Bool("update", false, "write the findings that the rule cases give into them")

// shared keeps the compiled schemas between cases.
var shared = New()

// theDay is today in every rule case.
var theDay = edtf.NewDay(2026, 3, 1)

// sound reads the car with nothing wrong.
func sound(t testing.TB) fstest.MapFS {
	t.Helper()
	a, err := txtar.ParseFile("testdata/sound.txtar")
	if err != nil {
		t.Fatal(err)
	}
	return lay(t, fstest.MapFS{}, a.Files)
}

// lay puts the files of an archive over a car. An empty file takes the one below it away; a file whose name ends in
// ".was" holds two texts parted by a line of dashes, and changes the first into the second.
func lay(t testing.TB, car fstest.MapFS, files []txtar.File) fstest.MapFS {
	t.Helper()
	for _, f := range files {
		switch name, edit := strings.CutSuffix(f.Name, ".was"); {
		case edit:
			old, now, _ := strings.Cut(string(f.Data), "\n----\n")
			text := string(car[name].Data)
			if strings.Count(text, old) != 1 {
				t.Fatalf("%s holds %q %d times", name, old, strings.Count(text, old))
			}
			car[name] = &fstest.MapFile{Data: []byte(strings.Replace(text, old, strings.TrimSuffix(now, "\n"), 1))}
		case len(f.Data) == 0:
			delete(car, f.Name)
		default:
			car[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	return car
}

func check(t testing.TB, car fstest.MapFS) []finding.Finding {
	t.Helper()
	s, err := ledger.Load(car)
	if err != nil {
		t.Fatal(err)
	}
	found, err := shared.Check(s, Options{On: theDay})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func TestTheSoundCarHasNoFinding(t *testing.T) {
	for _, f := range check(t, sound(t)) {
		t.Error(f)
	}
}

// TestRules runs the rule book: each case is one change to the sound car, and the findings it must give, no more and no
// fewer.
func TestRules(t *testing.T) {
	cases, err := filepath.Glob("testdata/rules/*.txtar")
	if err != nil || len(cases) == 0 {
		t.Fatalf("no rule cases: %v", err)
	}
	for _, name := range cases {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasSuffix(strings.TrimSpace(string(a.Comment)), ".") {
				t.Error("the case does not say its rule in a sentence")
			}
			want, files := split(a.Files)
			got := print(check(t, lay(t, sound(t), files)))
			if *update {
				a.Files = append(files, txtar.File{Name: "want", Data: []byte(got)})
				if err := os.WriteFile(name, txtar.Format(a), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if got != want {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
}

func split(files []txtar.File) (want string, rest []txtar.File) {
	for _, f := range files {
		if f.Name == "want" {
			want = string(f.Data)
		} else {
			rest = append(rest, f)
		}
	}
	return want, rest
}

func print(found []finding.Finding) string {
	var b strings.Builder
	for _, f := range found {
		fmt.Fprintf(&b, "%s %s\n", f.Severity, f)
		if f.Hint != "" {
			fmt.Fprintf(&b, "  %s\n", finding.Printable(f.Hint))
		}
	}
	return b.String()
}

// TestEveryCodeHasACase holds the table of codes and the rule cases together in both directions.
func TestEveryCodeHasACase(t *testing.T) {
	var all strings.Builder
	cases, _ := filepath.Glob("testdata/*/*.txtar")
	for _, name := range cases {
		a, err := txtar.ParseFile(name)
		if err != nil {
			t.Fatal(err)
		}
		want, _ := split(a.Files)
		all.WriteString(want)
	}
	seen := map[string]bool{}
	for _, c := range Codes {
		if seen[c.Name] {
			t.Errorf("%s stands twice in the table", c.Name)
		}
		seen[c.Name] = true
		if c.Meaning == "" || c.Remedy == "" {
			t.Errorf("%s has no meaning or remedy", c.Name)
		}
		inBag := strings.HasPrefix(c.Name, "bag-") // shown by the tests of package bag
		if !strings.Contains(all.String(), "["+c.Name+"]") && elsewhere[c.Name] == "" && !inBag {
			t.Errorf("%s has no rule case", c.Name)
		}
	}
}

// elsewhere are the codes that a file system in memory cannot show, and where they are tested.
var elsewhere = map[string]string{
	"unreadable": "TestWhatAFileSystemCanDo", "too-large": "TestWhatAFileSystemCanDo", "link": "TestWhatAFileSystemCanDo",
	"submodule": "TestWhatAFileSystemCanDo", "not-a-file": "TestWhatAFileSystemCanDo", "too-deep": "TestWhatAFileSystemCanDo",
	"name-form": "TestWhatAFileSystemCanDo", "name-collision": "TestWhatAFileSystemCanDo", "original-not-here": "TestOriginals", "preview-speaks": "TestADeepCheckFindsAPreviewThatSaysWhatACameraWrote",
	"repository": "cmd/boltback",
	"expression": "requirement", "item-twice": "requirement", "source-unknown": "requirement", "rule-not-stated": "requirement",
	"set-unknown": "requirement", "set-ring": "requirement", "set-depth": "requirement", "override-unused": "requirement",
	"disclosure-damaged": "TestDisclosuresAreHeldAgainstTheirPlaces", "disclosure-nowhere": "TestDisclosuresAreHeldAgainstTheirPlaces",
	"private-shown": "TestAShownPrivateValueIsNamedAtItsLineAndColumnAndNeverRepeated",
	"entry-changed": "TestAnEntryIsHeldAgainstItsFirstCommit", "merge-open": "TestAFileThatGitLeftToBeChosenIsNamedWithBothItsVersions",
	"handed-over":      "TestWorkAfterTheRecordsWereHandedOverIsAFinding",
	"order-impossible": "check_order.txtar", "order-not-stated": "check_order.txtar",
}

func TestC74_ASettingsFileWithoutUnitFirmwareVersionAndFingerprintCanRestoreNothing(t *testing.T) {
	whole := map[string]string{"unit": `"unit": "parts/a"`, "firmware": `"firmware": "5.0"`, "version": `"version": "1"`, "fingerprint": `"file": {"digest": "` + strings.Repeat("a1", 32) + `"}`}
	for _, without := range []string{"", "unit", "firmware", "version", "fingerprint"} {
		members := []string{`"kind": "setting"`}
		for _, name := range []string{"unit", "firmware", "version", "fingerprint"} {
			if name != without {
				members = append(members, whole[name])
			}
		}
		car := sound(t)
		car["parts/a.json"] = &fstest.MapFile{Data: []byte("{\n  \"kind\": \"part\"\n}\n")}
		car["settings/motor.json"] = &fstest.MapFile{Data: []byte("{" + strings.Join(members, ", ") + "}")}
		s, err := ledger.Load(car)
		if err != nil {
			t.Fatal(err)
		}
		found, err := shared.Check(s, Options{On: theDay})
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(found, func(f finding.Finding) bool { return f.Code == "setting-apart" })
		if (i >= 0) != (without != "") || i >= 0 && !strings.Contains(found[i].Message, "does not say its "+without) {
			t.Errorf("without %q: %v", without, found)
		}
	}
}
