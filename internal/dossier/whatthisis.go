package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// whatThisIs says what the document rests on, and what it can't know.
func (b *book) whatThisIs() *doc.Section {
	section := doc.NewSection("what-this-is", "What this is",
		doc.Lead("This page tells what stands on the records of one car. {}", doc.NotExamined),
		doc.Para("Revision of the records: {}. Day taken for today: {}. This page is no opinion on the car, its value or its safety, and no promise that it can be put back.",
			b.provenance().Commit, b.today()),
		doc.Para("What it can't know:"),
		doc.Bullets(
			doc.Point("work that nobody wrote down"),
			doc.Point("whether the part in a photo is the part in the crate"),
			doc.Point("whether a stored part still works"),
			doc.Point("whether the law lets the car be put back"),
		),
		doc.Para("What no record states reads \"not stated\". That there is no record of something supports no statement that it did not happen. "+
			"Behind each statement stands, in smaller type, the record it comes from and the line in its file."),
		b.counting(),
	)
	if b.in.Disclosed != nil {
		section.Blocks = slices.Insert(section.Blocks, 1, b.privacy())
	}
	return section
}

// counting says how much there is, and how much of it came late or is not done.
func (b *book) counting() *doc.Facts {
	standing := map[ledger.Standing]int{}
	for _, r := range b.s.Records() {
		st, _ := b.s.StandingOf(r)
		standing[st]++
	}
	f := &doc.Facts{Caption: "How much is on record"}
	f.Add("Records that count", "{}", standing[ledger.Stands]+standing[ledger.Disputed])
	f.Add("Corrected", "{}", standing[ledger.Corrected])
	f.Add("Withdrawn", "{}", standing[ledger.Withdrawn])
	f.Add("Disputed", "{}", standing[ledger.Disputed])
	f.Add("Files that could not be read", "{}", len(b.s.AllUnread()))
	f.Add("Late entries", "{}", b.lateEntries())
	f.Add("Saved and not yet complete", "{}", count(b.in.Inbox, "entry"))
	f.Add("Findings open", "{}", findingCounts(b.in.Findings))
	return f
}

// lateEntries says how many sessions and readings were written down on a later day than they took place, and of how many
// that cannot be said. What does not state when it was written down was so by the day of its commit.
func (b *book) lateEntries() doc.Text {
	late, byCommit, open, all := 0, 0, 0, 0
	add := func(p period, entered record.Date, place string) {
		all++
		if entered == "" && b.in.Verified != nil {
			if day, ok := b.in.Verified.CameIn[place]; ok {
				byCommit++
				entered = record.Date(day.String())
			}
		}
		fewest, _, ok := delay(p, entered)
		switch {
		case !ok:
			open++
		case fewest > 0:
			late++
		}
	}
	for _, one := range b.log.sessions {
		add(one.when, one.body.Entered, b.s.Place(one.Record).Path)
	}
	for _, r := range ledger.All[record.Reading](b.s) {
		add(readingPeriod(r.Body, b.s.Place(r.Record)), r.Body.Entered, b.s.Place(r.Record).Path)
	}
	t := doc.Say("{} of {} sessions and readings were written down on a later day than they took place", late, all)
	if byCommit > 0 {
		t = t.And("; {} do not state when, and the day of their commit is taken, as its author's clock had it", byCommit)
	}
	if open > 0 {
		t = t.And("; for {} a day is not stated and it cannot be said", open)
	}
	return t
}

// findingCounts is the summary line by severity.
func findingCounts(list []finding.Finding) string {
	n := map[finding.Severity]int{}
	for _, f := range list {
		n[f.Severity]++
	}
	return count(n[finding.Error], "error") + ", " + count(n[finding.Warning], "warning") + ", " + count(n[finding.Note], "note")
}
