package dossier

import (
	"time"

	"boltback/internal/doc"
	"boltback/internal/signoff"
)

// Alone says what one file shows without the ledger that it came out of, and what it cannot show.
func Alone(a *signoff.Alone) *doc.Section {
	section := doc.NewSection("verification-alone", "What "+a.Name+" shows by itself")
	section.Add(doc.Lead("{}", aloneVerdict(a)))
	facts := doc.FactsOf(doc.Is("It is", "{}", a.What), doc.Is("SHA-256 of the file", "{}", doc.Literal(string(a.Digest))))
	for _, one := range [][2]string{{"Commit that it names", a.Commit}, {"First commit of its ledger, as it says", a.Ledger}, {"Tree that it names", a.Tree}} {
		if one[1] != "" {
			facts.Add(one[0], "{}", doc.Literal(one[1]))
		}
	}
	for _, f := range a.Fingerprints {
		facts.Add("Fingerprint in it", "{}", doc.Literal(f))
	}
	section.Add(facts)
	list := doc.Bullets()
	list.Items = append(list.Items, aloneSigned(a)...)
	list.Items = append(list.Items, aloneStamped(a)...)
	list.Items = append(list.Items, aloneRecords(a)...)
	list.Items = append(list.Items, aloneBeside(a)...)
	if len(list.Items) > 0 {
		section.Add(doc.NewSection("verification-alone-checked", "What was checked", list))
	}
	section.Add(doc.NewSection("verification-alone-limits", "What it cannot show", aloneLimits(a)))
	return oneLined(section)[0]
}

func aloneVerdict(a *signoff.Alone) doc.Text {
	switch {
	case a.Faults() > 0:
		return doc.Say("{}: what this file claims of itself does not hold.", doc.Strong(count(a.Faults(), "finding")))
	case a.Clean() && a.Paper != nil:
		return doc.Say("{}: this is the very {} whose digest stands in {}.", doc.Strong("It fits"), a.Matches, doc.Literal(a.Beside))
	case a.Clean():
		return doc.Say("{}: it is as it was signed or stamped, by a key or an authority that you named.", doc.Strong("It holds"))
	case a.Signed:
		return doc.Say("{}: the signature fits, and the file does not show whose key that is.", doc.Strong("Consistent in itself"))
	}
	return doc.Say("{}: nothing that this file says can be held against anything without the repository that it speaks of.", doc.Strong("It cannot be said"))
}

func aloneSigned(a *signoff.Alone) (items []doc.Item) {
	switch {
	case a.Signed && a.Detail != "":
		items = append(items, doc.Point("{}: {}.", doc.Strong("The signature does not fit"), a.Detail))
	case a.Signed:
		items = append(items, doc.Point("The signature fits every byte of it, with the key {}.", doc.Literal(a.Signature.Key.Fingerprint())))
	case a.SignOff != nil && a.SignOff.Form == "paper":
		items = append(items, doc.Point("It was signed in ink: a scan was transcribed by the workshop, and no signature can be verified."))
	case a.SignOff != nil:
		items = append(items, doc.Point("{}: {} is not beside it.", doc.Strong("No signature"), doc.Literal(signoff.SignatureOf(a.Name))))
	case a.Stamp != nil && a.Stamp.Tag != "":
		items = append(items, doc.Point("{}: nobody signed this stamp.", doc.Strong("No signature")))
	}
	if body := a.SignOff; body != nil {
		items = append(items, doc.Point("It says: {}, {}, on {}, for {}.", string(body.By), stated(body.Meaning), stated(string(body.On)), count(len(body.Covers), "record")))
	}
	switch {
	case a.Pinned:
		items = append(items, doc.Point("You pinned that key."))
	case a.Signed && a.Detail == "" && a.Pins > 0:
		items = append(items, doc.Point("It is none of the keys that you pinned: the ledger may have let it in later, or not."))
	}
	return items
}

func aloneStamped(a *signoff.Alone) (items []doc.Item) {
	v := a.Stamp
	switch {
	case v == nil:
	case v.Stamped:
		items = append(items, doc.Point("{} saw it at {}: what it lists was there by then. Stamp again by {}.", v.Token.Authority, v.Token.Time.UTC().Format(time.RFC3339), v.DueBy().UTC().Format(time.DateOnly)))
	case v.NobodyTrusted:
		items = append(items, doc.Point("A token claims {} by {}; you trust no authority, so it was not checked (--authorities CERTIFICATES.pem).", v.Token.Time.UTC().Format(time.RFC3339), v.Token.Authority))
	case v.TokenFault != nil:
		items = append(items, doc.Point("{}: {}.", doc.Strong("The token shows nothing"), v.TokenFault))
	default:
		items = append(items, doc.Point("No outside clock was asked: its day is what the clock of whoever made it said."))
	}
	return items
}

func aloneRecords(a *signoff.Alone) (items []doc.Item) {
	if a.Inside > 0 {
		items = append(items, doc.Point("{} in it have the digests that stand beside them; the digests are its own.", count(a.Inside, "record")))
	}
	for _, path := range a.Altered[:min(len(a.Altered), mostDeviations)] {
		items = append(items, doc.Point("{}: {} in it is not the record whose digest stands beside it.", doc.Strong("Altered"), doc.Literal(path)))
	}
	return items
}

func aloneBeside(a *signoff.Alone) []doc.Item {
	switch {
	case a.Beside == "":
		return nil
	case a.Matches == "":
		return []doc.Item{doc.Point("{}: the digest of one stands nowhere in the other, {}.", doc.Strong("They do not fit"), doc.Literal(a.Beside))}
	case a.Paper != nil && a.Matches == "preview":
		return []doc.Item{doc.Point("It is the preview, which the workshop made: what the original shows, only the original shows.")}
	case a.Paper != nil:
		return []doc.Item{doc.Point("Digest and size are those of the original.")}
	}
	return []doc.Item{doc.Point("{} is, to the byte, {} as this file has its digest.", doc.Literal(a.Beside), doc.Literal(a.Matches))}
}

func aloneLimits(a *signoff.Alone) doc.Block {
	list := doc.Bullets(doc.Point("Nothing else can be told without the repository. With it: {} says whether its history holds what this file names.", doc.Literal("boltback verify CAR --kept "+a.Name)))
	switch {
	case a.Paper != nil:
		list = doc.Bullets(doc.Point("Whether that record is one of the ledger, who wrote it and when: {} says so in the repository.", doc.Literal("boltback verify CAR")))
	case a.SignOff != nil && a.SignOff.Form == "paper":
		list = doc.Bullets(doc.Point("Nothing else can be told without the repository and the ink original: who saw it, and whether what it covers stands as it did. With them: {}.", doc.Literal("boltback verify CAR")))
	case a.SignOff != nil:
		list = doc.Bullets(doc.Point("Nothing else can be told without the repository: whether the ledger let this key in, and when; whether it was revoked; whether what it covers stands as it did, and was not withdrawn. With it: {}.", doc.Literal("boltback verify CAR")))
	}
	if len(a.Fingerprints) > 0 && !a.Pinned {
		list.Items = append(list.Items, doc.Point("Whose keys those are: ask the workshop for the fingerprint by another way, and give it with --pin."))
	}
	list.Items = append(list.Items, doc.Point("Whether what it says of the car is true: the car was not examined."))
	return list
}
