package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// Keys lists the keys of a car: whose, which, from when until when, and what each is worth on a day by the walk through the
// history.
func Keys(s *ledger.Snapshot, car string, day edtf.Day, rows []signoff.KeyRow) *doc.Section {
	b := open(Input{Snapshot: s})
	section := doc.NewSection("keys", "Keys of "+car)
	if len(rows) == 0 {
		section.Add(doc.Lead("No key is on record: nobody can sign."))
		return section
	}
	section.Add(doc.Lead("{}, as of {}.", count(len(rows), "public key"), day))
	section.Add(doc.Para("A key counts that stood in the first commit, or was added by a commit signed with a key that counted already. " +
		"Whose the first ones are, only a fingerprint got by another way shows."))
	for _, row := range rows {
		f := doc.FactsOf(doc.Is("Person", "{}", b.called(row.Person).From(doc.FromRecord(record.PathOf(row.Ref), 0))))
		fingerprint := doc.Missing("cannot be read")
		if !row.Key.IsZero() {
			fingerprint = doc.Literal(row.Key.Fingerprint())
		}
		f.Add("Fingerprint", "{}", fingerprint)
		kind := row.Key.Algorithm()
		if row.Key.Hardware() {
			kind += ", in a security key"
		}
		f.Add("Kind", "{}", stated(kind))
		f.Add("Valid", "{}", validity(row.KeyEntry))
		f.Add("Standing", "{}", keyStanding(row))
		section.Add(f)
	}
	return oneLined(section)[0]
}

func keyStanding(row signoff.KeyRow) doc.Text {
	t := doc.Text{doc.Strong(string(row.Worth))}
	if row.Fault != "" {
		t = t.And(": {}", row.Fault)
	}
	if row.Ending.Ref != "" {
		t = t.And("; ended from {}, {}", row.Ending.From.Format("2006-01-02"), quoted(row.Ending.Why)).From(doc.FromRecord(record.PathOf(row.Ending.Ref), 0))
	}
	return t
}

// ToSign shows in words what is about to be signed, or transcribed, before anything is.
func ToSign(s *ledger.Snapshot, body *record.SignOff, fingerprint string) *doc.Section {
	b := open(Input{Snapshot: s})
	title := "About to be signed"
	f := doc.FactsOf(doc.Is("By", "{}", b.called(body.By)), doc.Is("On", "{}", stated(body.On)), doc.Is("Meaning", "{}", quoted(body.Meaning)))
	if body.Form == "paper" {
		title = "About to be transcribed from ink on paper; nothing is verified"
		f.Add("Scan", "{}", b.name(body.Scan))
		f.Add("Ink seen by", "{}", b.called(body.SeenBy))
	} else {
		f.Add("With the key", "{}", doc.Literal(fingerprint))
	}
	f.Add("Vouches for", "{}", listed(body.Facets))
	f.Add("The car's numbers", "{}", listed(body.Numbers))
	f.Add("Over the state", "{}", doc.Literal(body.Tree))
	section := doc.NewSection("to-sign", title, f)
	list := doc.Bullets()
	for _, c := range body.Covers {
		list.Items = append(list.Items, doc.Item{Text: b.titled(c.Record).From(doc.FromDigest(string(c.Digest)))})
	}
	section.Add(doc.Para("It covers these as they read now, and nothing that comes later:"), list)
	if body.Form == "key" {
		section.Add(doc.Para("Whoever signs vouches for it. High voltage, lifting and fuel are for licensed practice and local codes; a signature makes nothing safe."))
	}
	return oneLined(section)[0]
}
