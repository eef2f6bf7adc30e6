package dossier

import (
	"strings"

	"boltback/internal/attest"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

// Verification says what a walk through the whole history of a car found: where it begins, whose signatures count, what was
// changed afterwards, what each sign-off is worth today, and what no such walk can tell.
func Verification(s *ledger.Snapshot, r *signoff.Report) *doc.Section {
	b := open(Input{Snapshot: s, Day: r.On})
	section := doc.NewSection("verification", "Verification of "+r.Car)
	section.Add(doc.Lead("{}", verdictOf(r)))
	section.Add(doc.Para("{} The signatures were checked over the bytes of the history and of the files as they lie here; the car was not examined.", originText(r)))
	section.Add(counted(r))
	if odd := conditionOf(r); odd != nil {
		section.Add(odd)
	}
	section.Add(b.foundAtCommits(r)...)
	section.Add(b.signOffsToday(r), b.lateOnes(r))
	section.Add(b.stampsToday(r)...)
	if held := heldAgainst(r); held != nil {
		section.Add(held)
	}
	section.Add(cannotBeTold(r), byHand(r))
	return oneLined(section)[0]
}

// verdictOf is the one sentence that a reader in a hurry takes along.
func verdictOf(r *signoff.Report) doc.Text {
	faults := r.Faults()
	switch {
	case r.Clean():
		return doc.Say("{}: all signatures count, nothing was changed after it was signed, and the history begins where it should.", doc.Strong("In order"))
	case r.Trust.Origin == signoff.Contradicted:
		return doc.Say("{}: this is not the history that you were told of; {} besides.", doc.Strong("Origin contradicted"), count(faults, "finding"))
	case faults == 0:
		return doc.Say("{}: nothing is wrong inside the history, and nothing shows whose it is.", doc.Strong("Consistent in itself, origin not established"))
	case r.Trust.Origin == signoff.NotEstablished:
		return doc.Say("{}, and the origin is not established.", doc.Strong(count(faults, "finding")))
	}
	return doc.Say("{}; the origin is established.", doc.Strong(count(faults, "finding")))
}

// originText says how the first commit was held against what the reader knows.
func originText(r *signoff.Report) doc.Text {
	key := firstKey(r)
	switch r.Trust.Origin {
	case signoff.Established:
		return doc.Say("Origin established: the first commit {} is what you pinned, signed with {}.", doc.Literal(r.Trust.First()), key)
	case signoff.Contradicted:
		return doc.Say("Origin contradicted: the first commit {}, signed with {}, is not what you pinned ({}).", doc.Literal(r.Trust.First()), key, strings.Join(append(append([]string{}, r.Pins.Keys...), r.Pins.First), " "))
	}
	return doc.Say("Origin not established: the first commit {} names its own keys, and is signed with {}. "+
		"Anybody could make such a history. Ask the workshop for the fingerprint by another way, and give it with --pin or keep it in your own configuration under pins.", doc.Literal(r.Trust.First()), key)
}

// firstKey is the fingerprint of the key that signed the first commit.
func firstKey(r *signoff.Report) doc.Span {
	if first, ok := r.Trust.Step(r.Trust.First()); ok && first.Good() {
		return doc.Literal(first.Signature.Key.Fingerprint())
	}
	return doc.Missing("no signature that fits")
}

// counted tells how many commits there are of each kind.
func counted(r *signoff.Report) *doc.Facts {
	f := doc.FactsOf(doc.Is("Head", "{}", doc.Literal(r.Head)), doc.Is("Commits", "{}", len(r.Trust.Steps)))
	of := r.Trust.Count()
	f.Add("signed, and the key counts", "{}", of[attest.Good])
	for _, one := range []struct {
		label    string
		standing attest.Standing
	}{
		{"not signed", attest.Unsigned}, {"bad signature", attest.Bad}, {"unknown key", attest.UnknownKey}, {"key not for commits", attest.NotForPurpose},
		{"outside the key's validity", attest.OutsideValidity}, {"key revoked", attest.Revoked},
	} {
		f.Add(one.label, "{}", of[one.standing])
	}
	return f
}

// conditionOf says what is unusual about the repository; nil for nothing.
func conditionOf(r *signoff.Report) doc.Block {
	list := doc.Bullets()
	if r.Condition.Shallow {
		list.Items = append(list.Items, doc.Point("The history was cut off when it was copied (a shallow clone): what lies before is not here and was not checked."))
	}
	if r.Condition.Replaced {
		list.Items = append(list.Items, doc.Point("Grafts or replace references are set: stock Git shows other commits or files in place of some. Here the original ones were read; run git with --no-replace-objects, or clone afresh."))
	}
	if r.Condition.Linked {
		list.Items = append(list.Items, doc.Point("This folder is a further work tree: its history lies in the repository that knows it as one, and was read there. A copy of this folder alone holds no history."))
	}
	for _, path := range r.Condition.Unsaved {
		list.Items = append(list.Items, doc.Point("{} is not as the last commit has it: no commit speaks for it.", doc.Literal(path)))
	}
	if len(list.Items) == 0 {
		return nil
	}
	return doc.NewSection("verification-folder", "The repository and its folder", list)
}

// heldAgainst says what was compared with something kept outside; nil for nothing.
func heldAgainst(r *signoff.Report) doc.Block {
	list := doc.Bullets()
	for _, k := range r.Kept {
		switch k.Holding {
		case signoff.Missing:
			if k.From != "" {
				list.Items = append(list.Items, doc.Point("{}: what was kept, {}, names {}, which is not in this history. It was rewritten or cut short, or this is another car's.", doc.Strong("Not contained"), doc.Literal(k.From), doc.Literal(k.ID)))
				continue
			}
			list.Items = append(list.Items, doc.Point("{}: the kept commit {} is not in this history. It was rewritten or cut short, or this is another car's.", doc.Strong("Not contained"), doc.Literal(k.ID)))
		case signoff.Beside:
			list.Items = append(list.Items, doc.Point("The kept commit {} is contained, by a merge; {} came besides or since.", doc.Literal(k.ID), count(k.Since, "commit")))
		default:
			list.Items = append(list.Items, doc.Point("The kept commit {} is contained: up to it the history is what it was. {} came since.", doc.Literal(k.ID), count(k.Since, "commit")))
		}
		if k.OtherLedger {
			list.Items = append(list.Items, doc.Point("{}: {} names the ledger of another car than this.", doc.Strong("Another ledger"), doc.Literal(k.From)))
		}
		if k.Files > 0 {
			list.Items = append(list.Items, keptFiles(k))
		}
	}
	if c := r.Compared; c != nil {
		list.Items = append(list.Items, doc.Item{Text: comparedText(*c)})
	}
	if len(list.Items) == 0 {
		return nil
	}
	return doc.NewSection("verification-kept", "Against what was kept", list)
}

// keptFiles says how the files of a commit compare with the digests that were kept of them.
func keptFiles(k signoff.Kept) doc.Item {
	if len(k.Deviations) == 0 {
		return doc.Point("All {} that {} names are in that commit, byte for byte.", count(k.Files, "file"), doc.Literal(k.From))
	}
	item := doc.Point("{}: {} of {} that {} names are not so in that commit.", doc.Strong("Altered"), len(k.Deviations), count(k.Files, "file"), doc.Literal(k.From))
	for _, d := range k.Deviations[:min(len(k.Deviations), mostDeviations)] {
		item.Text = item.Text.And(" {}", doc.Literal(d.Path))
	}
	return item
}

// mostDeviations is how many files are named where many differ.
const mostDeviations = 10

func comparedText(c signoff.Compared) doc.Text {
	switch {
	case !c.SameFirst:
		return doc.Say("{}: {} does not begin with the same commit.", doc.Strong("Another ledger"), doc.Literal(c.Name))
	case c.Diverged():
		return doc.Say("{}: this history and {} share all up to {}; then this one has {} that the other lacks, and the other {}. One was made anew, or work was done in both.",
			doc.Strong("Diverged"), doc.Literal(c.Name), doc.Literal(c.Common), count(len(c.Ours), "commit"), count(len(c.Theirs), "commit"))
	case len(c.Theirs) > 0:
		return doc.Say("{} has {} more: this copy is older, or was cut short. The last that both have is {}.", doc.Literal(c.Name), count(len(c.Theirs), "commit"), doc.Literal(c.Common))
	case len(c.Ours) > 0:
		return doc.Say("{} is an older copy of this history, which has {} more.", doc.Literal(c.Name), count(len(c.Ours), "commit"))
	}
	return doc.Say("{} has the same commits.", doc.Literal(c.Name))
}

// cannotBeTold names what a walk through a history does not show.
func cannotBeTold(r *signoff.Report) doc.Block {
	list := doc.Bullets()
	if r.Trust.Origin == signoff.NotEstablished {
		list.Items = append(list.Items, doc.Point("That somebody made the whole history, keys and all: only a fingerprint got by another way shows it."))
	}
	if len(r.Kept) == 0 && r.Compared == nil {
		list.Items = append(list.Items, doc.Point("That the newest commits were cut off, or that the workshop itself made the history anew with its own keys: keep the id of the head, and hold it against a later copy with --kept, or another copy with --against."))
	}
	list.Items = append(list.Items,
		doc.Point("When a commit was made: its day is what the clock of whoever made it said. Only a stamp or a counter-signature from outside shows that it was no later."),
		doc.Point("Whether a record is true, what nobody wrote down, and who had the key in hand: a signature speaks for bytes and a key."))
	return doc.NewSection("verification-limits", "What this cannot tell", list)
}

// byHand is how an outsider comes to the same without this program.
func byHand(r *signoff.Report) doc.Block {
	s := doc.NewSection("verification-by-hand", "The same with stock git and ssh-keygen")
	s.Add(doc.Para("In a clone of your own: a folder that somebody hands over carries settings that git obeys, and a clone leaves them behind. TZ=UTC matters, for older tools read the validity of keys in local time."))
	lines := []string{
		"export TZ=UTC",
		"git --no-replace-objects fsck --full",
		"git show " + r.Trust.First() + ":allowed_signers   # compare with the fingerprint you were given:",
		"git show " + r.Trust.First() + ":allowed_signers | awk '{print $(NF-1), $NF}' | ssh-keygen -lf -",
		"git -c gpg.ssh.program=ssh-keygen -c gpg.ssh.allowedSignersFile=\"$PWD/allowed_signers\" log --format='%H %G? %GS %GK'",
		"git log --format=%H -- allowed_signers people   # who let each key in: every one of these has to be G",
	}
	for _, v := range r.SignOffs {
		if v.Form != "key" {
			continue
		}
		file := record.PathOf(v.Record)
		lines = append(lines, "ssh-keygen -Y verify -f allowed_signers -I "+signoff.Principal(v.By)+" -n boltback -s "+signoff.SignatureOf(file)+" < "+file)
	}
	s.Add(&doc.Verbatim{Text: strings.Join(lines, "\n")})
	return s
}
