package dossier

import (
	"time"

	"boltback/internal/attest"
	"boltback/internal/doc"
	"boltback/internal/signoff"
)

// stampsToday says what each stamp shows, and what stands behind it by an outside clock; nothing where there is none.
func (b *book) stampsToday(r *signoff.Report) []doc.Block {
	if len(r.Stamps) == 0 && len(r.OddTags) == 0 {
		return nil
	}
	s := doc.NewSection("verification-stamps", "Time stamps")
	s.Add(doc.Para("A stamp is a signed tag over the digests of all files of a commit. With the answer of an authority it shows that these bytes existed by then, and no more."))
	list := doc.Bullets()
	for _, v := range r.Stamps {
		list.Items = append(list.Items, doc.Item{Text: b.stampText(v, r)})
	}
	for _, o := range r.OddTags {
		list.Items = append(list.Items, doc.Point("{}: {} calls itself a stamp and cannot be read as one: {}.", doc.Strong("No stamp"), doc.Literal(o.Name), o.Fault))
	}
	s.Add(list)
	if by := b.existedBy(r); len(by.Items) > 0 {
		s.Add(doc.Para("By an outside clock, these sign-offs were in the history no later than:"), by)
	}
	s.Add(doc.Para("The same with stock tools:"), &doc.Verbatim{Text: stampsByHand})
	return []doc.Block{s}
}

// stampsByHand checks one stamp without this program.
const stampsByHand = `git cat-file tag NAME | sed '1,/^$/d; /^-----BEGIN/,$d' > message
git checkout -q NAME && sha256sum -c --strict --quiet message
grep -v '^# token ' message > manifest; sed -n 's/^# token //p' message | base64 -d > answer.tsr
openssl ts -verify -in answer.tsr -data manifest -CAfile AUTHORITIES.pem
git -c gpg.ssh.allowedSignersFile="$PWD/allowed_signers" verify-tag NAME`

func (b *book) stampText(v signoff.StampVerdict, r *signoff.Report) doc.Text {
	t := doc.Say("{}, {}: ", doc.Strong(v.Tag), stated(v.Tagger.Name)).From(doc.FromCommit(v.Commit))
	if faults := stampFaults(v); len(faults) > 0 {
		t = t.And("{}", doc.Strong("does not stand"))
		for _, f := range faults {
			t = t.And("; {}", f)
		}
	} else {
		t = t.And("signed with {} of {}, and every file is as it was", doc.Literal(v.Signature.Key.Fingerprint()), b.called(v.Entry.Person))
	}
	switch {
	case v.Stamped:
		t = t.And(". {} saw these bytes at {}", stated(v.Token.Authority), doc.Strong(v.Token.Time.Format(time.RFC3339)))
		if v.Token.Accuracy > 0 {
			t = t.And(" (to {})", v.Token.Accuracy.String())
		}
		t = t.And("; {}", b.renewal(v, r))
	case v.NobodyTrusted && b.in.Verified != nil:
		t = t.And(". It bears the answer of {}, which claims {} and fits; whether that clock is to be trusted is the reader's to say; {}",
			stated(v.Token.Authority), doc.Strong(v.Token.Time.Format(time.RFC3339)), b.renewal(v, r))
	case v.NobodyTrusted:
		t = t.And(". It bears the answer of an authority that claims {}; nobody is trusted here, so this shows nothing yet: give --authorities", v.Token.Time.Format(time.RFC3339))
	case v.TokenFault == nil:
		t = t.And(". No outside clock was asked: its day is the signer's word")
	}
	return t.And(". Digest {}.", doc.Literal(string(v.Digest)))
}

// renewal says by when a token has to be covered by another one.
func (b *book) renewal(v signoff.StampVerdict, r *signoff.Report) doc.Text {
	due, end := doc.Strong(v.DueBy().Format(time.DateOnly)), v.Token.Expires.Format(time.DateOnly)
	switch {
	case signoff.Renewed(v, r.Stamps):
		return doc.Say("a later stamp covers this one with its token")
	case signoff.Overdue(v, r.Stamps, b.in.Day):
		return doc.Say("{}: it was to be stamped again by {}, and its certificates end on {}", doc.Strong("overdue"), due, end)
	}
	return doc.Say("stamp again by {}, before its certificates end on {}", due, end)
}

// stampFaults says what is wrong with a stamp.
func stampFaults(v signoff.StampVerdict) []string {
	var list []string
	for _, one := range []struct {
		wrong bool
		text  string
	}{
		{v.Holding == signoff.Missing, "the commit that it is over is not in this history"},
		{v.OtherLedger, "it is of another ledger"},
		{v.OtherTree, "it names another tree than the commit has"},
		{len(v.Deviations) > 0, "files of the commit are not as it has them"},
		{v.Skipped, "it names a stamp before it that is not here"},
		{v.BrokenChain, "the stamp before it is not the one that it names"},
		{v.Standing == attest.Unsigned, "nobody signed it"},
		{v.Standing == attest.Bad, "its signature does not fit"},
		{v.Standing == attest.UnknownKey, "it is signed with a key that did not count at its commit"},
		{v.Standing == attest.NotForPurpose, "its key is not for the history"},
		{v.Standing == attest.OutsideValidity, "by its own date its key was not valid"},
		{v.Standing == attest.Revoked, "its key was revoked"},
	} {
		if one.wrong {
			list = append(list, one.text)
		}
	}
	if v.TokenFault != nil && !v.NobodyTrusted {
		list = append(list, v.TokenFault.Error())
	}
	return list
}

// existedBy says for each sign-off in the history by when an outside clock saw it.
func (b *book) existedBy(r *signoff.Report) *doc.List {
	list := doc.Bullets()
	for _, v := range r.SignOffs {
		if v.Entered == nil {
			continue
		}
		if by, found := r.Trust.ExistedBy(v.Entered.ID, r.Stamps); found {
			list.Items = append(list.Items, doc.Item{Text: doc.Say("{}: {}, by {}", b.called(v.Record), doc.Strong(by.Token.Time.Format(time.RFC3339)), doc.Literal(by.Tag)).From(doc.FromCommit(v.Entered.ID))})
		}
	}
	return list
}
