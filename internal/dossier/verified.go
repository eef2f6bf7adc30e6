package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// topicTitles are the headings under which findings at commits stand, each with what it means.
var topicTitles = map[signoff.Topic][2]string{
	signoff.NotSigned:      {"Commits that nobody signed", "Anybody could have made them."},
	signoff.BadOnes:        {"Commits with a bad signature", "The signature does not fit the bytes: one of the two was altered, or it was never a signature."},
	signoff.UnknownKeys:    {"Commits signed with an unknown key", "The signature fits, and no commit that counts had let the key in before."},
	signoff.NotForCommits:  {"Commits signed with a key for other purposes", "The key does not sign commits."},
	signoff.OutsideTime:    {"Commits outside the validity of their key", "By their own date they were made before the key was valid, or after."},
	signoff.RevokedKeys:    {"Commits signed with a revoked key", "By their own date they were made when the key had been revoked."},
	signoff.ChangedLater:   {"Altered or gone after being signed", "What stood there first goes on counting."},
	signoff.BackwardDates:  {"Dates running backwards", "A commit is dated before the one that it stands on: a clock was wrong, or a date was chosen."},
	signoff.KeysInDoubt:    {"Keys in doubt", "Who signs cannot be told from these, or stock tools would be told something else."},
	signoff.PolicyUnheeded: {"What the ledger asks for", "The ledger's own rules were weakened or not kept."},
	signoff.OddHistory:     {"Oddities of the history", "Git does not leave such things by itself."},
}

// foundAtCommits reports each kind of finding apart.
func (b *book) foundAtCommits(r *signoff.Report) []doc.Block {
	of := map[signoff.Topic][]doc.Item{}
	for _, f := range r.Found() {
		of[f.Topic] = append(of[f.Topic], doc.Item{Text: b.foundText(f)})
	}
	for _, v := range r.SignOffs {
		for _, d := range v.Differences {
			if d.What == signoff.Altered || d.What == signoff.Gone {
				of[signoff.ChangedLater] = append(of[signoff.ChangedLater], doc.Item{Text: b.differenceText(d).And(" after {} was signed.", b.called(v.Record)).From(b.pathOf(v.Record))})
			}
		}
	}
	var blocks []doc.Block
	for _, topic := range signoff.Topics() {
		if items := of[topic]; len(items) > 0 {
			title := topicTitles[topic]
			blocks = append(blocks, doc.NewSection(doc.Anchor("verification "+string(topic)), title[0], doc.Para("{}", title[1]), &doc.List{Items: items}))
		}
	}
	if len(blocks) == 0 {
		blocks = append(blocks, doc.Para("No commit is unsigned, signed with a bad signature, by an unknown key, outside its key's validity or after it was revoked; no date runs backwards; no key, policy or sign-off was changed after it came in."))
	}
	if told := of[signoff.ForInformation]; len(told) > 0 {
		blocks = append(blocks, doc.NewSection("verification-keys", "Who was let in", &doc.List{Items: told}))
	}
	return blocks
}

// foundText says one finding: the commit, who, when, and what.
func (b *book) foundText(f signoff.Found) doc.Text {
	s := f.Step
	head := doc.Say("{}, {}, {}", doc.Strong(s.Committer.When.Format("2006-01-02")), stated(s.Author.Name), quoted(s.Subject))
	if f.Note.Kind != "" {
		return head.And(": {}.", b.noteText(f.Note)).From(doc.FromCommit(s.ID))
	}
	if key := s.Signature.Key.Fingerprint(); key != "" {
		head = head.And("; key {}", doc.Literal(key))
	}
	switch {
	case s.NotTrusted:
		head = head.And(", which {} brought in by a commit that did not count", b.pathOf(s.Entry.Ref))
	case s.Entry.Ref != "":
		head = head.And(" of {}, valid {}", b.called(s.Entry.Person), validity(s.Entry)).From(b.pathOf(s.Entry.Ref))
	}
	if s.Ending.Ref != "" {
		head = head.And("; ended from {}: {}", s.Ending.From.Format("2006-01-02"), quoted(s.Ending.Why)).From(b.pathOf(s.Ending.Ref))
	}
	if s.Detail != "" {
		head = head.And("; {}", s.Detail)
	}
	return head.And(".").From(doc.FromCommit(s.ID))
}

// validity says between which days a key may sign.
func validity(e signoff.KeyEntry) doc.Text {
	from, until := doc.Missing("from the first day"), doc.Missing("without end")
	if !e.After.IsZero() {
		from = doc.Plain("from " + e.After.UTC().Format("2006-01-02"))
	}
	if !e.Before.IsZero() {
		until = doc.Plain("until " + e.Before.UTC().Format("2006-01-02"))
	}
	return doc.Say("{} {}", from, until)
}

// noteText says what the walk noticed.
func (b *book) noteText(n signoff.Note) doc.Text {
	ref, other := b.keyEntry(n.Ref), b.keyEntry(n.Other)
	switch n.Kind {
	case signoff.KeyAdded:
		return doc.Say("{} came in and counts", ref)
	case signoff.KeyNotTrusted:
		return doc.Say("{} was added by a commit that did not count, and lets nobody in", ref)
	case signoff.KeyUnusable:
		return doc.Say("{} lets nobody in: {}", ref, n.Detail)
	case signoff.KeyAltered:
		return doc.Say("{} was altered; as it first stood it goes on counting", ref)
	case signoff.KeyGone:
		return doc.Say("{} was removed; it goes on counting until it is revoked", ref)
	case signoff.KeyShared:
		return doc.Say("{} and {} hold one key for two people", ref, other)
	case signoff.KeyEnded:
		return doc.Say("{} ends {}", ref, other)
	case signoff.EndingNotSigned:
		return doc.Say("{} ends {} by a commit that did not count; the key is ended all the same", ref, other)
	case signoff.EndingGone:
		return doc.Say("the revocation {} was changed or removed; it goes on counting", ref)
	case signoff.SignersDiffer:
		return doc.Say("{} is not what follows from the key entries: stock tools are told something else", doc.Literal("allowed_signers"))
	case signoff.PolicyBroken:
		return doc.Say("the ledger asks for signed commits, and this one's signature does not count")
	case signoff.PolicyWeakened:
		return weakenedText(n.Weakening)
	}
	return b.noteOfHistory(n)
}

func weakenedText(w signoff.Weakening) doc.Text {
	if w.Was == 0 && w.Now == 0 {
		return doc.Say("the ledger no longer asks for {}", w.What)
	}
	return doc.Say("the ledger's {} was {} and is {} (0 is the program's own)", w.What, w.Was, w.Now)
}

func (b *book) noteOfHistory(n signoff.Note) doc.Text {
	switch n.Kind {
	case signoff.OtherAuthor:
		return doc.Say("signed with the key of {}, and made in the name of {}", b.keyEntry(n.Ref), stated(n.Detail))
	case signoff.DatesBackwards:
		return doc.Say("it is dated before the commit it stands on").From(doc.FromCommit(n.Commit))
	case signoff.SecondRoot:
		return doc.Say("a history that begins by itself beside the first one; its keys vouch for nothing")
	case signoff.CutOff:
		return doc.Say("the commit before it is not here, so nothing says whose keys count").From(doc.FromCommit(n.Commit))
	case signoff.OddObject:
		return doc.Say("the object is unlike what Git writes: {}", n.Detail)
	case signoff.SignOffAltered:
		return doc.Say("{} was altered after it came in", doc.Literal(n.Path))
	case signoff.SignOffGone:
		return doc.Say("{} was removed after it came in", doc.Literal(n.Path))
	}
	return doc.Say("{}", string(n.Kind))
}

// keyEntry names an entry of somebody's folder by its path: keys have no other name.
func (b *book) keyEntry(ref record.Ref) doc.Span {
	if ref == "" {
		return doc.Missing("")
	}
	return doc.Literal(string(ref))
}

// lateOnes lists what was written down long after it was done.
func (b *book) lateOnes(r *signoff.Report) doc.Block {
	s := doc.NewSection("verification-late", "Late entries")
	if len(r.Late) == 0 {
		s.Add(doc.Para("Every record with a day came in within a week of it, by the clock of whoever committed it."))
		return s
	}
	list := doc.Bullets()
	for _, l := range r.Late {
		list.Items = append(list.Items, doc.Item{Text: doc.Say("{}: {}", b.called(l.Delay.Record), delayText(l.Delay)).And("{}", b.latest(r, l.Delay.Record)).From(doc.FromCommit(l.Commit))})
	}
	s.Add(doc.Para("An entry made more than a week after what it tells of is no fault; a reader may ask from what it was written."), list)
	return s
}
