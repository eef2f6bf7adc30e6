package cache

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/validate"
)

var (
	today  = edtf.NewDay(2026, 3, 1)
	shared = validate.New()
)

// bench is a car on a real disk with a cache beside it, a clock of its own, and a count of the files opened.
type bench struct {
	t      rapid.TB
	car    string
	folder Folder
	opened []string
}

func newBench(t rapid.TB, dir string) *bench {
	b := &bench{t: t, car: filepath.Join(dir, "car")}
	b.folder = Folder{Path: filepath.Join(dir, "cache"), Edition: "test", Now: func() time.Time { return time.Now().Add(time.Minute) }}
	b.put("ledger.json", `"kind": "ledger"`, `"edition": "1"`, `"workshop": "quayside"`, `"started": "2026-01-05"`)
	b.put("parts/tank.json", `"kind": "part"`, `"name": "Tank"`, `"tag": "0001"`)
	b.put("parts/pump.json", `"kind": "part"`, `"name": "Pump"`, `"tag": "0002"`, `"same-as": "parts/tank"`)
	b.put("joints/strap.json", `"kind": "joint"`, "\"clamps\": [\n    \"parts/tank\"\n  ]")
	b.write(".gitattributes", validate.GitAttributes)
	return b
}

func (b *bench) put(path string, lines ...string) {
	b.t.Helper()
	b.write(path, "{\n  "+strings.Join(lines, ",\n  ")+"\n}\n")
}

func (b *bench) write(path, text string) {
	b.t.Helper()
	at := filepath.Join(b.car, filepath.FromSlash(path))
	b.must(os.MkdirAll(filepath.Dir(at), 0o755))
	b.must(os.WriteFile(at, []byte(text), 0o644))
}

func (b *bench) must(err error) {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
}

// watched notes which files are opened.
type watched struct {
	fs.FS
	b *bench
}

func (w watched) Open(name string) (fs.File, error) {
	f, err := w.FS.Open(name)
	if err == nil {
		if info, err := f.Stat(); err == nil && !info.IsDir() {
			w.b.opened = append(w.b.opened, name)
		}
	}
	return f, err
}

// check checks from the cache, and holds the answer against a check without one.
func (b *bench) check() []finding.Finding {
	b.t.Helper()
	b.opened = nil
	m, err := b.folder.Recall(b.car, "", watched{os.DirFS(b.car), b})
	b.must(err)
	state, err := shared.Again(m.Before(), m.Look(), validate.Options{On: today})
	b.must(err)
	b.must(m.Keep(state))
	b.must(m.Close())
	slices.Sort(b.opened)
	s, err := ledger.Load(os.DirFS(b.car))
	b.must(err)
	want, err := shared.Check(s, validate.Options{On: today})
	b.must(err)
	if got := state.Findings(); !slices.Equal(got, want) {
		b.t.Fatalf("from the cache\n%v\nwithout it\n%v", got, want)
	}
	if got, want := state.Summary("heron"), validate.Summarize("heron", s); !reflect.DeepEqual(got, want) {
		b.t.Fatalf("the summary from the cache\n%+v\nwithout it\n%+v", got, want)
	}
	return want
}

// opens checks, and says which files that may open.
func (b *bench) opens(want ...string) {
	b.t.Helper()
	b.check()
	if !slices.Equal(b.opened, want) {
		b.t.Errorf("%q were opened, want %q", b.opened, want)
	}
}

// table gives the path of the car's table.
func (b *bench) table() string {
	b.t.Helper()
	list, err := filepath.Glob(filepath.Join(b.folder.Path, "*"))
	b.must(err)
	list = slices.DeleteFunc(list, func(p string) bool { return strings.HasSuffix(p, ".texts") })
	if len(list) != 1 {
		b.t.Fatalf("the cache holds the tables %q", list)
	}
	return list[0]
}

var all = []string{".gitattributes", "joints/strap.json", "ledger.json", "parts/pump.json", "parts/tank.json"}

func TestWhatIsKnownIsNotOpened(t *testing.T) {
	b := newBench(t, t.TempDir())
	b.opens(all...)
	b.opens()
	b.put("parts/pump.json", `"kind": "part"`, `"tag": "0001"`)
	b.opens("parts/pump.json")
	if found := b.check(); len(found) != 1 || found[0].Code != "tag-twice" {
		t.Errorf("found %v", found)
	}
	b.must(os.Remove(filepath.Join(b.car, "parts/tank.json")))
	b.opens()
	b.must(os.Rename(filepath.Join(b.car, "joints/strap.json"), filepath.Join(b.car, "joints/band.json")))
	b.opens("joints/band.json")
	b.write("inbox/2026-03-01-note.json", "{}\n")
	b.opens()
}

func TestAFileWrittenAnewWithTheSameBytesIsReadOnceMore(t *testing.T) {
	b := newBench(t, t.TempDir())
	b.check()
	text, err := os.ReadFile(filepath.Join(b.car, "parts/tank.json"))
	b.must(err)
	b.write("parts/tank.json", string(text))
	b.opens("parts/tank.json")
	b.opens()
}

// TestAFileThatChangedJustBeforeItWasReadIsReadAgain is the rule about times: where a second change could look the same as
// the first, the look of a file says nothing.
func TestAFileThatChangedJustBeforeItWasReadIsReadAgain(t *testing.T) {
	b := newBench(t, t.TempDir())
	b.folder.Now = time.Now // every file is younger than two seconds
	b.check()
	b.opens(all...)
	b.folder.Now = func() time.Time { return time.Now().Add(slack + time.Second) }
	b.opens(all...)
	b.opens()
}

func TestAnEditThatKeepsSizeAndTimeIsSeen(t *testing.T) {
	b := newBench(t, t.TempDir())
	at := filepath.Join(b.car, "parts/pump.json")
	old := time.Date(2026, 1, 2, 3, 4, 5, 0, time.UTC)
	b.must(os.Chtimes(at, old, old))
	b.check()
	b.put("parts/pump.json", `"kind": "part"`, `"name": "Pump"`, `"tag": "0002"`, `"same-as": "parts/tink"`)
	b.must(os.Chtimes(at, old, old))
	if found := b.check(); len(found) != 1 || found[0].Code != "unknown-reference" {
		t.Errorf("found %v", found)
	}
}

func TestACacheThatCannotBeBelievedIsWrittenAnew(t *testing.T) {
	for _, tc := range []struct {
		name string
		do   func(b *bench)
		want []string
	}{
		{"it is gone", func(b *bench) { b.must(os.RemoveAll(b.folder.Path)) }, all},
		{"the table is empty", func(b *bench) { b.must(os.WriteFile(b.table(), nil, 0o600)) }, all},
		{"the table is cut short", func(b *bench) { b.must(os.Truncate(b.table(), 100)) }, all},
		{"the table is of another build", func(b *bench) { b.folder.Edition = "another" }, all},
		{"others may write to the table", func(b *bench) { b.must(os.Chmod(b.table(), 0o666)) }, all},
		{"the texts are gone: they are needed only for what changed", func(b *bench) { b.must(os.Remove(b.table() + ".texts")) }, nil},
		{"the texts are others: only what a change rests on is read", func(b *bench) {
			b.must(os.WriteFile(b.table()+".texts", []byte(strings.Repeat("x", 4096)), 0o600))
			b.put("joints/strap.json", `"kind": "joint"`, "\"clamps\": [\n    \"parts/pump\"\n  ]")
		}, []string{"joints/strap.json", "ledger.json", "parts/pump.json"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := newBench(t, t.TempDir())
			b.check()
			tc.do(b)
			b.opens(tc.want...)
		})
	}
}

func TestAnyDamagedByteOfATableIsNoticed(t *testing.T) {
	b := newBench(t, t.TempDir())
	b.put("parts/pump.json", `"kind": "part"`, `"tag": "0001"`)
	b.check()
	text, err := os.ReadFile(b.table())
	b.must(err)
	want := header{"test", b.car, ""}
	if _, err := load(strings.NewReader(string(text)), len(text), want); err != nil {
		t.Fatal(err)
	}
	for i := range text {
		text[i] ^= 0x10
		if _, err := load(strings.NewReader(string(text)), len(text), want); err == nil {
			t.Fatalf("byte %d was changed and nobody noticed", i)
		}
		text[i] ^= 0x10
	}
}

func TestNothingIsWrittenWhereNothingChanged(t *testing.T) {
	b := newBench(t, t.TempDir())
	b.check()
	before, err := os.Stat(b.table())
	b.must(err)
	b.check()
	after, err := os.Stat(b.table())
	b.must(err)
	if !os.SameFile(before, after) {
		t.Error("the table was written again")
	}
	for _, path := range []string{b.table(), b.table() + ".texts", b.folder.Path} {
		info, err := os.Stat(path)
		b.must(err)
		if info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s may be read by others: %s", path, info.Mode())
		}
	}
}

func TestAFolderThatOthersMayWriteIsNotWritten(t *testing.T) {
	b := newBench(t, t.TempDir())
	b.must(os.MkdirAll(b.folder.Path, 0o755))
	b.must(os.Chmod(b.folder.Path, 0o777))
	m, err := b.folder.Recall(b.car, "", os.DirFS(b.car))
	b.must(err)
	state, err := shared.Again(m.Before(), m.Look(), validate.Options{On: today})
	b.must(err)
	if err := m.Keep(state); err == nil {
		t.Error("it was written")
	}
}

func TestALinkInTheCacheIsNeitherReadNorWritten(t *testing.T) {
	for _, end := range []string{"", ".texts"} {
		b := newBench(t, t.TempDir())
		b.check()
		at, elsewhere := b.table()+end, filepath.Join(t.TempDir(), "elsewhere")
		b.must(os.Rename(at, elsewhere))
		b.must(os.Symlink(elsewhere, at))
		before, err := os.ReadFile(elsewhere)
		b.must(err)
		b.put("parts/pump.json", `"kind": "part"`, `"tag": "0003"`)
		m, err := b.folder.Recall(b.car, "", os.DirFS(b.car))
		b.must(err)
		if (m.Before() == nil) != (end == "") {
			t.Errorf("a table that is a link was believed")
		}
		state, err := shared.Again(m.Before(), m.Look(), validate.Options{On: today})
		b.must(err)
		if err := m.Keep(state); err == nil {
			t.Error("a link was written through, or over")
		}
		if after, err := os.ReadFile(elsewhere); err != nil || !slices.Equal(before, after) {
			t.Error("what the link shows was changed", err)
		}
	}
}

func TestTextsThatNoRecordHoldsAnyMoreAreCleared(t *testing.T) {
	b := newBench(t, t.TempDir())
	note := strings.Repeat("rust, wire brush, primer; ", 8000)
	for i := range 16 {
		b.put("parts/pump.json", `"kind": "part"`, `"tag": "0002"`, fmt.Sprintf(`"note": "%d %s"`, i, note))
		b.check()
	}
	info, err := os.Stat(b.table() + ".texts")
	b.must(err)
	if most := int64(4 * len(note)); info.Size() > 1<<20+most {
		t.Errorf("the texts have grown to %d bytes for %d that count", info.Size(), len(note))
	}
	b.opens()
}

// TestWithAndWithoutACacheTheFindingsAreTheSame changes a car on a real disk at random, with a clock that is sometimes too
// close to trust what it sees, and checks with and without the cache after each change.
func TestWithAndWithoutACacheTheFindingsAreTheSame(t *testing.T) {
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		b := newBench(rt, filepath.Join(t.TempDir(), fmt.Sprint(n)))
		paths := []string{"parts/tank.json", "parts/pump.json", "parts/cap.json", "joints/strap.json", "inbox/2026-03-01-x.json", ".gitattributes", "previews/a.jpg", "notes.txt", "README.md", "parts/a/b.json"}
		for range rapid.IntRange(1, 10).Draw(rt, "steps") {
			path := rapid.SampledFrom(paths).Draw(rt, "path")
			at := filepath.Join(b.car, path)
			var was time.Time
			if info, err := os.Stat(at); err == nil {
				was = info.ModTime()
			}
			switch rapid.IntRange(0, 5).Draw(rt, "change") {
			case 0, 1, 2:
				tag := rapid.IntRange(1, 3).Draw(rt, "tag")
				ref := rapid.SampledFrom([]string{"tank", "pump", "cap", "nut"}).Draw(rt, "ref")
				b.put(path, `"kind": "part"`, fmt.Sprintf(`"tag": "%04d"`, tag), fmt.Sprintf(`"same-as": "parts/%s"`, ref))
				if !was.IsZero() && rapid.Bool().Draw(rt, "keep its time") {
					b.must(os.Chtimes(at, was, was))
				}
			case 3:
				b.must(os.RemoveAll(at))
			case 4:
				if !was.IsZero() {
					b.must(os.Rename(at, filepath.Join(filepath.Dir(at), "moved-"+filepath.Base(at))))
				}
			case 5:
				b.must(os.RemoveAll(filepath.Join(b.car, "parts/link.json")))
				b.must(os.MkdirAll(filepath.Join(b.car, "parts"), 0o755))
				b.must(os.Symlink("tank.json", filepath.Join(b.car, "parts/link.json")))
			}
			ahead := time.Duration(rapid.SampledFrom([]int{0, 1, 60}).Draw(rt, "seconds ahead")) * time.Second
			b.folder.Now = func() time.Time { return time.Now().Add(ahead) }
			b.check()
		}
	})
}

func TestAFolderWithoutEndIsNotSurveyed(t *testing.T) {
	dir := t.TempDir()
	if _, err := survey(os.DirFS(filepath.Join(dir, "nowhere"))); err != nil {
		t.Errorf("a folder that is not there is unreadable, not an error: %v", err)
	}
	found, err := survey(os.DirFS(filepath.Join(dir, "nowhere")))
	if err != nil || !found.unreadable {
		t.Errorf("got %v, %v", found, err)
	}
}

func FuzzDecode(f *testing.F) {
	state := &validate.State{
		Others: []string{"parts"}, Span: validate.Span{First: today},
		Files: []validate.File{{Path: "parts/a.json", Ties: validate.Ties{Over: []validate.Key{7}, Takes: []validate.Key{1, 2}, Kind: "part", Original: "ab"}, Original: 3,
			Yard: &validate.Piece{Copy: "ab", Tags: []validate.Mark{{Key: "1", Raw: "1", Part: "parts/a", Name: "A", At: validate.Place{File: "parts/a.json", Line: 2, Column: 3, Pointer: "/tag"}}},
				Moves: []validate.Move{{Part: "parts/a", Name: "A", Leaves: true, Day: "2026-01-01", Marks: []string{"tag 1"}, At: validate.Place{File: "parts/a.json", Line: 4, Column: 5}}}},
			Found: []finding.Finding{{Code: "x", File: "parts/a.json", Message: "m"}}}},
		Elsewhere: []finding.Finding{{Code: "link", File: "q", Message: "n"}},
	}
	seed, err := encode(&table{header{"e", "c", "y"}, state, []item{{entry: entry{path: "parts/a.json", size: 5}, known: true, kept: true}, {entry: entry{path: "stray"}}}})
	if err != nil {
		f.Fatal(err)
	}
	body := string(seed[len(magic)+32:])
	f.Add(body)
	f.Add("")
	f.Fuzz(func(t *testing.T, body string) {
		got, err := decode(body, header{"e", "c", "y"})
		if err != nil {
			return
		}
		out, err := encode(got)
		if err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		again, err := decode(string(out[len(magic)+32:]), header{"e", "c", "y"})
		if err != nil || len(again.rows) != len(got.rows) || !slices.Equal(again.state.Findings(), got.state.Findings()) ||
			!reflect.DeepEqual(again.state.Summary("a"), got.state.Summary("a")) {
			t.Fatalf("%v", err)
		}
	})
}
