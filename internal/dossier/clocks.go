package dossier

import (
	"strconv"
	"time"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/signoff"
)

// outsideClocks says what shows from outside the workshop by when something stood in the records: each stamp, what it covers and
// when it has to be renewed, and whether "before" and the day of a late entry rest on more than the workshop's word.
func (b *book) outsideClocks() *doc.Section {
	s := doc.NewSection("stamps", "By an outside clock")
	r := b.in.Verified
	switch {
	case r == nil:
		s.Add(doc.Para("No stamp was read for this page: by when anything was recorded rests on the workshop's word here."))
		return s
	case len(r.Stamps) == 0 && len(r.OddTags) == 0:
		s.Add(doc.Para("No stamp is in the ledger: no outside clock shows by when anything was recorded."))
	default:
		s.Add(doc.Para("A stamp is a signed tag over the digests of all files of a commit. With the answer of an authority it shows that these bytes existed by then, and no more: not who wrote them, and not that they are true."))
		list := doc.Bullets()
		for _, v := range r.Stamps {
			list.Items = append(list.Items, doc.Item{Text: b.stampText(v, r).And(" {}", b.coverage(v))})
		}
		for _, o := range r.OddTags {
			list.Items = append(list.Items, doc.Point("{}: {} calls itself a stamp and cannot be read as one: {}.", doc.Strong("No stamp"), doc.Literal(o.Name), o.Fault))
		}
		s.Add(list, doc.Para("Each can be checked with stock tools:"), &doc.Verbatim{Text: stampsByHand})
	}
	b.addOlder(s, r)
	b.addLate(s, r)
	return s
}

// coverage says how much of what is on record a stamp covers as it reads now; a stamp that does not stand covers nothing.
func (b *book) coverage(v signoff.StampVerdict) doc.Text {
	if v.Faulty() {
		return doc.Say("It shows nothing about what is on record.")
	}
	covered := map[signoff.FileDigest]bool{}
	for _, f := range v.Files {
		covered[f] = true
	}
	same, all := 0, b.s.Records()
	for _, r := range all {
		if covered[signoff.FileDigest{Path: b.s.Place(r).Path, Digest: r.Digest}] {
			same++
		}
	}
	t := doc.Say("Files covered: {}. Records that read now as it has them: {} of {}", doc.Strong(strconv.Itoa(len(v.Files))), doc.Strong(strconv.Itoa(same)), strconv.Itoa(len(all)))
	if same < len(all) {
		t = t.And("; the others came since, or read otherwise")
	}
	return t.And(".")
}

// addOlder says of what was recorded as there before the work whether it was recorded before the work, too. Without any stamp
// the chapter has said that nothing shows it.
func (b *book) addOlder(s *doc.Section, r *signoff.Report) {
	if b.in.Work == nil {
		return
	}
	zones := replay.ZonesOf(b.in.Work)
	var before, word []record.Ref
	for _, e := range ledger.All[record.Existing](b.s) {
		if !zones.Evidence(e.ID).Older {
			continue // that it is older is not claimed
		}
		if w, found := r.WitnessOf(b.s, e.Record); found && zones.Before(record.Date(w.By.UTC().Format(time.RFC3339)), e.Body.Zone) {
			before = append(before, e.ID)
		} else {
			word = append(word, e.ID)
		}
	}
	if len(before) > 0 {
		s.Add(doc.Para("Older than the work, and recorded before any work on its zone by a stamp above, as far as its clock is trusted, or by the signature of somebody outside: {}.", b.callThem(before)))
	}
	if len(word) > 0 && len(r.Stamps) > 0 {
		s.Add(doc.Para("Older than the work by the workshop's word alone, with nothing from outside that shows the entry to be: {}.", b.callThem(word)))
	}
}

// addLate says of late entries by when they certainly stood there.
func (b *book) addLate(s *doc.Section, r *signoff.Report) {
	list := doc.Bullets()
	for _, l := range r.Late {
		if text := b.latest(r, l.Delay.Record); l.Certain() && len(text) > 0 {
			list.Items = append(list.Items, doc.Item{Text: doc.Say("{}: {}{}", b.called(l.Delay.Record), delayText(l.Delay), text).From(doc.FromCommit(l.Commit))})
		}
	}
	if len(list.Items) > 0 {
		s.Add(doc.Para("Written down late, and by when they stood there as they read now:"), list)
	}
}

// latest says by when something outside shows that a record read as it does; nothing where nothing does.
func (b *book) latest(r *signoff.Report, id record.Ref) doc.Text {
	one := b.s.Record(id)
	if one == nil {
		return nil
	}
	w, found := r.WitnessOf(b.s, one)
	switch at := doc.Strong(w.By.UTC().Format(time.RFC3339)); {
	case !found:
		return nil
	case w.Counter != "":
		return doc.Say(" By the counter-signature {} it stood there by the end of that day.", b.called(w.Counter))
	case w.Trusted:
		return doc.Say(" It stood there by {}, as {} shows.", at, doc.Literal(w.Stamp))
	default:
		return doc.Say(" It stood there by {}, as {} claims by the clock of {}.", at, doc.Literal(w.Stamp), stated(w.Authority))
	}
}
