package edtf

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

var reversed = map[Order]Order{Before: After, After: Before, Equal: Equal, Overlap: Overlap, Unknown: Unknown}

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		name, a, b string
		want       Order
	}{
		{"a day before the next", "2019-03-04", "2019-03-05", Before},
		{"the same day", "2019-03-04", "2019-03-04", Equal},
		{"the same day, one of them doubted, is compared as written", "2019-03-04?", "2019-03-04", Equal},
		{"a year before a later day", "1967", "1968-01-01", Before},
		{"the same year says nothing about the order within it", "1967", "1967", Overlap},
		{"a day within a year", "1967", "1967-06-01", Overlap},
		{"a decade before a year", "195X", "1960", Before},
		{"an interval before a day", "2019-03-04/2019-04-03", "2019-04-04", Before},
		{"an interval that touches a day", "2019-03-04/2019-04-03", "2019-04-03", Overlap},
		{"an open end goes on", "2019-03-04/..", "2025", Overlap},
		{"an open interval after an earlier day", "2019-03-04/..", "2019-03-03", After},
		{"an unknown end can't say", "2019-03-04/", "2025", Unknown},
		{"an unknown end does not spoil a known start", "2019-03-04/", "2019-03-03", After},
		{"an unknown start does not spoil a known end", "/2019-03-04", "2019-03-05", Before},
		{"the same instant in two zones", "2026-03-02T08:10:00+01:00", "2026-03-02T07:10:00Z", Equal},
		{"zones turn the order of the clocks round", "2026-03-03T00:30:00+14:00", "2026-03-02T23:00:00Z", Before},
		{"clock readings without a zone are not ordered", "2026-03-02T08:10:00", "2026-03-02T09:10:00", Overlap},
		{"nor is one equal to itself", "2026-03-02T08:10:00", "2026-03-02T08:10:00", Overlap},
		{"more than 26 hours apart is enough in any zone", "2026-03-02T08:10:00", "2026-03-03T10:10:01", Before},
		{"26 hours apart is not", "2026-03-02T08:10:00", "2026-03-03T10:10:00", Overlap},
		{"a minute is not one instant", "2026-03-02T08:10Z", "2026-03-02T08:10Z", Overlap},
		{"an instant within a day", "2026-03-02T08:10:00Z", "2026-03-02", Overlap},
		{"an instant that is the next day somewhere", "2026-03-02T11:00:00Z", "2026-03-03", Overlap},
		{"an instant that is the next day nowhere", "2026-03-02T09:00:00Z", "2026-03-03", Before},
		{"two candidates on both sides", "[2019-03-04,2019-04-03]", "2019-03-20", Overlap},
		{"two candidates on one side", "[2019-03-04,2019-04-03]", "2019-05", Before},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, b := MustParse(c.a), MustParse(c.b)
			if got := Compare(a, b); got != c.want {
				t.Errorf("%s compared with %s is %s, want %s", a, b, got, c.want)
			}
			if got := Compare(b, a); got != reversed[c.want] {
				t.Errorf("the other way round it is %s", got)
			}
		})
	}
	if Compare(Date{}, MustParse("2019")) != Unknown || Compare(Date{}, Date{}) != Unknown {
		t.Error("no date is ordered")
	}
}

func TestContains(t *testing.T) {
	for _, c := range []struct {
		name, outer, inner string
		want               Answer
	}{
		{"the last day of a licence", "2024-05-01/2025-04-30", "2025-04-30", Yes},
		{"the day after", "2024-05-01/2025-04-30", "2025-05-01", No},
		{"a month that reaches over the end", "2024-05-01/2025-04-15", "2025-04", Perhaps},
		{"an open end", "2024-05-01/..", "2030-01-01", Yes},
		{"an unknown end", "2024-05-01/", "2030-01-01", Perhaps},
		{"before a start with an unknown end", "2024-05-01/", "2024-04-30", No},
		{"a year in itself", "1967", "1967", Yes},
		{"an open interval in a closed one", "1967", "1967-03/..", Perhaps},
		{"two candidates, one inside", "2019-03", "[2019-03-04,2019-04-03]", Perhaps},
		{"two candidates, both inside", "2019", "[2019-03-04,2019-04-03]", Yes},
		{"two candidates, none inside", "2020", "[2019-03-04,2019-04-03]", No},
		{"an instant in the middle of a day, in every zone", "2026-03-02", "2026-03-02T12:30:00Z", Perhaps},
		{"an instant in the middle of an interval, in every zone", "2026-03-01/2026-03-03", "2026-03-02T12:30:00Z", Yes},
		{"an instant that is another day everywhere", "2026-03-02", "2026-03-05T12:30:00Z", No},
		{"an instant between two instants", "2026-03-02T08:00Z/2026-03-02T17:00Z", "2026-03-02T13:00:00+01:00", Yes},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Contains(MustParse(c.outer), MustParse(c.inner)); got != c.want {
				t.Errorf("%s contains %s: %s, want %s", c.outer, c.inner, got, c.want)
			}
		})
	}
	if Contains(Date{}, MustParse("2019")) != Perhaps || Contains(MustParse("2019"), Date{}) != Perhaps {
		t.Error("no date answers")
	}
}

func TestLicenceDaysAreAskedByTheCalendarOfThePlace(t *testing.T) {
	licence, signed := MustParse("2024-05-01/2025-04-30"), MustParse("2025-04-30T16:00:00+02:00")
	if got := Contains(licence, signed); got != Perhaps {
		t.Errorf("by instants the answer is %s, want perhaps", got)
	}
	if got := Contains(licence, signed.Calendar()); got != Yes {
		t.Errorf("by the calendar the answer is %s, want yes", got)
	}
}

func TestDaysBetweenIsARange(t *testing.T) {
	for _, c := range []struct {
		a, b         string
		fewest, most int
	}{
		{"2019-03-04", "2019-03-05", 1, 1},
		{"2019-03-05", "2019-03-04", -1, -1},
		{"2019-03", "2019-04-01", 1, 31},
		{"2019", "2019", -364, 364},
		{"2026-03-02T23:50:00+01:00", "2026-03-03T00:10:00+01:00", 1, 1},
	} {
		fewest, most, ok := DaysBetween(MustParse(c.a), MustParse(c.b))
		if fewest != c.fewest || most != c.most || !ok {
			t.Errorf("from %s to %s: %d to %d days, want %d to %d", c.a, c.b, fewest, most, c.fewest, c.most)
		}
	}
	if _, _, ok := DaysBetween(MustParse("2019/.."), MustParse("2020")); ok {
		t.Error("days from an open interval are counted")
	}
}

func TestByTimeSortsForReading(t *testing.T) {
	want := []string{"../2018", "/2019-02", "196X", "1967", "1967-03", "2019-03-04", "2019-03-04/2019-03-06", "[2019-03-04,2019-04-03]", "2019-03-04T09:00", "2019-03-05T00:30:00+14:00", "2019-03-04T11:00Z", "2019-03-05"}
	var dates []Date
	for _, text := range want {
		dates = append(dates, MustParse(text))
	}
	dates = append(dates, Date{})
	slices.Reverse(dates)
	slices.SortFunc(dates, ByTime)
	for i, text := range append(want, "") {
		if dates[i].Text() != text {
			t.Errorf("place %d holds %q, want %q", i, dates[i], text)
		}
	}
}

func TestBeforeIsAStrictPartialOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawDate(t), drawDate(t), drawDate(t)
		if o := Compare(a, a); o == Before || o == After {
			t.Fatalf("%s is %s itself", a, o)
		}
		ab, bc := Compare(a, b), Compare(b, c)
		if Compare(b, a) != reversed[ab] {
			t.Fatalf("%s and %s: %s one way, %s the other", a, b, ab, Compare(b, a))
		}
		if ab == Before && bc == Before && Compare(a, c) != Before {
			t.Fatalf("%s before %s before %s, but %s", a, b, c, Compare(a, c))
		}
	})
}

func TestByTimeIsATotalOrderThatKeepsBefore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawDate(t), drawDate(t), drawDate(t)
		if sign(ByTime(a, b)) != -sign(ByTime(b, a)) {
			t.Fatalf("%s and %s are not sorted the same both ways", a, b)
		}
		if ByTime(a, b) <= 0 && ByTime(b, c) <= 0 && ByTime(a, c) > 0 {
			t.Fatalf("%s, %s, %s go round in a circle", a, b, c)
		}
		if Compare(a, b) == Before && ByTime(a, b) >= 0 {
			t.Fatalf("%s is before %s and sorted behind it", a, b)
		}
	})
}

func TestContainsAgreesWithCompare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outer, inner := drawDate(t), drawDate(t)
		o := Compare(outer, inner)
		switch got := Contains(outer, inner); {
		case got == Yes && (o == Before || o == After):
			t.Fatalf("%s contains %s and lies %s it", outer, inner, o)
		case got == No && o == Equal:
			t.Fatalf("%s equals %s and does not contain it", outer, inner)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		MustParse("2026-03-02T08:10:00+01:00")
	}
}

func BenchmarkCompare(b *testing.B) {
	x, y := MustParse("2019-03-04/2019-04-03"), MustParse("2019-04-04")
	for b.Loop() {
		Compare(x, y)
	}
}
