package dossier

import (
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// overruled lists every record that was corrected, withdrawn or is disputed,
// with the reason, so that nothing vanishes.
func (b *book) overruled() *doc.Section {
	s := doc.NewSection("overruled", "Corrected, withdrawn and disputed records")
	t := doc.NewTable("Records that were corrected, withdrawn or are disputed", doc.Col("Record", 5), doc.Col("It said", 7), doc.Col("What became of it", 7))
	t.ID = "overruled-list"
	for _, r := range b.s.Records() {
		standing, _ := b.s.StandingOf(r)
		verdict, ok := b.verdict(r)
		if !ok {
			continue
		}
		counts := standing == ledger.Disputed
		t.Row(struckUnless(counts, doc.Say("{}", titleOf(r))).From(b.source(r, "")), struckUnless(counts, b.summary(r)), verdict)
	}
	if t.Rows() == 0 {
		s.Add(doc.Para("None is on record."))
		return s
	}
	s.Add(t)
	return s
}

// summary is a record in one line, for lists.
func (b *book) summary(r *record.Record) doc.Text {
	switch body := r.Body.(type) {
	case *record.Ledger:
		return doc.Say("edition {}, kept by {}", stated(body.Edition), stated(body.Workshop))
	case *record.Car:
		return doc.Say("{} {}, {}", stated(body.Make), stated(body.Model), dayOr(body.Year))
	case *record.Part:
		return doc.Say("found: {}; origin {}; tag {}", stated(body.Found), stated(body.Origin), stated(body.Tag))
	case *record.Joint:
		return doc.Say("clamps {}", orMissing(b.callThem(body.Clamps)))
	case *record.System:
		return doc.Say("{}", stated(body.Sort))
	case *record.Existing:
		return doc.Say("{}, zone {}, size {}", stated(body.What), stated(body.Zone), asRead(body.Size))
	case *record.Session:
		return doc.Say("{}, {}; {}", dayOr(body.Started), b.called(body.By), linesInShort(body.Lines))
	case *record.Reading:
		return doc.Say("{}, {}: {}", stated(body.What), dayOr(body.On), b.valuesCell(ledger.Entry[record.Reading]{Record: r, Body: body}))
	case *record.Concern:
		return doc.Say("{}, {}: {}", stated(body.State), weightOr(body.Weight), stated(body.Concern))
	case *record.Setting:
		return doc.Say("{}, firmware {}, version {}", b.called(body.Unit), asRead(body.Firmware), asRead(body.Version))
	case *record.Code:
		return doc.Say("{}, opens {}; {}", stated(body.Sort), stated(body.Opens), b.holders(body))
	case *record.Transfer:
		return doc.Say("{}, from {} to {}: {}", dayOr(body.On), b.keeper(body.From), b.keeper(body.To), stated(body.How))
	case *record.Paper:
		return doc.Say("{}; {}", stated(body.Class), stated(body.Caption))
	case *record.SignOff:
		return doc.Say("{}, {}: {}", b.called(body.By), dayOr(body.On), stated(body.Meaning))
	}
	return b.summaryOfOther(r)
}

// summaryOfOther is the summary of people, tools, stores and their entries.
func (b *book) summaryOfOther(r *record.Record) doc.Text {
	switch body := r.Body.(type) {
	case *record.Person:
		return doc.Say("{}", stated(body.Role))
	case *record.Licence:
		return doc.Say("{}: {}, until {}", b.called(record.OwnerOf(r.ID)), listed(body.Scope), stated(body.Until))
	case *record.Key:
		return doc.Say("{}: from {} until {}", b.called(record.OwnerOf(r.ID)), stated(body.From), stated(body.Until))
	case *record.Revocation:
		return doc.Say("ends {} from {}", b.called(body.Of), stated(body.On))
	case *record.Instrument:
		return doc.Say("{}, serial {}", stated(body.Sort), asRead(body.Serial))
	case *record.Calibration:
		return doc.Say("{}: {}, due {}", b.called(record.OwnerOf(r.ID)), stated(body.On), stated(body.Due))
	case *record.Store:
		return doc.Say("{}", stated(body.At))
	}
	return doc.Text{doc.Missing("")}
}

func orMissing(t doc.Text) doc.Text {
	if len(t) == 0 {
		return doc.Text{doc.Missing("")}
	}
	return t
}

// linesInShort says what was done, each act once in the order of the lines, and in how many of them.
func linesInShort(lines []record.Line) string {
	var acts []string
	for _, l := range lines {
		if l.Act != "" && !slices.Contains(acts, l.Act) {
			acts = append(acts, l.Act)
		}
	}
	if len(acts) == 0 {
		return count(len(lines), "line")
	}
	return strings.Join(acts, ", ") + " (" + count(len(lines), "line") + ")"
}
