package history

import (
	"slices"
	"testing"
	"time"

	"boltback/internal/edtf"
	"boltback/internal/record"
)

func on(t testing.TB, moment string) time.Time {
	t.Helper()
	when, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		t.Fatal(err)
	}
	return when
}

func revision(t testing.TB, id, when string) Revision {
	return Revision{ID: id, When: on(t, when), Author: "Ines", Message: "m " + id}
}

// story says a timeline in lines.
func story(entries []Entry) []string {
	var lines []string
	for _, e := range entries {
		lines = append(lines, e.ID)
		for _, text := range listed(e.Changes) {
			lines = append(lines, " "+text)
		}
		for _, d := range e.Delays {
			text := " * " + d.String()
			if d.Late != edtf.No {
				text += " (late: " + string(d.Late) + ")"
			}
			lines = append(lines, text)
		}
	}
	return lines
}

func TestTheStoryOfARecord(t *testing.T) {
	const tankPath, path, by = "parts/tank.json", "work/2026-03-02-ines-tank.json", "work/2026-03-02-ines-tank-again.json"
	bytes := func(s string) []byte { return []byte(s) }
	for _, tc := range []struct {
		name     string
		versions []Version
		want     []string
	}{
		{"no version is no story", nil, nil},
		{"written, changed, laid out anew, taken away and written again", []Version{
			{Revision: revision(t, "c5", "2026-03-06T10:00:00Z"), Path: tankPath, Bytes: bytes(tank)},
			{Revision: revision(t, "c4", "2026-03-05T10:00:00Z"), Path: tankPath},
			{Revision: revision(t, "c3", "2026-03-04T10:00:00Z"), Path: tankPath, Bytes: bytes(tankLight + "\n")},
			{Revision: revision(t, "c2", "2026-03-03T10:00:00Z"), Path: tankPath, Bytes: bytes(tankLight)},
			{Revision: revision(t, "c1", "2026-03-02T10:00:00Z"), Path: tankPath, Bytes: bytes(tank)},
		}, []string{
			"c5", " part “Fuel tank” added",
			"c4", " part “Fuel tank” removed",
			"c3", " part “Fuel tank” written in another layout, with the same values",
			"c2", " part “Fuel tank” changed", " - mass 11 kg → 10 kg, lighter by 1 kg", " * changed 1 day after its first entry",
			"c1", " part “Fuel tank” added",
		}},
		{"a commit that left the bytes as they were is no entry", []Version{
			{Revision: revision(t, "c2", "2026-03-03T10:00:00Z"), Path: tankPath, Bytes: bytes(tank)},
			{Revision: revision(t, "c1", "2026-03-02T10:00:00Z"), Path: tankPath, Bytes: bytes(tank)},
		}, []string{"c1", " part “Fuel tank” added"}},
		{"work is written down days later and corrected in another file", []Version{
			{Revision: revision(t, "c3", "2026-04-20T10:00:00Z"), Path: by, Bytes: bytes(corrects)},
			{Revision: revision(t, "c1", "2026-03-14T10:00:00Z"), Path: path, Bytes: bytes(work)},
		}, []string{
			"c3", " session “Tank out” corrected by work/2026-03-02-ines-tank-again; reason: wrong day", " - started 2026-03-02 → 2026-03-03, later by 1 day",
			" session “Tank out” added, over work/2026-03-02-ines-tank; reason: wrong day", " * corrected 48 days after the work",
			"c1", " session “Tank out” added", " * written down 12 days after the work (late: yes)",
		}},
		{"versions on two branches each grew from their own", []Version{
			{Revision: revision(t, "right", "2026-03-04T10:00:00Z"), Path: tankPath, Bytes: bytes(tankLight), Parent: "first"},
			{Revision: revision(t, "left", "2026-03-03T10:00:00Z"), Path: tankPath, Bytes: bytes(part(`"mass": "12 kg"`)), Parent: "first"},
			{Revision: revision(t, "first", "2026-03-02T10:00:00Z"), Path: tankPath, Bytes: bytes(part(`"mass": "11 kg"`))},
		}, []string{
			"right", " part “Fuel tank” changed", " - found added: yes", " - origin added: factory to this car", " - class added: single", " - mass 11 kg → 10 kg, lighter by 1 kg", " * changed 2 days after its first entry",
			"left", " part “Fuel tank” changed", " - mass 11 kg → 12 kg, heavier by 1 kg", " * changed 1 day after its first entry",
			"first", " part “Fuel tank” added",
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := story(Timeline(tc.versions, 7)); !slices.Equal(got, tc.want) {
				t.Errorf("got  %q\nwant %q", got, tc.want)
			}
		})
	}
}

func TestTheDaysBetweenTheWorkAndItsEntry(t *testing.T) {
	const path = "work/0000-00-00-ines-x.json"
	for _, tc := range []struct {
		name, members, commit string
		late                  edtf.Answer
		want                  []string
	}{
		{"on the same day", `"started": "2026-03-02"`, "2026-03-02T18:00:00Z", edtf.No, []string{"written down on the day of the work"}},
		{"one day", `"started": "2026-03-02"`, "2026-03-03T18:00:00Z", edtf.No, []string{"written down 1 day after the work"}},
		{"just in time", `"started": "2026-03-02"`, "2026-03-09T18:00:00Z", edtf.No, []string{"written down 7 days after the work"}},
		{"late", `"started": "2026-03-02"`, "2026-03-10T18:00:00Z", edtf.Yes, []string{"written down 8 days after the work"}},
		{"counted from its end", `"started": "2026-03-02", "ended": "2026-03-09"`, "2026-03-10T18:00:00Z", edtf.No, []string{"written down 1 day after the work"}},
		{"a month may be late", `"started": "2026-03"`, "2026-04-02T18:00:00Z", edtf.Perhaps, []string{"written down 2 to 32 days after the work, as the dates allow"}},
		{"a month that is late for certain", `"started": "2026-02"`, "2026-04-02T18:00:00Z", edtf.Yes, []string{"written down 33 to 60 days after the work, as the dates allow"}},
		{"a month that is not over", `"started": "2026-03"`, "2026-03-05T18:00:00Z", edtf.No, []string{"written down at most 4 days after the work, as the dates allow"}},
		{"dated after the commit", `"started": "2026-03-04"`, "2026-03-02T18:00:00Z", edtf.No, []string{"written down 2 days before the day stated for the work"}},
		{"a month after the commit", `"started": "2026-04"`, "2026-03-30T18:00:00Z", edtf.No, []string{"written down 2 to 31 days before the day stated for the work"}},
		{"no day is stated", ``, "2026-03-02T18:00:00Z", edtf.Perhaps, []string{"written down; days since the work: not stated"}},
		{"the day counts at the place of the commit", `"started": "2026-03-02"`, "2026-03-03T00:30:00+02:00", edtf.No, []string{"written down 1 day after the work"}},
		{"its own entry date was long before", `"started": "2026-03-02", "entered": "2026-03-02"`, "2026-03-06T18:00:00Z", edtf.No,
			[]string{"written down 4 days after the work", "committed 4 days after its own entry date"}},
		{"its own entry date is the day of the commit", `"started": "2026-03-02", "entered": "2026-03-06"`, "2026-03-06T18:00:00Z", edtf.No,
			[]string{"written down 4 days after the work"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			e := Tell(Step{Revision: revision(t, "c", tc.commit), Files: []Pair{{path, nil, []byte(session(tc.members))}}}, 7)
			var got []string
			for _, d := range e.Delays {
				got = append(got, d.String())
			}
			if !slices.Equal(got, tc.want) {
				t.Errorf("got  %q\nwant %q", got, tc.want)
			}
			if e.Delays[0].Late != tc.late {
				t.Errorf("late: %s, want %s", e.Delays[0].Late, tc.late)
			}
		})
	}
}

func TestWhatHappensOnADayHasADelayAndNothingElse(t *testing.T) {
	for _, tc := range []struct{ path, text, want string }{
		{"readings/2026-03-02-ines-x.json", `{"kind": "reading", "on": "2026-03-02"}`, "written down 1 day after the reading"},
		{"concerns/x.json", `{"kind": "concern", "raised-on": "2026-03-02"}`, "written down 1 day after it was raised"},
		{"concerns/x.json", `{"kind": "concern", "raised-on": "2026-03-03"}`, "written down on the day of its being raised"},
		{"existing/x.json", `{"kind": "existing", "seen-on": "2026-03-02"}`, "written down 1 day after it was seen"},
		{"existing/x.json", `{"kind": "existing", "seen-on": "2026-03-03"}`, "written down on the day of its being seen"},
		{"signoffs/2026-03-02-ines-x.json", `{"kind": "sign-off", "on": "2026-03-02"}`, "written down 1 day after the sign-off"},
		{"parts/x.json", `{"kind": "part"}`, ""},
		{"work/2026-03-02-ines-x.json", `{"kind": "session", "withdraws": "work/2026-03-02-y"}`, ""},
		{"work/2026-03-02-ines-x.json", `{`, ""},
	} {
		t.Run(tc.path, func(t *testing.T) {
			e := Tell(Step{Revision: revision(t, "c", "2026-03-03T10:00:00Z"), Files: []Pair{{tc.path, nil, []byte(tc.text)}}}, 7)
			got := ""
			for _, d := range e.Delays {
				got += d.String()
			}
			if got != tc.want {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}

func TestTheFilesOfAStoryAreThoseThatStandOverOneAnother(t *testing.T) {
	s := car(t, files{
		"work/2026-03-02-ines-tank.json":       work,
		"work/2026-03-02-ines-tank-again.json": corrects,
		"work/2026-03-02-ines-tank-third.json": `{"kind": "session", "corrects": "work/2026-03-02-ines-tank-again"}`,
		"work/2026-03-02-ines-other.json":      work,
		"people/t/a/person.json":               `{"kind": "person"}`,
	})
	for _, tc := range []struct {
		id   record.Ref
		want []string
	}{
		{"work/2026-03-02-ines-tank", []string{"work/2026-03-02-ines-tank.json", "work/2026-03-02-ines-tank-again.json", "work/2026-03-02-ines-tank-third.json"}},
		{"work/2026-03-02-ines-tank-third", []string{"work/2026-03-02-ines-tank-third.json", "work/2026-03-02-ines-tank-again.json", "work/2026-03-02-ines-tank.json"}},
		{"work/2026-03-02-ines-other", []string{"work/2026-03-02-ines-other.json"}},
		{"people/t/a", []string{"people/t/a/person.json"}},
		{"parts/gone", []string{"parts/gone.json"}},
	} {
		if got := Paths(s, tc.id); !slices.Equal(got, tc.want) {
			t.Errorf("%s: got %q, want %q", tc.id, got, tc.want)
		}
	}
}

func TestAStoryReadsNoMoreVersionsThanItIsGiven(t *testing.T) {
	var versions []Version
	for i := range 200 {
		v := Version{Revision: revision(t, time.Unix(int64(i), 0).String(), "2026-03-02T10:00:00Z"), Path: "parts/tank.json", Bytes: []byte(tank)}
		if i%2 == 0 {
			v.Bytes = []byte(tankLight)
		}
		versions = append(versions, v)
	}
	if got := len(Timeline(versions, 7)); got != len(versions) {
		t.Errorf("%d entries for %d versions", got, len(versions))
	}
}
