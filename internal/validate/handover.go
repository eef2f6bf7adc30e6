package validate

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// settings asks that what makes a settings file of use stands together: unit, firmware, version and fingerprint. A log or
// a list of fault codes needs only its unit and its fingerprint.
func (c *checker) settings() {
	for _, s := range ledger.All[record.Setting](c.s) {
		var lacks []string
		lack := func(missing bool, what string) {
			if missing {
				lacks = append(lacks, what)
			}
		}
		listing := s.Body.Sort == "log" || s.Body.Sort == "fault codes"
		lack(s.Body.Unit == "", "unit")
		lack(s.Body.Firmware == "" && !listing, "firmware")
		lack(s.Body.Version == "" && !listing, "version")
		lack(s.Body.File == nil || s.Body.File.Digest == "", "fingerprint")
		if len(lacks) > 0 {
			c.report(s.Record, "", "setting-apart", "this setting does not say its "+strings.Join(lacks, ", "), "a file that cannot be told to belong to one unit and one firmware may do harm when it is loaded")
		}
	}
}

// codes asks who holds each key, code or password.
func (c *checker) codes() {
	for _, code := range ledger.All[record.Code](c.s) {
		held := slices.ContainsFunc(code.Body.Held, func(h record.Holding) bool { return h.Sort != "nobody known" })
		if !held {
			c.report(code.Record, "", "code-not-held", "nobody is recorded as holding this", "say in held who has it and where; never the secret")
		}
	}
}

// transfers holds each transfer against the one before it, and what it says of parts against itself.
func (c *checker) transfers() {
	list := ledger.All[record.Transfer](c.s)
	slices.SortStableFunc(list, func(a, b ledger.Entry[record.Transfer]) int { return edtf.ByTime(dateOf(a.Body.On), dateOf(b.Body.On)) })
	var before *ledger.Entry[record.Transfer]
	for i := range list {
		c.custody(list[i])
		if dateOf(list[i].Body.On).IsZero() {
			continue // it stands nowhere in the chain
		}
		if before != nil {
			c.keeperGap(*before, list[i])
		}
		before = &list[i]
	}
}

// keeperGap reports that whoever gives the car away is not recorded as having got it.
func (c *checker) keeperGap(before, after ledger.Entry[record.Transfer]) {
	got, gave := before.Body.To, after.Body.From
	unknown := func(k *record.Keeper) bool { return k == nil || k.Sort == "" || k.Sort == "not known" }
	if unknown(got) || unknown(gave) || got.Joins(gave) {
		return
	}
	c.report(after.Record, "/from", "keeper-gap", fmt.Sprintf("%s went to %s, and here it comes from %s", before.ID, keeperWords(got), keeperWords(gave)),
		"record the transfer between the two, or leave the gap: it is shown as one")
}

func keeperWords(k *record.Keeper) string {
	if k.Person != "" {
		return fmt.Sprintf("%s (%s)", k.Person, k.Sort)
	}
	return k.Sort
}

// custody reports a part of which one transfer says two things.
func (c *checker) custody(t ledger.Entry[record.Transfer]) {
	said := map[record.Ref]string{}
	for i, one := range t.Body.Custody {
		for j, part := range one.Parts {
			first, twice := said[part]
			if twice && first != one.Goes {
				at := canon.ElementPointer(canon.ElementPointer("/custody", i)+"/parts", j)
				c.report(t.Record, at, "custody-twice", fmt.Sprintf("of %s this transfer says %q and %q", part, first, one.Goes), "a part goes one way; mend the list")
			}
			said[part] = one.Goes
		}
	}
}

// entries holds the entries of people and instruments against their owners: a revocation, or a correction of an entry,
// belongs to whoever the entry is of.
func (c *checker) entries() {
	for _, r := range c.s.Records() {
		if !isEntry(r.ID) {
			continue
		}
		head := r.Body.Heading()
		for _, over := range []struct {
			pointer string
			of      record.Ref
		}{{"/corrects", head.Corrects}, {"/withdraws", head.Withdraws}, {"/of", revokes(r)}} {
			if over.of != "" && isEntry(over.of) && record.OwnerOf(over.of) != record.OwnerOf(r.ID) {
				c.report(r, over.pointer, "entry-owner", fmt.Sprintf("this entry is of %s, and %s is of %s", record.OwnerOf(r.ID), over.of, record.OwnerOf(over.of)),
					"an entry speaks for its own person or instrument only; lay it beside the one it is about")
			}
		}
	}
}

func revokes(r *record.Record) record.Ref {
	if v, ok := r.Body.(*record.Revocation); ok {
		return v.Of
	}
	return ""
}
