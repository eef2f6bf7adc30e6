package dossier_test

import (
	"slices"
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/history"
	"boltback/internal/render"
)

// rendered checks the shape of a section and writes it as a terminal shows it.
func rendered(t *testing.T, s *doc.Section) string {
	t.Helper()
	d := &doc.Document{Title: "T", Language: "en", Sections: []*doc.Section{s},
		Provenance: &doc.Provenance{Commit: "c", Day: "2026-03-02", Basis: doc.NotExamined}}
	if err := doc.Check(d); err != nil {
		t.Error(err)
	}
	var b strings.Builder
	if err := render.TextBlocks(&b, []doc.Block{s}, render.TextOptions{Width: 100}); err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(b.String())
}

const (
	lampDay = "work/2026-03-02-ina-lamp.json"
	lampFix = "work/2026-03-02-ina-lamp-day.json"
)

var lampOff = `{"kind": "session", "name": "Lamp off", "started": "2026-03-02", "lines": [{"act": "removal", "parts": ["parts/lamp"]}]}`

func TestDifferencesAreToldByWhatBecameOfEachRecord(t *testing.T) {
	old := map[string]string{
		lampDay:                          lampOff,
		"work/2026-03-01-ina-shell.json": `{"kind": "session", "name": "Shell washed"}`,
		"parts/lamp.json":                `{"kind": "part", "name": "Lamp", "mass": "1.5 kg", "value": "` + strings.Repeat("a", 64) + `", "note": "The left glass is cracked at the lower rim, kept for its pattern"}`,
		"parts/shell.json":               `{"kind": "part", "name": "Shell"}`,
		"parts/horn.json":                `{"kind": "part", "name": "Horn", "tag": "7", "found": "yes", "maker": "Brack"}`,
		"joints/bracket.json":            `{"kind": "joint", "specification": {"torque": "35 lbf.ft"}}`,
		"concerns/rattle.json":           `{"kind": "concern"}`,
	}
	now := map[string]string{
		lampDay:                          lampOff,
		lampFix:                          strings.Replace(strings.Replace(lampOff, "-02", "-03", 1), "{", `{"corrects": "work/2026-03-02-ina-lamp", "reason": "the diary says Tuesday", `, 1),
		"work/2026-03-01-ina-shell.json": `{"kind": "session", "name": "Shell washed"}`,
		"work/2026-03-01-ina-never.json": `{"kind": "session", "withdraws": "work/2026-03-01-ina-shell", "reason": "another car"}`,
		"parts/lamp.json":                `{"kind": "part", "name": "Lamp", "tag": "0147", "mass": "1.7 kg", "value": "` + strings.Repeat("b", 64) + `", "note": "The right glass is cracked at the lower rim, kept for its pattern"}`,
		"parts/shell.json":               `{"name": "Shell", "kind": "part"}`,
		"parts/horn-left.json":           `{"kind": "part", "name": "Horn", "tag": "7", "found": "yes", "maker": "Brack"}`,
		"joints/bracket.json":            `{"kind": "joint", "specification": {"torque": "47.5 N.m"}}`,
		"papers/photo.json":              `{"kind": "paper", "caption": "Lamp <b>before</b>\nline"}`,
		"notes.txt":                      "x",
	}
	changes, err := history.Diff(load(t, carOf(old)), load(t, carOf(now)))
	if err != nil {
		t.Fatal(err)
	}
	got := rendered(t, dossier.Differences("commit 1", "the files here", changes))
	const want = `What differs
────────────────────────────────────────────────────────────────────────────────────────────────────
From  commit 1
To    the files here

9 differences.

Withdrawn
─────────
These records count no more. They stay in the ledger with the reason.

- [struck out: Session Shell washed] [work/2026-03-01-ina-shell.json], withdrawn by
  work/2026-03-01-ina-never; reason: “another car”.

Corrected
─────────
Another record stands in the place of each; what it says otherwise is listed below it.

- [struck out: Session Lamp off] [work/2026-03-02-ina-lamp.json], corrected by
  work/2026-03-02-ina-lamp-day; reason: “the diary says Tuesday”.
  - Started: [struck out: 2026-03-02] → 2026-03-03; later by 1 day.
    [work/2026-03-02-ina-lamp-day.json:1]

Gone from the ledger
────────────────────
The files are gone, without a record that says why. What is taken back with a reason is withdrawn
instead.

- [struck out: Concern concerns/rattle] [concerns/rattle.json], gone from the ledger.

Changed
───────
- Part Lamp [parts/lamp.json], changed.
  - Mass: [struck out: 1.5 kg] → 1.7 kg; heavier by 0.2 kg. [parts/lamp.json:1]
  - Tag 0147 written on it. [parts/lamp.json:1]
  - Value: (withheld: another value). [parts/lamp.json:1]
  - Note: “The [struck out: left] right glass is cracked at the lower rim, kept for its pattern”.
    [parts/lamp.json:1]
- Joint joints/bracket [joints/bracket.json], changed.
  - Specification: torque: [struck out: 35 lbf.ft] → 47.5 N.m; same within rounding.
    [joints/bracket.json:1]

Renamed
───────
Taken for the same record under another name, because most of what they say is the same.

- Part Horn [parts/horn-left.json], renamed from parts/horn; 4 of 4 values are the same.

Added
─────
- Paper Lamp <b>before</b>␊line [papers/photo.json], added.
- notes.txt, added; it is no record.

Only the layout
───────────────
The bytes differ and the values do not: other spaces, another order of members or of a list that has
none. A sign-off names the bytes, so that it does not cover the new ones.

- Part Shell [parts/shell.json], laid out otherwise.`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestNothingDiffersIsSaid(t *testing.T) {
	wantAll(t, rendered(t, dossier.Differences("a", "b", nil)), "Nothing differs.")
}

func TestASealedValueNeverShows(t *testing.T) {
	changes := history.DiffFiles([]history.Pair{{Path: "parts/a.json",
		Old: []byte(`{"kind": "part", "value": "` + strings.Repeat("a", 64) + `"}`),
		New: []byte(`{"kind": "part", "value": "` + strings.Repeat("b", 64) + `"}`)}}, nil)
	got := rendered(t, dossier.Differences("a", "b", changes))
	wantAll(t, got, "another value")
	wantNone(t, got, "aaaa", "bbbb")
}

func TestAFieldPointsAtItsLine(t *testing.T) {
	changes := history.DiffFiles([]history.Pair{{Path: "parts/a.json",
		Old: []byte("{\n  \"kind\": \"part\",\n  \"tag\": \"7\",\n  \"mass\": \"1 kg\"\n}\n"),
		New: []byte("{\n  \"kind\": \"part\",\n  \"mass\": \"2 kg\"\n}\n")}}, nil)
	wantAll(t, rendered(t, dossier.Differences("a", "b", changes)), "[parts/a.json:3]", "Mass: [struck out: 1 kg] → 2 kg; heavier by 1 kg.")
}

func TestWhatCorrectsIsToldOnlyOnce(t *testing.T) {
	read := func(path string) []byte { return []byte(lampOff) }
	fix := strings.Replace(lampOff, "{", `{"corrects": "work/2026-03-02-ina-lamp", "reason": "r", `, 1)
	changes := history.DiffFiles([]history.Pair{{Path: lampFix, New: []byte(fix)}}, read)
	if !slices.ContainsFunc(changes, func(c history.Change) bool { return c.What == history.Added }) {
		t.Fatal("the new record is no change")
	}
	got := rendered(t, dossier.Differences("a", "b", changes))
	wantAll(t, got, "1 difference.", "reason: “r”")
	wantNone(t, got, "Added")
}

func TestWhatCountsOtherwiseIsTold(t *testing.T) {
	const third = "work/2026-03-02-ina-lamp-third.json"
	fix := strings.Replace(lampOff, "{", `{"corrects": "work/2026-03-02-ina-lamp", "reason": "r", `, 1)
	withdrawn := `{"kind": "session", "withdraws": "work/2026-03-02-ina-lamp", "reason": "never done"}`
	two := strings.Replace(lampOff, `{"act"`, `{"act": "removal", "parts": ["parts/horn"]}, {"act"`, 1)
	turned := strings.Replace(lampOff, `"parts/lamp"]}`, `"parts/lamp"]}, {"act": "removal", "parts": ["parts/horn"]}`, 1)
	for _, tt := range []struct {
		name     string
		old, now map[string]string
		want     []string
	}{
		{"a dispute", map[string]string{lampDay: lampOff, lampFix: fix}, map[string]string{lampDay: lampOff, lampFix: fix, third: withdrawn}, []string{
			"Disputed", "Session Lamp off [work/2026-03-02-ina-lamp.json], disputed; several records claim",
			"Not applied", "Session Lamp off [work/2026-03-02-ina-lamp-day.json], not applied to work/2026-03-02-ina-lamp; reason given: “r”.",
			"Added", "added, over work/2026-03-02-ina-lamp; reason: “never done”."}},
		{"a withdrawal that is gone", map[string]string{lampDay: lampOff, third: withdrawn}, map[string]string{lampDay: lampOff}, []string{
			"Stands again", "stands again, without work/2026-03-02-ina-lamp-third.",
			"Gone from the ledger", "[struck out: Session work/2026-03-02-ina-lamp-third]"}},
		{"a dispute that is over", map[string]string{lampDay: lampOff, lampFix: fix, third: fix}, map[string]string{lampDay: lampOff}, []string{
			"Session Lamp off [work/2026-03-02-ina-lamp.json], stands again."}},
		{"a line that moved", map[string]string{lampDay: two}, map[string]string{lampDay: turned}, []string{
			"Line ", "removal of parts/", "moved here from place"}},
		{"a file that can no longer be read", map[string]string{lampDay: lampOff}, map[string]string{lampDay: "{"}, []string{
			"Session work/2026-03-02-ina-lamp [work/2026-03-02-ina-lamp.json], changed; it can no longer be read: line 1"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			changes, err := history.Diff(load(t, carOf(tt.old)), load(t, carOf(tt.now)))
			if err != nil {
				t.Fatal(err)
			}
			wantAll(t, rendered(t, dossier.Differences("a", "b", changes)), tt.want...)
		})
	}
}

func TestAPartOfALongTextThatIsNewOrGoneIsSetApart(t *testing.T) {
	const long = "the glass is cracked at the lower rim and stays"
	for _, tt := range []struct{ old, now, want string }{
		{long, long + " on", "Note: “the glass is cracked at the lower rim and stays on”."},
		{long + " on", long, "Note: “the glass is cracked at the lower rim and stays[struck out: on]”."},
	} {
		changes := history.DiffFiles([]history.Pair{{Path: "parts/a.json",
			Old: []byte(`{"kind": "part", "note": "` + tt.old + `"}`), New: []byte(`{"kind": "part", "note": "` + tt.now + `"}`)}}, nil)
		wantAll(t, rendered(t, dossier.Differences("a", "b", changes)), tt.want)
	}
}
