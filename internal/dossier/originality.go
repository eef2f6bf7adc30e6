package dossier

import (
	"fmt"

	"boltback/internal/doc"
	"boltback/internal/reversal"
)

// Originality tells how much of what was found on the car is on it, is kept, or is no longer there, and, apart from that,
// where the parts come from. The two are never mixed.
func Originality(o reversal.Originality) *doc.Section {
	s := doc.NewSection("originality", "What is on the car, what is kept, what is gone",
		doc.Para("Counted in parts, with the masses that are recorded. A part that was found on the car need not have left the works with it; what is renewed each time is not counted. {}", doc.NotExamined))
	for _, t := range []struct {
		caption string
		rows    []reversal.Share
	}{
		{"By whether it was found on the car", o.ByFound},
		{"By where it comes from", o.ByOrigin},
		{"Parts found on the car, by assembly or zone", o.ByAssembly},
	} {
		if len(t.rows) > 0 {
			s.Add(shares(t.caption, t.rows))
		}
	}
	if len(s.Blocks) == 1 {
		s.Add(doc.Para("No part is on record."))
	}
	return oneLined(s)[0]
}

func shares(caption string, rows []reversal.Share) *doc.Table {
	t := doc.NewTable(caption, doc.Col("Group", 4), doc.Col("On the car", 4), doc.Col("Kept off it", 4), doc.Col("Gone, or not verified", 4))
	for _, r := range rows {
		t.Row(capital(r.Group), amount(r.OnCar), amount(r.Kept), amount(r.Absent))
	}
	return t
}

// amount is a count of parts with their mass as far as it is recorded.
func amount(a reversal.Amount) doc.Text {
	if a.Count == 0 {
		return doc.Say("none")
	}
	text := doc.Say("{}", count(int(a.Count), "part"))
	if a.Kilograms > 0 {
		text = text.And(", {}", fmt.Sprintf("%.1f kg", a.Kilograms))
	}
	if a.Value != nil && a.Value.Sign() > 0 {
		text = text.And(", disclosed value {}", a.Value.FloatString(2))
	}
	if a.Unweighed > 0 {
		text = text.And(" {}", doc.Missing(fmt.Sprintf("mass of %d not recorded", a.Unweighed)))
	}
	return text
}
