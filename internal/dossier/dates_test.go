package dossier

import (
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/record"
)

func TestDaysFromTheWorkToItsEntryAreSaidAsFarAsTheDatesAllow(t *testing.T) {
	tests := []struct {
		name                    string
		started, ended, entered record.Date
		want                    string
		late                    bool
	}{
		{"on the same day", "2026-02-04T08:00:00Z", "2026-02-04T16:30:00Z", "2026-02-04", "on the same day", false},
		{"a day later", "2026-02-04", "", "2026-02-05", "1 day later", true},
		{"counted from the end of the work", "2026-02-04", "2026-02-06", "2026-02-09", "3 days later", true},
		{"a month leaves it open", "2026-02", "", "2026-03-02", "between 2 and 29 days later, as the dates allow", true},
		{"it may have been the same day", "2026-02", "", "2026-02-28", "between 0 and 27 days later, as the dates allow", false},
		{"an entry before the work is said", "2026-02-04", "", "2026-02-01", "3 days before the day stated", false},
		{"no day of the work", "", "", "2026-02-01", "days since: not stated", false},
		{"a date that cannot be read is none", "last spring", "", "2026-02-01", "days since: not stated", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := periodOf(tt.started, tt.ended, &record.Record{Path: "work/0000-00-00-x.json"})
			if got := delayWords(p, tt.entered).String(); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
			if got := late(p, tt.entered); got != tt.late {
				t.Errorf("late: got %v, want %v", got, tt.late)
			}
		})
	}
}

func TestThePathGivesAPlaceInTheListAndNoCertainty(t *testing.T) {
	p := periodOf("", "", &record.Record{Path: "work/2026-02-04-x.json"})
	q := periodOf("2026-03-01", "", &record.Record{Path: "work/2026-03-01-x.json"})
	if p.known || p.compare(q) >= 0 || p.before(q) {
		t.Errorf("a day that only the path states: known %v, order %d, before %v", p.known, p.compare(q), p.before(q))
	}
}

func TestBeforeIsAStrictOrder(t *testing.T) {
	dates := []record.Date{"2026-02", "2026-02-04", "2026-02-04T08:00:00Z", "2026-02-04T09:00:00+14:00", "2026-02-04/2026-02-09", "2026-02-09", "", "196X", "2026-02-05T01:00:00+14:00", "2026-02-04T23:00:00-12:00"}
	rapid.Check(t, func(r *rapid.T) {
		draw := func(label string) period {
			return periodOf(rapid.SampledFrom(dates).Draw(r, label), "", &record.Record{Path: "work/2026-02-01-x.json"})
		}
		a, b := draw("a"), draw("b")
		if a.before(a) {
			r.Fatal("before itself")
		}
		if a.before(b) && b.before(a) {
			r.Fatalf("each before the other: %v, %v", a.start, b.start)
		}
	})
}

func TestNounsAreCounted(t *testing.T) {
	for want, got := range map[string]string{"1 entry": count(1, "entry"), "0 entries": count(0, "entry"), "2 days": count(2, "day"), "1 record": count(1, "record"),
		"4 hole surveys": count(4, "hole survey"), "2 cables or boxes": count(2, "cable or box"), "1 cable or box": count(1, "cable or box"),
		"0 drawings, manuals or instructions": count(0, "drawing, manual or instruction")} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
