package signoff

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"pgregory.net/rapid"

	"boltback/internal/attest"
	"boltback/internal/record"
	"boltback/records"
)

func TestTheSamplesListIsTheDerivedOne(t *testing.T) {
	cars, err := fs.Glob(records.Sample(), "cars/*")
	if err != nil || len(cars) == 0 {
		t.Fatalf("no car: %v", err)
	}
	for _, dir := range cars {
		car, err := fs.Sub(records.Sample(), dir)
		if err != nil {
			t.Fatal(err)
		}
		set, err := ReadKeys(car)
		if err != nil {
			t.Fatal(err)
		}
		file, err := fs.ReadFile(car, "allowed_signers")
		if err != nil || string(file) != string(set.SignersFile()) {
			t.Errorf("%s has\n%sderived is\n%s%v", dir, file, set.SignersFile(), err)
		}
	}
}

func TestDatesOfEntriesBoundTheirValidity(t *testing.T) {
	at := func(text string) time.Time {
		when, err := time.Parse(time.RFC3339, text)
		if err != nil {
			t.Fatal(err)
		}
		return when
	}
	for _, c := range []struct {
		from, until   record.Date
		after, before time.Time
		fault         string
	}{
		{"", "", time.Time{}, time.Time{}, ""},
		{"2026-03-02", "2026-03-02", at("2026-03-02T00:00:00Z"), at("2026-03-02T23:59:59Z"), ""},
		{"2026-03", "2026", at("2026-03-01T00:00:00Z"), at("2026-12-31T23:59:59Z"), ""},
		{"2026-03-02T08:30:00+13:00", "2026-03-02T08:30:00-08:00", at("2026-03-01T19:30:00Z"), at("2026-03-02T16:30:00Z"), ""},
		{"2026-02-28/2026-03-02", "2026-02-28/2026-03-02", at("2026-02-28T00:00:00Z"), at("2026-03-02T23:59:59Z"), ""},
		{"soon", "", time.Time{}, time.Time{}, "from which"},
		{"", "never", time.Time{}, time.Time{}, "until which"},
		{"../2026-03-02", "", time.Time{}, time.Time{}, "from which"},
	} {
		s := newStory(t)
		s.key(ines, "key-1", "from", c.from, "until", c.until)
		if c.from == "" {
			s.key(ines, "key-1", "until", c.until)
		}
		if c.until == "" {
			s.key(ines, "key-1", "from", c.from)
		}
		if c.from == "" && c.until == "" {
			s.key(ines, "key-1")
		}
		set, err := ReadKeys(s.fs())
		if err != nil || len(set.Keys) != 1 {
			t.Fatalf("%v, %v", set, err)
		}
		e := set.Keys[0]
		if c.fault != "" {
			if !strings.Contains(e.Fault, c.fault) || len(set.SignersFile()) > 0 {
				t.Errorf("%s to %s: fault %q", c.from, c.until, e.Fault)
			}
			continue
		}
		if !e.After.Equal(c.after) || !e.Before.Equal(c.before) || e.Fault != "" {
			t.Errorf("%s to %s is %s to %s, %q", c.from, c.until, e.After, e.Before, e.Fault)
		}
	}
}

func TestPeopleAreReadWithinBounds(t *testing.T) {
	many := fstest.MapFS{}
	for i := range mostEntries {
		many[fmt.Sprintf("people/a/b/key-%d.json", i)] = &fstest.MapFile{Data: []byte("{}")}
	}
	if _, err := ReadKeys(many); err == nil {
		t.Error("20,000 entries were read")
	}
	line := signerOf(ines).Public().String()
	key := []byte(`{"kind": "key", "public": "` + line + `"}`)
	for name, file := range map[string]*fstest.MapFile{
		"people/a/b/key-1.json":     {Data: append(key, []byte(strings.Repeat(" ", longestEntry))...)}, // enormous
		"people/a/b/key-2.json":     {Data: []byte(strings.Repeat("[", 50_000))},                       // deep
		"people/a/b/key-3.json":     {Data: []byte(`{"kind": "key", "kind": "person", "public": "` + line + `"}`)},
		"people/a/b/key-4.json":     {Data: key, Mode: fs.ModeSymlink},
		"people/a/b/Key-5.json":     {Data: key}, // no name of a record
		"people/a/b/c/key-6.json":   {Data: key}, // no place of one
		"people/a/b/person.json":    {Data: key}, // the place of another kind
		"people/a/\u0456nes/k.json": {Data: key}, // a look-alike of ines
	} {
		set, err := ReadKeys(fstest.MapFS{name: file})
		if err != nil || len(set.SignersFile()) > 0 {
			t.Errorf("%q lets somebody in: %v\n%s", name, err, set.SignersFile())
		}
	}
	if set, err := ReadKeys(fstest.MapFS{}); err != nil || len(set.Keys) > 0 {
		t.Errorf("a ledger without people: %v, %v", set, err)
	}
}

// TestNobodyLetsHimselfIn tells random stories and holds the walk against the
// rule in one line: an entry counts if a commit by a key that counted brought it.
func TestNobodyLetsHimselfIn(t *testing.T) {
	people := []string{ines, bram, edda, mallory}
	rapid.Check(t, func(rt *rapid.T) {
		s := begin(t)
		counts := map[string]bool{ines: true}
		var want []bool
		for range rapid.IntRange(1, 12).Draw(rt, "commits") {
			by := rapid.SampledFrom(append(people, "")).Draw(rt, "by")
			good := counts[by]
			var added []string
			for _, who := range rapid.SliceOfNDistinct(rapid.SampledFrom(people), 0, 2, rapid.ID[string]).Draw(rt, "adds") {
				if _, there := s.files[who+"/key-1.json"]; !there {
					s.key(who, "key-1")
					added = append(added, who)
				}
			}
			if rapid.Bool().Draw(rt, "list") {
				s.list()
			}
			s.files["note"] = fmt.Sprint(len(want))
			s.commit(by)
			want = append(want, good)
			for _, who := range added {
				counts[who] = good
			}
		}
		for i, step := range s.walk(Pins{Keys: []string{fingerprint(ines)}}).Steps[1:] {
			if step.Good() != want[i] {
				rt.Fatalf("commit %d by %s is judged %q, want good: %v", i+1, step.Author.Email, step.Standing, want[i])
			}
		}
	})
}

func TestTheRingNamesTheEntriesThatCount(t *testing.T) {
	s := begin(t)
	s.key(bram, "key-1")
	s.commit("")
	ring := s.walk(Pins{}).RingAt(s.head)
	var names []record.Ref
	for _, e := range ring.Entries() {
		names = append(names, e.Ref)
	}
	if !slices.Equal(names, []record.Ref{ines + "/key-1"}) {
		t.Errorf("counting are %v", names)
	}
	if e, counts := ring.Entry(bram + "/key-1"); counts || e.Person != bram {
		t.Errorf("the entry of bram: %+v, counts %v", e, counts)
	}
	looked := ring.look(signerOf(bram).Public(), attest.Commits, time.Unix(1780000000, 0))
	if looked.Standing != attest.UnknownKey || !looked.NotTrusted || looked.Entry.Person != bram {
		t.Errorf("looked up as %+v", looked)
	}
}

func FuzzReadKeys(f *testing.F) {
	f.Add([]byte(`{"kind": "key", "public": "` + signerOf(ines).Public().String() + `", "from": "2026-03"}`))
	f.Add([]byte(`{"kind": "revocation", "of": "people/a/b/key-1", "on": "2026-03-02"}`))
	f.Add([]byte(`{`))
	f.Fuzz(func(t *testing.T, content []byte) {
		set, err := ReadKeys(fstest.MapFS{"people/a/b/key-1.json": {Data: content}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := attest.ParseAllowedSigners(set.SignersFile()); err != nil {
			t.Fatalf("the derived list cannot be read: %v\n%s", err, set.SignersFile())
		}
	})
}
