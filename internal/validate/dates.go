package validate

import (
	"fmt"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// pair is two dates of a record of which the first may not come after the second.
type pair struct{ first, second string }

// orders lists, by kind, which dates may not come after which; moments lists the ones that tell of something done, which
// cannot lie ahead.
var (
	orders = map[record.Kind][]pair{
		record.KindSession:     {{"/started", "/ended"}, {"/started", "/entered"}, {"/ended", "/entered"}},
		record.KindReading:     {{"/on", "/entered"}},
		record.KindConcern:     {{"/raised-on", "/rechecked-on"}},
		record.KindPaper:       {{"/certificate/from", "/certificate/until"}, {"/certificate/signed-on", "/received"}},
		record.KindLicence:     {{"/from", "/until"}},
		record.KindKey:         {{"/from", "/until"}},
		record.KindCalibration: {{"/on", "/due"}},
	}
	moments = map[record.Kind][]string{
		record.KindSession:     {"/started", "/ended", "/entered"},
		record.KindReading:     {"/on", "/entered"},
		record.KindExisting:    {"/seen-on"},
		record.KindConcern:     {"/raised-on", "/rechecked-on"},
		record.KindPaper:       {"/received", "/embedded", "/certificate/signed-on"},
		record.KindSignOff:     {"/on"},
		record.KindCalibration: {"/on"},
		record.KindLedger:      {"/started"},
		record.KindSetting:     {"/read-on", "/loaded-on"},
		record.KindTransfer:    {"/on"},
	}
)

// dates checks the dates of each record against each other, against its path, and against today.
func (c *checker) dates() {
	for _, r := range c.s.Records() {
		at := c.datesOf(r)
		reported := ""
		for _, p := range orders[r.Kind] {
			if p.second != reported && edtf.Compare(at[p.second], at[p.first]) == edtf.Before {
				c.report(r, p.second, "date-order", fmt.Sprintf("%s %s comes before %s %s", word(p.second), at[p.second], word(p.first), at[p.first]), "one of the two is wrong")
				reported = p.second
			}
		}
		for _, pointer := range moments[r.Kind] {
			day, ok := at[pointer].First()
			if ok && c.span.ahead(day, c.options.On) {
				c.report(r, pointer, "future-date", fmt.Sprintf("%s has not come yet: today is %s", at[pointer], c.options.On), "mend the date, or say --on "+day.String())
			}
		}
		c.pathDate(r, at)
	}
	c.writtenDates()
}

// datesOf reads the dates of a record that can be read.
func (c *checker) datesOf(r *record.Record) map[string]edtf.Date {
	at := map[string]edtf.Date{}
	for _, leaf := range r.Leaves() {
		if leaf.Role == record.Moment {
			if d, err := edtf.Parse(leaf.Text); err == nil {
				at[leaf.Pointer] = d
			}
		}
	}
	return at
}

func word(pointer string) string { return pointer[1:] }

// dayOf gives the date that decides where a record of a dated kind lies.
func dayOf(kind record.Kind) string {
	switch kind {
	case record.KindSession:
		return "/started"
	case record.KindReading, record.KindSignOff, record.KindTransfer:
		return "/on"
	default:
		return ""
	}
}

// pathDate holds the day in a file's name against the record: it is the first possible day, 0000-00-00 where there is none.
func (c *checker) pathDate(r *record.Record, at map[string]edtf.Date) {
	have := record.PathDate(r.Path)
	pointer := dayOf(r.Kind)
	if have == "" || pointer == "" || r.Body.Heading().Withdraws != "" {
		return
	}
	want := "0000-00-00"
	if day, ok := at[pointer].First(); ok {
		want = day.String()
	} else if !at[pointer].IsZero() {
		return // an open beginning has no first day
	}
	if have != want {
		c.report(r, pointer, "path-date", fmt.Sprintf("the file's name says %s, and the record begins on %s", have, want), "the record decides")
	}
}

// writtenDates asks about dates on papers that two countries would read differently.
func (c *checker) writtenDates() {
	for _, p := range ledger.All[record.Paper](c.s) {
		if p.Body.WrittenDate == "" {
			continue
		}
		read, err := edtf.ReadDocument(p.Body.WrittenDate, p.Body.Country)
		if err == nil {
			received, _ := dateOf(p.Body.Received).Last()
			read = read.NotAfter(received)
		}
		switch {
		case err != nil:
			c.report(p.Record, "/written-date", "date", err.Error(), "write the characters as they stand on the paper")
		case !read.Settled():
			c.report(p.Record, "/written-date", "date-ambiguous", fmt.Sprintf("%s can be %s", quote(p.Body.WrittenDate), readings(read)),
				"add the country the paper comes from, or another date on it; until then it counts as all of them")
		}
	}
}

func readings(d edtf.DocumentDate) string {
	words := make([]string, len(d.Readings))
	for i, one := range d.Readings {
		words[i] = one.Words
	}
	return strings.Join(words, " or ")
}
