package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// signOffs lists who put a name to what. No signature is checked here.
func (b *book) signOffs() *doc.Section {
	s := doc.NewSection("sign-offs", "Sign-offs")
	list := ledger.All[record.SignOff](b.s)
	if len(list) == 0 {
		s.Add(doc.Para("No sign-off is on record."))
	} else {
		s.Add(doc.Para("No signature was checked for this page; see {} for what can be checked with stock tools.", doc.See("checking", "how to check this document")))
	}
	for _, one := range list {
		s.Add(b.signOff(one), b.covered(one))
	}
	for _, r := range b.overruledOf(record.KindSignOff) {
		verdict, _ := b.verdict(r)
		s.Add(doc.Para("{}: {}", struckUnless(false, doc.Say("{}", titleOf(r)).From(b.source(r, ""))), verdict))
	}
	b.addPeople(s)
	return s
}

func (b *book) signOff(one ledger.Entry[record.SignOff]) *doc.Signature {
	body := one.Body
	status := doc.Say("form {}; signature not checked here", stated(body.Form))
	switch body.Form {
	case "key":
		status = status.And("; key {}", b.called(body.Key))
	case "paper":
		status = status.And("; scan {}; the ink was seen by {}", b.called(body.Scan), b.called(body.SeenBy))
	}
	if len(body.RestsOn) > 0 {
		status = status.And("; rests on {}", b.names(body.RestsOn))
	}
	if verdict, ok := b.verdict(one.Record); ok {
		status = status.And("; {}", verdict)
	}
	return &doc.Signature{
		Name:    b.called(body.By).String(),
		Time:    doc.Text{dayOr(body.On)},
		Meaning: doc.Text{quoted(body.Meaning)}.From(b.source(one.Record, "")),
		Status:  status,
	}
}

// covered holds the digests that a sign-off states against the records as they
// were read for this page.
func (b *book) covered(one ledger.Entry[record.SignOff]) doc.Block {
	same := 0
	var changed []doc.Text
	for _, c := range one.Body.Covers {
		r := b.s.Record(c.Record)
		switch {
		case r == nil:
			changed = append(changed, doc.Say("{} is not here", b.plainID(c.Record)))
		case r.Digest == c.Digest:
			same++
		default:
			changed = append(changed, doc.Say("{} reads otherwise now", b.plainID(c.Record)))
		}
	}
	var covered []record.Ref
	for _, c := range one.Body.Covers {
		covered = append(covered, c.Record)
	}
	t := doc.Say("Covers {}: {}. The digests of {} are those of the records as read for this page",
		count(len(covered), "record"), orMissing(b.names(covered)), same)
	if len(changed) > 0 {
		t = t.And("; {}", joinTexts(changed, "; "))
	}
	return &doc.Paragraph{Text: t.And(".")}
}

// addPeople lists the licences on record, and how each was checked.
func (b *book) addPeople(s *doc.Section) {
	list := ledger.All[record.Licence](b.s)
	if len(list) == 0 {
		s.Add(doc.Para("No licence or training of anybody is on record: {}.", doc.Missing("who may do what is not stated")))
		return
	}
	t := doc.NewTable("Licences and training, as recorded", doc.Col("Person", 4), doc.Col("Covers", 5), doc.Col("Granted by", 4), doc.Col("Valid", 4), doc.Col("Checked", 5))
	t.ID = "licences"
	for _, l := range list {
		granted := doc.Say("{}, number {}", stated(l.Body.Authority), asRead(l.Body.Number)).From(b.source(l.Record, ""))
		checked := doc.Say("{}", stated(l.Body.Checked))
		if l.Body.CheckedOn != "" || l.Body.CheckedBy != "" {
			checked = checked.And(", {}, {}", dayOr(l.Body.CheckedOn), b.called(l.Body.CheckedBy))
		}
		t.Row(b.called(record.OwnerOf(l.ID)), listed(l.Body.Scope), granted,
			doc.Say("from {} until {}", stated(l.Body.From), stated(l.Body.Until)).From(b.revocations(l.ID)...), checked)
	}
	s.Add(t)
}

// revocations are the entries that end a licence before its time.
func (b *book) revocations(id record.Ref) doc.Text {
	var t doc.Text
	for _, r := range ledger.All[record.Revocation](b.s) {
		if r.Body.Of == id {
			t = t.And("; {} from {}", doc.Strong("ended"), stated(r.Body.On)).From(b.source(r.Record, ""))
		}
	}
	return t
}
