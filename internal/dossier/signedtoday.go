package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// whyVoid says in words why a sign-off binds nobody.
var whyVoid = map[signoff.Why]string{
	signoff.Unfinished:     "it lacks what its form needs",
	signoff.NoSignature:    "no signature stands beside it",
	signoff.BadSignature:   "the signature does not fit its bytes",
	signoff.UnknownKey:     "its key did not count when it came in",
	signoff.KeyNotAllowed:  "its key is not for sign-offs",
	signoff.KeyNotValid:    "its key was outside its validity on the day stated",
	signoff.KeyRevoked:     "its key had been revoked by the day stated",
	signoff.OtherSigner:    "it is signed with another key, or somebody else's, than it names",
	signoff.OtherPath:      "it was made for another place in a ledger",
	signoff.OtherLedger:    "it was made for another car's ledger",
	signoff.OtherCar:       "the car bears none of the numbers that were signed",
	signoff.NotInHistory:   "the state that it was made over is not in this history",
	signoff.NeverLikeThat:  "what it covers never read so in the state it was made over",
	signoff.TakenBack:      "it was withdrawn",
	signoff.UnreadableDate: "the day stated cannot be read",
}

// signOffsToday shows each sign-off with name, time, meaning and what it is worth.
func (b *book) signOffsToday(r *signoff.Report) doc.Block {
	s := doc.NewSection("verification-sign-offs", "Sign-offs and what they are worth today")
	if len(r.SignOffs) == 0 {
		s.Add(doc.Para("No sign-off is on record."))
	}
	for _, v := range r.SignOffs {
		s.Add(&doc.Signature{
			Name: b.called(v.By).String(), Time: doc.Text{dayOr(v.On)}.And(", by its own date"),
			Meaning: doc.Text{quoted(v.Meaning)}.From(b.pathOf(v.Record)), Status: b.worth(v),
		})
		if changes := b.changedSince(v); len(changes.Items) > 0 {
			s.Add(changes)
		}
	}
	return s
}

// worth is the status in words.
func (b *book) worth(v signoff.Verdict) doc.Text {
	t := doc.Text{doc.Strong(v.Status.String())}
	switch v.Status {
	case signoff.Void:
		t = t.And(": {}", stated(whyVoid[v.Why]))
		if v.Detail != "" {
			t = t.And(" ({})", v.Detail)
		}
	case signoff.Transcribed:
		t = t.And(": ink on paper, seen by {}; no signature was verified", b.called(v.SeenBy)).From(b.pathOf(v.Scan))
	case signoff.Superseded:
		t = t.And(" by {}", b.name(v.Other))
	}
	if v.Valid() {
		t = t.And("; signature verified, key {} of {}", doc.Literal(v.Key.Key.Fingerprint()), b.called(v.Key.Person))
	}
	if v.Entered == nil {
		t = t.And("; not committed as it reads here")
	} else {
		t = t.And("; came in on {}", v.Entered.Committer.When.Format("2006-01-02")).From(doc.FromCommit(v.Entered.ID))
	}
	if v.Disputed {
		t = t.And("; several records claim to stand in its place")
	}
	if v.After {
		t = t.And("; {}", doc.Strong("its day lies after the commit that brought it"))
	}
	if v.Wanted {
		t = t.And("; {}", doc.Strong("the ledger asks for a second signature, and there is none"))
	}
	for _, c := range v.Counters {
		from := "in the same workshop"
		if c.Outsider {
			from = "from outside"
		}
		t = t.And("; counter-signed by {} on {}, {}", b.called(c.By), dayOr(c.On), from)
	}
	return t
}

// changedSince lists what became of what a sign-off covers, and what it does not.
func (b *book) changedSince(v signoff.Verdict) *doc.List {
	list := doc.Bullets()
	for _, d := range v.Differences {
		item := doc.Item{Text: b.differenceText(d).And(".")}
		fields := doc.Bullets()
		for _, c := range d.Changes {
			for _, f := range c.Fields {
				fields.Items = append(fields.Items, doc.Point("{}", f.String()))
			}
		}
		if len(fields.Items) > 0 {
			item = item.With(fields)
		}
		list.Items = append(list.Items, item)
	}
	for _, t := range v.Touches {
		list.Items = append(list.Items, doc.Point("Work since on {}: {}; {}.", t.Facet, b.name(t.By), t.Remark))
	}
	if n := len(v.Newer); n > 0 {
		list.Items = append(list.Items, doc.Point("{} newer, not covered.", count(n, "record")))
	}
	if len(v.Unbound) > 0 {
		list.Items = append(list.Items, doc.Item{Text: b.unbound(v.Unbound)})
	}
	return list
}

// unbound names what a sign-off rests on and does not cover.
func (b *book) unbound(ids []record.Ref) doc.Text {
	t := doc.Say("It rests on these and does not cover them, so that a change of them would not show here:")
	for _, id := range ids {
		t = t.From(b.pathOf(id))
	}
	return t
}

// differenceText says what became of one covered record, without a full stop.
func (b *book) differenceText(d signoff.Difference) doc.Text {
	what := b.titled(d.Record)
	switch d.What {
	case signoff.Altered:
		return doc.Say("{} was altered", what)
	case signoff.Gone:
		return doc.Say("{} is gone", what)
	case signoff.Corrected:
		return doc.Say("{} was corrected by {}, {}", what, b.titled(d.By), quoted(d.Reason))
	case signoff.Withdrawn:
		return doc.Say("{} was withdrawn by {}, {}", what, b.titled(d.By), quoted(d.Reason))
	case signoff.InDispute:
		return doc.Say("several records claim to stand in the place of {}", what)
	}
	return doc.Say("the car's number {} reads otherwise now", asRead(d.Number))
}

// titled is a record's own title with its path, whatever has become of it.
func (b *book) titled(id record.Ref) doc.Text {
	if r := b.s.Record(id); r != nil {
		return doc.Say("{}", titleOf(r)).From(b.source(r, ""))
	}
	return doc.Text{doc.Literal(string(id))}
}
