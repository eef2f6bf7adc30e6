package ledger

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"boltback/internal/record"
)

// car lays texts out as a car; a text without a brace is the kind of a bare record.
func car(files map[string]string) fstest.MapFS {
	fsys := fstest.MapFS{"ledger.json": {Data: []byte(`{"kind": "ledger", "edition": "1"}`)}}
	for path, text := range files {
		if !strings.Contains(text, "{") {
			text = fmt.Sprintf(`{"kind": %q}`, text)
		}
		fsys[path] = &fstest.MapFile{Data: []byte(text)}
	}
	return fsys
}

func load(t testing.TB, files map[string]string) *Snapshot {
	t.Helper()
	s, err := Load(car(files))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestOnlyAFolderWithALedgerAtItsTopIsACar(t *testing.T) {
	if _, err := Load(fstest.MapFS{"cars/x/ledger.json": {Data: []byte("{}")}}); !errors.Is(err, ErrNotCar) {
		t.Errorf("got %v", err)
	}
}

func TestWhatCannotBeReadIsKeptApartAndTheRestIsRead(t *testing.T) {
	s := load(t, map[string]string{
		"parts/good.json": "part", "parts/broken.json": `{"kind": "part"`, "parts/odd.json": `{"kind": "part", "odd": 1}`,
		"joints/part.json": "part", "notes.txt": "{", "parts/Bad Name.json": "part",
	})
	if len(s.OfKind(record.KindPart)) != 1 || s.Record("parts/good") == nil {
		t.Errorf("read %v", s.Names())
	}
	var unread []string
	for _, u := range s.AllUnread() {
		unread = append(unread, fmt.Sprintf("%s:%d %s %s", u.Path, u.Fault.Line, u.Kind, u.Fault.Code))
	}
	want := []string{"joints/part.json:1  kind", "parts/broken.json:1  syntax", "parts/odd.json:1 part syntax"}
	if strings.Join(unread, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(unread, "\n"), strings.Join(want, "\n"))
	}
	var faults []string
	for _, f := range s.Faults() {
		faults = append(faults, f.Code+" "+f.File)
	}
	if got := strings.Join(faults, ", "); got != "stray-file notes.txt, path parts/Bad Name.json" {
		t.Errorf("faults: %s", got)
	}
}

func TestUsesNameEveryPlaceThatRefersToARecord(t *testing.T) {
	s := load(t, map[string]string{
		"parts/tank.json": "part", "joints/strap.json": `{"kind": "joint", "clamps": ["parts/tank"]}`,
		"work/2026-03-02-ines-out.json": `{"kind": "session", "by": "people/a/b", "lines": [{"act": "removal", "parts": ["parts/tank", "parts/tank"]}]}`,
	})
	var got []string
	for _, u := range s.Uses("parts/tank") {
		got = append(got, string(u.From.ID)+u.Pointer)
	}
	want := "joints/strap/clamps/0 work/2026-03-02-ines-out/lines/0/parts/0 work/2026-03-02-ines-out/lines/0/parts/1"
	if strings.Join(got, " ") != want {
		t.Errorf("got %q", got)
	}
}

func TestStandings(t *testing.T) {
	reading := func(extra string) string {
		return `{"kind": "reading", "what": "weighing", "values": []` + extra + `}`
	}
	over := func(word, id string) string {
		return reading(fmt.Sprintf(`, %q: %q, "reason": "r"`, word, id))
	}
	s := load(t, map[string]string{
		"readings/2026-01-01-a-plain.json":      reading(""),
		"readings/2026-01-01-a-wrong.json":      reading(""),
		"readings/2026-01-01-a-right.json":      over("corrects", "readings/2026-01-01-a-wrong"),
		"readings/2026-01-01-a-twice.json":      reading(""),
		"readings/2026-01-01-a-twice-gone.json": over("withdraws", "readings/2026-01-01-a-twice"),
		"readings/2026-01-01-a-disputed.json":   reading(""),
		"readings/2026-01-01-a-disputed-1.json": over("corrects", "readings/2026-01-01-a-disputed"),
		"readings/2026-01-01-a-disputed-2.json": over("corrects", "readings/2026-01-01-a-disputed"),
		"readings/2026-01-01-a-chain.json":      reading(""),
		"readings/2026-01-01-a-chain-1.json":    over("corrects", "readings/2026-01-01-a-chain"),
		"readings/2026-01-01-a-chain-2.json":    over("corrects", "readings/2026-01-01-a-chain-1"),
		"readings/2026-01-01-a-ring-1.json":     over("corrects", "readings/2026-01-01-a-ring-2"),
		"readings/2026-01-01-a-ring-2.json":     over("corrects", "readings/2026-01-01-a-ring-1"),
		"parts/other-kind.json":                 `{"kind": "part", "corrects": "readings/2026-01-01-a-plain", "reason": "r"}`,
	})
	for name, want := range map[string]string{
		"plain": "stands plain", "wrong": "corrected right", "right": "stands right", "twice": "withdrawn -", "twice-gone": "withdraws -",
		"disputed": "disputed disputed", "disputed-1": "not applied -", "chain": "corrected chain-2", "chain-1": "corrected chain-2", "chain-2": "stands chain-2",
		"ring-1": "corrected -",
	} {
		id := record.Ref("readings/2026-01-01-a-" + name)
		standing, _ := s.StandingOf(s.Record(id))
		current := "-"
		if r := s.Current(id); r != nil {
			current = strings.TrimPrefix(string(r.ID), "readings/2026-01-01-a-")
		}
		if got := standing.String() + " " + current; got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	var all []string
	for _, r := range All[record.Reading](s) {
		all = append(all, strings.TrimPrefix(string(r.ID), "readings/2026-01-01-a-"))
	}
	if got := strings.Join(all, " "); got != "chain-2 disputed plain right" {
		t.Errorf("those that count: %s", got)
	}
	if at := s.Place(s.Record("readings/2026-01-01-a-chain-2")).ID; at != "readings/2026-01-01-a-chain" {
		t.Errorf("the chain stands in the place of %s", at)
	}
	if e, ok := Get[record.Reading](s, "readings/2026-01-01-a-wrong"); !ok || e.ID != "readings/2026-01-01-a-right" {
		t.Error("a name does not lead to what stands in its place")
	}
	if _, ok := Get[record.Part](s, "readings/2026-01-01-a-plain"); ok {
		t.Error("a reading was given as a part")
	}
}

// TestTheOrderOfFilesDoesNotMatter loads the same car in any order of its folders' entries.
func TestTheOrderOfFilesDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		files := map[string]string{}
		for _, slug := range rapid.SliceOfDistinct(rapid.StringMatching(`[a-z]{1,4}`), rapid.ID[string]).Draw(rt, "slugs") {
			files["parts/"+slug+".json"] = `{"kind": "part", "same-as": "parts/` + rapid.StringMatching(`[a-z]{1,4}`).Draw(rt, "to") + `"}`
		}
		a, b := load(t, files), load(t, files)
		if fmt.Sprint(a.Names(), a.Faults()) != fmt.Sprint(b.Names(), b.Faults()) {
			rt.Error("two loads differ")
		}
		for _, id := range a.Names() {
			for _, u := range a.Uses(id) {
				if u.From.Body.(*record.Part).SameAs != id {
					rt.Errorf("%s is said to refer to %s", u.From.ID, id)
				}
			}
		}
	})
}

func TestHasFileFindsOnlyWhatIsThere(t *testing.T) {
	s := load(t, map[string]string{"previews/a.jpg": "{}", "parts/tank.json": "part"})
	if size, ok := s.HasFile("previews/a.jpg"); !ok || size != 2 {
		t.Errorf("got %d, %v", size, ok)
	}
	for _, path := range []string{"previews", "previews/b.jpg", "", "zzz"} {
		if _, ok := s.HasFile(path); ok {
			t.Errorf("%q is said to be a file", path)
		}
	}
}
