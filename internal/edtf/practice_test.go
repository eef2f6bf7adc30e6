package edtf

import (
	"strings"
	"testing"
)

// The practice cases: what workshops really meet. Each name begins with the
// number of its case.

func readDocument(t *testing.T, text, country string, others ...string) DocumentDate {
	t.Helper()
	d, err := ReadDocument(text, country, others...)
	if err != nil {
		t.Fatalf("ReadDocument(%q, %q) = %v", text, country, err)
	}
	return d
}

func TestC40_InvoiceDateReadInTwoCountries(t *testing.T) {
	for _, c := range []struct {
		name, text, country string
		others              []string
		want                string
	}{
		{"an invoice from a British shop is day first", "03/04/2019", "GB", nil, "2019-04-03"},
		{"a sheet from an American supplier is month first", "04/03/2019", "US", nil, "2019-04-03"},
		{"without a country both candidates stay", "03/04/2019", "", nil, "[2019-03-04,2019-04-03]"},
		{"a country that writes both keeps both", "03/04/2019", "CA", nil, "[2019-03-04,2019-04-03]"},
		{"a day above 12 settles it", "13/04/2019", "", nil, "2019-04-13"},
		{"a day above 12 settles it even against the country", "04/13/2019", "GB", nil, "2019-04-13"},
		{"another date on the paper settles it", "03/04/2019", "", []string{"28/03/2019"}, "2019-04-03"},
		{"another date on the paper settles it for the other order", "03/04/2019", "", []string{"05/05/2019", "02/28/2019"}, "2019-03-04"},
		{"a paper that contradicts its country settles nothing", "03/04/2019", "GB", []string{"02/28/2019"}, "[2019-03-04,2019-04-03]"},
		{"a paper that contradicts itself settles nothing", "03/04/2019", "", []string{"28/02/2019", "02/28/2019"}, "[2019-03-04,2019-04-03]"},
		{"the same number twice needs no order", "04/04/2019", "", nil, "2019-04-04"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := readDocument(t, c.text, c.country, c.others...)
			if d.Date.Text() != c.want || d.Text != c.text {
				t.Errorf("read as %s (%s), want %s", d.Date, d.Reason, c.want)
			}
			if d.Settled() != !strings.HasPrefix(c.want, "[") || d.Reason == "" {
				t.Errorf("settled = %v because %q", d.Settled(), d.Reason)
			}
		})
	}
}

func TestC40_UnsettledDateSortsAndComparesAsAnInterval(t *testing.T) {
	d := readDocument(t, "03/04/2019", "").Date
	for other, want := range map[string]Order{
		"2019-03-03": After, "2019-04-04": Before, "2019-03-20": Overlap, "2019-03-04": Overlap, "2019": Overlap, "2018-12": After,
	} {
		if got := Compare(d, MustParse(other)); got != want {
			t.Errorf("%s compared with %s is %s, want %s", d, other, got, want)
		}
	}
	if ByTime(d, MustParse("2019-03-05")) >= 0 || ByTime(d, MustParse("2019-03-03")) <= 0 {
		t.Error("it does not sort by its earliest candidate")
	}
	fewest, most, ok := DaysBetween(d, MustParse("2019-04-10"))
	if fewest != 7 || most != 37 || !ok {
		t.Errorf("days to 2019-04-10 = %d to %d, want 7 to 37", fewest, most)
	}
}

func mustDay(t *testing.T, text string) Day {
	t.Helper()
	d, err := ParseDay(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestC45_SpreadsheetDatesFourYearsAndADayEarly(t *testing.T) {
	start, end := mustDay(t, "2018-01-01"), mustDay(t, "2020-12-31")
	shown := []SheetDate{{Shown: mustDay(t, "2015-03-03")}, {Shown: mustDay(t, "2015-11-30")}}
	s, suspected := SuspectBase(shown, start, end)
	if !suspected || s.Shift != 1462 || len(s.Evidence) != 2 || !strings.Contains(s.Evidence[0], "2019-03-04") {
		t.Errorf("suspicion = %v, %v", s, suspected)
	}
	if shown[0].Shown != mustDay(t, "2015-03-03") {
		t.Error("the shift was applied unasked")
	}
	early, _ := FromSerial(42067, Base1900)
	late, _ := FromSerial(42067, Base1904)
	if early.String() != "2015-03-04" || late.Sub(early) != BaseShift {
		t.Errorf("serial 42067 is %s and %s", early, late)
	}
}

func TestC45_OnePaperThatKnowsBetterOutweighsTheWindow(t *testing.T) {
	start, end := mustDay(t, "2010-01-01"), mustDay(t, "2020-12-31")
	off := []SheetDate{{Shown: mustDay(t, "2015-03-03"), Known: mustDay(t, "2019-03-04")}, {Shown: mustDay(t, "2015-11-30")}}
	if s, suspected := SuspectBase(off, start, end); !suspected || s.Shift != 1462 {
		t.Errorf("a known date off by 1,462 days raises no suspicion: %v", s)
	}
	right := []SheetDate{{Shown: mustDay(t, "2009-03-03"), Known: mustDay(t, "2009-03-03")}}
	if s, suspected := SuspectBase(right, start, end); suspected {
		t.Errorf("a date known to be right is suspected: %v", s)
	}
	mixed := append(off, SheetDate{Shown: mustDay(t, "2019-05-01"), Known: mustDay(t, "2019-05-01")})
	if s, suspected := SuspectBase(mixed, start, end); suspected {
		t.Errorf("a file with one right date is suspected as a whole: %v", s)
	}
}

func TestC45_DatesFourYearsLateAreSuspectedTheOtherWay(t *testing.T) {
	s, suspected := SuspectBase([]SheetDate{{Shown: mustDay(t, "2023-03-05")}}, mustDay(t, "2018-01-01"), mustDay(t, "2020-12-31"))
	if !suspected || s.Shift != -1462 {
		t.Errorf("suspicion = %v, %v", s, suspected)
	}
	if s, suspected := SuspectBase([]SheetDate{{Shown: mustDay(t, "2019-03-05")}}, mustDay(t, "2018-01-01"), mustDay(t, "2020-12-31")); suspected {
		t.Errorf("possible dates are suspected: %v", s)
	}
}
