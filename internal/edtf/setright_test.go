package edtf

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestAClockSeenInAPictureSetsOtherTimesRight(t *testing.T) {
	for _, c := range []struct{ d, shown, was, want string }{
		{"2026-03-02T08:21:00", "2026-03-02T07:51:00", "2026-03-02T08:04:00Z", "2026-03-02T08:34:00Z"},
		{"2026-03-02T08:21:00", "2026-03-02T07:51:00", "2026-03-02T08:04:00+01:00", "2026-03-02T08:34:00+01:00"},
		{"2026-03-02T08:21:10", "2026-03-02T07:51:00", "2026-03-02T08:04", "2026-03-02T08:34"}, // no finer than the clock was read
		{"2026-03-02T08:21:00+01:00", "2026-03-02T07:51:00+02:00", "2026-03-02T08:04:00Z", "2026-03-02T09:34:00Z"},
		{"2026-03-02T23:58:00", "2026-03-02T07:51:00", "2026-03-02T08:04:00Z", "2026-03-03T00:11:00Z"},
	} {
		got, ok := MustParse(c.d).SetRight(MustParse(c.shown), MustParse(c.was))
		if !ok || got.Text() != c.want {
			t.Errorf("%v: %q, %v", c, got.Text(), ok)
		}
	}
}

func TestNothingIsSetRightByWhatIsNoMoment(t *testing.T) {
	for _, c := range []struct{ d, shown, was string }{
		{"2026-03-02", "2026-03-02T07:51:00", "2026-03-02T08:04:00Z"},
		{"2026-03-02T08:21:00", "2026-03-02", "2026-03-02T08:04:00Z"},
		{"2026-03-02T08:21:00", "2026-03-02T07:51:00", "2026-03-02"},
		{"2026-03-02T08:21:00", "2026-03-02T07:51:00Z", "2026-03-02T08:04:00Z"},
		{"2026-03-02T08:21:00", "2026-03-02T07:51:00", "2026-03-02T08:04:00?"},
		{"", "2026-03-02T07:51:00", "2026-03-02T08:04:00Z"},
		{"9999-12-31T23:59:59", "2026-03-02T07:51:00", "2026-03-02T08:04:00Z"},
	} {
		if got, ok := optional(c.d).SetRight(optional(c.shown), optional(c.was)); ok {
			t.Errorf("%v gives %s", c, got)
		}
	}
}

func optional(text string) Date {
	d, err := Parse(text)
	if err != nil {
		return Date{}
	}
	return d
}

func TestWhatIsSetRightIsAsFarFromTheTruthAsTheClockRan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string, zone string) Date {
			return MustParse(time.Unix(rapid.Int64Range(0, 4_000_000_000).Draw(t, name), 0).UTC().Format("2006-01-02T15:04:05") + zone)
		}
		d, shown, was := at("d", ""), at("shown", ""), at("was", "Z")
		right, ok := d.SetRight(shown, was)
		ran, ok1 := Apart(shown, d)
		truly, ok2 := Apart(was, right)
		if !ok || !ok1 || !ok2 || ran != truly {
			t.Fatalf("%s: %v, %v", right, ran, truly)
		}
	})
}
