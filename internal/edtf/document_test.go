package edtf

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func TestReadDocumentTakesTheWaysPapersWriteDates(t *testing.T) {
	for _, c := range []struct{ text, country, want string }{
		{"2019-03-04", "", "2019-03-04"},
		{"2019/03/04", "US", "2019-03-04"},
		{"2019.03.04", "", "2019-03-04"},
		{"3 April 2019", "", "2019-04-03"},
		{"3rd of April, 2019", "", "2019-04-03"},
		{"Wed 3 Apr 2019", "", "2019-04-03"},
		{"April 3, 2019", "US", "2019-04-03"},
		{"Apr-03-2019", "", "2019-04-03"},
		{"3. März 1967", "DE", "1967-03-03"},
		{"1er mars 1967", "FR", ""},
		{"12 août 1967", "FR", "1967-08-12"},
		{"4 ottobre 1967", "IT", "1967-10-04"},
		{"April 1967", "", "1967-04"},
		{"04/1967", "", "1967-04"},
		{"1967/04", "", "1967-04"},
		{"1967", "", "1967"},
		{"1967?", "", "1967?"},
		{"3.4.1967", "CH", "1967-04-03"},
		{"31.12.67", "CH", "[1967-12-31,2067-12-31]"},
		{"3/4/67", "", "[1967-03-04,1967-04-03,2067-03-04,2067-04-03]"},
		{"29/2/00", "GB", "2000-02-29"},
		{" 03-04-2019 ", "GB", "2019-04-03"},
	} {
		d, err := ReadDocument(c.text, c.country)
		if c.want == "" {
			if err == nil {
				t.Errorf("%q is read as %s", c.text, d.Date)
			}
			continue
		}
		if err != nil || d.Date.Text() != c.want || d.Text != c.text {
			t.Errorf("%q from %q is read as %q, %v; want %q", c.text, c.country, d.Date, err, c.want)
		}
	}
}

func TestReadDocumentErrorsNameTheNearestDay(t *testing.T) {
	for _, c := range []struct{ text, country, want string }{
		{"30/02/2019", "GB", "nearest is 2019-02-28"},
		{"02/30/2019", "US", "nearest is 2019-02-28"},
		{"02/30/2019", "", "nearest is 2019-02-28"},
		{"31/04/2019", "", "nearest is 2019-04-30"},
		{"31 April 2019", "", "nearest is 2019-04-30"},
		{"2019/02/30", "", "nearest is 2019-02-28"},
		{"13/13/2019", "", "no month 13"},
		{"13/1967", "", "no month 13"},
		{"3 Foo 2019", "", "neither a number nor a month"},
		{"3 April May 2019", "", "two months"},
		{"3/4/5/2019", "", "day, month and year"},
		{"3/4", "", "four digits"},
		{"April 67", "", "four digits"},
		{"3/4/196", "", "four digits, or two"},
		{"1 2 3 April 2019", "", "day, month and year"},
		{"a b c d e f g", "", "more parts"},
		{"", "", "day, month and year"},
		{strings.Repeat("1/", 300), "", "longer"},
	} {
		if d, err := ReadDocument(c.text, c.country); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q is read as %q, %v; want an error with %q", clip(c.text), d.Date, err, c.want)
		}
	}
}

func TestReadingsSayHowTheyWereRead(t *testing.T) {
	d := readDocument(t, "03/04/2019", "")
	if len(d.Readings) != 2 ||
		d.Readings[0].Words != "4 March 2019, month first (American)" ||
		d.Readings[1].Words != "3 April 2019, day first (British, European)" {
		t.Errorf("readings are %v", d.Readings)
	}
	against := readDocument(t, "04/13/2019", "GB")
	if !strings.Contains(against.Reason, "looked at again") {
		t.Errorf("a date against its country is taken without a word: %s", against.Reason)
	}
	if d := readDocument(t, "03/04/2019", "GB", "02/28/2019"); !strings.Contains(d.Reason, "contradicts") {
		t.Errorf("the reason is %q", d.Reason)
	}
}

func TestNotAfterDropsWhatCannotHaveBeenWrittenYet(t *testing.T) {
	received := NewDay(2024, 1, 1)
	d := readDocument(t, "3/4/67", "GB").NotAfter(received)
	if d.Date.Text() != "1967-04-03" || !d.Settled() || !strings.Contains(d.Reason, "2024-01-01") {
		t.Errorf("what is left is %s because %s", d.Date, d.Reason)
	}
	if d := readDocument(t, "03/04/2019", "").NotAfter(NewDay(2019, 3, 20)); d.Date.Text() != "2019-03-04" {
		t.Errorf("what is left is %s", d.Date)
	}
	if d := readDocument(t, "03/04/2019", "").NotAfter(NewDay(2018, 1, 1)); len(d.Readings) != 2 {
		t.Errorf("a date that can't be at all loses its readings: %v", d.Readings)
	}
	if d := readDocument(t, "03/04/2019", "").NotAfter(Day{}); len(d.Readings) != 2 {
		t.Errorf("no day drops readings: %v", d.Readings)
	}
}

func TestSerialNumbersOfSpreadsheets(t *testing.T) {
	for _, c := range []struct {
		serial int
		base   Base
		want   string
	}{
		{1, Base1900, "1900-01-01"}, {59, Base1900, "1900-02-28"}, {61, Base1900, "1900-03-01"},
		{43528, Base1900, "2019-03-04"}, {42066, Base1904, "2019-03-04"}, {0, Base1904, "1904-01-01"},
	} {
		if d, err := FromSerial(c.serial, c.base); err != nil || d.String() != c.want {
			t.Errorf("serial %d is %s, %v; want %s", c.serial, d, err, c.want)
		}
	}
	for _, serial := range []int{60, -1, 1 << 40} {
		if d, err := FromSerial(serial, Base1900); err == nil {
			t.Errorf("serial %d is %s", serial, d)
		}
	}
}

func FuzzReadDocument(f *testing.F) {
	for _, s := range []string{"03/04/2019", "3 April 2019", "3.4.67", "1967-03", "30/02/2019", "April 1967", "29/2/00", "0/0/0", "1er mars 1967"} {
		f.Add(s, "", "28/02/2019")
		f.Add(s, "GB", "x")
	}
	f.Fuzz(func(t *testing.T, text, country, other string) {
		d, err := ReadDocument(text, country, other)
		if err != nil {
			if !utf8.ValidString(err.Error()) && utf8.ValidString(text) {
				t.Fatalf("the error of %q is not text", text)
			}
			return
		}
		if len(d.Readings) == 0 || d.Date.IsZero() || d.Reason == "" || d.Text != text {
			t.Fatalf("%q is read as %+v", text, d)
		}
		if _, err := Parse(d.Date.Text()); err != nil {
			t.Fatalf("%q gives a date that can't be read: %v", text, err)
		}
	})
}
