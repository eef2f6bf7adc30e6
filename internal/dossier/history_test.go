package dossier_test

import (
	"testing"
	"time"

	"boltback/internal/dossier"
	"boltback/internal/history"
)

func commit(id, day, message string) history.Revision {
	when, err := time.Parse(time.RFC3339, day+"T17:30:00+01:00")
	if err != nil {
		panic(err)
	}
	return history.Revision{ID: id, When: when, Author: "Ina Reed", Message: message}
}

func TestAHistorySaysWhoWhenWhatAndHowLate(t *testing.T) {
	signed := commit("a1b2c3d4e5f60718", "2026-03-04", "Lamp off")
	signed.Signed = "signed by a key of Ina Reed"
	entries := history.Timeline([]history.Version{
		{Revision: commit("f00dfeed00112233", "2026-03-20", ""), Path: lampFix,
			Bytes: []byte(`{"kind": "session", "name": "Lamp off", "corrects": "work/2026-03-02-ina-lamp", "reason": "the diary says Tuesday", "started": "2026-03-03", "lines": [{"act": "removal", "parts": ["parts/lamp"]}]}`)},
		{Revision: commit("0badcafe00112233", "2026-03-12", "Note on the glass"), Path: lampDay,
			Bytes: []byte(`{"kind": "session", "name": "Lamp off", "started": "2026-03-02", "lines": [{"act": "removal", "parts": ["parts/lamp"]}], "note": "glass cracked"}`)},
		{Revision: signed, Path: lampDay, Bytes: []byte(lampOff)},
	}, 1)
	const want = `History of work/2026-03-02-ina-lamp
────────────────────────────────────────────────────────────────────────────────────────────────────
3 commits; 1 entry late, 0 perhaps late.

An entry is late that was committed more than 1 day after the day its record gives. The day of a
commit is what its author's clock said; only a time stamp from outside shows that it was no later.

2026-03-20 17:30 +01:00, Ina Reed. [commit f00dfeed0011]

- [struck out: Session Lamp off] [work/2026-03-02-ina-lamp.json], corrected by
  work/2026-03-02-ina-lamp-day; reason: “the diary says Tuesday”.
  - Started: [struck out: 2026-03-02] → 2026-03-03; later by 1 day.
    [work/2026-03-02-ina-lamp-day.json:1]
  - Note taken out: [struck out: glass cracked]. [work/2026-03-02-ina-lamp.json:1]
- Corrected 17 days after the work. [work/2026-03-02-ina-lamp-day.json]

2026-03-12 17:30 +01:00, Ina Reed: “Note on the glass”. [commit 0badcafe0011]

- Session Lamp off [work/2026-03-02-ina-lamp.json], changed.
  - Note added: glass cracked. [work/2026-03-02-ina-lamp.json:1]
- Changed 10 days after the work. [work/2026-03-02-ina-lamp.json]
- Changed 8 days after its first entry. [work/2026-03-02-ina-lamp.json]

2026-03-04 17:30 +01:00, Ina Reed: “Lamp off”; signed by a key of Ina Reed. [commit a1b2c3d4e5f6]

- Session Lamp off [work/2026-03-02-ina-lamp.json], added.
- Late: written down 2 days after the work. [work/2026-03-02-ina-lamp.json]`
	if got := rendered(t, dossier.History("work/2026-03-02-ina-lamp", entries, 1)); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestNoCommitIsSaid(t *testing.T) {
	wantAll(t, rendered(t, dossier.History("parts/lamp", nil, 7)), "No commit tells of it.")
}

func TestADayThatIsNotExactIsPerhapsLate(t *testing.T) {
	for _, tt := range []struct{ name, started, want string }{
		{"a month", "2026-03", "Perhaps late: written down 3 to 33 days after the work, as the dates allow."},
		{"no day", "", "(Written down; days since the work: not stated)."},
		{"in time", "2026-04-02", "Written down 1 day after the work."},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := `{"kind": "session", "started": "` + tt.started + `"}`
			entries := history.Timeline([]history.Version{{Revision: commit("c", "2026-04-03", "m"), Path: lampDay, Bytes: []byte(text)}}, 7)
			wantAll(t, rendered(t, dossier.History("x", entries, 7)), tt.want)
		})
	}
}
