package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// signOffs lists who put a name to what, and what each is worth where the history was walked.
func (b *book) signOffs() *doc.Section {
	s := doc.NewSection("sign-offs", "Sign-offs")
	list := ledger.All[record.SignOff](b.s)
	if len(list) == 0 {
		s.Add(doc.Para("No sign-off is on record."))
	}
	if len(list) > 0 || b.in.Verified != nil {
		s.Add(b.signatures())
	}
	for _, one := range list {
		s.Add(b.signOff(one), b.covered(one))
		if v, ok := b.judged(one.ID); ok {
			if changes := b.changedSince(v); len(changes.Items) > 0 {
				s.Add(changes)
			}
		}
	}
	for _, r := range b.overruledOf(record.KindSignOff) {
		verdict, _ := b.verdict(r)
		s.Add(doc.Para("{}: {}", struckUnless(false, doc.Say("{}", titleOf(r)).From(b.source(r, ""))), verdict))
	}
	b.addPeople(s)
	return s
}

// signatures says what was checked for this page, and against what.
func (b *book) signatures() doc.Block {
	how := doc.See("checking", "how to check this document")
	r := b.in.Verified
	if r == nil {
		return doc.Para("No signature was checked for this page; see {} for what can be checked with stock tools.", how)
	}
	t := doc.Say("The signatures of {} and of every sign-off in the ledger were checked for this page, by the keys that the ledger itself names. {} "+
		"Whose keys they are, no page can show: ask the workshop for the fingerprint by another way, and hold it against the one that signed the first commit, {}. See {}.",
		count(len(r.Trust.Steps), "commit"), verdictOf(r), firstKey(r), how)
	if r.Condition.Shallow {
		t = t.And(" The history was cut off when it was copied: what lies before was not checked.")
	}
	if r.Faults() > 0 {
		t = t.And(" boltback verify lists what was found.")
	}
	return &doc.Paragraph{Text: t}
}

// judged is what the walk through the history says of a sign-off.
func (b *book) judged(id record.Ref) (signoff.Verdict, bool) {
	if b.in.Verified != nil {
		for _, v := range b.in.Verified.SignOffs {
			if v.Record == id {
				return v, true
			}
		}
	}
	return signoff.Verdict{}, false
}

func (b *book) signOff(one ledger.Entry[record.SignOff]) *doc.Signature {
	body := one.Body
	status := b.unchecked(body)
	if v, ok := b.judged(one.ID); ok {
		status = b.worth(v)
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

// unchecked is what a sign-off states of its own form.
func (b *book) unchecked(body *record.SignOff) doc.Text {
	t := doc.Say("form {}; signature not checked here", stated(body.Form))
	switch body.Form {
	case "key":
		return t.And("; key {}", b.called(body.Key))
	case "paper":
		return t.And("; scan {}; the ink was seen by {}", b.called(body.Scan), b.called(body.SeenBy))
	}
	return t
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
