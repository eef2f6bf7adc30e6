package edtf

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestParseKeepsTextAndKnowsItsDays(t *testing.T) {
	for _, c := range []struct {
		text        string
		precision   Precision
		first, last string
	}{
		{"1967", ToYear, "1967-01-01", "1967-12-31"},
		{"1967-03", ToMonth, "1967-03-01", "1967-03-31"},
		{"1968-02", ToMonth, "1968-02-01", "1968-02-29"},
		{"2018-09-12", ToDay, "2018-09-12", "2018-09-12"},
		{"2018-09-12?", ToDay, "2018-09-12", "2018-09-12"},
		{"1967~", ToYear, "1967-01-01", "1967-12-31"},
		{"1967-03%", ToMonth, "1967-03-01", "1967-03-31"},
		{"196X", ToDecade, "1960-01-01", "1969-12-31"},
		{"19XX", ToCentury, "1900-01-01", "1999-12-31"},
		{"1967-XX", ToYear, "1967-01-01", "1967-12-31"},
		{"1967-XX-XX", ToYear, "1967-01-01", "1967-12-31"},
		{"1967-03-XX", ToMonth, "1967-03-01", "1967-03-31"},
		{"2019-03-04/2019-04-03", Span, "2019-03-04", "2019-04-03"},
		{"2019/2020-02", Span, "2019-01-01", "2020-02-29"},
		{"2019-03-04/..", Span, "2019-03-04", ""},
		{"../2019-04", Span, "", "2019-04-30"},
		{"2019-03-04/", Span, "2019-03-04", ""},
		{"/2019-04-03", Span, "", "2019-04-03"},
		{"196X/1971~", Span, "1960-01-01", "1971-12-31"},
		{"[2019-03-04,2019-04-03]", OneOf, "2019-03-04", "2019-04-03"},
		{"[1967,1965-03?]", OneOf, "1965-03-01", "1967-12-31"},
		{"2026-03-02T08:10:00+01:00", ToSecond, "2026-03-02", "2026-03-02"},
		{"2026-03-02T08:10:00Z", ToSecond, "2026-03-02", "2026-03-02"},
		{"2026-03-02T08:10:00", ToSecond, "2026-03-02", "2026-03-02"},
		{"2026-03-02T23:10-08", ToMinute, "2026-03-02", "2026-03-02"},
		{"2026-03-02T08:10/2026-03-02T16:45", Span, "2026-03-02", "2026-03-02"},
		{"0000", ToYear, "0000-01-01", "0000-12-31"},
		{"9999-12-31", ToDay, "9999-12-31", "9999-12-31"},
	} {
		d, err := Parse(c.text)
		if err != nil {
			t.Errorf("Parse(%q) = %v", c.text, err)
			continue
		}
		first, okFirst := d.First()
		last, okLast := d.Last()
		if d.Text() != c.text || d.Precision() != c.precision || first.String() != c.first || last.String() != c.last {
			t.Errorf("%s is a %s from %q to %q, want a %s from %q to %q", d, d.Precision(), first, last, c.precision, c.first, c.last)
		}
		if okFirst != (c.first != "") || okLast != (c.last != "") {
			t.Errorf("%s: first known %v, last known %v", d, okFirst, okLast)
		}
	}
}

func TestParseErrorsSayWhatWouldBeRight(t *testing.T) {
	for text, want := range map[string]string{
		"":                                     "nothing is written",
		"2019-02-30":                           "nearest is 2019-02-28",
		"2019-02-30T08:00":                     "nearest is 2019-02-28",
		"2019-13":                              "months are 01 to 12",
		"2019-21":                              "write the months",
		"2019-22":                              "season",
		"2019-3":                               "two digits",
		"2019-3-4":                             "two digits",
		"12-09-2018":                           "year first",
		"12.09.2018":                           "year first",
		"196x":                                 "capital X",
		"XXXX":                                 "century",
		"1XXX":                                 "century",
		"1X67":                                 "at the end",
		"1967-XX-04":                           "1967-XX",
		"Y17000":                               "four digits",
		"-1967":                                "four digits",
		"1967?~":                               "one mark",
		"1967?-03":                             "at the end",
		"2019-04/2019-03":                      "other way round",
		"../..":                                "says nothing",
		"/":                                    "says nothing",
		"1/2/3":                                "one \"/\"",
		"[2019]":                               "two or more",
		"[2019,2020":                           "ends with",
		"[2019,]":                              "a date is written",
		"2026-03-02T24:00":                     "last is 23:59:59",
		"2026-03-02T08:60":                     "last is 23:59:59",
		"2026-03-02T8:10":                      "08:10",
		"2026-03-02T08":                        "08:10",
		"2026-03-02T08:10:00+1:00":             "+01:00",
		"2026-03-02T08:10:00Z0":                "+01:00",
		"2026-03-02T08:10:00-00:00":            "left out",
		"2026-03-02T08:10:00+15:00":            "between -12:00 and +14:00",
		"2026-03-02T08:10:00-12:30":            "between -12:00 and +14:00",
		"2026-03T08:10":                        "a day is written",
		"spring 1967":                          "a date is written",
		"2026-03-02T16:00/2026-03-02T08:00":    "other way round",
		"2026-03-10T08:00/2026-03-09":          "other way round",
		strings.Repeat("1", 500):               "longer",
		"2026-03-02T08:10+01/2026-03-02T08+01": "08:10",
	} {
		if d, err := Parse(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Parse(%q) = %q, %v; want an error with %q", clip(text), d, err, want)
		}
	}
}

func TestMarksAreKeptAndCarriedToTheWhole(t *testing.T) {
	for _, c := range []struct {
		text                   string
		uncertain, approximate bool
	}{
		{"1967", false, false}, {"1967?", true, false}, {"1967~", false, true}, {"1967%", true, true},
		{"1967?/1968", true, false}, {"../1968~", false, true}, {"[1967,1968%]", true, true},
	} {
		d := MustParse(c.text)
		if d.Uncertain() != c.uncertain || d.Approximate() != c.approximate || d.IsFirm() != !(c.uncertain || c.approximate) {
			t.Errorf("%s: uncertain %v, approximate %v, firm %v", d, d.Uncertain(), d.Approximate(), d.IsFirm())
		}
	}
	if (Date{}).IsFirm() {
		t.Error("no date is firm")
	}
}

func TestInstantsAreWidenedByEveryZoneWhereNoneIsWritten(t *testing.T) {
	for _, c := range []struct{ text, earliest, latest string }{
		{"2026-03-02T08:10:00Z", "2026-03-02T08:10:00Z", "2026-03-02T08:10:00Z"},
		{"2026-03-02T08:10:00+01:00", "2026-03-02T07:10:00Z", "2026-03-02T07:10:00Z"},
		{"2026-03-02T08:10:00-05:30", "2026-03-02T13:40:00Z", "2026-03-02T13:40:00Z"},
		{"2026-03-02T08:10+01", "2026-03-02T07:10:00Z", "2026-03-02T07:10:59Z"},
		{"2026-03-02T08:10:00", "2026-03-01T18:10:00Z", "2026-03-02T20:10:00Z"},
		{"2026-03-02", "2026-03-01T10:00:00Z", "2026-03-03T11:59:59Z"},
		{"2026-03-02T08:00+01:00/2026-03-02T17:00", "2026-03-02T07:00:00Z", "2026-03-03T05:00:59Z"},
	} {
		d := MustParse(c.text)
		earliest, ok1 := d.Earliest()
		latest, ok2 := d.Latest()
		if !ok1 || !ok2 || earliest.Format(time.RFC3339) != c.earliest || latest.Format(time.RFC3339) != c.latest {
			t.Errorf("%s lies between %s and %s, want %s and %s", d, earliest, latest, c.earliest, c.latest)
		}
	}
	if _, ok := MustParse("2019/..").Latest(); ok {
		t.Error("an open end has a latest instant")
	}
}

func TestHasZoneWantsAnOffsetThroughout(t *testing.T) {
	for text, want := range map[string]bool{
		"2026-03-02T08:10:00Z": true, "2026-03-02T08:10:00": false, "2026-03-02": false,
		"2026-03-02T08:10Z/2026-03-02T09:10Z": true, "2026-03-02T08:10Z/2026-03-02T19:10": false,
		"2026-03-02T08:10Z/..": true, "2026-03-02/2026-03-04T09:10Z": false,
		"[2026-03-02T08:10Z,2026-03-02T09:10Z]": true, "[2026-03-02T08:10Z,2026-03-02]": false,
	} {
		if got := MustParse(text).HasZone(); got != want {
			t.Errorf("%s has a zone: %v", text, got)
		}
	}
}

func TestEndsAndCandidates(t *testing.T) {
	start, end, sk, ek := MustParse("2019-03~/..").Ends()
	if start.Text() != "2019-03~" || !end.IsZero() || sk != Known || ek != Open {
		t.Errorf("ends are %q %v and %q %v", start, sk, end, ek)
	}
	_, end, sk, _ = MustParse("/2019").Ends()
	if end.Text() != "2019" || sk != UnknownEnd {
		t.Errorf("ends are %v and %q", sk, end)
	}
	if start, end, _, _ = MustParse("2019").Ends(); start.Text() != "2019" || end.Text() != "2019" {
		t.Errorf("the ends of a year are %q and %q", start, end)
	}
	if c := MustParse("[2019,2020-01]").Candidates(); len(c) != 2 || c[1].Text() != "2020-01" {
		t.Errorf("candidates are %v", c)
	}
	if len(MustParse("2019").Candidates()) != 1 || len((Date{}).Candidates()) != 0 {
		t.Error("a date is not its own only candidate")
	}
}

func TestCalendarDropsTheTimeOfDayOnly(t *testing.T) {
	for text, want := range map[string]string{
		"2025-04-30T23:30:00-08:00":             "2025-04-30",
		"2025-04-30T23:30?":                     "2025-04-30?",
		"2025-04":                               "2025-04",
		"2025-04-30T08:00Z/2025-05-01T09:00Z":   "2025-04-30/2025-05-01",
		"2025-04-30T08:00Z/..":                  "2025-04-30/..",
		"/2025-04-30T08:00Z":                    "/2025-04-30",
		"[2025-04-30T08:00Z,2025-05-01T09:00Z]": "[2025-04-30,2025-05-01]",
	} {
		if got := MustParse(text).Calendar().Text(); got != want {
			t.Errorf("the calendar of %s shows %q, want %q", text, got, want)
		}
	}
	if d, ok := MustParse("2025-04-30T23:30:00-08:00").Day(); !ok || d.String() != "2025-04-30" {
		t.Errorf("its day is %s", d)
	}
	if _, ok := MustParse("2025-04").Day(); ok {
		t.Error("a month is one day")
	}
}

func TestZeroDateAnswersEverything(t *testing.T) {
	var none Date
	if !none.IsZero() || none.Text() != "" || none.Precision().String() != "none" {
		t.Error("no date is a date")
	}
	if _, ok := none.First(); ok {
		t.Error("no date has a first day")
	}
	if _, ok := none.Earliest(); ok {
		t.Error("no date has an earliest instant")
	}
	if _, ok := none.Day(); ok {
		t.Error("no date has a day")
	}
	if got := none.Calendar(); !got.IsZero() {
		t.Errorf("its calendar shows %s", got)
	}
}

func TestMustParsePanicsOnNonsense(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	MustParse("someday")
}

// drawDate draws any date that can be written.
func drawDate(t *rapid.T) Date {
	d := drawSingle(t)
	switch rapid.IntRange(0, 5).Draw(t, "shape") {
	case 0:
		e := drawSingle(t)
		if i, err := Parse(d.Text() + "/" + e.Text()); err == nil {
			return i
		}
	case 1:
		return MustParse(d.Text() + rapid.SampledFrom([]string{"/..", "/"}).Draw(t, "end"))
	case 2:
		return MustParse(rapid.SampledFrom([]string{"../", "/"}).Draw(t, "start") + d.Text())
	case 3:
		return MustParse("[" + d.Text() + "," + drawSingle(t).Text() + "]")
	}
	return d
}

// drawSingle keeps to a few months so that orders and overlaps both happen.
func drawSingle(t *rapid.T) Date {
	day := NewDay(2019, 2, 20).AddDays(rapid.IntRange(0, 60).Draw(t, "day")).String()
	text := ""
	switch rapid.IntRange(0, 7).Draw(t, "precision") {
	case 0:
		text = day[:4]
	case 1:
		text = day[:7]
	case 2:
		text = day[:7] + "-XX"
	case 3, 4:
		text = day
	default:
		text = day + "T" + rapid.SampledFrom([]string{"00:00", "08:10:00", "23:59:59"}).Draw(t, "clock")
		text += rapid.SampledFrom([]string{"", "Z", "+01:00", "-08:00", "+14:00", "-12:00"}).Draw(t, "zone")
	}
	return MustParse(text + rapid.SampledFrom([]string{"", "", "?", "~", "%"}).Draw(t, "mark"))
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"1967", "196X?", "1967-03-XX~", "2019-03-04/..", "/2019", "[2019-03-04,2019-04-03]", "2026-03-02T08:10:00+01:00", "2019-02-30", "2001-21", "\xff", "[", "[,]"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := Parse(text)
		if err != nil {
			if !d.IsZero() {
				t.Fatalf("%q gives both a date and %v", text, err)
			}
			return
		}
		again, err := Parse(d.Text())
		if d.Text() != text || err != nil || ByTime(d, again) != 0 {
			t.Fatalf("%q is kept as %q and read again as %q, %v", text, d.Text(), again, err)
		}
		if d.absolute.high.kind == Known && d.absolute.low.kind == Known && d.absolute.low.at > d.absolute.high.at {
			t.Fatalf("%q ends before it starts", text)
		}
		d.Calendar()
		if o := Compare(d, d); o == Before || o == After {
			t.Fatalf("%q is %s itself", text, o)
		}
	})
}
