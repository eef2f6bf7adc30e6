package history

import (
	"errors"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// car makes a snapshot of the files given, with a ledger's head.
func car(t testing.TB, files map[string]string) *ledger.Snapshot {
	t.Helper()
	fsys := fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)}}
	for path, text := range files {
		fsys[path] = &fstest.MapFile{Data: []byte(text)}
	}
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func diff(t testing.TB, a, b map[string]string) []Change {
	t.Helper()
	changes, err := Diff(car(t, a), car(t, b))
	if err != nil {
		t.Fatal(err)
	}
	return changes
}

const (
	tank      = `{"kind": "part", "name": "Fuel tank", "found": "yes", "origin": "factory to this car", "class": "single", "mass": "11 kg"}`
	tankLight = `{"kind": "part", "name": "Fuel tank", "found": "yes", "origin": "factory to this car", "class": "single", "mass": "10 kg"}`
	work      = `{"kind": "session", "name": "Tank out", "started": "2026-03-02", "lines": [{"act": "removal", "parts": ["parts/tank"]}]}`
	corrects  = `{"kind": "session", "name": "Tank out", "started": "2026-03-03", "lines": [{"act": "removal", "parts": ["parts/tank"]}], "corrects": "work/2026-03-02-ines-tank", "reason": "wrong day"}`
	withdraws = `{"kind": "session", "withdraws": "work/2026-03-02-ines-tank", "reason": "never done"}`
)

type files = map[string]string

func TestWhatBecameOfARecord(t *testing.T) {
	const path, by, by2 = "work/2026-03-02-ines-tank.json", "work/2026-03-02-ines-tank-again.json", "work/2026-03-02-ines-tank-third.json"
	for _, tc := range []struct {
		name     string
		old, new files
		want     []string
	}{
		{"nothing", files{path: work}, files{path: work}, nil},
		{"added", files{}, files{"parts/tank.json": tank}, []string{"part “Fuel tank” added"}},
		{"gone from the tree", files{"parts/tank.json": tank}, files{}, []string{"part “Fuel tank” removed"}},
		{"changed", files{"parts/tank.json": tank}, files{"parts/tank.json": tankLight}, []string{"part “Fuel tank” changed",
			"- mass 11 kg → 10 kg, lighter by 1 kg"}},
		{"only the layout", files{"parts/tank.json": tank}, files{"parts/tank.json": strings.ReplaceAll(tank, ", ", ",\n  ")},
			[]string{"part “Fuel tank” written in another layout, with the same values"}},
		{"renamed as it was", files{"parts/tank.json": tank}, files{"parts/fuel-tank.json": tank},
			[]string{"part “Fuel tank” renamed from parts/tank: 5 of 5 values are the same"}},
		{"renamed and changed", files{"parts/tank.json": tank}, files{"parts/fuel-tank.json": tankLight},
			[]string{"part “Fuel tank” renamed from parts/tank: 4 of 5 values are the same", "- mass 11 kg → 10 kg, lighter by 1 kg"}},
		{"a record that refers to a renamed one", files{"parts/tank.json": tank, "concerns/a.json": `{"kind": "concern", "raised-by": "people/t/a"}`, "people/t/a/person.json": `{"kind": "person", "name": "A", "role": "mechanic", "workshop": "t"}`},
			files{"parts/tank.json": tank, "concerns/a.json": `{"kind": "concern", "raised-by": "people/t/b"}`, "people/t/b/person.json": `{"kind": "person", "name": "A", "role": "mechanic", "workshop": "t"}`},
			[]string{"concern “concerns/a” changed", "- raised by people/t/a → people/t/b, the same record under its new name",
				"person “A” renamed from people/t/a: 3 of 3 values are the same"}},
		{"lines that name a renamed part find their like", files{"parts/tank.json": tank, "work/2026-03-02-ines-tank.json": work},
			files{"parts/fuel-tank.json": tank, "work/2026-03-02-ines-tank.json": strings.Replace(work, "parts/tank", "parts/fuel-tank", 1)},
			[]string{"part “Fuel tank” renamed from parts/tank: 5 of 5 values are the same", "session “Tank out” changed",
				"- line 1: parts parts/tank → parts/fuel-tank, the same record under its new name"}},
		{"what says little is not taken for renamed", files{"parts/a.json": `{"kind": "part", "name": "A"}`}, files{"parts/b.json": `{"kind": "part", "name": "A", "tag": "1"}`},
			[]string{"part “A” removed", "part “A” added"}},
		{"corrected", files{path: work}, files{path: work, by: corrects}, []string{
			"session “Tank out” corrected by work/2026-03-02-ines-tank-again; reason: wrong day", "- started 2026-03-02 → 2026-03-03, later by 1 day",
			"session “Tank out” added, over work/2026-03-02-ines-tank; reason: wrong day"}},
		{"withdrawn", files{path: work}, files{path: work, by: withdraws}, []string{
			"session “Tank out” withdrawn by work/2026-03-02-ines-tank-again; reason: never done",
			"session “work/2026-03-02-ines-tank-again” added, over work/2026-03-02-ines-tank; reason: never done"}},
		{"disputed", files{path: work, by: corrects}, files{path: work, by: corrects, by2: withdraws}, []string{
			"session “Tank out” disputed; several records claim to correct or withdraw it, and none of them applies",
			"session “Tank out” does not apply: another record claims to stand over work/2026-03-02-ines-tank too",
			"session “work/2026-03-02-ines-tank-third” added, over work/2026-03-02-ines-tank; reason: never done"}},
		{"a dispute that is settled", files{path: work, by: corrects, by2: withdraws}, files{path: work, by: corrects}, []string{
			"session “Tank out” corrected by work/2026-03-02-ines-tank-again; reason: wrong day", "- started 2026-03-02 → 2026-03-03, later by 1 day",
			"session “Tank out” stands again: nothing stands over it or disputes it now",
			"session “work/2026-03-02-ines-tank-third” removed, over work/2026-03-02-ines-tank; reason: never done"}},
		{"standing again", files{path: work, by: withdraws}, files{path: work}, []string{
			"session “Tank out” stands again: nothing stands over it or disputes it now",
			"session “work/2026-03-02-ines-tank-again” removed, over work/2026-03-02-ines-tank; reason: never done"}},
		{"a correction by another record", files{path: work, by: corrects}, files{path: work, by2: corrects}, []string{
			"session “Tank out” corrected by work/2026-03-02-ines-tank-third; reason: wrong day", "- started 2026-03-02 → 2026-03-03, later by 1 day",
			"session “Tank out” renamed from work/2026-03-02-ines-tank-again: 6 of 6 values are the same"}},
		{"a correction that came with what it corrects changed by hand", files{path: work}, files{path: strings.Replace(work, "Tank", "tank", 1), by: corrects}, []string{
			"session “tank out” changed", "- name Tank out → tank out, only capitals or spaces differ",
			"session “tank out” corrected by work/2026-03-02-ines-tank-again; reason: wrong day", "- name tank out → Tank out, only capitals or spaces differ", "- started 2026-03-02 → 2026-03-03, later by 1 day",
			"session “Tank out” added, over work/2026-03-02-ines-tank; reason: wrong day"}},
		{"no longer readable", files{"parts/tank.json": tank}, files{"parts/tank.json": "{"}, []string{
			"part “parts/tank” changed; it can no longer be read: line 1: "}},
		{"readable at last", files{"parts/tank.json": "{"}, files{"parts/tank.json": tank}, []string{"part “Fuel tank” changed; it can be read now"}},
		{"unreadable but JSON is still compared", files{"parts/tank.json": tank}, files{"parts/tank.json": strings.Replace(tank, `"mass"`, `"weight"`, 1)}, []string{
			"part “parts/tank” changed; it can no longer be read: line 1: ", "- mass taken out: 11 kg", "- weight added: 11 kg"}},
		{"a stray file", files{"notes.txt": "a"}, files{"notes.txt": "b", "inbox/2026-03-02-ines-x.json": "{}"}, []string{
			"inbox/2026-03-02-ines-x.json added; it is an entry that is not complete", "notes.txt changed; its bytes differ; it is no record"}},
		{"a preview of another size", files{"previews/a.jpg": "x"}, files{"previews/a.jpg": "xy"}, []string{"previews/a.jpg changed; its bytes differ; it is a preview"}},
		{"a licence that became a key", files{"people/t/a/x.json": `{"kind": "licence", "note": "n"}`}, files{"people/t/a/x.json": `{"kind": "key", "note": "n"}`}, []string{
			"key “people/t/a/x” changed", "- kind licence → key"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := listed(diff(t, tc.old, tc.new))
			if len(got) != len(tc.want) {
				t.Fatalf("got  %q\nwant %q", got, tc.want)
			}
			for i, w := range tc.want {
				if got[i] != w && !(strings.HasSuffix(w, ": ") && strings.HasPrefix(got[i], w)) {
					t.Errorf("got  %q\nwant %q", got[i], w)
				}
			}
		})
	}
}

// listed says changes with their fields below them.
func listed(changes []Change) []string {
	var list []string
	for _, c := range changes {
		list = append(list, c.String())
		for _, f := range c.Fields {
			list = append(list, "- "+f.String())
		}
	}
	return list
}

func TestChangesStandInTheOrderOfKindsThenNames(t *testing.T) {
	changes := diff(t, files{}, files{
		"work/2026-03-02-ines-tank.json": work, "parts/tank.json": tank, "parts/a.json": `{"kind": "part"}`, "a.txt": "x",
		"car.json": `{"kind": "car"}`, "stores/t/loft/store.json": `{"kind": "store"}`,
	})
	var paths []string
	for _, c := range changes {
		paths = append(paths, c.Path)
	}
	want := []string{"car.json", "parts/a.json", "parts/tank.json", "work/2026-03-02-ines-tank.json", "stores/t/loft/store.json", "a.txt"}
	if !slices.Equal(paths, want) {
		t.Errorf("got  %q\nwant %q", paths, want)
	}
}

func TestACommitIsToldFromItsFilesAlone(t *testing.T) {
	asked := []string{}
	read := func(path string) []byte {
		asked = append(asked, path)
		if path == "work/2026-03-02-ines-tank.json" {
			return []byte(work)
		}
		return nil
	}
	got := listed(DiffFiles([]Pair{
		{"work/2026-03-02-ines-tank-again.json", nil, []byte(corrects)},
		{"parts/tank.json", []byte(tank), []byte(tankLight)},
		{"parts/same.json", []byte(tank), []byte(tank)},
		{"parts/never.json", nil, nil},
	}, read))
	want := []string{
		"part “Fuel tank” changed", "- mass 11 kg → 10 kg, lighter by 1 kg",
		"session “Tank out” corrected by work/2026-03-02-ines-tank-again; reason: wrong day", "- started 2026-03-02 → 2026-03-03, later by 1 day",
		"session “Tank out” added, over work/2026-03-02-ines-tank; reason: wrong day",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	for _, path := range asked {
		if path != "work/2026-03-02-ines-tank.json" {
			t.Errorf("it asked for %s", path)
		}
	}
}

func TestWithoutAReaderACommitStillTellsWhatItTouched(t *testing.T) {
	got := listed(DiffFiles([]Pair{{"work/2026-03-02-ines-tank-again.json", nil, []byte(corrects)}}, nil))
	want := []string{"session “Tank out” added, over work/2026-03-02-ines-tank; reason: wrong day"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestSnapshotsAndLooseFilesTellTheSame(t *testing.T) {
	const path, by = "work/2026-03-02-ines-tank.json", "work/2026-03-02-ines-tank-again.json"
	old := files{path: work, "parts/tank.json": tank, "n.txt": "a", "joints/x.json": "{"}
	now := files{path: work, by: corrects, "parts/fuel.json": tank, "n.txt": "b", "joints/x.json": `{"kind": "joint"}`}
	var pairs []Pair
	for _, p := range []string{by, "parts/tank.json", "parts/fuel.json", "n.txt", "joints/x.json"} {
		pairs = append(pairs, Pair{p, bytesOf(old, p), bytesOf(now, p)})
	}
	loose := listed(DiffFiles(pairs, func(path string) []byte { return bytesOf(now, path) }))
	if whole := listed(diff(t, old, now)); !slices.Equal(whole, loose) {
		t.Errorf("whole %q\nloose %q", whole, loose)
	}
}

func bytesOf(f files, path string) []byte {
	if text, ok := f[path]; ok {
		return []byte(text)
	}
	return nil
}

func TestARecordThatCorrectsTheOneThatIsGoneIsNotTakenForIt(t *testing.T) {
	changes := diff(t, files{"work/2026-03-02-ines-tank.json": work}, files{"work/2026-03-02-ines-tank-again.json": corrects})
	if len(changes) != 2 || changes[0].What != Removed || changes[1].What != Added || changes[1].Over != record.Ref("work/2026-03-02-ines-tank") {
		t.Errorf("got %q", listed(changes))
	}
}

func TestFilesThatAreNoRecordsAreNamedForWhatTheyAre(t *testing.T) {
	for path, want := range map[string]string{
		"signoffs/2026-03-02-ines-x.sig": "a signature", "allowed_signers": "the list of keys for stock tools", ".gitattributes": "a setting of Git",
		"schema/1/part.json": "a copy of a schema", "previews/x.jpg": "a preview",
		"inbox/x.json": "an entry that is not complete", "a.txt": "no record", "parts/X Y.json": "no record",
	} {
		changes := DiffFiles([]Pair{{path, nil, []byte("x")}}, nil)
		if len(changes) != 1 || changes[0].Remark != "it is "+want {
			t.Errorf("%s: %q", path, listed(changes))
		}
	}
}

// vanishing loses its files after they were listed.
type vanishing struct {
	fstest.MapFS
	gone *bool
}

func (v vanishing) Open(name string) (fs.File, error) {
	if *v.gone {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return v.MapFS.Open(name)
}

func TestAFileThatCannotBeReadAnyMoreIsAnError(t *testing.T) {
	gone := false
	s, err := ledger.Load(vanishing{fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger"}`)}, "notes.txt": {Data: []byte("a")}}, &gone})
	if err != nil {
		t.Fatal(err)
	}
	gone = true
	if _, err = Diff(s, car(t, files{"notes.txt": "b"})); err == nil || !strings.Contains(err.Error(), "notes.txt") || !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
}
