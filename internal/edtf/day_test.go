package edtf

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestDaysThatDoNotExistNameTheNearestThatDoes(t *testing.T) {
	for text, want := range map[string]string{
		"2019-02-30": "2019-02-28",
		"2020-02-30": "2020-02-29",
		"1900-02-29": "1900-02-28",
		"2000-02-30": "2000-02-29",
		"2019-04-31": "2019-04-30",
		"2019-13-01": "months are 01 to 12",
		"2019-00-01": "months are 01 to 12",
		"2019-01-00": "2019-01-XX",
		"2019-1-1":   "2018-09-12",
		"2019-0a-01": "2018-09-12",
		"":           "2018-09-12",
	} {
		if d, err := ParseDay(text); err == nil || !strings.Contains(err.Error(), want) || !d.IsZero() {
			t.Errorf("ParseDay(%q) = %v, %v; want an error with %q", text, d, err, want)
		}
	}
}

func TestDaysAgreeWithTheCalendarOfTheLibrary(t *testing.T) {
	day := NewDay(0, 1, 1)
	clock := time.Date(0, 1, 1, 12, 0, 0, 0, time.UTC)
	for n := 0; n < 3652425; n += 97 {
		d, at := day.AddDays(n), clock.AddDate(0, 0, n)
		if d != DayOf(at) || d.String() != at.Format("2006-01-02") || d.Sub(day) != n {
			t.Fatalf("day %d is %s, the library says %s", n, d, at)
		}
	}
}

func TestFirstAndLastDay(t *testing.T) {
	first, last := NewDay(0, 1, 1), NewDay(9999, 12, 31)
	if first.number != 1 || last.number != lastNumber || NewDay(1970, 1, 1).number != epochNumber {
		t.Errorf("numbers are %d, %d and %d", first.number, last.number, NewDay(1970, 1, 1).number)
	}
	if !first.AddDays(-1).IsZero() || !last.AddDays(1).IsZero() || !(Day{}).AddDays(1).IsZero() {
		t.Error("days outside the calendar are not refused")
	}
	if last.AddDays(-lastNumber+1) != first {
		t.Error("the calendar does not lead back to its first day")
	}
	if !NewDay(2019, 2, 29).IsZero() || !NewDay(10000, 1, 1).IsZero() || !NewDay(2019, 0, 1).IsZero() {
		t.Error("NewDay gives days that do not exist")
	}
}

func TestZeroDayIsNoDay(t *testing.T) {
	var none Day
	if none.String() != "" || none.Compare(NewDay(0, 1, 1)) >= 0 || none.Sub(NewDay(2019, 1, 1)) != 0 || !none.AddMonths(1).IsZero() {
		t.Error("the zero day behaves like a day")
	}
	if y, m, d := none.Date(); y != 0 || m != 0 || d != 0 {
		t.Errorf("the zero day is %d-%d-%d", y, m, d)
	}
	if !Of(none).IsZero() {
		t.Error("the zero day makes a date")
	}
}

func TestAddMonthsKeepsToTheMonth(t *testing.T) {
	for _, c := range []struct {
		from   string
		months int
		want   string
	}{
		{"2024-02-29", 12, "2025-02-28"}, {"2024-01-31", 1, "2024-02-29"}, {"2023-12-15", 1, "2024-01-15"},
		{"2024-01-15", -1, "2023-12-15"}, {"0000-01-15", -1, ""}, {"9999-12-15", 1, ""}, {"2024-03-31", 1200000, ""},
	} {
		if got := mustDay(t, c.from).AddMonths(c.months).String(); got != c.want {
			t.Errorf("%s and %d months is %q, want %q", c.from, c.months, got, c.want)
		}
	}
}

func TestDayOfUsesTheLocationOfTheInstant(t *testing.T) {
	at := time.Date(2026, 3, 2, 23, 30, 0, 0, time.UTC)
	if got := DayOf(at.In(time.FixedZone("", 3600))).String(); got != "2026-03-03" {
		t.Errorf("23:30 UTC in UTC+1 is on %s", got)
	}
}

func TestDayArithmeticProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDay(t)
		back, err := ParseDay(d.String())
		if err != nil || back != d {
			t.Fatalf("%s parses to %s, %v", d, back, err)
		}
		n := rapid.IntRange(-1000, 1000).Draw(t, "n")
		if e := d.AddDays(n); !e.IsZero() && (e.Sub(d) != n || e.AddDays(-n) != d || sign(e.Compare(d)) != sign(n)) {
			t.Fatalf("%s and %d days is %s", d, n, e)
		}
	})
}

func sign(n int) int {
	switch {
	case n < 0:
		return -1
	case n > 0:
		return 1
	}
	return 0
}

func drawDay(t *rapid.T) Day {
	return NewDay(0, 1, 1).AddDays(rapid.IntRange(0, lastNumber-1).Draw(t, "day"))
}
