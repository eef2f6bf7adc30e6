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

// tractionCircuit is the licence that work on the high-voltage side asks for.
const tractionCircuit = "traction circuit"

// tractionReadings are the readings that somebody licensed for the traction circuit takes.
var tractionReadings = []string{"insulation", "bonding", "proved-dead", "polarity"}

// authority checks that whoever signed or worked was allowed to on the day.
func (c *checker) authority() {
	licences := ledger.All[record.Licence](c.s)
	for _, s := range ledger.All[record.SignOff](c.s) {
		c.signOff(s)
	}
	for _, p := range ledger.All[record.Paper](c.s) {
		if cert := p.Body.Certificate; cert != nil && cert.SignedBy != "" {
			for _, scope := range cert.Scope {
				c.licensed(p.Record, "/certificate/signed-by", []record.Ref{cert.SignedBy}, scope, cert.SignedOn, licences)
			}
		}
	}
	for _, s := range ledger.All[record.Session](c.s) {
		if i := c.tractionLine(s.Body); i >= 0 {
			people := append([]record.Ref{s.Body.By, s.Body.Witness}, s.Body.Helpers...)
			c.licensed(s.Record, canon.ElementPointer("/lines", i), people, tractionCircuit, s.Body.Started, licences)
		}
	}
	for _, r := range ledger.All[record.Reading](c.s) {
		if slices.Contains(tractionReadings, r.Body.What) {
			c.licensed(r.Record, "/by", []record.Ref{r.Body.By}, tractionCircuit, r.Body.On, licences)
		}
	}
}

// tractionLine gives the first line of a session that fits or tightens something of the traction circuit, or -1.
func (c *checker) tractionLine(s *record.Session) int {
	for i, line := range s.Lines {
		if line.Act != "fitting" && line.Act != "tightening" {
			continue
		}
		for _, ref := range line.Parts {
			if p, ok := ledger.Get[record.Part](c.s, ref); ok && (slices.Contains(p.Body.Facets, tractionCircuit) || slices.Contains(p.Body.Hazards, "high voltage")) {
				return i
			}
		}
	}
	return -1
}

// licensed asks that one of the people held a licence for the scope on the day, and says which of the three is wrong: none
// at all, none on that day, none for that.
func (c *checker) licensed(r *record.Record, pointer string, people []record.Ref, scope string, on record.Date, licences []ledger.Entry[record.Licence]) {
	day, err := edtf.Parse(string(on))
	if err != nil {
		return
	}
	var held, covering []ledger.Entry[record.Licence]
	for _, l := range licences {
		if !slices.Contains(people, record.OwnerOf(l.ID)) {
			continue
		}
		held = append(held, l)
		if !slices.ContainsFunc(l.Body.Scope, func(s string) bool { return strings.EqualFold(s, scope) }) {
			continue
		}
		covering = append(covering, l)
		if c.validOn(l.ID, l.Body.From, l.Body.Until, day) {
			return
		}
	}
	switch {
	case len(covering) > 0:
		l := covering[len(covering)-1]
		c.report(r, pointer, "licence-date", fmt.Sprintf("%s ran from %s to %s%s, and this is of %s", l.ID, orNot(l.Body.From), orNot(l.Body.Until), c.revoked(l.ID), day), "record who supervised, or a licence that was valid")
	case len(held) > 0:
		c.report(r, pointer, "licence-scope", fmt.Sprintf("%s covers %s, and this asks for %s", held[0].ID, strings.Join(held[0].Body.Scope, ", "), scope), "")
	default:
		c.report(r, pointer, "licence-missing", fmt.Sprintf("this asks for a licence for %s, and none of anybody named here is in the ledger", scope), "copy the licence entry from the workshop")
	}
}

// validOn reports whether an entry held on every possible day of a date, revocations included. What has no beginning or no
// end recorded is taken to be open on that side.
func (c *checker) validOn(entry record.Ref, from, until record.Date, day edtf.Date) bool {
	if d, err := edtf.Parse(string(from)); err == nil && edtf.Compare(day, d) == edtf.Before {
		return false
	}
	if d, err := edtf.Parse(string(until)); err == nil && edtf.Compare(day, d) == edtf.After {
		return false
	}
	for _, v := range ledger.All[record.Revocation](c.s) {
		if v.Body.Of == entry {
			if d, err := edtf.Parse(string(v.Body.On)); err != nil || edtf.Compare(day, d) != edtf.Before {
				return false
			}
		}
	}
	return true
}

// revoked says that an entry was revoked, and when, for the middle of a sentence.
func (c *checker) revoked(entry record.Ref) string {
	for _, v := range ledger.All[record.Revocation](c.s) {
		if v.Body.Of == entry {
			return fmt.Sprintf(" and was revoked on %s", v.Body.On)
		}
	}
	return ""
}

func orNot(d record.Date) string {
	if d == "" {
		return "a day not recorded"
	}
	return string(d)
}

// signOff checks the key and the entries a sign-off rests on.
func (c *checker) signOff(s ledger.Entry[record.SignOff]) {
	day, err := edtf.Parse(string(s.Body.On))
	if err != nil {
		return
	}
	if key, ok := ledger.Get[record.Key](c.s, s.Body.Key); ok && !c.validOn(key.ID, key.Body.From, key.Body.Until, day) {
		c.report(s.Record, "/key", "key-date", fmt.Sprintf("%s was not valid on %s", key.ID, day), "sign again with a valid key")
	}
	for i, ref := range s.Body.RestsOn {
		if l, ok := ledger.Get[record.Licence](c.s, ref); ok && !c.validOn(l.ID, l.Body.From, l.Body.Until, day) {
			c.report(s.Record, canon.ElementPointer("/rests-on", i), "licence-date", fmt.Sprintf("%s was not valid on %s", ref, day), "")
		}
		if cal, ok := ledger.Get[record.Calibration](c.s, ref); ok && !c.validOn(cal.ID, cal.Body.On, cal.Body.Due, day) {
			c.report(s.Record, canon.ElementPointer("/rests-on", i), "calibration-date", fmt.Sprintf("%s was not valid on %s", ref, day), "")
		}
	}
}
