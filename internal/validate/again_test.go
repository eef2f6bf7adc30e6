package validate

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/tools/txtar"
	"pgregory.net/rapid"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// sizes is a set of originals of which only the size is known.
type sizes map[record.Digest]int64

func (s sizes) Find(digest record.Digest) (int64, bool) { size, ok := s[digest]; return size, ok }

func (s sizes) Open(record.Digest) (io.ReadCloser, error) { return nil, fs.ErrNotExist }

// lookAt holds a car against what it was.
func lookAt(t rapid.TB, was, is fstest.MapFS) Look {
	t.Helper()
	look := Look{FS: is}
	folders := map[string]bool{}
	for _, p := range slices.Sorted(maps.Keys(is)) {
		for f := path.Dir(p); f != "." && !folders[f]; f = path.Dir(f) {
			folders[f] = true
		}
	}
	look.Others = slices.Sorted(maps.Keys(folders))
	for _, path := range slices.Sorted(maps.Keys(is)) {
		look.Files = append(look.Files, ledger.File{Path: path, Size: int64(len(is[path].Data))})
		if old := was[path]; old == nil || !bytes.Equal(old.Data, is[path].Data) {
			look.Changed = append(look.Changed, path)
		}
	}
	for path := range was {
		if is[path] == nil {
			look.Changed = append(look.Changed, path)
		}
	}
	return look
}

// changing is a car that changes step by step, checked after each.
type changing struct {
	car, was fstest.MapFS
	state    *State
	options  Options
	cases    [][]txtar.File
	sound    fstest.MapFS
}

// again checks the car both ways and holds the two answers against each other.
func (c *changing) again(t rapid.TB, v *Validator) {
	t.Helper()
	look := lookAt(t, c.was, c.car)
	s, err := ledger.Load(c.car)
	if err != nil {
		return // no car any more: neither way has an answer
	}
	want, err := v.Check(s, c.options)
	if err != nil {
		t.Fatal(err)
	}
	if c.state, err = v.Again(c.state, look, c.options); err != nil {
		t.Fatal(err)
	}
	if got := c.state.Findings(); !slices.Equal(got, want) {
		t.Fatalf("changed %q on %s\nfrom the state before\n%s\nfrom everything\n%s", look.Changed, c.options.On, listed(got), listed(want))
	}
	if got, want := c.state.Summary("heron"), Summarize("heron", s); !reflect.DeepEqual(got, want) {
		t.Fatalf("changed %q\nthe summary from the state before\n%+v\nfrom everything\n%+v", look.Changed, got, want)
	}
	c.was = maps.Clone(c.car)
}

func listed(found []finding.Finding) string {
	var b strings.Builder
	for _, f := range found {
		fmt.Fprintln(&b, f)
	}
	return b.String()
}

// ruleCases gives the changes of the rule book's cases.
func ruleCases(t testing.TB) [][]txtar.File {
	t.Helper()
	paths, err := filepath.Glob("testdata/rules/*.txtar")
	if err != nil || len(paths) == 0 {
		t.Fatal("no rule cases", err)
	}
	var cases [][]txtar.File
	for _, p := range paths {
		a, err := txtar.ParseFile(p)
		if err != nil {
			t.Fatal(err)
		}
		_, rest := split(a.Files)
		cases = append(cases, rest)
	}
	return cases
}

// change makes what a rule case changes, as far as the car still has the texts.
func (c *changing) change(files []txtar.File) {
	for _, f := range files {
		switch name, edit := strings.CutSuffix(f.Name, ".was"); {
		case edit:
			old, now, _ := strings.Cut(string(f.Data), "\n----\n")
			if at := c.car[name]; at != nil {
				c.car[name] = &fstest.MapFile{Data: []byte(strings.Replace(string(at.Data), old, strings.TrimSuffix(now, "\n"), 1))}
			}
		case len(f.Data) == 0:
			delete(c.car, f.Name)
		default:
			c.car[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
}

// step makes one random change.
func (c *changing) step(t *rapid.T) {
	paths := slices.DeleteFunc(slices.Sorted(maps.Keys(c.car)), func(p string) bool { return p == "ledger.json" })
	path := rapid.SampledFrom(append(paths, "parts/none.json")).Draw(t, "path")
	text := ""
	if f := c.car[path]; f != nil {
		text = string(f.Data)
	}
	put := func(at, text string) { c.car[at] = &fstest.MapFile{Data: []byte(text)} }
	beside := strings.TrimSuffix(path, ".json") + rapid.SampledFrom([]string{"-2", "-3"}).Draw(t, "beside") + ".json"
	switch rapid.IntRange(0, 11).Draw(t, "change") {
	case 0, 1, 2, 3:
		c.change(rapid.SampledFrom(c.cases).Draw(t, "case"))
	case 4:
		delete(c.car, path)
	case 5:
		put(beside, text)
		delete(c.car, path)
	case 6:
		put(beside, strings.Replace(text, "\n", fmt.Sprintf("\n  \"corrects\": %q,\n  \"reason\": \"misread\",\n", refOf(path)), 1))
	case 7:
		kind := rapid.SampledFrom([]string{"part", "session", "joint", "reading", "licence", "calibration"}).Draw(t, "kind")
		put(beside, fmt.Sprintf("{\n  \"kind\": %q,\n  \"withdraws\": %q,\n  \"reason\": \"twice\"\n}\n", kind, refOf(path)))
	case 8:
		put(path, text[:len(text)/2])
	case 9:
		if at := c.sound[path]; at != nil {
			put(path, string(at.Data))
		}
	case 10:
		c.options.On = edtf.NewDay(rapid.IntRange(2025, 2027).Draw(t, "year"), rapid.IntRange(1, 12).Draw(t, "month"), 1)
	case 11:
		for digest := range c.options.Originals.(sizes) {
			delete(c.options.Originals.(sizes), digest)
		}
		digest := record.Digest(strings.Repeat(rapid.SampledFrom([]string{"a", "b", "0"}).Draw(t, "digest"), 64))
		c.options.Originals.(sizes)[digest] = int64(rapid.IntRange(0, 2).Draw(t, "size"))
	}
}

func refOf(path string) string {
	id, _ := record.IDOf(path)
	return string(id)
}

// TestACheckFromAnEarlierOneFindsTheSame changes a car at random, by the cases of the rule book and more roughly, and checks
// it after each change both from everything and from the state before.
func TestACheckFromAnEarlierOneFindsTheSame(t *testing.T) {
	cases, first := ruleCases(t), sound(t)
	rapid.Check(t, func(rt *rapid.T) {
		c := &changing{car: maps.Clone(first), sound: first, cases: cases, options: Options{On: theDay, Originals: sizes{}}}
		c.again(t, shared)
		for range rapid.IntRange(1, 12).Draw(rt, "steps") {
			for range rapid.IntRange(1, 2).Draw(rt, "changes") {
				c.step(rt)
			}
			c.again(rt, shared)
		}
	})
}

// TestEachRuleIsSeenToHoldAndToCeaseFromAnEarlierCheck makes each change of the rule book, takes the car's own record away
// under it and puts it back, and takes the change back.
func TestEachRuleIsSeenToHoldAndToCeaseFromAnEarlierCheck(t *testing.T) {
	first := sound(t)
	for _, files := range ruleCases(t) {
		c := &changing{car: maps.Clone(first), options: Options{On: theDay, Originals: sizes{}}}
		c.again(t, shared)
		c.change(files)
		c.again(t, shared)
		own := c.car["car.json"]
		delete(c.car, "car.json")
		c.again(t, shared)
		c.car["car.json"] = own
		c.again(t, shared)
		c.car = maps.Clone(first)
		c.again(t, shared)
	}
}

// TestTheSampleCheckedFromAnEarlierCheck takes records of the sample away one at a time, and puts them back.
func TestTheSampleCheckedFromAnEarlierCheck(t *testing.T) {
	const every = 17
	car := fstest.MapFS{}
	err := fs.WalkDir(os.DirFS("../../records/sample/cars/tern-1500"), ".", func(p string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			var text []byte
			text, err = os.ReadFile(filepath.Join("../../records/sample/cars/tern-1500", p))
			car[p] = &fstest.MapFile{Data: text}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	c := &changing{car: maps.Clone(car), options: Options{On: edtf.NewDay(2026, 11, 1), Originals: sizes{}}}
	c.again(t, shared)
	for i, path := range slices.Sorted(maps.Keys(car)) {
		if i%every != 0 || path == "ledger.json" {
			continue
		}
		delete(c.car, path)
		c.again(t, shared)
		c.car[path] = car[path]
		c.again(t, shared)
	}
}

// reads counts which files are read.
type reads struct {
	fs.FS
	files map[string]bool
}

func (r reads) ReadFile(name string) ([]byte, error) {
	r.files[name] = true
	return fs.ReadFile(r.FS, name)
}

func TestLittleIsReadWhereLittleChanged(t *testing.T) {
	car := sound(t)
	for i := range 200 {
		car[fmt.Sprintf("parts/bracket-%d.json", i)] = &fstest.MapFile{Data: fmt.Appendf(nil, "{\n  \"kind\": \"part\",\n  \"tag\": \"%d\"\n}\n", 1000+i)}
	}
	before, err := shared.Again(nil, lookAt(t, nil, car), Options{On: theDay})
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name, path, was, is string
		most                int
		says                string
	}{
		{"a part's tag", "parts/bracket-7.json", `"1007"`, `"1009"`, 3, "tag-twice"},
		{"a note of a session", "work/2026-02-03-odile-motor-in.json", `"kind": "session",`, "\"kind\": \"session\",\n  \"note\": \"\",", 14, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			now := maps.Clone(car)
			now[tc.path] = &fstest.MapFile{Data: bytes.Replace(car[tc.path].Data, []byte(tc.was), []byte(tc.is), 1)}
			look := lookAt(t, car, now)
			seen := reads{now, map[string]bool{}}
			look.FS = seen
			after, err := shared.Again(before, look, Options{On: theDay})
			if err != nil {
				t.Fatal(err)
			}
			if len(seen.files) > tc.most || len(seen.files) == 0 {
				t.Errorf("%d files were read, %d at most: %v", len(seen.files), tc.most, slices.Sorted(maps.Keys(seen.files)))
			}
			if got := strings.Join(codesOf(after.Findings()), "\n"); !strings.Contains(got, tc.says) {
				t.Errorf("%q is not found in %q", tc.says, got)
			}
		})
	}
}

func TestWhatSettlesARecordIsFoundFromAnEarlierCheck(t *testing.T) {
	car := sound(t)
	over := func(at, below string) {
		car[at] = &fstest.MapFile{Data: fmt.Appendf(nil, "{\n  \"kind\": \"part\",\n  \"corrects\": %q,\n  \"reason\": \"misread\"\n}\n", below)}
	}
	over("parts/motor-2.json", "parts/motor")
	before, err := shared.Again(nil, lookAt(t, nil, car), Options{On: theDay})
	must(t, err)
	was := maps.Clone(car)
	over("parts/motor-3.json", "parts/motor-2")
	fsys, err := Settling(before, lookAt(t, was, car), "parts/motor.json")
	must(t, err)
	s, err := ledger.Load(fsys)
	must(t, err)
	if got, want := fmt.Sprint(s.Names()), "[ledger parts/motor parts/motor-2 parts/motor-3]"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if fsys, err := Settling(nil, lookAt(t, nil, car), "parts/motor.json"); fsys != nil || err != nil {
		t.Errorf("got %v %v from nothing", fsys, err)
	}
}

func TestWhereNothingChangedNothingIsRead(t *testing.T) {
	car := sound(t)
	before, err := shared.Again(nil, lookAt(t, nil, car), Options{On: theDay})
	if err != nil {
		t.Fatal(err)
	}
	look := lookAt(t, car, car)
	look.FS = nil // whoever reads falls over
	after, err := shared.Again(before, look, Options{On: theDay})
	if err != nil || after != before {
		t.Errorf("got another state, or %v", err)
	}
	if _, err := shared.Again(before, look, Options{On: theDay, Deep: true}); err == nil {
		t.Error("a deep check was answered from an earlier one")
	}
}

func TestFindingsHoldForASpanOfDays(t *testing.T) {
	day := func(d int) edtf.Day { return edtf.NewDay(2026, 3, d) }
	for _, tc := range []struct {
		name  string
		of    []edtf.Day
		today edtf.Day
		holds []edtf.Day
		not   []edtf.Day
	}{
		{"what lies behind holds from the last of its days on", []edtf.Day{day(2), day(5)}, day(9), []edtf.Day{day(5), day(9), edtf.NewDay(2099, 1, 1)}, []edtf.Day{day(4), {}}},
		{"what lies ahead names today and holds for today alone", []edtf.Day{day(2), day(12)}, day(9), []edtf.Day{day(9)}, []edtf.Day{day(8), day(10), day(12)}},
		{"what is of today lies behind", []edtf.Day{day(9)}, day(9), []edtf.Day{day(9), day(10)}, []edtf.Day{day(8)}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var s Span
			for _, d := range tc.of {
				s.ahead(d, tc.today)
			}
			for _, d := range tc.holds {
				if !s.Holds(d) {
					t.Errorf("it does not hold on %s", d)
				}
			}
			for _, d := range tc.not {
				if s.Holds(d) {
					t.Errorf("it holds on %s", d)
				}
			}
		})
	}
}
