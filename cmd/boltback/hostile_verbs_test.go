package main

import (
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
)

// TestEveryVerbShowsAStrangersCarSafely writes a stranger's text behind each free text of a car of the sample and of the
// address book, so that records still fit together, commits that under a hostile name, and calls every verb that shows something.
func TestEveryVerbShowsAStrangersCarSafely(t *testing.T) {
	if raced {
		t.Skip("looked at without the race detector")
	}
	home := t.TempDir()
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME"} {
		t.Setenv(name, home)
	}
	t.Setenv("BOLTBACK_CACHE", filepath.Join(home, "cache"))
	t.Setenv("BOLTBACK_PERSON", "people/tallow-lane/ines-okafor")
	yard := filepath.Join(home, "yard")
	playSample(t, yard)
	car := filepath.Join(yard, "cars", "courser")
	if n := strangersTexts(t, car) + strangersTexts(t, filepath.Join(yard, "workshop")); n < 500 {
		t.Fatalf("only %d texts were written, so this shows little", n)
	}
	for _, repository := range []string{car, filepath.Join(yard, "workshop")} {
		commitAs(t, repository)
	}
	v := &strangersView{t: t, use: use{t: t, yard: yard, out: filepath.Join(home, "out")}}
	if err := os.MkdirAll(v.out, 0o755); err != nil {
		t.Fatal(err)
	}
	calls := slices.Concat(shownOfAYard, shownOfACar)
	for _, reader := range []string{"keeper", "buyer", "insurer", "inspector", "mechanic", "responder"} {
		for _, format := range []string{"text", "html"} {
			calls = append(calls, words("dossier|$CAR|--on|2026-11-01|--for|"+reader+"|--format|"+format+"|--out|$OUT-"+reader+"."+format))
		}
	}
	for _, w := range calls {
		if !strings.HasPrefix(string(w), "stamp|") { // a stamp is over digests and paths
			v.call(v.fill(w, "courser", "2024-06-03-bought"))
		}
	}
	if v.met < 20 {
		t.Errorf("only %d verbs showed the stranger's text, so this shows little", v.met)
	}
	v.written()
}

// strangersTexts writes a stranger's text behind every free text of the records in a folder, in one spelling everywhere.
func strangersTexts(t *testing.T, folder string) (n int) {
	t.Helper()
	free := freeTexts(t)
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (d.Name() == ".git" || d.Name() == "schema") {
			return skipped(err)
		}
		file, err := os.ReadFile(path)
		var whole map[string]any
		if d.IsDir() || filepath.Ext(path) != ".json" || json.Unmarshal(file, &whole) != nil {
			return nil
		}
		kind, _ := whole["kind"].(string)
		whole, _ = lengthened(whole, kind+" ", free, &n).(map[string]any)
		if err == nil {
			err = os.WriteFile(path, laidOutJSON(t, whole), 0o644)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func skipped(err error) error {
	if err != nil {
		return err
	}
	return fs.SkipDir
}

// lengthened gives a value with the stranger's text behind each free text in it.
func lengthened(v any, at string, free map[string]int, n *int) any {
	switch v := v.(type) {
	case map[string]any:
		for name := range v {
			v[name] = lengthened(v[name], at+"/"+name, free, n)
		}
	case []any:
		for i := range v {
			v[i] = lengthened(v[i], at+"/0", free, n)
		}
	case string:
		if longest, ok := free[at]; ok && len(v)+len(curt) <= longest {
			*n++
			if len(v)+len(strangers) > longest {
				return v + curt
			}
			return v + strangers
		}
	}
	return v
}

// freeTexts gives the texts that the table on file says are shown as they are, with how long they may be.
func freeTexts(t *testing.T) map[string]int {
	t.Helper()
	table, err := os.ReadFile(filepath.Join("testdata", "hostile_fields.txt"))
	if err != nil {
		t.Fatal(err)
	}
	longest, free := map[string]int{}, map[string]int{}
	for _, kind := range record.Kinds() {
		_, fields := textFields(t, kind)
		for _, f := range fields {
			longest[f.String()] = f.longest
		}
	}
	for line := range strings.Lines(string(table)) {
		if field, shown := strings.CutPrefix(strings.TrimSuffix(line, "\n"), "shown    "); shown {
			free[field] = longest[field]
		}
	}
	return free
}

// commitAs commits everything with stock git, as somebody whose name and message a terminal would obey.
func commitAs(t *testing.T, repository string) {
	t.Helper()
	clean := strings.NewReplacer("\x00", "", "\n", " ", "<", "", ">", "").Replace(strangers)
	stockGit(t, repository, "add", "-A")
	stockGit(t, repository, "-c", "user.name=M"+clean, "-c", "user.email=m@x.invalid", "-c", "core.hooksPath=/dev/null", "commit", "-q", "--no-gpg-sign", "-m", "hello "+clean)
}

// strangersView is what somebody sees of a stranger's car.
type strangersView struct {
	use
	t   *testing.T
	met int
}

// call runs a verb and looks at what a terminal and another program get.
func (v *strangersView) call(args []string) {
	v.t.Helper()
	cmd := v.command(args)
	out, _ := cmd.CombinedOutput()
	about := strings.Join(args, " ")
	if status := cmd.ProcessState.ExitCode(); status > 2 || status < 0 {
		v.t.Errorf("%s: status %d: %s", about, status, out)
	}
	if strings.Contains(string(out), "alert(1)") {
		v.met++
	}
	safe(v.t, about, string(out))
	if slices.Contains(args, "--json") && !json.Valid(out) {
		v.t.Errorf("%s is no JSON: %.300s", about, out)
	}
}

// ofReader takes out what the reader of paper puts in by itself: ends of pages, and marks around what goes from right to left; and the
// places at which the program lets a long word be broken.
var ofReader = strings.NewReplacer("\f", "\n", "\u202a", "", "\u202b", "", "\u202c", "", "\u200b", "", "\ufeff", "")

// written looks at the files that verbs wrote, those in bags too.
func (v *strangersView) written() {
	seen := map[string]int{}
	err := filepath.WalkDir(v.out, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.Contains(filepath.ToSlash(path), "/data/car/") {
			return err // in a bag the records lie as they are
		}
		file, err := os.ReadFile(path)
		seen[filepath.Ext(path)]++
		switch filepath.Ext(path) {
		case ".html":
			harmlessPage(v.t, path, string(file))
		case ".csv": // what is not seen stays, so that a table is read back to the character
			safe(v.t, path, strings.NewReplacer("\r\n", "\n", "\u200b", "", "\ufeff", "").Replace(string(file)))
		case ".txt", ".text", ".md", ".jsonl", ".json":
			safe(v.t, path, string(file))
		case ".pdf":
			paper, failed := exec.Command("pdftotext", path, "-").Output()
			if failed != nil {
				v.t.Errorf("%s: %v", path, failed)
			}
			safe(v.t, path, ofReader.Replace(string(paper)))
		}
		return err
	})
	if err != nil {
		v.t.Fatal(err)
	}
	for _, ending := range []string{".html", ".txt", ".text", ".csv", ".jsonl", ".pdf"} {
		if seen[ending] == 0 {
			v.t.Errorf("no file %s was looked at", ending)
		}
	}
}
